"""What follows and where to miss, over whole plans: one decision feeds both, no short side is advised."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from strategy import plan_course, read_course, read_player, read_week
from strategy.demofiles import demo
from strategy.plan.advice.quotes import NEAR_EDGE_M, _edges
from strategy.plan.document import Role
from strategy.plan.quoted import miss_advice


def decisions(plan):
    for hole in plan.holes:
        for rounds in hole.rounds:
            for location in rounds.locations:
                yield hole, rounds, location, (location.tee, *location.approaches)


def check_one_decision_feeds_both(plan):
    """Stretches of a lie meet and do not overlap; the one with the ball spelled out names its shot."""
    told = 0
    for hole, rounds, location, (tee, *approaches) in decisions(plan):
        name = hole.label, rounds.rounds, location.cut.text
        for lie in {s.lie for s in tee.next_shots}:
            mine = [s for s in tee.next_shots if s.lie == lie]
            assert all(s.low_m < s.high_m for s in mine), name
            assert all(a.high_m == b.low_m for a, b in pairwise(mine)), name
        for middle in (d for d in approaches if d.role is Role.MIDDLE):
            mine = [s for s in tee.next_shots if s.lie is middle.spot.lie]
            at = [s.label for s in mine if s.low_m <= middle.green.front_m <= s.high_m]
            if mine:
                assert at == [middle.first.label], name
                told += 1
    return told


def check_no_short_side(plan, course):
    """No miss is advised towards an edge within 9 yd of the hole and nearer than the opposite one."""
    told = 0
    for hole, rounds, location, all_ in decisions(plan):
        green = course.hole(hole.label).green
        for decision in all_:
            advice = miss_advice(decision.misses)
            if advice is None:
                continue
            advised = advice.best.where
            ahead = np.subtract(location.cut.xy, decision.spot[:2])
            ahead = ahead / np.hypot(*ahead)
            right = np.array([ahead[1], -ahead[0]])
            pin = np.asarray(location.cut.xy)
            (left_m, right_m), (short_m, long_m) = _edges(green, pin, right), _edges(green, pin, ahead)
            edge = {"left": left_m, "right": right_m, "short": short_m, "long": long_m}
            other = {"left": right_m, "right": left_m, "short": long_m, "long": short_m}
            near = edge[advised] < min(
                NEAR_EDGE_M - 1.0, other[advised] - 2.0
            )  # a cell of the map either way
            assert not near, (hole.label, rounds.rounds, advice)
            told += 1
    return told


@pytest.mark.slow
def test_on_the_demo_course_the_table_and_the_approach_name_one_shot(demo_plan):
    plan, course, *_ = demo_plan
    assert check_one_decision_feeds_both(plan) > 30
    assert check_no_short_side(plan, course) > 20


@pytest.mark.slow
def test_an_amateur_is_not_sent_to_the_short_side(tmp_path):
    """Holes on which the misses that finish nearest the hole are those on its short side."""
    files = demo()
    course, week = read_course(files.course), read_week(files.week)
    player = read_player(files.player.with_name("scratch-right-draw.toml"))
    plan = plan_course(course, player, week, holes=("2", "8"), rounds=(1, 4), jobs=1)
    assert check_no_short_side(plan, course) >= 3
    assert check_one_decision_feeds_both(plan) >= 3
