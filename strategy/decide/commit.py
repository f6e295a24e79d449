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
* The other two winds move the landing by flights of the same launch; bend, descent and run stay the
  forecast's (the run of a gust changes a cost of 0.19 to 0.20).
* A number is settled on only where the shot is dialled to it. The number planned stays unless another saves
  more than the points tell apart.
* A doubtful swing scatters more than a committed one by a factor that the player states; the wind does not.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.air import Air
from strategy.ball.flight import Launch, fly
from strategy.codes import Lie, Spot
from strategy.decide.aims import DIAL_M, beyond_dial
from strategy.decide.cost_field import CostField
from strategy.decide.option import Option
from strategy.decide.search import pool
from strategy.decide.worlds import carried_over, number_of, numbered, remade, valued
from strategy.outcome.play import Choice, mean_landing
from strategy.outcome.points import Stream
from strategy.outcome.shot_table import parts, together
from strategy.outcome.sightings import with_lies
from strategy.outcome.table import ShotTable
from strategy.outcome.today import HoleToday
from strategy.outcome.weather import (
    GUSTS,
    LEAST_CARRY_M,
    LEAST_DIAL_M,
    NUDGE_MPS,
    Weather,
    launches,
    winds,
)
from strategy.player.model import Player
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour

LEAST_GUST_MPS: Final = 3.0 * MPH_MPS  # of gusts above the mean wind; nothing is said of weaker gusts
LEAST_APART_M: Final = 3.0 * YARD_M  # nearer numbers are not told apart
CHANCES: Final = (0.25, 0.5, 0.25)  # of lull, forecast and gust
TOLD_APART: Final = 0.002  # strokes
_POINTS: Final = 256  # of each stratum and scramble
_FORECAST: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gusts:
    """What a player's shots are flown in on a hole.

    Attributes
    ----------
    launch : Launch
        Of each shot from each lie (S, 9).
    effect : ndarray (S, 9)
        What each lie leaves of a carry, and so of what the wind does to it.
    air : Air
        Density and viscosity.
    winds : tuple of three WindHour
        Lull, forecast, gust.
    judged_mps, gusts_mps : float
        Standard deviations of the wind at the stroke in the forecast's scatter: by what of the mean is
        misjudged, and by what gusts add. [m/s]
    """

    launch: Launch
    effect: FloatArray
    air: Air
    winds: tuple[WindHour, WindHour, WindHour]
    judged_mps: float
    gusts_mps: float


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
    others : tuple of three str
        Whose number each of the three is, where it is another shot's than the option's: its label, else "".
    """

    winds_mps: tuple[float, float, float]
    numbers_m: tuple[float, float, float]
    committed_m: float
    sides_m: tuple[float, float]
    over: tuple[float | None, float | None, float | None]
    cost_lull: float
    cost_gust: float
    cost_doubt: float | None = None
    others: tuple[str, str, str] = ("", "", "")


def gusts(player: Player, day: Weather | None) -> Gusts | None:
    """What to fly a player's shots in; None where gusts add less than 3 mph.

    Parameters
    ----------
    day : Weather or None
        On the hole (`HoleToday.day`).
    """
    if day is None or day.wind is None or day.wind.gust_mps - day.wind.speed_mps < LEAST_GUST_MPS:
        return None
    wind, more = day.wind, day.wind.gust_mps - day.wind.speed_mps
    known = with_lies(player, day.rough)
    effects = [[together(parts(known, shot, lie, day.wet)) for lie in Lie] for shot in known.shots]
    return Gusts(
        launch=_launched(known, np.array([[e.spin for e in row] for row in effects])),
        effect=np.array([[e.carry for e in row] for row in effects]),
        air=day.air,
        winds=(
            dataclasses.replace(wind, speed_mps=max(wind.speed_mps - more, 0.0)),
            wind,
            dataclasses.replace(wind, speed_mps=wind.gust_mps),
        ),
        judged_mps=day.judged * wind.speed_mps,
        gusts_mps=GUSTS * more,
    )


def _launched(player: Player, spin: FloatArray) -> Launch:
    """Launches of every shot from every lie (S, L), with the share of the spin that the lie leaves (S, L)."""
    shares, which = np.unique(spin, return_inverse=True)
    each = [launches(player, float(share)).launch for share in shares]
    shot = np.arange(len(spin))[:, None]
    whole = {f.name: np.stack([getattr(one, f.name) for one in each]) for f in dataclasses.fields(Launch)}
    return Launch(**{name: values[which.reshape(spin.shape), shot] for name, values in whole.items()})


def commit(field: CostField, spot: Spot, option: Option, windy: Gusts, *, seed: int = 1) -> Commitment | None:
    """The number to settle on for an option, and what being wrong costs.

    Parameters
    ----------
    field : CostField
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
    today, lie = field.today, int(spot.lie)
    fields = _in_winds(field, spot, option, windy)
    planned = option.choice
    target = mean_landing(today, spot, planned)
    right = [
        planned if w == _FORECAST else carried_over(planned, spot, today, in_wind.today)
        for w, in_wind in enumerate(fields)
    ]
    lull, forecast, gust = (number_of(b.today, spot, c) for b, c in zip(fields, right, strict=True))
    numbers = (lull, forecast, gust)
    if max(numbers) - min(numbers) < LEAST_APART_M:
        return None
    if max(numbers) > _longest(today.shots_from(spot), lie, option.heading) + LEAST_APART_M:
        return None
    value = option.strokes - option.cost
    points = [pool(Stream.PRICE.of(seed), _POINTS)]
    strokes = np.empty((3, 4))  # for each wind: the three numbers, and the number that is right in that wind
    swings = [numbered(fields[_FORECAST].today, spot, planned, n) for n in numbers]
    held = [[carried_over(s, spot, fields[_FORECAST].today, b.today) for s in swings] for b in fields]
    for w, in_wind in enumerate(fields):
        strokes[w] = valued(in_wind, spot, [*held[w], right[w]], points, value).once(value)
    over = np.asarray(CHANCES) @ strokes[:, :3]
    dialled = [beyond_dial(today, spot, choice) <= DIAL_M for choice in held[_FORECAST]]
    best = _best(over, dialled)
    above = [float(s - over[best]) if d else None for s, d in zip(over, dialled, strict=True)]
    cost_doubt = None
    if today.doubtful_swing > 1.0:
        doubtful = [
            valued(in_wind, spot, [held[w][best]], points, value).once(value)[0]
            for w, in_wind in enumerate(_in_winds(field, spot, option, windy, today.doubtful_swing))
        ]
        cost_doubt = float(np.dot(CHANCES, doubtful) - over[best])
    return Commitment(
        winds_mps=(windy.winds[0].speed_mps, windy.winds[1].speed_mps, windy.winds[2].speed_mps),
        numbers_m=numbers,
        committed_m=numbers[best],
        sides_m=(
            _right_of(target, mean_landing(fields[0].today, spot, held[0][best])),
            _right_of(target, mean_landing(fields[2].today, spot, held[2][best])),
        ),
        over=(above[0], above[1], above[2]),
        cost_lull=float(strokes[0, best] - strokes[0, 3]),
        cost_gust=float(strokes[2, best] - strokes[2, 3]),
        cost_doubt=cost_doubt,
        others=(_other(today, option, right[0]), "", _other(today, option, right[2])),
    )


