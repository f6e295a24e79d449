"""What the day does to a player's shots: wind, air, firmness and green speed, flown shot by shot.

Launches are inferred once from what the player states, in the air in which it was measured; the stated
carry always rules, and the day only adds to it what the same launch flies longer, shorter or sideways than
in that air when it is calm.

Engineering choices, marked here because nothing published settles them:

* A forecast is a 10 m wind. Into and across it counts 1.07 times, helping 0.98 times (log profile,
  physics facts section 1: tour shots need 1.04 to 1.08 into and 0.95 to 1.02 down).
* The wind at the stroke is off what was judged by a share of it (`Week.wind_judged`) and by a quarter of
  what gusts add: at 10 mph gusting 15 that is about the 2 mph s.d. which the published leaves hold
  (numerics note, section 2). How sure the forecast is does not scatter a ball: the player sees the day.
* Run: the stated run, plus what the physics of the landing says the day changes, in proportion.
* A lie that changes the spin (a jumper, wet grass) is flown with that spin, struck so that it carries what
  the lie's multiplier says; apex, descent, wind and run are those of that flight. Its default multiplier of
  the run is left out then, a stated one counts and the flight only adds what the day does.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from strategy.arrays import BoolArray, FloatArray, IntArray
from strategy.ball.air import Air, air, wind_on_shot
from strategy.ball.clubs import known_club
from strategy.ball.flight import Flights, fly
from strategy.ball.launch import Inferred, Known, infer, respun
from strategy.codes import ROUGH_LIES, Lie
from strategy.errors import PhysicsError, PlayerError
from strategy.outcome import short_game
from strategy.outcome.flight_height import height_coefficients
from strategy.outcome.shot_table import parts, shot_table, together
from strategy.outcome.sightings import seen, with_lies
from strategy.outcome.table import ShotTable
from strategy.player.model import LieEffect, Player, Shot
from strategy.week.model import UNSTATED_STIMP_FT, Round, Week, WindHour
from strategy.week.wind import wind_for

HEADINGS: Final = 48  # of the table; between them values are linear, which is 0.25 yd off at most in 30 mph
INTO: Final = 1.07
HELPING: Final = 0.98
GUSTS: Final = 0.25
MOST_BACK_M: Final = -4.0  # no ball is taken to spin back further
_RISE_M: Final = 9.0
NUDGE_MPS: Final = 1.0  # the effect of a wind is measured by adding this much to it
_WAVES: Final = ("tee time unknown: the wind is the mean of an early and a late start",)
LEAST_CARRY_M: Final = 5.0  # a weak ball in a strong head wind still comes down this far ahead
LEAST_DIAL_M: Final = 0.8 * LEAST_CARRY_M  # the same for its shortest dial
WET: Final = frozenset({Lie.FAIRWAY, Lie.FIRST_CUT, *ROUGH_LIES})


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """Conditions of one hole in one round.

    Attributes
    ----------
    wind : WindHour or None
        Forecast at the hole's hour, shelter taken off; None = calm.
    air : Air
        Density and viscosity.
    fairway, green : float
        Firmness, 0 = normal.
    rough : mapping of Lie to float
        Multiplier of the carry from lies in the rough, where it was seen.
    stimp_ft : float
        [ft]
    judged : float
        Share of the wind by which it is misjudged (one s.d.).
    wet : frozenset of Lie
        Lies on wet grass.
    said : tuple of str
        What was taken for granted.
    """

    wind: WindHour | None
    air: Air
    fairway: float = 0.0
    green: float = 0.0
    rough: Mapping[Lie, float] = field(default_factory=dict)
    stimp_ft: float = UNSTATED_STIMP_FT
    judged: float = 0.15
    wet: frozenset[Lie] = frozenset()
    said: tuple[str, ...] = ()


def weather(player: Player, week: Week, round: Round, label: str, played: int) -> Weather:  # noqa: A002
    """Conditions on a hole that is reached after `played` others."""
    wind = wind_for(round, played)
    shelter = week.shelter.get(label, 1.0)
    if wind is not None and shelter != 1.0:
        wind = dataclasses.replace(wind, speed_mps=wind.speed_mps * shelter, gust_mps=wind.gust_mps * shelter)
    waves = () if wind is None or round.tee_time is not None else _WAVES
    wet = wet_lies(week, round)
    today = air(round.temperature_c, week.height_m, round.pressure_hpa, round.humidity)
    ground = seen(player, launches(player).calm, week, round, label)
    return Weather(
        wind=wind,
        air=_one(today),
        fairway=ground.fairway,
        green=ground.green,
        rough=ground.carry,
        stimp_ft=week.stimp_ft,
        judged=week.wind_judged,
        wet=wet,
        said=(*waves, *ground.said, *_wet_words(player, wet)),
    )


def in_wind(day: Weather, wind: WindHour | None) -> Weather:
    """The same day in another wind; what a tee time unknown made of the wind is no longer said."""
    return dataclasses.replace(day, wind=wind, said=tuple(t for t in day.said if t not in _WAVES))


def wet_lies(week: Week, round: Round) -> frozenset[Lie]:  # noqa: A002
    """Lies with water between ball and face: grass on a wet day, less the fairway under preferred lies."""
    if not round.wet:
        return frozenset()
    return WET - {Lie.FAIRWAY} if week.preferred_lies else WET


def _wet_words(player: Player, wet: frozenset[Lie]) -> tuple[str, ...]:
    if not wet:
        return ()
    where = "off fairway, first cut and rough"
    if Lie.FAIRWAY not in wet:
        where = "off first cut and rough; on the fairway the ball is cleaned and placed"
    does = f"spin times {player.wet.spin:g} and scatter times {player.wet.scatter:g}"
    return (f"the grass is wet: {does} {where}",)


def table_in(player: Player, day: Weather, along: ArrayLike | None = None) -> ShotTable:
    """Every shot of a player from every lie along 48 headings, as the day makes it.

    Parameters
    ----------
    along : array_like, optional
        Headings that are asked for: only the rows that `ShotTable.at` reads for them are flown, the others
        are nan. So are `fall` and `flight_height`, which stand on all headings. All by default. [°]
    """
    rows = np.arange(HEADINGS) if along is None else _rows_beside(along)
    player = with_lies(player, day.rough)
    stated = shot_table(player, day.wet, day.stimp_ft)
    each = [[parts(player, shot, lie, day.wet) for lie in Lie] for shot in player.shots]
    effects = [[together(parts_of) for parts_of in row] for row in each]
    spin = np.array([[e.spin for e in row] for row in effects])  # (S, L)
    pairs = _Pairs(
        carry=np.array([[e.carry for e in row] for row in effects]),
        run_stated=np.array([["run" in e.stated for e in row] for row in effects]),
    )
    arrays = _repeated(stated, len(rows))
    arrays["run"] *= np.array([[_run_left(parts_of) for parts_of in row] for row in each])[..., None, None]
    head, cross = winds(day.wind, np.asarray(rows * (360.0 / HEADINGS), dtype=np.float64))
    # One flight serves all lies that leave the spin as it is; every other spin has a flight of its own.
    plain = (spin == 1.0) | ~stated.allowed
    _put(arrays, pairs, plain, player, 1.0, head, cross, day)
    for share in np.unique(spin[~plain]):
        _put(arrays, pairs, ~plain & (spin == share), player, float(share), head, cross, day)
    if along is not None:
        arrays = {name: _at_rows(flown, rows) for name, flown in arrays.items()}
        arrays["fall"][:] = arrays["flight_height"][:] = np.nan
    return dataclasses.replace(
        stated,
        **arrays,  # type: ignore[arg-type]
        allowed=_over_the_lip(stated, launches(player).launch.launch_deg, effects),
        own_full=np.array([s.carry_m for s in player.shots]),
        own_least=np.array([s.carry_least_m for s in player.shots]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pairs:
    """Of every shot and lie (S, L): multiplier of the carry, and whether the run of the lie is stated."""

    carry: FloatArray
    run_stated: BoolArray


def _put(
    arrays: dict[str, FloatArray],
    pairs: _Pairs,
    which: BoolArray,
    player: Player,
    spin: float,
    head: FloatArray,
    cross: FloatArray,
    day: Weather,
) -> None:
    """Change the arrays of a table for the pairs (S, L) of shot and lie in `which`, flown with one spin.

    Whatever the lie takes of the carry, it takes of everything the same ball does: it flies the same shape,
    smaller or larger.
    """
    shot, lie = np.nonzero(which)  # (P,)
    rows, own = np.unique(shot, return_inverse=True)
    bag, clean = launches(player, spin), launches(player)
    launch, calm = bag.launch[rows[:, None]], bag.calm

    def flown(head: FloatArray, cross: FloatArray, rise_m: float = 0.0) -> Flights:
        return fly(launch, head_mps=head, cross_mps=cross, rise_m=rise_m, air=day.air)

    now = flown(head, cross)
    into, across = flown(head + NUDGE_MPS, cross), flown(head, cross + NUDGE_MPS)
    up, down = flown(head, cross, _RISE_M), flown(head, cross, -_RISE_M)
    longer = (now.carry_m - calm.carry_m[rows, None])[own]  # (P, H)
    drift = (now.side_m - calm.side_m[rows, None])[own]

    at = (shot, lie)
    effect = pairs.carry[at][:, None]
    carry = np.maximum(arrays["carry"][at] + longer * effect, LEAST_CARRY_M)
    least_stated = arrays["least"][at].copy()
    # A softer swing spins less, so the wind changes its flight in another way.
    soft = launches(player, spin, soft=True)
    softly = fly(soft.launch[rows[:, None]], head_mps=head, cross_mps=cross, air=day.air)
    more_softly = (softly.carry_m - soft.calm.carry_m[rows, None])[own]
    least = np.maximum(arrays["least"][at] + more_softly * effect, LEAST_DIAL_M)
    arrays["least"][at], arrays["carry"][at] = np.minimum(least, carry), carry
    arrays["mean"][(*at, slice(None), 0)] += drift * effect
    arrays["covariance"][at] += _misjudged(day, now, into, across)[own] * effect[..., None, None] ** 2
    arrays["rise"][(*at, slice(None), 0)] = ((up.carry_m - down.carry_m) / (2.0 * _RISE_M))[own]
    curved = (up.carry_m + down.carry_m - 2.0 * now.carry_m) / (2.0 * _RISE_M**2)
    arrays["rise"][(*at, slice(None), 1)] = curved[own] / effect
    arrays["apex"][at] = now.apex_m[own] * effect
    if len(head) == HEADINGS:
        arrays["flight_height"][at] = height_coefficients(launch, head, cross, day.air)[own]
    # The track leaves along the start line and comes down where the wind has taken it.
    quarters = np.array([u * u - u for u in (0.25, 0.5, 0.75)])
    arrays["bend"][at] += (drift * effect)[..., None] * quarters
    velocity = np.degrees(np.arctan2(now.velocity_mps[..., 1], now.velocity_mps[..., 0]))
    chord = np.degrees(np.arctan2(now.side_m, np.maximum(now.carry_m, 1.0)))
    arrays["run_turn"][at] = (velocity - chord)[own]

    normal = short_game.runs(calm[rows])[:, own]  # (4, P)
    more = np.zeros_like(normal)
    if spin != 1.0:  # a run that is stated for the lie includes the low spin; otherwise the flight gives it
        plainly = short_game.runs(clean.calm[rows])[:, own]
        more = np.where(pairs.run_stated[at], 0.0, normal - plainly)
        normal = normal - more
    ran = short_game.runs(now, day.fairway, day.green, day.stimp_ft)[:, own]
    today = ran - more[..., None]  # (4, P, H)
    for surface, ground in short_game.RUNS_ON.items():
        _run(arrays, (*at, slice(None), int(surface)), normal[ground], today[ground], more[ground])
    # Nothing is stated of shots round the green: their run is that of the day's flight at full carry.
    short = np.array([player.shots[s].short for s in shot])
    if short.any():
        there = (shot[short], lie[short])
        run = short_game.on_surfaces(short_game.held(ran[:, short])) * effect[short][..., None]
        arrays["run"][there], arrays["run_sd"][there] = run, short_game.run_sd(run)
        arrays["rise"][there] = short_game.rise_of(now.descent_deg[own][short])
        arrays["least"][there] = least_stated[short]
    # The effect of a slope hardly depends on the wind, so that of the calm flight is taken.
    ran = arrays["run"][at][..., [int(s) for s in short_game.GROUNDS]].mean(axis=1).T  # (4, P)
    fall = short_game.falls(calm[shot], ran, day.fairway, day.green, day.stimp_ft)
    arrays["fall"][at] = short_game.on_surfaces(fall)[:, None]


def _run_left(found: tuple[LieEffect, ...]) -> float:
    """Share of a lie's run multipliers that stays: the low spin of a lie makes its run by the flight."""
    return math.prod(1.0 / e.run for e in found if e.spin != 1.0 and "run" not in e.stated)


