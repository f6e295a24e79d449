"""Distances to the edges of features along a hole, computed from the outlines as a caddie paces them.

There is one definition of each distance. `strategy.course.numbers` prints them, and
`strategy.course.measured` moves outlines until these distances agree with what was measured.

::

                    green    back:  the farthest place of the green, straight on along the last leg
                             front: where the line of play first meets the green
          fairway ____|      run-out: where the line of play leaves the fairway
         |   o o  |          reach: the near edge of a feature; carry: its far edge
         |        |
             +               source: a tee or a landmark, with the line of play from there

Reach and carry of a feature beside the line are its nearest and its farthest place. Of a feature across the
line they are where the line meets it. A group of bunkers counts as a whole. Each crossing of the line of play
over water counts by itself.

All distances are straight and horizontal. Only the place where a fairway width is taken is a distance along
the line.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.model import Hole, Landmark, Tee
from strategy.course.named_features import BESIDE_M, NamedFeature
from strategy.course.origin import Origin
from strategy.course.playline import front_point, heading_at, last_leg, line_length, point_at
from strategy.errors import RequestError

_PAST_GREEN_M: Final = 60.0  # the corridor of a hole goes on so far behind the green
_TOUCH_M: Final = 0.05
_HALF_SECTION_M: Final = 60.0
MARK_M: Final = 2.0  # an edge this near to the place of a measurement has the origin of the measurement


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A place on an outline, its distance, and how the distance changes when the outline moves.

    Attributes
    ----------
    xy : tuple of two floats
        Course frame. [m]
    value_m : float
        The distance. [m]
    direction : tuple of two floats
        Unit vector. The distance grows when the outline moves this way.
    gain : float
        Growth of the distance per metre of that move, 0 < gain <= 1.
    """

    xy: tuple[float, float]
    value_m: float
    direction: tuple[float, float]
    gain: float = 1.0


def place_of(hole: Hole, name: str) -> Tee | Landmark:
    """The tee or landmark of a hole with this name; "tee" is the back tee.

    Raises
    ------
    RequestError
        If there is none. The message lists all tees and landmarks.
    """
    wanted = normalize_name(name)
    places: list[Tee | Landmark] = [*hole.tees, *hole.landmarks]
    for place in places:
        if wanted in (normalize_name(place.name), f"{normalize_name(place.name)} tee"):
            return place
    if wanted == "tee":
        return hole.tees[0]
    names = ", ".join(["tee", *(place.name for place in places)])
    raise RequestError(f"hole {hole.label} has no tee or landmark {name!r}; it has {names}")


def tee_words(name: str) -> str:
    """The name of a tee as a sentence has it.

    >>> tee_words("back"), tee_words("middle tee"), tee_words("tee 2")
    ('back tee', 'middle tee', 'tee 2')
    """
    return (
        name
        if "tee" in normalize_name(name).split() or normalize_name(name) == "line start"
        else f"{name} tee"
    )


def the_tee(name: str) -> str:
    """The name of a tee as it follows "from" in a sentence: "the back tee", "tee 2".

    >>> the_tee("back"), the_tee("tee 2"), the_tee("line start")
    ('the back tee', 'tee 2', 'the line start')
    """
    words = tee_words(name)
    return words if words.casefold().startswith("tee ") else f"the {words}"


def normalize_name(name: str) -> str:
    """Bring a name into the form in which names are compared: small letters, single spaces, no article.

    >>> normalize_name("The  Near left bunker")
    'near left bunker'
    """
    words = name.casefold().split()
    return " ".join(words[1:] if words[:1] == ["the"] else words)


def reach(feature: NamedFeature, line: FloatArray) -> Edge | None:
    """Near edge of a feature from the start of a line of play (n, 2); None when it is not ahead. [m]"""
    return _edge(feature, line, far=False)


def carry(feature: NamedFeature, line: FloatArray) -> Edge | None:
    """Far edge of a feature from the start of a line of play (n, 2).

    None when the feature goes on beyond the corridor of the hole. [m]
    """
    return _edge(feature, line, far=True)


def front(green: shapely.Polygon, line: FloatArray, reference: str = "line of play") -> Edge:
    """The front of a green: where the line of play meets it, or what else a pin sheet counts from."""
    return _on_leg(front_point(green, line, reference), line)


