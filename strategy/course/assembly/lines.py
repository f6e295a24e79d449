"""Makes lines of play where none is drawn: from holes drawn as areas, or from tees and greens.

A line between a tee and a green is proposed only when the pair is clear, and it is always a question to the
caddie:

1. A tee and a green with the same `ref` belong together.
2. Otherwise they belong together when the cost of the pair is by far the least for the tee and for the green.
The
   cost is the length without fairway between them, either directly or over one fairway.

Where no pair is clear, no line is proposed; it has to be drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.course.assembly.classify import ClassifiedFeatures
from strategy.course.frame import Frame
from strategy.course.model import Feature, Finding, FindingKind

# Engineering choices.
_HOLE_M = (70.0, 650.0)  # shortest and longest distance from a tee to its green
_TEE_GROUP_M = 40.0  # tees that are so near to each other are tees of one hole
_CLEAR_RATIO = 1.4  # the second-best partner must cost so much more
_BEND_M = 15.0  # a fairway that is so far from the straight line makes a dogleg

HOW = "Draw a line tagged golf=hole for each, from tee to green, with ref and par"
Line = tuple[Feature, shapely.LineString]


@dataclass(frozen=True, slots=True)
class _Pair:
    """Indices of a group of tees, of its green, and of the fairway between them (None for none)."""

    tees: int
    green: int
    fairway: int | None


def from_areas(classified: ClassifiedFeatures, frame: Frame) -> tuple[list[Line], list[Finding]]:
    """Make lines of play for holes that are drawn as areas: from the farthest tee inside to the green inside.

    Returns
    -------
    lines : list of (Feature, LineString)
        Each feature has the identifier and tags of its area.
    findings : list of Finding
    """
    lines: list[Line] = []
    findings = []
    for feature, area in classified.hole_areas:
        ground = shapely.make_valid(area)
        greens = [s for _, s in classified.greens if shapely.contains(ground, shapely.centroid(s))]
        tees = [s for _, s in classified.tees if shapely.contains(ground, shapely.centroid(s))]
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


def propose_lines(classified: ClassifiedFeatures, frame: Frame) -> tuple[list[Line], list[Finding]]:
    """Propose lines of play between tees and greens, for a course without lines of play.

    Parameters
    ----------
    classified : ClassifiedFeatures
        All features of the course.
    frame : Frame
        The course frame.

    Returns
    -------
    lines : list of (Feature, LineString)
        Identifiers are "proposed/<identifier of the green>". The list is empty when no pair is clear.
    findings : list of Finding
    """
    if not classified.greens or not classified.tees:
        return [], []
    fairways = [a.shape for a in classified.areas if a.surface == Surface.FAIRWAY]
    groups = _tee_groups([shape for _, shape in classified.tees])
    refs = [_common_ref([classified.tees[j][0] for j in group]) for group in groups]
    tees = [shapely.union_all([classified.tees[j][1] for j in group]) for group in groups]
    greens = [shape for _, shape in classified.greens]
    green_refs = [feature.tags.get("ref", "").strip() for feature, _ in classified.greens]
    cost, fairway_between = _costs(tees, greens, fairways)
    pairs = _pairs_by_ref(refs, green_refs, cost, fairway_between)
    pairs += _pairs_by_cost(cost, fairway_between, {p.tees for p in pairs}, {p.green for p in pairs})
    lines: list[Line] = []
    findings = []
    for pair in sorted(pairs, key=lambda p: p.green):
        feature = classified.greens[pair.green][0]
        ref = refs[pair.tees] or feature.tags.get("ref", "").strip()
        line = _line(
            [classified.tees[j][1] for j in groups[pair.tees]],
            greens[pair.green],
            None if pair.fairway is None else fairways[pair.fairway],
        )
        fid = f"proposed/{feature.fid}"
        tags = {"golf": "hole", **({"ref": ref} if ref else {})}
        lines.append((_feature(fid, tags, line, frame), line))
        tee = classified.tees[groups[pair.tees][0]][0].fid
        text = f"no line of play is drawn: proposed from tee {tee} to green {feature.fid}; is it one hole?"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text, feature=fid))
    without_line = len(greens) - len(lines)
    if lines and without_line:
        subject, them = (
            ("1 green has", "it") if without_line == 1 else (f"{without_line} greens have", "them")
        )
        text = f"{subject} no tee that clearly belongs to {them}: {HOW[0].lower()}{HOW[1:]}"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    return lines, findings


def _tee_groups(tees: Sequence[shapely.Geometry]) -> list[list[int]]:
    """Indices of tees, grouped so that tees near to each other are in one group."""
    groups: list[list[int]] = []
    for j, tee in enumerate(tees):
        near = [g for g in groups if any(shapely.distance(tee, tees[k]) <= _TEE_GROUP_M for k in g)]
        groups = [g for g in groups if g not in near]
        groups.append(sorted([j, *(k for g in near for k in g)]))
    return sorted(groups)


def _common_ref(features: Sequence[Feature]) -> str:
    """The `ref` of some features; "" when they have none, or different ones."""
    refs = {f.tags.get("ref", "").strip() for f in features} - {""}
    return refs.pop() if len(refs) == 1 else ""


def _costs(
    tees: Sequence[shapely.Geometry], greens: Sequence[shapely.Geometry], fairways: Sequence[shapely.Geometry]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Length without fairway between all tees and greens [m], and the fairway between them (-1 for none)."""
    all_tees, all_greens = np.asarray(tees, dtype=object), np.asarray(greens, dtype=object)
    direct = shapely.distance(all_tees[:, None], all_greens[None, :])
    cost, fairway_between = direct.copy(), np.full(direct.shape, -1)
    for k, fairway in enumerate(fairways):
        via = shapely.distance(all_tees, fairway)[:, None] + shapely.distance(all_greens, fairway)[None, :]
        is_better = via < cost
        cost[is_better], fairway_between[is_better] = via[is_better], k
    cost[(direct < _HOLE_M[0]) | (direct > _HOLE_M[1])] = np.inf
    return cost, fairway_between


