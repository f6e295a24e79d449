"""Least landing on a green: how far on a ball has to land so as not to come back off the front.

It is worked out of the ground, whether that is a height model, heights in the outlines or a green in words:
the furthest place on, within `BESIDE_M` of the line of play, from which a ball that stops runs back off the
front of the green (`rolloff`). A ball that lands beyond it stops there or runs on; only one that spins back
needs more. A number that course.toml states is taken as it stands. Where hardly any of the green sends a ball
back there is none: a steep foot at the very edge is no false front.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.ground import NORMAL_STIMP_FT
from strategy.codes import Surface
from strategy.course.maps.heights import heights_on
from strategy.course.maps.rolloff import roll_off
from strategy.course.maps.surface import surface_map
from strategy.course.model import Hole
from strategy.course.origin import Origin
from strategy.course.playline import front_point, last_leg

BESIDE_M: Final = 4.0  # to each side of the line: balls are not aimed at the edges of a green
LEAST_M: Final = 1.5  # a false front less deep is none
_BEFORE_M: Final = 12.0  # of ground before the front that a ball may run back over
_STEP_M: Final = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastLanding:
    """The nearest place on a green where a ball may land and stays.

    Attributes
    ----------
    on_m : float
        From where the line of play first meets the green, along its last leg. [m]
    xy : tuple of two floats
        That place on the line. [m]
    origin : Origin
        Of the ground it comes out of; published where course.toml states it.
    """

    on_m: float
    xy: tuple[float, float]
    origin: Origin


def least_landing(hole: Hole, stimp_ft: float = NORMAL_STIMP_FT) -> LeastLanding | None:
    """The least landing of a hole's green; None where no ball comes back off its front, or nothing is known.

    Parameters
    ----------
    hole : Hole
        Its ground, and what course.toml states.
    stimp_ft : float
        Green speed: a fast green holds less. [ft]
    """
    front = np.asarray(front_point(hole.green, hole.line))
    ahead, right = last_leg(hole.line)
    if hole.least_landing_m is not None:
        return _at(front, ahead, hole.least_landing_m, Origin.PUBLISHED)
    on_m, origin = _from_ground(hole, front, ahead, right, stimp_ft)
    return None if on_m < LEAST_M else _at(front, ahead, on_m, origin)


def _at(front: FloatArray, ahead: FloatArray, on_m: float, origin: Origin) -> LeastLanding:
    x, y = front + on_m * ahead
    return LeastLanding(on_m=float(on_m), xy=(float(x), float(y)), origin=origin)


def _from_ground(
    hole: Hole, front: FloatArray, ahead: FloatArray, right: FloatArray, stimp_ft: float
) -> tuple[float, Origin]:
    """How far on a ball that stops comes back off the front, 0 for nowhere, and where that comes from."""
    ground = surface_map(hole)
    # Only the green and the ground before it are looked at.
    west, south, east, north = hole.green.buffer(_BEFORE_M).bounds
    low = np.floor((np.array([west, south]) - ground.corner) / ground.cell_m).astype(int)
    high = np.ceil((np.array([east, north]) - ground.corner) / ground.cell_m).astype(int)
    ny, nx = ground.codes.shape
    (c0, r0), (c1, r1) = np.maximum(low, 0), np.minimum(high, (nx, ny))
    codes = ground.codes[r0:r1, c0:c1]
    corner = (ground.corner[0] + float(c0) * ground.cell_m, ground.corner[1] + float(r0) * ground.cell_m)
    heights = heights_on(hole, corner, codes.shape, ground.cell_m)
    if heights is None:
        return 0.0, Origin.ASSUMED
    to = roll_off(heights.heights, codes, ground.cell_m, stimp_ft)
    if to is None:
        return 0.0, heights.origin
    # What comes back from beyond the middle of a green goes off a side or the back.
    depth = np.arange(0.5 * _STEP_M, float((hole.line[-1] - front) @ ahead), _STEP_M)
    side = np.arange(-BESIDE_M, BESIDE_M + 1e-9, 2.0 * _STEP_M)
    places = front + depth[:, None, None] * ahead + side[None, :, None] * right
    col, row = np.moveaxis(np.floor((places - corner) / ground.cell_m).astype(np.int64), -1, 0)
    row, col = np.clip(row, 0, codes.shape[0] - 1), np.clip(col, 0, codes.shape[1] - 1)
    rests = to[row * codes.shape[1] + col]
    rest_row, rest_col = rests // codes.shape[1], rests % codes.shape[1]
    rest = (np.stack((rest_col, rest_row), axis=-1) + 0.5) * ground.cell_m + corner
    back = codes[row, col] == Surface.GREEN
    back &= codes[rest_row, rest_col] != Surface.GREEN
    back &= (rest - front) @ ahead < depth[:, None] - LEAST_M
    furthest = np.flatnonzero(back.any(axis=1))
    return (float(depth[furthest[-1]] + 0.5 * _STEP_M) if furthest.size else 0.0), heights.origin
