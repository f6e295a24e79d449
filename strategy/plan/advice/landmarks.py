"""Landmarks that a ball may start at, and the aim moved to the one it is said to start at.

A tee shot or lay-up starts at something visible where moving the aim there costs less than 0.01 strokes: a
sight mark first, then the edge of a bunker, of the green, of trees, of the fairway. The aim is moved
(`aim_at_landmark`) before options are judged, so that all that is said of an option is of the aim that is
said. The price of a move is counted with every track walked: the quick curve of cost against left and right
that gives the room of an aim caches trees by direction, and was wrong by up to 0.03.
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
_ROUGHLY: Final = 16  # points of each stratum and scramble
_FULL_M: Final = 0.01  # below its full carry a shot is still full


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surroundings:
    """What can be named from the spots of a hole, gathered once for a line of play (n, 2). [m]"""

    hole: Hole
    line: FloatArray
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


def _sighted(around: Surroundings, spot: Spot, aim: tuple[float, float], line: float) -> Iterator[Sighted]:
    """Landmarks within sight of a start line. [°]"""
    hole = around.hole
    for name, x, y in hole.sight_marks:
        mark = VisibleMark(name=f"the {name}", part="", origin=str(Origin.PUBLISHED))
        yield Sighted(mark, _bearing(spot, (x, y)), 0)
    for feature in around.features:
        edges = _edges_ahead(spot, feature.shape, line)
        if edges is None:
            continue
        left, right = edges
        if feature.kind == "trees":
            # Of trees beside the line only the inner edge stands against the sky.
            inner, part = (right, "right edge") if left + right < 0.0 else (left, "left edge")
            yield Sighted(_part(feature, part), line + inner, 3)
            continue
        rank = 1 if feature.kind == "sand" else 3
        yield Sighted(_part(feature, "left edge"), line + left, rank, feature)
        yield Sighted(_part(feature, "right edge"), line + right, rank, feature)
        if right - left < 3.0:
            yield Sighted(_part(feature, ""), line + (left + right) / 2.0, rank, feature)
    edges = _edges_ahead(spot, hole.green, line)
    if edges is not None:
        for part, turn in _parts(edges):
            green = VisibleMark(name="the green", part=part, origin=green_origin(hole))
            yield Sighted(green, line + turn, 2)
    chord = fairway_at(around, aim)
    if chord is not None:
        depth = float(along_side(around.line, aim)[0, 1])
        for part, side in _parts(chord):
            fairway = VisibleMark(name="the fairway", part=part, origin=around.fairway_origin)
            yield Sighted(fairway, _bearing(spot, point_at(around.line, side, depth)[0]), 4)


def _part(feature: NamedFeature, part: str) -> VisibleMark:
    return VisibleMark(name=feature.name, part=part, origin=feature.origin)


def _parts(ends: tuple[float, float]) -> tuple[tuple[str, float], ...]:
    """Both edges and the middle of a stretch from left to right."""
    return ("left edge", ends[0]), ("right edge", ends[1]), ("middle", sum(ends) / 2.0)


def _edges_ahead(spot: Spot, shape: shapely.Geometry, line: float) -> tuple[float, float] | None:
    """Left and right edge of a shape from the ball, in degrees from a bearing; None when it is not ahead."""
    rel = shapely.get_coordinates(shape) - (spot.x, spot.y)
    away = np.hypot(rel[:, 0], rel[:, 1])
    visible = (away > _VISIBLE_M[0]) & (away < _VISIBLE_M[1])
    if not visible.any():
        return None
    turn = (np.degrees(np.arctan2(rel[visible, 0], rel[visible, 1])) - line + 180.0) % 360.0 - 180.0
    left, right = float(turn.min()), float(turn.max())
    if right < -_AHEAD_DEG or left > _AHEAD_DEG or right - left > 90.0:
        return None
    return left, right


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