def _in_winds(
    field: CostField, spot: Spot, option: Option, windy: Gusts, doubt: float = 1.0
) -> tuple[CostField, CostField, CostField]:
    """The hole with the shots of a steady lull, forecast and gust."""
    lull, forecast, gust = (
        remade(field, dataclasses.replace(field.today, shots=shots))
        for shots in steady(field.today, int(spot.lie), option.heading, windy, doubt)
    )
    return lull, forecast, gust


def steady(
    today: HoleToday, lie: int, heading: float, windy: Gusts, doubt: float = 1.0
) -> tuple[ShotTable, ShotTable, ShotTable]:
    """Shots from one lie in a steady lull, forecast and gust, along headings within 15 degrees of one.

    Parameters
    ----------
    heading : float
        [°]
    doubt : float
        Scatter of the swing, in multiples of a committed one's.

    Returns
    -------
    tables : tuple of three ShotTable
        Their covariances hold the mean wind misjudged, and no gusts. Everything else is the forecast's.
    """
    table = today.shots
    count = int(table.carry.shape[2])
    near = (int(np.floor(heading % 360.0 / 360.0 * count)) + np.arange(-2, 4)) % count
    headings = np.asarray(near * (360.0 / count), dtype=np.float64)
    along = [winds(wind, headings) for wind in windy.winds]
    head, cross = (np.array([w[axis] for w in along]) for axis in (0, 1))  # (3, 6)
    still = np.zeros((1, len(near)))
    flown = fly(
        windy.launch[:, lie][:, None, None],
        head_mps=np.vstack((head, head[_FORECAST] + NUDGE_MPS, head[_FORECAST] + still)),
        cross_mps=np.vstack((cross, cross[_FORECAST] + still, cross[_FORECAST] + NUDGE_MPS)),
        air=windy.air,
    )
    moved = np.stack((flown.side_m, flown.carry_m), axis=-1)  # (S, 5, 6, 2)
    moved *= windy.effect[:, lie, None, None, None]
    moved -= moved[:, [_FORECAST]]
    slopes = moved[:, 3:] / NUDGE_MPS
    by_wind = np.einsum("snhi,snhj->shij", slopes, slopes)  # for 1 m/s of s.d. along and across
    rows = (slice(None), lie, near)
    covariance = table.covariance.copy()
    own = covariance[rows] - (windy.judged_mps**2 + windy.gusts_mps**2) * by_wind
    covariance[rows] = doubt**2 * own + windy.judged_mps**2 * by_wind
    softer = _softer(table, lie, table.carry[rows])
    tables = []
    for w in range(3):
        carry, least, mean = table.carry.copy(), table.least.copy(), table.mean.copy()
        carry[rows] = np.maximum(carry[rows] + moved[:, w, :, 1], LEAST_CARRY_M)
        least[rows] += _softer(table, lie, carry[rows]) - softer
        least[rows] = np.clip(least[rows], LEAST_DIAL_M, carry[rows])
        mean[(*rows, 0)] += moved[:, w, :, 0]
        tables.append(dataclasses.replace(table, carry=carry, least=least, mean=mean, covariance=covariance))
    return tables[0], tables[1], tables[2]


