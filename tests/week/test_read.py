"""Week files: what is read, in which unit, and what is said when it cannot be meant."""

import re
from pathlib import Path

import pytest

from strategy.demofiles import demo_folder
from strategy.errors import InputErrors, WeekError
from strategy.units import FOOT_M, MPH_MPS, YARD_M
from strategy.week import read_week

ROUND = "[[rounds]]\nnumber = 1\n"


def read(tmp_path, text) -> object:
    path = Path(tmp_path) / "week.toml"
    path.write_text(text, encoding="utf-8")
    return read_week(path)


def named(tmp_path, text):
    """The faults of a file, each without the file's name."""
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, text)
    assert all(type(fault) is WeekError for fault in caught.value.faults)
    return [re.sub(r"^.*?week\.toml: ", "", str(fault)) for fault in caught.value.faults]


def test_the_least_a_week_needs(tmp_path):
    week = read(tmp_path, 'name = "w"\n' + ROUND)
    assert (week.rounds[0].wind, week.rounds[0].tee_time, week.rounds[0].start_hole) == ((), None, "1")
    assert (week.stimp_ft, week.margin_paces, week.front_reference) == (11.0, 4.0, "line of play")
    assert week.rounds[0].setup("7").location == ""


def test_units_become_si(tmp_path):
    text = """
        name = "w"
        height = "1000 ft"
        units = "yards"
        [rough]
        good = 0.2
        poor = 0.5
        jumper = 0.3
        [[rounds]]
        tee_time = 8:10:00
        start_hole = 10
        date = 2031-05-22
        temperature = "64 °F"
        wind = [
            { hour = "8:00", speed = "10 mph", from = "NNW" },
            { hour = "9:30 am", speed = "5 m/s", from = 360, gust = "20 kt" },
            { hour = "1:30 pm", speed = "0 km/h" },
        ]
        [rounds.holes.7]
        location = "14 on, 5 from the left"
        tee = "white"
        up = 8
    """.replace("8:10:00", "08:10:00")
    week = read(tmp_path, text)
    only = week.round(1)
    assert week.height_m == pytest.approx(1000 * FOOT_M)
    assert week.rough_chances == pytest.approx((0.2, 0.5, 0.3))
    assert (only.tee_time, only.start_hole, only.date) == (pytest.approx(8 + 1 / 6), "10", "2031-05-22")
    assert only.temperature_c == pytest.approx(160 / 9)
    first, second, third = only.wind
    assert (first.speed_mps, first.blows_from) == (pytest.approx(10 * MPH_MPS), 337.5)
    assert first.gust_mps == pytest.approx(14 * MPH_MPS)
    assert (second.hour, second.blows_from, second.gust_mps) == (9.5, 0.0, pytest.approx(20 * 1852 / 3600))
    assert (third.hour, third.speed_mps) == (13.5, 0.0)
    seventh = only.setup("7")
    assert (seventh.location, seventh.tee, seventh.up_m) == ("14 on, 5 from the left", "white", 8 * YARD_M)


def test_metres(tmp_path):
    week = read(tmp_path, 'name = "w"\nunits = "metres"\n' + ROUND + "holes = { 7 = { up = 8 } }")
    assert week.rounds[0].setup("7").up_m == 8.0


def test_rounds_come_in_order(tmp_path):
    week = read(tmp_path, 'name = "w"\n[[rounds]]\nnumber = 2\n' + ROUND)
    assert [r.number for r in week.rounds] == [1, 2]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "stimp = 40",
            "stimp: 40 is not between 6 and 16 ft; is it in metres, its point lost (13.12)? Write the",
        ),
        ("stimp = 3.5", "stimp: 3.5 is not between 6 and 16 ft; is it in metres (11.48)? Write the"),
        ("stimp = 115", "stimp: 115 is not between 6 and 16 ft; is it in inches (9.583)?"),
        ("stimp = nan", "stimp: nan is not between 6 and 16 ft."),
        ("height = 140", 'height: is 140 without a unit. Write "140 ft" or "43 m".'),
        ('height = "9000 m"', "height: 9000 is not between -420 and 4000 m; is it in feet (2743)?"),
        ('height = "3 miles"', 'height: is "3 miles"; "miles" is no unit known here.'),
        ('units = "meters"', 'units: is "meters", not "yards" or "metres". Did you mean "metres"?'),
        (
            'front_reference = "front"',
            'front_reference: is "front", not "line of play", "front-most" or "dot".',
        ),
        ("margin_paces = 40", "margin_paces: 40 is not between 0 and 15 paces. Guidance is 4."),
        ('preferred_lies = "yes"', 'preferred_lies: is "yes", not true or false.'),
        ("firmness = 3", "firmness: is 3, not a list in [square brackets]."),
        ("green_speed = 11", "green_speed: is no key of this table."),
        (
            "rough = { good = 0.5, poor = 0.4, jumper = 0.3 }",
            "rough: chances of good, poor and jumper add up to 1.2.",
        ),
        (
            "rough = { good = 50, poor = 35, jumper = 15 }",
            "rough.good: 50 is not between 0 and 1; is it per cent (0.5)?",
        ),
    ],
)
def test_one_fault_of_the_week(tmp_path, line, said):
    assert named(tmp_path, f'name = "w"\n{line}\n{ROUND}')[0].startswith(said)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ('tee_time = "2:10"', 'tee_time: is "2:10", in the night. Afternoon is "14:10".'),
        ("tee_time = 8.1", 'tee_time: is 8.1, not a time of day. Write it in quotes, as "8:10".'),
        ('tee_time = "25:10"', 'tee_time: is "25:10", not a time of day. Hours run to 23, minutes to 59.'),
        (
            'tee_time = "14:10 pm"',
            'tee_time: is "14:10 pm", which is both a 24 hour clock and pm. Write "14:10".',
        ),
        ('tee_time = "early"', 'tee_time: is "early", not a time of day. Write it as "8:10" or "13:45".'),
        ('tee_time = "23:00"', 'tee_time: is "23:00", when no round starts.'),
        ("temperature = 64", 'temperature: is 64 without a unit. Write "64 F" or "18 C".'),
        ('temperature = "64 C"', 'temperature: 64 is not between -10 and 50 C; is it "F" (17.78)?'),
        ('temperature = "12 F"', 'temperature: 12 is not between 14 and 122 F; is it "C" (53.6)?'),
        ("start_hole = 1.5", "start_hole: is 1.5, not text in quotes."),
        ('date = "Thursday"', 'date: is "Thursday", not a date, as 2031-05-22.'),
        ('holes.7.location = "left"', 'holes.7.location: is "left", which does not begin with a depth.'),
        ("holes.7.up = 800", "holes.7.up: 800 is not between -40 and 120 yards; has a digit slipped (80)?"),
        ("holes.7.pin = 3", "holes.7.pin: is no key of this table. Did you mean"),
    ],
)
def test_one_fault_of_a_round(tmp_path, lines, said):
    assert named(tmp_path, f'name = "w"\n{ROUND}{lines}')[0].startswith(
        "rounds[1]." + said.split("Did you mean")[0]
    )