def _run(
    arrays: dict[str, FloatArray],
    at: tuple[object, ...],
    normal: FloatArray,
    today: FloatArray,
    more: FloatArray,
) -> None:
    """Run of the day on one surface: the stated one, plus what the landing changes in proportion to it.

    Of the `more` that a low spin adds, no more than physics says.
    """
    stated = arrays["run"][at]  # type: ignore[index]
    share = np.clip(stated / np.maximum(normal, 2.0)[:, None], 0.5, 1.5)
    run = stated + share * (today - normal[:, None]) + np.minimum(share, 1.0) * more[:, None]
    run = np.maximum(run, MOST_BACK_M)
    arrays["run"][at] = run  # type: ignore[index]
    # The random part of a run is about 30 % of it + 1 yd (physics facts, section 4).
    sd = np.maximum(arrays["run_sd"][at], 0.3 * np.abs(run))  # type: ignore[index]
    arrays["run_sd"][at] = np.minimum(sd, 0.9 + 0.3 * np.abs(run))  # type: ignore[index]


def _over_the_lip(stated: ShotTable, launch_deg: FloatArray, effects: list[list[LieEffect]]) -> BoolArray:
    """Shots allowed from each lie (S, L), less those that leave the face lower than its lip.

    A ball has to be played: where no full shot of a lie clears its lip, the highest one is left.
    """
    lip = np.array([[e.lip_deg for e in row] for row in effects])
    full = stated.allowed & ~stated.short[:, None]
    clear = stated.allowed & (launch_deg[:, None] >= lip)
    for lie in np.flatnonzero(full.any(axis=0) & ~(clear & full).any(axis=0)):
        clear[np.argmax(np.where(full[:, lie], launch_deg, -np.inf)), lie] = True
    return clear


