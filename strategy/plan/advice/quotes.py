"""From an aim to the numbers of its sentence: finish, start line, carries, room.

Shots at the green are told by the hole: left or right of it, past or short, as seen from the ball. All
others by the middle of the fairway where the ball finishes, across the line of play, or by the line of
play itself where there is no fairway.

A tee shot or lay-up starts at something visible where moving the aim there costs less than 0.01 strokes: a
sight mark first, then the edge of a bunker, of the green, of trees, of the fairway. The aim is moved
(`snapped`) before options are judged, so that all that is said of an option is of the aim that is said. The
price of a move is counted with every track walked: the quick curve of cost against left and right that
gives the room of an aim remembers trees by direction, and was wrong by up to 0.03.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.course.edges import named
from strategy.course.model import Hole
from strategy.course.named_features import Thing, origin_of
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at, line_from, point_at
from strategy.decide import CostField, Option, costs_over
from strategy.decide.aims import Aims, finish_of, start_line_of
from strategy.decide.misses import NEAR_EDGE_M
from strategy.decide.options import prices
from strategy.outcome.play import Choice
from strategy.outcome.today import HoleToday
from strategy.plan.advice.hazards import OVER_M, WATER_M, ShotNumbers, shot_kind, shot_numbers
from strategy.plan.quoted import Finish, Quoted, Reach, Start
from strategy.units import YARD_M

SNAP_COST: Final = 0.01
LEFT_OVER_M: Final = 4.0 * YARD_M
BESIDE_M: Final = 15.0 * YARD_M
_SIDE: Final = np.arange(-24.0, 25.0) * YARD_M
_DEPTH: Final = np.arange(-12.0, 13.0) * YARD_M
_SEEN_M: Final = (60.0, 480.0)
_SEEN_DEG: Final = 8.0
_ROUGHLY: Final = 16  # points of each stratum and scramble
_FULL_M: Final = 0.01  # below its full carry a shot is still full
_CLEAR_M: Final = 35.0 * YARD_M  # sand carried by more is out of play
_SHORT_M: Final = 20.0 * YARD_M  # sand beyond the finish by more is out of reach


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sight:
    """What can be seen and named from the hole's spots, gathered once for a line of play."""

    hole: Hole
    line: FloatArray
    things: tuple[Thing, ...]
    fairway: shapely.Geometry
    fairway_origin: str


@dataclass(frozen=True, slots=True)
class Mark:
    """Something to start the ball at.

    Attributes
    ----------
    at : str
        What it is: "the left edge of the far bunker".
    bearing : float
        From the ball. [°]
    rank : int
        0 is taken first.
    origin : str
    thing : Thing or None
        Sand, water or trees whose edge it is.
    price : float
        What moving the aim there costs. [strokes]
    """

    at: str
    bearing: float
    rank: int
    origin: str
    thing: Thing | None = None
    price: float = 0.0


def sight(hole: Hole, line: FloatArray) -> Sight:
    """Gather what sentences may name, for a line of play (n, 2). [m]"""
    fairway = [a for a in hole.areas if a.surface == Surface.FAIRWAY]
    return Sight(
        hole=hole,
        line=line,
        things=named(hole),
        fairway=shapely.union_all([a.shape for a in fairway]),
        fairway_origin=origin_of(fairway) if fairway else str(Origin.ASSUMED),
    )


