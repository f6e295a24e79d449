"""A lie that is not seen before the swing: by hand from `play()`, and which way it must cost."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import PLAIN, a_player, a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field, options
from strategy.decide.unseen import unseen
from strategy.errors import RequestError
from strategy.outcome.play import Choice, play
from strategy.outcome.points import scrambles
from strategy.outcome.shot_table import shot_table
from strategy.player.model import LieEffect
from strategy.strokes.baseline import Baseline

SPOT = Spot(0.0, 0.0, Lie.ROUGH_GOOD)
JUMPS = {Lie.ROUGH_GOOD: 0.6, Lie.JUMPER: 0.4}


@pytest.fixture(scope="module")
def field():
    """Water short of a green and sand long: 150 m, from where a jumper carries a tenth further and runs."""

    def paint(x, y):
        code = np.where(np.hypot(x, y - 150) < 13, Surface.GREEN, Surface.ROUGH)
        code = np.where(np.abs(y - 175) < 9, Surface.BUNKER, code)
        return np.where((y > 105) & (y < 132), Surface.RED, code)

    shots = [a_shot(f"iron {c}", c, 5, 6, dial=0.06, run=2) for c in (140, 150, 160, 170)]
    effects = {**PLAIN, Lie.JUMPER: LieEffect(carry=1.1, scatter=1.3, run=2.0)}
    player = dataclasses.replace(a_player(*shots), lie_effects=effects)
    here = dataclasses.replace(squared(260, 200, paint, *shots), shots=shot_table(player))
    return cost_field(here, Baseline(here))


@pytest.fixture(scope="module")
def found(field):
    return unseen(field, SPOT, JUMPS)


def by_hand(field, lie, swing, known):
    """One play of a swing (shot, heading, share of the full carry) from one lie, from `play()`."""
    here, total = field.today, 0.0
    row = here.shots.at(swing[0], int(lie), swing[1])
    choice = Choice(swing[0], swing[1], float(swing[2] * row.carry))
    sets = scrambles(1024, 5, 1)
    for points in sets:
        out = play(here, SPOT._replace(lie=lie), choice, points)
        # A row is one way on of a ball: the cheapest counts, and going back always stands open.
        worth = np.full(int(out.ball.max()) + 1, 1.0 + known)
        values = field.values.reshape(field.rows, field.columns)[1:-1, 1:-1]
        ahead = ~out.returns
        row_, col, inside = here.cells(out.xy[ahead])
        assert inside.all()
        np.minimum.at(worth, out.ball[ahead], out.penalty[ahead] + values[row_, col])
        weight, first = np.zeros(len(worth)), out.way == 0  # a way has a row for each lie that may be found
        np.add.at(weight, out.ball[first], out.weight[first])
        total += float(weight @ worth) / float(weight.sum())
    return 1.0 + total / len(sets)


def swing_of(field, option):
    full = float(field.today.shots.at(option.index, int(SPOT.lie), option.heading).carry)
    return option.index, option.heading, option.carry_m / full


@pytest.mark.parametrize("place", [0, *(pytest.param(n, marks=pytest.mark.slow) for n in (1, 2))])
def test_one_swing_is_worth_the_mean_over_the_lies_by_hand(field, found, place):
    """Balls of `play()` from each lie, weighted by its chance: within 0.01 of the strokes of an option."""
    option = found.options[place]
    swing = swing_of(field, option)
    mean = sum(p * by_hand(field, lie, swing, found.known) for lie, p in JUMPS.items())
    assert option.strokes == pytest.approx(mean, abs=0.01)


@pytest.mark.slow
def test_lies_seen_first_are_worth_the_mean_of_the_best_by_hand(field, found):
    known = 0.0
    for seen in found.seen:
        full = float(field.today.shots.at(seen.best.index, int(seen.lie), seen.best.heading).carry)
        swing = seen.best.index, seen.best.heading, seen.best.carry_m / full
        known += seen.chance * by_hand(field, seen.lie, swing, seen.strokes)
        assert seen.chance == JUMPS[seen.lie]
    assert found.known == pytest.approx(known, abs=0.01)


@pytest.mark.slow
def test_no_swing_is_better_than_seeing_the_lie_and_none_near_the_best_is_better(field, found):
    """Best of mean is dearer than mean of best, here by .05 or more; no swing of a net beats it."""
    best = found.options[0]
    assert best.strokes > found.known + 0.05
    for shot in range(field.today.shots.shots):
        for share in np.linspace(0.91, 1.0, 4):
            mean = sum(p * by_hand(field, lie, (shot, 0.0, share), found.known) for lie, p in JUMPS.items())
            assert mean > best.strokes - 0.01


@pytest.mark.slow
def test_what_is_good_from_one_lie_alone_costs_more(field, found):
    """The swing for a good lie flies over with a jumper; that for a jumper is wet from a good lie."""
    for seen in found.seen:
        full = float(field.today.shots.at(seen.best.index, int(seen.lie), seen.best.heading).carry)
        swing = seen.best.index, seen.best.heading, seen.best.carry_m / full
        mean = sum(p * by_hand(field, lie, swing, found.known) for lie, p in JUMPS.items())
        assert mean > found.options[0].strokes - 0.01


def test_one_lie_alone_is_the_usual_answer(field):
    """With all the chance on one lie nothing is unknown."""
    one = unseen(field, SPOT, {Lie.ROUGH_GOOD: 1.0})
    usual = options(field.today, SPOT, field.to_go, laid_out=field)
    assert one.options[0].label == usual[0].label
    assert one.options[0].strokes == pytest.approx(usual[0].strokes, abs=0.005)
    assert one.known == pytest.approx(usual[0].strokes, abs=1e-12)


def test_counts_are_over_all_lies(field, found):
    for option in found.options:
        assert sum(option.counts.values()) == 20
        assert sum(option.chances.values()) == pytest.approx(1.0, abs=1e-9)


def test_a_bag_with_nothing_for_all_of_them_is_told_so(field):
    shots = field.today.shots
    allowed = shots.allowed.copy()
    allowed[:2, Lie.JUMPER] = allowed[2:, Lie.ROUGH_GOOD] = False
    here = dataclasses.replace(field.today, shots=dataclasses.replace(shots, allowed=allowed))
    with pytest.raises(RequestError, match="no shot is played from all of these lies"):
        unseen(cost_field(here, Baseline(here)), SPOT, JUMPS)
