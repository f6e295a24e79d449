"""Outlines moved until they reproduce what was walked; what contradicts itself becomes a question.

In order:

1. every line is looked up on its hole (`Lookup`); a name that is not there is a fault of the file;
2. numbers for the same edge are compared where they ask it to stand: more than 5 yd apart they contradict
   each other, and none is used unless one alone was surveyed; closer than that the better origin, then the
   shorter distance, is used (pacing errs by a share of the distance);
3. a number that asks for more than 15 yd, or for a near edge beyond the far edge, is a question;
4. the rest are met together by one displacement of the ground (`warp`), found by moving each edge by what
   it lacks, again and again: a moved edge may have a new nearest place;
5. pulls that would fold the ground are questions too, the longest first.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.course import edges
from strategy.course.edges import Edge
from strategy.course.measured.measurements import MeasurementLine
from strategy.course.measured.warp import Warp
from strategy.course.model import Finding, FindingKind, Hole, Landmark, Measurement
from strategy.course.named_features import NamedFeature
from strategy.course.origin import Origin
from strategy.course.playline import along_side, from_front, heading_at, line_from, point_at
from strategy.units import YARD_M, yards

APART_M: Final = 5.0 * YARD_M
PLAUSIBLE_M: Final = 15.0 * YARD_M
MET_M: Final = 0.5 * YARD_M
_NOTED_M: Final = 3.0 * YARD_M  # a published number this far from the outline is worth a question
_DONE_M: Final = 0.02
_ROUNDS: Final = 60
_SAME_M: Final = 1.0
_ORDER: Final = list(Origin)


@dataclass(slots=True, eq=False)
class Lookup:
    """One number on its hole: where it is taken from and which edge it speaks of.

    Attributes
    ----------
    place : Landmark or None
        A landmark that stands by its front number moves with the green; None for a fixed source.
    xy : tuple of two floats
        The source as drawn. [m]
    thing : NamedFeature or None
        For reach and carry.
    """

    row: MeasurementLine
    hole: Hole
    source: str
    xy: tuple[float, float]
    place: Landmark | None = None
    side_m: float = 0.0
    thing: NamedFeature | None = None
    fairway: shapely.Geometry | None = None
    moved_m: float = 0.0
    marks: tuple[tuple[float, float], ...] = ()
    used: bool = True

    @property
    def target(self) -> tuple[str, str, str, float]:
        """What edge it speaks of, the same for all numbers of that edge."""
        what = self.row.what
        name = self.thing.name if self.thing is not None else ""
        return (self.hole.label, what.kind, name, what.at_m)

    @property
    def said(self) -> str:
        """The line in words, in its unit: "carry near left bunker 251 from the back tee (paced)"."""
        start = f"{called_from(self.row.text)} {self.row.value_m / self.row.unit_m:.0f}"
        return f"{start} from {self.source} ({self.row.how})"

    def line(self, warp: Warp) -> FloatArray:
        """Line of play from where it was taken."""
        return line_from(self.hole.line, self.start(warp))

    def start(self, warp: Warp) -> tuple[float, float]:
        """Where it was taken, now that the ground has moved."""
        if self.place is None or self.place.front_m is None:
            return self.xy
        return stand(self.hole, warp.move(self.hole.green), self.place.front_m, self.side_m)

    def look(self, warp: Warp) -> list[tuple[Edge, float]]:
        """The edges it speaks of and how much each lacks; empty when there is no such edge. [m]"""
        what, line = self.row.what, self.line(warp)
        found: list[Edge | None] = []
        if self.thing is not None:
            shape = warp.move(self.thing.shape)
            moved = dataclasses.replace(self.thing, shape=shape)
            found = [edges.reach(moved, line) if what.kind == "reach" else edges.carry(moved, line)]
        elif what.kind in ("front", "back", "depth"):
            green = warp.move(self.hole.green)
            found = [{"front": edges.front, "back": edges.back, "depth": edges.depth}[what.kind](green, line)]
        elif self.fairway is not None and what.kind == "run-out":
            ends = edges.run_outs(warp.move(self.fairway), warp.move(self.hole.green), line)
            found = [min(ends, key=lambda e: abs(e.value_m - self.row.value_m))] if ends else []
        elif self.fairway is not None:
            both = edges.width(warp.move(self.fairway), line, what.at_m)
            if both is None:
                return []
            lacks = self.row.value_m - (both[1].value_m - both[0].value_m)
            return [(edge, lacks / 2.0) for edge in both]
        return [(edge, self.row.value_m - edge.value_m) for edge in found if edge is not None]


@dataclass(slots=True)
class WarpFit:
    """What came out: the displacement, the jobs with their verdicts, findings by hole."""

    warp: Warp
    jobs: list[Lookup]
    findings: list[Finding] = field(default_factory=list)


def called_from(text: str) -> str:
    """What was measured, in the caddie's words without the article."""
    return text[4:] if text.casefold().startswith("the ") else text