def snapped(
    seen: Sight, field: CostField, spot: Spot, choice: Choice, value: float, *, seed: int
) -> tuple[Choice, Mark | None]:
    """A choice with its aim moved to the landmark its ball is said to start at, and that landmark.

    Landmarks that are far too dear go on few points; the price of the others has a standard error of 0.001,
    0.002 at most (holes 5 and 8 of the demo course), so that 0.01 is told from 0.015.

    Parameters
    ----------
    seen : Sight
        Of the same hole and line of play.
    field : CostField
        The hole laid out, for costs.
    spot : Spot
        Where from.
    choice : Choice
        As a search found it.
    value : float
        V of the spot.
    seed : int
        Of the decision.

    Returns
    -------
    choice, mark : Choice, Mark or None
        The choice as it was, and None, at the green or where no landmark is cheap.
    """
    today = field.today
    aim = finish_of(today, spot, choice)
    if field.today.at_green(aim):
        return choice, None
    line = start_line_of(today, spot, choice)
    within = float(np.degrees(_SIDE[-1] / max(float(np.hypot(aim[0] - spot.x, aim[1] - spot.y)), 1.0)))
    turns = [(abs(_signed(m.bearing - line)), m) for m in _marks(seen, spot, aim, line)]
    marks = [m for turn, m in sorted(turns, key=lambda t: (t[1].rank, t[0])) if turn <= within]
    if not marks:
        return choice, None
    turned = [_started_at(today, spot, choice, mark.bearing) for mark in marks]
    aims = Aims.of(turned)
    roughly, error = prices(field, spot, choice, aims, value, seed=seed, size=_ROUGHLY)
    near = np.flatnonzero(roughly < SNAP_COST + 3.0 * error)
    if not near.size:
        return choice, None
    price, _ = prices(field, spot, choice, aims[near], value, seed=seed)
    cheap = np.flatnonzero(price < SNAP_COST)
    if not cheap.size:
        return choice, None
    first = int(near[cheap[0]])
    return turned[first], dataclasses.replace(marks[first], price=max(float(price[cheap[0]]), 0.0))


