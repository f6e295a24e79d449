"""When a hole is reached, and the wind there and then.

Wind is interpolated between the clock hours of the forecast as a vector (east, north), so that a wind
backing through north does not swing through south; gusts are interpolated as numbers. Before the first
hour and after the last the forecast is held.

A round takes 4 h 15 min (common practice for a field in threes: 4 h to 4 h 30), spread evenly over 18
holes: about 14 minutes a hole. That is an engineering choice.

While the tee time is unknown a field goes out in two waves (common practice), taken to start in the middle
at 8:15 and at 13:15: the wind is the mean of what both would meet, and half their difference stands in its
standard deviations.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from typing import Final

from strategy.errors import RequestError
from strategy.week.model import Round, WindHour

HOURS_A_HOLE: Final = 4.25 / 18.0
WAVES: Final = (8.25, 13.25)


def hour_of(round: Round, played: int) -> float | None:  # noqa: A002  "round" is the word
    """Clock hour at which a hole is reached. [h]

    Parameters
    ----------
    played : int
        Holes played before it, 0 for the first of the round.

    Returns
    -------
    hour : float or None
        None while the tee time is unknown.

    Examples
    --------
    >>> hour_of(Round(number=1, tee_time=8.0), 9)
    10.125
    """
    return None if round.tee_time is None else round.tee_time + HOURS_A_HOLE * played


def holes_before(round: Round, label: str, labels: Sequence[str]) -> int:  # noqa: A002
    """How many holes of a round are played before one of them.

    Parameters
    ----------
    label : str
        The hole.
    labels : sequence of str
        All holes in the order of the card; play starts at `round.start_hole` and goes on past the end.

    Raises
    ------
    RequestError
        If the hole or the starting hole is not among them.

    Examples
    --------
    >>> holes_before(Round(number=1, start_hole="3"), "1", ["1", "2", "3", "4"])
    2
    """
    for wanted in (label, round.start_hole):
        if wanted not in labels:
            raise RequestError(f"there is no hole {wanted}; the holes are {', '.join(labels)}")
    return (labels.index(label) - labels.index(round.start_hole)) % len(labels)


def played_before(round: Round, label: str, labels: Sequence[str]) -> int:  # noqa: A002
    """Holes played before one in a round; in the order of the card where its starting hole is not there.

    A week file may be written for eighteen holes and used on nine: that costs the hour, not the plan.

    >>> played_before(Round(number=1, start_hole="10"), "4", ["3", "4"])
    1
    """
    return holes_before(round, label, labels) if round.start_hole in labels else labels.index(label)


def wind_at(round: Round, hour: float) -> WindHour | None:  # noqa: A002
    """Wind at a clock hour; None when the round gives no wind (calm).

    Examples
    --------
    >>> north = WindHour(hour=8, speed_mps=4, blows_from=350, gust_mps=6)
    >>> east = WindHour(hour=10, speed_mps=4, blows_from=10, gust_mps=8)
    >>> there = wind_at(Round(number=1, wind=(north, east)), 9)
    >>> round(there.blows_from), round(there.speed_mps, 2), there.gust_mps
    (0, 3.94, 7.0)
    """
    hours = round.wind
    if not hours:
        return None
    if hour <= hours[0].hour or len(hours) == 1:
        return _held(hours[0], hour)
    if hour >= hours[-1].hour:
        return _held(hours[-1], hour)
    after = next(i for i, w in enumerate(hours) if w.hour > hour)
    first, second = hours[after - 1], hours[after]
    share = (hour - first.hour) / (second.hour - first.hour)
    return _mixed(((first, 1.0 - share), (second, share)), hour)


def wind_for(round: Round, played: int) -> WindHour | None:  # noqa: A002
    """Wind on the hole reached after `played` others; None when the round gives no wind.

    While the tee time is unknown it is the mean of both waves, and their spread stands in its standard
    deviations.
    """
    if not round.wind:
        return None
    hour = hour_of(round, played)
    if hour is not None:
        return wind_at(round, hour)
    winds = [w for w in waves(round, played) if w is not None]
    middle = sum(w.hour for w in winds) / len(winds)
    mean = _mixed([(w, 1.0 / len(winds)) for w in winds], middle)
    apart = [_parts(w, mean.blows_from) for w in winds]
    along = 0.5 * abs(apart[0][0] - apart[1][0])
    across = 0.5 * abs(apart[0][1] - apart[1][1])
    turn = math.degrees(math.atan2(across, max(mean.speed_mps, 1e-9))) if across > 1e-9 else 0.0
    return dataclasses.replace(
        mean,
        speed_sd_mps=math.hypot(mean.speed_sd_mps, along),
        direction_sd=math.hypot(mean.direction_sd, turn),
    )


def waves(round: Round, played: int) -> tuple[WindHour | None, ...]:  # noqa: A002
    """Winds on a hole of an early and of a late start."""
    return tuple(wind_at(round, start + HOURS_A_HOLE * played) for start in WAVES)


def _parts(wind: WindHour, axis: float) -> tuple[float, float]:
    """Speed along and across a direction. [m/s]"""
    a = math.radians(wind.blows_from - axis)
    return wind.speed_mps * math.cos(a), wind.speed_mps * math.sin(a)


def _held(wind: WindHour, hour: float) -> WindHour:
    return dataclasses.replace(wind, hour=hour, blows_from=wind.blows_from % 360.0)


def _mixed(winds: Sequence[tuple[WindHour, float]], hour: float) -> WindHour:
    east = sum(share * w.speed_mps * math.sin(math.radians(w.blows_from)) for w, share in winds)
    north = sum(share * w.speed_mps * math.cos(math.radians(w.blows_from)) for w, share in winds)
    speed = math.hypot(east, north)
    # Rounding keeps 359.9999999 from standing where 0 is meant.
    blows_from = round_to_circle(math.degrees(math.atan2(east, north))) if speed > 1e-9 else 0.0
    gust = sum(share * w.gust_mps for w, share in winds)
    return WindHour(
        hour=hour,
        speed_mps=speed,
        blows_from=blows_from,
        gust_mps=max(gust, speed),
        speed_sd_mps=sum(share * w.speed_sd_mps for w, share in winds),
        direction_sd=sum(share * w.direction_sd for w, share in winds),
    )


def round_to_circle(degrees: float) -> float:
    """An angle in [0, 360), to a millionth of a degree. [°]

    >>> round_to_circle(-1e-9), round_to_circle(360.0), round_to_circle(-90.0)
    (0.0, 0.0, 270.0)
    """
    return round(degrees % 360.0, 6) % 360.0
