"""Lines of play where none is drawn: from a hole drawn as an area, or from tees and greens alone.

A proposal is made only where it is the one that fits, and is always a question to the caddie:

1. a tee and a green of the same ref belong together;
2. otherwise a tee and a green belong together when each is the other's cheapest by far. What a pair
   costs is the ground between them that is no fairway: from tee to green directly, or over one fairway.

Where neither holds, no line is made up: it has to be drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.course.assembly.classify import Drawn
from strategy.course.frame import Frame
from strategy.course.model import Feature, Finding, FindingKind

# Engineering choices: shortest and longest hole from a tee to its green; tees this near are one group;
# the second-best partner must cost this much more. [m]
_HOLE_M = (70.0, 650.0)
_TEES_M = 40.0
_CLEAR = 1.4
# A fairway that lies this far off the straight line makes the hole a dogleg. [m]
_BEND_M = 15.0

HOW = "Draw a line tagged golf=hole for each, from tee to green, with ref and par"
Line = tuple[Feature, shapely.LineString]


@dataclass(frozen=True, slots=True)
class _Pair:
    tee: int
    green: int
    fairway: int | None


def from_areas(drawn: Drawn, frame: Frame) -> tuple[list[Line], list[Finding]]:
    """Lines of play of holes that are drawn as areas: from the farthest tee inside to the one green inside.

    Returns
    -------
    lines : list of (Feature, LineString)
        The feature keeps identifier and tags of the area.
    findings : list of Finding
    """
    lines: list[Line] = []
    findings = []
    for feature, area in drawn.hole_areas:
        ground = shapely.make_valid(area)
        greens = [s for _, s in drawn.greens if shapely.contains(ground, shapely.centroid(s))]
        tees = [s for _, s in drawn.tees if shapely.contains(ground, shapely.centroid(s))]
        if len(greens) != 1 or not tees:
            text = (
                f"{feature.fid}: a hole drawn as an area with {len(greens)} greens and {len(tees)} tees in it"
            )
            findings.append(
                Finding(kind=FindingKind.IGNORED, text=f"{text}; draw its line of play", feature=feature.fid)
            )
            continue
        back = max(tees, key=lambda tee: float(shapely.distance(tee, greens[0])))
        line = shapely.LineString([shapely.centroid(back), shapely.centroid(greens[0])])
        lines.append((_feature(feature.fid, feature.tags, line, frame), line))
        text = f"{feature.fid}: the hole is drawn as an area; a straight line of play is taken in it"
        findings.append(Finding(kind=FindingKind.REPAIRED, text=text, feature=feature.fid))
    return lines, findings


def propose_lines(drawn: Drawn, frame: Frame) -> tuple[list[Line], list[Finding]]:
    """Lines of play proposed from tees and greens, for a course on which none is drawn.

    Parameters
    ----------
    drawn : Drawn
        Everything on the course.
    frame : Frame
        The course frame.

    Returns
    -------
    lines : list of (Feature, LineString)
        Identifiers are "proposed/<identifier of the green>"; empty when nothing fits.
    findings : list of Finding
    """
    if not drawn.greens or not drawn.tees:
        return [], []
    fairways = [a.shape for a in drawn.areas if a.surface == Surface.FAIRWAY]
    groups = _tee_groups([shape for _, shape in drawn.tees])
    refs = [_one_ref([drawn.tees[j][0] for j in group]) for group in groups]
    tees = [shapely.union_all([drawn.tees[j][1] for j in group]) for group in groups]
    greens = [shape for _, shape in drawn.greens]
    cost, over = _costs(tees, greens, fairways)
    pairs = _by_ref(refs, [feature.tags.get("ref", "").strip() for feature, _ in drawn.greens], cost, over)
    pairs += _by_cost(cost, over, {p.tee for p in pairs}, {p.green for p in pairs})
    lines: list[Line] = []
    findings = []
    for pair in sorted(pairs, key=lambda p: p.green):
        feature = drawn.greens[pair.green][0]
        ref = refs[pair.tee] or feature.tags.get("ref", "").strip()
        line = _line(
            [drawn.tees[j][1] for j in groups[pair.tee]],
            greens[pair.green],
            None if pair.fairway is None else fairways[pair.fairway],
        )
        fid = f"proposed/{feature.fid}"
        tags = {"golf": "hole", **({"ref": ref} if ref else {})}
        lines.append((_feature(fid, tags, line, frame), line))
        tee = drawn.tees[groups[pair.tee][0]][0].fid
        text = f"no line of play is drawn: proposed from tee {tee} to green {feature.fid}; is it one hole?"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text, feature=fid))
    left = len(greens) - len(lines)
    if lines and left:
        text = f"{left} greens have no tee that fits alone: {HOW[0].lower()}{HOW[1:]}"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    return lines, findings


def _tee_groups(tees: Sequence[shapely.Geometry]) -> list[list[int]]:
    """Tees that lie together, as the markers of one hole do."""
    groups: list[list[int]] = []
    for j, tee in enumerate(tees):
        near = [g for g in groups if any(shapely.distance(tee, tees[k]) <= _TEES_M for k in g)]
        groups = [g for g in groups if g not in near]
        groups.append(sorted([j, *(k for g in near for k in g)]))
    return sorted(groups)


def _one_ref(features: Sequence[Feature]) -> str:
    refs = {f.tags.get("ref", "").strip() for f in features} - {""}
    return refs.pop() if len(refs) == 1 else ""


def _costs(
    tees: Sequence[shapely.Geometry], greens: Sequence[shapely.Geometry], fairways: Sequence[shapely.Geometry]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Ground that is no fairway between every tee and green [m], and the fairway in between (-1: none)."""
    t, g = np.asarray(tees, dtype=object), np.asarray(greens, dtype=object)
    direct = shapely.distance(t[:, None], g[None, :])
    cost, over = direct.copy(), np.full(direct.shape, -1)
    for k, fairway in enumerate(fairways):
        via = shapely.distance(t, fairway)[:, None] + shapely.distance(g, fairway)[None, :]
        better = via < cost
        cost[better], over[better] = via[better], k
    cost[(direct < _HOLE_M[0]) | (direct > _HOLE_M[1])] = np.inf
    return cost, over