def told(
    seen: Sight, field: CostField, spot: Spot, option: Option, mark: Mark | None = None, *, seed: int
) -> Quoted:
    """What the sentence of an option quotes, all of it at the option's own aim.

    Parameters
    ----------
    option : Option
        As judged, its ball starting at the landmark.
    mark : Mark or None
        The landmark, as `snapped` gives it.
    seen, field, spot, seed
        See `snapped`.
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
        # Sideways along the arc, as a change of heading moves it.
        angles = _SIDE / max(distance, 1.0)
        arc = start + distance * (np.sin(angles)[:, None] * right + np.cos(angles)[:, None] * ahead)
        deeper = np.asarray(option.aim) + _DEPTH[:, None] * ahead
        cost = costs_over(field, spot, option, np.vstack((arc, deeper)), seed=seed) - option.cost
        room, deep = _room(_SIDE, cost[: len(_SIDE)]), _room(_DEPTH, cost[len(_SIDE) :])
        depth_room = (min(deep[0], less), min(deep[1], more))
        begin = _start(spot, option, distance, mark)
    run = distance - option.carry_m
    return Quoted(
        finish=_finish(seen, field, spot, option, at_green),
        start=begin,
        reaches=_reaches(seen, spot, option, run, mark, at_green),
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


# --- the start line ----------------------------------------------------------------------------------


def _started_at(today: HoleToday, spot: Spot, choice: Choice, bearing: float) -> Choice:
    """The same shot with its ball starting along a bearing; a full shot stays full, whatever the wind. [°]"""
    turned = choice
    for _ in range(3):  # how far a ball starts off its heading hardly changes with the heading
        off = _signed(start_line_of(today, spot, turned) - turned.heading)
        turned = dataclasses.replace(turned, heading=(bearing - off) % 360.0)
    before = today.shots_from(spot).at(choice.shot, int(spot.lie), choice.heading)
    there = today.shots_from(spot).at(choice.shot, int(spot.lie), turned.heading)
    most, least = float(there.carry), float(there.least)
    full = choice.carry >= float(before.carry) - _FULL_M
    return dataclasses.replace(turned, carry=most if full else float(np.clip(choice.carry, least, most)))


def _marks(seen: Sight, spot: Spot, aim: tuple[float, float], line: float) -> Iterator[Mark]:
    """Landmarks within sight of a start line. [°]"""
    hole = seen.hole
    for name, x, y in hole.sight_marks:
        yield Mark(f"the {name}", _bearing(spot, (x, y)), 0, str(Origin.PUBLISHED))
    for thing in seen.things:
        edges = _seen_edges(spot, thing.shape, line)
        if edges is None:
            continue
        left, right = edges
        if thing.kind == "trees":
            # Of trees beside the line only the inner edge stands against the sky.
            inner, word = (right, "right") if left + right < 0.0 else (left, "left")
            yield Mark(f"the {word} edge of {thing.name}", line + inner, 3, thing.origin)
            continue
        rank = 1 if thing.kind == "sand" else 3
        yield Mark(f"the left edge of {thing.name}", line + left, rank, thing.origin, thing)
        yield Mark(f"the right edge of {thing.name}", line + right, rank, thing.origin, thing)
        if right - left < 3.0:
            yield Mark(thing.name, line + (left + right) / 2.0, rank, thing.origin, thing)
    edges = _seen_edges(spot, hole.green, line)
    if edges is not None:
        origin = _green_origin(hole)
        for word, turn in (("left edge", edges[0]), ("right edge", edges[1]), ("middle", sum(edges) / 2.0)):
            yield Mark(f"the {word} of the green", line + turn, 2, origin)
    chord = _fairway_at(seen, aim)
    if chord is not None:
        depth = float(along_side(seen.line, aim)[0, 1])
        for word, side in (("left edge", chord[0]), ("right edge", chord[1]), ("middle", sum(chord) / 2.0)):
            place = point_at(seen.line, side, depth)[0]
            yield Mark(f"the {word} of the fairway", _bearing(spot, place), 4, seen.fairway_origin)


def _seen_edges(spot: Spot, shape: shapely.Geometry, line: float) -> tuple[float, float] | None:
    """Left and right edge of a shape from the ball, in degrees from a bearing; None when it is not ahead."""
    rel = shapely.get_coordinates(shape) - (spot.x, spot.y)
    away = np.hypot(rel[:, 0], rel[:, 1])
    seen = (away > _SEEN_M[0]) & (away < _SEEN_M[1])
    if not seen.any():
        return None
    turn = (np.degrees(np.arctan2(rel[seen, 0], rel[seen, 1])) - line + 180.0) % 360.0 - 180.0
    left, right = float(turn.min()), float(turn.max())
    if right < -_SEEN_DEG or left > _SEEN_DEG or right - left > 90.0:
        return None
    return left, right


def _start(spot: Spot, option: Option, distance: float, mark: Mark | None) -> Start | None:
    out = np.asarray(option.aim) - (spot.x, spot.y)
    turn = _signed(option.start_line - float(np.degrees(np.arctan2(out[0], out[1]))))
    side = float(np.tan(np.radians(turn)) * distance)
    if mark is None:
        return Start(at="", side_m=side, cost=0.0, origin="") if abs(side) >= YARD_M else None
    return Start(at=mark.at, side_m=side, cost=mark.price, origin=mark.origin)


def _green_origin(hole: Hole) -> str:
    own = [a for a in hole.areas if a.surface == Surface.GREEN]
    return origin_of(own) if own else str(Origin.ASSUMED)


# --- the finish --------------------------------------------------------------------------------------


def _finish(seen: Sight, field: CostField, spot: Spot, option: Option, at_green: bool) -> Finish:
    if at_green:
        out = np.asarray(field.today.hole) - (spot.x, spot.y)
        ahead = out / max(float(np.hypot(*out)), 1e-9)
        rel = np.asarray(option.aim) - np.asarray(field.today.hole)
        return Finish(
            of="hole",
            side_m=float(rel @ np.array([ahead[1], -ahead[0]])),
            past_m=float(rel @ ahead),
            origin=_green_origin(seen.hole),
        )
    side = float(along_side(seen.line, option.aim)[0, 0])
    chord = _fairway_at(seen, option.aim)
    if chord is None:
        return Finish(of="line", side_m=side, past_m=0.0, origin=str(Origin.TRACED))
    middle = sum(chord) / 2.0
    return Finish(of="fairway", side_m=side - middle, past_m=0.0, origin=seen.fairway_origin)


def _fairway_at(seen: Sight, aim: tuple[float, float]) -> tuple[float, float] | None:
    """Left and right edge of the fairway across the line of play at a place's depth. [m right of the line]"""
    side, depth = (float(v) for v in along_side(seen.line, aim)[0])
    ends = point_at(seen.line, [-60.0, 60.0], depth)
    cut = shapely.intersection(shapely.LineString(ends), seen.fairway)
    pieces = []
    for part in shapely.get_parts(cut):
        if part.geom_type != "LineString" or part.is_empty:
            continue
        across = np.sort(_across(seen.line, shapely.get_coordinates(part)[[0, -1]], depth))
        if across[1] - across[0] > 4.0:
            pieces.append((float(across[0]), float(across[1])))
    if not pieces:
        return None
    best = min(pieces, key=lambda p: max(p[0] - side, side - p[1], 0.0))
    return best if max(best[0] - side, side - best[1], 0.0) < 25.0 else None