def _pairs_by_ref(
    tee_refs: Sequence[str],
    green_refs: Sequence[str],
    cost: NDArray[np.float64],
    fairway_between: NDArray[np.int64],
) -> list[_Pair]:
    """Pairs of the only tees and the only green with the same `ref`."""
    pairs = []
    for ref in dict.fromkeys(tee_refs):
        tees = [i for i, r in enumerate(tee_refs) if r == ref and ref]
        greens = [j for j, r in enumerate(green_refs) if r == ref and ref]
        if len(tees) == len(greens) == 1 and np.isfinite(cost[tees[0], greens[0]]):
            pairs.append(_pair(tees[0], greens[0], fairway_between))
    return pairs


def _pairs_by_cost(
    cost: NDArray[np.float64], fairway_between: NDArray[np.int64], tees: set[int], greens: set[int]
) -> list[_Pair]:
    """Pairs whose cost is by far the least for both, without the tees and greens that have a partner.

    The search is repeated, because a pair may become clear when others have found their partners.
    """
    remaining = cost.copy()
    remaining[sorted(tees), :] = np.inf
    remaining[:, sorted(greens)] = np.inf
    pairs: list[_Pair] = []
    while True:
        clear = []
        for i in range(remaining.shape[0]):
            j = int(remaining[i].argmin())
            if not np.isfinite(remaining[i, j]):
                continue
            others = np.concatenate((np.delete(remaining[i], j), np.delete(remaining[:, j], i)))
            if remaining[i, j] * _CLEAR_RATIO <= others.min(initial=np.inf):
                clear.append(_pair(i, j, fairway_between))
        if not clear:
            return pairs
        pairs += clear
        remaining[[p.tees for p in clear], :] = np.inf
        remaining[:, [p.green for p in clear]] = np.inf


def _pair(tees: int, green: int, fairway_between: NDArray[np.int64]) -> _Pair:
    fairway = int(fairway_between[tees, green])
    return _Pair(tees, green, None if fairway < 0 else fairway)


def _line(
    tees: Sequence[shapely.Geometry], green: shapely.Polygon, fairway: shapely.Geometry | None
) -> shapely.LineString:
    """A line from the back tee to the middle of the green, over a fairway that is off the straight line."""
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


def _feature(fid: str, tags: Mapping[str, str], line: shapely.LineString, frame: Frame) -> Feature:
    """A line of play as a feature in longitude and latitude."""
    return Feature(fid=fid, tags=dict(tags), geometry=frame.unproject(line))