def winds(wind: WindHour | None, heading_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Head and cross wind that a ball flies in along headings, positive into and towards the right. [m/s]"""
    if wind is None or wind.speed_mps == 0.0:
        return np.zeros(len(heading_deg)), np.zeros(len(heading_deg))
    head, cross = wind_on_shot(wind.speed_mps, wind.blows_from, heading_deg)
    return np.where(head > 0.0, INTO, HELPING) * head, INTO * cross


def launches(player: Player, spin: float = 1.0, *, soft: bool = False) -> Inferred:
    """Launches of all shots, inferred from what the player states in the air it was measured in.

    `Inferred.calm` are their flights in that air, calm and level: what a day adds is counted from there.

    Parameters
    ----------
    spin : float
        Share of the spin that the lie leaves; such a ball is struck so that it carries as far.
    soft : bool
        Each shot at its shortest dial instead of its full carry.

    Raises
    ------
    PlayerError
        For a shot that no ball flies: no strike of its club carries or curves as the file states.
    """
    known = tuple(_known(_dialled(shot) if soft else shot) for shot in player.shots)
    try:
        return _launches(known, player.measured_temperature_c, player.measured_height_m, spin)
    except PhysicsError as fault:
        there = _one(air(player.measured_temperature_c, player.measured_height_m))
        raise _unflyable(player, known, there) from fault


def _dialled(shot: Shot) -> Shot:
    """A shot at its shortest dial: a softer swing with the same club.

    Its height shrinks with the carry, its ball speed follows from it. A measured spin shrinks with the ball
    speed, about as the 0.7th power of the carry (`strategy.ball.launch`); engineering choice. Flown straight:
    only how far it goes is asked of it.
    """
    share = shot.carry_least_m / shot.carry_m
    if share >= 1.0 or shot.short:  # the shortest dial of a short shot is not inferred
        return shot
    return dataclasses.replace(
        shot,
        carry_m=shot.carry_least_m,
        apex_m=shot.apex_m * share,
        bend_m=0.0,
        ball_speed_mps=None,
        spin_rad_s=None if shot.spin_rad_s is None else shot.spin_rad_s * share**0.7,
    )


def _known(shot: Shot) -> Known:
    return Known(
        # A short shot has its own launch and spin, and there is no published carry to fit the drag to.
        club="lob wedge" if shot.short else known_club(shot.club, shot.carry_m),
        carry_m=shot.carry_m,
        height=shot.height,  # type: ignore[arg-type]
        apex_m=shot.apex_m if shot.apex_known else None,
        speed_mps=shot.ball_speed_mps,
        launch_deg=shot.launch_deg,
        spin_rad_s=shot.spin_rad_s,
        bend_m=shot.bend_m,
    )


def _unflyable(player: Player, known: tuple[Known, ...], at: Air) -> PlayerError:
    """Which shot of the file no ball flies, found by flying them one by one."""
    for shot, one in zip(player.shots, known, strict=True):
        try:
            infer((one,), at)
        except PhysicsError as fault:
            key = next((key for word, key in _KEYS.items() if fault.what.endswith(word)), "")
            where = f"shots ({shot.club}, {shot.name}){key}"
            return PlayerError(next(iter(player.files), player.name), where, fault.wrong, fault.mend)
    raise AssertionError("each shot flies alone, and not all of them together")


# What the launch model calls a quantity, and its key in a player file.
_KEYS: Final = {
    "carry": ".carry",
    "bend": ".curve",
    "apex": ".apex",
    "ball speed": ".ball_speed",
    "spin": ".spin",
}


@lru_cache(maxsize=32)
def _launches(bag: tuple[Known, ...], temperature_c: float, height_m: float, spin: float) -> Inferred:
    # Humidity is not asked for: from 10 to 100 % it is worth about a yard (physics facts, section 2).
    there = air(temperature_c, height_m)
    measured = _one(there)
    if spin != 1.0:
        return respun(_launches(bag, temperature_c, height_m, 1.0), spin, measured)
    return infer(bag, measured)


def _one(found: Air) -> Air:
    """The same air as plain numbers."""
    return Air(density=float(found.density), viscosity=float(found.viscosity))


def _rows_beside(along: ArrayLike) -> IntArray:
    """Rows of the heading axis that headings lie between. [°]"""
    low = np.floor(np.atleast_1d(np.asarray(along, dtype=np.float64)) % 360.0 / 360.0 * HEADINGS)
    return np.unique(np.concatenate((low, low + 1.0)).astype(np.int64) % HEADINGS)


def _at_rows(flown: FloatArray, rows: IntArray) -> FloatArray:
    """Arrays of some headings (S, L, n, ...) in a table of all, nan along the others."""
    whole = np.full((*flown.shape[:2], HEADINGS, *flown.shape[3:]), np.nan)
    whole[:, :, rows] = flown
    return whole


def _repeated(stated: ShotTable, headings: int) -> dict[str, FloatArray]:
    """Arrays of a table with one heading, the same along so many, to be changed."""
    arrays = {}
    for f in dataclasses.fields(stated):
        one = getattr(stated, f.name)
        if isinstance(one, np.ndarray) and one.ndim >= 3:
            arrays[f.name] = np.repeat(one, headings, axis=2)
    return arrays


def _misjudged(day: Weather, now: Flights, into: Flights, across: Flights) -> FloatArray:
    """Covariance (S, H, 2, 2) of the landing, from wind at the stroke that differs from the wind judged."""
    wind = day.wind
    if wind is None:
        return np.zeros((*now.carry_m.shape, 2, 2))
    sd = math.hypot(day.judged * wind.speed_mps, GUSTS * max(wind.gust_mps - wind.speed_mps, 0.0))
    by_head = np.stack((into.side_m - now.side_m, into.carry_m - now.carry_m), axis=-1) / NUDGE_MPS
    by_cross = np.stack((across.side_m - now.side_m, across.carry_m - now.carry_m), axis=-1) / NUDGE_MPS
    outer = (v[..., :, None] * v[..., None, :] for v in (by_head, by_cross))
    return np.asarray(sd**2 * sum(outer))
