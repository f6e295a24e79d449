"""Chances of a score that is needed: against rounds played out, by hand, and where it changes the shot."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import of_demo
from strategy.codes import Lie, Spot
from strategy.decide import options
from strategy.decide.aims import Aims, finish_of, in_cells, pack
from strategy.decide.kernels.arguments import NO_CROSSINGS, Sample, Screens, ToGo
from strategy.decide.kernels.flat_map import NO_SCREEN
from strategy.decide.kernels.packed import points_of
from strategy.decide.kernels.strokes import expected
from strategy.decide.options import judge
from strategy.decide.solver import value_iteration as passes
from strategy.decide.solver.need import (
    HARDLY,
    TELLING,
    TIE,
    Within,
    against_par,
    distribution,
    need,
    round_chances,
)
from strategy.decide.solver.rounds import Chain, score_chances
from strategy.outcome.play import Choice
from strategy.units import YARD_M
from tests.decide.solver.test_rounds import MOST, Tee, p_value
from tests.decide.solver.test_whole_hole import NOISE, irons, par_4, par_5, woods

N = 20_000


@pytest.fixture(scope="module")
def settled():
    """Solved until nothing moves: the mean of its chances has nowhere to hide."""
    return Tee(par_4(*woods(), *irons(180), water=True), tolerance=1e-9)


@pytest.fixture(scope="module")
def everything():
    """A hole of the demo course, between trees, with shots round the green."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passes, "_SWEEPS", 60)
        return Tee(of_demo("2"), tolerance=1e-9)


def at(tee, n, **how):
    return need(tee.whole, tee.spot, [tee.choice], tee.value, n, **how)


# -- the distribution ---------------------------------------------------------------------------------


@pytest.mark.parametrize("which", ["wet", "dry"])
def test_chances_are_those_of_exactly_so_many_and_sum_to_one(which, request):
    """Differences of chances of at most k, against chances of exactly k: two recursions."""
    tee = request.getfixturevalue(which)
    chances = distribution(tee.whole, tee.spot, tee.choice, tee.value, most=MOST)
    assert chances.sum() == pytest.approx(1.0, abs=1e-12)
    assert chances.min() >= -1e-12
    exactly = score_chances(tee.whole, tee.spot, tee.choice, tee.value, most=MOST)
    assert chances == pytest.approx(exactly, abs=1e-8)


@pytest.mark.parametrize("which", ["settled", "wet"])
def test_working_out_only_what_is_reached_changes_no_digit(which, request):
    tee = request.getfixturevalue(which)
    chances = distribution(tee.whole, tee.spot, tee.choice, tee.value)
    everywhere = distribution(tee.whole, tee.spot, tee.choice, tee.value, within=Within(tee.whole))
    np.testing.assert_array_equal(chances, everywhere)
    chain = Chain(tee.whole, start=np.array([int(tee.whole.rest.lattice.cells[0])]))
    assert len(chain.cells) < tee.whole.composed.size  # and it did leave something out


def test_the_mean_of_the_chances_is_the_value_of_every_node_lie(settled):
    """To 1e-6 for the median; float32 fields leave up to 2e-6 after three strokes.

    A ball that float32 puts across the edge of a cell is worth what lies across: that is one ball of 256, at
    fewer than one node-lie in a hundred. In float64 both agree to 1e-9 (tests/decide/solver/test_rounds.py).
    """
    assert settled.whole.residual < 1e-7
    chain = Chain(settled.whole)
    for _ in range(40):
        chain.advance()
    for part in chain.parts:
        of_score = np.array(part.chances)
        assert of_score.sum(axis=0) == pytest.approx(1.0, abs=1e-6)
        off = np.abs(np.arange(len(of_score)) @ of_score - part.solved.value)
        assert np.median(off) < 1e-6
        assert np.quantile(off, 0.99) < 2e-6
        assert off.max() < 1.0 / 256.0


