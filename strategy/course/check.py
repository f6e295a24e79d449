"""What stands on a course as read, hole by hole: found, assumed, repaired, missing; and what to do first.

The order of what to draw or measure is by what it can change in a plan (engineering choice): first what
decides where the hole goes (its green, its line, its tee), then what costs strokes (out of bounds, penalty
areas, trees in the way), then numbers that are only traced, then the ground.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.course.assembly.answers import HOW
from strategy.course.assembly.assemble import read_course
from strategy.course.edges import front, the_tee
from strategy.course.model import Course, Finding, FindingKind, HeightSource, Hole
from strategy.course.named_features import BESIDE_M, name_features
from strategy.course.numbers import feature_numbers
from strategy.course.origin import Origin
from strategy.course.pins import green_numbers
from strategy.course.playline import along_side, line_length
from strategy.course.stated import CLOSE, StatedLength, looks_yards
from strategy.units import YARD_M

# Where a tee shot or a lay-up may meet an edge, from the back tee, and how near the line. [m]
_PLAYED_M: Final = (165.0, 300.0)
_NEAR_LINE_M: Final = 32.0
_TREES_M: Final = 25.0
_IN_PLAY_M: Final = 45.0
_WALK: Final = 4
_DONE: Final = (Origin.PACED, Origin.SURVEYED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A stated length beside the length along the line of play.

    Attributes
    ----------
    stated_m : float
        As meant: in yards when only that fits. [m]
    measured_m : float
        From the tee it names, the back tee when it names none. [m]
    in_yards : bool
        The number names no unit, and fits in yards only.
    agrees : bool
        Within 6 %.
    """

    text: str
    stated_m: float
    measured_m: float
    in_yards: bool
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One number worth pacing on a hole, as `measurements.csv` names it, with its traced value. [m]"""

    source: str
    what: str
    traced_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCheck:
    """One hole as read.

    Attributes
    ----------
    tee : str
        The tee that `length_m` is from, as said behind "from".
    contents : tuple of (str, int)
        What stands on it, and how many: ("bunkers", 4).
    green_m : tuple of two floats
        Depth and width of the green. [m]
    lengths : tuple of Length
        StatedLength lengths; empty when none is.
    trees : tuple of (str, int)
        Where the heights of those woods and trees come from, and of how many: ("given", 3).
    findings : tuple of Finding
        Of this hole.
    walk : tuple of Walk
        Numbers to pace first, at most four.
    """

    label: str
    name: str
    par: int
    par_assumed: bool
    length_m: float
    tee: str
    contents: tuple[tuple[str, int], ...]
    green_m: tuple[float, float]
    lengths: tuple[Length, ...]
    findings: tuple[Finding, ...]
    walk: tuple[Walk, ...]
    trees: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Todo:
    """One thing to draw, say or measure: first things first.

    Attributes
    ----------
    holes : tuple of str
        Labels; empty for the whole course.
    """

    text: str
    holes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A whole course as read.

    Attributes
    ----------
    lonlat : tuple of two floats
        The middle of its lines of play and greens: longitude, latitude. [°]
    reach_m : tuple of two floats
        How far these reach, west to east and south to north. [m]
    """

    course: Course
    holes: tuple[HoleCheck, ...]
    todos: tuple[Todo, ...]
    lonlat: tuple[float, float]
    reach_m: tuple[float, float]


def check_course(
    path: str | Path,
    name: str | None = None,
    crs: str | None = None,
    layers: Mapping[str, str] | None = None,
) -> Check:
    """Read a course and say what stands on it.

    Parameters
    ----------
    path, name, crs, layers
        As `read_course`.

    Raises
    ------
    CourseError, InputErrors
        As `read_course`.
    """
    course = read_course(path, name, crs, layers)
    shapes = [shape for hole in course.holes for shape in (shapely.LineString(hole.line), hole.green)]
    west, south, east, north = shapely.total_bounds(shapes)
    lon, lat = course.frame.to_lonlat([((west + east) / 2.0, (south + north) / 2.0)])[0]
    return Check(
        lonlat=(float(lon), float(lat)),
        reach_m=(float(east - west), float(north - south)),
        course=course,
        holes=tuple(_hole(hole, course.holes) for hole in course.holes),
        todos=tuple(_todos(course)),
    )


