"""Shots from ground that slopes under the player: the shot table as it is at one spot.

The slope is that of a plane through the ground within `STANCE_M` of the ball, in half per cents: what a
height model says of two paces is no surer. Every shot is flown from it and from level ground in the wind of
the day (`strategy.ball.slope`), and the table takes on the difference: carry and dial as a share, landing to
the side, start line, bend, height, descent and run. Scatter stays, for nothing published says what a slope
adds to it. Where the player file states what a slope does, that counts instead of what is derived.

Level for certain are teeing grounds, the floors of bunkers, which are raked, and greens. Ground without
heights counts as level, and so do shots taken as they are stated (`Week.as_stated`), which are not flown.

The solver of whole holes plays every later shot from level ground: a stance is met at the spot that is asked
about, not at each of thousands of places. `tests/decide/test_stance.py` measures what that leaves out.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.flight import Flights, fly
from strategy.ball.slope import on_slope
from strategy.outcome import short_game
from strategy.outcome.table import ShotTable
from strategy.outcome.weather import (
    HEADINGS,
    LEAST_CARRY_M,
    LEAST_DIAL_M,
    MOST_BACK_M,
    Weather,
    launches,
    winds,
)
from strategy.player.model import Player

STANCE_M: Final = 1.5  # to each side of the ball: about where the player stands, and the next stride
STEP: Final = 0.005
MOST: Final = 0.25  # steeper ground counts as this steep


@dataclass(frozen=True, slots=True, kw_only=True)
class Stance:
    """What the slope under the player does to one shot.

    Attributes
    ----------
    ahead, right : float
        Rise over distance along the line of the shot, and to its right.
    above : bool
        Whether the ball lies above the feet; False = below them.
    side_m : float
        How far right of its landing off level ground the same swing comes down. [m]
    number_m : float
        What it adds to the player's own number for the same carry. [m]
    """

    ahead: float
    right: float
    above: bool
    side_m: float
    number_m: float


def plane_slope(off: FloatArray, height: FloatArray) -> tuple[float, float]:
    """Slope of the plane through heights (K,) at places (K, 2) that stand evenly about a ball.

    Towards east and north, rise over distance, in half per cents. [m]
    """
    # Least squares; of places that stand evenly both slopes come out one by one.
    plane = (height - height.mean()) @ off / np.sum(off**2, axis=0)
    size = float(np.hypot(*plane))
    east, north = (float(v) for v in plane * min(1.0, MOST / max(size, 1e-9)))
    return round(east / STEP) * STEP, round(north / STEP) * STEP


def places_under(cell_m: float) -> FloatArray:
    """Places (K, 2) round a ball that its player stands among, a cell apart. [m]"""
    reach = np.arange(-STANCE_M, STANCE_M + 1e-9, cell_m)
    east, north = (g.ravel() for g in np.meshgrid(reach, reach))
    near = np.hypot(east, north) <= STANCE_M + 1e-9
    return np.asarray(np.column_stack((east, north))[near], dtype=np.float64)


def along(slope: tuple[float, float], heading_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """A slope towards east and north as the rise ahead and to the right of headings. [°]"""
    east, north = slope
    sine, cosine = np.sin(np.radians(heading_deg)), np.cos(np.radians(heading_deg))
    return np.asarray(east * sine + north * cosine), np.asarray(east * cosine - north * sine)


_MADE: list[tuple[ShotTable, Player, Weather, tuple[float, float], ShotTable]] = []
_KEPT: Final = 8


def from_slope(table: ShotTable, player: Player, day: Weather, slope: tuple[float, float]) -> ShotTable:
    """A player's shots of a day as they are from a slope.

    Parameters
    ----------
    table : ShotTable
        From level ground.
    slope : tuple of two floats
        Rise over distance towards east and north.
    """
    for was, who, then, there, made in _MADE:
        if was is table and who is player and then is day and there == slope:
            return made
    made = _from_slope(table, player, day, slope)
    _MADE[:] = [*_MADE[-_KEPT + 1 :], (table, player, day, slope, made)]
    return made


def _from_slope(
    level_table: ShotTable, player: Player, day: Weather, slope: tuple[float, float]
) -> ShotTable:
    table = _all_round(level_table)
    headings = np.asarray(np.arange(HEADINGS) * (360.0 / HEADINGS), dtype=np.float64)
    head, cross = winds(day.wind, headings)
    ahead, right = along(slope, headings)
    level = launches(player).launch[np.arange(table.shots)[:, None]]
    sloped = on_slope(level, ahead, right)
    flat, now = (fly(one, head_mps=head, cross_mps=cross, air=day.air) for one in (level, sloped))
    runs = [short_game.runs(f, day.fairway, day.green, day.stimp_ft) for f in (flat, now)]
    longer = now.carry_m / np.maximum(flat.carry_m, 1.0)  # (S, H)
    aside = (now.side_m - flat.side_m) / np.maximum(flat.carry_m, 1.0)
    start = np.radians(sloped.start_deg - level.start_deg)
    longer, aside, start = _as_stated(player, ahead, right, longer, aside, start)

    def by_lie(found: FloatArray) -> FloatArray:
        return found[:, None]  # (S, 1, H): a lie that takes of a carry takes of this alike

    carry = np.maximum(table.carry * by_lie(longer), LEAST_CARRY_M)
    mean, rise = table.mean.copy(), table.rise * by_lie(_shallower(flat, now))[..., None]
    mean[..., 0] += by_lie(aside) * carry
    # What does not come of the start line comes of the bend (`ShotTable.bend`).
    quarters = np.array([u * u - u for u in (0.25, 0.5, 0.75)])
    bends = by_lie(aside - np.tan(start)) * carry
    taller = by_lie(now.apex_m / np.maximum(flat.apex_m, 0.1))
    return dataclasses.replace(
        table,
        carry=carry,
        least=np.minimum(np.maximum(table.least * by_lie(longer), LEAST_DIAL_M), carry),
        mean=mean,
        rise=rise,
        apex=table.apex * taller,
        flight_height=table.flight_height * (taller / by_lie(longer))[..., None],
        start_offset=table.start_offset + np.degrees(by_lie(start)),
        bend=table.bend + bends[..., None] * quarters,
        run=_run(table.run, *runs),
        run_turn=table.run_turn + by_lie(_turn(now) - _turn(flat)),
    )


def _as_stated(
    player: Player,
    ahead: FloatArray,
    right: FloatArray,
    longer: FloatArray,
    aside: FloatArray,
    start: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Share of the carry, of it to the side, and turn of the start line: as the player states them."""
    own = player.slopes
    for share, uphill in ((own.uphill, True), (own.downhill, False)):
        if share is not None:
            longer = np.where((ahead > 0.0) == uphill, 1.0 + share * np.abs(ahead), longer)
    if own.across is not None:
        stated = np.broadcast_to(-own.across * right, aside.shape)
        # The start line takes its part of it, as of what is derived.
        part = np.divide(np.tan(start), aside, out=np.zeros_like(aside), where=np.abs(aside) > 1e-9)
        aside, start = stated, np.arctan(np.clip(part, 0.0, 1.0) * stated)
    return longer, aside, start


