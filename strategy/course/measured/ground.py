"""What course.toml says of the ground: greens in words, where heights come from, and the trees on it."""

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
from strategy.course.maps.canopy import ASSUMED_M, NO_TREE_M, over
from strategy.course.maps.heights import (
    HEIGHT_UNITS,
    MODEL_ERROR_M,
    REBUILT,
    HeightModel,
    can_read_rasters,
    drawn_heights,
    drawn_points,
)
from strategy.course.maps.sketch import FALSE_FRONT, RUN_OFF, parse_falls
from strategy.course.model import Area, Course, FeatureTable, Finding, FindingKind, Hole
from strategy.course.readers.notes import CourseNotes, GreenNote, length_m
from strategy.errors import CourseError, InputError
from strategy.units import FOOT_M, YARD_M

# Of a lidar canopy model against trees; treetops are missed between points (engineering choice).
CANOPY_ERROR_M: Final = 1.0
_COVERED: Final = 0.5  # of an area that the raster must know for its heights to be called measured
EXTRA: Final = "course-strategy[heights]"
FLAT: Final = "no heights: the ground is taken for flat"


def sketches(
    holes: Mapping[str, Hole], notes: CourseNotes, file: str, faults: list[InputError]
) -> dict[str, Hole]:
    """Holes with their greens as course.toml describes them; faults are added to `faults`."""
    result = dict(holes)
    for label, said in notes.holes.items():
        if said.green is None or label not in holes:
            continue
        if said.green.least_landing is not None:
            least = length_m(said.green.least_landing, notes.unit_m)
            if not 0.0 < least <= 30.0:
                where, met = f"holes.{label}.green.least_landing", f"is {said.green.least_landing!r}"
                faults.append(CourseError(file, where, met, "Give how far on a ball has to land to stay"))
                continue
            result[label] = dataclasses.replace(result[label], least_landing_m=least)
        if said.green.shapes:
            made = _sketch(said.green, notes, file, f"holes.{label}.green", faults)
            if made is not None:
                result[label] = dataclasses.replace(result[label], sketch=made)
    return result


def _sketch(
    note: GreenNote, notes: CourseNotes, file: str, where: str, faults: list[InputError]
) -> GreenSketch | None:
    falls = parse_falls(note.fall) if note.fall.strip() else ()
    if falls is None:
        mend = 'Write it like "2 % back to front", two with a comma between'
        faults.append(CourseError(file, f"{where}.fall", f"is {note.fall!r}", mend))
        return None
    steep = [fall for fall in falls if fall.share > 0.15]
    if steep:
        wrong = f"is {steep[0].share:.0%}, and no ball would stay on such a green"
        faults.append(
            CourseError(file, f"{where}.fall", wrong, "Give the general fall in per cent, 1 to 4 or so")
        )
        return None
    false_front = 0.0 if note.false_front is None else length_m(note.false_front, notes.unit_m)
    tiers = tuple(
        Tier(on_m=length_m(tier.on, notes.unit_m), high_m=length_m(tier.high, notes.unit_m))
        for tier in note.tier
    )
    if not 0.0 <= false_front <= 30.0:
        faults.append(
            CourseError(
                file, f"{where}.false_front", f"is {note.false_front!r}", "Give how far on it reaches"
            )
        )
        return None
    high = [tier for tier in tiers if abs(tier.high_m) > 3.0]
    if high:
        wrong = f"is {high[0].high_m:.1f} m high"
        faults.append(CourseError(file, f"{where}.tier.high", wrong, 'Give the step itself, like "2 ft"'))
        return None
    unit = YARD_M if notes.units == "yards" else 1.0
    parts = [note.fall.strip()] if falls else []
    parts += [f"false front {false_front / unit:.0f} on"] if false_front else []
    parts += [f"tier at {tier.on_m / unit:.0f} on, {_high(tier.high_m, unit)}" for tier in tiers]
    parts += [f"runs off {' and '.join(note.run_offs)}"] if note.run_offs else []
    return GreenSketch(
        falls=falls,
        false_front_m=false_front,
        tiers=tiers,
        run_offs=note.run_offs,
        text="; ".join(parts),
        rebuilt=note.rebuilt,
    )


def _high(metres: float, unit: float) -> str:
    word = "up" if metres >= 0.0 else "down"
    return f"{abs(metres) / FOOT_M:.0f} ft {word}" if unit == YARD_M else f"{abs(metres):.1f} m {word}"


