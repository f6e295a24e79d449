"""Ground too steep to hold a ball: false fronts, banks and run-offs of closely mown grass.

A ball that comes to a stop on a slope steeper than its grass holds runs on down, cell by cell, to the first
ground that holds it: flatter, longer grass, sand or water. On a green the limit follows from its speed; on
fairway from a rolling deceleration of 1.3 m/s² (physics facts, section 4); in longer grass a ball stays.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.ball.ground import stopping_slope
from strategy.codes import Surface

FAIRWAY_HOLDS: Final = 0.187  # 1.3 / (5/7 g)
_SMOOTH_M: Final = 0.8  # of the heights, s.d.: steps of a height model are no banks
_DOUBLINGS: Final = 8  # a ball runs on over 2^8 cells at most


def roll_off(
    height: NDArray[np.float32], surface: NDArray[np.uint8], cell_m: float, stimp_ft: float
) -> NDArray[np.int32] | None:
    """Cell where a ball that stops in a cell comes to rest (ny * nx,), flat indices; None if all hold.

    Parameters
    ----------
    height : ndarray (ny, nx)
        [m]
    surface : ndarray of uint8 (ny, nx)
    cell_m : float
        [m]
    stimp_ft : float
        Speed of the greens. [ft]
    """
    from scipy.ndimage import gaussian_filter

    smooth = gaussian_filter(height.astype(np.float64), _SMOOTH_M / cell_m, mode="nearest")
    dy, dx = np.gradient(smooth, cell_m)
    slope = np.hypot(dx, dy)
    green = surface == Surface.GREEN
    steep = green & (slope > float(stopping_slope(stimp_ft)))
    steep |= (surface == Surface.FAIRWAY) & (slope > FAIRWAY_HOLDS)
    if not steep.any():
        return None
    ny, nx = surface.shape
    to = np.arange(ny * nx, dtype=np.int32)
    padded = np.pad(smooth, 1, mode="edge")
    best, lowest = to.reshape(ny, nx).copy(), smooth.copy()
    for dj in (-1, 0, 1):
        for di in (-1, 0, 1):
            there = padded[1 + dj : 1 + dj + ny, 1 + di : 1 + di + nx]
            lower = steep & (there < lowest)  # strictly: no ball runs in a circle
            lowest = np.where(lower, there, lowest)
            row, col = np.clip(np.arange(ny) + dj, 0, ny - 1), np.clip(np.arange(nx) + di, 0, nx - 1)
            index = row[:, None] * nx + col[None, :]
            best = np.where(lower, index, best)
    to = best.ravel().astype(np.int32)
    for _ in range(_DOUBLINGS):
        to = to[to]
    return to
