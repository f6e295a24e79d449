"""The shot table: all that the kernels ever see of a player.

Rows are [shot, lie, heading]. Headings are H equal steps clockwise from north, since wind gives every
heading its own row; in calm air there is one. Between two of them a row is interpolated (`ShotTable.at`):
a step of 7.5 degrees in a wind of 30 mph is worth 6 yd of landing, what is left after interpolating 0.1.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import BoolArray, FloatArray, IntArray
from strategy.codes import Lie

SHORT_REACH_M: Final = 64.0  # distance from the hole beyond which no shot round the green is played
# Of a flight whose apex is as high as its carry is long: a tour 5-iron's (apex at 0.66 of the carry).
USUAL_HEIGHT: Final = np.array([1.34, 3.09, 2.47])


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
        Core covariance at full carry; at a dialled carry both s.d. shrink by `shrink`. [m²]
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
    own_full, own_least : ndarray (S,) or None
        The player's own number of the shot at full and at its shortest dial, from a clean lie in the air it
        was stated in; None = the same as `carry` and `least` from a clean lie. [m]
    turf : ndarray (S,) or None
        Share of `own_full` that is the player's own number off turf, from every lie but the tee; None = 1.
    flight_height : ndarray (S, L, H, 3)
        Height of the flight above the straight line spot -> landing: a ball that carries c is
        c u (1 - u) (k0 + k1 u + k2 u²) above it at the fraction u of its carry, however far it is dialled.
        None = a usual flight of this `apex`.
    fall : ndarray (S, L, H, 11)
        How a slope changes the run, by landing surface: the run is multiplied by exp(-fall rise / run), rise
        being that of the ground over the level run. None = 0.
    short : ndarray (S,)
        Whether this is a shot round the green: it is played within `SHORT_REACH_M` of the hole only, its
        scatter goes as the power `shrink` of the dial, and its run as the dial itself. None = no shot is.
    shrink : ndarray (S,)
        Core s.d. at a dialled carry: that at full carry times the share of the carry to this power. None = 1.
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
    own_full: FloatArray | None = None
    own_least: FloatArray | None = None
    turf: FloatArray | None = None
    flight_height: FloatArray = None  # type: ignore[assignment]  # made from `apex` below
    fall: FloatArray = None  # type: ignore[assignment]
    short: BoolArray = None  # type: ignore[assignment]
    shrink: FloatArray = None  # type: ignore[assignment]

    def __post_init__(self) -> None:
        for name, default in (
            ("flight_height", lambda: (self.apex / self.carry)[..., None] * USUAL_HEIGHT),
            ("fall", lambda: np.zeros_like(self.run)),
            ("short", lambda: np.zeros(len(self.labels), dtype=bool)),
            ("shrink", lambda: np.ones(len(self.labels))),
        ):
            if getattr(self, name) is None:
                object.__setattr__(self, name, default())

    @property
    def shots(self) -> int:
        """Number of shots S."""
        return len(self.labels)

    def at(self, shot: ArrayLike, lie: ArrayLike, heading_deg: ArrayLike) -> Row:
        """Rows of shots from lies along headings, interpolated between the headings of the table.

        Parameters
        ----------
        shot, lie, heading_deg : array_like
            Scalars or arrays that broadcast with each other. [°]

        Returns
        -------
        Row
            Every array of the table by its name, its first axes those of the arguments.
        """
        bins = int(self.carry.shape[2])
        shot_, lie_, heading = np.broadcast_arrays(shot, lie, np.asarray(heading_deg, dtype=np.float64))
        place = (heading % 360.0) / 360.0 * bins
        low = np.floor(place).astype(np.int64)
        share = place - low
        return Row(self, shot_, lie_, low % bins, (low + 1) % bins, share)

    def dialled(self, shot: ArrayLike, lie: ArrayLike, heading_deg: ArrayLike, carry_m: ArrayLike) -> Dialled:
        """Shots from lies along headings, dialled to a mean landing depth.

        Parameters
        ----------
        shot, lie, heading_deg : array_like
            As `at` takes them. [°]
        carry_m : array_like
            Of their shape. [m]
        """
        return Dialled(self, shot, self.at(shot, lie, heading_deg), carry_m)

    def playing(self, shot: int, lie: int, heading_deg: float, carry_m: float) -> float:
        """The number a landing is playing: the player's own carry, of a clean lie in calm air. [m]

        Between the shot's shortest dial and its full swing the two go in proportion.
        """
        row = self.at(shot, lie, heading_deg)
        full, least = float(row.carry), float(row.least)
        own = full if self.own_full is None else float(self.own_full[shot])
        shortest = least if self.own_least is None else float(self.own_least[shot])
        if self.own_full is not None and self.turf is not None and lie != Lie.TEE:
            own, shortest = own * float(self.turf[shot]), shortest * float(self.turf[shot])
        if full - least < 0.5:
            return own * carry_m / full
        return shortest + (carry_m - least) * (own - shortest) / (full - least)


class Row:
    """Rows of a table, each array interpolated when it is asked for by its name."""

    __slots__ = ("_high", "_lie", "_low", "_share", "_shot", "_table")

    def __init__(
        self,
        table: ShotTable,
        shot: IntArray,
        lie: IntArray,
        low: IntArray,
        high: IntArray,
        share: FloatArray,
    ) -> None:
        self._table, self._shot, self._lie = table, shot, lie
        self._low, self._high, self._share = low, high, share

    def __getattr__(self, name: str) -> FloatArray:
        whole: FloatArray = getattr(self._table, name)
        if whole.shape[2] == 1:
            return np.asarray(whole[self._shot, self._lie, 0])
        low, high = whole[self._shot, self._lie, self._low], whole[self._shot, self._lie, self._high]
        share = self._share.reshape(self._share.shape + (1,) * (low.ndim - self._share.ndim))
        return np.asarray(low + share * (high - low))


class Dialled:
    """Shots dialled to a carry, on ground level with the ball: the one place that says how they scatter then.

    All is (side, depth) along the heading, its first axes those of the shots.

    Attributes
    ----------
    row : Row
        The table's rows of these shots, at full carry.
    carry : ndarray (...)
        Mean landing depth asked for. [m]
    share : ndarray (...)
        Share of the full carry.
    """

    __slots__ = ("_short", "_shrink", "carry", "row", "share")

    def __init__(self, table: ShotTable, shot: ArrayLike, row: Row, carry_m: ArrayLike) -> None:
        self.row = row
        self.carry = np.asarray(carry_m, dtype=np.float64)
        self.share = np.asarray(self.carry / row.carry)
        which = np.asarray(shot, dtype=np.int64)
        self._shrink, self._short = table.shrink[which], table.short[which]

    def target(self, mean: FloatArray | None = None) -> FloatArray:
        """Mean landing of the core (..., 2); `mean` in place of the table's bias. [m]"""
        landing = (self.row.mean if mean is None else mean) * self.share[..., None]
        landing[..., 1] += self.carry
        return np.asarray(landing)

    @property
    def mishit_shift(self) -> FloatArray:
        """Mean of the mishits less that of the core (..., 2). [m]"""
        return np.asarray(self.row.mishit_shift * self.share[..., None])

    def factor(self, covariance: FloatArray | None = None) -> FloatArray:
        """Core scatter (..., 2, 2): times two standard normals it is (side, depth) about the target. [m]

        `covariance` stands in place of the table's at full carry.
        """
        whole = np.linalg.cholesky(self.row.covariance if covariance is None else covariance)
        return np.asarray(whole * np.asarray(self.share**self._shrink)[..., None, None])

    @property
    def run_share(self) -> FloatArray:
        """Share of the table's run: a shot round the green runs in proportion to what it carries (...)."""
        return np.where(self._short, self.share, 1.0)

    @property
    def bend(self) -> FloatArray:
        """Sideways bend b of the flight, the parabola b (u² - u) at the fraction u of its carry (...). [m]"""
        return np.asarray(-4.0 * self.row.bend[..., 1] * self.share)