def _across(line: FloatArray, xy: FloatArray, depth: float) -> FloatArray:
    """Side of points that lie on the cross-section of a line of play at a depth. [m]"""
    a = np.radians(heading_at(line, depth))
    return np.asarray((xy - point_at(line, 0.0, depth)[0]) @ np.array([np.cos(a), -np.sin(a)]))


# --- carries -----------------------------------------------------------------------------------------


def _reaches(
    seen: Sight, spot: Spot, option: Option, run: float, mark: Mark | None, at_green: bool
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
    line = line_from(seen.hole.line, (spot.x, spot.y))
    found: list[tuple[bool, float, Reach]] = []
    for thing in seen.things:
        if thing.kind == "trees":
            continue
        own, wide = mark is not None and mark.thing is thing, beside[thing.kind]
        parts = [p for p in shapely.get_parts(thing.shape) if own or shapely.intersects(p, wide)]
        if not parts:
            continue
        # What is in play is judged by the piece near the shot; what is said of it are its own numbers.
        piece = shapely.intersection(thing.shape, over)
        if piece.is_empty:
            whole = shapely.union_all(parts)
            piece = whole if own or thing.kind == "sand" else shapely.intersection(whole, wide)
        near, far = _span(piece, start)
        if near > finish + _SHORT_M or far < carry - _CLEAR_M:
            continue
        numbers = shot_numbers(seen.hole, thing, line, option.aim)
        kind = shot_kind(numbers, carry)
        if at_green and kind != "carry":
            continue
        gap = max(near - finish, carry - far, 0.0)
        found.append((not own, gap, _reach(thing, kind, numbers)))
    found.sort(key=lambda row: (row[0], row[1], row[2].what))
    return tuple(row[2] for row in found[:3])


def _reach(thing: Thing, kind: str, numbers: ShotNumbers) -> Reach:
    near, far = numbers.reach, numbers.carry
    return Reach(
        what=thing.name,
        kind=kind,
        reach_m=None if near is None else near.value_m,
        carry_m=None if far is None else far.value_m,
        origin=thing.origin,
        own_line=numbers.own_line,
    )


def _span(shape: shapely.Geometry, start: FloatArray) -> tuple[float, float]:
    """Nearest and farthest distance of a shape from a place. [m]"""
    corners: Sequence[FloatArray] = shapely.get_coordinates(shape) - start
    return float(shapely.distance(shape, shapely.Point(start))), float(np.hypot(*np.asarray(corners).T).max())


def _bearing(spot: Spot, place: Sequence[float] | FloatArray) -> float:
    return float(np.degrees(np.arctan2(place[0] - spot.x, place[1] - spot.y)) % 360.0)


def _signed(turn: float) -> float:
    return (turn + 180.0) % 360.0 - 180.0
