"""Compiled kernel: a part of a hole's maps as they are when its outlines are not where they were drawn."""

from __future__ import annotations

import math
from typing import Any

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
    """Write a part of the maps with its outlines moved; see `decide.sureness`.

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
    for r in range(part.row, part.row + part.height):
        for c in range(part.column, part.column + part.width):
            y, x = (r - part.row) / part.step, (c - part.column) / part.step
            dx, dy = between(moved[0], y, x), between(moved[1], y, x)
            j = min(max(math.floor(r - dy + 0.5), 0), rows - 1)
            i = min(max(math.floor(c - dx + 0.5), 0), columns - 1)
            new_packed[r, c] = packed[j, i]
            if packed[j, i] & 15 == GREEN and packed[r, c] & 15 == GREEN:
                new_values[r, c] = values[r, c]
            else:
                further = between(smooth, y - dy / part.step, x - dx / part.step)
                new_values[r, c] = values[j, i] + (between(smooth, y, x) - further)
