"""A wind as it is said of one shot: every way that caddies say it, and what a mistyped one is told."""

from __future__ import annotations

import pytest
from pydantic_core import PydanticCustomError

from strategy.units import MPH_MPS
from strategy.week.relative import parse_relative_wind


@pytest.mark.parametrize(
    ("text", "wind_from"),
    [
        ("12 mph from left", 270),
        ("12 mph from the left", 270),
        ("12 mph off the left", 270),
        ("12mph left to right", 270),
        ("from the right, 12 mph", 90),
        ("12 mph right to left", 90),
        ("12 mph crosswind from the right", 90),
        ("12 mph into", 0),
        ("into 12 mph", 0),
        ("12 mph into the face", 0),
        ("12 mph straight into the wind", 0),
        ("12 mph hurting", 0),
        ("12 mph headwind", 0),
        ("12 mph down", 180),
        ("12 mph helping", 180),
        ("12 mph from behind", 180),
        ("12 mph downwind", 180),
        ("12 mph into from the left", 315),
        ("12 mph from the left and into", 315),
        ("12 mph hurting off the right", 45),
        ("12 mph down off the right", 135),
        ("12 mph helping from the left", 225),
        ("12 mph from 12 o'clock", 0),
        ("12 mph from 2 o'clock", 60),
        ("12 mph at 6 o'clock", 180),
        ("12 mph from 10:30 o'clock", 315),
        ("12 o'clock 12 mph", 0),
    ],
)
def test_a_wind_is_read_as_it_is_said(text, wind_from):
    speed, came = parse_relative_wind(text)
    assert speed == pytest.approx(12 * MPH_MPS)
    assert came == pytest.approx(wind_from)


def test_other_units_and_no_wind():
    assert parse_relative_wind("5 m/s from the left") == (5.0, 270.0)
    assert parse_relative_wind("20 km/h into")[0] == pytest.approx(20 / 3.6)
    assert parse_relative_wind("10 knots down")[0] == pytest.approx(5.1444, abs=1e-3)
    assert (
        parse_relative_wind("calm")
        == parse_relative_wind("no wind")
        == parse_relative_wind("0 mph")
        == (0.0, 0.0)
    )


@pytest.mark.parametrize(
    ("text", "wrong", "mend"),
    [
        ("12 from left", "a speed without a unit", 'Did you mean "12 mph from left"?'),
        ("12 furlongs from left", '"furlongs" is no unit of speed', "Write"),
        ("from left", "without a speed", "Write"),
        ("2 o'clock", "without a speed", "Write"),
        ("12 mph", "without where it comes from", "Write"),
        ("12 mph from the SW", "a point of the compass", "against the line of the shot"),
        ("12 mph from the west", "a point of the compass", "--course"),
        ("12 mph from lfet", '"lfet" is not understood', 'Did you mean "from the left"?'),
        ("12 mph inot", '"inot" is not understood', 'Did you mean "into"?'),
        ("12 mph left", "to the left, or from it?", 'Write "from the left"'),
        ("12 mph quartering from the left", "into, or down?", "down from the left"),
        ("12 mph into down", "blows both ways", "Write"),
        ("12 mph from left and right", "blows both ways", "Write"),
        ("12 mph gusting 18 from left", "two speeds", "the one wind"),
        ("12-18 mph into", "two speeds", "the one wind"),
        ("12 mph into from 2 o'clock", "said twice over", "not both"),
        ("12 mph from 14 o'clock", "from 1 to 12", "12 is straight into"),
        ("-3 mph into", "a negative speed", "Leave the minus out"),
        ("400 mph from left", "has a digit slipped (40)?", "Write"),
        ("", "without a speed", "Write"),
    ],
)
def test_a_mistyped_wind_is_told_the_likely_mistake(text, wrong, mend):
    with pytest.raises(PydanticCustomError) as met:
        parse_relative_wind(text)
    assert wrong in met.value.context["wrong"]
    assert mend in met.value.context["mend"]
