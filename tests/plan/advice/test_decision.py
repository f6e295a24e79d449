"""One hole planned: the chain of a long hole, what the bench shares."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_player, a_shot
from strategy.plan.advice.decision import (
    AT_HOLE_M,
    NEAR_M,
    decide,
    plan_location,
    set_up,
)
from strategy.plan.document import Cut, Role
from strategy.units import YARD_M
from tests.plan.drawn import straight
from tests.worlds import a_week

BAG = (
    a_shot("driver", 250, 15, 12, run=12),
    a_shot("5-iron", 180, 7, 7, run=5, dial=0.08),
    a_shot("wedge", 100, 3.3, 4.3, dial=0.4),
)


def planned(length, *shots):
    hole = straight(length=length)
    pin = (2.0, length * YARD_M + 3.0)
    bench = set_up(hole, a_player(*shots), a_week(), 1, ("1",), pin)
    field, _ = bench.lay_out(pin)
    return bench, plan_location(
        bench, field, Cut(text="18 on, centre", on_m=16.0, xy=pin, origin="published")
    )


def test_a_long_hole_goes_on_from_the_median_until_the_green_is_reached():
    bench, plan = planned(600, *BAG)
    assert [(d.role, d.stroke) for d in plan.approaches] == [
        (Role.MIDDLE, 2),
        (Role.LEFT, 2),
        (Role.RIGHT, 2),
        (Role.ON, 3),
    ]
    left = [d.to_hole_m for d in plan.approaches if d.role in (Role.MIDDLE, Role.ON)]
    assert plan.tee.to_hole_m > left[0] > left[1] > NEAR_M
    last = plan.approaches[-1].first
    assert last.leave is None
    assert np.hypot(*np.subtract(last.aim, bench.today.hole)) < 15.0


def test_a_player_who_never_gets_there_is_followed_for_three_shots():
    _, plan = planned(700, a_shot("9-iron", 120, 4, 5))
    assert [d.stroke for d in plan.approaches] == [2, 2, 2, 3, 4]


def test_a_lie_without_a_shot_says_so():
    bench, _ = planned(400, *BAG)
    lies = frozenset({plan_lie for plan_lie in BAG[0].lies if plan_lie.label == "tee"})
    only_tee = a_player(dataclasses.replace(BAG[0], lies=lies))
    bench = set_up(bench.hole, only_tee, a_week(), 1, ("1",), bench.today.hole)
    field, _ = bench.lay_out(bench.today.hole)
    found = plan_location(bench, field, Cut(text="c", on_m=16.0, xy=bench.today.hole, origin="published"))
    assert found.tee.options
    assert found.approaches[0].options == ()
    assert "no shot is played from this lie" in found.approaches[0].note


def test_a_hole_is_laid_out_again_from_the_values_that_were_kept():
    """A picture is drawn from them: in single precision they give the same field to 1e-6 strokes."""
    bench, _ = planned(400, *BAG)
    pin = (-5.0, 395 * YARD_M)
    field, whole = bench.lay_out(pin)
    again, recalled = bench.lay_out(pin, value=whole.values.astype(np.float32))
    np.testing.assert_allclose(again.values, field.values, atol=2e-6)
    assert again.hole == field.hole
    assert again.today.hole == pin
    assert recalled.aims_near(bench.today.tee_spot) is None
    with pytest.raises(ValueError, match="values were kept"):
        bench.lay_out(pin, value=whole.values[:-1])


def test_at_the_flag_is_told_only_when_the_advice_is_elsewhere():
    _, plan = planned(400, *BAG)
    for d in plan.approaches:
        away = np.hypot(*np.subtract(d.first.aim, plan.cut.xy))
        assert (d.at_flag is None) or (away >= AT_HOLE_M and d.at_flag.cost >= 0.0)


def test_approaches_are_planned_from_where_the_tee_shot_leaves_the_ball():
    bench, plan = planned(400, *BAG)
    leave = plan.tee.first.leave
    assert [d.spot for d in plan.approaches] == [leave.middle, leave.left, leave.right]
    field, _ = bench.lay_out(plan.cut.xy)
    near = decide(bench, field, bench.today.tee_spot._replace(y=300.0), Role.ASKED, 2)
    assert near.first.leave is None