@pytest.mark.slow
def test_so_it_is_with_trees_and_the_short_game(everything):
    """Near the hole to 1e-6 as well; far from it what single balls at the edges of cells are worth adds up.

    In float32 one ball of 256 that lies across the edge of a lake moves a node-lie by up to .01, and whatever
    is played from the ground around takes part of that: 2e-5 is the median of hole 2.
    """
    assert everything.whole.residual < 1e-7
    chain = Chain(everything.whole)
    for _ in range(40):
        chain.advance()
    median, most = {}, {}
    for name, part in zip(("near", "rest"), chain.parts, strict=True):
        of_score = np.array(part.chances)
        assert of_score.sum(axis=0) == pytest.approx(1.0, abs=1e-6)
        off = np.abs(np.arange(len(of_score)) @ of_score - part.solved.value)
        median[name], most[name] = np.median(off), np.quantile(off, 0.99)
    assert median["near"] < 1e-6
    assert median["rest"] < 5e-5
    assert most["near"] < 1e-4
    assert most["rest"] < 2e-3


def test_the_mean_of_the_chances_is_the_value_from_the_tee(settled):
    """Against the kernel of means on the same points; a ball that goes back is struck the same way again."""
    tee, points, core = settled, *points_of(1024, 3)
    field = Within(tee.whole).field
    packed, row, roll = in_cells(tee.today, *pack(tee.today, tee.spot, Aims.of([tee.choice])))
    out = np.empty((1, 2))
    land = field.land._replace(relief=np.full_like(field.relief, np.nan))
    expected(
        land, ToGo(field.values, field.values[None].copy(), NO_CROSSINGS), field.strike_point(tee.spot),
        packed, np.zeros(1, np.int64), row, roll.astype(np.float32), Sample(points, core),
        1.0 + tee.value, Screens(NO_SCREEN, np.zeros(1, np.int64)), out,
    )  # fmt: skip
    onward, back = out[0]
    chances = distribution(tee.whole, tee.spot, tee.choice, tee.value, most=40, seed=3)
    assert chances @ np.arange(41) == pytest.approx((1.0 + onward + back) / (1.0 - back), abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_20_000_rounds_do_not_reject_them(wet, seed):
    chances = distribution(wet.whole, wet.spot, wet.choice, wet.value, most=MOST)
    assert p_value(chances, wet.rounds(N, seed)) > 0.001


@pytest.mark.slow
def test_20_000_rounds_reject_those_of_the_hole_without_its_lake(wet, dry):
    """Power: what the lake does to a score is seen; an estimator that forgot drops would not pass."""
    chances = distribution(dry.whole, dry.spot, dry.choice, dry.value, most=MOST)
    assert p_value(chances, wet.rounds(N)) < 1e-6


@pytest.mark.slow
@pytest.mark.parametrize("n", [3, 4, 5])
def test_the_share_of_20_000_rounds_within_n_is_the_chance_under_the_plan(wet, n):
    """Within three standard errors, at most 0.011, and 0.003 for what is seen from the ball itself."""
    share = float((wet.rounds(N, 6).score <= n).mean())
    error = np.sqrt(share * (1.0 - share) / N)
    assert abs(at(wet, n, quick=True).plan_chance - share) < 3.0 * error + NOISE


# -- the greatest chance ------------------------------------------------------------------------------


def test_the_greatest_chance_of_node_lies_by_hand(wet):
    """Largest of the plain sums over the traced balls of every option, from the fields of one stroke less."""
    chain = Chain(wet.whole, 8, at_most=True)
    rng, before = np.random.default_rng(3), [np.zeros_like(chain.base), chain.before[0]]
    for k in range(1, 5):
        chain.advance()
        for part in chain.parts:
            core, count = part.solved.judged_on[1], part.cells.shape[2]
            solved = np.flatnonzero(part.tried.any(axis=0))
            for node in rng.choice(solved, 25, replace=False):
                found = []
                for slot in np.flatnonzero(part.tried[:, node]):
                    cells, penalty, share = (
                        part.cells[slot, node],
                        part.penalty[slot, node],
                        part.share[slot, node],
                    )
                    each = [
                        (part.chances[k - 2][node] if k > 1 else 0.0)
                        if cell < 0
                        else before[-1 - strokes][cell]
                        for cell, strokes in zip(cells, penalty, strict=True)
                    ]
                    found.append(
                        (1.0 - share) * np.mean(each[:core]) + share * np.sum(each[core:]) / (count - core)
                    )
                assert part.chances[k][node] == pytest.approx(max(found), abs=1e-9)
        before.append(chain.before[0])


def test_never_below_the_plan_and_growing_with_what_is_allowed(wet):
    within = Within(wet.whole)
    found = [at(wet, n, within=within) for n in (2, 3, 4, 5, 6)]
    for one in found:
        assert one.plan_chance <= one.chance + 1e-9
        assert one.chance <= one.best_chance
        assert one.plan_chance >= 0.0
        assert one.best_chance <= 1.0 + 1e-12
        assert one.price >= 0.0
        assert one.worth_saying == (one.gain > TELLING)
        if not one.worth_saying:
            assert (one.choice, one.price) == (wet.choice, 0.0)
    assert (np.diff([one.best_chance for one in found]) >= -1e-9).all()
    assert (np.diff([one.plan_chance for one in found]) >= -1e-9).all()
    under = [within.planned(k) <= within.greatest(k) + 1e-9 for k in range(6)]
    assert np.all(under)


@pytest.mark.slow
def test_a_quick_look_says_the_same_where_it_is_worth_saying():
    hole = par_5(240)
    choices = [Choice(o.index, o.heading, o.carry_m) for o in hole.found]
    value = hole.best.strokes - hole.best.cost
    for n in (2, 3, 4, 5):
        slow, quick = (need(hole.whole, hole.spot, choices, value, n, quick=quick) for quick in (False, True))
        assert quick.plan_chance == slow.plan_chance
        assert quick.worth_saying == slow.worth_saying
        if slow.gain > HARDLY + 0.01:
            assert quick == slow


class Second:
    """The second shot of a par 5 with 250 yd left, and the pond that takes `needed` to carry."""

    def __init__(self, needed):
        self.hole = par_5(needed)
        self.choices = [Choice(o.index, o.heading, o.carry_m) for o in self.hole.found]
        self.value = self.hole.best.strokes - self.hole.best.cost

    def need(self, n):
        return need(self.hole.whole, self.hole.spot, self.choices, self.value, n)


@pytest.fixture(scope="module")
def over_water():
    return Second(240)


@pytest.fixture(scope="module")
def open_ground():
    return Second(None)


def test_a_carry_that_costs_strokes_is_the_shot_where_three_are_needed(over_water):
    """The wood takes nearly all of its carry: the plan lays up, and down in three goes for it."""
    hole = over_water.hole
    assert hole.best.club != "wood"
    found = over_water.need(3)
    assert found.worth_saying
    assert hole.today.shots.clubs[found.choice.shot] == "wood"
    finish = finish_of(hole.today, hole.spot, found.choice)
    assert np.hypot(*np.subtract(finish, hole.today.hole)) < 30.0 * YARD_M
    assert found.gain > 0.05
    assert found.price > 0.05


def test_a_sure_lay_up_is_the_shot_where_four_will_do():
    """The other way round: with a shorter pond the plan goes for it, and four are all but sure from short."""
    shorter = Second(234)
    assert shorter.hole.best.club == "wood"
    found = shorter.need(4)
    assert found.worth_saying
    assert shorter.hole.today.shots.clubs[found.choice.shot] != "wood"
    assert found.best_chance > 0.95
    assert found.price > 0.05
    assert not shorter.need(3).worth_saying


def test_its_price_is_what_the_options_say_it_costs(over_water):
    """Judged anew by the kernel of means, on other points."""
    hole, found = over_water.hole, over_water.need(3)
    aims = Aims.of([over_water.choices[0], found.choice])
    judged = judge(hole.field, hole.spot, aims, seed=77, guess=over_water.value, value=over_water.value)
    assert found.price == pytest.approx(judged.strokes[1] - judged.strokes[0], abs=0.02)
    assert found.price >= -1e-6


def test_with_four_left_the_plan_is_the_shot_there(over_water):
    found = over_water.need(4)
    assert not found.worth_saying
    assert found.choice == over_water.choices[0]


@pytest.mark.parametrize("n", [3, 4])
def test_open_ground_says_play_the_same_shot(open_ground, n):
    found = open_ground.need(n)
    assert open_ground.hole.best.club == "wood"
    assert not found.worth_saying
    assert (found.choice, found.price) == (open_ground.choices[0], 0.0)
    assert found.gain <= TELLING


def test_of_chances_as_good_the_cheaper_shot_counts(over_water):
    """Nine or better is sure whatever is played: nothing else is said, not even at no gain."""
    found = over_water.need(9)
    assert found.best_chance - found.chance <= TIE
    assert found.choice == over_water.choices[0]


# -- ground that was not solved ------------------------------------------------------------------------


def test_ground_that_knows_strokes_only_makes_no_score_sure():
    """Lay-ups short of every landing count as failed; without that five would be all but sure from there."""
    tee = Tee(par_4(*woods(), *irons(180), water=True), landings=True)
    within = Within(tee.whole)
    field = within.field
    near, far = (
        int(y) * field.columns + int(x) for x, y in (field.cells(0.0, 60.0), field.cells(0.0, 250.0))
    )
    assert within.unsolved[near]
    assert not within.unsolved[far]
    found = at(tee, 5, within=within)
    finish = finish_of(tee.today, tee.spot, found.choice)
    x, y = field.cells(*finish)
    assert not within.unsolved[int(y) * field.columns + int(x)]
    wedge = int(np.argmin(tee.today.shots.carry[:, Lie.TEE, 0]))
    short = Choice(wedge, 0.0, float(tee.today.shots.carry[wedge, Lie.TEE, 0]))
    asked = need(tee.whole, tee.spot, [tee.choice, short], tee.value, 5, within=within)
    assert asked.choice.shot != wedge


# -- rounds --------------------------------------------------------------------------------------------


def test_rounds_are_sums_of_holes():
    """Two dice by hand, and the mean and variance of eighteen holes."""
    die = np.array([0.0, *np.full(6, 1.0 / 6.0)])
    two = round_chances([die, die])
    assert two[7] == pytest.approx(6.0 / 36.0)
    assert two[[2, 12]] == pytest.approx(1.0 / 36.0)
    rng = np.random.default_rng(1)
    holes = [np.append(0.0, rng.dirichlet(np.ones(8))) for _ in range(18)]
    total = round_chances(holes)
    k = np.arange(9)
    mean = [hole @ k for hole in holes]
    assert total.sum() == pytest.approx(1.0, abs=1e-12)
    assert total @ np.arange(len(total)) == pytest.approx(sum(mean), abs=1e-9)
    variance = total @ np.arange(len(total)) ** 2 - sum(mean) ** 2
    assert variance == pytest.approx(sum(h @ k**2 - m**2 for h, m in zip(holes, mean, strict=True)), abs=1e-8)
    assert round_chances([]).tolist() == [1.0]
    assert against_par(two, 7)[0] == two[7]
    assert sum(against_par(total, 70).values()) == pytest.approx(1.0)


def test_nothing_to_compare_is_refused(dry):
    with pytest.raises(ValueError, match="committed choice"):
        need(dry.whole, dry.spot, [], dry.value, 4)
    with pytest.raises(ValueError, match="one stroke"):
        need(dry.whole, dry.spot, [dry.choice], dry.value, 0)


def test_a_spot_of_the_second_shot(wet):
    """From the fairway, where the node-lies around say what to try as well."""
    spot = Spot(0.0, 240.0, Lie.FAIRWAY)
    found = options(wet.today, spot, wet.whole)
    choices = [Choice(o.index, o.heading, o.carry_m) for o in found]
    one = need(wet.whole, spot, choices, found[0].strokes, 2)
    assert one.plan_chance <= one.chance + 1e-9 <= one.best_chance + 1e-9
    same = dataclasses.replace(one, choice=choices[0])
    assert one.worth_saying or one == same
