"""Adds to holes what course.toml says of the ground: greens in words, heights, and heights of trees."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

import numpy as np

from strategy.codes import Surface
from strategy.course.green_sketch import GreenSketch, Tier
from strategy.course.height_map import HeightMap
from strategy.course.maps.canopy import ASSUMED_M, NO_TREE_M, heights_inside
from strategy.course.maps.heights import (
    HEIGHT_UNITS,
    MODEL_ERROR_M,
    REBUILT,
    HeightModel,
    can_read_rasters,
    heights_from_outlines,
    points_with_height,
)
from strategy.course.maps.sketch import FALSE_FRONT_SLOPE, RUN_OFF_SLOPE, parse_falls
from strategy.course.model import Area, Course, FeatureTable, Finding, FindingKind, Hole
from strategy.course.readers.notes import CourseNotes, GreenNote, length_m
from strategy.errors import CourseError, InputError
from strategy.units import FOOT_M, YARD_M

# Error of tree heights in a raster from lidar, which misses treetops between its points (engineering choice).
CANOPY_ERROR_M: Final = 1.0
_LEAST_COVERED: Final = 0.5  # share of an area that the raster must cover to give its height
EXTRA: Final = "course-strategy[heights]"
FLAT: Final = "no heights: the ground is taken for flat"


def add_sketches(
    holes: Mapping[str, Hole], notes: CourseNotes, file: str, faults: list[InputError]
) -> dict[str, Hole]:
    """Add the greens that course.toml describes in words to their holes. Its faults are added to `faults`."""
    result = dict(holes)
    for label, note in notes.holes.items():
        if note.green is None or label not in holes:
            continue
        if note.green.least_landing is not None:
            least = length_m(note.green.least_landing, notes.unit_m)
            if not 0.0 < least <= 30.0:
                where, met = f"holes.{label}.green.least_landing", f"is {note.green.least_landing!r}"
                faults.append(CourseError(file, where, met, "Give how far on a ball has to land to stay"))
                continue
            result[label] = dataclasses.replace(result[label], least_landing_m=least)
        if note.green.shapes:
            sketch = _sketch(note.green, notes, file, f"holes.{label}.green", faults)
            if sketch is not None:
                result[label] = dataclasses.replace(result[label], sketch=sketch)
    return result


def _sketch(
    note: GreenNote, notes: CourseNotes, file: str, where: str, faults: list[InputError]
) -> GreenSketch | None:
    """One green in words; None when it has a fault."""

    def add_fault(key: str, wrong: str, mend: str) -> None:
        faults.append(CourseError(file, f"{where}.{key}", wrong, mend))

    falls = parse_falls(note.fall) if note.fall.strip() else ()
    if falls is None:
        mend = 'Write it like "2 % back to front", two with a comma between'
        add_fault("fall", f"is {note.fall!r}", mend)
        return None
    steep = [fall for fall in falls if fall.share > 0.15]
    if steep:
        wrong = f"is {steep[0].share:.0%}, and no ball would stay on such a green"
        add_fault("fall", wrong, "Give the general fall in per cent, 1 to 4 or so")
        return None
    false_front = 0.0 if note.false_front is None else length_m(note.false_front, notes.unit_m)
    tiers = tuple(
        Tier(on_m=length_m(tier.on, notes.unit_m), high_m=length_m(tier.high, notes.unit_m))
        for tier in note.tier
    )
    if not 0.0 <= false_front <= 30.0:
        add_fault("false_front", f"is {note.false_front!r}", "Give how far on it reaches")
        return None
    high = [tier for tier in tiers if abs(tier.high_m) > 3.0]
    if high:
        add_fault("tier.high", f"is {high[0].high_m:.1f} m high", 'Give the step itself, like "2 ft"')
        return None
    unit_m = notes.unit_m
    parts = [note.fall.strip()] if falls else []
    parts += [f"false front {false_front / unit_m:.0f} on"] if false_front else []
    parts += [f"tier at {tier.on_m / unit_m:.0f} on, {_step_words(tier.high_m, unit_m)}" for tier in tiers]
    parts += [f"runs off {' and '.join(note.run_offs)}"] if note.run_offs else []
    return GreenSketch(
        falls=falls,
        false_front_m=false_front,
        tiers=tiers,
        run_offs=note.run_offs,
        text="; ".join(parts),
        rebuilt=note.rebuilt,
    )


def _step_words(high_m: float, unit_m: float) -> str:
    """The height of a step in words, in feet when lengths are in yards."""
    word = "up" if high_m >= 0.0 else "down"
    return f"{abs(high_m) / FOOT_M:.0f} ft {word}" if unit_m == YARD_M else f"{abs(high_m):.1f} m {word}"


class CourseHeights:
    """The sources of heights of a course: a height model, the outlines, or none; and a raster of treetops.

    Parameters
    ----------
    course : Course
        Course with its frame.
    table : FeatureTable
        The outlines.
    notes, notes_file : CourseNotes, Path
        course.toml as read, and its path.
    files : dict of str to str
        SHA-256 by path; rasters that are read are added.
    """

    def __init__(
        self, course: Course, table: FeatureTable, notes: CourseNotes, notes_file: Path, files: dict[str, str]
    ) -> None:
        self.findings: list[Finding] = []
        self.crown_m, self.stems_m = notes.crown_m, notes.stems_m
        self.canopy: HeightModel | None = None
        if (canopy := notes.canopy) is not None:
            path = notes_file.parent / canopy.file
            unit = HEIGHT_UNITS[canopy.units] if canopy.units else None
            self.canopy = HeightModel(path, unit_m=unit, crs=canopy.crs, error_m=CANOPY_ERROR_M, key="canopy")
            files[str(path)] = hashlib.sha256(path.read_bytes()).hexdigest()
        self.model: HeightModel | None = None
        self.points = points_with_height([f.geometry for f in table.features], course.frame)
        self.flat_holes = 0
        if len(self.points) and np.ptp(self.points[:, 2]) < 0.01:
            z = float(self.points[0, 2])
            text = f"every height in the outlines is {z:g} m: taken for no height"
            self._add_finding(FindingKind.IGNORED, text)
            self.points = self.points[:0]
        note = notes.heights
        if note is not None and not can_read_rasters():
            mend = f'{note.file} is not read: rasterio is not installed (pip install "{EXTRA}")'
            self._add_finding(FindingKind.MISSING, mend)
            note = None
        if note is not None:
            path = notes_file.parent / note.file
            unit = HEIGHT_UNITS[note.units] if note.units else None
            self.model = HeightModel(path, unit_m=unit, crs=note.crs, error_m=note.error or MODEL_ERROR_M)
            files[str(path)] = hashlib.sha256(path.read_bytes()).hexdigest()
            if note.error is None:
                text = f"{note.file}: the standard error of its heights is assumed to be {MODEL_ERROR_M:g} m"
                self._add_finding(FindingKind.ASSUMED, text)
            if len(self.points):
                text = (
                    f"heights in the outlines are not used beside {note.file}: they count from the ellipsoid "
                    "and the model from sea level, tens of metres apart, and are never mixed"
                )
                self._add_finding(FindingKind.IGNORED, text)
        elif len(self.points):
            text = "the ground is made from the heights in the outlines, right within half a metre or so"
            self._add_finding(FindingKind.ASSUMED, text)

    def _add_finding(self, kind: FindingKind, text: str) -> None:
        """Add a finding on the course as a whole."""
        self.findings.append(Finding(kind=kind, text=text))

    def add_to(self, hole: Hole) -> Hole:
        """The hole with the heights of its ground and of its trees, and with findings on both."""
        findings: list[Finding] = []

        def add_finding(kind: FindingKind, text: str) -> None:
            findings.append(Finding(kind=kind, text=text, hole=hole.label))

        ground = self._ground(hole, add_finding)
        if hole.sketch is not None:
            if ground is not None and hole.sketch.rebuilt:
                add_finding(FindingKind.ASSUMED, f"{REBUILT}; {ground.source} has the ground around it")
            elif ground is not None:
                text = f"the green in words is not used: {ground.source} has its heights"
                add_finding(FindingKind.IGNORED, text)
            else:
                parts = ["the green has its shape from words alone"]
                if hole.sketch.false_front_m:
                    parts.append(f"a false front is taken to fall at {100 * FALSE_FRONT_SLOPE:.0f} %")
                if hole.sketch.run_offs:
                    parts.append(f"a run-off at {100 * RUN_OFF_SLOPE:.0f} %")
                add_finding(FindingKind.ASSUMED, "; ".join(parts))
        elif ground is None:
            self.flat_holes += 1
            if self.model is not None or len(self.points):
                add_finding(FindingKind.ASSUMED, FLAT)
        hole = self._with_trees(hole, add_finding)
        return dataclasses.replace(hole, heights=ground, findings=(*hole.findings, *findings))

    def _ground(self, hole: Hole, add_finding: Callable[[FindingKind, str], None]) -> HeightMap | None:
        """The heights of a hole from the source of the course; None when it has none there."""
        if self.model is not None:
            ground, gap = self.model.ground(hole)
            if ground is None:
                text = f"the height model leaves out {gap:.0%} of the hole: it is not used here"
                add_finding(FindingKind.MISSING, text)
            elif gap > 0.0:
                text = f"{max(gap, 0.001):.1%} of the hole has no height: the nearest is taken"
                add_finding(FindingKind.REPAIRED, text)
            return ground
        if not len(self.points):
            return None
        ground = heights_from_outlines(hole, self.points)
        if ground is None:
            text = "too few heights in the outlines lie on the hole: they are not used here"
            add_finding(FindingKind.MISSING, text)
        return ground

    def _with_trees(self, hole: Hole, add_finding: Callable[[FindingKind, str], None]) -> Hole:
        """The hole with the measured heights of its trees; reports the heights that are assumed."""
        treetops = None if self.canopy is None else self.canopy.above_ground(hole)
        areas = hole.areas
        if treetops is not None:
            areas = tuple(_with_measured_height(area, treetops, add_finding) for area in hole.areas)
        trees = [area for area in areas if area.surface == Surface.TREES]
        assumed = [area for area in trees if area.height_source == "assumed"]
        if self.canopy is not None and trees and (treetops is None or assumed):
            text = f"{self.canopy.path.name} leaves out woods or trees of the hole"
            add_finding(FindingKind.MISSING, text)
        for low, word in ((False, "tree heights"), (True, "heights of scrub and hedges")):
            count = sum(area.low == low for area in assumed)
            if count:
                of_all = f" ({count} of {len(trees)})" if count < len(trees) else ""
                text = f"{word} on {hole.label}: assumed {ASSUMED_M[low]:g} m{of_all}"
                add_finding(FindingKind.ASSUMED, f"{text}; which shots clear them is a guess")
        return dataclasses.replace(
            hole,
            areas=areas,
            treetops=treetops,
            crown_m=hole.crown_m if self.crown_m is None else self.crown_m,
            stems_m=hole.stems_m if self.stems_m is None else self.stems_m,
        )

    def finish(self) -> list[Finding]:
        """Close the rasters, and give the findings on the course as a whole."""
        if self.canopy is not None:
            self.canopy.close()
        if self.model is not None:
            self.model.close()
        elif not len(self.points) and self.flat_holes:
            self._add_finding(FindingKind.ASSUMED, FLAT)
        return self.findings


def _with_measured_height(
    area: Area, treetops: HeightMap, add_finding: Callable[[FindingKind, str], None]
) -> Area:
    """An area of trees with its height from a raster: the ninth decile of the cells that are trees."""
    if area.surface != Surface.TREES:
        return area
    heights = heights_inside(area.shape, treetops)
    known = heights[np.isfinite(heights)]
    if len(known) == 0 or len(known) < _LEAST_COVERED * len(heights):
        return area
    trees = known[known >= NO_TREE_M]
    if not len(trees):
        text = f"{area.fid}: {treetops.source} shows no tree of {NO_TREE_M:g} m there, so none stops a ball"
        add_finding(FindingKind.QUESTION, text)
    height = float(np.quantile(trees, 0.9)) if len(trees) else 0.0
    return dataclasses.replace(area, height_m=height, height_source="measured")
