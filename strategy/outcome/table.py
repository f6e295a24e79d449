"""The shot table: all that the kernels ever see of a player.

Rows are [shot, lie, heading]. Headings are bins of equal width counted clockwise from north, so that
wind can later give every heading its own row; in calm air there is one bin.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShotTable:
    """Every shot from every lie at every heading: S shots, L = 9 lies, H headings.

    Every pair is (side, depth): side positive right of the heading, depth along it.

    Attributes
    ----------
    clubs, names, labels : tuple of str, length S
        As the player calls them.
    stock : ndarray (S,)
        Whether this is the club's stock shot.
    balls : ndarray (S,)
        How many balls the scatter was measured from; 0 = stated.
    allowed : ndarray (S, L)
        This shot from this lie.
    carry : ndarray (S, L, H)
        Mean landing depth at full carry. [m]
    least : ndarray (S, L, H)
        Mean landing depth at the shortest dial of the shot. [m]
    mean : ndarray (S, L, H, 2)
        Mean landing of the core from the target (the bias). [m]
    covariance : ndarray (S, L, H, 2, 2)
        Core covariance at full carry; at a dialled carry both s.d. shrink in proportion. [m²]
    mishit_shift : ndarray (S, L, H, 2)
        Mean of the mishit stratum less the core's mean. [m]
    mishit_scale : ndarray (S, L, H)
        Mishit s.d. in multiples of the core's.
    mishit_share : ndarray (S, L, H)
        Weight of the mishit stratum.
    run, run_sd : ndarray (S, L, H, 11)
        Mean and s.d. of the run by landing surface. [m]
    run_turn : ndarray (S, L, H)
        Direction of the run less the direction spot -> landing, clockwise. [°]
    rise : ndarray (S, L, H, 2)
        Change of the landing depth with the height h of the landing above the spot, c1 h + c2 h²
        (c1 is near -1 / tan of the descent). [m/m, 1/m]
    apex : ndarray (S, L, H)
        Greatest height. [m]
    start_offset : ndarray (S, L, H)
        Start line less heading, clockwise. [°]
    bend : ndarray (S, L, H, 3)
        Offset from the chord spot -> landing at a quarter, half and three quarters of the carry,
        positive right. [m]
    """

    clubs: tuple[str, ...]
    names: tuple[str, ...]
    labels: tuple[str, ...]
    stock: BoolArray
    balls: NDArray[np.int64]
    allowed: BoolArray
    carry: FloatArray
    least: FloatArray
    mean: FloatArray
    covariance: FloatArray
    mishit_shift: FloatArray
    mishit_scale: FloatArray
    mishit_share: FloatArray
    run: FloatArray
    run_sd: FloatArray
    run_turn: FloatArray
    rise: FloatArray
    apex: FloatArray
    start_offset: FloatArray
    bend: FloatArray

    @property
    def shots(self) -> int:
        """Number of shots S."""
        return len(self.labels)

    def heading_bin(self, heading_deg: float) -> int:
        """Row of the heading axis for a heading. [°]"""
        bins = int(self.carry.shape[2])
        return int(np.floor((heading_deg % 360.0) / 360.0 * bins + 0.5)) % bins
