"""Shots from a slope: ground under the player, table at a spot, what a player states, mirror images."""

from __future__ import annotations

import dataclasses
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scripts.invented import squared
from strategy.ball.air import STANDARD_AIR
from strategy.ball.flight import fly
from strategy.ball.slope import on_slope
from strategy.codes import Lie, Spot, Surface
from strategy.demofiles import demo
from strategy.outcome.play import Choice, finishes, mean_landing, stance_of
from strategy.outcome.points import make_points
from strategy.outcome.stance import MOST
from strategy.outcome.weather import Weather, launches, table_in
from strategy.player import read_player
from strategy.player.model import SlopeEffect
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour
from tests.worlds import mirrored

F = int(Lie.FAIRWAY)
SPOT = Spot(3.0, 0.0, Lie.FAIRWAY)


PLAYER = read_player(demo().player)
PAPER = squared(60, 40, lambda x, _: np.full(x.shape, int(Surface.FAIRWAY)))
X, Y = PAPER.centres()[..., 0], PAPER.centres()[..., 1]


@pytest.fixture
def player():
    return PLAYER


@cache
def on_the_flat(mph, blows_from):
    """Day and shots of the player in a wind."""
    wind = WindHour(hour=9.0, speed_mps=mph * MPH_MPS, gust_mps=mph * MPH_MPS, blows_from=blows_from)
    day = Weather(wind=wind if mph else None, air=STANDARD_AIR)
    return day, table_in(PLAYER, day)


def meadow(player, east=0.0, north=0.0, mph=0.0, blows_from=0.0):
    """Short grass on a plane that rises so to the east and to the north, in a wind."""
    day, shots = on_the_flat(mph, blows_from)
    return dataclasses.replace(
        PAPER,
        height=(east * X + north * Y).astype(np.float32),
        player=player,
        right_handed=player.right_handed,
        day=day,
        wind=day.wind,
        shots=shots,
    )


def club(here, name="7-iron"):
    return here.shots.clubs.index(name)


def row_from(here, spot=SPOT, name="7-iron", heading=0.0):
    return here.shots_from(spot).at(club(here, name), int(spot.lie), heading)


@given(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2))
def test_the_slope_under_a_player_is_that_of_a_plane(east, north):
    found = meadow(PLAYER, east, north).slope_under(SPOT)
    size = np.hypot(east, north)
    wanted = np.array([east, north]) * min(1.0, MOST / max(size, 1e-9))
    np.testing.assert_allclose(found, wanted, atol=0.0026)


def test_level_stances_play_the_table_itself(player):
    level, tilted = meadow(player), meadow(player, east=0.08)
    assert level.shots_from(SPOT) is level.shots
    for lie in (Lie.TEE, Lie.SAND, Lie.GREEN):
        assert tilted.shots_from(SPOT._replace(lie=lie)) is tilted.shots
    assert dataclasses.replace(tilted, height=None).shots_from(SPOT) is tilted.shots
    assert dataclasses.replace(tilted, day=None).shots_from(SPOT) is tilted.shots
    assert dataclasses.replace(tilted, level_stances=True).shots_from(SPOT) is tilted.shots
    assert stance_of(level, SPOT, Choice(3, 0.0, 150.0)) is None
    assert tilted.shots_from(SPOT) is tilted.shots_from(SPOT)  # made once


@pytest.mark.parametrize("name", ["3-wood", "7-iron", "pitching wedge"])
@pytest.mark.parametrize(("east", "north"), [(0.08, 0.0), (0.0, 0.08), (-0.04, -0.06)])
def test_the_table_at_a_spot_is_the_flight_from_its_slope(player, name, east, north):
    """Calm: landing, start line and apex of a shot to the north-east are those of the ball model itself."""
    here = meadow(player, east, north)
    shot = club(here, name)
    launch = launches(player).launch[shot]
    a = np.radians(45.0)
    ahead, right = east * np.sin(a) + north * np.cos(a), east * np.cos(a) - north * np.sin(a)
    flat, now = fly(launch), fly(on_slope(launch, ahead, right))
    level, row = (t.at(shot, F, 45.0) for t in (here.shots, here.shots_from(SPOT)))
    ratio = float(level.carry) / float(flat.carry_m)  # off turf a wood carries less
    assert float(row.carry - level.carry) == pytest.approx(float(now.carry_m - flat.carry_m) * ratio, abs=0.1)
    aside = float(row.mean[0] - level.mean[0])
    assert aside == pytest.approx(float(now.side_m - flat.side_m) * ratio, abs=0.25)
    turned = float(on_slope(launch, ahead, right).start_deg - launch.start_deg)
    assert float(row.start_offset - level.start_offset) == pytest.approx(turned, abs=0.02)
    assert float(row.apex / level.apex) == pytest.approx(float(now.apex_m / flat.apex_m), abs=0.002)
    # Start line and bend agree: the track leaves along the one and comes down where the other has it.
    bend = -4.0 * float(row.bend[1] - level.bend[1])
    start = np.tan(np.radians(turned)) * float(row.carry)
    assert aside - bend == pytest.approx(start, abs=0.4)


@pytest.mark.parametrize("lie", [Lie.FAIRWAY, Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER, Lie.RECOVERY])
def test_signs_from_every_lie(player, lie):
    spot = SPOT._replace(lie=lie)
    for east, north in ((0.06, 0.0), (-0.06, 0.0), (0.0, 0.06), (0.0, -0.06)):
        here = meadow(player, east, north)
        shots = np.flatnonzero(here.shots.allowed[:, int(lie)] & ~here.shots.short)
        level, row = (t.at(shots, int(lie), 0.0) for t in (here.shots, here.shots_from(spot)))
        if east:
            assert (np.sign(row.mean[:, 0] - level.mean[:, 0]) == -np.sign(east)).all()
        if north > 0.0:
            assert (row.apex > level.apex).all()
            assert (row.run[:, Surface.GREEN] <= level.run[:, Surface.GREEN] + 1e-9).all()
        if north < 0.0:
            assert (row.apex < level.apex).all()
            assert (row.run[:, Surface.GREEN] >= level.run[:, Surface.GREEN] - 1e-9).all()
        assert (row.least <= row.carry).all()


