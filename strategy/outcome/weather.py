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
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from strategy.ball.air import Air, air, wind_on_shot
from strategy.ball.clubs import anchor, anchors
from strategy.ball.firmness import Firmness, combine, firmness_from_seen
from strategy.ball.flight import Flights, fly
from strategy.ball.ground import run_of
from strategy.ball.launch import Inferred, Known, infer
from strategy.codes import Lie, Surface
from strategy.errors import PhysicsError
from strategy.outcome.shot_table import shot_table
from strategy.outcome.table import FloatArray, ShotTable
from strategy.player.model import LieEffect, Player, Shot
from strategy.week.firmness import sighting
from strategy.week.model import Round, Week, WindHour
from strategy.week.wind import wind_for

HEADINGS: Final = 48  # linear between them: 0.25 yd off at most in 30 mph
INTO: Final = 1.07
HELPING: Final = 0.98
GUSTS: Final = 0.25
MOST_BACK_M: Final = -4.0  # no ball is taken to spin back further
_RISE_M: Final = 9.0
_NUDGE_MPS: Final = 1.0
_NORMAL_STIMP: Final = 10.5
_WAVES: Final = ("tee time unknown: the wind is the mean of an early and a late start",)
_LEAST_CARRY_M: Final = 5.0
_RUNS: Final = (Surface.TEE, Surface.FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH, Surface.GREEN)


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
    stimp_ft : float
        [ft]
    judged : float
        Share of the wind by which it is misjudged (one s.d.).
    said : tuple of str
        What was taken for granted.
    """

    wind: WindHour | None
    air: Air
    fairway: float = 0.0
    green: float = 0.0
    stimp_ft: float = _NORMAL_STIMP
    judged: float = 0.15
    said: tuple[str, ...] = ()


def weather(player: Player, week: Week, round: Round, label: str, played: int) -> Weather:  # noqa: A002
    """Conditions on a hole that is reached after `played` others."""
    wind = wind_for(round, played)
    shelter = week.shelter.get(label, 1.0)
    if wind is not None and shelter != 1.0:
        wind = dataclasses.replace(wind, speed_mps=wind.speed_mps * shelter, gust_mps=wind.gust_mps * shelter)
    waves = () if wind is None or round.tee_time is not None else _WAVES
    today = air(round.temperature_c, week.height_m, round.pressure_hpa, round.humidity)
    seen = round.firmness_seen or week.firmness_seen
    fairway, green, said = _firmness(player, seen, week.stimp_ft)
    return Weather(
        wind=wind,
        air=Air(density=float(today.density), viscosity=float(today.viscosity)),
        fairway=fairway,
        green=green,
        stimp_ft=week.stimp_ft,
        judged=week.wind_judged,
        said=(*waves, *said),
    )


def table_in(player: Player, day: Weather) -> ShotTable:
    """Every shot of a player from every lie along 48 headings, as the day makes it."""
    stated = shot_table(player)
    bag = launches(player)
    head, cross = winds(day.wind, np.arange(HEADINGS, dtype=np.float64) * (360.0 / HEADINGS))

    def flown(head: FloatArray, cross: FloatArray, rise_m: float = 0.0) -> Flights:
        return fly(bag.launch[:, None], head_mps=head, cross_mps=cross, rise_m=rise_m, air=day.air)

    now = flown(head, cross)
    into, across = flown(head + _NUDGE_MPS, cross), flown(head, cross + _NUDGE_MPS)
    up, down = flown(head, cross, _RISE_M), flown(head, cross, -_RISE_M)
    longer = now.carry_m - bag.calm.carry_m[:, None]  # (S, H)
    drift = now.side_m - bag.calm.side_m[:, None]

    arrays = _repeated(stated)
    effects = [player.lie_effects.get(lie, LieEffect()).carry for lie in Lie]
    effect = np.array(effects)[None, :, None]
    # A weak ball in a strong head wind: whatever is left of it, it comes down in front of the player.
    carry = np.maximum(arrays["carry"] + longer[:, None, :] * effect, _LEAST_CARRY_M)
    least = np.maximum(arrays["least"] * carry / arrays["carry"], 0.8 * _LEAST_CARRY_M)
    arrays["least"], arrays["carry"] = np.minimum(least, carry), carry
    arrays["mean"][..., 0] += drift[:, None, :] * effect
    arrays["covariance"] += _misjudged(day, now, into, across)[:, None]
    arrays["rise"][..., 0] = ((up.carry_m - down.carry_m) / (2.0 * _RISE_M))[:, None]
    arrays["rise"][..., 1] = ((up.carry_m + down.carry_m - 2.0 * now.carry_m) / (2.0 * _RISE_M**2))[:, None]
    _runs(bag, now, day, arrays)
    arrays["apex"][:] = now.apex_m[:, None, :]
    # The track leaves along the start line and comes down where the wind has taken it.
    quarters = np.array([u * u - u for u in (0.25, 0.5, 0.75)])
    arrays["bend"] += (drift[:, None, :] * effect)[..., None] * quarters
    velocity = np.degrees(np.arctan2(now.velocity_mps[..., 1], now.velocity_mps[..., 0]))
    chord = np.degrees(np.arctan2(now.side_m, np.maximum(now.carry_m, 1.0)))
    arrays["run_turn"][:] = (velocity - chord)[:, None, :]
    return dataclasses.replace(
        stated,
        **arrays,  # type: ignore[arg-type]
        struck=np.array([s.carry_m for s in player.shots]),
        struck_least=np.array([s.carry_least_m for s in player.shots]),
    )


def winds(wind: WindHour | None, heading_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Head and cross wind that a ball flies in along headings, positive into and towards the right. [m/s]"""
    if wind is None or wind.speed_mps == 0.0:
        return np.zeros(len(heading_deg)), np.zeros(len(heading_deg))
    head, cross = wind_on_shot(wind.speed_mps, wind.blows_from, heading_deg)
    return np.where(head > 0.0, INTO, HELPING) * head, INTO * cross


