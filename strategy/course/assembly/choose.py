"""Chooses one course of a file that holds several.

A hole belongs to the course that it names (`golf:course:name`), or else to the smallest outline
(`leisure=golf_course`) round it, or else to the nearest course within a kilometre. Holes that are far from
all others are courses of their own. The only course of a file is chosen without asking. Of several courses
the user names one: by its name, by the identifier of its outline, or by a place (longitude, latitude:
"2.00,54.50").

Lines of play of other courses near the chosen one stay in the table, because their greens and tees do not
belong to the chosen course. For a course without lines of play only the place shows which greens are its own:
those on its outline or, without an outline, those that are nearest to its other greens.
"""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.course.frame import M_PER_DEG
from strategy.course.model import Feature, FeatureTable, Finding, FindingKind
from strategy.errors import CourseError

APART_M = 1000.0
NEIGHBOUR_M = 400.0
KEEP_M = 1000.0
# Ground so near to the outline of a course without lines of play belongs to the course. A hole is mapped as
# far.
ON_M = 60.0
# A group of holes without a name that is so many times larger than all others together is the course. The
# others are then slips of the pen.
_DOMINANT = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """One course of a table.

    Attributes
    ----------
    table : FeatureTable
        The features of the course and of what is near it.
    name : str
        Name of the course in the file; "" when it has none.
    key : str
        A text that chooses the same course again: its name, its outline, or a place.
    neighbours : tuple of (str, str)
        Lines of play of other courses that stay in the table: the identifier, and the name of the course.
    findings : tuple of Finding
        What was left out.
    """

    table: FeatureTable
    name: str
    key: str = ""
    neighbours: tuple[tuple[str, str], ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(slots=True)
class _Candidate:
    """A course of the file: indices of its outline, lines and greens, and a place of it (lon, lat). [°]"""

    name: str
    outline: int | None = None
    lines: list[int] = dataclasses.field(default_factory=list)
    greens: list[int] = dataclasses.field(default_factory=list)
    at: tuple[float, float] = (0.0, 0.0)

    def title(self, table: FeatureTable) -> str:
        """The course in words, for lists in messages."""
        contents = (
            f"{len(self.lines)} hole{'s' if len(self.lines) != 1 else ''}"
            if self.lines
            else f"no lines of play, {len(self.greens)} green{'s' if len(self.greens) != 1 else ''}"
        )
        outline = "" if self.outline is None else f", {table.features[self.outline].fid}"
        place = f"{self.at[0]:.4f},{self.at[1]:.4f}"
        return f"{self.name or 'unnamed'} ({contents} at {place}{outline})"


def choose(table: FeatureTable, wanted: str = "", likely: str = "", keep: Collection[str] = ()) -> Chosen:
    """Choose one course of a table.

    Parameters
    ----------
    table : FeatureTable
        The features as read.
    wanted : str
        The course that the user asks for; "" when the user does not say.
    likely : str
        A name that decides between several courses if one of them has it.
    keep : collection of str
        Identifiers of features that stay wherever they are, because course.toml names them.

    Raises
    ------
    CourseError
        If the table holds several courses and `wanted` is empty, or if no course fits `wanted`. The message
        lists the courses.
    """
    courses = _courses(table)
    if not courses:
        return Chosen(table=table, name="")
    findings: list[Finding] = []
    course = _pick(table, courses, wanted, likely, findings)
    return _select(table, courses, course, keep, findings)


def _pick(
    table: FeatureTable, courses: list[_Candidate], wanted: str, likely: str, findings: list[Finding]
) -> _Candidate:
    """The course that is wanted, or likely, or the only one that can be meant."""
    listed = "; ".join(course.title(table) for course in courses[:12])
    listed += f"; and {len(courses) - 12} more" if len(courses) > 12 else ""
    if wanted:
        matching = _matching(table, courses, wanted)
        if len(matching) == 1:
            return matching[0]
        if not matching and len(courses) == 1 and not courses[0].name:
            text = f"the one course of the file has no name: taken for {wanted!r}"
            findings.append(Finding(kind=FindingKind.ASSUMED, text=text))
            return dataclasses.replace(courses[0], name=wanted)
        wrong = f"{len(matching)} courses fit {wanted!r}" if matching else f"there is no course {wanted!r}"
        mend = "Give one of these names, its outline, or its place"
        raise CourseError(table.file, "", f"{wrong}; it holds: {listed}", mend)
    with_lines = [course for course in courses if course.lines] or courses
    if len(with_lines) > 1 and likely:
        matching = _matching(table, with_lines, likely)
        if len(matching) == 1:
            return matching[0]
    largest = max(with_lines, key=lambda course: len(course.lines))
    others = [course for course in with_lines if course is not largest]
    if not others:
        if without_lines := [course for course in courses if course is not largest]:
            titles = "; ".join(course.title(table) for course in without_lines[:5])
            text = f"courses without lines of play are left out: {titles}"
            findings.append(Finding(kind=FindingKind.IGNORED, text=text))
        return largest
    other_holes = sum(len(course.lines) for course in others)
    is_dominant = len(largest.lines) >= _DOMINANT * max(other_holes, 1)
    if is_dominant and not any(course.name or course.outline is not None for course in others):
        fids = ", ".join(table.features[i].fid for course in others for i in course.lines[:3])
        text = f"{fids}: more than {APART_M / 1000.0:.0f} km from the other holes; left out"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
        return largest
    raise CourseError(
        table.file,
        "",
        f"holds {len(with_lines)} courses: {listed}",
        'Say which: --course "NAME", or course = "NAME" in course.toml; an outline or a place will do too',
    )


def _matching(table: FeatureTable, courses: Sequence[_Candidate], wanted: str) -> list[_Candidate]:
    """Courses with a name or an outline, or else at a place, or else with a name that contains the text."""
    text = wanted.casefold().strip()
    exact = [c for c in courses if c.name.casefold() == text]
    exact = exact or [
        c for c in courses if c.outline is not None and table.features[c.outline].fid.casefold() == text
    ]
    if exact:
        return exact
    if place := re.fullmatch(r"(-?\d+(?:\.\d+)?)\s*[,;]\s*(-?\d+(?:\.\d+)?)", text):
        lon, lat = float(place[1]), float(place[2])
        away = [_distance((lon, lat), course.at) for course in courses]
        nearest = int(np.argmin(away))
        return [courses[nearest]] if away[nearest] < 5.0 * APART_M else []
    return [course for course in courses if text and text in course.name.casefold()]


def _courses(table: FeatureTable) -> list[_Candidate]:
    """All courses of a table in file order, those with an outline first."""
    features = table.features
    lines = [
        i
        for i, f in enumerate(features)
        if "hole" in f.tags.get("golf", "").split(";") and f.geometry.geom_type.endswith("LineString")
    ]
    outlines = [
        i
        for i, f in enumerate(features)
        if f.tags.get("leisure") == "golf_course" and f.geometry.geom_type.endswith("Polygon")
    ]
    greens = [i for i, f in enumerate(features) if f.tags.get("golf") == "green"]
    plane = _LocalPlane(features, [*lines, *outlines, *greens])
    outline_of = _outline_round(plane, lines, outlines)
    courses: dict[object, _Candidate] = {
        i: _Candidate(name=features[i].tags.get("name", ""), outline=i) for i in outlines
    }
    unassigned: list[int] = []  # lines that name no course and have no outline round them
    divided = set[int | None]()  # outlines round lines that name their course
    for i in lines:
        name = features[i].tags.get("golf:course:name", "").strip()
        if name:
            key: object = next((k for k in outlines if features[k].tags.get("name") == name), name)
            courses.setdefault(key, _Candidate(name=name)).lines.append(i)
            divided.add(outline_of[i])
        elif outline_of[i] is not None:
            courses[outline_of[i]].lines.append(i)
        else:
            unassigned.append(i)
    for number, cluster in enumerate(_clusters([plane.shapes[i] for i in unassigned])):
        members = [unassigned[k] for k in cluster]
        nearest = _nearest_course(plane, courses, members)
        if nearest is None:
            courses["lines", number] = _Candidate(name="", lines=members)
        else:
            courses[nearest].lines += members
    without_outline = []
    for i, outline in _outline_round(plane, greens, outlines).items():
        # An outline round holes that name their courses is no course of its own.
        if outline is not None and outline not in divided:
            courses[outline].greens.append(i)
        elif outline is None:
            without_outline.append(i)
    if not lines:
        for number, cluster in enumerate(_clusters([plane.shapes[i] for i in without_outline])):
            courses["greens", number] = _Candidate(name="", greens=[without_outline[k] for k in cluster])
    candidates = [course for course in courses.values() if course.lines or course.greens]
    for course in candidates:
        members = course.lines or ([course.outline] if course.outline is not None else course.greens)
        middle = shapely.centroid(shapely.union_all([plane.shapes[i] for i in members]))
        x, y = shapely.get_coordinates(middle)[0]
        course.at = plane.lonlat(float(x), float(y))
    return candidates


def _nearest_course(
    plane: _LocalPlane, courses: Mapping[object, _Candidate], lines: Sequence[int]
) -> object | None:
    """Key of the course whose lines are nearest to some lines, within a kilometre; None for none."""
    shape = shapely.union_all([plane.shapes[i] for i in lines])
    distance = {
        key: float(shapely.distance(shape, shapely.union_all([plane.shapes[i] for i in course.lines])))
        for key, course in courses.items()
        if course.lines
    }
    nearest = min(distance, key=lambda key: distance[key], default=None)
    return nearest if nearest is not None and distance[nearest] <= APART_M else None


class _LocalPlane:
    """Some features on a plane that is good enough for distances of a kilometre. [m]

    Parameters
    ----------
    features : sequence of Feature
        All features of the table.
    wanted : sequence of int
        Indices of the features that are needed; `shapes` has their geometry by index.
    """

    def __init__(self, features: Sequence[Feature], wanted: Sequence[int]) -> None:
        points = [shapely.get_coordinates(features[i].geometry)[0] for i in wanted] or [np.zeros(2)]
        self.lon0 = float(points[0][0])
        self.east_west = math.cos(math.radians(float(np.median([p[1] for p in points]))))
        self.shapes = {
            i: shapely.make_valid(shapely.transform(shapely.force_2d(features[i].geometry), self.xy))
            for i in wanted
        }

    def xy(self, lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
        """Longitude, latitude (K, 2) to east, north (K, 2). [° -> m]"""
        # Longitudes of neighbours on two sides of the antimeridian differ by 359 degrees.
        east = (lonlat[:, 0] - self.lon0 + 180.0) % 360.0 - 180.0
        return np.column_stack((east * M_PER_DEG * self.east_west, lonlat[:, 1] * M_PER_DEG))

    def lonlat(self, x: float, y: float) -> tuple[float, float]:
        """East and north to longitude and latitude. [m -> °]"""
        lon = x / (M_PER_DEG * self.east_west) + self.lon0
        return (lon + 180.0) % 360.0 - 180.0, y / M_PER_DEG


def _outline_round(
    plane: _LocalPlane, features: Sequence[int], outlines: Sequence[int]
) -> dict[int, int | None]:
    """The smallest outline round the middle of each feature; None for none."""
    result: dict[int, int | None] = dict.fromkeys(features)
    if not outlines or not features:
        return result
    middles = [
        shape.interpolate(0.5, normalized=True)
        if (shape := plane.shapes[i]).geom_type == "LineString"
        else shapely.point_on_surface(shape)
        for i in result
    ]
    tree = shapely.STRtree(middles)
    keys = list(result)
    # From the largest outline to the smallest, so that the smallest is kept.
    for outline in sorted(outlines, key=lambda i: plane.shapes[i].area)[::-1]:
        for position in tree.query(plane.shapes[outline], predicate="covers"):
            result[keys[int(position)]] = outline
    return result


def _clusters(shapes: Sequence[shapely.Geometry]) -> list[list[int]]:
    """Indices of shapes in groups that are farther apart than `APART_M`."""
    if not shapes:
        return []
    parent = list(range(len(shapes)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=APART_M)
    for a, b in pairs.T:
        parent[max(root(int(a)), root(int(b)))] = min(root(int(a)), root(int(b)))
    clusters: dict[int, list[int]] = {}
    for i in range(len(shapes)):
        clusters.setdefault(root(i), []).append(i)
    return list(clusters.values())


def _select(
    table: FeatureTable,
    courses: Sequence[_Candidate],
    course: _Candidate,
    keep: Collection[str],
    findings: list[Finding],
) -> Chosen:
    """Keep only what is near the chosen course; of other courses keep only the lines of play nearby."""
    features = table.features
    plane = _LocalPlane(features, range(len(features)))
    away = _distances(plane, course, len(features))
    other_course_of = {i: other for other in courses if other.lines != course.lines for i in other.lines}
    # When this is the only course of the file, golf features far from it are kept, and assembly reports them.
    is_only = sum(bool(other.lines) for other in courses) <= 1 if course.lines else len(courses) == 1
    on_others = set[int]() if course.lines else _on_other_courses(plane, features, courses, course)
    reach = KEEP_M if course.lines or course.outline is None else ON_M
    kept: list[Feature] = []
    neighbours: list[tuple[str, str]] = []
    left_out = 0  # features without a golf tag
    for i, feature in enumerate(features):
        if feature.fid in keep:
            kept.append(feature)
        elif i in other_course_of:
            if away[i] <= NEIGHBOUR_M:
                kept.append(feature)
                neighbours.append((feature.fid, other_course_of[i].name or "another course"))
        elif i not in on_others and (
            away[i] <= reach or (is_only and course.lines and "golf" in feature.tags)
        ):
            kept.append(feature)
        elif "golf" not in feature.tags:
            left_out += 1
    if left_out:
        far = (
            f"{KEEP_M / 1000.0:.0f} km from the holes" if reach == KEEP_M else f"{ON_M:.0f} m from the course"
        )
        text = f"{left_out} features lie more than {far}; left out"
        findings.append(Finding(kind=FindingKind.IGNORED, text=text))
    if not is_only:
        others = [
            other.title(table)
            for other in courses
            if other is not course and (other.lines or not course.lines) and _differ(other, course)
        ]
        text = f"other courses in the file are left out: {'; '.join(others[:5])}"
        findings.append(Finding(kind=FindingKind.IGNORED, text=text))
    return Chosen(
        table=dataclasses.replace(table, features=tuple(kept)),
        name=course.name,
        key=_key(table, courses, course),
        neighbours=tuple(neighbours),
        findings=tuple(findings),
    )


def _differ(one: _Candidate, other: _Candidate) -> bool:
    """Whether two candidates are two courses. The chosen one may be a copy with another name."""
    return (one.lines, one.outline, one.greens) != (other.lines, other.outline, other.greens)


def _distances(plane: _LocalPlane, course: _Candidate, count: int) -> NDArray[np.float64]:
    """Distances of the first `count` features from the lines and outline of a course, or its greens. [m]"""
    own = [plane.shapes[i] for i in course.lines]
    own += [] if course.outline is None else [plane.shapes[course.outline]]
    core = shapely.union_all(own or [plane.shapes[i] for i in course.greens])
    shapely.prepare(core)
    shapes = np.array([plane.shapes[i] for i in range(count)], dtype=object)
    distances: NDArray[np.float64] = shapely.distance(core, shapes)
    return distances


def _on_other_courses(
    plane: _LocalPlane, features: Sequence[Feature], courses: Sequence[_Candidate], course: _Candidate
) -> set[int]:
    """Golf features that belong to other courses than one without lines of play.

    A feature belongs to the course of the smallest outline round it. If the course has no outline, a feature
    that is nearer to another course belongs to that course.
    """
    golf = [i for i, f in enumerate(features) if "golf" in f.tags]
    others = [other for other in courses if _differ(other, course)]
    outlines = [c.outline for c in (*others, course) if c.outline is not None]
    outline_of = _outline_round(plane, golf, outlines)
    result = {i for i, outline in outline_of.items() if outline is not None and outline != course.outline}
    if course.outline is None and others:
        own = _distances(plane, course, len(features))
        nearest_other = np.min([_distances(plane, other, len(features)) for other in others], axis=0)
        result |= set(np.flatnonzero(nearest_other < own).tolist())
    return result


def _key(table: FeatureTable, courses: Sequence[_Candidate], course: _Candidate) -> str:
    """A text that chooses a course again: its name if only one course matches, its outline, or its place."""
    if course.name and len(_matching(table, courses, course.name)) == 1:
        return course.name
    if course.outline is not None:
        return table.features[course.outline].fid
    return f"{course.at[0]:.5f},{course.at[1]:.5f}"


def _distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Distance between two places in longitude and latitude. [m]"""
    east = ((a[0] - b[0] + 180.0) % 360.0 - 180.0) * math.cos(math.radians(a[1]))
    return math.hypot(east, a[1] - b[1]) * M_PER_DEG