def _by_ref(
    tee_refs: Sequence[str], green_refs: Sequence[str], cost: NDArray[np.float64], over: NDArray[np.int64]
) -> list[_Pair]:
    pairs = []
    for ref in dict.fromkeys(tee_refs):
        t = [i for i, r in enumerate(tee_refs) if r == ref and ref]
        g = [j for j, r in enumerate(green_refs) if r == ref and ref]
        if len(t) == len(g) == 1 and np.isfinite(cost[t[0], g[0]]):
            pairs.append(_pair(t[0], g[0], over))
    return pairs


def _by_cost(
    cost: NDArray[np.float64], over: NDArray[np.int64], tees: set[int], greens: set[int]
) -> list[_Pair]:
    """Pairs that are each other's cheapest by far, found again and again among what is left."""
    left = cost.copy()
    left[sorted(tees), :] = np.inf
    left[:, sorted(greens)] = np.inf
    pairs: list[_Pair] = []
    while True:
        found = []
        for i in range(left.shape[0]):
            j = int(left[i].argmin())
            if not np.isfinite(left[i, j]):
                continue
            rest = np.concatenate((np.delete(left[i], j), np.delete(left[:, j], i)))
            if left[i, j] * _CLEAR <= rest.min(initial=np.inf):
                found.append(_pair(i, j, over))
        if not found:
            return pairs
        pairs += found
        left[[p.tee for p in found], :] = np.inf
        left[:, [p.green for p in found]] = np.inf


def _pair(tee: int, green: int, over: NDArray[np.int64]) -> _Pair:
    fairway = int(over[tee, green])
    return _Pair(tee, green, None if fairway < 0 else fairway)


def _line(
    tees: Sequence[shapely.Geometry], green: shapely.Polygon, fairway: shapely.Geometry | None
) -> shapely.LineString:
    """From the back tee to the middle of the green, over the middle of a fairway that lies aside."""
    back = max(tees, key=lambda tee: float(shapely.distance(tee, green)))
    ends = shapely.centroid(back), shapely.centroid(green)
    straight = shapely.LineString(ends)
    if fairway is None:
        return straight
    turn = shapely.centroid(fairway)
    turn = turn if shapely.contains(fairway, turn) else shapely.point_on_surface(fairway)
    if shapely.distance(straight, turn) <= _BEND_M:
        return straight
    return shapely.LineString([ends[0], turn, ends[1]])


def _feature(fid: str, tags: object, line: shapely.LineString, frame: Frame) -> Feature:
    return Feature(fid=fid, tags=dict(tags), geometry=frame.unproject(line))  # type: ignore[call-overload]
