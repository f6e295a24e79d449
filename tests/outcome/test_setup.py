"""One hole set up for one player and one round: what of the files reaches it."""

from __future__ import annotations

import dataclasses
import pickle

import numpy as np
import pytest

from scripts.invented import a_player, a_shot, squared
from strategy.ball.air import STANDARD_AIR
from strategy.ball.ground import NORMAL_STIMP_FT
from strategy.cli.number import number
from strategy.codes import Lie, Surface
from strategy.course import read_course
from strategy.demofiles import demo
from strategy.outcome.setup import lie_chances, today
from strategy.outcome.shot_table import shot_table
from strategy.outcome.weather import Weather, table_in, weather
from strategy.player import read_player
from strategy.units import YARD_M
from strategy.week import read_week
from strategy.week.model import UNSTATED_STIMP_FT, Round, Setup, Week, WindHour
from strategy.week.wind import wind_for
from tests.worlds import a_week, case


def test_the_doubtful_swing_of_the_player_is_there_and_widens_no_committed_swing():
    hole, _, pin = case("C")
    player = a_player(a_shot("wedge", 95, 3, 5))
    plain = today(hole, player, a_week(), pin=pin)
    doubting = today(hole, dataclasses.replace(player, doubtful_swing=1.4), a_week(), pin=pin)
    assert (plain.doubtful_swing, doubting.doubtful_swing) == (1.0, 1.4)
    assert (doubting.shots.covariance == plain.shots.covariance).all()


def test_the_weather_that_the_shots_are_flown_in_goes_with_the_hole():
    hole, _, pin = case("C")
    player = a_player(a_shot("wedge", 95, 3, 5))
    wind = tuple(WindHour(hour=h, speed_mps=h - 7.0, blows_from=200.0, gust_mps=h) for h in (8.0, 12.0))
    week = Week(name="w", rounds=(Round(number=1, tee_time=8.0, wind=wind, wet=True),))
    here = today(hole, player, week, pin=pin, order=9)
    again = weather(player, week, week.round(1), hole.label, 9)
    assert dataclasses.replace(here.day, air=again.air) == again
    assert here.day.air.density == again.air.density
    assert here.day.wind == here.wind
    assert 2.0 < here.day.wind.speed_mps < 4.0
    assert (here.shots.carry == table_in(player, here.day).carry).all()
    assert pickle.loads(pickle.dumps(here)).day.wind == here.day.wind
    assert today(hole, player, dataclasses.replace(week, as_stated=True), pin=pin).day is None


def same(a, b):
    """Equal field by field, whatever they are made of."""
    if dataclasses.is_dataclass(a):
        return type(a) is type(b) and all(
            same(getattr(a, f.name), getattr(b, f.name)) for f in dataclasses.fields(a)
        )
    if isinstance(a, np.ndarray):
        return np.array_equal(a, b)
    return bool(a == b)


@pytest.fixture(scope="module")
def demo_read():
    files = demo()
    return read_course(files.course), read_player(files.player), read_week(files.week)


def blowing(week, wind):
    """The same week with one wind from morning to evening, in every round and everywhere on the course."""
    hours = () if wind is None else (wind,)
    return dataclasses.replace(
        week, shelter={}, rounds=tuple(dataclasses.replace(r, wind=hours) for r in week.rounds)
    )


def test_a_hole_of_a_course_has_the_wind_of_its_own_hour(demo_read):
    course, player, week = demo_read
    second = week.round(2)
    assert second.start_hole == "10"  # hole 4 is the thirteenth that is played
    here = today(course.hole("4"), player, week, round=2)
    assert here.wind == wind_for(second, 12)
    assert here.wind != wind_for(second, 3)
    assert same(here, today(course.hole("4"), player, week, round=2, order=12))
    alone = dataclasses.replace(course.hole("4"), card=())
    assert today(alone, player, week, round=2).wind == wind_for(second, 0)


@pytest.mark.parametrize(
    "wind",
    [WindHour(hour=9.0, speed_mps=8.0, blows_from=75.0, gust_mps=11.0), None],
)
def test_another_wind_flies_the_shots_anew(demo_read, wind):
    course, player, week = demo_read
    hole = course.hole("4")
    moved = today(hole, player, week).with_wind(wind)
    fresh = today(hole, player, blowing(week, wind))
    if wind is not None:  # the hour is only where the forecast was looked up
        hour = moved.wind.hour
        fresh = dataclasses.replace(fresh, wind=dataclasses.replace(fresh.wind, hour=hour))
        fresh = dataclasses.replace(fresh, day=dataclasses.replace(fresh.day, wind=fresh.wind))
    assert same(moved, fresh)
    assert not same(moved.shots, today(hole, player, week).shots)


def test_another_wind_says_no_more_that_the_tee_time_is_unknown(demo_read):
    course, player, week = demo_read
    untimed = dataclasses.replace(
        week, rounds=tuple(dataclasses.replace(r, tee_time=None) for r in week.rounds)
    )
    here = today(course.hole("4"), player, untimed)
    told = here.with_wind(WindHour(hour=9.0, speed_mps=8.0, blows_from=75.0, gust_mps=11.0))
    assert set(here.assumptions) - set(told.assumptions) == {
        "tee time unknown: the wind is the mean of an early and a late start"
    }


