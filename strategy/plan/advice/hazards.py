r"""Numbers of sand and water for one shot: those that `numbers` prints from where the ball lies.

A bunker has one number to reach and one to carry, whatever the line. So has water, as long as the shot's own
line crosses it at much the same place as the line of play does. Where it does not, what has to be carried on
that line is another number: it is given instead, and marked as such.

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

OVER_M: Final = 6.0 * YARD_M  # what stands nearer to the line is flown over
WATER_M: Final = 30.0 * YARD_M  # about two s.d. of a drive: water further off drowns one ball in forty
ALONG_M: Final = 70.0 * YARD_M  # longer than this beside the landing: it runs along the hole
_APART_M: Final = 3.0 * YARD_M  # as good as a traced number is: a smaller difference is none
_PAST_M: Final = 60.0 * YARD_M  # the shot's line is looked at so far beyond its aim


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotNumbers:
    """To reach and to carry one thing; None where its edge is not in sight.

    Attributes
    ----------
    own_line : bool
        Of the shot's own line over water, not of the thing as noted.
    """

    reach: Number | None
    carry: Number | None
    own_line: bool = False


def shot_numbers(hole: Hole, thing: NamedFeature, line: FloatArray, aim: tuple[float, float]) -> ShotNumbers:
    """Numbers of one thing for a shot.

    Parameters
    ----------
    thing : NamedFeature
        Sand or water of ``name_features(hole)``.
    line : ndarray (n, 2)
        ``playline.line_from(hole.line, ball)``: the first place of it is the ball. [m]
    aim : tuple of two floats
        Where a well-struck ball finishes. [m]
    """
    said = feature_numbers(hole, thing, line)
    noted = ShotNumbers(reach=said.reach, carry=said.carry)
    if thing.kind != "water":
        return noted
    ball = line[0]
    out = np.asarray(aim) - ball
    size = max(float(np.hypot(*out)), 1e-9)
    way = shapely.LineString([ball, ball + out * (1.0 + _PAST_M / size)])
    met = shapely.get_coordinates(shapely.intersection(way, thing.shape))
    if not len(met):
        return noted
    away = np.hypot(*(met - ball).T)
    near, far = (_number(hole, thing, met[k], float(away[k])) for k in (np.argmin(away), np.argmax(away)))
    # Water that begins at the ball, or goes on past the look, has no edge there.
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


def _number(hole: Hole, thing: NamedFeature, xy: FloatArray, value_m: float) -> Number:
    place = (float(xy[0]), float(xy[1]))
    return Number(value_m=value_m, origin=edge_origin(hole, thing, place))


def shot_kind(numbers: ShotNumbers, carry_m: float) -> str:
    """What a shot of some carry does with a thing: see `strategy.plan.quoted.Reach`. [m]"""
    near, far = numbers.reach, numbers.carry
    if far is not None and far.value_m <= carry_m:
        return "carry"
    if near is not None and near.value_m >= carry_m:
        return "reach"
    if near is None or far is None:
        return "along"
    return "along" if far.value_m - near.value_m > ALONG_M else "beside"
