r"""How shots round the green land and run, and what a slope does to any run: rows of the shot table.

A short shot is flown at full carry in the player's air, and lands by `strategy.ball.ground`; dialled down
its run goes as the dial, which is what a smaller copy of the same flight does. What it would run in truth
falls more slowly than that: the longer shots are therefore not dialled below the shorter ones of their kind
(`strategy.player.short_game`).

A slope of s under the run multiplies it by about exp(-fall s). `fall` is taken from the run 3 % up and 3 %
down: a 7-iron that runs 5.1 yd on the level runs 10.6 and 2.9 (physics facts, section 4), so fall is 21.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.flight import Flights
from strategy.ball.ground import NORMAL_STIMP_FT, run_of
from strategy.ball.launch import Inferred, Known, infer, respun
from strategy.codes import Lie, Surface
from strategy.player.model import LieEffect, Player, Shot

SLOPE: Final = 0.03
MOST_FALL: Final = 30.0
RUN_SD: Final = (
    0.12  # s.d. of a short shot's run as a share of it. Engineering choice: the player has seen the ground
)
# Of the run in rough that the ball model gives a short shot. Its law was measured on balls that come down at
# 18 m/s; a slow ball on soft long grass stops about where it lands. Engineering choice.
ROUGH_HOLDS: Final = 0.35
_LEAST_RUN_M: Final = 0.5
_LEAST_DESCENT_DEG: Final = 10.0
GROUNDS: Final = (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH, Surface.GREEN)
# Which of these grounds a ball runs on, by where it lands.
RUNS_ON: Final = {
    Surface.TEE: 0,
    Surface.FAIRWAY: 0,
    Surface.FIRST_CUT: 1,
    Surface.ROUGH: 2,
    Surface.GREEN: 3,
}
PARABOLA: Final = np.array([4.0, 0.0, 0.0])  # of `ShotTable.flight_height`, over apex / carry


class Calm(NamedTuple):
    """Flights of n short shots in standard air, and their `runs` and `falls` (4, n)."""

    flights: Flights
    runs: FloatArray
    falls: FloatArray


def runs(
    flights: Flights,
    fairway: float = 0.0,
    green: float = 0.0,
    stimp_ft: float = NORMAL_STIMP_FT,
    slope: float = 0.0,
) -> FloatArray:
    """Run on fairway, first cut, rough and green (4, ...), of flights (...). [m]

    Parameters
    ----------
    fairway, green : float
        Firmness, 0 = normal.
    stimp_ft : float
        Of the green. [ft]
    slope : float
        Rise of the ground along the line of the shot, over distance.
    """
    ahead = (-1, *(1,) * flights.carry_m.ndim)
    return run_of(
        flights,
        np.array([int(s) for s in GROUNDS]).reshape(ahead),
        firmness=np.array([fairway, fairway, fairway, green]).reshape(ahead),
        stimp_ft=stimp_ft,
        slope=(slope, 0.0),
    ).along_m


def falls(
    flights: Flights,
    run: FloatArray,
    fairway: float = 0.0,
    green: float = 0.0,
    stimp_ft: float = NORMAL_STIMP_FT,
) -> FloatArray:
    """`ShotTable.fall` on the four grounds (4, ...).

    Parameters
    ----------
    run : ndarray (4, ...)
        What the table says these shots run on the level. Where the ball model's run is too short for a ratio,
        what the slope adds is counted in shares of it. [m]
    """
    up, down = (runs(flights, fairway, green, stimp_ft, s) for s in (SLOPE, -SLOPE))
    far = np.minimum(up, down) > _LEAST_RUN_M
    ratio = np.where(far, down, 1.0) / np.where(far, up, 1.0)
    near = (down - up) / np.maximum(run, _LEAST_RUN_M)
    fall = np.where(far, np.log(ratio), near) / (2.0 * SLOPE)
    return np.asarray(np.where(run > 0.0, np.clip(fall, 0.0, MOST_FALL), 0.0))


def held(by_ground: FloatArray) -> FloatArray:
    """Runs of short shots on the four grounds (4, ...), held by the rough as they are. [m]"""
    return by_ground * np.where(np.array(GROUNDS) == Surface.ROUGH, ROUGH_HOLDS, 1.0).reshape(
        (-1, *(1,) * (by_ground.ndim - 1))
    )


def on_surfaces(by_ground: FloatArray) -> FloatArray:
    """(4, ...) on the four grounds -> (..., 11) by landing surface; 0 on every other."""
    out = np.zeros((*by_ground.shape[1:], len(Surface)))
    for surface, ground in RUNS_ON.items():
        out[..., int(surface)] = by_ground[ground]
    return out


def run_sd(run: FloatArray) -> FloatArray:
    """S.d. of a short shot's run. [m]"""
    return RUN_SD * np.abs(run)


def short_effect(player: Player, shot: Shot, lie: Lie) -> LieEffect:
    """What a lie does to a shot round the green: of the full shots' effects only the lip counts."""
    lip = player.lie_effects.get(lie, LieEffect()).lip_deg
    effect = player.short_effects.get(lie, LieEffect())
    return dataclasses.replace(effect, scatter=1.0 + shot.lie_share * (effect.scatter - 1.0), lip_deg=lip)


def fill(
    table: Mapping[str, FloatArray],
    key: tuple[int, int, int],
    effect: LieEffect,
    calm: Calm,
    i: int,
) -> None:
    """Run, apex and what comes of the descent for one short shot from one lie, calm and at normal firmness.

    Parameters
    ----------
    table : mapping of str to ndarray
        Arrays of the shot table, changed in place; "flight_height" and "fall" among them.
    key : tuple of three ints
        Shot, lie, heading.
    effect : LieEffect
        What the lie does to it.
    calm, i : Calm, int
        With the spin of that effect, and which of them the shot is.
    """
    table["rise"][key] = rise_of(calm.flights.descent_deg[i])
    apex = calm.flights.apex_m[i]
    table["apex"][key] = apex * effect.carry
    table["flight_height"][key] = PARABOLA * (apex / calm.flights.carry_m[i])
    run = on_surfaces(calm.runs[:, i]) * effect.carry
    table["run"][key], table["run_sd"][key] = run, run_sd(run)
    table["fall"][key] = on_surfaces(calm.falls[:, i])


def rise_of(descent_deg: FloatArray) -> FloatArray:
    """`ShotTable.rise` of short shots (..., 2): a dialled flight comes down as steeply, over less ground."""
    slope = -1.0 / np.tan(np.radians(np.maximum(descent_deg, _LEAST_DESCENT_DEG)))
    return np.stack((slope, np.zeros_like(slope)), axis=-1)


def known(shot: Shot) -> Known:
    """What is known of a short shot's flight."""
    launch, spin = shot.launch_deg or 0.0, shot.spin_rad_s or 0.0
    # A short shot has its own launch and spin, and there is no published carry to fit the drag to.
    return Known(club="lob wedge", carry_m=shot.carry_m, launch_deg=launch, spin_rad_s=spin)


@lru_cache(maxsize=32)
def calm(shots: tuple[Known, ...], spin: float, stimp_ft: float) -> Calm:
    """Short shots in standard air, with a share of their spin and struck to carry as far."""
    bag = _bag(shots)
    flights = (bag if spin == 1.0 else respun(bag, spin)).calm
    by_ground = held(runs(flights, stimp_ft=stimp_ft))
    return Calm(flights, by_ground, falls(flights, by_ground, stimp_ft=stimp_ft))


@lru_cache(maxsize=4)
def _bag(shots: tuple[Known, ...]) -> Inferred:
    return infer(shots)
