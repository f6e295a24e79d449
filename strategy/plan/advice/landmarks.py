"""Landmarks that a ball may start at, and the aim moved to the one it is said to start at.

A tee shot or lay-up starts at something visible where moving the aim there costs less than 0.01 strokes: a
sight mark first, then the edge of a bunker, of the green, of trees, of the fairway. Visible is what neither
ground nor trees hide from where the ball lies (`strategy.course.maps.sight`); a sight mark counts as seen,
since the caddie named it for that, and course.toml does not say how high it stands. The aim is moved
(`aim_at_landmark`) before options are judged, so that all that is said of an option is of the aim that is
said. The price of a move is counted with every track walked: the quick curve of cost against left and right
that gives the room of an aim caches trees by direction, and was wrong by up to 0.03.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.course.maps.canopy import ASSUMED_M
from strategy.course.maps.sight import Sight, sight_of
from strategy.course.model import Hole
from strategy.course.named_features import NamedFeature, common_origin, name_features
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at, point_at
from strategy.decide import CostField
from strategy.decide.aims import Aims, finish_of, start_line_of
from strategy.decide.options import prices
from strategy.outcome.play import Choice
from strategy.outcome.today import HoleToday
from strategy.plan.quoted import VisibleMark
from strategy.units import YARD_M

SNAP_COST: Final = 0.01  # an aim is moved to a landmark for less
FURTHEST_M: Final = 24.0 * YARD_M  # no aim is moved further
_VISIBLE_M: Final = (60.0, 480.0)  # nearer than the first and further than the second nothing is named
_AHEAD_DEG: Final = 8.0
_EDGE_STANDS_M: Final = 0.5  # a lip, long grass: the edge of a thing on the ground is seen by it
_TREETOPS: Final = 0.9  # of their height: trees are seen when so much of them is hidden
_BESIDE_TREES_M: Final = 3.0  # their edge stands out when this far beside it the view is open
_ROUGHLY: Final = 16  # points of each stratum and scramble
_FULL_M: Final = 0.01  # below its full carry a shot is still full


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surroundings:
    """What can be named from the spots of a hole, gathered once for a line of play (n, 2). [m]"""

    hole: Hole
    line: FloatArray
    sight: Sight
    features: tuple[NamedFeature, ...]
    fairway: shapely.Geometry
    fairway_origin: str


@dataclass(frozen=True, slots=True)
class Sighted:
    """A landmark as it is seen from the ball.

    Attributes
    ----------
    bearing : float
        From the ball. [°]
    rank : int
        0 is taken first.
    feature : NamedFeature or None
        The sand or water whose edge it is.
    price : float
        What moving the aim there costs. [strokes]
    """

    landmark: VisibleMark
    bearing: float
    rank: int
    feature: NamedFeature | None = None
    price: float = 0.0


def surroundings_of(hole: Hole, line: FloatArray) -> Surroundings:
    """Gather what sentences may name, for a line of play (n, 2). [m]"""
    fairway = [a for a in hole.areas if a.surface == Surface.FAIRWAY]
    return Surroundings(
        hole=hole,
        line=line,
        sight=sight_of(hole),
        features=name_features(hole),
        fairway=shapely.union_all([a.shape for a in fairway]),
        fairway_origin=common_origin(fairway) if fairway else str(Origin.ASSUMED),
    )


def aim_at_landmark(
    around: Surroundings, field: CostField, spot: Spot, choice: Choice, value: float, *, seed: int
) -> tuple[Choice, Sighted | None]:
    """A choice with its aim moved to the landmark its ball is said to start at, and that landmark.

    Landmarks that are far too dear are left out by few points. The price of the others has a standard error
    of 0.001, 0.002 at most (holes 5 and 8 of the demo course), so that 0.01 is told from 0.015.

    Parameters
    ----------
    around : Surroundings
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
    choice, sighted : Choice, Sighted or None
        The choice as it was, and None, at the green or where no landmark is cheap.
    """
    today = field.today
    aim = finish_of(today, spot, choice)
    if today.at_green(aim):
        return choice, None
    line = start_line_of(today, spot, choice)
    within = float(np.degrees(FURTHEST_M / max(float(np.hypot(aim[0] - spot.x, aim[1] - spot.y)), 1.0)))
    turns = [(abs(signed(one.bearing - line)), one) for one in _sighted(around, spot, aim, line)]
    sighted = [one for turn, one in sorted(turns, key=lambda t: (t[1].rank, t[0])) if turn <= within]
    if not sighted:
        return choice, None
    turned = [_started_at(today, spot, choice, one.bearing) for one in sighted]
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
    return turned[first], dataclasses.replace(sighted[first], price=max(float(price[cheap[0]]), 0.0))


def is_seen(around: Surroundings, spot: Spot, xy: tuple[float, float]) -> bool:
    """Whether a place on the ground is seen by a player at a ball. [m]"""
    return bool(around.sight.sees((spot.x, spot.y), xy, _EDGE_STANDS_M)[0])


def _started_at(today: HoleToday, spot: Spot, choice: Choice, bearing: float) -> Choice:
    """The same shot with its ball starting along a bearing; a full shot stays full, whatever the wind. [°]"""
    turned = choice
    for _ in range(3):  # how far a ball starts off its heading hardly changes with the heading
        off = signed(start_line_of(today, spot, turned) - turned.heading)
        turned = dataclasses.replace(turned, heading=(bearing - off) % 360.0)
    before = today.shots_from(spot).at(choice.shot, int(spot.lie), choice.heading)
    there = today.shots_from(spot).at(choice.shot, int(spot.lie), turned.heading)
    most, least = float(there.carry), float(there.least)
    full = choice.carry >= float(before.carry) - _FULL_M
    return dataclasses.replace(turned, carry=most if full else float(np.clip(choice.carry, least, most)))


class _Edge(NamedTuple):
    """The end of something on one side, as it is seen from a ball: turn off a line [°], place [m]."""

    turn: float
    xy: FloatArray


def _sighted(around: Surroundings, spot: Spot, aim: tuple[float, float], line: float) -> list[Sighted]:
    """Landmarks that are seen from a ball near its start line. [°]"""
    marks = [
        Sighted(
            VisibleMark(name=f"the {name}", part="", origin=str(Origin.PUBLISHED)), _bearing(spot, (x, y)), 0
        )
        for name, x, y in around.hole.sight_marks
    ]
    found = list(_in_reach(around, spot, aim, line))
    if not found:
        return marks
    # Of each landmark every place that has to be seen, all of them looked at together.
    places = np.vstack([xy for _, seen, _ in found for xy in seen])
    above = np.concatenate([np.full(len(seen), height) for _, seen, height in found])
    sees = around.sight.sees((spot.x, spot.y), places, above)
    ends = np.cumsum([len(seen) for _, seen, _ in found])
    return marks + [
        mark for (mark, seen, _), end in zip(found, ends, strict=True) if sees[end - len(seen) : end].all()
    ]


def _in_reach(
    around: Surroundings, spot: Spot, aim: tuple[float, float], line: float
) -> Iterator[tuple[Sighted, list[FloatArray], float]]:
    """Landmarks near a start line [°], with the places that have to be seen and how high they stand. [m]"""
    hole, low = around.hole, _EDGE_STANDS_M
    for feature in around.features:
        edges = _edges_ahead(spot, feature.shape, line)
        if edges is None:
            continue
        left, right = edges
        if feature.kind == "trees":
            # Of trees beside the line only the inner edge stands against the sky.
            inner, part = (right, "right edge") if left.turn + right.turn < 0.0 else (left, "left edge")
            high = min(ASSUMED_M[a.low] if a.height_m is None else a.height_m for a in feature.areas)
            beside = _beside(spot, inner.xy, _BESIDE_TREES_M if inner is right else -_BESIDE_TREES_M)
            yield Sighted(_part(feature, part), line + inner.turn, 3), [beside], _TREETOPS * high
            continue
        rank = 1 if feature.kind == "sand" else 3
        yield Sighted(_part(feature, "left edge"), line + left.turn, rank, feature), [left.xy], low
        yield Sighted(_part(feature, "right edge"), line + right.turn, rank, feature), [right.xy], low
        if right.turn - left.turn < 3.0:
            middle = line + (left.turn + right.turn) / 2.0
            yield Sighted(_part(feature, ""), middle, rank, feature), [left.xy, right.xy], low
    edges = _edges_ahead(spot, hole.green, line)
    if edges is not None:
        for part, turn, seen in _parts(*edges):
            green = VisibleMark(name="the green", part=part, origin=green_origin(hole))
            yield Sighted(green, line + turn, 2), seen, low
    chord = fairway_at(around, aim)
    if chord is not None:
        depth = float(along_side(around.line, aim)[0, 1])
        left, right = (_Edge(side, point_at(around.line, side, depth)[0]) for side in chord)
        for part, side, seen in _parts(left, right):
            fairway = VisibleMark(name="the fairway", part=part, origin=around.fairway_origin)
            yield Sighted(fairway, _bearing(spot, point_at(around.line, side, depth)[0]), 4), seen, low


def _part(feature: NamedFeature, part: str) -> VisibleMark:
    return VisibleMark(name=feature.name, part=part, origin=feature.origin)


def _parts(left: _Edge, right: _Edge) -> tuple[tuple[str, float, list[FloatArray]], ...]:
    """Both edges and the middle of a stretch, each with the places that have to be seen."""
    middle = (left.turn + right.turn) / 2.0
    return (
        ("left edge", left.turn, [left.xy]),
        ("right edge", right.turn, [right.xy]),
        ("middle", middle, [left.xy, right.xy]),
    )


def _edges_ahead(spot: Spot, shape: shapely.Geometry, line: float) -> tuple[_Edge, _Edge] | None:
    """Left and right edge of a shape from the ball, by a bearing [°]; None when it is not ahead."""
    corners = shapely.get_coordinates(shape)
    rel = corners - (spot.x, spot.y)
    away = np.hypot(rel[:, 0], rel[:, 1])
    near = (away > _VISIBLE_M[0]) & (away < _VISIBLE_M[1])
    if not near.any():
        return None
    turn = (np.degrees(np.arctan2(rel[near, 0], rel[near, 1])) - line + 180.0) % 360.0 - 180.0
    left, right = (_Edge(float(turn[k]), corners[near][k]) for k in (np.argmin(turn), np.argmax(turn)))
    if right.turn < -_AHEAD_DEG or left.turn > _AHEAD_DEG or right.turn - left.turn > 90.0:
        return None
    return left, right


def _beside(spot: Spot, xy: FloatArray, right_m: float) -> FloatArray:
    """A place so far right of another one, as seen from the ball. [m]"""
    out = xy - (spot.x, spot.y)
    return np.asarray(xy + right_m * np.array([out[1], -out[0]]) / max(float(np.hypot(*out)), 1e-9))


def fairway_at(around: Surroundings, aim: tuple[float, float]) -> tuple[float, float] | None:
    """Left and right edge of the fairway across the line of play at a place's depth. [m right of the line]"""
    side, depth = (float(v) for v in along_side(around.line, aim)[0])
    ends = point_at(around.line, [-60.0, 60.0], depth)
    cut = shapely.intersection(shapely.LineString(ends), around.fairway)
    pieces = []
    for part in shapely.get_parts(cut):
        if part.geom_type != "LineString" or part.is_empty:
            continue
        across = np.sort(_across(around.line, shapely.get_coordinates(part)[[0, -1]], depth))
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


def green_origin(hole: Hole) -> str:
    """Where the outline of the green comes from."""
    own = [a for a in hole.areas if a.surface == Surface.GREEN]
    return common_origin(own) if own else str(Origin.ASSUMED)


def _bearing(spot: Spot, place: Sequence[float] | FloatArray) -> float:
    return float(np.degrees(np.arctan2(place[0] - spot.x, place[1] - spot.y)) % 360.0)


def signed(turn: float) -> float:
    """A turn between -180 and 180, right positive. [°]"""
    return (turn + 180.0) % 360.0 - 180.0