def stand(hole: Hole, green: shapely.Polygon, front_m: float, side_m: float) -> tuple[float, float]:
    """Where something with a front number stands: back along the line of play, then sideways. [m]"""
    x, y = from_front(green, hole.line, front_m)
    depth = float(along_side(hole.line, (x, y))[0, 1])
    x, y = point_at(hole.line, side_m, depth)[0]
    return (float(x), float(y))


def fit(jobs: Sequence[Lookup]) -> WarpFit:
    """Meet all numbers that can be met; see the module."""
    result = WarpFit(warp=Warp.through(np.empty((0, 2)), np.empty((0, 2))), jobs=list(jobs))
    still = Warp.through(np.empty((0, 2)), np.empty((0, 2)))
    lacks = {id(job): _lack(job, still) for job in jobs}
    for job in jobs:
        _judge(job, lacks[id(job)], result)
    _compare([job for job in jobs if job.used], result)
    _inside_out([job for job in jobs if job.used], result)
    while True:
        active = [job for job in jobs if job.used]
        warp, pulls, unmet = _solve(active)
        bad = unmet or _folded(warp, pulls)
        if bad is None:
            break
        why = (
            "no smooth move of the outline meets it beside the other numbers"
            if unmet
            else "it would turn outlines inside out"
        )
        _ask(bad, f"{why}; not used", result)
    result.warp = warp
    for job in (j for j in jobs if j.used):
        looked = job.look(warp)
        job.marks = tuple(edge.xy for edge, _ in looked)
        mine = [pull for owner, _, pull in pulls if owner is job]
        job.moved_m = max((float(np.hypot(*pull)) for pull in mine), default=0.0)
        _say_moved(job, lacks[id(job)], warp, result)
    return result


def measured(job: Lookup) -> Measurement:
    """The record of a job for its hole."""
    return Measurement(
        source=job.source,
        what=_what(job),
        value_m=job.row.value_m,
        origin=job.row.origin,
        line=job.row.line,
        counts=job.used,
        marks=job.marks if job.used else (),
    )


def _what(job: Lookup) -> str:
    """What was measured in the program's own words, so that it is found again."""
    what = job.row.what
    if job.thing is not None:
        return f"{what.kind} {edges.normalize_name(job.thing.name)}"
    if what.kind == "width":
        return f"fairway width at {what.at_m / job.row.unit_m:g}"
    return what.kind


def _lack(job: Lookup, warp: Warp) -> float | None:
    """How much the outline lacks in all; None when there is no such edge. [m]"""
    looked = job.look(warp)
    return sum(lack for _, lack in looked) if looked else None


def _judge(job: Lookup, lack: float | None, result: WarpFit) -> None:
    """A number on its own: is there such an edge, does it beat the outline, is it plausible?"""
    if lack is None:
        kind = job.row.what.kind
        none = {
            "width": "the fairway is not drawn there",
            "run-out": "the fairway does not end short of the green",
        }
        _ask(
            job, f"{none.get(kind, 'the outline runs on past the ground beside the line')}; not used", result
        )
        return
    off = f"the outline says {(job.row.value_m - lack) / job.row.unit_m:.0f}"
    if job.row.origin not in (Origin.SURVEYED, Origin.PACED):
        job.used = False
        if abs(lack) > _NOTED_M:
            _ask(job, f"{off}; a published number does not move it: pace it", result)
        return
    if abs(lack) > PLAUSIBLE_M + 1e-9:
        _ask(job, f"{off}, {_short(abs(lack), job)} away: is it the same thing? Not used", result)


