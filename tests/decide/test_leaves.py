"""What a tee shot leaves and what is then played from it."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.codes import Lie, Spot
from strategy.decide import options
from strategy.decide.leaves import SAID, _cut, stretches
from strategy.outcome.play import finishes
from strategy.outcome.points import merged
from tests.decide.test_whole import Solved, irons, par_4, woods


@pytest.fixture(scope="module")
def hole():
    return Solved(par_4(*woods(), *irons(180)))


@pytest.fixture(scope="module")
def found(hole):
    choice = hole.best.choice
    ends = [finishes(hole.today, hole.spot, choice, merged(128, 18, 4))]
    front = (3.0, 366.0)
    return stretches(hole.whole, ends, front), ends, front


def test_stretches_of_a_lie_follow_one_another_without_a_gap(found):
    for lie in SAID:
        mine = [s for s in found[0] if s.lie is lie]
        assert len(mine) >= 2
        assert all(s.low_m < s.high_m for s in mine)
        assert [s.low_m for s in mine[1:]] == [s.high_m for s in mine[:-1]]


def test_longer_leaves_take_longer_shots_and_rough_more_club(hole, found):
    carry = hole.today.shots.carry[:, int(Lie.FAIRWAY), 0]
    for lie in SAID:
        carries = [carry[s.shot] for s in found[0] if s.lie is lie]
        assert carries == sorted(carries)
    at = {}
    for lie in SAID:  # the club for one and the same distance
        at[lie] = next(carry[s.shot] for s in found[0] if s.lie is lie and s.low_m <= 105.0 < s.high_m)
    assert at[Lie.ROUGH_GOOD] >= at[Lie.FAIRWAY]


def test_shares_are_those_of_the_balls_and_leave_out_what_is_rare(hole, found):
    said, ends, _ = found
    weight = np.concatenate([e.weight for e in ends])
    code = np.concatenate([e.surface for e in ends])
    for lie in SAID:
        whole = float(weight @ hole.today.lie_chance[code, lie])
        mine = sum(s.share for s in said if s.lie is lie)
        assert 0.75 * whole <= mine <= whole + 1e-9


def test_the_shot_named_is_the_best_one_there(hole, found):
    """In the middle of a stretch of fairway the whole decision, searched afresh, gives the same shot."""
    for s in found[0]:
        if s.lie is not Lie.FAIRWAY:
            continue
        spot = Spot(0.0, 366.0 - 0.5 * (s.low_m + s.high_m), Lie.FAIRWAY)
        best = options(hole.today, spot, hole.whole, laid_out=hole.board)[0]
        costs = {o.index: o.cost for o in options(hole.today, spot, hole.whole, laid_out=hole.board)}
        assert costs[s.shot] - best.cost < 0.02


def test_no_ball_with_a_lie_no_stretch(hole, found):
    _, ends, front = found
    none = [dataclasses.replace(e, surface=np.full_like(e.surface, 5)) for e in ends]  # all on greens
    assert stretches(hole.whole, none, front) == ()


def test_two_shots_that_overlap_meet_half_way():
    """Shot 0 is best from 80 to 120 m, shot 1 from 110 to 150: neither gets the ground between for itself."""
    away = np.concatenate([np.linspace(80.0, 120.0, 400), np.linspace(110.0, 150.0, 400)])
    shot = np.repeat([0, 1], 400)
    low, high = _cut(Lie.FAIRWAY, away, np.full(800, 1 / 800), shot)
    assert (low.shot, high.shot) == (0, 1)
    assert low.high_m == high.low_m == pytest.approx(115.0, abs=0.3)
    # a twentieth of the balls of a shot is left out at either end
    assert (low.low_m, high.high_m) == pytest.approx((82.0, 148.0), abs=0.3)
    assert low.share == high.share == pytest.approx(0.5)
