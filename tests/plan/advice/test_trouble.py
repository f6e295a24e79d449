"""What the advised shot clears, by how much, and what it does not."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.codes import Lie, Spot
from strategy.plan.advice.landmarks import surroundings_of
from strategy.plan.advice.trouble import BEYOND_M, CLEAR_M, troubles
from strategy.units import YARD_M
from tests.plan.hand import option


@pytest.fixture(scope="module")
def around(course):
    hole = course.hole("3")
    return surroundings_of(hole, hole.line)


def drive(around, carry):
    """A drive of so many yards, twelve left of the first leg of the line of play, and its trouble."""
    start, ahead = around.line[0], around.line[1] - around.line[0]
    ahead = ahead / np.hypot(*ahead)
    left = np.array([-ahead[1], ahead[0]])
    aim = start + (ahead * (carry + 10.0) + 12.0 * left) * YARD_M
    best = dataclasses.replace(option("driver", carry).option, aim=(float(aim[0]), float(aim[1])))
    spot = Spot(float(start[0]), float(start[1]), Lie.TEE)
    return best, troubles(around, spot, best, 10.0 * YARD_M, at_green=False)


@pytest.mark.parametrize("carry", range(200, 320, 8))
def test_room_is_what_the_carry_has_over_the_far_edge(around, carry):
    best, found = drive(around, carry)
    assert all(thing.state in ("cleared", "open", "beyond") for thing in found)
    for thing in found:
        if thing.state == "cleared":
            assert thing.room_m == pytest.approx(best.carry_m - thing.carry_m)
            assert 0.0 <= thing.room_m <= CLEAR_M
        else:
            assert thing.room_m is None
        if thing.state == "beyond":
            assert best.carry_m < thing.reach_m <= best.carry_m + 10.0 * YARD_M + BEYOND_M


def test_a_bunker_comes_into_reach_is_not_cleared_and_then_is(around):
    """The near left bunker of hole 3: 236 to reach, 254 to carry."""
    states = []
    for carry in (196, 210, 226, 244, 262):
        _, found = drive(around, carry)
        states.append(next((t.state for t in found if t.what == "near left bunker"), "none"))
    assert states == ["none", "beyond", "open", "open", "cleared"]


def test_an_approach_is_told_only_what_it_carries(around):
    best, _ = drive(around, 150)
    spot = Spot(float(around.line[0, 0]), float(around.line[0, 1]), Lie.FAIRWAY)
    assert all(t.state == "cleared" for t in troubles(around, spot, best, 3.0, at_green=True))
