"""Balls and trees: which ball is stopped on its way, and where.

A flight climbs and comes down over the straight line spot -> landing by the table's `climb`, and bends by its
`bend`. In a crown a ball flies a random way before it is stopped, exponentially distributed; below the lowest
branches the stems stop it the same way, much later (`Canopy`). What a ball can stand is drawn once for its
whole flight (`Points.core_pass`), so a ball that clips two crowns has less left for the second.

A stopped ball drops where it is, give or take `DROP_SD_M` along its line (engineering choice), and lies as
the ground there says: in a wood, as a recovery.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.outcome.today import HoleToday

FloatArray = NDArray[np.float64]

DROP_SD_M: Final = 2.0


def climbed(length: FloatArray, u: FloatArray, climb: FloatArray) -> FloatArray:
    """Height above the straight line to the landing at fractions u of a flight that carries `length`. [m]

    Parameters
    ----------
    length, u : ndarray, broadcast
    climb : ndarray (3,)
        Row of `ShotTable.climb`.
    """
    return np.asarray(length * u * (1.0 - u) * (climb[0] + u * (climb[1] + u * climb[2])))


def stopped_at(
    today: HoleToday,
    start: FloatArray,
    landing: FloatArray,
    bend: float,
    climb: FloatArray,
    stands: FloatArray,
) -> FloatArray:
    """Fraction of its flight at which each ball is stopped by a tree (K,); 1 for one that is not.

    The track is looked at every cell of its straight line.

    Parameters
    ----------
    start : ndarray (2,)
        [m]
    landing : ndarray (K, 2)
        [m]
    bend : float
        Sideways bend, positive right. [m]
    climb : ndarray (3,)
        Row of `ShotTable.climb`.
    stands : ndarray (K,)
        Mean free ways that each ball can stand.
    """
    found = np.ones(len(landing))
    canopy = today.canopy
    if canopy is None:
        return found
    chord = landing - start
    length = np.hypot(chord[:, 0], chord[:, 1])
    level = float(today.height_at(start)[0])
    up = today.height_at(landing) - level
    used = np.zeros(len(landing))
    going = np.flatnonzero(length > 0.0)
    i = 0
    while True:
        i += 1
        going = going[i * today.cell_m < length[going]]
        if not going.size:
            return found
        far = length[going]
        u = i * today.cell_m / far
        right = np.column_stack((chord[going, 1], -chord[going, 0])) / far[:, None]
        here = start + u[:, None] * chord[going] + (bend * (u * u - u))[:, None] * right
        row, col, inside = today.cells(here)
        row, col, going, u, far = row[inside], col[inside], going[inside], u[inside], far[inside]
        top, base = canopy.top[row, col], canopy.base[row, col]
        ground = 0.0 if today.height is None else today.height[row, col] - level
        above = u * up[going] + climbed(far, u, climb) - ground
        amid = above < top
        used[going] += np.where(
            amid, today.cell_m / np.where(above >= base, canopy.crown_m, canopy.stems_m), 0
        )
        stopped = used[going] > stands[going]
        found[going[stopped]] = u[stopped]
        going = going[~stopped]
