"""One hole set up for one player and one round: what of the files reaches it."""

from __future__ import annotations

import dataclasses
import pickle

import numpy as np
import pytest

from strategy.codes import Lie, Surface
from strategy.outcome.setup import lie_chances, today
from strategy.outcome.weather import table_in, weather
from strategy.week.model import Round, Setup, Week, WindHour
from tests.worlds import a_player, a_shot, a_week, case


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