@pytest.mark.parametrize(
    ("wind", "said"),
    [
        (
            'hour = "8:00", speed = "400 mph", from = 1',
            ".speed: 400 is not between 0 and 80 mph; has a digit slipped (40)?",
        ),
        (
            'hour = "8:00", speed = "-4 mph", from = 1',
            ".speed: -4 mph is negative. Turn the direction round instead.",
        ),
        (
            'hour = "8:00", speed = 12, from = 1',
            '.speed: is 12 without a unit. Write "12 mph", "5 m/s", "20 km/h" or',
        ),
        ('hour = "8:00", speed = "12", from = 1', '.speed: is "12", without a unit.'),
        (
            'hour = "8:00", speed = "12 furlongs", from = 1',
            '.speed: is "12 furlongs"; "furlongs" is no unit known',
        ),
        ('hour = "8:00", speed = "breezy", from = 1', '.speed: is "breezy", not a number with its unit.'),
        ('hour = "8:00", speed = "5 m/s", from = 400', ".from: 400 is not between 0 and 360 degrees;"),
        (
            'hour = "8:00", speed = "5 m/s", from = "SWW"',
            '.from: is "SWW", not one of the 16 points of the compass. Did',
        ),
        ('hour = "8:00", speed = "5 m/s", from = "down"', '.from: is "down", not one of the 16 points'),
        (
            'hour = "8:00", speed = "5 m/s"',
            ": says how strong the wind is, not where it blows from. Add from =",
        ),
        (
            'hour = "8:00", speed = "5 m/s", from = 1, gust = "4 m/s"',
            ": gusts less than it blows. Are speed and gust",
        ),
        ('hour = "8:00", speed = "5 m/s", form = 1', '.form: is no key of this table. Did you mean "from"?'),
    ],
)
def test_one_fault_of_the_wind(tmp_path, wind, said):
    text = f'name = "w"\n{ROUND}wind = [{{ hour = "7:00", speed = "0 mph" }}, {{ {wind} }}]'
    assert named(tmp_path, text)[0].startswith("rounds[1].wind[2] (8:00)" + said)


def test_hours_out_of_order_and_rounds_twice(tmp_path):
    text = f"""name = "w"
        {ROUND}
        wind = [
            {{ hour = "11:00", speed = "0 mph" }},
            {{ hour = "2:00", speed = "0 mph" }},
            {{ hour = "2:00", speed = "0 mph" }},
        ]
        {ROUND}"""
    assert named(tmp_path, text) == [
        (
            'rounds[1].wind[2] (2:00).hour: is "2:00", earlier than the hour before it. '
            'Write the hours in order; afternoon is "14:00".'
        ),
        'rounds[1].wind[3] (2:00).hour: is "2:00", given twice. Write the hours in order.',
        "rounds[2].number: is 1, as that of rounds[1]. Give every round its own number.",
    ]


def test_no_rounds(tmp_path):
    assert named(tmp_path, 'name = "w"') == ["rounds: is missing. Add it: rounds = ..."]
    assert named(tmp_path, 'name = "w"\nrounds = []') == ["rounds: is empty. Write at least one."]


@pytest.mark.parametrize("path", sorted((demo_folder() / "weeks").glob("*.toml")), ids=lambda p: p.name)
def test_the_demo_week(path):
    week = read_week(path)
    assert [r.number for r in week.rounds] == [1, 2, 3, 4]
    assert all(r.wind for r in week.rounds)
    assert list(week.files) == [str(path)]
