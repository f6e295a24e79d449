"""Balls and trees: which ball is stopped on its way, and where.

A flight climbs and comes down over the straight line spot -> landing by the table's `flight_height`, and
bends by its `bend`. In a crown a ball flies a random way before it is stopped, exponentially distributed;
below the lowest branches the stems stop it the same way, much later (`Canopy`). What a ball can stand is
drawn once for its whole flight (`Points.core_pass`), so a ball that clips two crowns has less left for the
second.

A stopped ball drops where it is, give or take `DROP_SD_M` along its line (engineering choice), and lies as
the ground there says: in a wood, as a recovery.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.outcome.today import HoleToday

DROP_SD_M: Final = 2.0
_AT_ONCE: Final = 2048  # balls that are worked on together, to save memory


def height_above_line(length: FloatArray, u: FloatArray, height: FloatArray) -> FloatArray:
    """Height above the straight line to the landing at fractions u of a flight that carries `length`. [m]

    Parameters
    ----------
    length, u : ndarray, broadcast
    height : ndarray (3,)
        Row of `ShotTable.flight_height`.
    """
    return np.asarray(length * u * (1.0 - u) * (height[0] + u * (height[1] + u * height[2])))


def stopped_at(
    today: HoleToday,
    start: FloatArray,
    landing: FloatArray,
    bend: float,
    height: FloatArray,
    stands: FloatArray,
) -> FloatArray:
    """Fraction of its flight at which each ball is stopped by a tree (K,); 1 for one that is not.

    The track is looked at every cell of the canopy along its straight line.

    Parameters
    ----------
    start : ndarray (2,)
        [m]
    landing : ndarray (K, 2)
        [m]
    bend : float
        Sideways bend, positive right. [m]
    height : ndarray (3,)
        Row of `ShotTable.flight_height`.
    stands : ndarray (K,)
        Mean free ways that each ball can stand.
    """
    canopy = today.canopy
    if canopy is None or not len(landing):
        return np.ones(len(landing))
    if len(landing) > _AT_ONCE:
        half = len(landing) // 2
        parts = (slice(None, half), slice(half, None))
        return np.concatenate([stopped_at(today, start, landing[k], bend, height, stands[k]) for k in parts])
    chord = landing - start
    length = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-9)[:, None]
    level = float(today.height_at(start)[0])
    up = today.height_at(landing)[:, None] - level
    u = np.arange(1, int(length.max() / canopy.cell_m) + 1) * canopy.cell_m / length
    aside = bend * (u * u - u) / length
    x = start[0] + u * chord[:, :1] + aside * chord[:, 1:]
    y = start[1] + u * chord[:, 1:] - aside * chord[:, :1]
    corner_x, corner_y = today.corner
    col = np.floor((x - corner_x) / canopy.cell_m).astype(np.int64)
    row = np.floor((y - corner_y) / canopy.cell_m).astype(np.int64)
    ny, nx = canopy.top.shape
    there = (u < 1.0) & (row >= 0) & (row < ny) & (col >= 0) & (col < nx)
    row, col = np.where(there, row, 0), np.where(there, col, 0)
    ground = today.height_at(np.stack((x, y), axis=-1).reshape(-1, 2)).reshape(u.shape)
    above = u * up + height_above_line(length, u, height) - (ground - level)
    way = canopy.cell_m / np.where(above >= canopy.base[row, col], canopy.crown_m, canopy.stems_m)
    used = np.cumsum(np.where(there & (above < canopy.top[row, col]), way, 0.0), axis=1)
    stopped = used > stands[:, None]
    # The ball is stopped at the first place where it has met more than it can stand.
    return np.asarray(np.min(u, axis=1, where=stopped, initial=1.0))
