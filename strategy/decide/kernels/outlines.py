"""Compiled kernel: a part of a hole's maps as they are when its outlines are not where they were drawn."""

from __future__ import annotations

from typing import Any

import numpy as np

from strategy.codes import Surface
from strategy.compiled import njit
from strategy.decide.kernels.arguments import Part

GREEN = int(Surface.GREEN)


@njit(cache=True, nogil=True, error_model="numpy")
def between(net: Any, y: float, x: float) -> float:
    """Value of a net (Y, X) at a place in steps of the net: straight between points, the rim's beyond."""
    rows, columns = net.shape
    y, x = min(max(y, 0.0), rows - 1.0), min(max(x, 0.0), columns - 1.0)
    j, i = min(int(y), rows - 2), min(int(x), columns - 2)
    v, u = y - j, x - i
    low = net[j, i] + u * (net[j, i + 1] - net[j, i])
    high = net[j + 1, i] + u * (net[j + 1, i + 1] - net[j + 1, i])
    return float(low + v * (high - low))


@njit(cache=True, nogil=True, error_model="numpy")
def move_outlines(
    part: Part, moved: Any, smooth: Any, values: Any, packed: Any, new_values: Any, new_packed: Any
) -> None:
    """Write a part of the maps with its outlines moved; see `decide.worlds.MovedOutlines`.

    Parameters
    ----------
    part : Part
        Which cells.
    moved : float64 (2, Y, X)
        Displacement towards east and north at the points of a net over the part. [cells]
    smooth : float64 (Y, X)
        Strokes to go from a fairway lie at the same points.
    values, packed : float32 (ny, nx), uint32 (ny, nx)
        The maps as laid out.
    new_values, new_packed : float32 (ny, nx), uint32 (ny, nx)
        Receive the part; the rest is left alone.
    """
    rows, columns = values.shape
    high, wide = smooth.shape
    # What a ball is dearer by where it lies than where the map is read.
    dearer = np.empty((high, wide))
    for j in range(high):
        for i in range(wide):
            y, x = j - moved[1, j, i] / part.step, i - moved[0, j, i] / part.step
            dearer[j, i] = smooth[j, i] - between(smooth, y, x)
    east, north, more = np.empty(wide), np.empty(wide), np.empty(wide)
    for r in range(part.height):
        y = r / part.step
        j = min(int(y), high - 2)
        v = y - j
        for i in range(wide):
            east[i] = moved[0, j, i] + v * (moved[0, j + 1, i] - moved[0, j, i])
            north[i] = moved[1, j, i] + v * (moved[1, j + 1, i] - moved[1, j, i])
            more[i] = dearer[j, i] + v * (dearer[j + 1, i] - dearer[j, i])
        row = part.row + r
        for c in range(part.width):
            x = c / part.step
            i = min(int(x), wide - 2)
            u = x - i
            column = part.column + c
            from_row = row - (north[i] + u * (north[i + 1] - north[i]))
            from_column = column - (east[i] + u * (east[i + 1] - east[i]))
            # Maps have no cell below 0, so cutting off rounds down.
            b = min(int(max(from_row + 0.5, 0.0)), rows - 1)
            a = min(int(max(from_column + 0.5, 0.0)), columns - 1)
            info = packed[b, a]
            new_packed[row, column] = info
            if info & 15 == GREEN and packed[row, column] & 15 == GREEN:
                new_values[row, column] = values[row, column]
            else:
                new_values[row, column] = values[b, a] + np.float32(more[i] + u * (more[i + 1] - more[i]))
