"""What a plan says its numbers leave to defaults."""

from __future__ import annotations

import dataclasses
import re

import pytest

from scripts.invented import a_player, a_shot, level
from strategy.ball.air import STANDARD_AIR
from strategy.demofiles import demo
from strategy.outcome.weather import Weather
from strategy.plan.cautions import assumed, cautions, strays
from strategy.plan.number import the_number
from strategy.player import read_player
from strategy.units import YARD_M
from strategy.week.firmness import parse_sighting
from strategy.week.model import Round, Setup, Week

HEAD = 'name = "Anyone"\nhand = "right"\n'


def read(tmp_path, text):
    file = tmp_path / "player.toml"
    file.write_text(HEAD + text, encoding="utf-8")
    return read_player(file)


def test_an_assumed_carry_of_a_variation_asks_for_the_players_own_number(tmp_path):
    player = read(
        tmp_path,
        '[[shots]]\nclub = "7-iron"\ncarry = 172\n[[shots]]\nclub = "7-iron"\nshot = "low"\nheight = "low"\n',
    )
    assert "7-iron, low: carry assumed: a low shot goes 6 % shorter; state your own number." in assumed(
        player
    )


def test_woods_off_turf_ask_for_it_too(tmp_path):
    wood = '[[shots]]\nclub = "3-wood"\ncarry = 250\n'
    words = "Off turf 3-wood taken 2 % shorter than off a tee; state your own number."
    assert words in assumed(read(tmp_path, wood))
    assert words not in assumed(read(tmp_path, wood + "carry_turf = 244\n"))


def test_notes_are_said_also_when_all_scatter_is_measured():
    shot = dataclasses.replace(a_shot("7-iron", 172, 5, 6, balls=40), notes=("7-iron, stock: something",))
    assert assumed(a_player(shot)) == ("7-iron, stock: something.",)


def test_scatter_that_is_not_measured_and_runs_that_are_defaults_are_counted():
    measured, stated = a_shot("7-iron", 172, 5, 6, balls=40), a_shot("8-iron", 160, 5, 6)
    stated = dataclasses.replace(stated, assumed=("run",))
    said = assumed(a_player(measured, stated))
    assert said[0].startswith("The scatter of 1 of 2 shots is stated or published")
    assert said[1] == "The run of 1 of 2 shots is a default."
    assert assumed(a_player(stated))[0].startswith("The scatter of every shot")


@pytest.mark.parametrize("name", ["tour-left-fade", "scratch-right-draw"])
def test_what_a_height_is_said_to_cost_is_what_the_number_says(name, demo_course):
    """Of the stock shot: a punch of 150 comes down so flat that five yards up took ten."""
    player = read_player(demo().player.parent / f"{name}.toml")
    said = " ".join(cautions(level(demo_course), Week(name="w", rounds=(Round(number=1),)), player))
    club, longer = re.search(r"with an? (\S+) a green 5 yards higher plays (\d+) longer", said).groups()
    own = next(s.carry_m for s in player.shots if s.label == club)
    day = Weather(wind=None, air=STANDARD_AIR)
    there = the_number(player, day, front_m=own, on_m=0.0, rise_m=5.0 * YARD_M)
    assert there.fits[0].label == club
    assert abs(own - 150.0 * YARD_M) < 7.0 * YARD_M
    assert int(longer) == round(there.height_m / YARD_M)


def test_a_sighting_of_a_hole_that_is_not_on_the_course_is_named():
    first = Round(
        number=1, sightings=(parse_sighting("hole 9: 7-iron released 4"), parse_sighting("7-iron released 4"))
    )
    week = Week(
        name="w", rounds=(first, Round(number=2)), sightings=(parse_sighting("hole 77: driver ran 18"),)
    )
    labels = ("9", "10")
    assert strays(week, (1, 2), labels) == (
        'firmness: "hole 77: driver ran 18" counts nowhere: there is no such hole',
    )
    named = [strays(week, rounds, ("10",)) for rounds in ((1,), (2,))]
    assert [[text.split('"')[1].split(":")[0] for text in texts] for texts in named] == [
        ["hole 77", "hole 9"],
        ["hole 77"],
    ]


def test_a_hole_of_the_week_that_is_not_on_the_course_is_named():
    rounds = (
        Round(number=1, holes={"9": Setup(location="14 on"), "44": Setup(location="14 on")}),
        Round(number=2, holes={str(n): Setup(up_m=5.0) for n in range(21, 26)}),
    )
    week = Week(name="w", rounds=rounds, shelter={"9": 0.5, "45": 0.5})
    nowhere = "on this course; what is said of it counts nowhere"
    assert strays(week, (1, 2), ("9", "10")) == (
        f"shelter: there is no hole 45 {nowhere}",
        f"round 1, [rounds.holes]: there is no hole 44 {nowhere}",
        f"round 2, [rounds.holes]: there is no hole 21, 22, 23 and 2 more {nowhere}",
    )
    assert strays(week, (), ("9", "45")) == ()
