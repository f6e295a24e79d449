"""Quantities as files and commands write them: every unit by its definition, every hour of the clock."""

import pytest
from pydantic_core import PydanticCustomError

from strategy import quantity
from strategy.units import LENGTHS_M

# The international nautical mile is 1852 m, the mile 1609.344 m; both exact.
SPEEDS = {
    **dict.fromkeys(("mph",), 1609.344 / 3600),
    **dict.fromkeys(("m/s", "mps"), 1.0),
    **dict.fromkeys(("km/h", "kmh", "kph"), 1000 / 3600),
    **dict.fromkeys(("knots", "knot", "kn", "kt", "kts"), 1852 / 3600),
}
HEIGHTS = {
    **dict.fromkeys(("ft", "feet", "foot"), 0.3048),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), 0.9144),
}
# A millimetre of mercury is 133.322 Pa, an inch 25.4 of them.
PRESSURES = {
    **dict.fromkeys(("hPa", "mbar", "mb", "millibars"), (1000.0, 1000.0)),
    "kPa": (100.0, 1000.0),
    **dict.fromkeys(("inHg", "in"), (30.0, 30.0 * 25.4 * 1.33322)),
}


@pytest.mark.parametrize(("unit", "factor"), SPEEDS.items())
def test_a_speed_in_every_unit(unit, factor):
    assert quantity.speed(f"10 {unit}") == pytest.approx(10 * factor, rel=1e-9)
    assert quantity.ball_speed(f"60 {unit}") == pytest.approx(60 * factor, rel=1e-9)


@pytest.mark.parametrize(("unit", "factor"), HEIGHTS.items())
def test_a_height_in_every_unit(unit, factor):
    assert quantity.height(f"140 {unit}") == pytest.approx(140 * factor, rel=1e-9)


@pytest.mark.parametrize("unit", PRESSURES)
def test_a_pressure_in_every_unit(unit):
    value, hpa = PRESSURES[unit]
    assert quantity.pressure(f"{value} {unit}") == pytest.approx(hpa, rel=1e-5)


def test_every_unit_is_tried_here():
    assert set(SPEEDS) == set(quantity._SPEEDS)
    assert set(HEIGHTS) == set(LENGTHS_M)
    assert set(PRESSURES) == set(quantity._PRESSURES)


@pytest.mark.parametrize(
    ("written", "hour"),
    [
        ("12:15 am", 0.25),
        ("1:00 am", 1.0),
        ("11:30 am", 11.5),
        ("12:15 pm", 12.25),
        ("1:30 p.m.", 13.5),
        ("11:45 PM", 23.75),
        ("0:00", 0.0),
        ("23:59", 23 + 59 / 60),
    ],
)
def test_the_clock_goes_round(written, hour):
    assert quantity.clock(written) == pytest.approx(hour)


@pytest.mark.parametrize("written", ["24:00", "8:60", "13:00 pm", "0:30 am"])
def test_an_hour_that_no_clock_shows_is_refused(written):
    with pytest.raises(PydanticCustomError):
        quantity.clock(written)


def test_temperatures_by_the_freezing_and_the_boiling_of_water():
    # 32 F and 0 C are one temperature, and 180 F make 100 C.
    assert quantity.temperature("32 F") == pytest.approx(0.0)
    assert quantity.temperature("86 F") - quantity.temperature("32 F") == pytest.approx(30.0)
    assert quantity.temperature("-5 C") == -5.0
