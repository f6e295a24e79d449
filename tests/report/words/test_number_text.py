"""The printed number: the lines add up as printed, and every sentence says what is meant."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.codes import Lie, Surface
from strategy.columns import FILED as WIDTH
from strategy.plan.number import Fit, PlayingNumber
from strategy.plan.number_on_course import AskedNumber
from strategy.report.words.lengths import Units
from strategy.report.words.number_text import asked_text, number_text, plain_text, whole_steps, wind_where
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour


def a_fit(label="7-iron", carry=172.0, finish=0.0, side=0.0, down=None, lands=Surface.GREEN):
    return Fit(
        shot=0,
        label=label,
        carry_m=carry * YARD_M,
        finish_m=finish * YARD_M,
        side_m=side * YARD_M,
        taken_down_m=None if down is None else down * YARD_M,
        lands=lands,
    )


def a_number(front=142.0, on=11.0, causes=(-4.0, 6.4, 3.3, -1.2, 0.0), *fits, unit=YARD_M, **given):
    land, wind, height, air, lie = causes
    hole = front + on
    parts = {
        "front_m": front, "on_m": on, "across_m": 0.0, "hole_m": hole,
        "land_short_m": land, "wind_m": wind, "height_m": height, "air_m": air, "lie_m": lie, "stance_m": 0.0,
        "playing_m": hole + sum(causes), "clean_m": hole + sum(causes), "rise_m": 3.0,
    }  # fmt: skip
    lengths = {key: value * unit for key, value in parts.items()}
    blows = WindHour(hour=9.0, speed_mps=12 * MPH_MPS, blows_from=270.0, gust_mps=8.0)
    rest = {
        "jumps_m": None, "cover_m": None, "cover_past_m": None, "lands": Surface.GREEN, "lie": Lie.FAIRWAY,
        "wind": blows, "wind_from": 315.0, "fits": fits or (a_fit(),), "assumptions": ("calm", "level"),
    }  # fmt: skip
    return PlayingNumber(**{**lengths, **rest, **given})


def printed(text):
    """The ladder as numbers, from the paper."""
    ladder = text.split("\n\n")[1].splitlines()
    found = {}
    for line in ladder:
        name, value = re.match(r"(.+?)  +([-+]?\d+)", line).groups()
        found[name.partition(":")[0]] = int(value)
    return found


@given(
    st.floats(30.0, 300.0),
    st.lists(st.one_of(st.just(0.0), st.floats(-60.0, 60.0)), min_size=1, max_size=6),
    st.sampled_from([1.0, YARD_M]),
)
def test_whole_steps_add_up_and_none_moves_by_a_whole_one(start, steps, unit):
    first, whole, last = whole_steps(start, steps, unit)
    assert first + sum(whole) == last
    assert abs(first - start / unit) <= 0.5 + 1e-6
    assert abs(last - (start + sum(steps)) / unit) <= 0.5 + 1e-6
    for exact, said in zip(steps, whole, strict=True):
        assert abs(said - exact / unit) < 1.0
        if exact == 0.0:
            assert said == 0


@given(
    st.floats(40.0, 200.0),
    st.floats(0.0, 30.0),
    st.tuples(*[st.floats(-20.0, 20.0)] * 5),
    st.floats(-4.0, 4.0),
    st.sampled_from(list(Units)),
)
def test_the_printed_lines_add_up(front, on, causes, across, units):
    number = a_number(front, on, causes)
    number = dataclasses.replace(
        number,
        across_m=across * YARD_M,
        hole_m=number.hole_m + across * YARD_M,
        playing_m=number.playing_m + across * YARD_M,
    )
    said = printed(plain_text(number, "Rowan Tarrick", units))
    assert said["front"] + said["on"] + said.get("off the line", 0) == said["hole"]
    causes_said = [v for k, v in said.items() if k not in ("front", "on", "off the line", "hole", "playing")]
    assert len(causes_said) == 5
    assert said["hole"] + sum(causes_said) == said["playing"]
    assert said["playing"] == pytest.approx(number.playing_m / units.metres, abs=0.5 + 1e-6)


def test_the_whole_text_as_a_caddie_reads_it():
    fits = (a_fit(finish=0.4, side=14.4), a_fit("6-iron", 184, 12.2, 15.0, down=176.0))
    text = plain_text(a_number(142.0, 11.0, (-4.0, 6.2, 3.3, -1.2, 0.0), *fits), "Rowan Tarrick")
    assert text.splitlines()[:18] == [
        "Rowan Tarrick. Distances in yards.",
        "",
        "front                              142",
        "on                                 +11",
        "hole                               153",
        "land short, for the run             -4",
        "wind: 12 mph into, from the left    +6",
        "height: 3 up                        +3",
        "air: thinner                        -1",
        "lie: fairway                         0",
        "playing                            157   for 7-iron",
        "",
        "7-iron carries 172: hit full it is pin high.",
        "",
        "shot    carry   hit full it finishes",
        "7-iron    172   pin high, 14 right",
        "6-iron    184   12 long, 15 right      taken down to 176: pin high",
        "",
    ]
    assert "Left and right are the wind's" in text
    assert "Taken for granted: calm; level." in text
    assert "Rule 4.3" in text
    assert max(map(len, text.splitlines())) <= WIDTH


def test_yards_and_metres_say_the_same_lengths():
    number = a_number(142.0, 11.0, (-4.0, 12.0, 7.0, -3.0, 6.0))
    yards, metres = (printed(plain_text(number, "R", u)) for u in (Units.YARDS, Units.METRES))
    assert yards.keys() == metres.keys()
    for name in yards:
        assert metres[name] == pytest.approx(yards[name] * YARD_M, abs=1.0)


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        (0, "into"), (360, "into"), (350, "into"), (45, "into, from the right"), (90, "from the right"),
        (135, "down, from the right"), (180, "down"), (225, "down, from the left"), (270, "from the left"),
        (315, "into, from the left"),
    ],
)  # fmt: skip
def test_where_a_wind_comes_from(degrees, words):
    assert wind_where(degrees) == words


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"wind": None}, "wind: calm"),
        ({"rise_m": 0.0}, "height: level"),
        ({"rise_m": -4 * YARD_M}, "height: 4 down"),
        ({"air_m": 0.0}, "air: as measured"),
        ({"air_m": 2.0}, "air: heavier"),
        ({"land_short_m": 1.0}, "land past, it spins back"),
        ({"lie": Lie.ROUGH_GOOD, "clean_m": 150 * YARD_M}, "From a clean lie it would be playing 150."),
        ({"jumps_m": 145 * YARD_M}, "If it jumps it is playing 145."),
        (
            {"lie": Lie.JUMPER, "clean_m": 170 * YARD_M},
            "A jumper flies further and runs on: 12 shorter than from a clean lie, which would be",
        ),
        (
            {"land_short_m": -13 * YARD_M, "cover_m": 163 * YARD_M, "cover_past_m": 2 * YARD_M},
            "That lands 2 short of the front. To carry the front it is playing 163, and finishes 2 past.",
        ),
        ({"lands": Surface.BUNKER}, "That lands in sand: it has to carry further than the number."),
    ],
)
def test_what_else_is_said(given, words):
    text = plain_text(a_number(**given), "Rowan Tarrick")
    assert words in " ".join(text.split())


@pytest.mark.parametrize(
    ("fit", "words"),
    [
        (a_fit(finish=5.0, down=166.0), "7-iron carries 172: taken down to 166 it is pin high."),
        (a_fit(finish=0.9, down=171.0), "7-iron carries 172: hit full it finishes 1 past."),
        (a_fit(finish=-3.0), "7-iron carries 172: hit full it finishes 3 short."),
        (a_fit("56, half", 72), "The 56, half carries 72: hit full it is pin high."),
        (a_fit(finish=-9.0, side=-3.0, lands=Surface.RED), "9 short, 3 left lands wet"),
    ],
)
def test_what_a_shot_does(fit, words):
    text = plain_text(a_number(142.0, 11.0, (0.0,) * 5, fit), "Rowan Tarrick")
    assert words in " ".join(text.split())


def test_from_a_course_the_place_the_compass_and_the_credit_are_said():
    asked = AskedNumber(
        hole="4", name="Mirror", par=3, round=2, location="14 on, centre", given=False, number=a_number()
    )
    text = asked_text(asked, "Rowan Tarrick", credit="Outlines © somebody")
    assert text.startswith(
        "Hole 4, Mirror, par 3, round 2, hole 14 on, centre (not given: the middle of the green)."
    )
    assert "wind: 12 mph from the W, into, from the left" in text
    assert text.endswith("Outlines © somebody\n")


def test_a_landing_that_a_false_front_sends_back_says_where_to_land():
    lengths = {"cover_m": 160.0 * YARD_M, "cover_past_m": 5.0 * YARD_M, "least_m": 158.0 * YARD_M}
    text = number_text(a_number(150.0, 5.0, (-4.0, 0.0, 0.0, 0.0, 0.0), **lengths))
    told = " ".join(text.split())
    assert "False front: land 158 or more, and that lands 151." in told
    assert "To stay on it is playing 160, and finishes 5 past." in told
    assert "short of the front" not in told