def test_as_stated_another_wind_is_only_said(demo_read):
    course, player, week = demo_read
    stated = dataclasses.replace(week, as_stated=True)
    wind = WindHour(hour=9.0, speed_mps=8.0, blows_from=75.0, gust_mps=11.0)
    here = today(course.hole("4"), player, stated)
    assert here.with_wind(wind).shots is here.shots
    assert here.with_wind(wind).wind == wind


def test_shots_of_nobody_are_not_flown_in_another_wind(demo_read):
    course, player, week = demo_read
    here = dataclasses.replace(today(course.hole("4"), player, week), player=None)
    with pytest.raises(ValueError, match="without their player"):
        here.with_wind(None)


@pytest.mark.slow
def test_from_another_tee_it_is_the_hole_set_up_from_there(demo_read):
    course, player, week = demo_read
    compared = 0
    for hole in course.holes:
        back, forward = hole.tees[0], hole.tees[-1]
        pin = tuple(hole.line[-1])
        setups = [
            today(
                hole,
                player,
                dataclasses.replace(
                    week,
                    as_stated=True,
                    rounds=(dataclasses.replace(week.round(1), holes={hole.label: Setup(tee=t.name)}),),
                ),
                pin=pin,
            )
            for t in (back, forward)
        ]
        assert same(setups[0].with_tee(forward.xy), setups[1])
        assert same(setups[1].with_tee(back.xy), setups[0])
        compared += setups[0].tee != setups[1].tee
    assert compared >= 9


def test_a_turn_behind_the_markers_comes_back_from_the_back_tee():
    hole, _, pin = case("C")
    line = np.array([[0.0, 0.0], [0.0, 150.0], [60.0, 250.0]])
    turned = dataclasses.replace(hole, line=line, tees=(dataclasses.replace(hole.tees[0], xy=(0.0, 0.0)),))
    here = today(turned, a_player(a_shot("wedge", 95, 3, 5)), a_week(), pin=pin)
    ahead = here.with_tee((5.0, 160.0))
    assert ahead.line.tolist() == [[5.0, 160.0], [60.0, 250.0]]
    assert ahead.with_tee((0.0, 0.0)).line.tolist() == line.tolist()


def test_each_ground_gives_its_own_lies_and_only_the_rough_is_a_matter_of_chance():
    expected = {
        Surface.TEE: {Lie.FAIRWAY: 1.0},
        Surface.FAIRWAY: {Lie.FAIRWAY: 1.0},
        Surface.FIRST_CUT: {Lie.FIRST_CUT: 1.0},
        Surface.ROUGH: {Lie.ROUGH_GOOD: 0.6, Lie.ROUGH_POOR: 0.3, Lie.JUMPER: 0.1},
        Surface.BUNKER: {Lie.SAND: 1.0},
        Surface.GREEN: {Lie.GREEN: 1.0},
        Surface.TREES: {Lie.RECOVERY: 1.0},
    }  # in a penalty area, out of bounds and off the map no ball is played as it lies
    found = lie_chances((0.6, 0.3, 0.1))
    for surface in Surface:
        there = {Lie(k): float(found[surface, k]) for k in np.flatnonzero(found[surface])}
        assert there == expected.get(surface, {}), surface.label


def test_markers_moved_up_bring_the_tee_nearer_along_the_line():
    hole, _, pin = case("C")
    player, week = a_player(a_shot("wedge", 95, 3, 5)), a_week()
    up = dataclasses.replace(week.rounds[0], holes={hole.label: Setup(up_m=15.0)})
    back, forward = (
        today(hole, player, dataclasses.replace(week, as_stated=True, rounds=(played,)), pin=pin)
        for played in (week.rounds[0], up)
    )
    ahead = np.subtract(back.line[1], back.tee)
    ahead = ahead / np.hypot(*ahead)
    assert np.subtract(forward.tee, back.tee) == pytest.approx(15.0 * ahead, abs=1e-6)
    assert (forward.line[1:] == back.line[1:]).all()
    assert forward.tee_spot.x == forward.tee[0]


def test_at_the_green_is_on_it_or_within_35_yards_of_the_hole():
    here = squared(300, 200, lambda x, y: np.where(y > 190, int(Surface.GREEN), int(Surface.ROUGH)))
    near, far = 150.0 - 34.9 * YARD_M, 150.0 - 35.1 * YARD_M
    assert here.at_green((0.0, near))
    assert not here.at_green((0.0, far))
    assert here.at_green((0.0, 200.0))  # on the green, 54 yd past the hole


def test_one_green_speed_where_none_is_stated():
    shot = a_shot("pitch", 40, 2, 2)
    plain = squared(300, 200, lambda x, y: np.full(x.shape, int(Surface.GREEN)), shot)
    calm = Weather(wind=None, air=STANDARD_AIR)
    assert {plain.stimp_ft, calm.stimp_ft, Week(name="", rounds=()).stimp_ft} == {UNSTATED_STIMP_FT}
    files = demo()
    player = read_player(files.player)
    run, stated = shot_table(player).run, shot_table(player, stimp_ft=UNSTATED_STIMP_FT).run
    np.testing.assert_array_equal(run, stated)
    assert not np.array_equal(run, shot_table(player, stimp_ft=NORMAL_STIMP_FT).run)
    option = next(p for p in number.params if p.name == "stimp")
    assert f"[default: {UNSTATED_STIMP_FT:g}]" in option.help
