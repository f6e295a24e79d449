"""From an aim to the numbers of its sentence: finish, start line, carries, room.

Shots at the green are told by the hole: left or right of it, past or short, as seen from the ball. All
others by the middle of the fairway where the ball finishes, across the line of play, or by the line of
play itself where there is no fairway.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.course.model import Hole
from strategy.course.named_features import NamedFeature
from strategy.course.origin import Origin
from strategy.course.playline import along_side, line_from
from strategy.decide import CostField, Option, costs_over
from strategy.decide.misses import NEAR_EDGE_M
from strategy.plan.advice.hazards import OVER_M, WATER_M, ShotNumbers, shot_kind, shot_numbers
from strategy.plan.advice.landmarks import (
    SNAP_COST,
    Sighted,
    Surroundings,
    fairway_at,
    green_origin,
    signed,
)
from strategy.plan.quoted import Finish, Quoted, Reach, Start
from strategy.units import YARD_M

LEFT_OVER_M: Final = 4.0 * YARD_M
BESIDE_M: Final = 15.0 * YARD_M
_SIDE: Final = np.arange(-24.0, 25.0) * YARD_M
_DEPTH: Final = np.arange(-12.0, 13.0) * YARD_M
_CLEAR_M: Final = 35.0 * YARD_M  # sand carried by more is out of play
_SHORT_M: Final = 20.0 * YARD_M  # sand beyond the finish by more is out of reach


def quote(
    around: Surroundings,
    field: CostField,
    spot: Spot,
    option: Option,
    sighted: Sighted | None = None,
    *,
    seed: int,
) -> Quoted:
    """What the sentence of an option quotes, all of it at the option's own aim.

    Parameters
    ----------
    option : Option
        As judged, its ball starting at the landmark.
    sighted : Sighted or None
        The landmark, as `aim_at_landmark` gives it.
    around, field, spot, seed
        See `aim_at_landmark`.
    """
    start = np.array([spot.x, spot.y])
    out = np.asarray(option.aim) - start
    distance = float(np.hypot(*out))
    ahead = out / max(distance, 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    row = field.today.shots_from(spot).at(option.index, int(spot.lie), option.heading)
    less = max(option.choice.carry - float(row.least), 0.0)
    more = max(float(row.carry) - option.choice.carry, 0.0)
    at_green = field.today.at_green(option.aim)
    begin: Start | None = None
    room: tuple[float, float] | None = None
    depth_room: tuple[float, float] | None = None
    if not at_green:
        # A change of heading moves the finish along an arc.
        angles = _SIDE / max(distance, 1.0)
        arc = start + distance * (np.sin(angles)[:, None] * right + np.cos(angles)[:, None] * ahead)
        deeper = np.asarray(option.aim) + _DEPTH[:, None] * ahead
        cost = costs_over(field, spot, option, np.vstack((arc, deeper)), seed=seed) - option.cost
        room, deep = _room(_SIDE, cost[: len(_SIDE)]), _room(_DEPTH, cost[len(_SIDE) :])
        depth_room = (min(deep[0], less), min(deep[1], more))
        begin = _start(spot, option, distance, sighted)
    run = distance - option.carry_m
    return Quoted(
        finish=_finish(around, field, spot, option, at_green),
        start=begin,
        reaches=_reaches(around, spot, option, run, sighted, at_green=at_green),
        full=more < 0.5,
        run_m=run,
        room_m=room,
        depth_room_m=depth_room,
    )


def short_side(hole: Hole, spot: Spot, pin: tuple[float, float], aim: tuple[float, float]) -> str:
    """Which near edge of the green the advice plays towards, as seen from the ball; "" for none.

    That edge is within 9 yd of the hole and nearer than the opposite one, and the advice finishes beyond the
    hole on that side, less than 4 yd from the edge or over it.
    """
    out = np.asarray(pin) - (spot.x, spot.y)
    ahead = out / max(float(np.hypot(*out)), 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    rel = np.asarray(aim) - np.asarray(pin)
    for axis, low, high in ((right, "left", "right"), (ahead, "front", "back")):
        before, after = _edges(hole.green, np.asarray(pin), axis)
        moved = float(rel @ axis)
        for name, near, far, past in ((high, after, before, moved), (low, before, after, -moved)):
            if past > YARD_M and near < min(NEAR_EDGE_M, far) and near - past < LEFT_OVER_M:
                return name
    return ""


def _edges(green: shapely.Geometry, at: FloatArray, axis: FloatArray) -> tuple[float, float]:
    """From a place to the edge of the green backwards and forwards along an axis. [m]"""
    cut = shapely.intersection(shapely.LineString([at - 200.0 * axis, at + 200.0 * axis]), green)
    if cut.is_empty:
        return 0.0, 0.0
    t = (shapely.get_coordinates(cut) - at) @ axis
    return float(max(-t.min(), 0.0)), float(max(t.max(), 0.0))


def _room(offset: FloatArray, cost: FloatArray) -> tuple[float, float]:
    """How far down and up from 0 the cost stays under `SNAP_COST`. [m]"""
    zero = int(np.argmin(np.abs(offset)))

    def reach(step: int) -> float:
        i = zero
        while 0 <= i + step < len(offset) and cost[i + step] < SNAP_COST:
            i += step
        if not 0 <= i + step < len(offset):
            return float(abs(offset[i]))
        here, there = float(cost[i]), float(cost[i + step])
        share = (SNAP_COST - here) / (there - here) if there > here else 0.0
        return float(abs(offset[i] + np.clip(share, 0.0, 1.0) * (offset[i + step] - offset[i])))

    return reach(-1), reach(1)


def _start(spot: Spot, option: Option, distance: float, sighted: Sighted | None) -> Start | None:
    out = np.asarray(option.aim) - (spot.x, spot.y)
    turn = signed(option.start_line - float(np.degrees(np.arctan2(out[0], out[1]))))
    side = float(np.tan(np.radians(turn)) * distance)
    if sighted is None:
        return Start(landmark=None, side_m=side, cost=0.0) if abs(side) >= YARD_M else None
    return Start(landmark=sighted.landmark, side_m=side, cost=sighted.price)


def _finish(around: Surroundings, field: CostField, spot: Spot, option: Option, at_green: bool) -> Finish:
    if at_green:
        out = np.asarray(field.today.hole) - (spot.x, spot.y)
        ahead = out / max(float(np.hypot(*out)), 1e-9)
        rel = np.asarray(option.aim) - np.asarray(field.today.hole)
        return Finish(
            of="hole",
            side_m=float(rel @ np.array([ahead[1], -ahead[0]])),
            past_m=float(rel @ ahead),
            origin=green_origin(around.hole),
        )
    side = float(along_side(around.line, option.aim)[0, 0])
    chord = fairway_at(around, option.aim)
    if chord is None:
        return Finish(of="line", side_m=side, past_m=0.0, origin=str(Origin.TRACED))
    middle = sum(chord) / 2.0
    return Finish(of="fairway", side_m=side - middle, past_m=0.0, origin=around.fairway_origin)


def _reaches(
    around: Surroundings, spot: Spot, option: Option, run: float, sighted: Sighted | None, *, at_green: bool
) -> tuple[Reach, ...]:
    """Sand and water that the shot carries, lands beside or may reach; the start's own landmark first."""
    start = np.array([spot.x, spot.y])
    out = np.asarray(option.aim) - start
    distance = float(np.hypot(*out))
    ahead = out / max(distance, 1e-9)
    strip = shapely.LineString([start + 15.0 * ahead, start + (distance + 60.0) * ahead])
    over = shapely.buffer(strip, OVER_M, cap_style="flat")
    widths = {"sand": BESIDE_M, "water": WATER_M}
    beside = {k: over if at_green else shapely.buffer(strip, w, cap_style="flat") for k, w in widths.items()}
    carry, finish = option.carry_m, option.carry_m + run
    line = line_from(around.hole.line, (spot.x, spot.y))
    ranked: list[tuple[bool, float, Reach]] = []
    for feature in around.features:
        if feature.kind == "trees":
            continue
        own, wide = sighted is not None and sighted.feature is feature, beside[feature.kind]
        parts = [p for p in shapely.get_parts(feature.shape) if own or shapely.intersects(p, wide)]
        if not parts:
            continue
        # Whether it is in play is judged by its part near the shot; the numbers are those of the whole.
        piece = shapely.intersection(feature.shape, over)
        if piece.is_empty:
            whole = shapely.union_all(parts)
            piece = whole if own or feature.kind == "sand" else shapely.intersection(whole, wide)
        near, far = _span(piece, start)
        if near > finish + _SHORT_M or far < carry - _CLEAR_M:
            continue
        numbers = shot_numbers(around.hole, feature, line, option.aim)
        kind = shot_kind(numbers, carry)
        if at_green and kind != "carry":
            continue
        gap = max(near - finish, carry - far, 0.0)
        ranked.append((not own, gap, _reach(feature, kind, numbers)))
    ranked.sort(key=lambda row: (row[0], row[1], row[2].what))
    return tuple(row[2] for row in ranked[:3])


def _reach(feature: NamedFeature, kind: str, numbers: ShotNumbers) -> Reach:
    near, far = numbers.reach, numbers.carry
    return Reach(
        what=feature.name,
        kind=kind,
        reach_m=None if near is None else near.value_m,
        carry_m=None if far is None else far.value_m,
        origin=feature.origin,
        own_line=numbers.own_line,
    )


def _span(shape: shapely.Geometry, start: FloatArray) -> tuple[float, float]:
    """Nearest and farthest distance of a shape from a place. [m]"""
    corners: Sequence[FloatArray] = shapely.get_coordinates(shape) - start
    return float(shapely.distance(shape, shapely.Point(start))), float(np.hypot(*np.asarray(corners).T).max())
