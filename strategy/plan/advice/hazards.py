r"""Numbers of sand and water for one shot: those that `numbers` prints from where the ball lies.

A bunker has one number to reach and one to carry, whatever the line of the shot. Water has, too, as long as
the shot crosses it at nearly the same place as the line of play does. Where it does not, the shot has to
carry another number on its own line: that one is given instead, and marked as such.

::

            ~~~~~~/          line of play: 210 to carry
           ~~~~~~/
       |  /~~~~~/            the shot's own line, further left: 228 to carry "on that line"
        \ |
         \|
          + ball
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.course.model import Hole
from strategy.course.named_features import NamedFeature
from strategy.course.numbers import Number, edge_origin, feature_numbers
from strategy.units import YARD_M

OVER_M: Final = 6.0 * YARD_M  # a hazard nearer than this to the line of the shot is flown over
WATER_M: Final = 30.0 * YARD_M  # about two s.d. of a drive: water further off drowns one ball in forty
ALONG_M: Final = 70.0 * YARD_M  # a longer hazard beside the landing runs along the hole
_APART_M: Final = 3.0 * YARD_M  # accuracy of a traced number: a smaller difference means nothing
_PAST_M: Final = 60.0 * YARD_M  # length of the shot's line past its aim on which water counts


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotNumbers:
    """To reach and to carry one hazard; None where its edge is not in sight.

    Attributes
    ----------
    own_line : bool
        Measured on the shot's own line over water, not on the line of play.
    """

    reach: Number | None
    carry: Number | None
    own_line: bool = False


def shot_numbers(
    hole: Hole, feature: NamedFeature, line: FloatArray, aim: tuple[float, float]
) -> ShotNumbers:
    """Numbers of one feature for a shot.

    Parameters
    ----------
    feature : NamedFeature
        Sand or water of ``name_features(hole)``.
    line : ndarray (n, 2)
        ``playline.line_from(hole.line, ball)``: the first place of it is the ball. [m]
    aim : tuple of two floats
        Where a well-struck ball finishes. [m]
    """
    numbers = feature_numbers(hole, feature, line)
    noted = ShotNumbers(reach=numbers.reach, carry=numbers.carry)
    if feature.kind != "water":
        return noted
    ball = line[0]
    out = np.asarray(aim) - ball
    size = max(float(np.hypot(*out)), 1e-9)
    way = shapely.LineString([ball, ball + out * (1.0 + _PAST_M / size)])
    met = shapely.get_coordinates(shapely.intersection(way, feature.shape))
    if not len(met):
        return noted
    away = np.hypot(*(met - ball).T)
    near, far = (_number(hole, feature, met[k], float(away[k])) for k in (np.argmin(away), np.argmax(away)))
    # Water that begins at the ball, or goes on past the end of the line, has no edge there.
    own = ShotNumbers(
        reach=near if near.value_m > 0.0 else None,
        carry=far if far.value_m < size + _PAST_M - 0.01 else None,
        own_line=True,
    )
    return noted if _is_alike(noted, own) else own


def _is_alike(noted: ShotNumbers, own: ShotNumbers) -> bool:
    if own.carry is None:
        return noted.reach is not None and own.reach is not None and _near(noted.reach, own.reach)
    return noted.carry is not None and _near(noted.carry, own.carry)


def _near(one: Number, other: Number) -> bool:
    return abs(one.value_m - other.value_m) < _APART_M


def _number(hole: Hole, feature: NamedFeature, xy: FloatArray, value_m: float) -> Number:
    place = (float(xy[0]), float(xy[1]))
    return Number(value_m=value_m, origin=edge_origin(hole, feature, place))


def shot_kind(numbers: ShotNumbers, carry_m: float) -> str:
    """Whether a shot of some carry flies a hazard, reaches it, or lands beside it: see `Reach`. [m]"""
    near, far = numbers.reach, numbers.carry
    if far is not None and far.value_m <= carry_m:
        return "carry"
    if near is not None and near.value_m >= carry_m:
        return "reach"
    if near is None or far is None:
        return "along"
    return "along" if far.value_m - near.value_m > ALONG_M else "beside"
