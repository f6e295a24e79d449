r"""The air a ball flies through: density, viscosity, and the wind as a shot feels it.

Theory
------
Moist air is a mixture of two ideal gases [1]_,

.. math:: \rho = \frac{p - e}{287.0529\,T} + \frac{e}{461.523\,T},

with the vapour pressure of the humidity share h over water by Buck's fit [2]_,
:math:`e = h \cdot 611.21 \exp((18.678 - t/234.5)\, t / (257.14 + t))` Pa, t in °C. Against CIPM-2007 [1]_
the error is 0.06 %. Pressure falls with height as in the standard atmosphere [3]_,
:math:`p = p_0 (1 - 2.25577 \cdot 10^{-5} z)^{5.25588}`, and viscosity follows Sutherland's law,
:math:`\mu = 1.458 \cdot 10^{-6}\, T^{1.5} / (T + 110.4)` [3]_.

Only density matters in practice: viscosity moves a carry by a few inches. That a cold ball also leaves
the face a little slower is not modelled.

Wind
----
`blows_from` is where the wind comes FROM, clockwise from true north; a heading is where the shot goes.
A shot feels `head` (positive into the player's face) and `cross` (positive towards the player's right).
The flight model takes one uniform wind. A forecast is a 10 m average, the wind at the ball's height is
stronger: under the log law over open turf (roughness 0.03 m) a uniform wind of 1.04 to 1.10 times the
10 m wind gives a tour shot the same carry into the wind or the same drift across it, hence
`FORECAST_TO_FLIGHT`. Downwind the factor is lower, 0.95 to 1.02 (the slow air near the ground takes lift from
a ball that the tail wind flattens anyway), so 1.07 flatters a tail wind of 10 mph by up to 1.5 yd.
A wind felt at head height (2 m) is 0.72 of the one at 10 m, hence `FELT_TO_FLIGHT`. All are for open
ground; trees lower them.

References
----------
.. [1] A. Picard et al., "Revised formula for the density of moist air (CIPM-2007)", Metrologia 45 (2008) 149.
.. [2] A. L. Buck, "New equations for computing vapor pressure and enhancement factor", J. Appl. Meteorol.
   20 (1981) 1527, with the coefficients of the 1996 revision (from memory).
.. [3] ISO 2533:1975, Standard Atmosphere; ICAO Doc 7488.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.check import within
from strategy.errors import PhysicsError
from strategy.units import FOOT_M, INHG_HPA, MPH_MPS

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

ISA_SEA_LEVEL_HPA: Final = 1013.25
DRY_GAS: Final = 287.05287  # J/(kg K), ISO 2533
VAPOUR_GAS: Final = 461.523
FORECAST_TO_FLIGHT: Final = 1.07  # uniform wind of equal effect / 10 m wind, open turf
FELT_TO_FLIGHT: Final = 1.45  # uniform wind of equal effect / wind at 2 m, open turf
MOST_WIND_MPS: Final = 40.0
PRESSURE_SLACK_HPA: Final = 60.0  # the deepest lows and highest highs stay within this of the standard


@dataclass(frozen=True, slots=True, eq=False)
class Air:
    """Still air as the flight equations need it; scalars, or arrays that broadcast with the shots.

    Attributes
    ----------
    density : float or ndarray
        [kg/m³]
    viscosity : float or ndarray
        Dynamic viscosity. [Pa s]
    """

    density: float | FloatArray
    viscosity: float | FloatArray = 1.8187e-5

    def __post_init__(self) -> None:
        within(
            self.density,
            0.5,
            1.7,
            "air density",
            "kg/m³",
            [("pounds per cubic foot", lambda d: d * 16.0185), ("grams per cubic metre", lambda d: d / 1000)],
        )


def isa_temperature_c(height_m: ArrayLike) -> FloatArray:
    """Temperature of the standard atmosphere (ISO 2533) [m -> °C]."""
    return np.asarray(15.0 - 0.0065 * np.asarray(height_m, dtype=np.float64))


def isa_pressure_hpa(height_m: ArrayLike, sea_level_hpa: float = ISA_SEA_LEVEL_HPA) -> FloatArray:
    """Pressure at a height above sea level (ISO 2533) [m -> hPa].

    Raises
    ------
    PhysicsError
        If a height is outside -500 to 4500 m, where no course lies.

    Examples
    --------
    >>> isa_pressure_hpa([0.0, 1000.0]).round(1).tolist()
    [1013.2, 898.7]
    """
    h = within(height_m, -500.0, 4500.0, "height above sea level", "m", [("feet", lambda ft: ft * FOOT_M)])
    return np.asarray(sea_level_hpa * (1.0 - 2.25577e-5 * h) ** 5.25588)


def vapour_pressure_pa(temperature_c: ArrayLike, humidity: ArrayLike) -> FloatArray:
    """Partial pressure of the water in moist air (Buck) [°C, share -> Pa]."""
    t = np.asarray(temperature_c, dtype=np.float64)
    return np.asarray(np.asarray(humidity) * 611.21 * np.exp((18.678 - t / 234.5) * t / (257.14 + t)))


def viscosity(temperature_c: ArrayLike) -> FloatArray:
    """Dynamic viscosity by Sutherland's law (ISO 2533) [°C -> Pa s]."""
    kelvin = np.asarray(temperature_c, dtype=np.float64) + 273.15
    return np.asarray(1.458e-6 * kelvin**1.5 / (kelvin + 110.4))


