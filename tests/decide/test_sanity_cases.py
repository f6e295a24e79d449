"""Sanity cases A, C, D, E of the numerics note: what experienced people agree on (common practice).

Aim *side* and *direction of change* are asserted as well as strokes: the advice turns on differences
smaller than any honest tolerance on strokes.
"""

from __future__ import annotations

import numpy as np
import pytest

from scripts.invented import a_player, a_shot
from strategy.decide import cost_at, cost_field, options
from strategy.outcome.setup import today
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M
from tests.worlds import a_week, bounded_e, case_today, driver_and_wood, more_club_over_the_pond, yards_off


def decide(today_):
    to_go = Baseline(today_)
    field = cost_field(today_, to_go)
    return field, options(today_, today_.tee_spot, to_go, laid_out=field)


def solved(name, *shots):
    today_, expected = case_today(name, *shots)
    field, found = decide(today_)
    return today_, field, found, expected


def flag(today_, field, found):
    return cost_at(field, today_.tee_spot, 0, today_.hole, found[0])


@pytest.fixture(scope="module")
def case_a():
    return {
        scale: solved("A", a_shot("4-iron", 205, 9 * scale, 8 * scale, dial=0.15)) for scale in (1.0, 1.25)
    }


def test_a_water_right_aims_well_left_of_a_right_hole(case_a):
    today_, field, found, expected = case_a[1.0]
    right, _ = yards_off(today_, found[0].aim)
    low, high = expected["aim_left_of_hole"]
    assert low <= -right <= high
    cost, half = flag(today_, field, found)
    assert cost >= expected["flag_cost_min"]
    assert half < 0.01


def test_a_wet_balls_are_at_least_halved_by_the_better_aim(case_a):
    today_, _, found, _ = case_a[1.0]
    from strategy.decide.aims import choice_at
    from strategy.decide.finish import finish_chances
    from strategy.outcome.play import finishes
    from strategy.outcome.points import scrambles

    at_flag = choice_at(today_, today_.tee_spot, 0, today_.hole)
    ends = [finishes(today_, today_.tee_spot, at_flag, p) for p in scrambles(256, 3, 8)]
    assert found[0].chances["wet"] <= 0.5 * finish_chances(today_, today_.tee_spot, ends)["wet"]


def test_a_more_scatter_aims_further_left(case_a):
    narrow, wide = (yards_off(case_a[s][0], case_a[s][2][0].aim)[0] for s in (1.0, 1.25))
    assert wide < narrow - 0.5


def test_c_a_wedge_goes_at_the_flag_and_the_middle_is_dear():
    today_, field, found, expected = solved("C", a_shot("wedge", 95, 3, 5, dial=0.15))
    right, past = yards_off(today_, found[0].aim)
    assert np.hypot(right, past) <= expected["aim_within"]
    middle = today_.green[:-1].mean(axis=0)
    cost, _ = cost_at(field, today_.tee_spot, 0, (float(middle[0]), float(middle[1])), found[0])
    assert cost >= expected["middle_cost_min"]


def test_d_pond_in_front_takes_more_club_and_more_with_more_scatter():
    def answer(today_):
        field, found = decide(today_)
        return found[0], flag(today_, field, found)[0]

    more_club_over_the_pond(answer)


def test_e_driver_beats_3_wood_on_a_narrow_fairway():
    _, _, found, expected = solved("E", *driver_and_wood())
    assert found[0].club == expected["best"]
    assert found[1].cost >= expected["by"]


def test_e_out_of_bounds_right_is_still_driver_and_well_left():
    hole, pin = bounded_e()
    today_ = today(hole, a_player(*driver_and_wood()), a_week(), pin=pin)
    field, found = decide(today_)
    assert found[0].club == "driver"
    right = (found[0].aim[0] - today_.tee[0]) / YARD_M
    assert 8 <= -right <= 17
    middle = (today_.tee[0], found[0].aim[1])
    cost, _ = cost_at(field, today_.tee_spot, 0, middle, found[0])
    assert cost >= 0.05