def _compare(jobs: Sequence[Lookup], result: WarpFit) -> None:
    """Several numbers for one edge: contradiction, or one that stands for all."""
    groups: dict[tuple[str, str, str, float], list[Lookup]] = {}
    for job in jobs:
        groups.setdefault(job.target, []).append(job)
    still = Warp.through(np.empty((0, 2)), np.empty((0, 2)))
    for group in (g for g in groups.values() if len(g) > 1):
        asks = {id(job): _forward(job, still) for job in group}
        apart = max(abs(asks[id(a)] - asks[id(b)]) for a, b in combinations(group, 2))
        best = [job for job in group if job.row.origin == Origin.SURVEYED]
        if apart > APART_M + 1e-9:
            keep = best if len(best) == 1 else []
            lines = " and ".join(str(job.row.line) for job in group)
            for job in group:
                if not any(job is kept for kept in keep):
                    text = f"lines {lines} stand {_short(apart, job)} apart"
                    _ask(job, f"{text}; {'the surveyed one is used' if keep else 'none is used'}", result)
            continue
        ranked = sorted(
            group, key=lambda j: (_ORDER.index(j.row.origin), round(j.row.value_m, 6), j.row.line)
        )
        for job in ranked[1:]:
            job.used = False
            text = f"agrees within {_short(apart, job)} with line {ranked[0].row.line}, which is used"
            _say(job, FindingKind.IGNORED, f"{job.said}: {text}", result)


def _forward(job: Lookup, warp: Warp) -> float:
    """How far along the hole a number asks its edge to move; for a width, how much wider. [m]"""
    looked = job.look(warp)
    if job.row.what.kind == "width":
        return sum(lack for _, lack in looked)
    edge, lack = looked[0]
    depth = float(along_side(job.hole.line, edge.xy)[0, 1])
    turn = np.radians(heading_at(job.hole.line, depth))
    way = float(np.array([np.sin(turn), np.cos(turn)]) @ edge.direction)
    return lack / edge.gain * (1.0 if way >= 0.0 else -1.0)


def _inside_out(jobs: Sequence[Lookup], result: WarpFit) -> None:
    """A near edge beyond the far one, as paced or as drawn, is a question."""
    still = Warp.through(np.empty((0, 2)), np.empty((0, 2)))
    pairs = {"reach": "carry", "carry": "reach", "front": "back", "back": "front"}
    by_key = {(*job.target, job.source): job for job in jobs if job.row.what.kind in pairs}
    for job in jobs:
        kind = job.row.what.kind
        if not job.used or kind not in pairs:
            continue
        hole, _, name, at = job.target
        other = by_key.get((hole, pairs[kind], name, at, job.source))
        if other is not None:
            limit, word = other.row.value_m, f"line {other.row.line} has"
        else:
            turned = dataclasses.replace(job.row, what=dataclasses.replace(job.row.what, kind=pairs[kind]))
            looked = dataclasses.replace(job, row=turned).look(still)
            if not looked:
                continue
            limit, word = looked[0][0].value_m, "the outline has"
        near_first = kind in ("reach", "front")
        if (job.row.value_m >= limit) if near_first else (job.row.value_m <= limit):
            ends = {"reach": "far edge", "carry": "near edge", "front": "back", "back": "front"}[kind]
            text = f"{word} its {ends} at {limit / job.row.unit_m:.0f}: it would turn the outline inside out"
            _ask(job, f"{text}; not used", result)
            if other is not None and other.used:
                _ask(other, f"line {job.row.line} contradicts it; not used", result)