def _shallower(flat: Flights, now: Flights) -> FloatArray:
    """How much more ground a height takes of a flight that comes down at another angle."""
    level, steep = (np.radians(np.clip(f.descent_deg, 5.0, 85.0)) for f in (flat, now))
    return np.asarray(np.tan(level) / np.tan(steep))


def _turn(flown: Flights) -> FloatArray:
    """Direction of the landing less that of the chord to it. [°]"""
    velocity = np.arctan2(flown.velocity_mps[..., 1], flown.velocity_mps[..., 0])
    return np.asarray(np.degrees(velocity - np.arctan2(flown.side_m, np.maximum(flown.carry_m, 1.0))))


def _run(run: FloatArray, flat: FloatArray, now: FloatArray) -> FloatArray:
    """Runs (S, L, H, 11) with what another landing makes of them on the four grounds (4, S, H)."""
    changed = run.copy()
    for surface, ground in short_game.RUNS_ON.items():
        level = run[..., int(surface)]
        # In proportion to what the table has, as a day's change is (`weather._run`).
        share = np.clip(level / np.maximum(flat[ground], 2.0)[:, None], 0.5, 1.5)
        more = share * (now[ground] - flat[ground])[:, None]
        changed[..., int(surface)] = np.maximum(level + more, np.minimum(level, MOST_BACK_M))
    return changed


def _all_round(table: ShotTable) -> ShotTable:
    """A table along `HEADINGS` headings, whatever it was."""
    if table.carry.shape[2] == HEADINGS:
        return table
    at = table.at(
        np.arange(table.shots)[:, None, None],
        np.arange(table.carry.shape[1])[:, None],
        np.arange(HEADINGS) * (360.0 / HEADINGS),
    )
    names = [f.name for f in dataclasses.fields(table) if np.ndim(getattr(table, f.name)) >= 3]
    return dataclasses.replace(table, **{name: getattr(at, name) for name in names})
