"""Errors that guess the mistake, shapes, and the wind as a shot feels it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.ball.air import air, check_wind, density, isa_pressure_hpa, wind_on_shot
from strategy.errors import PhysicsError, StrategyError
from strategy.units import MPH_MPS


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            {"temperature_c": 75.0},
            "75 °C is outside -30 to 50 °C. 75 looks like degrees Fahrenheit: that would be 23.89 °C",
        ),
        ({"temperature_c": 293.0}, "293 looks like kelvin: that would be 19.85 °C"),
        ({"pressure_hpa": 29.92}, "29.92 looks like inches of mercury: that would be 1013 hPa"),
        ({"pressure_hpa": 101325.0}, "101325 looks like pascals: that would be 1013 hPa"),
        ({"pressure_hpa": 101.3}, "101.3 looks like kilopascals: that would be 1013 hPa"),
        ({"pressure_hpa": 14.7}, "14.7 looks like pounds per square inch: that would be 1014 hPa"),
        ({"pressure_hpa": 760.0}, "760 looks like millimetres of mercury: that would be 1013 hPa"),
        ({"pressure_hpa": 1013.0, "height_m": 1600.0}, "looks like the sea-level pressure of a forecast"),
        ({"pressure_hpa": 880.0}, "880 hPa without a height. Give the height of the course too"),
        ({"pressure_hpa": 700.0, "height_m": 1000.0}, "where about 899 hPa is normal"),
        ({"pressure_hpa": 5.0}, "5 hPa is outside 550 to 1090 hPa. Check the number"),
        ({"height_m": 7600.0}, "7600 looks like feet: that would be 2316 m"),
        ({"humidity": 50.0}, "50 looks like per cent: that would be 0.5"),
        ({"humidity": -0.1}, "Write a share from 0 to 1"),
        ({"temperature_c": float("nan")}, "temperature: nan is not a number"),
        ({"temperature_c": "warm"}, "temperature: 'warm' is not a number"),
    ],
)
def test_an_absurd_value_is_refused_with_the_likely_mistake(arguments, said):
    with pytest.raises(PhysicsError) as fault:
        density(**{"temperature_c": 20.0, **arguments})
    assert said in str(fault.value)
    assert isinstance(fault.value, StrategyError)


def test_a_stated_pressure_at_its_height_counts():
    assert density(20.0, 1600.0, 835.0) == pytest.approx(
        density(20.0, pressure_hpa=np.array(835.0), height_m=1600.0)
    )
    assert density(20.0, 1600.0, 845.0) > density(20.0, 1600.0, 835.0)
    assert density(20.0, 1600.0) == pytest.approx(float(density(20.0, 1600.0, isa_pressure_hpa(1600.0))))


def test_shapes_broadcast():
    assert density(np.array([10.0, 20.0]), np.array([[0.0], [500.0], [900.0]])).shape == (3, 2)
    assert air(np.array([10.0, 20.0])).density.shape == (2,)


# --- wind ---------------------------------------------------------------------------------------------

NORTH, EAST, SOUTH, WEST = 0.0, 90.0, 180.0, 270.0


@pytest.mark.parametrize(
    ("blows_from", "heading", "head", "cross"),
    [
        (NORTH, NORTH, 5, 0),
        (SOUTH, NORTH, -5, 0),
        (EAST, NORTH, 0, -5),
        (WEST, NORTH, 0, 5),
        (NORTH, EAST, 0, 5),
        (EAST, EAST, 5, 0),
        (SOUTH, EAST, 0, -5),
        (WEST, EAST, -5, 0),
        (NORTH, SOUTH, -5, 0),
        (EAST, SOUTH, 0, 5),
        (WEST, WEST, 5, 0),
        (SOUTH, WEST, 0, 5),
        (225.0, NORTH, -5 / 2**0.5, 5 / 2**0.5),
    ],
)
def test_wind_from_every_side(blows_from, heading, head, cross):
    assert wind_on_shot(5.0, blows_from, heading) == (
        pytest.approx(head, abs=1e-12),
        pytest.approx(cross, abs=1e-12),
    )


@given(st.floats(0, 40), st.floats(-720, 720), st.floats(-720, 720))
def test_north_is_360_and_the_speed_is_kept(speed, blows_from, heading):
    head, cross = wind_on_shot(speed, blows_from, heading)
    again = wind_on_shot(speed, blows_from + 360.0, heading - 360.0)
    assert (head, cross) == (
        pytest.approx(float(again[0]), abs=1e-9),
        pytest.approx(float(again[1]), abs=1e-9),
    )
    assert np.hypot(head, cross) == pytest.approx(speed, abs=1e-9)


def test_calm_has_no_direction():
    assert all(np.all(part == 0.0) for part in wind_on_shot(0.0, np.arange(0.0, 360.0, 30.0), 77.0))


@pytest.mark.parametrize(
    ("speed", "said"),
    [
        (400 * MPH_MPS, "(400 mph) is outside 0 to 40 m/s. Nobody plays in it; a digit too many (40 mph)?"),
        (60.0, "Was it 60 mph, that is 26.8 m/s?"),
        (-3.0, "Write a positive speed and the direction it blows from"),
        (float("nan"), "Write a number, 0 for calm"),
    ],
)
def test_a_wind_nobody_plays_in(speed, said):
    with pytest.raises(PhysicsError) as fault:
        check_wind(speed)
    assert said in str(fault.value)