class Heights:
    """Where the heights of a course come from, decided once: a model, the outlines, or nothing."""

    def __init__(
        self, course: Course, table: FeatureTable, notes: CourseNotes, notes_file: Path, files: dict[str, str]
    ) -> None:
        self.found: list[Finding] = []
        self.crown_m, self.stems_m = notes.crown_m, notes.stems_m
        self.canopy: HeightModel | None = None
        if (trees := notes.canopy) is not None:
            path = notes_file.parent / trees.file
            unit = HEIGHT_UNITS[trees.units] if trees.units else None
            self.canopy = HeightModel(path, unit_m=unit, crs=trees.crs, error_m=CANOPY_ERROR_M, key="canopy")
            files[str(path)] = hashlib.sha256(path.read_bytes()).hexdigest()
        self.model: HeightModel | None = None
        self.points = drawn_points([f.geometry for f in table.features], course.frame)
        self.level = 0
        if len(self.points) and np.ptp(self.points[:, 2]) < 0.01:
            z = float(self.points[0, 2])
            self.say(FindingKind.IGNORED, f"every height in the outlines is {z:g} m: taken for no height")
            self.points = self.points[:0]
        note = notes.heights
        if note is not None and not can_read_rasters():
            mend = f'{note.file} is not read: rasterio is not installed (pip install "{EXTRA}")'
            self.say(FindingKind.MISSING, mend)
            note = None
        if note is not None:
            path = notes_file.parent / note.file
            unit = HEIGHT_UNITS[note.units] if note.units else None
            self.model = HeightModel(path, unit_m=unit, crs=note.crs, error_m=note.error or MODEL_ERROR_M)
            files[str(path)] = hashlib.sha256(path.read_bytes()).hexdigest()
            if note.error is None:
                text = f"{note.file}: heights are taken to be good to {MODEL_ERROR_M:g} m"
                self.say(FindingKind.ASSUMED, text)
            if len(self.points):
                text = (
                    f"heights in the outlines are not used beside {note.file}: they count from the ellipsoid "
                    "and the model from sea level, tens of metres apart, and are never mixed"
                )
                self.say(FindingKind.IGNORED, text)
        elif len(self.points):
            text = "the ground is drawn from the heights in the outlines, good to half a metre or so"
            self.say(FindingKind.ASSUMED, text)

    def say(self, kind: FindingKind, text: str) -> None:
        """Note something of the whole course."""
        self.found.append(Finding(kind=kind, text=text))

    def of(self, hole: Hole) -> Hole:
        """The hole with its ground, and with what is to be said of it."""
        told: list[Finding] = []

        def tell(kind: FindingKind, text: str) -> None:
            told.append(Finding(kind=kind, text=text, hole=hole.label))

        ground = None
        if self.model is not None:
            ground, gap = self.model.cut(hole)
            if ground is None:
                tell(
                    FindingKind.MISSING,
                    f"the height model leaves out {gap:.0%} of the hole: it is not used here",
                )
            elif gap > 0.0:
                tell(
                    FindingKind.REPAIRED,
                    f"{max(gap, 0.001):.1%} of the hole has no height: the nearest is taken",
                )
        elif len(self.points):
            ground = drawn_heights(hole, self.points)
            if ground is None:
                tell(
                    FindingKind.MISSING,
                    "too few heights in the outlines lie on the hole: they are not used here",
                )
        if hole.sketch is not None:
            if ground is not None and hole.sketch.rebuilt:
                tell(FindingKind.ASSUMED, f"{ground.source}: {REBUILT}")
            elif ground is not None:
                tell(FindingKind.IGNORED, f"the green in words is not used: {ground.source} has its heights")
            else:
                said = ["the green has its shape from words alone"]
                if hole.sketch.false_front_m:
                    said.append(f"a false front is taken to fall at {100 * FALSE_FRONT:.0f} %")
                if hole.sketch.run_offs:
                    said.append(f"a run-off at {100 * RUN_OFF:.0f} %")
                tell(FindingKind.ASSUMED, "; ".join(said))
        if ground is None and hole.sketch is None:
            self.level += 1
            if self.model is not None or len(self.points):
                tell(FindingKind.ASSUMED, FLAT)
        hole = self._with_trees(hole, tell)
        return dataclasses.replace(hole, heights=ground, findings=(*hole.findings, *told))

    def _with_trees(self, hole: Hole, tell: Callable[[FindingKind, str], None]) -> Hole:
        """The hole with what is known of its trees, and with what is not."""
        tops = None if self.canopy is None else self.canopy.above_ground(hole)
        areas = hole.areas if tops is None else tuple(_measured(area, tops, tell) for area in hole.areas)
        woods = [area for area in areas if area.surface == Surface.TREES]
        guessed = [area for area in woods if area.height_said == "assumed"]
        if self.canopy is not None and woods and (tops is None or guessed):
            tell(FindingKind.MISSING, f"{self.canopy.path.name} leaves out woods or trees of the hole")
        for low, word in ((False, "tree heights"), (True, "heights of scrub and hedges")):
            count = sum(area.low == low for area in guessed)
            if count:
                of = f" ({count} of {len(woods)})" if count < len(woods) else ""
                text = f"{word} on {hole.label}: assumed {ASSUMED_M[low]:g} m{of}"
                tell(FindingKind.ASSUMED, f"{text}; which shots clear them is a guess")
        return dataclasses.replace(
            hole,
            areas=areas,
            treetops=tops,
            crown_m=hole.crown_m if self.crown_m is None else self.crown_m,
            stems_m=hole.stems_m if self.stems_m is None else self.stems_m,
        )

    def close(self) -> list[Finding]:
        """Findings of the whole course."""
        if self.canopy is not None:
            self.canopy.close()
        if self.model is not None:
            self.model.close()
        elif not len(self.points) and self.level:
            self.say(FindingKind.ASSUMED, FLAT)
        return self.found


def _measured(area: Area, tops: HeightMap, tell: Callable[[FindingKind, str], None]) -> Area:
    """An area of trees with its height as the raster has it: the ninth decile of what is a tree."""
    if area.surface != Surface.TREES:
        return area
    heights = over(area.shape, tops)
    known = heights[np.isfinite(heights)]
    if len(known) == 0 or len(known) < _COVERED * len(heights):
        return area
    trees = known[known >= NO_TREE_M]
    if not len(trees):
        text = f"{area.fid}: {tops.source} shows no tree of {NO_TREE_M:g} m there, so none stops a ball"
        tell(FindingKind.QUESTION, text)
    height = float(np.quantile(trees, 0.9)) if len(trees) else 0.0
    return dataclasses.replace(area, height_m=height, height_said="measured")
