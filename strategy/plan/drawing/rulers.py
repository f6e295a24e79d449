"""Ticks of the rulers beside the map of a sheet: whole numbers in the reader's unit, where they stand."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from strategy.arrays import FloatArray
from strategy.course.playline import line_length, point_at
from strategy.plan.drawing.sheet import Sheet

Ticks = tuple[tuple[float, int], ...]  # depth on the sheet [m], and the number there [unit]


def left_ticks(sheet: Sheet, unit_m: float) -> Ticks:
    """Distances from the ball: every 10 on a short map, else every 20."""
    every = 10 if sheet.window[3] - sheet.window[2] < 90.0 * unit_m else 20
    return _round_ticks(lambda depth: depth / unit_m, sheet, every)


def right_ticks(sheet: Sheet, unit_m: float) -> Ticks:
    """Paces on the green, or the distance to its front from where the line of play crosses each depth."""
    if sheet.at_green:
        return _round_ticks(lambda depth: (depth - sheet.front[1]) / unit_m, sheet, 10)
    path = point_at(sheet.line, 0.0, np.linspace(0.0, line_length(sheet.line), 400))
    ahead = np.maximum.accumulate(path[:, 1])
    forward = np.concatenate(([True], np.diff(ahead) > 1e-6))  # where the line turns back it is left

    def to_front(depth: FloatArray) -> FloatArray:
        side = np.interp(depth, path[forward, 1], path[forward, 0])
        return np.asarray(np.hypot(side - sheet.front[0], depth - sheet.front[1]) / unit_m)

    return _round_ticks(to_front, sheet, 20)


def _round_ticks(number: Callable[[FloatArray], FloatArray], sheet: Sheet, every: int) -> Ticks:
    """Depths at which a number that changes with depth is a whole multiple of `every`."""
    depth = np.linspace(sheet.window[2], sheet.window[3], 801)
    value = np.asarray(number(depth), dtype=np.float64)
    ticks = []
    for v in range(int(np.floor(value.min() / every)) * every, int(value.max()) + 1, every):
        for i in np.flatnonzero((value[:-1] <= v) != (value[1:] <= v)):
            t = (v - value[i]) / (value[i + 1] - value[i])
            ticks.append((float(depth[i] + t * (depth[i + 1] - depth[i])), v))
    return tuple(sorted(ticks))
