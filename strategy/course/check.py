"""A check of a course as read: what each hole has, what was assumed or repaired, what is missing, what to do.

The list of what to do is in the order of what can change a plan most (engineering choice): first what decides
where a hole goes (green, line, tee), then what costs strokes (out of bounds, penalty areas, trees near the
line), then numbers that are only traced, then the heights of the ground.
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

# A tee shot or a lay-up comes down at these distances from the back tee, and this near to the line. [m]
_PLAYED_M: Final = (165.0, 300.0)
_NEAR_LINE_M: Final = 32.0
_TREES_M: Final = 25.0
_IN_PLAY_M: Final = 45.0
_LONGEST_WALK: Final = 4
_MEASURED: Final = (Origin.PACED, Origin.SURVEYED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A stated length compared with the length along the line of play.

    Attributes
    ----------
    text : str
        The tag as written.
    stated_m : float
        The stated length. It is taken for yards when `in_yards` is True. [m]
    measured_m : float
        Length of the line from the tee that the tag names, or from the back tee. [m]
    in_yards : bool
        Whether the number names no unit and fits the line in yards only.
    agrees : bool
        Whether the two differ by 6 % or less.
    """

    text: str
    stated_m: float
    measured_m: float
    in_yards: bool
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One number that is worth pacing, in the words of `measurements.csv`, with its traced value. [m]"""

    source: str
    what: str
    traced_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCheck:
    """One hole as read.

    Attributes
    ----------
    length_m : float
        Length along the line of play from `tee`. [m]
    tee : str
        Name of the tee as it follows "from": "the back tee".
    contents : tuple of (str, int)
        What the hole has, and how many of each: ("bunkers", 4).
    green_m : tuple of two floats
        Depth and width of the green. [m]
    lengths : tuple of Length
        The stated lengths.
    findings : tuple of Finding
        The findings on this hole.
    walk : tuple of Walk
        Numbers to pace first, at most four.
    trees : tuple of (str, int)
        Sources of the tree heights, and how many areas have their height from each: ("given", 3).
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
    """One thing to draw, to state or to measure.

    Attributes
    ----------
    holes : tuple of str
        Labels of the holes where it is to be done; empty for all of them.
    """

    text: str
    holes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A whole course as read.

    Attributes
    ----------
    todos : tuple of Todo
        What to do, the most important first.
    lonlat : tuple of two floats
        The middle of the lines of play and greens: longitude, latitude. [°]
    reach_m : tuple of two floats
        Extent of the lines of play and greens, west to east and south to north. [m]
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
    """Read a course and check it.

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
    """Sources of the heights of the trees near the line of play, and how many areas have each."""
    path = shapely.LineString(hole.line)
    words: dict[HeightSource, str] = {
        "measured": "measured",
        "given": "given",
        "class": "by class",
        "assumed": "assumed",
    }
    trees = [a for a in hole.areas if a.surface == Surface.TREES]
    near = Counter(a.height_source for a in trees if shapely.distance(a.shape, path) < _IN_PLAY_M)
    return [(word, near[source]) for source, word in words.items() if near[source]]


def _contents(hole: Hole, holes: Sequence[Hole]) -> list[tuple[str, int]]:
    """What a hole has: its own tees and fairways, and what is near its line of play."""
    path = shapely.LineString(hole.line)
    near = [a for a in hole.areas if shapely.distance(a.shape, path) < _IN_PLAY_M]
    # Tees and greens of other holes are fairway here; they are not counted as fairways.
    tees_and_greens = {tee.fid for h in holes for tee in h.tees}
    tees_and_greens |= {a.fid for h in holes for a in h.areas if a.surface == Surface.GREEN}
    fairways = [a for a in near if a.surface == Surface.FAIRWAY and a.fid not in tees_and_greens]
    others = np.array([shapely.LineString(h.line) for h in holes if h is not hole], dtype=object)
    count = {
        "tees": sum(tee.origin != Origin.ASSUMED for tee in hole.tees),
        "fairways": sum(_is_nearest(area.shape, path, others) for area in fairways),
        "bunkers": sum(a.surface == Surface.BUNKER for a in near),
        "penalty areas": sum(a.surface.penalty_area for a in near),
        "woods or trees": sum(a.surface == Surface.TREES for a in near),
        "landmarks": len(hole.landmarks),
        "numbers walked": sum(m.counts for m in hole.measurements),
        "sight marks": len(hole.sight_marks),
        "drop zones": len(hole.drop_zones),
    }
    return [(word, n) for word, n in count.items() if n]


def _is_nearest(shape: shapely.Geometry, path: shapely.LineString, others: NDArray[np.object_]) -> bool:
    """Whether a line of play runs over a shape, or no other line is nearer to the shape."""
    distance = float(shapely.distance(shape, path))
    return distance == 0.0 or distance <= float(shapely.distance(shape, others).min(initial=np.inf))


def _length(hole: Hole, stated: StatedLength) -> Length | None:
    """Compare a stated length; None when it cannot be read or names a tee that the hole does not have."""
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
    """Traced numbers that matter to a tee shot, a lay-up or an approach, the nearest to the line first."""
    candidates: list[tuple[float, Walk]] = []
    path = shapely.LineString(hole.line)
    for feature in name_features(hole):
        if feature.kind == "trees" or feature.origin in _MEASURED:
            continue
        away = float(shapely.distance(feature.shape, path))
        numbers = feature_numbers(hole, feature, hole.line)
        for word, edge in (("carry", numbers.carry), ("reach", numbers.reach)):
            if edge is None or away > _NEAR_LINE_M or feature.greenside:
                continue
            if hole.par > 3 and _PLAYED_M[0] <= edge.value_m <= _PLAYED_M[1]:
                what = f"{word} {numbers.name}"
                candidates.append((away, Walk(source="tee", what=what, traced_m=edge.value_m)))
                break  # one number for each feature: the number to reach only where there is none to carry
    candidates.sort(key=lambda pair: (pair[0], pair[1].what))
    walk = [one for _, one in candidates][: _LONGEST_WALK - 1]
    if _green_origin(hole) not in _MEASURED:
        if hole.par == 3:
            walk.append(Walk(source="tee", what="front", traced_m=front(hole.green, hole.line).value_m))
        size = green_numbers(hole, hole.line, hole.tees[0].xy).depth_m
        walk.append(Walk(source="", what="depth", traced_m=size))
    return walk


def _green_origin(hole: Hole) -> Origin:
    return next((a.origin for a in hole.areas if a.surface == Surface.GREEN), Origin.ASSUMED)


def _todos(course: Course) -> list[Todo]:
    """What to do, the most important first, each with the holes where it is to be done."""
    holes = course.holes
    open_questions = any(f.kind is FindingKind.QUESTION for f in course.findings)

    def among(test: Callable[[Hole], bool]) -> tuple[str, ...]:
        return tuple(hole.label for hole in holes if test(hole))

    tasks = (
        ("draw the green as an outline", among(lambda h: _green_origin(h) == Origin.ASSUMED)),
        (f"answer what is asked of the course as a whole, {HOW}", among(lambda _: open_questions)),
        (f"answer what is asked by hole, {HOW}", among(_asked)),
        ("draw the tees, or place the markers under [[tees]]", among(_tee_assumed)),
        ("draw the fairway", among(lambda h: h.par > 3 and not _has_fairway(h))),
        (
            "walk out of bounds and draw it as golf=out_of_bounds; until then no ball is out of bounds",
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
        Todo(text=text, holes=() if len(labels) == len(holes) else labels) for text, labels in tasks if labels
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
    assumed = [a for a in hole.areas if a.surface == Surface.TREES and a.height_source == "assumed"]
    return any(shapely.distance(a.shape, path) < _TREES_M for a in assumed)