def back(green: shapely.Polygon, line: FloatArray) -> Edge:
    """The far edge of a green, straight on along the last leg."""
    ahead, _ = last_leg(line)
    middle = line[-1]
    on_green = shapely.intersection(shapely.LineString([middle, middle + 200.0 * ahead]), green)
    ends = shapely.get_coordinates(on_green)
    far = ends[np.argmax(ends @ ahead)] if len(ends) else middle
    return _on_leg((float(far[0]), float(far[1])), line)


def depth(green: shapely.Polygon, line: FloatArray) -> Edge:
    """The far edge of a green; the distance is the depth of the green along the last leg."""
    ahead, _ = last_leg(line)
    far = back(green, line).xy
    value = float((np.asarray(far) - front(green, line).xy) @ ahead)
    return Edge(xy=far, value_m=value, direction=(float(ahead[0]), float(ahead[1])))


def run_outs(fairway: shapely.Geometry, green: shapely.Polygon, line: FloatArray) -> tuple[Edge, ...]:
    """Places where the line of play leaves the fairway short of the green, in order along the line."""
    path = shapely.LineString(line)
    ends = []
    for part in shapely.get_parts(shapely.intersection(path, fairway)):
        if part.geom_type != "LineString" or part.length < 1.0:
            continue
        xy = shapely.get_coordinates(part)
        along = shapely.line_locate_point(path, shapely.points(xy))
        ends.append((float(along.max()), xy[np.argmax(along)]))
    edges = []
    start = line[0]
    for depth_along, xy in sorted(ends, key=lambda pair: pair[0]):
        if shapely.distance(green, shapely.Point(xy)) < 10.0 or depth_along > line_length(line) - 10.0:
            continue
        heading = np.radians(heading_at(line, depth_along - 0.01))
        ahead = np.array([np.sin(heading), np.cos(heading)])
        offset = xy - start
        distance = float(np.hypot(*offset))
        gain = float(offset @ ahead) / max(distance, 1e-9)
        if gain > 0.2:
            edges.append(Edge(xy=_pair(xy), value_m=distance, direction=_pair(ahead), gain=gain))
    return tuple(edges)


def straight_on(fairway: shapely.Geometry, line: FloatArray) -> Edge | None:
    """Where the first leg, continued straight past its turn, leaves the fairway.

    None for a line without a turn.
    """
    if len(line) < 3:
        return None
    turn = float(np.hypot(*(line[1] - line[0])))
    ahead = (line[1] - line[0]) / turn
    continued = shapely.LineString([line[0], line[1] + 150.0 * ahead])
    for part in shapely.get_parts(shapely.intersection(continued, fairway)):
        if part.geom_type != "LineString" or part.is_empty:
            continue
        t = np.sort((shapely.get_coordinates(part) - line[0]) @ ahead)
        if t[0] <= turn + 1.0 and t[-1] > turn + 1.0:
            return Edge(xy=_pair(line[0] + t[-1] * ahead), value_m=float(t[-1]), direction=_pair(ahead))
    return None


def width(fairway: shapely.Geometry, line: FloatArray, at_m: float) -> tuple[Edge, Edge] | None:
    """Left and right edge of the fairway across the line of play, at a distance along the line. [m]

    `Edge.value_m` is the side here, positive to the right of the line, and `Edge.direction` widens the
    fairway. Of several pieces the one nearest to the line counts. None when there is no fairway within 25 m
    of the line.
    """
    heading = np.radians(heading_at(line, at_m))
    right = np.array([np.cos(heading), -np.sin(heading)])
    middle = point_at(line, 0.0, at_m)[0]
    section = shapely.LineString([middle - _HALF_SECTION_M * right, middle + _HALF_SECTION_M * right])
    pieces = []
    for part in shapely.get_parts(shapely.intersection(section, fairway)):
        if part.geom_type == "LineString" and part.length > 4.0:
            sides = np.sort((shapely.get_coordinates(part) - middle) @ right)
            pieces.append((float(sides[0]), float(sides[-1])))
    if not pieces:
        return None
    left_m, right_m = min(pieces, key=lambda piece: max(piece[0], -piece[1], 0.0))
    if max(left_m, -right_m, 0.0) > 25.0:
        return None
    return (
        Edge(xy=_pair(middle + left_m * right), value_m=left_m, direction=_pair(-right)),
        Edge(xy=_pair(middle + right_m * right), value_m=right_m, direction=_pair(right)),
    )