def _hole(hole: Hole, holes: Sequence[Hole]) -> HoleCheck:
    green = green_numbers(hole, hole.line, hole.tees[0].xy)
    return HoleCheck(
        label=hole.label,
        name=hole.name,
        par=hole.par,
        par_assumed=hole.par_assumed,
        length_m=line_length(hole.line),
        tee=the_tee(hole.tees[0].name),
        contents=tuple(_contents(hole, holes)),
        green_m=(green.depth_m, green.width_m),
        lengths=tuple(one for stated in hole.stated_lengths if (one := _length(hole, stated)) is not None),
        findings=hole.findings,
        walk=tuple(_walk(hole)),
        trees=tuple(_trees(hole)),
    )


def _trees(hole: Hole) -> list[tuple[str, int]]:
    """Of the woods and trees within reach of the line of play: where their heights come from."""
    path = shapely.LineString(hole.line)
    words: dict[HeightSource, str] = {
        "measured": "measured",
        "given": "given",
        "class": "by class",
        "assumed": "assumed",
    }
    woods = [a for a in hole.areas if a.surface == Surface.TREES]
    near = Counter(a.height_source for a in woods if shapely.distance(a.shape, path) < _IN_PLAY_M)
    return [(word, near[said]) for said, word in words.items() if near[said]]


def _contents(hole: Hole, holes: Sequence[Hole]) -> list[tuple[str, int]]:
    """What a hole has of its own: its fairways, and the trouble within reach of its line of play."""
    path = shapely.LineString(hole.line)
    near = [a for a in hole.areas if shapely.distance(a.shape, path) < _IN_PLAY_M]
    cut = {tee.fid for h in holes for tee in h.tees}
    cut |= {a.fid for h in holes for a in h.areas if a.surface == Surface.GREEN}
    fairways = [a for a in near if a.surface == Surface.FAIRWAY and a.fid not in cut]
    others = np.array([shapely.LineString(h.line) for h in holes if h is not hole], dtype=object)
    count = {
        "tees": sum(tee.origin != Origin.ASSUMED for tee in hole.tees),
        "fairways": sum(_own(area.shape, path, others) for area in fairways),
        "bunkers": sum(a.surface == Surface.BUNKER for a in near),
        "penalty areas": sum(a.surface.penalty_area for a in near),
        "woods or trees": sum(a.surface == Surface.TREES for a in near),
        "landmarks": len(hole.landmarks),
        "numbers walked": sum(m.counts for m in hole.measurements),
        "sight marks": len(hole.sight_marks),
        "drop zones": len(hole.drop_zones),
    }
    return [(word, n) for word, n in count.items() if n]


def _own(shape: shapely.Geometry, path: shapely.LineString, others: NDArray[np.object_]) -> bool:
    """Whether a fairway is this hole's: its line of play runs over it, or no other line is nearer."""
    mine = float(shapely.distance(shape, path))
    return mine == 0.0 or mine <= float(shapely.distance(shape, others).min(initial=np.inf))


def _length(hole: Hole, stated: StatedLength) -> Length | None:
    if stated.value_m is None:
        return None
    start = 0.0
    if stated.tee:
        tees = [tee for tee in hole.tees if tee.name.casefold() == stated.tee.casefold()]
        if not tees:
            return None
        start = float(along_side(hole.line, tees[0].xy)[0, 1])
    measured = line_length(hole.line) - start
    in_yards = looks_yards(stated, measured)
    value = stated.value_m * (YARD_M if in_yards else 1.0)
    return Length(
        text="dist" + (f":{stated.tee}" if stated.tee else "") + f"={stated.text}",
        stated_m=value,
        measured_m=measured,
        in_yards=in_yards,
        agrees=abs(value / measured - 1.0) <= CLOSE,
    )


