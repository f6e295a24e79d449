"""A solved hole played out, ball by ball, against its values and its chances of every score."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chisquare

from scripts.invented import of_demo
from strategy.decide import cost_field, options
from strategy.decide.kernels.arguments import (
    AIM,
    AIM_MISHIT_SHARE,
    NO_CROSSINGS,
    Sample,
    Screens,
    StrikePoint,
    ToGo,
)
from strategy.decide.kernels.flat_map import NO_SCREEN
from strategy.decide.kernels.packed import points_of, table_of
from strategy.decide.kernels.rollout import trace
from strategy.decide.kernels.strokes import expected
from strategy.decide.kernels.sweeps import bin_of, lay
from strategy.decide.solver.rounds import Rounds, play_out, score_chances
from strategy.decide.solver.whole_hole import solve
from strategy.outcome.play import Choice
from tests.decide.solver.test_whole_hole import NOISE

MOST = 15


class Tee:
    """A hole solved and its best tee shot."""

    def __init__(self, today, **how):
        self.today, self.whole = today, solve(today, **how)
        self.spot = today.tee_spot
        self.found = options(today, self.spot, self.whole)
        best = self.found[0]
        self.choice = best.choice
        self.value = best.strokes - best.cost

    def rounds(self, n, seed=1) -> Rounds:
        return play_out(self.whole, self.spot, self.choice, self.value, n, seed=seed)

    def chances(self):
        return score_chances(self.whole, self.spot, self.choice, self.value, most=MOST)


@pytest.fixture(scope="module", params=["2", "5", "15"])
def everything(request):
    """Holes of the demo course: wind, run, water, trees, shots round the green, putts of the place."""
    tee = Tee(of_demo(request.param))
    assert tee.whole.near is not None
    assert tee.today.canopy is not None
    return tee


@pytest.mark.slow
def test_traced_balls_cost_what_the_kernel_of_means_says(wet):
    """Strokes from the cells balls are traced to, against `expected`, from random node-lies: to 1e-9."""
    rng = np.random.default_rng(2)
    whole, today = wet.whole, wet.today
    field = cost_field(today, whole)
    values = field.values.astype(np.float64)
    table, roll, _ = table_of(today)
    roll = roll.astype(np.float64)
    points, core = points_of(256, 5)
    points = points.astype(np.float64)
    count, late = points.shape[1], np.arange(points.shape[1]) >= core
    went_back, dropped = 0, 0
    solved = np.flatnonzero(whole.rest.options[:, 0, 0] >= 0)
    for node in rng.choice(solved, 60, replace=False):
        s, heading, carry = int(whole.rest.options[node, 0, 0]), *whole.rest.options[node, 0, 1:3]
        heading += rng.uniform(-0.35, 0.35)  # towards the lake, and off the map, too
        lie, (ox, oy, up) = int(whole.rest.lattice.lies[node]), whole.rest.lattice.spots[node]
        row = (s * table.shape[1] + lie) * table.shape[2] + bin_of(heading, table.shape[2])
        aim = np.empty(AIM)
        lay(aim, table[s, lie, bin_of(heading, table.shape[2])], ox, oy, heading, carry)
        cells, penalty = np.empty(count, np.int32), np.empty(count, np.int8)
        again = 1.0 + whole.rest.value[node]
        relief = np.full_like(field.relief, np.nan, dtype=np.float64)
        land = field.land._replace(relief=relief)
        to_go, start = ToGo(values, values[None], NO_CROSSINGS), StrikePoint(ox, oy, up)
        trace(
            land, to_go, start, aim, roll[row], Sample(points, core), again, NO_SCREEN.ravel(), cells, penalty
        )
        out = np.empty((1, 2))
        expected(
            land, to_go, start, aim[None], np.zeros(1, np.int64), np.array([row]), roll,
            Sample(points, core), again, Screens(NO_SCREEN, np.zeros(1, np.int64)), out,
        )  # fmt: skip
        ill = aim[AIM_MISHIT_SHARE]
        weight = np.where(late, ill / (count - core), (1.0 - ill) / core)
        on = cells >= 0
        assert weight[on] @ (values[cells[on]] + penalty[on]) == pytest.approx(out[0, 0], abs=1e-9)
        assert weight[~on].sum() == pytest.approx(out[0, 1], abs=1e-12)
        went_back += (~on).sum()
        dropped += (penalty[on] == 1).sum()
    assert went_back > 50
    assert dropped > 50


@pytest.mark.slow
@pytest.mark.parametrize("seed", [4, 5])
def test_200_000_rounds_give_the_value_from_the_tee(wet, seed):
    """Mean within three standard errors and 0.003 of V; each shot looks ahead from its ball."""
    rounds = wet.rounds(200_000, seed)
    assert rounds.error < 0.002
    assert abs(rounds.mean - wet.value) <= 3.0 * rounds.error + NOISE


@pytest.mark.slow
def test_rounds_of_a_worse_tee_shot_cost_more(wet):
    """The check can fail: the same hole from a tee shot aimed at the water is not worth V."""
    there = Choice(wet.choice.shot, wet.choice.heading + 6.0, wet.choice.carry)
    rounds = play_out(wet.whole, wet.spot, there, wet.value, 20_000, seed=4)
    assert rounds.mean > wet.value + 3.0 * rounds.error + NOISE


def p_value(chances, rounds):
    """Chi-square of scores against chances; scores too rare to count stand together."""
    seen = np.bincount(np.minimum(rounds.score, MOST), minlength=MOST + 1).astype(float)
    usual = chances * seen.sum()
    rare = usual < 8.0
    seen = np.append(seen[~rare], seen[rare].sum())
    usual = np.append(usual[~rare], usual[rare].sum())
    if usual[-1] < 8.0:
        seen = np.append(seen[:-2], seen[-2:].sum())
        usual = np.append(usual[:-2], usual[-2:].sum())
    return chisquare(seen, usual * seen.sum() / usual.sum()).pvalue


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_20_000_rounds_do_not_reject_the_chances_of_every_score(wet, seed):
    assert p_value(wet.chances(), wet.rounds(20_000, seed)) > 0.001


@pytest.mark.slow
def test_with_everything_on_rounds_give_the_value_and_the_chances(everything):
    """Of every shot that is printed: the mean of its chances its strokes; 20,000 rounds reject neither.

    A round looks ahead from where its ball lies, and may find a way that no node-lie near it has: that is
    worth up to 0.01 between woods, and never makes a hole dearer.
    """
    for option in everything.found[:3]:
        choice = option.choice
        chances = score_chances(everything.whole, everything.spot, choice, everything.value, most=MOST)
        assert chances @ np.arange(MOST + 1) == pytest.approx(option.strokes, abs=0.006)
        rounds = play_out(everything.whole, everything.spot, choice, everything.value, 20_000, seed=1)
        assert -3.0 * rounds.error - 0.01 <= rounds.mean - option.strokes <= 3.0 * rounds.error + NOISE
        assert p_value(chances, rounds) > 0.001


@pytest.mark.slow
def test_chances_of_another_hole_are_rejected(wet, dry):
    """Power: the lake is worth a few hundredths of a stroke, and 20,000 rounds see that."""
    assert 0.01 < wet.value - dry.value < 0.2
    assert p_value(dry.chances(), wet.rounds(20_000)) < 0.001


@pytest.mark.parametrize("which", ["wet", "dry"])
def test_chances_sum_to_one_and_their_mean_is_the_value(which, request):
    """To the bound of the solve and the sampling of the tee shot."""
    tee = request.getfixturevalue(which)
    chances = tee.chances()
    assert chances.shape == (MOST + 1,)
    assert (chances >= -1e-12).all()
    assert chances.sum() == pytest.approx(1.0, abs=1e-12)
    assert chances @ np.arange(MOST + 1) == pytest.approx(tee.value, abs=tee.whole.bound + NOISE)
    assert chances[:2].sum() == pytest.approx(0.0, abs=1e-12)  # nobody holes a par 4 from the tee


@pytest.mark.slow
def test_the_same_seed_plays_the_same_rounds(dry):
    one, other = dry.rounds(500, 7), dry.rounds(500, 7)
    assert np.array_equal(one.strokes, other.strokes)
    assert not np.array_equal(one.strokes, dry.rounds(500, 8).strokes)
    assert (np.abs(one.score - one.strokes) < 2.0).all()  # three putts where 1.2 were expected, and no more