def fairway_of(hole: Hole) -> shapely.Geometry:
    """All fairway of a hole as one geometry, without the bunkers, greens and penalty areas on it. [m]"""
    fairways = [a.shape for a in hole.areas if a.surface == Surface.FAIRWAY]
    on_top = [
        a.shape for a in hole.areas if a.surface in (Surface.BUNKER, Surface.GREEN) or a.surface.penalty_area
    ]
    whole = shapely.union_all(fairways)
    return shapely.difference(whole, shapely.union_all([*on_top, hole.green])) if fairways else whole


def origin_at(hole: Hole, xy: tuple[float, float], outline: Origin) -> Origin:
    """Origin of a place on an edge: that of the best measurement there, or else that of the outline.

    Parameters
    ----------
    hole : Hole
        Hole with its measurements.
    xy : tuple of two floats
        Place on the outline. [m]
    outline : Origin
        Origin of the whole outline. If the outline was measured at another place only, it is traced here.
    """
    measured: list[Origin] = [
        m.origin
        for m in hole.measurements
        if m.counts and any(np.hypot(x - xy[0], y - xy[1]) <= MARK_M for x, y in m.marks)
    ]
    if measured:
        return min(measured, key=list(Origin).index)
    return Origin.TRACED if outline in (Origin.PACED, Origin.SURVEYED) else outline


def _edge(feature: NamedFeature, line: FloatArray, *, far: bool) -> Edge | None:
    """Near or far edge of a feature from the start of a line of play."""
    start = line[0]
    path = shapely.LineString(line)
    pick = np.argmax if far else np.argmin
    places: list[FloatArray] = []
    not_crossed = []
    for part in shapely.get_parts(feature.shape):
        crossing = shapely.intersection(path, part) if feature.cross else shapely.LineString()
        xy = shapely.get_coordinates(crossing)
        if not len(xy):
            not_crossed.append(part)
            continue
        along = shapely.line_locate_point(path, shapely.points(xy))
        if far and along.max() > path.length - _TOUCH_M:
            return None
        places.append(xy[pick(along)])
    # Of water across the line only the crossing counts. Of a group of bunkers every bunker counts.
    if not_crossed and not (places and feature.kind == "water"):
        beside = _edge_beside(shapely.union_all(not_crossed), line, far=far)
        if beside is not None:
            places.append(beside)
    if not places:
        return None
    distance = np.hypot(*(np.vstack(places) - start).T)
    return _straight_edge(start, places[int(pick(distance))])


def _edge_beside(shape: shapely.Geometry, line: FloatArray, *, far: bool) -> FloatArray | None:
    """Nearest or farthest place of an outline in the corridor along a line of play.

    None when the outline is not in the corridor, or when it goes on beyond the corridor at that place.
    """
    start = line[0]
    ahead = last_leg(line)[0]
    longer = shapely.LineString(np.vstack((line[:-1], line[-1] + _PAST_GREEN_M * ahead)))
    corridor = shapely.buffer(longer, BESIDE_M, cap_style="flat", join_style="mitre")
    rim = shapely.intersection(shapely.boundary(shape), corridor)
    if rim.is_empty:
        return None
    if far:
        xy = shapely.get_coordinates(rim)
    else:
        xy = shapely.get_coordinates(shapely.shortest_line(rim, shapely.Point(start)))[:1]
    distance = np.hypot(*(xy - start).T)
    place: FloatArray = xy[np.argmax(distance) if far else np.argmin(distance)]
    is_cut_off = shapely.distance(shapely.boundary(corridor), shapely.Point(place)) < _TOUCH_M
    return None if is_cut_off else place


def _straight_edge(start: FloatArray, place: FloatArray) -> Edge:
    """An edge that moves straight away from the start."""
    offset = np.asarray(place) - start
    distance = float(np.hypot(*offset))
    return Edge(xy=_pair(place), value_m=distance, direction=_pair(offset / max(distance, 1e-9)))


def _on_leg(xy: tuple[float, float], line: FloatArray) -> Edge:
    """An edge that moves along the last leg of a line of play."""
    ahead, _ = last_leg(line)
    offset = np.asarray(xy) - line[0]
    distance = float(np.hypot(*offset))
    gain = float(offset @ ahead) / max(distance, 1e-9)
    if gain < 0.2:  # the green is nearly beside the source: a move along the leg hardly changes the distance
        return _straight_edge(line[0], np.asarray(xy))
    return Edge(xy=xy, value_m=distance, direction=_pair(ahead), gain=gain)


def _pair(vector: FloatArray) -> tuple[float, float]:
    return (float(vector[0]), float(vector[1]))
