"""A hole re-made under other conditions is the hole laid out afresh; what another wind leaves of a choice."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_player, a_shot, squared
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field
from strategy.decide.aims import Aims, sums
from strategy.decide.options import judge
from strategy.decide.search import pool, sets_of
from strategy.decide.worlds import carried_over, number_of, numbered, remade, valued
from strategy.outcome.play import Choice, Held, mean_landing
from strategy.outcome.today import Canopy
from strategy.outcome.weather import Weather, table_in
from strategy.strokes.baseline import Baseline
from strategy.units import MPH_MPS
from strategy.week.model import WindHour

SPOT = Spot(0.0, 0.0, Lie.FAIRWAY)
BAG = (a_shot("6-iron", 175, 6, 6, dial=0.05), a_shot("8-iron", 150, 5, 5.5, dial=0.15))
CHOICES = [Choice(0, 1.0, 160.0), Choice(1, 0.0, 137.0), Choice(1, 358.0, 130.0)]
FLAT = ("values", "packed", "height", "rolls_to", "steep", "zones")


def paint(x, y):
    """A green beyond a pond that a bunker flanks."""
    green = (x / 13.0) ** 2 + ((y - 150.0) / 14.0) ** 2 <= 1.0
    pond = (y > 100.0) & (y < 133.0) & (np.abs(x) < 40.0)
    sand = (y >= 133.0) & (x > 14.0) & (x < 22.0)
    codes = np.where(pond, int(Surface.YELLOW), np.where(sand, int(Surface.BUNKER), int(Surface.ROUGH)))
    return np.where(green, int(Surface.GREEN), codes)


def woods(here, tall=9.0):
    """A wood across the left half of the way, which some balls fly over."""
    x, y = np.moveaxis(here.centres(), 2, 0)
    stands = (x < 1.0) & (y > 25.0) & (y < 33.0)
    return Canopy.of(np.where(stands, tall, 0.0), np.where(stands, 2.0, 0.0), here.cell_m)


@pytest.fixture(scope="module")
def here():
    plain = squared(240, 120, paint, *BAG)
    return dataclasses.replace(plain, canopy=woods(plain))


@pytest.fixture
def field(here):
    laid_out = cost_field(here, Baseline(here))
    strokes(laid_out)  # some of what relief is worth is remembered by now
    assert np.isfinite(laid_out.relief).any()
    return laid_out


def strokes(world):
    return valued(world, SPOT, CHOICES, sets_of(3, 128), 3.6).once(3.6)


def same(one, other):
    """Two worlds the kernels cannot tell apart."""
    for name in FLAT:
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name), err_msg=name)
    for name, a, b in zip(one.trees._fields, one.trees, other.trees, strict=True):
        np.testing.assert_array_equal(a, b, err_msg=name)
    assert (one.rows, one.columns, one.hole) == (other.rows, other.columns, other.hole)
    np.testing.assert_array_equal(strokes(one), strokes(other))
    return True


def steeper(here):
    """A slope with a ledge that no ball stays on."""
    x, _ = np.moveaxis(here.centres(), 2, 0)
    rolls_to = np.arange(x.size, dtype=np.int32)
    rolls_to[370 * 240 : 376 * 240] -= 10 * 240  # off the front of the green
    return dataclasses.replace(here, height=(0.02 * x).astype(np.float32), rolls_to=rolls_to)


def dug(here):
    """Another bunker."""
    surface = here.surface.copy()
    surface[350:380, 100:140] = int(Surface.BUNKER)
    return dataclasses.replace(here, surface=surface)


OTHERWISE = {
    "trees taller": lambda h: dataclasses.replace(h, canopy=woods(h, 25.0)),
    "fewer come through": lambda h: dataclasses.replace(
        h, canopy=dataclasses.replace(h.canopy, crown_m=3.0, stems_m=40.0)
    ),
    "no trees": lambda h: dataclasses.replace(h, canopy=None),
    "wider spreads": lambda h: dataclasses.replace(
        h, shots=dataclasses.replace(h.shots, covariance=2.0 * h.shots.covariance)
    ),
}
ELSEWHERE = {
    "heights": steeper,
    "outlines": dug,
    "hole location": lambda h: h.with_pin((4.0, 144.0)),
    "lies": lambda h: dataclasses.replace(h, lie_chance=np.roll(h.lie_chance, 1, axis=1)),
}


@pytest.mark.parametrize("change", OTHERWISE.values(), ids=OTHERWISE)
def test_a_world_re_made_is_the_one_laid_out_afresh_and_keeps_the_ground(field, here, change):
    there = change(here)
    world = remade(field, there)
    assert world.today is there
    assert world.to_go is field.to_go
    assert all(getattr(world, name) is getattr(field, name) for name in (*FLAT, "relief"))
    before = strokes(field)
    assert same(world, cost_field(there, Baseline(there)))
    assert np.abs(strokes(world) - before).max() > 0.005
    np.testing.assert_array_equal(strokes(field), before)  # the first world stays what it was


@pytest.mark.parametrize("change", ELSEWHERE.values(), ids=ELSEWHERE)
def test_strokes_of_other_places_are_refused_and_new_ones_taken(field, here, change):
    there = change(here)
    with pytest.raises(ValueError, match="say what strokes to go are there"):
        remade(field, there)
    world = remade(field, there, Baseline(there))
    assert same(world, cost_field(there, Baseline(there)))
    assert np.abs(strokes(world) - strokes(field)).max() > 1e-4


def test_other_markers_and_another_way_of_counting_keep_maps_and_trees(field, here):
    moved = remade(field, here.with_tee((3.0, 12.0)))
    assert moved.values is field.values
    assert moved.today.tee == (3.0, 12.0)
    worse = dataclasses.replace(here, level=90.0)
    counted = remade(field, to_go=Baseline(worse))
    assert counted.packed is field.packed
    assert counted.trees is field.trees
    assert counted.relief is not field.relief
    assert (
        np.nanmin(counted.values[np.isfinite(counted.values)] - field.values[np.isfinite(field.values)]) > 0.0
    )


def test_given_options_are_valued_as_by_the_sums_and_as_they_are_judged(field):
    aims = Aims.of(CHOICES)
    points = pool(7, 64)
    by_hand = sums(field, SPOT, aims, points, 3.9)
    found = valued(field, SPOT, aims, [points], 2.9)
    np.testing.assert_array_equal(found.once(2.9), by_hand.once(2.9))
    np.testing.assert_array_equal(found.repeated, by_hand.repeated)
    judged = judge(field, SPOT, aims, seed=7, guess=2.9, value=2.9, size=64)
    found = valued(field, SPOT, CHOICES, sets_of(7, 64), 2.9)
    np.testing.assert_array_equal(found.once(2.9), judged.strokes)
    np.testing.assert_array_equal(found.by_set(2.9), judged.by_scramble)


def test_a_shot_that_always_returns_never_holes_out_by_itself():
    here = squared(240, 120, lambda x, y: np.where(y > 60.0, int(Surface.OUT), int(Surface.ROUGH)), *BAG)
    found = valued(cost_field(here, Baseline(here)), SPOT, CHOICES[:1], sets_of(1, 64), 3.0)
    assert found.repeated.tolist() == [np.inf]
    assert found.once(3.0).tolist() == [5.0]  # the stroke, the penalty, and V again


# --- what another wind leaves of a choice ------------------------------------------------------------


def blown(mph):
    """The hole in so much wind, straight into the shot."""
    wind = WindHour(hour=9.0, speed_mps=mph * MPH_MPS, gust_mps=mph * MPH_MPS, blows_from=0.0)
    table = table_in(a_player(*BAG), Weather(wind=wind, air=STANDARD_AIR))
    return dataclasses.replace(squared(240, 120, paint, *BAG), shots=table, wind=wind)


@pytest.fixture(scope="module")
def winds():
    return blown(5.0), blown(12.0)


def test_the_same_landing_asks_for_another_number(winds):
    light, fresh = winds
    choice = Choice(1, 0.0, 125.0)
    assert choice.held is Held.LANDING
    found = carried_over(choice, SPOT, light, fresh)
    assert found.shot == choice.shot
    assert mean_landing(fresh, SPOT, found) == pytest.approx(mean_landing(light, SPOT, choice), abs=1e-6)
    assert number_of(fresh, SPOT, found) > number_of(light, SPOT, choice) + 3.0


def test_the_same_swing_keeps_its_number_and_lands_elsewhere(winds):
    light, fresh = winds
    choice = numbered(light, SPOT, Choice(1, 2.0, 137.0), 140.0)
    assert choice.held is Held.SWING
    found = carried_over(choice, SPOT, light, fresh)
    assert (found.shot, found.heading, found.held) == (1, 2.0, Held.SWING)
    assert number_of(light, SPOT, choice) == pytest.approx(140.0, abs=1e-9)
    assert number_of(fresh, SPOT, found) == pytest.approx(140.0, abs=1e-9)
    assert mean_landing(fresh, SPOT, found)[1] < mean_landing(light, SPOT, choice)[1] - 3.0
    back = carried_over(found, SPOT, fresh, light)
    assert back.carry == pytest.approx(choice.carry, abs=1e-9)


def test_where_the_dial_does_not_reach_another_stock_shot_lands_there(winds):
    light, fresh = winds
    full = float(light.shots.at(1, int(Lie.FAIRWAY), 0.0).carry)
    choice = Choice(1, 0.0, full)
    found = carried_over(choice, SPOT, light, fresh)
    assert fresh.shots.labels[found.shot].startswith("6-iron")
    assert mean_landing(fresh, SPOT, found) == pytest.approx(mean_landing(light, SPOT, choice), abs=1e-6)