def _softer(table: ShotTable, lie: int, carry: FloatArray) -> FloatArray:
    """Shortest dial of each shot where its full carry is `carry` (S, n). [m]

    A softer swing answers the wind in its own way: how, is read off the headings of the table, as a parabola
    of the shortest dial over the full carry.
    """
    full, least = table.carry[:, lie], table.least[:, lie]
    middle = full.mean(axis=1, keepdims=True)
    wide = np.abs(full - middle).max(axis=1, keepdims=True)
    size = np.maximum(wide, 1.0)
    # In a faint wind the headings hardly differ, so both dials move in proportion.
    ratio = least.mean(axis=1, keepdims=True) / middle
    rest = np.where(wide > 1.0, least - ratio * full, 0.0)
    powers = ((full - middle) / size)[..., None] ** np.arange(3)  # (S, H, 3)
    squares = np.einsum("shi,shj->sij", powers, powers) + 1e-9 * np.eye(3)
    fit = np.linalg.solve(squares, np.einsum("shi,sh->si", powers, rest)[..., None])[..., 0]
    powers = ((carry - middle) / size)[..., None] ** np.arange(3)
    return np.asarray(ratio * carry + np.einsum("sni,si->sn", powers, fit), dtype=np.float64)


def _best(over: FloatArray, dialled: list[bool]) -> int:
    """The number that costs least over the range, of those the shot is dialled to."""
    best = _FORECAST
    for i in np.argsort(over, kind="stable"):
        if dialled[i] and over[i] < over[_FORECAST] - TOLD_APART:
            best = int(i)
            break
    return best


def _other(today: HoleToday, option: Option, right: Choice) -> str:
    """Label of a shot that is not the option's, "" when it is."""
    return "" if right.shot == option.index else today.shots.labels[right.shot]


def _longest(table: ShotTable, lie: int, heading: float) -> float:
    """The longest number among the shots from a lie. [m]"""
    shots = np.flatnonzero(table.allowed[:, lie])
    full = table.at(shots, lie, np.full(len(shots), heading)).carry
    return max(table.playing(int(s), lie, heading, float(c)) for s, c in zip(shots, full, strict=True))


def _right_of(target: FloatArray, landing: FloatArray) -> float:
    """How far a landing is right of another one, both seen from the spot. [m]"""
    return float(landing @ (target[1], -target[0]) / np.hypot(*target))
