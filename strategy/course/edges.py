"""Where along a hole its edges are: what a caddie paces, computed from the outlines.

One definition for all: `numbers` prints these distances, `measure` moves outlines until they agree.

::

                    green    back  - farthest place of the green straight on along the last leg
                             front - where the line of play first meets the green
          fairway ____|      run-out: the line of play leaves the fairway
         |   o o  |          carry (far edge), reach (near edge): of what lies beside the line, its
         |        |          nearest and farthest place; of what lies across, where the line meets it;
         |        |          of several bunkers all of them; of water each crossing by itself
             +               from: a tee or a landmark, with the line of play from there

Distances are straight and horizontal; only the place of a fairway width counts along the line.
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

_BEYOND_M: Final = 60.0  # the corridor goes on behind the green
_AT_LIMIT_M: Final = 0.05
_WIDE_M: Final = 60.0
MARK_M: Final = 2.0  # an edge this near to where a number was taken has that number's origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A place on an outline, its distance, and the way it moves when the distance grows.

    Attributes
    ----------
    xy : tuple of two floats
        Course frame. [m]
    value_m : float
        The number. [m]
    push : tuple of two floats
        Unit vector: the outline moves this way for a larger number.
    gain : float
        Change of the number per metre of that move, 0 < gain <= 1.
    """

    xy: tuple[float, float]
    value_m: float
    push: tuple[float, float]
    gain: float = 1.0


def place_of(hole: Hole, name: str) -> Tee | Landmark:
    """The tee or landmark of a hole with this name; "tee" is the back tee.

    Raises
    ------
    RequestError
        If there is none; the message lists what there is.
    """
    wanted = normalize_name(name)
    places: list[Tee | Landmark] = [*hole.tees, *hole.landmarks]
    for place in places:
        if wanted in (normalize_name(place.name), f"{normalize_name(place.name)} tee"):
            return place
    if wanted == "tee":
        return hole.tees[0]
    there = ", ".join(["tee", *(place.name for place in places)])
    raise RequestError(f"hole {hole.label} has no tee or landmark {name!r}; it has {there}")


def tee_words(name: str) -> str:
    """A tee as said in a sentence.

    >>> tee_words("back"), tee_words("middle tee"), tee_words("tee 2")
    ('back tee', 'middle tee', 'tee 2')
    """
    return (
        name
        if "tee" in normalize_name(name).split() or normalize_name(name) == "line start"
        else f"{name} tee"
    )


def the_tee(name: str) -> str:
    """A tee behind "from": "the back tee", "tee 2".

    >>> the_tee("back"), the_tee("tee 2"), the_tee("line start")
    ('the back tee', 'tee 2', 'the line start')
    """
    words = tee_words(name)
    return words if words.casefold().startswith("tee ") else f"the {words}"


def normalize_name(name: str) -> str:
    """A name as compared: small letters, single spaces, no article.

    >>> normalize_name("The  Near left bunker")
    'near left bunker'
    """
    words = name.casefold().split()
    return " ".join(words[1:] if words[:1] == ["the"] else words)


def reach(thing: NamedFeature, line: FloatArray) -> Edge | None:
    """Near edge of something from the start of a line of play; None when it lies behind or beyond reach."""
    return _end(thing, line, far=False)


def carry(thing: NamedFeature, line: FloatArray) -> Edge | None:
    """Far edge of something from the start of a line of play; None when it runs on out of sight."""
    return _end(thing, line, far=True)


def front(green: shapely.Polygon, line: FloatArray, reference: str = "line of play") -> Edge:
    """Where the line of play meets the green, or what else a pin sheet counts from."""
    return _on_leg(front_point(green, line, reference), line)


def back(green: shapely.Polygon, line: FloatArray) -> Edge:
    """The far edge of the green, straight on along the last leg."""
    ahead, _ = last_leg(line)
    middle = line[-1]
    met = shapely.intersection(shapely.LineString([middle, middle + 200.0 * ahead]), green)
    ends = shapely.get_coordinates(met)
    far = ends[np.argmax(ends @ ahead)] if len(ends) else middle
    return _on_leg((float(far[0]), float(far[1])), line)


