"""In gusts there are several possible numbers: which one to settle on, and what being wrong costs.

The wind at the stroke may be a lull, what is forecast, or a gust. In each of them another number is right:
the player's own number which, with a start line to match, lands the ball where it is planned. It is one of
the same shot where that is dialled to it, else one of the stock shot that is, by the carries in that wind.
One number is settled on before the swing and held, start line and all, over the whole range.

Engineering choices, marked here because nothing published settles them:

* A lull is as far below the mean as a gust is above it (never below calm), from the same direction.
* The stroke meets lull, forecast and gust with chances of 1/4, 1/2 and 1/4, and the whole flight is in it:
  what is said is the most that a lull or a gust costs.
* In each of the three the mean wind stays misjudged by its share; what `strategy.outcome.weather` adds to the
  scatter for gusts is taken out, so that they do not count twice.
* A number is settled on only where the shot is dialled to it. The number planned stays unless another saves
  more than the points tell apart.
* A doubtful swing scatters more than a committed one by a factor that the player states; the wind does not.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Spot
from strategy.decide.aims import Aims, sums
from strategy.decide.ground import Ground
from strategy.decide.option import Option
from strategy.decide.search import pool
from strategy.outcome.play import Choice
from strategy.outcome.table import ShotTable
from strategy.outcome.weather import GUSTS, Weather, table_in
from strategy.player.model import Player
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour

FloatArray = NDArray[np.float64]

LEAST_GUST_MPS: Final = 3.0 * MPH_MPS  # above the mean; less is said nothing about
LEAST_APART_M: Final = 3.0 * YARD_M  # of the numbers
CHANCES: Final = (0.25, 0.5, 0.25)  # of lull, forecast and gust
TOLD_APART: Final = 0.002  # strokes
_DIAL_M: Final = 0.5  # a carry this far outside its dial is still struck so
_POINTS: Final = 256  # of each stratum and scramble
_FORECAST: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gusts:
    """A player's shots in the lull and in the gust; those of the forecast stand in `HoleToday`.

    Attributes
    ----------
    lull, gust : ShotTable
        Their covariances hold the shots' own scatter, and none from the wind.
    winds_mps : tuple of three floats
        Lull, forecast, gust, as forecast for 10 m. [m/s]
    judged : float
        Share of the variance from misjudged wind that stays when the gusts are taken out.
    """

    lull: ShotTable
    gust: ShotTable
    winds_mps: tuple[float, float, float]
    judged: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Commitment:
    """The number to settle on in gusts, and what being wrong costs.

    Attributes
    ----------
    winds_mps : tuple of three floats
        Lull, forecast, gust. [m/s]
    numbers_m : tuple of three floats
        The player's own number that is right in each. [m]
    committed_m : float
        The one to settle on. [m]
    sides_m : tuple of two floats
        How far right of the planned landing that number and its start line bring the ball down, in the lull
        and in the gust. [m]
    over : tuple of three floats or None
        What settling on each of the numbers costs over the range, above the one settled on; None for a number
        the option's shot is not dialled to. [strokes]
    cost_lull, cost_gust : float
        When the number settled on meets the lull or the gust: strokes above the number and start line that
        would have been right there. [strokes]
    cost_doubt : float or None
        What an uncommitted swing at the same number costs over the range; None where the player does not
        state that it scatters more. [strokes]
    """

    winds_mps: tuple[float, float, float]
    numbers_m: tuple[float, float, float]
    committed_m: float
    sides_m: tuple[float, float]
    over: tuple[float | None, float | None, float | None]
    cost_lull: float
    cost_gust: float
    cost_doubt: float | None = None


def gusts(player: Player, day: Weather) -> Gusts | None:
    """Shots of a player in the lull and the gust of a day; None where gusts add less than 3 mph."""
    wind = day.wind
    if wind is None or wind.gust_mps - wind.speed_mps < LEAST_GUST_MPS:
        return None
    more = wind.gust_mps - wind.speed_mps
    lull = max(wind.speed_mps - more, 0.0)
    by_mean, by_gusts = day.judged * wind.speed_mps, GUSTS * more
    return Gusts(
        lull=_steady(player, day, wind, lull),
        gust=_steady(player, day, wind, wind.gust_mps),
        winds_mps=(lull, wind.speed_mps, wind.gust_mps),
        judged=by_mean**2 / (by_mean**2 + by_gusts**2),
    )


def _steady(player: Player, day: Weather, wind: WindHour, speed_mps: float) -> ShotTable:
    """Shots in a steady wind that is not misjudged."""
    steady = dataclasses.replace(wind, speed_mps=speed_mps, gust_mps=speed_mps)
    return table_in(player, dataclasses.replace(day, wind=steady, judged=0.0))


def commit(board: Ground, spot: Spot, option: Option, windy: Gusts, *, seed: int = 1) -> Commitment | None:
    """The number to settle on for an option, and what being wrong costs.

    Parameters
    ----------
    board : Ground
        The hole laid out.
    spot : Spot
        Where from.
    option : Option
        As decided, in the forecast wind.
    windy : Gusts
        Of the same player, hole and hour.
    seed : int
        Seed of the common points.

    Returns
    -------
    commitment : Commitment or None
        None where the numbers differ by less than 3 yards, or where one of them is longer than any shot from
        this lie by as much: then there is no number to choose, the ball goes as far as it goes.
    """
    today, lie = board.today, int(spot.lie)
    tables = (windy.lull, today.shots, windy.gust)
    planned = Choice(option.index, option.heading, option.carry_m)
    target = _landing(today.shots, lie, planned)
    right = [planned if t is today.shots else _right_there(t, lie, planned, target) for t in tables]
    lull, forecast, gust = (_number(t, lie, c) for t, c in zip(tables, right, strict=True))
    numbers = (lull, forecast, gust)
    if max(numbers) - min(numbers) < LEAST_APART_M:
        return None
    if max(numbers) > _longest(today.shots, lie, option.heading) + LEAST_APART_M:
        return None
    value = option.strokes - option.cost
    points = pool(seed * 10 + 9, _POINTS)
    strokes = np.empty((3, 4))  # by wind: the three numbers held, and what would have been right there
    held = [[_struck(t, lie, option, n) for n in numbers] for t in tables]
    for w, table in enumerate(tables):
        aims = Aims.of([*held[w], right[w]])
        strokes[w] = _strokes(board, spot, windy, table, aims, points, value)
    over = np.asarray(CHANCES) @ strokes[:, :3]
    dialled = [_beyond(today.shots, lie, choice) <= _DIAL_M for choice in held[_FORECAST]]
    best = _best(over, dialled)
    above = [float(s - over[best]) if d else None for s, d in zip(over, dialled, strict=True)]
    cost_doubt = None
    if today.doubtful_swing > 1.0:
        doubtful = [
            _strokes(board, spot, windy, t, Aims.of([held[w][best]]), points, value, today.doubtful_swing)[0]
            for w, t in enumerate(tables)
        ]
        cost_doubt = float(np.dot(CHANCES, doubtful) - over[best])
    return Commitment(
        winds_mps=windy.winds_mps,
        numbers_m=numbers,
        committed_m=numbers[best],
        sides_m=(
            _right_of(target, _landing(windy.lull, lie, held[0][best])),
            _right_of(target, _landing(windy.gust, lie, held[2][best])),
        ),
        over=(above[0], above[1], above[2]),
        cost_lull=float(strokes[0, best] - strokes[0, 3]),
        cost_gust=float(strokes[2, best] - strokes[2, 3]),
        cost_doubt=cost_doubt,
    )


def _strokes(
    board: Ground,
    spot: Spot,
    windy: Gusts,
    table: ShotTable,
    aims: Aims,
    points: NDArray[np.float32],
    value: float,
    doubt: float = 1.0,
) -> FloatArray:
    """Strokes of A aims in one steady wind: one play, then best play (A,).

    Parameters
    ----------
    value : float
        V of the spot.
    doubt : float
        Scatter of the swing, in multiples of a committed one's.
    """
    at = (aims.shot, int(spot.lie), aims.heading)
    own = windy.lull.at(*at).covariance
    by_wind = board.today.shots.at(*at).covariance - own
    moved = dataclasses.replace(board, today=dataclasses.replace(board.today, shots=table))
    found = sums(moved, spot, aims, points, 1.0 + value, doubt**2 * own + windy.judged * by_wind)
    return found.once(value)


def _best(over: FloatArray, dialled: list[bool]) -> int:
    """The number that costs least over the range, of those the shot is dialled to."""
    best = _FORECAST
    for i in np.argsort(over, kind="stable"):
        if dialled[i] and over[i] < over[_FORECAST] - TOLD_APART:
            best = int(i)
            break
    return best


def _right_there(table: ShotTable, lie: int, planned: Choice, target: FloatArray) -> Choice:
    """What lands at a place in another wind: the planned shot where its dial reaches, else a stock shot."""
    own = _landed_at(table, lie, planned, target)
    if _beyond(table, lie, own) <= _DIAL_M:
        return own
    others = np.flatnonzero(table.allowed[:, lie] & (table.stock | (np.arange(table.shots) == own.shot)))
    beyond = [_beyond(table, lie, dataclasses.replace(own, shot=int(s))) for s in others]
    shot = int(others[int(np.argmin(beyond))])
    return own if shot == own.shot else _landed_at(table, lie, dataclasses.replace(own, shot=shot), target)


def _beyond(table: ShotTable, lie: int, choice: Choice) -> float:
    """How far a carry is outside what its shot is dialled to, 0 when inside. [m]"""
    row = table.at(choice.shot, lie, choice.heading)
    return max(float(row.least) - choice.carry, choice.carry - float(row.carry), 0.0)


def _longest(table: ShotTable, lie: int, heading: float) -> float:
    """The longest number among the shots from a lie. [m]"""
    shots = np.flatnonzero(table.allowed[:, lie])
    full = table.at(shots, lie, np.full(len(shots), heading)).carry
    return max(table.playing(int(s), lie, heading, float(c)) for s, c in zip(shots, full, strict=True))


def _number(table: ShotTable, lie: int, choice: Choice) -> float:
    return table.playing(choice.shot, lie, choice.heading, choice.carry)


def _struck(table: ShotTable, lie: int, option: Option, number_m: float) -> Choice:
    """An option's shot along its own line, struck as a number of the player's: what it carries in this wind.

    Numbers go in proportion to carries (`ShotTable.playing`), beyond the dial too: such a number is worked
    out with the others, and never settled on.
    """
    full = float(table.at(option.index, lie, option.heading).carry)
    here, there = (table.playing(option.index, lie, option.heading, c) for c in (full, 0.9 * full))
    carry = full + (number_m - here) * 0.1 * full / (here - there)
    return Choice(option.index, option.heading, carry)


def _landing(table: ShotTable, lie: int, choice: Choice) -> FloatArray:
    """Mean landing of a choice from its spot, (east, north). [m]"""
    row = table.at(choice.shot, lie, choice.heading)
    side, depth = row.mean * choice.carry / float(row.carry)
    depth += choice.carry
    a = np.radians(choice.heading)
    return np.array([side * np.cos(a) + depth * np.sin(a), depth * np.cos(a) - side * np.sin(a)])


def _right_of(target: FloatArray, landing: FloatArray) -> float:
    """How far a landing is right of another one, both seen from the spot. [m]"""
    return float(landing @ (target[1], -target[0]) / np.hypot(*target))


def _landed_at(table: ShotTable, lie: int, first: Choice, target: FloatArray) -> Choice:
    """The choice of the same shot whose mean landing is a place, whether the shot carries so or not.

    Found by moving heading and carry by what the landing is off, which settles in a few rounds.
    """
    heading, carry = first.heading, first.carry
    for _ in range(6):
        got = _landing(table, lie, Choice(first.shot, heading, carry))
        carry = max(carry + float(np.hypot(*target)) - float(np.hypot(*got)), 1.0)
        turn = np.arctan2(target[0], target[1]) - np.arctan2(got[0], got[1])
        heading = float(heading + (np.degrees(turn) + 180.0) % 360.0 - 180.0) % 360.0
    return Choice(first.shot, heading, carry)
