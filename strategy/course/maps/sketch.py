"""Heights of a green from the caddie's words, for greens without measured heights.

::

    fall        2 % back to front: the back is high
    tier        on = 18, high = "2 ft": the green is 2 ft higher from 18 on
    false_front 5: a ball that lands on the first 5 comes back off the front
    run_offs    left, back: a ball over this edge runs away

The words leave some figures open. They are filled in with round numbers, which are engineering choices and
are reported as assumed. A tier rises over 4 m. A run-off falls at 10 % from 2 m inside the edge to 8 m
outside it. Apart from run-offs and false fronts the ground beyond the green has the height of the nearest
edge.

The words for a false front say where a ball lands, and a ball runs on after it lands. So the slope of 15 %
begins 1.25 m farther on than the words say and ends 2 m short of the green. With green speeds of 9 to 12.5 ft
more than nine in ten of a tour player's full wedges, 9-irons and 7-irons that land on the false front then
come back, and hardly any of those that land 2 to 5 yards past it (`tests/course/maps/test_rolloff.py`). With
8 %, about the slope on which a ball just stays (shared facts, rules and standards, section 1.5), one in fifty
came back.
"""

from __future__ import annotations

import re
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.course.green_sketch import Fall, GreenSketch
from strategy.course.model import Hole
from strategy.course.playline import front_point, last_leg

FALSE_FRONT_SLOPE: Final = 0.15
_FALSE_FRONT_PAST_M: Final = 1.25  # the slope begins so far past what the words say
FRONT_FOOT_M: Final = 2.0  # and ends so far short of the green
_TIER_M: Final = 4.0
RUN_OFF_SLOPE: Final = 0.10
_RUN_OFF_M: Final = (2.0, 8.0)  # inside and outside the edge of the green
ERROR_M: Final = 0.3  # a fall judged by eye is wrong by about half a per cent, over 60 m

_FALL: Final = re.compile(
    r"(?P<per_cent>\d+(?:\.\d+)?)\s*(?:%|per ?cent)\s*(?:from\s+)?(?P<high>left|right|front|back)\s+to\s+"
    r"(?P<low>left|right|front|back)",
    re.IGNORECASE,
)
_OPPOSITE: Final = {"left": "right", "right": "left", "front": "back", "back": "front"}


def parse_falls(text: str) -> tuple[Fall, ...] | None:
    """Read a general fall; None when it cannot be read.

    >>> parse_falls("2 % back to front, 1 % left to right")
    (Fall(share=0.02, high='back'), Fall(share=0.01, high='left'))
    """
    falls = []
    for part in re.split(r"\s*(?:,|;|\band\b)\s*", text.strip()):
        match = _FALL.fullmatch(part)
        if match is None or _OPPOSITE[match["high"].lower()] != match["low"].lower():
            return None
        falls.append(Fall(share=float(match["per_cent"]) / 100.0, high=match["high"].lower()))
    return tuple(falls)


def sketch_height(hole: Hole, sketch: GreenSketch, xy: ArrayLike) -> FloatArray:
    """Heights of places on a green above its front reference, without run-offs.

    Parameters
    ----------
    hole : Hole
        Hole with the green.
    sketch : GreenSketch
        The green in words.
    xy : array (K, 2)
        Places on the green. [m]

    Returns
    -------
    ndarray (K,)
        Heights. [m]
    """
    points = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    ahead, right = last_leg(hole.line)
    front = np.asarray(front_point(hole.green, hole.line))
    centre = shapely.get_coordinates(shapely.centroid(hole.green))[0]
    depth = (points - front) @ ahead
    across = (points - centre) @ right
    distance_towards = {"back": depth, "front": -depth, "right": across, "left": -across}
    height = np.zeros(len(points))
    for fall in sketch.falls:
        height += fall.share * distance_towards[fall.high]
    for tier in sketch.tiers:
        t = np.clip((depth - tier.on_m) / _TIER_M + 0.5, 0.0, 1.0)
        height += tier.high_m * t * t * (3.0 - 2.0 * t)
    if sketch.false_front_m > 0.0:
        height += FALSE_FRONT_SLOPE * np.clip(depth, 0.0, sketch.false_front_m + _FALSE_FRONT_PAST_M)
    return height


def false_front_drop(hole: Hole, sketch: GreenSketch, edge: ArrayLike, outside: ArrayLike) -> FloatArray:
    """How much the ground short of the green falls because of a false front.

    Parameters
    ----------
    hole : Hole
        Hole with the green.
    sketch : GreenSketch
        The green in words.
    edge : array (K, 2)
        The nearest place on the green for each place. [m]
    outside : array (K,)
        Distance of each place from the green, 0 on it. [m]

    Returns
    -------
    ndarray (K,)
        How much lower each place is. [m]
    """
    if sketch.false_front_m <= 0.0:
        return np.zeros(len(np.asarray(outside)))
    ahead, _ = last_leg(hole.line)
    depth = (np.asarray(edge) - np.asarray(front_point(hole.green, hole.line))) @ ahead
    # The drop becomes smaller where the edge turns away from the front.
    share = np.clip(1.0 - depth / sketch.false_front_m, 0.0, 1.0)
    return np.asarray(FALSE_FRONT_SLOPE * np.clip(outside, 0.0, FRONT_FOOT_M) * share)


def run_off_drop(hole: Hole, sketch: GreenSketch, xy: ArrayLike, outside: ArrayLike) -> FloatArray:
    """How much the ground falls because of run-offs, on the green and beyond its edge.

    Parameters
    ----------
    hole : Hole
        Hole with the green.
    sketch : GreenSketch
        The green in words.
    xy : array (K, 2)
        Places. [m]
    outside : array (K,)
        Distance of each place from the edge of the green, negative on the green. [m]

    Returns
    -------
    ndarray (K,)
        How much lower each place is. [m]
    """
    points = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    ahead, right = last_leg(hole.line)
    centre = shapely.get_coordinates(shapely.centroid(hole.green))[0]
    ring = shapely.get_coordinates(hole.green) - centre
    # Side and depth from the middle as shares of the half width and half depth of the green.
    side = (points - centre) @ right / max(float(np.abs(ring @ right).max()), 1e-9)
    depth = (points - centre) @ ahead / max(float(np.abs(ring @ ahead).max()), 1e-9)
    size = np.maximum(np.hypot(side, depth), 1e-9)
    towards = {"right": side / size, "left": -side / size, "back": depth / size, "front": -depth / size}
    inside_m, outside_m = _RUN_OFF_M
    drop = RUN_OFF_SLOPE * np.clip(np.asarray(outside) + inside_m, 0.0, inside_m + outside_m)
    # The drop becomes smaller towards the corners, so that two sides meet without a step.
    share = np.zeros(len(points))
    for direction in sketch.run_offs:
        share = np.maximum(share, np.clip(towards[direction] / 0.5 - 0.5, 0.0, 1.0))
    return np.asarray(drop * share)