def density(
    temperature_c: ArrayLike,
    height_m: ArrayLike | None = None,
    pressure_hpa: ArrayLike | None = None,
    humidity: ArrayLike = 0.5,
) -> FloatArray:
    """Density of moist air.

    Parameters
    ----------
    temperature_c : array_like
        [°C]
    height_m : array_like, optional
        Height of the course above sea level; gives the pressure when none is stated. [m]
    pressure_hpa : array_like, optional
        Pressure at the course itself ("station pressure"), not reduced to sea level. [hPa]
    humidity : array_like
        Relative humidity, a share from 0 to 1.

    Returns
    -------
    density : ndarray, broadcast shape
        [kg/m³]

    Raises
    ------
    PhysicsError
        If a value cannot be meant: a temperature in °F, a pressure in inches of mercury, pascals or
        millimetres of mercury or reduced to sea level, a height in feet, a humidity in per cent.

    Examples
    --------
    >>> float(density(20.0, pressure_hpa=1013.25).round(4))
    1.1989
    """
    t = within(
        temperature_c,
        -30.0,
        50.0,
        "temperature",
        "°C",
        [("degrees Fahrenheit", lambda f: (f - 32.0) / 1.8), ("kelvin", lambda k: k - 273.15)],
    )
    h = within(
        humidity, 0.0, 1.0, "humidity", "", [("per cent", lambda p: p / 100.0)], "Write a share from 0 to 1"
    )
    if pressure_hpa is None:
        hpa = isa_pressure_hpa(0.0 if height_m is None else height_m)
    else:
        hpa = _station_pressure(pressure_hpa, height_m)
    e = vapour_pressure_pa(t, h)
    kelvin = t + 273.15
    return np.asarray((100.0 * hpa - e) / (DRY_GAS * kelvin) + e / (VAPOUR_GAS * kelvin))


