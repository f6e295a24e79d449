"""What a tee shot leaves and what is then played from it."""

from __future__ import annotations

import dataclasses
from itertools import pairwise, product

import numpy as np
import pytest

from scripts.invented import of_demo
from strategy.codes import Lie, Spot
from strategy.decide import options
from strategy.decide.leaves import (
    LEAST_SHARE,
    MOST_STRETCHES,
    SAID,
    WORTH_A_STRETCH,
    Decided,
    cut,
    stretches,
)
from strategy.outcome.play import finishes
from strategy.outcome.points import merged
from tests.decide.solver.test_whole_hole import Solved, irons, par_4, woods

LOST = 0.02  # strokes that naming one shot for a whole stretch may cost on average


@pytest.fixture(scope="module")
def hole():
    return Solved(par_4(*woods(), *irons(180)))


@pytest.fixture(scope="module")
def found(hole):
    ends = [finishes(hole.today, hole.spot, hole.best.choice, merged(128, 18, 4))]
    return stretches(hole.field, ends), ends


def balls(hole, ends, lie, count):
    """Balls (count) at even steps of their weight by distance to the front, and that distance."""
    rest, code = ends[0].rest, ends[0].surface
    away = np.hypot(*(rest - np.asarray(hole.today.front_xy)).T)
    weight = ends[0].weight * hole.today.lie_chance[code, lie]
    order = np.argsort(away)[weight[np.argsort(away)] > 0.0]
    until = np.cumsum(weight[order]) / weight[order].sum()
    pick = order[np.searchsorted(until, 0.05 + 0.9 * (np.arange(count) + 0.5) / count)]
    return [Spot(float(x), float(y), lie) for x, y in rest[pick]], away[pick]


def losses(hole, said, ends, lie, count):
    """What the named shot costs at each of some balls by a decision in full, and the best shot there."""
    mine = [s for s in said if s.lie is lie]
    lost, best = [], []
    for spot, away in zip(*balls(hole, ends, lie, count), strict=True):
        full = options(hole.today, spot, hole.whole, laid_out=hole.field, seed=7, keep=12)
        costs = {o.index: o.cost for o in full}
        named = min(mine, key=lambda s: max(s.low_m - away, away - s.high_m, 0.0)).shot
        lost.append(costs.get(named, 0.5))  # not among a dozen: dearer than this
        best.append(full[0].index)
    return np.array(lost), np.array(best)


# -- where to cut -------------------------------------------------------------------------------------


def least_by_trial(price, mass, must):
    """The same by trying every way of naming shots."""
    balls_, shots = price.shape
    best = np.inf
    for named in product(range(shots), repeat=balls_):
        starts = [0, *(i for i in range(1, balls_) if named[i] != named[i - 1]), balls_]
        parts = [mass[a:b].sum() for a, b in pairwise(starts)]
        if len(parts) > MOST_STRETCHES or min(parts) < LEAST_SHARE * mass.sum() or must not in named:
            continue
        total = sum(price[i, s] for i, s in enumerate(named)) + WORTH_A_STRETCH * (len(parts) - 1)
        best = min(best, total)
    return best


@pytest.mark.parametrize("seed", range(6))
def test_a_cut_is_the_cheapest_of_all_ways(seed):
    rng = np.random.default_rng(seed)
    price = rng.random((7, 3)) * 0.02
    mass = rng.random(7) + 0.05
    named = cut(price, mass, must=2)
    changes = int((np.diff(named) != 0).sum())
    total = price[np.arange(7), named].sum() + WORTH_A_STRETCH * changes
    assert 2 in named
    assert total == pytest.approx(least_by_trial(price, mass, 2), abs=1e-12)


def test_a_shot_whose_stretch_is_crossed_by_others_is_not_dropped():
    """The old way dropped a shot, best for most, whose edges were crossed by its neighbours'."""
    best = np.array([0, 0, 1, 1, 0, 1, 1, 2, 1, 1, 2, 2])
    price = np.where(np.arange(3) == best[:, None], 0.0, 0.05) / 12
    named = cut(price, np.full(12, 1 / 12), must=1)
    assert list(named) == [0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2]


