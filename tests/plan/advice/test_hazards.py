"""Numbers of sand and water for a shot: the hole's own ones, and over slanting water those of its line."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course.model import Area
from strategy.course.named_features import name_features
from strategy.course.numbers import feature_numbers
from strategy.course.playline import line_from
from strategy.plan.advice.hazards import shot_kind, shot_numbers
from strategy.units import YARD_M
from tests.plan.drawn import sand, straight, water


def only(hole):
    (thing,) = [t for t in name_features(hole) if t.kind != "trees"]
    return thing, line_from(hole.line, hole.tees[0].xy)


def aimed(side, depth):
    return (side * YARD_M, depth * YARD_M)


def whole(number):
    return None if number is None else number.value_m / YARD_M


def slanting():
    """Water whose far edge is at 210 on the line and a yard further for every yard left."""
    corners = [(-60, 150), (60, 150), (60, 150), (-60, 270)]
    shape = shapely.Polygon(np.array([(x * YARD_M, y * YARD_M) for x, y in corners]))
    return straight(Area(surface=Surface.RED, shape=shape, fid="w"))


def test_sand_has_the_same_numbers_whatever_the_line():
    hole = straight(sand(12, 255, 22, 270))
    thing, line = only(hole)
    said = feature_numbers(hole, thing, line)
    for side in (-20, 0, 15):
        found = shot_numbers(hole, thing, line, aimed(side, 290))
        assert (found.reach, found.carry, found.own_line) == (said.reach, said.carry, False)


def test_water_square_to_the_line_has_the_same_numbers_whatever_the_line():
    hole = straight(water(-60, 190, 60, 220))
    thing, line = only(hole)
    for side in (-25, 0, 25):
        found = shot_numbers(hole, thing, line, aimed(side, 290))
        assert not found.own_line
        assert (whole(found.reach), whole(found.carry)) == pytest.approx((190, 220), abs=0.01)


def test_over_slanting_water_the_own_line_counts_and_is_marked():
    hole = slanting()
    thing, line = only(hole)
    straight_on = shot_numbers(hole, thing, line, aimed(0, 290))
    assert not straight_on.own_line
    assert whole(straight_on.carry) == pytest.approx(210, abs=0.01)
    left = shot_numbers(hole, thing, line, aimed(-29, 290))
    assert left.own_line
    # Along (-0.1, 1) t the far edge x + y = 210 is met at t = 210 / 0.9.
    assert whole(left.carry) == pytest.approx(210 / 0.9 * (1 + 0.1**2) ** 0.5, abs=0.01)
    assert left.carry.origin == "traced"
    # Two yards of difference are none: traced numbers are no better.
    assert not shot_numbers(hole, thing, line, aimed(-2, 290)).own_line


@pytest.mark.parametrize(
    ("area", "carry", "kind"),
    [
        (water(-60, 190, 60, 220), 230, "carry"),
        (water(-60, 190, 60, 220), 210, "beside"),
        (water(-60, 190, 60, 220), 180, "reach"),
        (water(10, 150, 40, 260), 230, "along"),
        (water(10, 150, 400, 260), 230, "along"),  # runs on out of sight
    ],
)
def test_what_a_shot_does_with_it(area, carry, kind):
    hole = straight(area)
    thing, line = only(hole)
    assert shot_kind(shot_numbers(hole, thing, line, aimed(0, carry + 15)), carry * YARD_M) == kind