def _solve(jobs: Sequence[Lookup]) -> tuple[Warp, list[tuple[Lookup, FloatArray, FloatArray]], Lookup | None]:
    """The displacement, its pulls (owner, place, pull), and a job that cannot be met, if any."""
    pulls: list[tuple[Lookup, FloatArray, FloatArray]] = []
    warp = _through(pulls)
    for _ in range(_ROUNDS):
        changed = False
        for job in jobs:
            for edge, lack in job.look(warp):
                if abs(lack) <= _DONE_M:
                    continue
                changed = True
                drawn = warp.back(edge.xy)[0]
                step = lack / edge.gain * np.asarray(edge.direction)
                near = [
                    i
                    for i, (owner, at, _) in enumerate(pulls)
                    if owner is job and np.hypot(*(at - drawn)) < _SAME_M
                ]
                if near:
                    owner, at, pull = pulls[near[0]]
                    pulls[near[0]] = (owner, at, pull + step)
                else:
                    pulls.append((job, drawn, warp.shift(drawn)[0] + step))
        if not changed:
            return warp, pulls, None
        try:
            warp = _through(pulls)
        except ValueError:
            return warp, pulls, _longest(pulls)
        if any(np.hypot(*pull) > 3.0 * PLAUSIBLE_M for _, _, pull in pulls):
            return warp, pulls, _longest(pulls)
    late = [job for job in jobs if any(abs(lack) > MET_M for _, lack in job.look(warp))]
    # Of several that fail together the one that pulls hardest is the odd one.
    hard = {id(job): max((float(np.hypot(*d)) for j, _, d in pulls if j is job), default=0.0) for job in late}
    return warp, pulls, (max(late, key=lambda j: hard[id(j)]) if late else None)


def _through(pulls: Sequence[tuple[Lookup, FloatArray, FloatArray]]) -> Warp:
    return Warp.through([at for _, at, _ in pulls], [pull for _, _, pull in pulls])


def _longest(pulls: Sequence[tuple[Lookup, FloatArray, FloatArray]]) -> Lookup:
    return max(pulls, key=lambda p: float(np.hypot(*p[2])))[0]


def _folded(warp: Warp, pulls: Sequence[tuple[Lookup, FloatArray, FloatArray]]) -> Lookup | None:
    """The number with the longest pull on ground that folds, if any does."""
    bad = warp.folds()
    if not bad.any():
        return None
    # A fold sits between pulls that disagree: the longest pull within reach of it is the odd one.
    at = warp.places[np.argmax(bad)]
    near = [p for p in pulls if np.hypot(*(p[1] - at)) <= float(warp.reach.max())]
    return _longest(near or pulls)


def _say_moved(job: Lookup, lack: float | None, warp: Warp, result: WarpFit) -> None:
    before = job.row.value_m - (lack or 0.0)
    word = str(job.row.origin)
    if abs(lack or 0.0) < MET_M and job.moved_m < MET_M:
        return
    reach = max(
        (float(r) for p, r in zip(warp.places, warp.reach, strict=True) if _near(p, job, warp)), default=15.0
    )
    unit = "yd" if job.row.unit_m == YARD_M else "m"
    text = (
        f"{job.said}: {word}; the outline said {before / job.row.unit_m:.0f} and was moved "
        f"{job.moved_m / job.row.unit_m:.1f} {unit} there, fading out within {reach:.0f} m"
    )
    _say(job, FindingKind.REPAIRED, text, result)


def _near(place: FloatArray, job: Lookup, warp: Warp) -> bool:
    moved = place + warp.shift(place)[0]
    return any(np.hypot(*(moved - mark)) < 1.0 for mark in job.marks)


def _short(metres: float, job: Lookup) -> str:
    return f"{yards(metres):.0f} yd" if job.row.unit_m == YARD_M else f"{metres:.0f} m"


def _ask(job: Lookup, text: str, result: WarpFit) -> None:
    job.used = False
    _say(job, FindingKind.QUESTION, f"{job.said}: {text}", result)


def _say(job: Lookup, kind: FindingKind, text: str, result: WarpFit) -> None:
    place = f"measurements line {job.row.line}"
    result.findings.append(Finding(kind=kind, text=text, hole=job.hole.label, feature=place))
