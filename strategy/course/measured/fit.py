"""Moves outlines until they agree with what was measured. Contradictions become questions to the caddie.

In order:

1. Each measurement is checked alone. It becomes a question when it differs from the outline by more than
   15 yd, or when the outline has no such edge.
2. Measurements of the same edge are compared by where they put the edge. If they differ by more than 5 yd,
   they contradict each other, and none is used unless exactly one was surveyed. If they differ by less, the
   one with the better origin is used, or else the shorter one, because an error of pacing grows with the
   distance.
3. A near edge beyond the far edge is a question.
4. The remaining measurements are met together by one displacement of the ground
(`strategy.course.measured.warp`).
   It is found by iteration: each edge is moved by its residual, and then its nearest place is looked up
   again, because a moved edge may have another nearest place.
5. Measurements whose displacement would fold the ground are questions, the one with the longest pull first.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Final, NamedTuple

import numpy as np

from strategy.arrays import FloatArray
from strategy.course.measured.located import LocatedMeasurement
from strategy.course.measured.warp import Warp
from strategy.course.model import Finding, FindingKind
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at
from strategy.units import YARD_M, yards

APART_M: Final = 5.0 * YARD_M
PLAUSIBLE_M: Final = 15.0 * YARD_M
MET_M: Final = 0.5 * YARD_M
_WORTH_ASKING_M: Final = 3.0 * YARD_M  # a published number is asked about when it is so far from the outline
_CONVERGED_M: Final = 0.02
_MOST_ITERATIONS: Final = 60
_SAME_PLACE_M: Final = 1.0
_ORIGINS: Final = list(Origin)  # best first
_OPPOSITE: Final = {"reach": "carry", "carry": "reach", "front": "back", "back": "front"}
_AS_DRAWN: Final = Warp.through(np.empty((0, 2)), np.empty((0, 2)))  # nothing moves


@dataclass(slots=True)
class WarpFit:
    """The result of a fit.

    Attributes
    ----------
    warp : Warp
        The displacement of the ground.
    measurements : list of LocatedMeasurement
        All measurements; `LocatedMeasurement.is_used` says which the displacement meets.
    findings : list of Finding
        Repairs and questions, each with the label of its hole.
    """

    warp: Warp
    measurements: list[LocatedMeasurement]
    findings: list[Finding] = field(default_factory=list)

    def used(self) -> list[LocatedMeasurement]:
        """The measurements that are used so far."""
        return [m for m in self.measurements if m.is_used]

    def add(self, measurement: LocatedMeasurement, kind: FindingKind, text: str) -> None:
        """Add a finding on a measurement."""
        text = f"{measurement.description}: {text}"
        line = f"measurements line {measurement.row.line}"
        self.findings.append(Finding(kind=kind, text=text, hole=measurement.hole.label, feature=line))

    def reject(self, measurement: LocatedMeasurement, reason: str) -> None:
        """Do not use a measurement, and ask the caddie about it."""
        measurement.is_used = False
        self.add(measurement, FindingKind.QUESTION, reason)


class _Pull(NamedTuple):
    """The displacement that one measurement asks of one place of the drawn ground. [m]"""

    owner: LocatedMeasurement
    place: FloatArray
    displacement: FloatArray

    @property
    def length(self) -> float:
        return float(np.hypot(*self.displacement))


def fit(measurements: Sequence[LocatedMeasurement]) -> WarpFit:
    """Find one displacement of the ground that meets as many measurements as possible; see the module."""
    result = WarpFit(warp=_AS_DRAWN, measurements=list(measurements))
    residual_as_drawn = {id(m): _residual(m, _AS_DRAWN) for m in measurements}
    for measurement in measurements:
        _check_alone(measurement, residual_as_drawn[id(measurement)], result)
    _check_same_edge(result)
    _check_near_before_far(result)
    while True:
        warp, pulls, unmet = _solve(result.used())
        rejected = unmet or _folding(warp, pulls)
        if rejected is None:
            break
        reason = (
            "no smooth move of the outline meets it beside the other numbers"
            if unmet
            else "it would turn outlines inside out"
        )
        result.reject(rejected, f"{reason}; not used")
    result.warp = warp
    for measurement in result.used():
        measurement.marks = tuple(edge.xy for edge, _ in measurement.residuals(warp))
        measurement.moved_m = max((p.length for p in pulls if p.owner is measurement), default=0.0)
        _report_move(measurement, residual_as_drawn[id(measurement)] or 0.0, result)
    return result


def _residual(measurement: LocatedMeasurement, warp: Warp) -> float | None:
    """The whole residual of a measurement; None when there is no such edge. [m]"""
    residuals = measurement.residuals(warp)
    return sum(residual for _, residual in residuals) if residuals else None


def _check_alone(measurement: LocatedMeasurement, residual: float | None, result: WarpFit) -> None:
    """Check that a measurement has an edge, a good enough origin, and a plausible value."""
    row = measurement.row
    if residual is None:
        reasons = {
            "width": "the fairway is not drawn there",
            "run-out": "the fairway does not end short of the green",
        }
        reason = reasons.get(row.target.kind, "the outline has no such edge near the line of play")
        result.reject(measurement, f"{reason}; not used")
        return
    outline = f"the outline says {(row.value_m - residual) / row.unit_m:.0f}"
    if row.origin not in (Origin.SURVEYED, Origin.PACED):
        measurement.is_used = False
        if abs(residual) > _WORTH_ASKING_M:
            result.reject(measurement, f"{outline}; a published number does not move it: pace it")
    elif abs(residual) > PLAUSIBLE_M + 1e-9:
        distance = _distance(abs(residual), measurement)
        result.reject(measurement, f"{outline}, {distance} away: is it the same thing? Not used")


def _check_same_edge(result: WarpFit) -> None:
    """Compare measurements of the same edge: they contradict each other, or the best one stands for all."""
    by_edge: dict[tuple[str, str, str, float], list[LocatedMeasurement]] = {}
    for measurement in result.used():
        by_edge.setdefault(measurement.edge_key, []).append(measurement)
    for group in (g for g in by_edge.values() if len(g) > 1):
        move = {id(m): _move_along_hole(m) for m in group}
        apart = max(abs(move[id(a)] - move[id(b)]) for a, b in combinations(group, 2))
        if apart > APART_M + 1e-9:
            surveyed = [m for m in group if m.row.origin == Origin.SURVEYED]
            kept = surveyed[0] if len(surveyed) == 1 else None
            lines = " and ".join(str(m.row.line) for m in group)
            for measurement in group:
                if measurement is not kept:
                    text = f"lines {lines} stand {_distance(apart, measurement)} apart"
                    result.reject(
                        measurement, f"{text}; {'the surveyed one is used' if kept else 'none is used'}"
                    )
            continue
        best, *others = sorted(
            group, key=lambda m: (_ORIGINS.index(m.row.origin), round(m.row.value_m, 6), m.row.line)
        )
        for measurement in others:
            measurement.is_used = False
            text = f"agrees within {_distance(apart, measurement)} with line {best.row.line}, which is used"
            result.add(measurement, FindingKind.IGNORED, text)


def _move_along_hole(measurement: LocatedMeasurement) -> float:
    """How far along the hole a measurement would move its drawn edge; how much wider, for a width. [m]"""
    residuals = measurement.residuals(_AS_DRAWN)
    if measurement.row.target.kind == "width":
        return sum(residual for _, residual in residuals)
    edge, residual = residuals[0]
    depth = float(along_side(measurement.hole.line, edge.xy)[0, 1])
    heading = np.radians(heading_at(measurement.hole.line, depth))
    is_forward = float(np.array([np.sin(heading), np.cos(heading)]) @ edge.direction) >= 0.0
    return residual / edge.gain * (1.0 if is_forward else -1.0)


def _check_near_before_far(result: WarpFit) -> None:
    """Ask about a near edge that is beyond the far edge, as measured or as drawn."""
    used = result.used()
    by_edge = {(*m.edge_key, m.source): m for m in used if m.row.target.kind in _OPPOSITE}
    far_word = {"reach": "far edge", "carry": "near edge", "front": "back", "back": "front"}
    for measurement in used:
        row = measurement.row
        if not measurement.is_used or row.target.kind not in _OPPOSITE:
            continue
        hole, kind, name, at_m = measurement.edge_key
        other = by_edge.get((hole, _OPPOSITE[kind], name, at_m, measurement.source))
        if other is not None:
            limit, subject = other.row.value_m, f"line {other.row.line} has"
        else:
            target = dataclasses.replace(row.target, kind=_OPPOSITE[kind])
            opposite = dataclasses.replace(measurement, row=dataclasses.replace(row, target=target))
            residuals = opposite.residuals(_AS_DRAWN)
            if not residuals:
                continue
            limit, subject = residuals[0][0].value_m, "the outline has"
        is_near_edge = kind in ("reach", "front")
        if (row.value_m >= limit) if is_near_edge else (row.value_m <= limit):
            text = f"{subject} its {far_word[kind]} at {limit / row.unit_m:.0f}"
            result.reject(measurement, f"{text}: it would turn the outline inside out; not used")
            if other is not None and other.is_used:
                result.reject(other, f"line {row.line} contradicts it; not used")


def _solve(
    measurements: Sequence[LocatedMeasurement],
) -> tuple[Warp, list[_Pull], LocatedMeasurement | None]:
    """Find the displacement of the ground that meets all measurements.

    Returns
    -------
    warp : Warp
    pulls : list of _Pull
        The pulls that the displacement is made from.
    unmet : LocatedMeasurement or None
        A measurement that cannot be met beside the others; None when all are met.
    """
    pulls: list[_Pull] = []
    warp = _through(pulls)
    for _ in range(_MOST_ITERATIONS):
        changed = False
        for measurement in measurements:
            for edge, residual in measurement.residuals(warp):
                if abs(residual) <= _CONVERGED_M:
                    continue
                changed = True
                drawn = warp.inverse(edge.xy)[0]
                step = residual / edge.gain * np.asarray(edge.direction)
                near = [
                    i
                    for i, pull in enumerate(pulls)
                    if pull.owner is measurement and np.hypot(*(pull.place - drawn)) < _SAME_PLACE_M
                ]
                if near:
                    pull = pulls[near[0]]
                    pulls[near[0]] = pull._replace(displacement=pull.displacement + step)
                else:
                    pulls.append(_Pull(measurement, drawn, warp.shift(drawn)[0] + step))
        if not changed:
            return warp, pulls, None
        try:
            warp = _through(pulls)
        except ValueError:
            return warp, pulls, _longest(pulls).owner
        if any(pull.length > 3.0 * PLAUSIBLE_M for pull in pulls):
            return warp, pulls, _longest(pulls).owner
    unmet = [m for m in measurements if any(abs(r) > MET_M for _, r in m.residuals(warp))]
    # Of several that fail together the one with the longest pull is taken for the wrong one.
    longest = {id(m): max((p.length for p in pulls if p.owner is m), default=0.0) for m in unmet}
    return warp, pulls, (max(unmet, key=lambda m: longest[id(m)]) if unmet else None)


def _through(pulls: Sequence[_Pull]) -> Warp:
    return Warp.through([pull.place for pull in pulls], [pull.displacement for pull in pulls])


def _longest(pulls: Sequence[_Pull]) -> _Pull:
    return max(pulls, key=lambda pull: pull.length)


def _folding(warp: Warp, pulls: Sequence[_Pull]) -> LocatedMeasurement | None:
    """The measurement with the longest pull where the ground folds; None when it does not fold."""
    folds = warp.folds()
    if not folds.any():
        return None
    # The ground folds between pulls that disagree. The longest pull nearby is taken for the wrong one.
    place = warp.places[np.argmax(folds)]
    near = [pull for pull in pulls if np.hypot(*(pull.place - place)) <= float(warp.reach.max())]
    return _longest(near or pulls).owner


def _report_move(measurement: LocatedMeasurement, residual: float, result: WarpFit) -> None:
    """Report how far the outline was moved for a measurement, unless it hardly moved."""
    row, warp = measurement.row, result.warp
    if abs(residual) < MET_M and measurement.moved_m < MET_M:
        return
    reach = max(
        (float(r) for p, r in zip(warp.places, warp.reach, strict=True) if _is_at(p, measurement, warp)),
        default=15.0,
    )
    unit = "yd" if row.unit_m == YARD_M else "m"
    text = (
        f"{row.origin}; the outline said {(row.value_m - residual) / row.unit_m:.0f} and was moved "
        f"{measurement.moved_m / row.unit_m:.1f} {unit} there, fading out within {reach:.0f} m"
    )
    result.add(measurement, FindingKind.REPAIRED, text)


def _is_at(place: FloatArray, measurement: LocatedMeasurement, warp: Warp) -> bool:
    """Whether a drawn place moves to where a measurement was taken."""
    moved = place + warp.shift(place)[0]
    return any(np.hypot(*(moved - mark)) < 1.0 for mark in measurement.marks)


def _distance(metres: float, measurement: LocatedMeasurement) -> str:
    """A distance in the unit of a measurement."""
    return f"{yards(metres):.0f} yd" if measurement.row.unit_m == YARD_M else f"{metres:.0f} m"
