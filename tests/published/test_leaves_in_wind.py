"""The full finish of an approach from 150 yards in a 10 mph wind, by the shot table of the day.

Sources
-------
* M. Broadie, golf.com, 18 May 2018: from 150 yd tour players hit 72 % of greens and leave a median of 23 ft.
  Confirmed (the page).

Status: the published figures are means over all winds, greens and hole locations of a season, so that the
mean over wind from four sides is what is held against them (23 ft +- 1.5, 72 % +- 4); by direction there
is nothing published, only what has to be so: into the wind leaves more, down the wind less.

What is simulated: a tour player who states carries only, scatter, run and mishits by default, with a shot
for every yard of carry; 10 mph gusting 15, misjudged as the table takes it; a round, level green of
5,000 sq ft; the hole anywhere 4 paces or more from its edge; the well-struck ball finishes at the hole.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie, Spot, Surface
from strategy.outcome.play import Choice, finishes, well_struck
from strategy.outcome.points import merged
from strategy.outcome.weather import Weather, table_in
from strategy.player import read_player
from strategy.units import FOOT_M, MPH_MPS, YARD_M
from strategy.week.model import WindHour

GREEN_M = math.sqrt(5_000 / math.pi) * FOOT_M
CLUBS = {"pitching wedge": 136, "9-iron": 148, "8-iron": 160, "7-iron": 172, "6-iron": 183}
SPOT = Spot(0.0, 0.0, Lie.FAIRWAY)
PIN = (0.0, 150.0 * YARD_M)


@pytest.fixture(scope="module")
def tour(tmp_path_factory):
    """A shot for every yard, each as the stock shot of some club: none is a second shape, wider than it."""
    shots = "".join(
        f'[[shots]]\nclub = "{min(CLUBS, key=lambda c: abs(CLUBS[c] - carry))}"\nshot = "{carry}"\n'
        f"carry = {carry}\n"
        for carry in range(125, 186)
    )
    file = tmp_path_factory.mktemp("tour") / "tour.toml"
    head = 'name = "Anyone"\nhand = "right"\nlevel = 70\nunstated_factor = 1\n'
    file.write_text(f"{head}{shots}", encoding="utf-8")
    return read_player(file)


def paint(x, y):
    code = np.full(x.shape, int(Surface.FAIRWAY))
    code[np.hypot(x - PIN[0], y - PIN[1]) <= GREEN_M] = Surface.GREEN
    return code


def leave(tour, mph, blows_from):
    """Median leave [ft] and share of greens of a shot to the north."""
    wind = WindHour(hour=9.0, speed_mps=mph * MPH_MPS, gust_mps=1.5 * mph * MPH_MPS, blows_from=blows_from)
    table = table_in(tour, Weather(wind=wind, air=STANDARD_AIR))
    today = dataclasses.replace(squared(300.0, 160.0, paint, a_shot("any", 150, 1, 1), hole=PIN), shots=table)
    # Full shots: the one whose ball, turned into the wind, comes nearest to the hole.
    best = None
    for shot in range(table.shots):
        heading = 0.0
        for _ in range(4):
            choice = Choice(shot, heading, float(table.at(shot, int(Lie.FAIRWAY), heading).carry))
            x, y = well_struck(today, SPOT, choice)[1]
            heading -= math.degrees(math.atan2(x, y))
        off = math.hypot(x - PIN[0], y - PIN[1])
        if best is None or off < best[0]:
            best = (off, choice)
    assert best[0] < 0.6 * YARD_M
    points = merged(512, 5, 8)
    end = finishes(today, SPOT, best[1], points)
    miss = end.rest - well_struck(today, SPOT, best[1])[1]
    order = np.argsort(np.hypot(*miss.T))
    total = np.cumsum(end.weight[order])
    median = float(np.hypot(*miss[order[np.searchsorted(total, 0.5 * total[-1])]])) / FOOT_M
    rng = np.random.default_rng(2)
    radius = (GREEN_M - 4.0 * YARD_M) * np.sqrt(rng.random((64, 1)))
    turn = rng.random((64, 1)) * 2.0 * np.pi
    on = np.hypot(radius * np.cos(turn) + miss[:, 0], radius * np.sin(turn) + miss[:, 1]) < GREEN_M
    return median, float((on.mean(axis=0) * end.weight).sum() / end.weight.sum())


WAYS = {"into": 0.0, "from the right": 90.0, "down": 180.0, "from the left": 270.0}


@pytest.fixture(scope="module")
def by_wind(tour):
    return {name: leave(tour, 10.0, way) for name, way in WAYS.items()}


def test_150_yd_in_wind_from_four_sides_median_and_greens(by_wind):
    """Broadie 2018: 23 ft, 72 %; tolerance 1.5 ft and 4 points. Measured 22.1 ft and 75.1 %."""
    median, greens = np.mean(list(by_wind.values()), axis=0)
    assert median == pytest.approx(23.0, abs=1.5)
    assert greens == pytest.approx(0.72, abs=0.04)


def test_150_yd_by_direction_of_the_wind(by_wind):
    """Nothing published by direction: order as it has to be, and what is measured stands here."""
    measured = {"into": (25.3, 0.68), "from the right": (22.0, 0.75), "down": (19.0, 0.815)}
    for name, (median, greens) in measured.items():
        assert by_wind[name][0] == pytest.approx(median, abs=0.5), name
        assert by_wind[name][1] == pytest.approx(greens, abs=0.015), name
    assert by_wind["down"][0] < by_wind["from the left"][0] < by_wind["into"][0]
    # A straight bag has no side: both crosswinds are the same.
    assert by_wind["from the left"] == pytest.approx(by_wind["from the right"], rel=0.02)
