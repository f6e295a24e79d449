"""The hour at which a hole is reached, and the wind at that hour.

The wind is interpolated between the clock hours of the forecast as a vector (east, north), so that a wind
that backs through north does not pass through south. Gusts are interpolated as numbers. Before the first hour
and after the last the forecast is constant.

A round takes 4 h 15 min (common practice for groups of three: 4 h to 4 h 30), divided evenly between 18
holes, which is about 14 minutes a hole (engineering choice).

A field starts in two waves (common practice). While the tee time is unknown, the middle of the waves is taken
as 8:15 and 13:15. The wind is the mean of the winds of both waves, and half their difference is part of its
standard errors.
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
    round : Round
        The round with its tee time.
    played : int
        Number of holes played before this one; 0 for the first hole of the round.

    Returns
    -------
    hour : float or None
        None when the tee time is unknown.

    Examples
    --------
    >>> hour_of(Round(number=1, tee_time=8.0), 9)
    10.125
    """
    return None if round.tee_time is None else round.tee_time + HOURS_A_HOLE * played


def holes_before(round: Round, label: str, labels: Sequence[str]) -> int:  # noqa: A002
    """Number of holes of a round that are played before one of them.

    Parameters
    ----------
    round : Round
        The round with its first hole.
    label : str
        The hole.
    labels : sequence of str
        All holes in the order of the card. After the last hole play continues with the first.

    Raises
    ------
    RequestError
        If the hole or the first hole of the round is not in `labels`.

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
    """As `holes_before`, but counted from the start of the card if the first hole of the round is not on it.

    A week file for eighteen holes can so be used on nine: the hour may be wrong, but there is a plan.

    >>> played_before(Round(number=1, start_hole="10"), "4", ["3", "4"])
    1
    """
    return holes_before(round, label, labels) if round.start_hole in labels else labels.index(label)


def wind_at(round: Round, hour: float) -> WindHour | None:  # noqa: A002
    """Wind at a clock hour; None for a round without wind.

    Examples
    --------
    >>> at_8 = WindHour(hour=8, speed_mps=4, blows_from=350, gust_mps=6)
    >>> at_10 = WindHour(hour=10, speed_mps=4, blows_from=10, gust_mps=8)
    >>> at_9 = wind_at(Round(number=1, wind=(at_8, at_10)), 9)
    >>> round(at_9.blows_from), round(at_9.speed_mps, 2), at_9.gust_mps
    (0, 3.94, 7.0)
    """
    hours = round.wind
    if not hours:
        return None
    if hour <= hours[0].hour or len(hours) == 1:
        return _at_hour(hours[0], hour)
    if hour >= hours[-1].hour:
        return _at_hour(hours[-1], hour)
    after = next(i for i, w in enumerate(hours) if w.hour > hour)
    first, second = hours[after - 1], hours[after]
    share = (hour - first.hour) / (second.hour - first.hour)
    return _weighted_mean(((first, 1.0 - share), (second, share)), hour)


def wind_for(round: Round, played: int) -> WindHour | None:  # noqa: A002
    """Wind on the hole that is reached after `played` others; None for a round without wind.

    While the tee time is unknown, it is the mean of both waves; see the module.
    """
    if not round.wind:
        return None
    hour = hour_of(round, played)
    if hour is not None:
        return wind_at(round, hour)
    winds = [w for w in waves(round, played) if w is not None]
    middle = sum(w.hour for w in winds) / len(winds)
    mean = _weighted_mean([(w, 1.0 / len(winds)) for w in winds], middle)
    early, late = (_components(w, mean.blows_from) for w in winds)
    along = 0.5 * abs(early[0] - late[0])
    across = 0.5 * abs(early[1] - late[1])
    angle = math.degrees(math.atan2(across, max(mean.speed_mps, 1e-9))) if across > 1e-9 else 0.0
    return dataclasses.replace(
        mean,
        speed_sd_mps=math.hypot(mean.speed_sd_mps, along),
        direction_sd=math.hypot(mean.direction_sd, angle),
    )


def waves(round: Round, played: int) -> tuple[WindHour | None, ...]:  # noqa: A002
    """Winds on a hole for an early and for a late start."""
    return tuple(wind_at(round, start + HOURS_A_HOLE * played) for start in WAVES)


def _components(wind: WindHour, axis: float) -> tuple[float, float]:
    """Speed along a direction [°] and across it. [m/s]"""
    angle = math.radians(wind.blows_from - axis)
    return wind.speed_mps * math.cos(angle), wind.speed_mps * math.sin(angle)


def _at_hour(wind: WindHour, hour: float) -> WindHour:
    """The same wind at another hour."""
    return dataclasses.replace(wind, hour=hour, blows_from=wind.blows_from % 360.0)


def _weighted_mean(winds: Sequence[tuple[WindHour, float]], hour: float) -> WindHour:
    """The mean of some winds with their weights, which sum to 1."""
    east = sum(share * w.speed_mps * math.sin(math.radians(w.blows_from)) for w, share in winds)
    north = sum(share * w.speed_mps * math.cos(math.radians(w.blows_from)) for w, share in winds)
    speed = math.hypot(east, north)
    # Rounding prevents 359.9999999 for 0.
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
