"""Which course of a file is meant, when it holds several.

A hole belongs to the course it names (`golf:course:name`), else to the smallest outline
(`leisure=golf_course`) that it lies in, else to the course nearest to it within a kilometre; holes apart
from everything make courses of their own. One course is taken without asking. Among several somebody
must say: by name, by the identifier of the outline, or by a place (longitude, latitude: "2.00,54.50").

Lines of play of a neighbouring course stay as far as they matter: their greens and tees are not ours. Of a
course without lines of play nothing says whose a green is but where it lies: only what lies on its outline
stays, or, where no outline is drawn either, what is nearest to its greens.
"""

from __future__ import annotations

import dataclasses
import math
import re
from collections import Counter
from collections.abc import Collection, Sequence
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
# So far round the outline of a course without lines of play the ground is still its own, as a hole is mapped.
ON_M = 60.0
# A cluster this many times larger than all others together is the course, the rest slips of the pen.
_DOMINANT = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """One course of a table.

    Attributes
    ----------
    name : str
        As the file calls it; "" when it does not.
    key : str
        What chooses it again in this table: its name, outline, or place.
    neighbours : tuple of (str, str)
        Lines of play of other courses that stay in the table: identifier, name of their course.
    """

    table: FeatureTable
    name: str
    key: str = ""
    neighbours: tuple[tuple[str, str], ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(slots=True)
class _Candidate:
    name: str
    outline: int | None = None
    lines: list[int] = dataclasses.field(default_factory=list)
    greens: list[int] = dataclasses.field(default_factory=list)
    at: tuple[float, float] = (0.0, 0.0)

    def title(self, table: FeatureTable) -> str:
        held = (
            f"{len(self.lines)} hole{'s' if len(self.lines) != 1 else ''}"
            if self.lines
            else f"no lines of play, {len(self.greens)} green{'s' if len(self.greens) != 1 else ''}"
        )
        outline = "" if self.outline is None else f", {table.features[self.outline].fid}"
        place = f"{self.at[0]:.4f},{self.at[1]:.4f}"
        return f"{self.name or 'unnamed'} ({held} at {place}{outline})"


def choose(table: FeatureTable, wanted: str = "", likely: str = "", keep: Collection[str] = ()) -> Chosen:
    """The table of one course.

    Parameters
    ----------
    table : FeatureTable
        What a reader gave.
    wanted : str
        What somebody asked for; "" when nobody did.
    likely : str
        A name that decides among several when it fits, and is no fault when it does not.
    keep : collection of str
        Features that stay wherever they lie: course.toml names them.

    Raises
    ------
    CourseError
        If there are several and nobody says which, or what was asked for is not there; the message
        lists what there is.
    """
    groups = _groups(table)
    if not groups:
        return Chosen(table=table, name="")
    findings: list[Finding] = []
    group = _pick(table, groups, wanted, likely, findings)
    return _cut(table, groups, group, keep, findings)


def _pick(
    table: FeatureTable, groups: list[_Candidate], wanted: str, likely: str, findings: list[Finding]
) -> _Candidate:
    listed = "; ".join(group.title(table) for group in groups[:12])
    listed += f"; and {len(groups) - 12} more" if len(groups) > 12 else ""
    if wanted:
        found = _matching(table, groups, wanted)
        if len(found) == 1:
            return found[0]
        if not found and len(groups) == 1 and not groups[0].name:
            text = f"the one course of the file has no name: taken for {wanted!r}"
            findings.append(Finding(kind=FindingKind.ASSUMED, text=text))
            return dataclasses.replace(groups[0], name=wanted)
        met = f"{len(found)} courses fit {wanted!r}" if found else f"there is no course {wanted!r}"
        raise CourseError(
            table.file, "", f"{met}; it holds: {listed}", "Give one of these names, its outline, or its place"
        )
    played = [group for group in groups if group.lines] or groups
    if len(played) > 1 and likely:
        found = _matching(table, played, likely)
        if len(found) == 1:
            return found[0]
    largest = max(played, key=lambda group: len(group.lines))
    others = [group for group in played if group is not largest]
    if not others:
        bare = [group for group in groups if group is not largest]
        if bare:
            text = (
                f"courses without lines of play are left out: {'; '.join(g.title(table) for g in bare[:5])}"
            )
            findings.append(Finding(kind=FindingKind.IGNORED, text=text))
        return largest
    stray = sum(len(group.lines) for group in others)
    if not any(group.name or group.outline is not None for group in others) and len(
        largest.lines
    ) >= _DOMINANT * max(stray, 1):
        fids = ", ".join(table.features[i].fid for group in others for i in group.lines[:3])
        text = f"{fids}: more than {APART_M / 1000.0:.0f} km from the other holes; left out"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
        return largest
    raise CourseError(
        table.file,
        "",
        f"holds {len(played)} courses: {listed}",
        'Say which: --course "NAME", or course = "NAME" in course.toml; an outline or a place will do too',
    )


def _matching(table: FeatureTable, groups: Sequence[_Candidate], wanted: str) -> list[_Candidate]:
    """Groups of that name or outline, else the one at that place, else those whose name holds it."""
    sought = wanted.casefold().strip()
    found = [group for group in groups if group.name.casefold() == sought]
    found = found or [
        g for g in groups if g.outline is not None and table.features[g.outline].fid.casefold() == sought
    ]
    if found:
        return found
    if place := re.fullmatch(r"(-?\d+(?:\.\d+)?)\s*[,;]\s*(-?\d+(?:\.\d+)?)", sought):
        lon, lat = float(place[1]), float(place[2])
        away = [_distance((lon, lat), group.at) for group in groups]
        nearest = int(np.argmin(away))
        return [groups[nearest]] if away[nearest] < 5.0 * APART_M else []
    return [group for group in groups if sought and sought in group.name.casefold()]


def _groups(table: FeatureTable) -> list[_Candidate]:
    """Courses in file order, those with an outline first."""
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
    flat = _Flat(features, [*lines, *outlines, *greens])
    inside = _inside(flat, lines, outlines)
    groups: dict[object, _Candidate] = {
        i: _Candidate(name=features[i].tags.get("name", ""), outline=i) for i in outlines
    }
    loose, parted = [], set[int | None]()
    for i in lines:
        called = features[i].tags.get("golf:course:name", "").strip()
        if called:
            key: object = next((k for k in outlines if features[k].tags.get("name") == called), called)
            groups.setdefault(key, _Candidate(name=called)).lines.append(i)
            parted.add(inside[i])
        elif inside[i] is not None:
            groups[inside[i]].lines.append(i)
        else:
            loose.append(i)
    for number, cluster in enumerate(_clusters([flat.shape[i] for i in loose])):
        members = [loose[k] for k in cluster]
        mine = shapely.union_all([flat.shape[i] for i in members])
        away = {
            key: float(shapely.distance(mine, shapely.union_all([flat.shape[i] for i in group.lines])))
            for key, group in groups.items()
            if group.lines
        }
        near = min(away, key=lambda key: away[key], default=None)
        if near is not None and away[near] <= APART_M:
            groups[near].lines += members
        else:
            groups["loose", number] = _Candidate(name="", lines=members)
    free = []
    for i, where in _inside(flat, greens, outlines).items():
        # An outline round courses that its holes name is no course beside them.
        if where is not None and where not in parted:
            groups[where].greens.append(i)
        elif where is None:
            free.append(i)
    if not lines:
        for number, cluster in enumerate(_clusters([flat.shape[i] for i in free])):
            groups["free", number] = _Candidate(name="", greens=[free[k] for k in cluster])
    found = [group for group in groups.values() if group.lines or group.greens]
    for group in found:
        at = group.lines or ([group.outline] if group.outline is not None else group.greens)
        x, y = shapely.get_coordinates(shapely.centroid(shapely.union_all([flat.shape[i] for i in at])))[0]
        group.at = flat.lonlat(float(x), float(y))
    return found


class _Flat:
    """Features on a plane good enough to tell a kilometre: degrees, longitudes narrowed. [m]"""

    def __init__(self, features: Sequence[Feature], wanted: Sequence[int]) -> None:
        points = [shapely.get_coordinates(features[i].geometry)[0] for i in wanted] or [np.zeros(2)]
        self.lon0 = float(points[0][0])
        self.narrow = math.cos(math.radians(float(np.median([p[1] for p in points]))))
        self.shape = {
            i: shapely.make_valid(shapely.transform(shapely.force_2d(features[i].geometry), self.xy))
            for i in wanted
        }

    def xy(self, lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
        # Across the antimeridian a neighbour may be 359 degrees away by the numbers.
        east = (lonlat[:, 0] - self.lon0 + 180.0) % 360.0 - 180.0
        return np.column_stack((east * M_PER_DEG * self.narrow, lonlat[:, 1] * M_PER_DEG))

    def lonlat(self, x: float, y: float) -> tuple[float, float]:
        lon = x / (M_PER_DEG * self.narrow) + self.lon0
        return (lon + 180.0) % 360.0 - 180.0, y / M_PER_DEG


def _inside(flat: _Flat, things: Sequence[int], outlines: Sequence[int]) -> dict[int, int | None]:
    """The smallest outline round the middle of each thing."""
    by_size = sorted(outlines, key=lambda i: flat.shape[i].area)
    middles = {i: shapely.point_on_surface(flat.shape[i]) for i in things}
    for i in things:
        if flat.shape[i].geom_type == "LineString":
            middles[i] = flat.shape[i].interpolate(0.5, normalized=True)
    if not by_size or not things:
        return dict.fromkeys(things)
    tree = shapely.STRtree(list(middles.values()))
    found: dict[int, int | None] = dict.fromkeys(things)
    keys = list(middles)
    for outline in reversed(by_size):  # the smallest has the last word
        for place in tree.query(flat.shape[outline], predicate="covers"):
            found[keys[int(place)]] = outline
    return found


def _clusters(shapes: Sequence[shapely.Geometry]) -> list[list[int]]:
    """Places in the list, grouped so that groups are further apart than `APART_M`."""
    if not shapes:
        return []
    root = list(range(len(shapes)))

    def top(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=APART_M)
    for a, b in pairs.T:
        root[max(top(int(a)), top(int(b)))] = min(top(int(a)), top(int(b)))
    found: dict[int, list[int]] = {}
    for i in range(len(shapes)):
        found.setdefault(top(i), []).append(i)
    return list(found.values())


def _cut(
    table: FeatureTable,
    groups: Sequence[_Candidate],
    group: _Candidate,
    keep: Collection[str],
    findings: list[Finding],
) -> Chosen:
    """Only what lies near the chosen course, and of other courses only the lines beside it."""
    features = table.features
    flat = _Flat(features, range(len(features)))
    away = _away(flat, group, len(features))
    owner = {i: other for other in groups if other.lines != group.lines for i in other.lines}
    # Golf features far off are worth a word (see assembly) when this is the only course of the file.
    alone = sum(bool(other.lines) for other in groups) <= 1 if group.lines else len(groups) == 1
    theirs = set[int]() if group.lines else _on_others(flat, features, groups, group)
    reach = KEEP_M if group.lines or group.outline is None else ON_M
    kept, left, neighbours = [], Counter[str](), []
    for i, feature in enumerate(features):
        if feature.fid in keep:
            kept.append(feature)
        elif i in owner:
            if away[i] <= NEIGHBOUR_M:
                kept.append(feature)
                neighbours.append((feature.fid, owner[i].name or "another course"))
        elif i not in theirs and (away[i] <= reach or (alone and group.lines and "golf" in feature.tags)):
            kept.append(feature)
        else:
            left["golf" if "golf" in feature.tags else "other"] += 1
    if left["other"]:
        far = (
            f"{KEEP_M / 1000.0:.0f} km from the holes" if reach == KEEP_M else f"{ON_M:.0f} m from the course"
        )
        text = f"{left['other']} features lie more than {far}; left out"
        findings.append(Finding(kind=FindingKind.IGNORED, text=text))
    if not alone:
        others = [
            other.title(table)
            for other in groups
            if other is not group and (other.lines or not group.lines) and _differ(other, group)
        ]
        text = f"other courses in the file are left out: {'; '.join(others[:5])}"
        findings.append(Finding(kind=FindingKind.IGNORED, text=text))
    return Chosen(
        table=dataclasses.replace(table, features=tuple(kept)),
        name=group.name,
        key=_key(table, groups, group),
        neighbours=tuple(neighbours),
        findings=tuple(findings),
    )


def _differ(one: _Candidate, other: _Candidate) -> bool:
    """Whether two are two courses; the one chosen may be a copy with a name."""
    return (one.lines, one.outline, one.greens) != (other.lines, other.outline, other.greens)


def _away(flat: _Flat, group: _Candidate, count: int) -> NDArray[np.float64]:
    """Distance of every feature from a course: its lines and outline, else its greens. [m]"""
    own = [flat.shape[i] for i in group.lines]
    own += [] if group.outline is None else [flat.shape[group.outline]]
    core = shapely.union_all(own or [flat.shape[i] for i in group.greens])
    shapely.prepare(core)
    found: NDArray[np.float64] = shapely.distance(
        core, np.array([flat.shape[i] for i in range(count)], dtype=object)
    )
    return found


def _on_others(
    flat: _Flat, features: Sequence[Feature], groups: Sequence[_Candidate], group: _Candidate
) -> set[int]:
    """Golf on another course than one without lines of play: by the smallest outline, else the nearest."""
    golf = [i for i, f in enumerate(features) if "golf" in f.tags]
    others = [g for g in groups if _differ(g, group)]
    outlines = [g.outline for g in (*others, group) if g.outline is not None]
    lies = _inside(flat, golf, outlines)
    found = {i for i, where in lies.items() if where is not None and where != group.outline}
    if group.outline is None and others:
        mine = _away(flat, group, len(features))
        nearest = np.min([_away(flat, other, len(features)) for other in others], axis=0)
        found |= set(np.flatnonzero(nearest < mine).tolist())
    return found


def _key(table: FeatureTable, groups: Sequence[_Candidate], group: _Candidate) -> str:
    if group.name and len(_matching(table, groups, group.name)) == 1:
        return group.name
    if group.outline is not None:
        return table.features[group.outline].fid
    return f"{group.at[0]:.5f},{group.at[1]:.5f}"


def _distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    east = ((a[0] - b[0] + 180.0) % 360.0 - 180.0) * math.cos(math.radians(a[1]))
    return math.hypot(east, a[1] - b[1]) * M_PER_DEG
