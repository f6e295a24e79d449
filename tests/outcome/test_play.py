"""The specification on cases small enough to work by hand."""

from __future__ import annotations

import dataclasses
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scripts.invented import a_shot, squared
from strategy.ball.ground import run_of
from strategy.codes import Lie, Spot, Surface
from strategy.demofiles import demo
from strategy.outcome.play import ASIDE, Choice, finishes, play, track, well_struck
from strategy.outcome.points import make_points
from strategy.outcome.short_game import GROUNDS, falls, runs
from strategy.outcome.weather import launches
from strategy.player import read_player
from strategy.units import YARD_M

SPOT = Spot(0.0, 0.0, Lie.FAIRWAY)


def plain(*shots, surface=Surface.FAIRWAY):
    return squared(300, 200, lambda x, _y: np.full(x.shape, int(surface)), *shots)


@given(heading=st.floats(0, 360), run=st.floats(0, 30), share=st.floats(0, 0.5))
def test_weights_sum_to_one_over_both_strata_and_over_lies(heading, run, share):
    # Short enough that no ball leaves the map, whichever way: such a ball has only one way on.
    today = plain(a_shot("iron", 40, 3, 4, run=run, mishit_share=share), surface=Surface.ROUGH)
    rows = play(today, Spot(0.0, 60.0, Lie.FAIRWAY), Choice(0, heading, 40 * YARD_M), make_points(16, 1))
    onward = ~rows.returns
    assert rows.weight[onward].sum() == pytest.approx(1.0)
    assert rows.weight[rows.returns].sum() == pytest.approx(1.0)  # every ball may also go back


@pytest.mark.parametrize(
    ("heading", "east", "north"), [(0, 0, 1), (90, 1, 0), (180, 0, -1), (270, -1, 0), (360, 0, 1)]
)
def test_headings_are_clockwise_from_north_and_side_is_right(heading, east, north):
    today = plain(a_shot("iron", 60, 0.001, 0.001, mishit_share=0.0, bias_side_m=5.0))
    spot = Spot(0.0, 60.0, Lie.FAIRWAY)
    end = finishes(today, spot, Choice(0, heading, 60 * YARD_M), make_points(4, 1))
    c = 60 * YARD_M
    expected = (east * c + north * 5.0, 60.0 + north * c - east * 5.0)
    np.testing.assert_allclose(end.landing[:4], np.tile(expected, (4, 1)), atol=0.02)


def test_run_follows_the_ball_and_depends_on_where_it_lands():
    def paint(_x, y):
        return np.where(y < 100, int(Surface.FAIRWAY), int(Surface.ROUGH))

    today = squared(300, 200, paint, a_shot("iron", 150, 3, 10, run=10, mishit_share=0.0))
    today.shots.run[..., Surface.ROUGH] = 1.0
    end = finishes(today, SPOT, Choice(0, 0.0, 100.0), make_points(64, 2))
    moved = np.hypot(*(end.rest - end.landing).T)[:64]
    short = end.landing[:64, 1] < 100
    np.testing.assert_allclose(moved[short], 10 * YARD_M)
    np.testing.assert_allclose(moved[~short], 1.0)


def test_a_running_ball_is_caught_by_sand_and_by_water():
    for trap in (Surface.BUNKER, Surface.RED):

        def paint(_x, y, trap=trap):
            return np.where((y > 110) & (y < 113), int(trap), int(Surface.FAIRWAY))

        today = squared(300, 200, paint, a_shot("iron", 120, 0.1, 0.1, run=20, mishit_share=0.0))
        end = finishes(today, SPOT, Choice(0, 0.0, 105.0), make_points(8, 1))
        assert (end.surface[:8] == trap).all()
        assert np.allclose(end.rest[:8, 1], 110, atol=0.6)


def test_uphill_lands_short_downhill_long_along_the_ball_s_own_line():
    """A ball descending at 45 degrees onto ground 5 m up lands 5 m short."""
    today = plain(a_shot("iron", 100, 0.001, 0.001, mishit_share=0.0, bias_side_m=3.0))
    today.shots.rise[..., 0] = -1.0
    for up in (5.0, -5.0):
        height = np.where(today.centres()[..., 1] > 40.0, up, 0.0).astype(np.float32)
        hill = dataclasses.replace(today, height=height)
        flat, sloped = (
            finishes(t, SPOT, Choice(0, 0.0, 90.0), make_points(1, 1)).landing[0] for t in (today, hill)
        )
        line = flat / np.hypot(*flat)
        np.testing.assert_allclose(sloped - flat, -up * line, atol=1e-6)