def depth(green: shapely.Polygon, line: FloatArray) -> Edge:
    """The far edge of the green, counted from its front along the last leg."""
    ahead, _ = last_leg(line)
    far = back(green, line).xy
    value = float((np.asarray(far) - front(green, line).xy) @ ahead)
    return Edge(xy=far, value_m=value, push=(float(ahead[0]), float(ahead[1])))


def run_outs(fairway: shapely.Geometry, green: shapely.Polygon, line: FloatArray) -> tuple[Edge, ...]:
    """Where the line of play leaves the fairway short of the green, in order. [m]"""
    path = shapely.LineString(line)
    ends = []
    for part in shapely.get_parts(shapely.intersection(path, fairway)):
        if part.geom_type != "LineString" or part.length < 1.0:
            continue
        xy = shapely.get_coordinates(part)
        along = shapely.line_locate_point(path, shapely.points(xy))
        ends.append((float(along.max()), xy[np.argmax(along)]))
    found = []
    start = line[0]
    for at, xy in sorted(ends, key=lambda pair: pair[0]):
        if shapely.distance(green, shapely.Point(xy)) < 10.0 or at > line_length(line) - 10.0:
            continue
        turn = np.radians(heading_at(line, at - 0.01))
        push = np.array([np.sin(turn), np.cos(turn)])
        away = xy - start
        size = float(np.hypot(*away))
        gain = float(away @ push) / max(size, 1e-9)
        if gain > 0.2:
            found.append(Edge(xy=_pair(xy), value_m=size, push=_pair(push), gain=gain))
    return tuple(found)


def straight_on(fairway: shapely.Geometry, line: FloatArray) -> Edge | None:
    """Where the first leg, drawn on past its turn, leaves the fairway; None for a line without a turn."""
    if len(line) < 3:
        return None
    turn = float(np.hypot(*(line[1] - line[0])))
    ahead = (line[1] - line[0]) / turn
    on = shapely.intersection(shapely.LineString([line[0], line[1] + 150.0 * ahead]), fairway)
    for part in shapely.get_parts(on):
        if part.geom_type != "LineString" or part.is_empty:
            continue
        t = np.sort((shapely.get_coordinates(part) - line[0]) @ ahead)
        if t[0] <= turn + 1.0 and t[-1] > turn + 1.0:
            return Edge(xy=_pair(line[0] + t[-1] * ahead), value_m=float(t[-1]), push=_pair(ahead))
    return None


def width(fairway: shapely.Geometry, line: FloatArray, at_m: float) -> tuple[Edge, Edge] | None:
    """Left and right edge of the fairway across the line of play, `at_m` along it; None where there is none.

    `value_m` is the side, positive right of the line; of several pieces the one nearest to the line counts,
    within 25 m of it. `push` widens the fairway.
    """
    angle = np.radians(heading_at(line, at_m))
    right = np.array([np.cos(angle), -np.sin(angle)])
    middle = point_at(line, 0.0, at_m)[0]
    cut = shapely.intersection(
        shapely.LineString([middle - _WIDE_M * right, middle + _WIDE_M * right]), fairway
    )
    pieces = []
    for part in shapely.get_parts(cut):
        if part.geom_type == "LineString" and part.length > 4.0:
            s = np.sort((shapely.get_coordinates(part) - middle) @ right)
            pieces.append((float(s[0]), float(s[-1])))
    if not pieces:
        return None
    low, high = min(pieces, key=lambda p: max(p[0], -p[1], 0.0))
    if max(low, -high, 0.0) > 25.0:
        return None
    return (
        Edge(xy=_pair(middle + low * right), value_m=low, push=_pair(-right)),
        Edge(xy=_pair(middle + high * right), value_m=high, push=_pair(right)),
    )


