"""What ground up and down adds to the number, on holes of the demo course that were drawn for it.

Sources
-------
* "A yard per yard of height", a club for ten: common practice, and press reports of radar measurements
  (shared facts, physics, section 2: "height, 1 yd per yd"). Said of irons, in whole yards; it is the rule of
  a ball that comes down at 45 degrees.
* Geometry: a ball that comes down at an angle d gains or loses a yard over tan d for each yard. The angles
  are those of `strategy/reference/launch_tour.csv`, men; its source says which are confirmed.

The demo tour player's irons come down near those angles. Twelve down and ten up the flight is curved too, so
that up counts more than down; 12 per cent are left for both.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy import read_course, read_player, read_week
from strategy.demofiles import demo
from strategy.outcome.play import Choice, well_struck
from strategy.outcome.setup import today
from strategy.outcome.sightings import shot_of
from strategy.plan.number_on_course import number_on_course
from strategy.reference import rows
from strategy.units import YARD_M, yards

A_YARD_A_YARD = 2.0  # yards in ten or twelve: the rule is said in whole clubs of ten
MEN = [row for row in rows("launch_tour") if row["tour"] == "men" and row["land_deg"]]
COMES_DOWN = {row["club"]: float(row["land_deg"]) for row in MEN}


@pytest.fixture(scope="module")
def world():
    """Course, tour player and a week without wind."""
    files = demo()
    week = read_week(files.week)
    calm = tuple(dataclasses.replace(one, wind=()) for one in week.rounds)
    return read_course(files.course), read_player(files.player), dataclasses.replace(week, rounds=calm)


@pytest.mark.parametrize(
    ("hole", "origin", "round_number", "club", "about"),
    [
        ("7", "tee", 1, "5-iron", -12.0),
        ("7", "tee", 2, "6-iron", -12.0),
        ("17", "150 front", 1, "7-iron", 10.0),
        ("17", "150 front", 2, "7-iron", 10.0),
    ],
)
def test_twelve_down_and_ten_up_with_a_mid_iron(world, hole, origin, round_number, club, about):
    course, player, week = world
    number = number_on_course(course, player, week, hole, origin, round=round_number).number
    assert player.shots[number.fits[0].shot].club == club
    rise, more = yards(number.rise_m), yards(number.height_m)
    assert rise == pytest.approx(about, abs=0.5)
    assert more == pytest.approx(rise, abs=A_YARD_A_YARD)
    assert more == pytest.approx(rise / np.tan(np.radians(COMES_DOWN[club])), rel=0.12)


def test_the_number_on_flat_ground_is_without_it(world):
    course, player, week = world
    flat = dataclasses.replace(
        course, holes=tuple(dataclasses.replace(h, heights=None) for h in course.holes)
    )
    one, other = (number_on_course(c, player, week, "7", "tee", round=1).number for c in (course, flat))
    assert other.height_m == 0.0
    assert other.playing_m - one.playing_m == pytest.approx(-one.height_m, abs=2.0 * YARD_M)


def test_a_drive_from_a_high_tee_carries_further_than_it_stands_up(world):
    """The 18th falls eleven yards to where drives land; a driver comes down at 38 degrees on the level."""
    course, player, week = world
    here = today(course.hole("18"), player, week, 1)
    flat = dataclasses.replace(here, height=None, rolls_to=None)
    spot, index = here.tee_spot, shot_of(player, "driver")
    way = here.line[1] - here.line[0]
    heading = float(np.degrees(np.arctan2(way[0], way[1]))) % 360.0
    choice = Choice(index, heading, float(here.shots.at(index, int(spot.lie), heading).carry))
    landing, level = (well_struck(one, spot, choice)[0] for one in (here, flat))
    gain = yards(float(np.hypot(*(landing - here.tee)) - np.hypot(*(level - here.tee))))
    fall = yards(float(here.height_at(spot[:2])[0] - here.height_at(landing)[0]))
    assert fall == pytest.approx(11.0, abs=1.5)
    # Between the rule and the angle on level ground: eleven yards down the ball comes down steeper.
    assert fall < gain < fall / np.tan(np.radians(COMES_DOWN["driver"]))
