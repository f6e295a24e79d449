"""Decisions from a slope: the kernels fly what `play` flies, and the aim makes up for where the ball goes."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from scripts.invented import a_player, a_shot, squared
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field, options
from strategy.decide.aims import Aims, choice_at, from_stance, sums
from strategy.decide.options import cost_at
from strategy.decide.worlds import number_of
from strategy.outcome.play import Choice, mean_landing, play, well_struck
from strategy.outcome.points import make_points
from strategy.outcome.weather import Weather, table_in
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M
from tests.decide.kernels.test_strokes import AtCells, trouble, value_by_rows

BAG = a_player(a_shot("7-iron", 172, 6, 6, dial=0.12), a_shot("9-iron", 148, 5, 5.5, dial=0.12))
DAY = Weather(wind=None, air=STANDARD_AIR)
TABLE = table_in(BAG, DAY)


def on_a_slope(east, north=0.0, paint=trouble, hole=(4.0, 152.0)):
    """Trouble round a green, level but for the ground that the player stands on, which is a plane."""
    here = squared(280, 180, paint, *BAG.shots, hole=hole)
    y = here.centres()[..., 1]
    x = here.centres()[..., 0]
    stance = np.where(y < 30.0, east * x + north * (y - 15.0), 0.0)
    height = stance - (east * 2.0 if abs(east) else 0.0)
    return dataclasses.replace(
        here, height=height.astype(np.float32), day=DAY, player=BAG, shots=TABLE, right_handed=True
    )


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_kernels_from_a_slope_equal_the_specification(seed):
    rng = np.random.default_rng(seed)
    here = on_a_slope(float(rng.uniform(-0.12, 0.12)), float(rng.uniform(-0.1, 0.1)))
    to_go = AtCells(here, Baseline(here))
    field = cost_field(here, to_go)
    spot = Spot(float(rng.uniform(-20, 15)), float(rng.uniform(-10, 20)), Lie.FAIRWAY)
    heading = math.degrees(math.atan2(4 - spot.x, 152 - spot.y)) + rng.uniform(-9, 9)
    choice = Choice(int(rng.integers(2)), heading, float(rng.uniform(128.0, 150.0)))
    points = make_points(64, seed)
    again = 1.0 + float(to_go(np.array([spot[:2]]), np.array([1]))[0])
    a, p = value_by_rows(play(here, spot, choice, points), to_go, again)
    result = sums(field, spot, Aims.of([choice]), np.ascontiguousarray(points.stacked.T), again)
    assert result.onward[0] == pytest.approx(a, abs=2e-6)
    assert result.returning[0] == pytest.approx(p, abs=1e-9)


def test_aims_from_level_ground_are_turned_to_the_same_landings():
    here = on_a_slope(0.08)
    level = dataclasses.replace(here, level_stances=True)
    spot = Spot(2.0, 0.0, Lie.FAIRWAY)
    aims = Aims(shot=np.array([0, 1]), heading=np.array([3.0, 359.0]), carry=np.array([145.0, 135.0]))
    turned = from_stance(here, spot, aims)
    for i in range(2):
        there = mean_landing(here, spot, turned.choice(i))
        np.testing.assert_allclose(there, mean_landing(level, spot, aims.choice(i)), atol=0.7)
        assert 2.0 < (turned.heading[i] - aims.heading[i] + 180.0) % 360.0 - 180.0 < 6.0
    assert from_stance(level, spot, aims) is aims


@pytest.mark.parametrize("east", [0.08, -0.08])
def test_the_advice_aims_off_for_a_side_slope_and_finishes_where_it_would(east):
    """The slope costs next to nothing where it only turns the aim: sand, water and hole stay where they are.

    What is left is sampling: other headings meet other balls.
    """
    here, spot = on_a_slope(east), Spot(2.0, 0.0, Lie.FAIRWAY)
    level = dataclasses.replace(here, level_stances=True)
    one, two = (options(h, spot, Baseline(h))[0] for h in (here, level))
    assert one.label == two.label
    np.testing.assert_allclose(one.aim, two.aim, atol=1.5)
    assert one.strokes == pytest.approx(two.strokes, abs=0.02)
    turned = (one.heading - two.heading + 180.0) % 360.0 - 180.0
    assert np.sign(turned) == np.sign(east)  # ground that is high on the right: aim to the right
    assert 2.0 < abs(turned) < 6.0
    assert one.stance.side_m == pytest.approx(-turned * math.pi / 180.0 * one.carry_m, abs=1.0 * YARD_M)
    assert two.stance is None
    assert one.stance.above is (east > 0.0)


def test_an_uphill_lie_adds_to_the_number_and_may_need_more_club():
    here, spot = on_a_slope(0.0, 0.1), Spot(0.0, 15.0, Lie.FAIRWAY)
    level = dataclasses.replace(here, level_stances=True)
    hole = (0.0, 15.0 + 140.0)
    up, flat = (choice_at(h, spot, 0, hole) for h in (here, level))
    assert up is not None
    assert flat is not None
    plays = [number_of(h, spot, c) for h, c in ((here, up), (level, flat))]
    assert plays[0] - plays[1] > 2.0 * YARD_M
    for h, c in ((here, up), (level, flat)):
        np.testing.assert_allclose(well_struck(h, spot, c)[1], hole, atol=0.3)


def test_the_flag_is_priced_from_the_same_stance():
    here, spot = on_a_slope(0.08), Spot(2.0, 0.0, Lie.FAIRWAY)
    to_go = Baseline(here)
    best = options(here, spot, to_go)[0]
    field = cost_field(here, to_go)
    own = cost_at(field, spot, best.index, best.aim, best)
    assert own is not None
    assert own[0] == pytest.approx(0.0, abs=0.003)
    assert int(here.surface_at(best.aim)[0]) == Surface.GREEN