def test_wind_counts_with_the_higher_flight_of_an_uphill_lie(player):
    """A ball that goes up higher loses more to a wind in the face."""
    calm, into = meadow(player, north=0.06), meadow(player, north=0.06, mph=15.0, blows_from=0.0)
    lost = []
    for here in (calm, into):
        level = here.shots.at(club(here), F, 0.0)
        lost.append(float(level.carry - row_from(here).carry))
    assert lost[1] > lost[0] + 1.0 * YARD_M


def test_a_swing_aimed_off_lands_where_it_is_meant(player):
    """The ball is taken aside as said, and the number grows as said, on a landing that stays."""
    here = meadow(player, east=0.06, north=0.04)
    said = stance_of(here, SPOT, Choice(club(here), 0.0, 150.0))
    swing = Choice(club(here), 0.0, 150.0)
    level = dataclasses.replace(here, level_stances=True)
    side, depth = mean_landing(here, SPOT, swing) - mean_landing(level, SPOT, swing)
    assert side == pytest.approx(said.side_m, abs=1e-6)
    assert depth == pytest.approx(0.0, abs=1e-6)
    assert said.side_m < -5.0
    assert said.number_m > 1.0
    assert (said.ahead, said.right) == pytest.approx((0.04, 0.06), abs=1e-6)
    assert said.above is player.right_handed  # ground that is high on the right


def test_feet_are_those_of_the_hand(player):
    for right_handed in (True, False):
        for east in (0.06, -0.06):
            here = dataclasses.replace(meadow(player, east), right_handed=right_handed)
            assert stance_of(here, SPOT, Choice(club(here), 0.0, 150.0)).above is (
                (east > 0.0) == right_handed
            )


@settings(max_examples=25)
@given(st.sampled_from([-0.08, -0.03, 0.05]), st.sampled_from([-0.06, 0.0, 0.07]), st.floats(0.0, 359.0))
def test_the_mirrored_player_on_the_mirrored_slope_plays_the_mirror_image(east, north, heading):
    here = meadow(PLAYER, east, north, mph=12.0, blows_from=70.0)
    there = mirrored(here)
    one = here.shots_from(SPOT).at(np.arange(here.shots.shots), F, heading)
    two = there.shots_from(SPOT._replace(x=-SPOT.x)).at(np.arange(here.shots.shots), F, -heading)
    for name in ("carry", "least", "rise", "apex", "flight_height", "run"):
        np.testing.assert_allclose(getattr(two, name), getattr(one, name), atol=2e-3, err_msg=name)
    np.testing.assert_allclose(two.mean[:, 0], -one.mean[:, 0], atol=0.02)
    for name in ("start_offset", "bend", "run_turn"):
        np.testing.assert_allclose(getattr(two, name), -getattr(one, name), atol=0.02, err_msg=name)


def test_what_the_player_states_is_taken(player):
    stated = dataclasses.replace(player, slopes=SlopeEffect(across=0.7, uphill=-0.4, downhill=0.2))
    for (east, north), side, longer in (
        ((0.10, 0.0), -0.07, 1.0),
        ((-0.05, 0.0), 0.035, 1.0),
        ((0.0, 0.10), 0.0, 0.96),
        ((0.0, -0.10), 0.0, 1.02),
    ):
        here = meadow(stated, east, north)
        level, row = here.shots.at(club(here), F, 0.0), row_from(here)
        if north:
            assert float(row.carry) == pytest.approx(longer * float(level.carry), rel=1e-3)
        assert float(row.mean[0] - level.mean[0]) == pytest.approx(side * float(row.carry), abs=0.02)
    # What is not stated stays derived.
    part = dataclasses.replace(player, slopes=SlopeEffect(uphill=0.0))
    here, plain = meadow(part, 0.05, -0.05), meadow(player, 0.05, -0.05)
    assert float(row_from(here).mean[0]) == pytest.approx(float(row_from(plain).mean[0]))
    assert float(row_from(here).carry) == pytest.approx(float(row_from(plain).carry))


@pytest.mark.parametrize(
    ("slopes", "up", "down"),
    [
        (SlopeEffect(), "derived", "derived"),
        (SlopeEffect(across=0.7), "partly derived", "partly derived"),
        (SlopeEffect(across=0.7, uphill=-0.3), "stated", "partly derived"),
    ],
)
def test_it_is_said_where_a_stance_comes_from(slopes, up, down):
    assert (slopes.origin(0.05), slopes.origin(-0.05)) == (up, down)


def test_balls_of_a_stroke_go_where_its_table_says(player):
    """`play` flies the table of the spot: the balls stand about the landing that is taken aside."""
    here = meadow(player, east=0.06)
    points = make_points(256, 5)
    level = dataclasses.replace(here, level_stances=True)
    swing = Choice(club(here), 0.0, 150.0)
    ends = [finishes(h, SPOT, swing, points) for h in (here, level)]
    moved = (ends[0].landing - ends[1].landing)[: points.size].mean(axis=0)
    assert moved[0] == pytest.approx(stance_of(here, SPOT, Choice(club(here), 0.0, 150.0)).side_m, abs=0.3)