def _walk(hole: Hole) -> list[Walk]:
    """Traced numbers that a tee shot, a lay-up or an approach can meet, nearest to the line first."""
    found: list[tuple[float, Walk]] = []
    path = shapely.LineString(hole.line)
    for thing in name_features(hole):
        if thing.kind == "trees" or thing.origin in _DONE:
            continue
        off = float(shapely.distance(thing.shape, path))
        said = feature_numbers(hole, thing, hole.line)
        for word, edge in (("carry", said.carry), ("reach", said.reach)):
            if edge is None or off > _NEAR_LINE_M or thing.greenside:
                continue
            if hole.par > 3 and _PLAYED_M[0] <= edge.value_m <= _PLAYED_M[1]:
                found.append((off, Walk(source="tee", what=f"{word} {said.name}", traced_m=edge.value_m)))
                break  # one number a thing: to carry it, or to reach it when nobody can see its far edge
    walk = [one for _, one in sorted(found, key=lambda pair: (pair[0], pair[1].what))][: _WALK - 1]
    if _green_origin(hole) not in _DONE:
        if hole.par == 3:
            walk.append(Walk(source="tee", what="front", traced_m=front(hole.green, hole.line).value_m))
        size = green_numbers(hole, hole.line, hole.tees[0].xy).depth_m
        walk.append(Walk(source="", what="depth", traced_m=size))
    return walk


def _green_origin(hole: Hole) -> Origin:
    return next((a.origin for a in hole.areas if a.surface == Surface.GREEN), Origin.ASSUMED)


def _todos(course: Course) -> list[Todo]:
    """Everything to do, weightiest first; each with the holes it concerns."""
    holes = course.holes
    open_questions = any(f.kind is FindingKind.QUESTION for f in course.findings)

    def among(test: Callable[[Hole], bool]) -> tuple[str, ...]:
        return tuple(hole.label for hole in holes if test(hole))

    rows = (
        ("draw the green as an outline", among(lambda h: _green_origin(h) == Origin.ASSUMED)),
        (f"answer what is asked of the course as a whole, {HOW}", among(lambda _: open_questions)),
        (f"answer what is asked by hole, {HOW}", among(_asked)),
        ("draw the tees, or place the markers under [[tees]]", among(_tee_assumed)),
        ("draw the fairway", among(lambda h: h.par > 3 and not _has_fairway(h))),
        (
            "walk out of bounds and draw it as golf=out_of_bounds; until then nothing is counted out",
            among(lambda h: h.out_of_bounds is None),
        ),
        ("say under [penalty_areas] which are yellow", among(_colour_unknown)),
        ("judge the trees within 27 yd of the line, under [tree_heights]", among(_height_unknown)),
        ("pace the numbers listed by hole, into measurements.csv", among(lambda h: bool(_walk(h)))),
        (
            "say how the greens fall, or give a height model",
            among(lambda h: h.sketch is None and h.heights is None),
        ),
        ("draw the rough or first cut where it begins", among(lambda h: not h.rough_known)),
        ("state the card's lengths as dist, to check the lines", among(lambda h: not h.stated_lengths)),
        ("state par", among(lambda h: h.par_assumed)),
    )
    return [
        Todo(text=text, holes=() if len(labels) == len(holes) else labels) for text, labels in rows if labels
    ]


def _asked(hole: Hole) -> bool:
    return any(f.kind is FindingKind.QUESTION for f in hole.findings)


def _tee_assumed(hole: Hole) -> bool:
    return all(tee.origin == Origin.ASSUMED for tee in hole.tees)


def _has_fairway(hole: Hole) -> bool:
    return not any("no fairway is drawn" in f.text for f in hole.findings)


def _colour_unknown(hole: Hole) -> bool:
    path = shapely.LineString(hole.line)
    return any(
        a.surface.penalty_area and not a.colour_known and shapely.distance(a.shape, path) < BESIDE_M
        for a in hole.areas
    )


def _height_unknown(hole: Hole) -> bool:
    path = shapely.LineString(hole.line)
    guessed = [a for a in hole.areas if a.surface == Surface.TREES and a.height_source == "assumed"]
    return any(shapely.distance(a.shape, path) < _TREES_M for a in guessed)