def launches(player: Player) -> Inferred:
    """Launches of all shots, inferred from what the player states in the air it was measured in.

    `Inferred.calm` are their flights in that air, calm and level: what a day adds is counted from there.
    """
    known = tuple(_known(shot) for shot in player.shots)
    return _launches(known, player.measured_temperature_c, player.measured_height_m)


def _known(shot: Shot) -> Known:
    return Known(
        club=_club(shot),
        carry_m=shot.carry_m,
        height=shot.height,  # type: ignore[arg-type]
        apex_m=shot.apex_m if shot.apex_known else None,
        speed_mps=shot.ball_speed_mps,
        launch_deg=shot.launch_deg,
        spin_rad_s=shot.spin_rad_s,
        bend_m=shot.bend_m,
    )


def _club(shot: Shot) -> str:
    """A club the launch table knows: the shot's own, or the one that tour players carry as far."""
    try:
        anchor(shot.club)
    except PhysicsError:
        tour = {name: a.carry_m for name, a in anchors().items() if a.carry_m is not None}
        return min(tour, key=lambda name: abs(tour[name] - shot.carry_m))
    return shot.club


@lru_cache(maxsize=8)
def _launches(bag: tuple[Known, ...], temperature_c: float, height_m: float) -> Inferred:
    # Humidity is not asked for: from 10 to 100 % it is worth about a yard (physics facts, section 2).
    there = air(temperature_c, height_m)
    return infer(bag, Air(density=float(there.density), viscosity=float(there.viscosity)))


def _repeated(stated: ShotTable) -> dict[str, FloatArray]:
    """Arrays of a table with one heading, the same along every heading, to be changed."""
    arrays = {}
    for f in dataclasses.fields(stated):
        one = getattr(stated, f.name)
        if isinstance(one, np.ndarray) and one.ndim >= 3:
            arrays[f.name] = np.repeat(one, HEADINGS, axis=2)
    return arrays


def _misjudged(day: Weather, now: Flights, into: Flights, across: Flights) -> FloatArray:
    """Covariance (S, H, 2, 2) of the landing, from wind at the stroke that differs from the wind judged."""
    wind = day.wind
    if wind is None:
        return np.zeros((*now.carry_m.shape, 2, 2))
    sd = math.hypot(day.judged * wind.speed_mps, GUSTS * max(wind.gust_mps - wind.speed_mps, 0.0))
    by_head = np.stack((into.side_m - now.side_m, into.carry_m - now.carry_m), axis=-1) / _NUDGE_MPS
    by_cross = np.stack((across.side_m - now.side_m, across.carry_m - now.carry_m), axis=-1) / _NUDGE_MPS
    outer = (v[..., :, None] * v[..., None, :] for v in (by_head, by_cross))
    return np.asarray(sd**2 * sum(outer))


def _runs(bag: Inferred, now: Flights, day: Weather, arrays: dict[str, FloatArray]) -> None:
    """Runs of the day: the stated ones, plus what the landing changes in proportion to them."""
    for surface in _RUNS:
        ground = int(Surface.FAIRWAY if surface == Surface.TEE else surface)
        firm = day.green if surface == Surface.GREEN else day.fairway
        stimp = day.stimp_ft if surface == Surface.GREEN else _NORMAL_STIMP
        normal = run_of(bag.calm, ground, firmness=0.0, stimp_ft=_NORMAL_STIMP).along_m[:, None]  # (S, 1)
        today = run_of(now, ground, firmness=firm, stimp_ft=stimp).along_m  # (S, H)
        stated = arrays["run"][..., int(surface)]  # (S, L, H)
        share = np.clip(stated / np.maximum(normal, 2.0)[:, None], 0.5, 1.5)
        run = np.maximum(stated + share * (today - normal)[:, None], MOST_BACK_M)
        arrays["run"][..., int(surface)] = run
        # The random part of a run is about 30 % of it + 1 yd (physics facts, section 4).
        sd = np.maximum(arrays["run_sd"][..., int(surface)], 0.3 * np.abs(run))
        arrays["run_sd"][..., int(surface)] = np.minimum(sd, 0.9 + 0.3 * np.abs(run))


def _firmness(player: Player, seen: tuple[str, ...], stimp_ft: float) -> tuple[float, float, tuple[str, ...]]:
    """Firmness of fairways and greens from what was seen, and what was taken for granted."""
    bag = launches(player)
    found: dict[bool, list[Firmness]] = {True: [], False: []}
    clubs = [s.club.casefold() for s in player.shots]
    for text in seen:
        sight = sighting(text)
        if sight.run_m is None or sight.club.casefold() not in clubs:
            continue
        one = _row(bag.calm, clubs.index(sight.club.casefold()))
        on_green = sight.surface == Surface.GREEN
        found[on_green].append(firmness_from_seen(one, sight.run_m, sight.surface, stimp_ft=stimp_ft))
    said = tuple(
        f"firmness of the {name} taken as normal: nothing was seen of it"
        for on_green, name in ((False, "fairways"), (True, "greens"))
        if not found[on_green]
    )
    fairway, green = (combine(found[g]).f if found[g] else 0.0 for g in (False, True))
    return float(fairway), float(green), said


def _row(flights: Flights, i: int) -> Flights:
    return Flights(**{f.name: getattr(flights, f.name)[i] for f in dataclasses.fields(flights)})