def test_a_stretch_has_to_save_something_and_to_hold_some_balls():
    price = np.full((20, 2), 0.0)
    price[:10, 1], price[10:, 0] = 0.01, 0.9 * WORTH_A_STRETCH / 10
    assert set(cut(price, np.full(20, 0.05))) == {0}
    price[10:, 0] = 1.1 * WORTH_A_STRETCH / 10
    assert list(cut(price, np.full(20, 0.05))) == [0] * 10 + [1] * 10
    alone = np.full((30, 2), 0.0)
    alone[:, 1], alone[15, 0], alone[15, 1] = 3.0, 5.0, 0.0  # one ball in thirty, behind a tree
    assert set(cut(alone, np.full(30, 1 / 30))) == {0}


def test_where_one_shot_alone_may_be_named_it_is_named():
    price = np.full((30, 2), 0.0)
    price[:, 1] = 0.1
    price[14:16, 0] = np.inf
    assert list(np.flatnonzero(cut(price, np.full(30, 1 / 30)) == 1)) == [14, 15]


# -- on a hole ----------------------------------------------------------------------------------------


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


def test_shares_are_those_of_the_balls(hole, found):
    said, ends = found
    weight = np.concatenate([e.weight for e in ends])
    code = np.concatenate([e.surface for e in ends])
    for lie in SAID:
        whole = float(weight @ hole.today.lie_chance[code, lie])
        assert sum(s.share for s in said if s.lie is lie) == pytest.approx(whole, abs=1e-9)


@pytest.mark.slow
def test_little_is_lost_by_naming_one_shot_for_a_stretch(hole, found):
    said, ends = found
    for lie in SAID:
        lost, best = losses(hole, said, ends, lie, 24)
        assert lost.mean() < LOST
        assert np.bincount(best).argmax() in [s.shot for s in said if s.lie is lie]


def test_the_ball_that_is_spelled_out_has_the_shot_of_its_own_decision(hole, found):
    """Whatever that shot is: the one that is 5th best, so that nothing but the decision can name it."""
    _, ends = found
    (spot,), _ = balls(hole, ends, Lie.FAIRWAY, 1)
    other = options(hole.today, spot, hole.whole, laid_out=hole.field)[4]
    assert other.cost > 0.05
    said = stretches(hole.field, ends, decided=[Decided(spot, other.choice)])
    here = float(np.hypot(*np.subtract((spot.x, spot.y), hole.today.front_xy)))
    mine = [s for s in said if s.lie is Lie.FAIRWAY and s.low_m <= here <= s.high_m]
    assert [s.shot for s in mine] == [other.index]
    assert [s for s in said if s.lie is not Lie.FAIRWAY] == [s for s in found[0] if s.lie is not Lie.FAIRWAY]


def test_an_edge_is_agreed_with_unless_that_is_dear(hole, found):
    _, ends = found
    (spot,), _ = balls(hole, ends, Lie.FAIRWAY, 1)
    tee = Decided(hole.spot, hole.best.choice)
    full = options(hole.today, spot, hole.whole, laid_out=hole.field, keep=12)
    here = float(np.hypot(*np.subtract((spot.x, spot.y), hole.today.front_xy)))

    def named(option):
        said = stretches(hole.field, ends, decided=[tee, Decided(spot, option.choice)])
        return [s.shot for s in said if s.lie is Lie.FAIRWAY and s.low_m <= here <= s.high_m]

    dear = next(o for o in full if o.cost > 0.3)
    assert dear.index not in named(dear)
    assert full[0].index in named(full[0])


def test_no_ball_with_a_lie_no_stretch(hole, found):
    none = [dataclasses.replace(e, surface=np.full_like(e.surface, 5)) for e in found[1]]  # all on greens
    assert stretches(hole.field, none) == ()


@pytest.mark.slow
def test_on_the_demo_course_little_is_lost_and_both_lies_are_said():
    """A long par 4: from rough the edges of three shots cross each other."""
    hole = Solved(of_demo("13", 3))
    ends = [finishes(hole.today, hole.spot, hole.best.choice, merged(128, 18, 4))]
    middle = hole.best.leave.middle
    best = options(hole.today, middle, hole.whole, laid_out=hole.field)[0]
    said = stretches(hole.field, ends, decided=[Decided(middle, best.choice)])
    for lie in SAID:
        lost, names = losses(hole, said, ends, lie, 20)
        mine = [s for s in said if s.lie is lie]
        assert lost.mean() < LOST
        assert np.bincount(names).argmax() in [s.shot for s in mine]
        assert all(a.high_m == b.low_m for a, b in pairwise(mine))