def _station_pressure(pressure_hpa: ArrayLike, height_m: ArrayLike | None) -> FloatArray:
    """Check a stated pressure against its unit and against the height."""
    guesses = [
        ("inches of mercury", lambda p: p * INHG_HPA),
        ("pascals", lambda p: p / 100.0),
        ("kilopascals", lambda p: p * 10.0),
        ("pounds per square inch", lambda p: p * 68.9476),
    ]
    hpa = within(pressure_hpa, 550.0, 1090.0, "pressure", "hPa", guesses)
    expected = isa_pressure_hpa(0.0 if height_m is None else height_m)
    off = np.abs(hpa - expected) > PRESSURE_SLACK_HPA
    if not off.any():
        return hpa
    met, there = (float(np.broadcast_to(a, off.shape)[off].flat[0]) for a in (hpa, expected))
    place = "without a height" if height_m is None else f"where about {there:.0f} hPa is normal"
    if abs(met * 1.33322 - there) <= PRESSURE_SLACK_HPA:
        mend = f"{met:g} looks like millimetres of mercury: that would be {met * 1.33322:.0f} hPa"
    elif abs(met - ISA_SEA_LEVEL_HPA) <= PRESSURE_SLACK_HPA:
        mend = f"{met:g} looks like the sea-level pressure of a forecast: leave it out and give the height"
    elif height_m is None:
        mend = "Give the height of the course too"
    else:
        mend = "Check the pressure and the height"
    raise PhysicsError("pressure", f"{met:g} hPa {place}", mend)


def air(
    temperature_c: ArrayLike = 20.0,
    height_m: ArrayLike | None = None,
    pressure_hpa: ArrayLike | None = None,
    humidity: ArrayLike = 0.5,
) -> Air:
    """The air of a day; parameters and errors as of `density`."""
    return Air(density(temperature_c, height_m, pressure_hpa, humidity), viscosity(temperature_c))


def wind_on_shot(
    speed_mps: ArrayLike, blows_from_deg: ArrayLike, heading_deg: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Head and cross component of a wind for a shot with a heading.

    Parameters
    ----------
    speed_mps : array_like
        Wind speed, 0 for calm. [m/s]
    blows_from_deg, heading_deg : array_like
        Clockwise from true north. [°]

    Returns
    -------
    head, cross : ndarray, broadcast shape
        Positive into the player's face; positive towards the player's right. [m/s]

    Raises
    ------
    PhysicsError
        If the wind is negative or above 40 m/s.

    Examples
    --------
    >>> head, cross = wind_on_shot(5.0, 270.0, 0.0)  # a shot to the north, wind from the west
    >>> round(float(head), 9) + 0.0, float(cross)
    (0.0, 5.0)
    """
    speed = check_wind(speed_mps)
    angle = np.radians(
        np.asarray(blows_from_deg, dtype=np.float64) - np.asarray(heading_deg, dtype=np.float64)
    )
    return np.asarray(speed * np.cos(angle)), np.asarray(-speed * np.sin(angle))


def check_wind(speed_mps: ArrayLike) -> FloatArray:
    """Wind speeds as an array [m/s].

    Raises
    ------
    PhysicsError
        If one is negative or above 40 m/s, said in miles an hour too.
    """
    speed = np.asarray(speed_mps, dtype=np.float64)
    good = (speed >= 0.0) & (speed <= MOST_WIND_MPS)
    if good.all():
        return speed
    met = float(speed[~good].flat[0])
    mph = met / MPH_MPS
    if met < 0.0:
        mend = "Write a positive speed and the direction it blows from"
    elif not np.isfinite(met):
        mend = "Write a number, 0 for calm"
    elif met * MPH_MPS <= MOST_WIND_MPS:
        mend = f"Was it {met:.0f} mph, that is {met * MPH_MPS:.1f} m/s?"
    else:
        mend = f"Nobody plays in it; a digit too many ({mph / 10:.0f} mph)?"
    raise PhysicsError("wind", f"{met:.4g} m/s ({mph:.4g} mph) is outside 0 to {MOST_WIND_MPS:g} m/s", mend)


TEST_AIR: Final = air((75.0 - 32.0) / 1.8, pressure_hpa=30.0 * INHG_HPA)  # 75 °F, 50 %, 30 inHg: 1.1849
STANDARD_AIR: Final = air((70.0 - 32.0) / 1.8, height_m=0.0)  # 70 °F, 50 %, sea level: 1.194
