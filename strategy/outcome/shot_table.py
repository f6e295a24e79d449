"""From a player's shots to the shot table as stated: calm air, one heading, run as the player states it.

What a lie does to a shot is made of up to three parts whose multipliers multiply: the lie itself
(`Player.lie_effects`), playing it off turf instead of a tee (`Shot.turf`, from every lie but the tee), and
wet grass (`Player.wet`). Spin and lip need a launch: `strategy.outcome.weather` sees to them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Lie, Surface
from strategy.outcome import short_game
from strategy.outcome.table import USUAL_HEIGHT, ShotTable
from strategy.player.model import LieEffect, Player, Shot
from strategy.week.model import UNSTATED_STIMP_FT

_RUN_KEY: Final = {
    Surface.TEE: "fairway",
    Surface.FAIRWAY: "fairway",
    Surface.FIRST_CUT: "first cut",
    Surface.ROUGH: "rough",
    Surface.GREEN: "green",
}


def parts(player: Player, shot: Shot, lie: Lie, wet: Iterable[Lie] = ()) -> tuple[LieEffect, ...]:
    """What a lie does to a shot, part by part.

    Parameters
    ----------
    wet : iterable of Lie
        Lies on wet grass.
    """
    if lie == Lie.GREEN:
        return ()
    if shot.short:
        each = [short_game.short_effect(player, shot, lie)]
    else:
        each = [player.lie_effects.get(lie, LieEffect())]
    if lie != Lie.TEE:
        each.append(shot.turf)
    if lie in wet:
        each.append(player.wet)
    return tuple(each)


def together(effects: Iterable[LieEffect]) -> LieEffect:
    """Effects that come together: their multipliers multiply, the highest lip counts."""
    each = tuple(effects)
    return LieEffect(
        carry=math.prod(e.carry for e in each),
        scatter=math.prod(e.scatter for e in each),
        run=math.prod(e.run for e in each),
        spin=math.prod(e.spin for e in each),
        lip_deg=max((e.lip_deg for e in each), default=0.0),
        stated=frozenset().union(*(e.stated for e in each)),
    )


def shot_table(player: Player, wet: Iterable[Lie] = (), stimp_ft: float = UNSTATED_STIMP_FT) -> ShotTable:
    """Every shot of a player from every lie, in calm air (S, 9, 1).

    Parameters
    ----------
    wet : iterable of Lie
        Lies on wet grass.
    stimp_ft : float
        Speed of the greens, for what shots round them run; full shots run as stated. [ft]
    """
    wet = frozenset(wet)
    shots = player.shots
    shape = (len(shots), len(Lie), 1)
    table: dict[str, FloatArray] = {
        "carry": np.ones(shape),
        "least": np.ones(shape),
        "mean": np.zeros((*shape, 2)),
        "covariance": np.zeros((*shape, 2, 2)),
        "mishit_shift": np.zeros((*shape, 2)),
        "mishit_scale": np.ones(shape),
        "mishit_share": np.zeros(shape),
        "run": np.zeros((*shape, len(Surface))),
        "run_sd": np.zeros((*shape, len(Surface))),
        "run_turn": np.zeros(shape),
        "rise": np.zeros((*shape, 2)),
        "apex": np.zeros(shape),
        "start_offset": np.zeros(shape),
        "bend": np.zeros((*shape, 3)),
        "flight_height": np.zeros((*shape, 3)),
        "fall": np.zeros((*shape, len(Surface))),
    }
    allowed = np.zeros(shape[:2], dtype=bool)
    known = tuple(short_game.known(x) for x in shots if x.short)
    place = np.cumsum([x.short for x in shots]) - 1  # among them
    for s, shot in enumerate(shots):
        for lie in Lie:
            allowed[s, lie] = lie in shot.lies and lie != Lie.GREEN
            key, effect = (s, int(lie), 0), together(parts(player, shot, lie, wet))
            _fill(table, key, shot, effect)
            if shot.short:
                # A shot that is not played from a lie has the values of a clean lie there.
                flown = effect if allowed[s, lie] else replace(effect, spin=1.0)
                calm = short_game.calm(known, flown.spin, stimp_ft)
                short_game.fill(table, key, flown, calm, int(place[s]))
    return ShotTable(
        clubs=tuple(x.club for x in shots),
        names=tuple(x.name for x in shots),
        labels=tuple(x.label for x in shots),
        stock=np.array([x.stock for x in shots], dtype=bool),
        balls=np.array([x.spread.balls or 0 for x in shots], dtype=np.int64),
        allowed=allowed,
        turf=np.array([x.turf.carry for x in shots]),
        short=np.array([x.short for x in shots], dtype=bool),
        shrink=np.array([x.shrink for x in shots], dtype=np.float64),
        **table,
    )


def _fill(table: dict[str, FloatArray], key: tuple[int, int, int], shot: Shot, effect: LieEffect) -> None:
    spread = shot.spread
    carry = shot.carry_m * effect.carry
    side, depth = spread.side_m * effect.scatter, spread.depth_m * effect.scatter
    cross = spread.tilt * side * depth
    bend = shot.bend_m * effect.carry
    table["carry"][key] = carry
    table["least"][key] = shot.carry_least_m * effect.carry
    table["mean"][key] = (spread.bias_side_m, spread.bias_depth_m)
    table["covariance"][key] = ((side**2, cross), (cross, depth**2))
    table["mishit_shift"][key] = (0.0, -spread.mishit_short * carry)
    table["mishit_scale"][key] = spread.mishit_scale
    table["mishit_share"][key] = spread.mishit_share
    table["apex"][key] = shot.apex_m
    table["flight_height"][key] = USUAL_HEIGHT * (shot.apex_m / carry)
    # Offset of the chord is bend (u^2 - u): its slope at u = 0 is -bend / carry.
    # and at u = 1 it is +bend / carry: a ball that curves goes on in the direction of its curve.
    table["run_turn"][key] = np.degrees(np.arctan2(bend, carry))
    table["start_offset"][key] = np.degrees(np.arctan2(-bend, carry))
    table["bend"][key] = [bend * (u * u - u) for u in (0.25, 0.5, 0.75)]
    for surface, name in _RUN_KEY.items():
        run = shot.run_m.get(name, 0.0) * effect.run
        table["run"][key][surface] = run
        # The random part of a run is about 30 % of it + 1 yd (physics facts, section 4).
        table["run_sd"][key][surface] = min(shot.run_sd_m * effect.run, 0.9 + 0.3 * abs(run))