@pytest.mark.parametrize(("slope", "side"), [(0.05, -1.0), (-0.05, 1.0), (0.0, 0.0)])
@pytest.mark.parametrize("run", [10.0, 20.0])
def test_a_run_across_a_slope_goes_off_to_its_low_side(slope, side, run):
    """Two yards in ten on 5 %, as a green of usual speed takes it; what rises to the right goes left."""
    today = plain(a_shot("iron", 100, 0.001, 0.001, run=run, mishit_share=0.0))
    today.shots.fall[...] = 15.0
    today = dataclasses.replace(today, height=(slope * today.centres()[..., 0]).astype(np.float32))
    for heading in (0.0, 20.0):
        choice = Choice(0, heading, 100 * YARD_M)
        end, (landing, rest) = (
            finishes(today, SPOT, choice, make_points(1, 1)),
            well_struck(today, SPOT, choice),
        )
        np.testing.assert_allclose(end.rest[0], rest, atol=0.05)
        a = math.radians(heading)
        aside = float((rest - landing) @ (math.cos(a), -math.sin(a))) / YARD_M
        along = float((rest - landing) @ (math.sin(a), math.cos(a))) / YARD_M
        assert aside == pytest.approx(side * 0.2 * along * math.cos(a), abs=0.02 * along)
        assert np.sign(round(aside, 6)) == side
        if heading == 0.0:
            assert along == pytest.approx(run, abs=0.05)


@pytest.mark.parametrize(
    ("club", "surface"), [("driver", "FAIRWAY"), ("7-iron", "GREEN"), ("5-iron", "GREEN")]
)
def test_a_run_across_a_slope_is_that_of_the_ball_model(club, surface):
    on, player = Surface[surface], read_player(demo().player)
    calm, i = launches(player).calm, [s.club for s in player.shots].index(club)
    ground = list(GROUNDS).index(on)
    level = runs(calm)[:, i]
    fall = falls(calm, runs(calm))[ground, i]
    modelled = run_of(calm[i], int(on), slope=(0.0, 0.05)).across_m
    assert -ASIDE * fall * 0.05 * level[ground] == pytest.approx(float(modelled), rel=0.25)


def test_a_ball_that_came_round_runs_on_the_way_it_was_going():
    today = plain(a_shot("iron", 100, 0.001, 0.001, run=20, bend=10, mishit_share=0.0))
    end = finishes(today, SPOT, Choice(0, 0.0, 100 * YARD_M), make_points(1, 1))
    landing, rest = end.landing[0], end.rest[0]
    assert math.degrees(math.atan2(rest[0] - landing[0], rest[1] - landing[1])) == pytest.approx(
        math.degrees(math.atan2(10, 100)), abs=0.01
    )
    finish = well_struck(today, SPOT, Choice(0, 0.0, 100 * YARD_M))
    np.testing.assert_allclose(finish, [landing, rest], atol=0.02)


def test_a_dialled_shot_scatters_in_proportion():
    today = plain(a_shot("iron", 100, 5, 5, dial=0.2, mishit_share=0.0))
    points = make_points(256, 3)
    full, soft = (
        finishes(today, SPOT, Choice(0, 0.0, c), points).landing[:256].std(axis=0) for c in (100, 80)
    )
    np.testing.assert_allclose(soft / full, 0.8)


def test_track_starts_at_the_ball_ends_at_the_landing_and_bends_right():
    path = track(SPOT, (0.0, 100.0), 8.0, [0.0, 0.5, 1.0])
    np.testing.assert_allclose(path, [[0, 0], [-2, 50], [0, 100]])


def test_today_is_frozen_picklable_and_moves():
    today = plain(a_shot("iron", 100, 5, 5))
    again = pickle.loads(pickle.dumps(today))
    assert (again.surface == today.surface).all()
    assert today.with_pin((3, 140)).hole == (3.0, 140.0)
    assert today.with_tee((1, 5)).line[0].tolist() == [1.0, 5.0]
    assert today.line[0].tolist() == [0.0, 0.0]
    with pytest.raises(AttributeError):
        today.par = 5


def test_points_are_standard_normals_in_two_independent_strata():
    points = make_points(1024, 5)
    for z in (points.core, points.mishit):
        assert np.abs(z.mean(axis=0)).max() < 0.005
        assert np.abs(z.std(axis=0) - 1).max() < 0.01
    assert not np.allclose(points.core, points.mishit)
    assert (make_points(1024, 5).core == points.core).all()
    with pytest.raises(ValueError, match="power of two"):
        make_points(100, 1)