def fairway_of(hole: Hole) -> shapely.Geometry:
    """All fairway of a hole as one geometry, what is painted over it taken out."""
    drawn = [a.shape for a in hole.areas if a.surface == Surface.FAIRWAY]
    over = [
        a.shape for a in hole.areas if a.surface in (Surface.BUNKER, Surface.GREEN) or a.surface.penalty_area
    ]
    whole = shapely.union_all(drawn)
    return shapely.difference(whole, shapely.union_all([*over, hole.green])) if drawn else whole


def origin_at(hole: Hole, xy: tuple[float, float], drawn: Origin) -> Origin:
    """Origin of an edge: that of the number taken there, else that of the outline as drawn.

    Parameters
    ----------
    drawn : Origin
        Of the outline; one that was moved elsewhere was traced here.
    """
    best = [
        m.origin
        for m in hole.measurements
        if m.counts and any(np.hypot(x - xy[0], y - xy[1]) <= MARK_M for x, y in m.marks)
    ]
    order = list(Origin)
    if best:
        return min(best, key=order.index)
    return Origin.TRACED if drawn in (Origin.PACED, Origin.SURVEYED) else drawn


def _end(thing: NamedFeature, line: FloatArray, *, far: bool) -> Edge | None:
    start = line[0]
    path = shapely.LineString(line)
    pick = np.argmax if far else np.argmin
    places: list[FloatArray] = []
    rest = []
    for part in shapely.get_parts(thing.shape):
        met = shapely.get_coordinates(shapely.intersection(path, part)) if thing.cross else np.empty((0, 2))
        if not len(met):
            rest.append(part)
            continue
        along = shapely.line_locate_point(path, shapely.points(met))
        if far and along.max() > path.length - _AT_LIMIT_M:
            return None
        places.append(met[pick(along)])
    # Water across counts where it is crossed; every bunker of a group counts, crossed or not.
    if rest and not (places and thing.kind == "water"):
        beside = _end_beside(shapely.union_all(rest), line, far=far)
        if beside is not None:
            places.append(beside)
    if not places:
        return None
    distance = np.hypot(*(np.vstack(places) - start).T)
    return _straight(start, places[int(pick(distance))])


def _end_beside(shape: shapely.Geometry, line: FloatArray, *, far: bool) -> FloatArray | None:
    """Nearest or farthest place of an outline beside a line of play; None where it runs on out of sight."""
    start = line[0]
    ahead = last_leg(line)[0]
    longer = shapely.LineString(np.vstack((line[:-1], line[-1] + _BEYOND_M * ahead)))
    corridor = shapely.buffer(longer, BESIDE_M, cap_style="flat", join_style="mitre")
    rim = shapely.intersection(shapely.boundary(shape), corridor)
    if rim.is_empty:
        return None
    xy = shapely.get_coordinates(rim) if far else _nearest(rim, start)
    distance = np.hypot(*(xy - start).T)
    place: FloatArray = xy[np.argmax(distance) if far else np.argmin(distance)]
    # Where the corridor cuts the outline nothing ends: the thing runs on.
    cut = shapely.distance(shapely.boundary(corridor), shapely.Point(place)) < _AT_LIMIT_M
    return None if cut else place


def _nearest(rim: shapely.Geometry, start: FloatArray) -> FloatArray:
    line: FloatArray = shapely.get_coordinates(shapely.shortest_line(rim, shapely.Point(start)))[:1]
    return line


def _straight(start: FloatArray, place: FloatArray) -> Edge:
    out = np.asarray(place) - start
    size = float(np.hypot(*out))
    return Edge(xy=_pair(place), value_m=size, push=_pair(out / max(size, 1e-9)))


def _on_leg(xy: tuple[float, float], line: FloatArray) -> Edge:
    ahead, _ = last_leg(line)
    out = np.asarray(xy) - line[0]
    size = float(np.hypot(*out))
    gain = float(out @ ahead) / max(size, 1e-9)
    if gain < 0.2:  # the green is nearly beside: only the straight way makes sense
        return _straight(line[0], np.asarray(xy))
    return Edge(xy=xy, value_m=size, push=_pair(ahead), gain=gain)


def _pair(v: FloatArray) -> tuple[float, float]:
    return (float(v[0]), float(v[1]))
