"""Quantities as files and commands write them: "12 mph", "64 F", "140 ft", "8:10", "SW".

Each function reads one text and returns SI units, clock hours or degrees. For a text it cannot read it raises
the fault of a validator, which guesses the mistake. A number without a unit is refused where its unit could
be mistaken.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Final

from strategy.tomlfile import fault, nearest, within
from strategy.units import FOOT_M, INHG_HPA, LENGTHS_M, MPH_MPS, YARD_M

_SPEEDS: Final = {
    "mph": MPH_MPS,
    "m/s": 1.0,
    "mps": 1.0,
    "km/h": 1 / 3.6,
    "kmh": 1 / 3.6,
    "kph": 1 / 3.6,
    "knots": 1852 / 3600,  # the international nautical mile is 1852 m exactly
    "knot": 1852 / 3600,
    "kn": 1852 / 3600,
    "kt": 1852 / 3600,
    "kts": 1852 / 3600,
}
_PRESSURES: Final = {
    "hPa": 1.0,
    "mbar": 1.0,
    "mb": 1.0,
    "millibars": 1.0,
    "kPa": 10.0,
    "inHg": INHG_HPA,
    "in": INHG_HPA,
}
COMPASS: Final = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
_WORDS: Final = {"north": "N", "east": "E", "south": "S", "west": "W"}
_AIR: Final = "Write the air temperature"
_QUANTITY: Final = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*(.*?)\s*")
_CLOCK: Final = re.compile(r"\s*(\d{1,2})[:.](\d{2})(?::\d{2})?\s*(am|pm|a\.m\.|p\.m\.)?\s*", re.IGNORECASE)


def speed(value: object) -> float:
    """Wind speed. [m/s]

    >>> round(speed("10 mph"), 4), speed("5 m/s"), round(speed("18 km/h"), 6)
    (4.4704, 5.0, 5.0)
    """
    number, unit, factor = _parts(value, _SPEEDS, '"12 mph", "5 m/s", "20 km/h" or "10 knots"')
    if number < 0:
        raise fault(f"{number:g} {unit} is negative", "Turn the direction round instead")
    most = 80.0 * MPH_MPS / factor
    slip = ("has a digit slipped", lambda v: v / 10)
    within(number, 0.0, float(round(most)), unit, "Write the mean wind of the hour", [slip])
    return number * factor


def temperature(value: object) -> float:
    """Air temperature. [°C]

    >>> temperature("18 C"), round(temperature("64 F"), 2)
    (18.0, 17.78)
    """
    text = str(value).replace("°", " ").replace("deg", " ")
    units = {"C": 1.0, "Celsius": 1.0, "F": 1.0, "Fahrenheit": 1.0}
    number, unit, _ = _parts(text if isinstance(value, str) else value, units, '"64 F" or "18 C"')
    if unit.upper().startswith("F"):
        within(number, 14.0, 122.0, "F", _AIR, [('is it "C"', lambda v: v * 1.8 + 32)])
        return (number - 32.0) / 1.8
    return within(
        number, -10.0, 50.0, "C", "Write the air temperature", [('is it "F"', lambda v: (v - 32) / 1.8)]
    )


def height(value: object) -> float:
    """Height above sea. [m]

    >>> height("100 m"), round(height("1000 ft"), 1)
    (100.0, 304.8)
    """
    number, unit, factor = _parts(value, LENGTHS_M, '"140 ft" or "43 m"')
    feet = ("is it in feet", lambda v: v * FOOT_M / factor)
    within(number, round(-420 / factor), round(4000 / factor), unit, "Write the height above sea", [feet])
    return number * factor


def pressure(value: object) -> float:
    """Pressure at the course itself, not reduced to sea level. [hPa]

    >>> pressure("1009 hPa"), round(pressure("29.92 inHg"), 1)
    (1009.0, 1013.2)
    """
    number, unit, factor = _parts(value, _PRESSURES, '"1009 hPa" or "29.8 inHg"')
    guesses = [
        ('is it "inHg"', lambda v: v * INHG_HPA / factor),
        ('is it "hPa"', lambda v: v / factor),
        ("is it in pascals", lambda v: v / 100.0 / factor),
        ("is it in kilopascals", lambda v: v * 10.0 / factor),
        ("is it in millimetres of mercury", lambda v: v * 1.33322 / factor),
    ]
    low, high = round(550 / factor, 2), round(1090 / factor, 2)
    within(number, low, high, unit, "Write the pressure at the course", guesses)
    return number * factor


def humidity(value: object) -> float:
    """Relative humidity as a share: "60 %" or 0.6.

    >>> humidity("60 %"), humidity(0.6)
    (0.6, 0.6)
    """
    if isinstance(value, str) and value.strip().endswith("%"):
        number, _, factor = _parts(value, {"%": 0.01}, '"60 %"')
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        number, factor = float(value), 1.0
    else:
        raise fault(f"is {value!r}, not a share", 'Write "60 %" or 0.6')
    slip, per_cent = ("has a digit slipped", lambda v: v / 10.0), ("is it per cent", lambda v: v / 100.0)
    unit, guess = ("%", slip) if factor < 1.0 else ("", per_cent)
    within(number, 0.0, round(1.0 / factor), unit, 'Write "60 %" or 0.6', [guess])
    return number * factor


def ball_speed(value: object) -> float:
    """Speed of a ball off the face. [m/s]

    >>> round(ball_speed("167 mph"), 2)
    74.66
    """
    number, unit, factor = _parts(value, _SPEEDS, '"167 mph" or "75 m/s"')
    slip = ("has a digit slipped", lambda v: v / 10)
    within(number, round(5.0 / factor, 1), round(100.0 / factor), unit, "Write the ball speed", [slip])
    return number * factor


def stimp(value: float) -> float:
    """Green speed. [ft]"""
    guesses = [
        ("is it in metres", lambda v: v / FOOT_M),
        ("is it in inches", lambda v: v / 12),
        ("has a digit slipped", lambda v: v / 10),
        ("is it in metres, the point left out", lambda v: v / 10 / FOOT_M),
    ]
    return within(value, 6.0, 16.0, "ft", "Write the stimpmeter reading in feet, as 11.5", guesses)


def to_front(value: object, unit_m: float = YARD_M) -> float:
    """Distance to the front of a green, in `unit_m` where no unit is named. [m]

    >>> round(to_front("142"), 4), to_front("130 m")
    (129.8448, 130.0)
    """
    number, unit, factor = _parts(_with_unit(value, unit_m), LENGTHS_M, '142 or "130 m"')
    if number < 0.0:
        raise fault(f"{number:g} {unit} is negative", "Give the front as it lies ahead, above 0")
    guesses = [("is it in feet", lambda v: v * FOOT_M / factor), ("has a digit slipped", lambda v: v / 10)]
    most = round(400.0 * YARD_M / factor)
    return factor * within(number, 1.0, float(most), unit, "Write how far the front of the green is", guesses)


def on(value: object, front_m: float, unit_m: float = YARD_M) -> float:
    """Distance from the front to the hole, in `unit_m` where no unit is named. [m]

    >>> round(on("11", 129.8448), 4)
    10.0584
    """
    number, unit, factor = _parts(_with_unit(value, unit_m), LENGTHS_M, '11 or "10 m"')
    if number < 0.0:
        raise fault(
            f"{number:g} {unit} is negative", "The hole stands on the green: the front is short of it"
        )
    guesses = [
        ("is it the number to the hole, and on is less by the front", lambda v: v - front_m / factor),
        ("is it in feet", lambda v: v * FOOT_M / factor),
        ("has a digit slipped", lambda v: v / 10),
    ]
    mend = "Write how far the hole is on from the front; no green is deeper"
    return factor * within(number, 0.0, float(round(60.0 * YARD_M / factor)), unit, mend, guesses)


def rise(value: object, unit_m: float = YARD_M) -> float:
    """How far a green lies above or below the ball, in `unit_m` where no unit is named. [m]

    >>> round(rise("4"), 4), round(rise("12 ft"), 4)
    (3.6576, 3.6576)
    """
    number, unit, factor = _parts(_with_unit(value, unit_m), LENGTHS_M, '4 or "12 ft"')
    if number < 0.0:
        raise fault(f"{number:g} {unit} is negative", "Turn it round: up is above the ball, down is below it")
    guesses = [("is it in feet", lambda v: v * FOOT_M / factor), ("has a digit slipped", lambda v: v / 10)]
    mend = "Write how far the green lies above or below the ball"
    return factor * within(number, 0.0, float(round(60.0 * YARD_M / factor)), unit, mend, guesses)


def clock(value: object) -> float:
    """Time of day. [h]

    >>> clock("8:10"), clock("1:30 pm"), clock("14:06")
    (8.166666666666666, 13.5, 14.1)
    """
    if isinstance(value, dt.time):
        return value.hour + value.minute / 60.0
    if not isinstance(value, str):
        raise fault(f"is {value}, not a time of day", 'Write it in quotes, as "8:10"')
    match = _CLOCK.fullmatch(value)
    if not match:
        raise fault(f'is "{value}", not a time of day', 'Write it as "8:10" or "13:45"')
    hour, minute = int(match[1]), int(match[2])
    half = (match[3] or "").lower()[:1]
    if half and not 1 <= hour <= 12:
        raise fault(f'is "{value}", which is both a 24 hour clock and {half}m', f'Write "{hour}:{match[2]}"')
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59:
        raise fault(f'is "{value}", not a time of day', "Hours run to 23, minutes to 59")
    return hour + minute / 60.0


def written(hour: float) -> str:
    """A clock hour as the file writes it.

    >>> written(13.75)
    '13:45'
    """
    minutes = round(hour * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def tee_time(value: object) -> float:
    """Tee time: a time of day when golf is played. [h]"""
    hour = clock(value)
    if 1.0 <= hour < 5.0:
        raise fault(
            f'is "{value}", in the night', f'Afternoon is "{int(hour) + 12}:{round(hour % 1 * 60):02d}"'
        )
    if not 5.0 <= hour <= 19.0:
        raise fault(f'is "{value}", when no round starts', "Tee times lie between 5:00 and 19:00")
    return hour


def direction(value: object) -> float:
    """Where a wind blows from, clockwise from true north: 0 and 360 are north. [°]

    >>> direction("SW"), direction("north-west"), direction(360), direction("225")
    (225.0, 315.0, 0.0, 225.0)
    """
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise fault(f"is {value}, not a direction", 'Write where the wind blows from: "SW", or degrees')
    if isinstance(value, str):
        number = _QUANTITY.fullmatch(value.replace("°", ""))
        if number and number[2] in ("", "deg", "degrees"):
            value = float(number[1])
    if not isinstance(value, str):
        turned = ("has a digit slipped", lambda v: v / 10)
        within(value, 0.0, 360.0, "degrees", 'Write where the wind blows from: "SW", or degrees', [turned])
        return float(value) % 360.0
    letters = value.casefold()
    for word, letter in _WORDS.items():
        letters = letters.replace(word, letter)
    letters = re.sub(r"[^a-z]", "", letters.casefold()).upper()
    if letters in COMPASS:
        return COMPASS.index(letters) * 22.5
    close = nearest(letters, COMPASS)
    mend = (
        f'Did you mean "{close}"?' if close else 'Write where it blows from: "N", "NNE", "NE", ... or degrees'
    )
    raise fault(f'is "{value}", not one of the 16 points of the compass', mend)


def _with_unit(value: object, unit_m: float) -> object:
    """A number without a unit gets that of the file or the command."""
    bare = re.fullmatch(r"\s*[-+]?\d+(?:\.\d+)?\s*", str(value))
    return f"{str(value).strip()} {'m' if unit_m == 1.0 else 'yd'}" if bare else value


def _parts(value: object, units: Mapping[str, float], sample: str) -> tuple[float, str, float]:
    """Number, unit as written, factor."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise fault(f"is {value} without a unit", f"Write {sample}")
    match = _QUANTITY.fullmatch(value) if isinstance(value, str) else None
    if not match:
        shown = f'"{value}"' if isinstance(value, str) else str(value)
        raise fault(f"is {shown}, not a number with its unit", f"Write {sample}")
    by_fold = {unit.casefold(): factor for unit, factor in units.items()}
    if not match[2]:
        raise fault(f'is "{value}", without a unit', f"Write {sample}")
    if match[2].casefold() not in by_fold:
        raise fault(f'is "{value}"; "{match[2]}" is no unit known here', f"Write {sample}")
    return float(match[1]), match[2], by_fold[match[2].casefold()]
