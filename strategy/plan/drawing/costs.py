"""Costs of a sheet: contour lines over its map, the strip below it, the stretch that is even."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.decide.cost_field import CostField
from strategy.decide.option import EVEN, SMALL, Option
from strategy.decide.options import costs_over
from strategy.outcome.play import dialled
from strategy.plan.codec import Points
from strategy.plan.drawing.outlines import PlayFrame, Window

LEVELS: Final = (EVEN, 0.05, SMALL, 0.2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contour:
    """One line of equal cost: `line` is (n, 2). [m]"""

    level: float
    line: Points


def contours_of(
    field: CostField, spot: Spot, best: Option, axes: PlayFrame, window: Window, seed: int
) -> tuple[Contour, ...]:
    """Lines of equal cost over the window, as far as the shot can go.

    That is from 2.5 s.d. short of its shortest dial to 1.5 s.d. beyond its full carry. Costs are counted
    on a net finer than half the spread, then interpolated.
    """
    from contourpy import contour_generator
    from scipy.ndimage import gaussian_filter, zoom

    stroke = dialled(field.today, spot, best.choice)
    sd = np.hypot(*stroke.factor().T)
    run = float(np.hypot(*axes.point(best.aim))) - best.choice.carry
    near = float(stroke.row.least) + run - 2.5 * sd[1]
    far = float(stroke.row.carry) + run + 1.5 * sd[1]
    step = float(np.clip(0.45 * sd.min(), 1.5, 3.0))
    low, high, short, long = window
    short, long = max(short, near - 2.0 * step), min(long, far + 2.0 * step)
    if long - short < 2.0 * step:
        return ()
    x = np.linspace(low, high, int(np.ceil((high - low) / step)) + 1)
    y = np.linspace(short, long, int(np.ceil((long - short) / step)) + 1)
    net = np.stack(np.meshgrid(x, y), axis=-1)
    cost = costs_over(field, spot, best, axes.to_course(net.reshape(-1, 2)).reshape(net.shape), seed=seed)
    fine = 3
    # Smoothed twice over, so that a bowl keeps its depth: plain smoothing would lift the 0.02 line away.
    smooth = gaussian_filter(cost, 0.9, mode="nearest")
    smooth += gaussian_filter(cost - smooth, 0.9, mode="nearest")
    cost = zoom(smooth, fine, order=3, mode="nearest", grid_mode=False)
    x, y = np.linspace(low, high, cost.shape[1]), np.linspace(short, long, cost.shape[0])
    away = np.hypot(*np.meshgrid(x, y))
    lines = contour_generator(x, y, np.ma.masked_array(cost, (away < near) | (away > far)))
    contours = []
    for level in LEVELS:
        for line in lines.lines(level):
            points = np.asarray(line, dtype=np.float64)
            if np.hypot(*np.diff(points, axis=0).T).sum() > 4.0 * step:
                contours.append(Contour(level=level, line=points))
    return tuple(contours)


def strip_of(
    field: CostField, spot: Spot, best: Option, axes: PlayFrame, window: Window, seed: int
) -> tuple[FloatArray, FloatArray]:
    """Cost of the same shot and number on other lines, by the side on which it finishes."""
    away = float(np.hypot(*axes.point(best.aim)))
    low, high = max(window[0], -0.9 * away), min(window[1], 0.9 * away)
    side = np.linspace(low, high, 81)
    places = np.column_stack((side, np.sqrt(away**2 - side**2)))
    line = axes.to_course(places)
    seeds = range(seed * 4, seed * 4 + 4)  # a line shows noise that contours hide
    return side, np.mean([costs_over(field, spot, best, line, seed=s) for s in seeds], axis=0)


def even_of(side: FloatArray, cost: FloatArray, own: float) -> tuple[float, float]:
    """Ends of the stretch round `own` on which the cost stays under 0.02; both `own` when there is none."""
    good = cost < EVEN
    i = int(np.argmin(np.abs(side - own)))
    if not good[i]:
        return own, own
    left = i - int(np.argmin(good[i::-1])) if not good[: i + 1].all() else -1
    right = i + int(np.argmin(good[i:])) if not good[i:].all() else len(side)

    def crossing(inside: int, outside: int) -> float:
        if not 0 <= outside < len(side):
            return float(side[inside])
        t = (EVEN - cost[inside]) / (cost[outside] - cost[inside])
        return float(side[inside] + t * (side[outside] - side[inside]))

    return crossing(left + 1, left), crossing(right - 1, right)
