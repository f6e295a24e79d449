"""The green in the caddie's words, and the ground it makes where no heights are known.

::

    fall        2 % back to front: the back is high
    tier        on = 18, high = "2 ft": from there on the green stands so much higher
    false_front 5: a ball that lands on the first 5 comes back off the front
    run_offs    left, back: a ball over that edge runs away

What the words leave open is filled in with round figures (engineering choices; they are said as assumed). A
tier rises over 4 m; a run-off falls at 10 % from 2 m inside the edge to 8 m outside it. Beyond the green the
ground keeps the height of the nearest edge but for these.

A false front has to do what is said of it. Its words are about where a ball lands, and a ball that lands runs
on. So it falls at 15 %, from 1.25 m past what is said to 2 m short of the green. Of a tour player's full
wedges, 9- and 7-irons that land on it more than nine in ten then come back, at 9 to 12.5 ft; of those that
land 2 to 5 yards past it hardly any do (`tests/course/maps/test_rolloff.py`). At 8 %, about the slope on
which a ball just stays (rules and standards, section 1.5), one in fifty did.
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

FALSE_FRONT: Final = 0.15
PAST_FRONT_M: Final = 1.25
FRONT_FOOT_M: Final = 2.0
TIER_M: Final = 4.0
RUN_OFF: Final = 0.10
RUN_OFF_M: Final = (2.0, 8.0)
ERROR_M: Final = 0.3  # a fall judged by eye is good to half a per cent or so, over 60 m
SIDES: Final = ("left", "right", "front", "back")

_FALL: Final = re.compile(
    r"(?P<much>\d+(?:\.\d+)?)\s*(?:%|per ?cent)\s*(?:from\s+)?(?P<high>left|right|front|back)\s+to\s+"
    r"(?P<low>left|right|front|back)",
    re.IGNORECASE,
)
_OPPOSITE: Final = {"left": "right", "right": "left", "front": "back", "back": "front"}


def parse_falls(text: str) -> tuple[Fall, ...] | None:
    """Read a general fall; None when it cannot be read.

    >>> parse_falls("2 % back to front, 1 % left to right")
    (Fall(share=0.02, high='back'), Fall(share=0.01, high='left'))
    """
    found = []
    for part in re.split(r"\s*(?:,|;|\band\b)\s*", text.strip()):
        met = _FALL.fullmatch(part)
        if met is None or _OPPOSITE[met["high"].lower()] != met["low"].lower():
            return None
        found.append(Fall(share=float(met["much"]) / 100.0, high=met["high"].lower()))
    return tuple(found)


def sketch_height(hole: Hole, sketch: GreenSketch, xy: ArrayLike) -> FloatArray:
    """Height of places on the green above its front reference, as sketched.

    Parameters
    ----------
    xy : array (K, 2)
        Places; heights are meant for the green and its surrounds only. [m]

    Returns
    -------
    ndarray (K,)
        [m]
    """
    p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    ahead, right = last_leg(hole.line)
    front = np.asarray(front_point(hole.green, hole.line))
    centre = shapely.get_coordinates(shapely.centroid(hole.green))[0]
    deep = (p - front) @ ahead
    across = (p - centre) @ right
    rise = {"back": deep, "front": -deep, "right": across, "left": -across}
    height = np.zeros(len(p))
    for fall in sketch.falls:
        height += fall.share * rise[fall.high]
    for tier in sketch.tiers:
        t = np.clip((deep - tier.on_m) / TIER_M + 0.5, 0.0, 1.0)
        height += tier.high_m * t * t * (3.0 - 2.0 * t)
    if sketch.false_front_m > 0.0:
        height += FALSE_FRONT * np.clip(deep, 0.0, sketch.false_front_m + PAST_FRONT_M)
    return height


def foot_drop(hole: Hole, sketch: GreenSketch, edge: ArrayLike, outside: ArrayLike) -> FloatArray:
    """How much lower a false front makes the ground before the green, so that a ball runs off it.

    Parameters
    ----------
    edge : array (K, 2)
        Nearest place on the green. [m]
    outside : array (K,)
        Distance from there, 0 on the green. [m]

    Returns
    -------
    ndarray (K,)
        [m]
    """
    if sketch.false_front_m <= 0.0:
        return np.zeros(len(np.asarray(outside)))
    ahead, _ = last_leg(hole.line)
    deep = (np.asarray(edge) - np.asarray(front_point(hole.green, hole.line))) @ ahead
    # Fading where the edge turns away from the front.
    share = np.clip(1.0 - deep / sketch.false_front_m, 0.0, 1.0)
    return np.asarray(FALSE_FRONT * np.clip(outside, 0.0, FRONT_FOOT_M) * share)


def run_off_drop(hole: Hole, sketch: GreenSketch, xy: ArrayLike, outside: ArrayLike) -> FloatArray:
    """How much lower the run-offs make the ground.

    Parameters
    ----------
    xy : array (K, 2)
        Places. [m]
    outside : array (K,)
        Distance to the edge of the green, negative on it. [m]

    Returns
    -------
    ndarray (K,)
        [m]
    """
    p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    ahead, right = last_leg(hole.line)
    centre = shapely.get_coordinates(shapely.centroid(hole.green))[0]
    ring = shapely.get_coordinates(hole.green) - centre
    side = (p - centre) @ right / max(float(np.abs(ring @ right).max()), 1e-9)
    deep = (p - centre) @ ahead / max(float(np.abs(ring @ ahead).max()), 1e-9)
    size = np.maximum(np.hypot(side, deep), 1e-9)
    towards = {"right": side / size, "left": -side / size, "back": deep / size, "front": -deep / size}
    inside, beyond = RUN_OFF_M
    fallen = RUN_OFF * np.clip(np.asarray(outside) + inside, 0.0, inside + beyond)
    # A whole side, fading towards the corners so that two sides meet without a step.
    share = np.zeros(len(p))
    for run in sketch.run_offs:
        share = np.maximum(share, np.clip(towards[run] / 0.5 - 0.5, 0.0, 1.0))
    return np.asarray(fallen * share)
