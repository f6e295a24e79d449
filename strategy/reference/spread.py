r"""Default landing scatter by carry and level, where a player states none.

Tour professional: the table `spread_tour`, linear in carry; outside it in proportion to carry. A scratch
and a bogey golfer: the rating accuracy table `spread_rating`, whose areas hold two thirds of the shots.
For a bivariate normal that is the ellipse of half-axes r times the standard deviations,

    1 - exp(-r^2 / 2) = 2/3,   r = 1.482,   s.d. = width / (2 r).

Rule for a level L (average score on a course of a tour's length; 70 = tour, 73 = scratch, 92 = bogey; the
last two are engineering choices, about 20 strokes apart as the rating system has them): each s.d. is linear
in L between the three; below 70 it is the tour's, above 92 the line is carried on. Nobody is tighter than
the tour: from about 190 yd on the rated *depth* of a scratch golfer is less than what a professional's
leaves allow, and the tour's depth stands instead. Beyond the rated shots the ratio to the tour is held.

Above scratch the rated areas are a lower bound, not the scatter. A bogey golfer's holds two thirds of the
shots within 6.7 % of the distance; the median leave of amateurs from 100 to 150 yd is published as 8.7, 12
and 17.3 % for handicaps of 0-9, 10-19 and 20-36, and with the rated areas a level of 90 scored 10 to 13
strokes under what is published. So the table `spread_amateur` widens side and depth of full shots by level,
and raises the share of mishits and how short they fall; it says how it was fitted. Up to 60 yd, where the
scatter was fitted to strokes, it widens nothing, from 100 yd all.

Source of the rated areas: Course Rating System Manual, 2020, accuracy table.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.reference import numbers
from strategy.units import YARD_M

TOUR_LEVEL: Final = 70.0
SCRATCH_LEVEL: Final = 73.0
BOGEY_LEVEL: Final = 92.0
TWO_THIRDS: Final = math.sqrt(-2.0 * math.log(1.0 / 3.0))


def landing_scatter(carry_m: float, level: float = TOUR_LEVEL) -> tuple[float, float]:
    """Side and depth standard deviation of a shot's landing, mishits apart. [m]

    Parameters
    ----------
    carry_m : float
        Greater than 0. [m]
    level : float
        Average score.

    Examples
    --------
    >>> side, depth = landing_scatter(150 * 0.9144)
    >>> round(side / 0.9144, 6), round(depth / 0.9144, 6)
    (4.9, 5.3)
    """
    carry = carry_m / YARD_M
    tour = tour_scatter(carry)
    ratio = _ratio(carry, level) * _amateur(carry, level)
    return float(tour[0] * ratio[0] * YARD_M), float(tour[1] * ratio[1] * YARD_M)


def tour_scatter(carry_yd: float) -> FloatArray:
    """Side and depth s.d. of the tour at a carry (2,). [yd]"""
    carries = numbers("spread_tour", "carry_yd")
    inside = float(np.clip(carry_yd, carries[0], carries[-1]))
    both = [np.interp(inside, carries, numbers("spread_tour", key)) for key in ("side_yd", "depth_yd")]
    return np.array(both) * carry_yd / inside


def rated_scatter(who: str) -> tuple[FloatArray, FloatArray]:
    """Shots (n,) and side and depth s.d. (n, 2) of the rating table for "scratch" or "bogey". [yd]"""
    shots = numbers("spread_rating", "shot_yd")
    areas = np.column_stack([numbers("spread_rating", f"{who}_{axis}_yd") for axis in ("width", "depth")])
    printed = np.isfinite(areas).all(axis=1)
    return shots[printed], areas[printed] / (2.0 * TWO_THIRDS)


def usual_mishits(level: float) -> tuple[float, float]:
    """Share of mishits of full shots at a level, and how short they fall as a share of the carry.

    >>> usual_mishits(70.0), usual_mishits(90.0)
    ((0.04, 0.16), (0.17, 0.25))
    """
    levels = numbers("spread_amateur", "level")
    share, short = (
        float(np.interp(level, levels, numbers("spread_amateur", key)))
        for key in ("mishit_share", "mishit_short")
    )
    return share, short


def _amateur(carry_yd: float, level: float) -> FloatArray:
    """By how much side and depth of a shot are wider than the rated areas say (2,)."""
    levels = numbers("spread_amateur", "level")
    full = [
        np.interp(level, levels, numbers("spread_amateur", key)) for key in ("side_factor", "depth_factor")
    ]
    return np.asarray(1.0 + (np.array(full) - 1.0) * np.interp(carry_yd, [60.0, 100.0], [0.0, 1.0]))


@cache
def _ratios(who: str) -> tuple[FloatArray, FloatArray]:
    """Rated s.d. over the tour's, by shot, never under 1."""
    shots, rated = rated_scatter(who)
    tour = np.array([tour_scatter(float(yd)) for yd in shots])
    return shots, np.maximum(rated / tour, 1.0)


def _ratio(carry_yd: float, level: float) -> FloatArray:
    if level <= TOUR_LEVEL:
        return np.ones(2)
    by_level = [np.ones(2)]
    for who in ("scratch", "bogey"):
        shots, ratios = _ratios(who)
        by_level.append(np.array([np.interp(carry_yd, shots, ratios[:, axis]) for axis in (0, 1)]))
    tour, scratch, bogey = by_level
    if level <= SCRATCH_LEVEL:
        return np.asarray(tour + (scratch - tour) * (level - TOUR_LEVEL) / (SCRATCH_LEVEL - TOUR_LEVEL))
    share = (level - SCRATCH_LEVEL) / (BOGEY_LEVEL - SCRATCH_LEVEL)
    return np.asarray(np.maximum(scratch + (bogey - scratch) * share, 1.0))
