"""Adds to an assembled course what the caddie knows of it: obstructions, landmarks, measurements, heights.

`strategy.course.assembly.assemble` ends here. All faults of measurements.csv and of the tables of course.toml
for these things are reported at once.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import shapely

from strategy.codes import Surface
from strategy.course import edges
from strategy.course.edges import normalize_name
from strategy.course.measured.fit import WarpFit, fit
from strategy.course.measured.ground import CourseHeights, add_sketches
from strategy.course.measured.landmarks import Sides, no_such_hole, place_landmarks
from strategy.course.measured.located import LocatedMeasurement, place_by_front_number
from strategy.course.measured.measurements import FILE_NAME, MeasurementLine, read_measurements
from strategy.course.measured.names import find_named_feature
from strategy.course.measured.obstructions import find_obstructions, place_obstructions
from strategy.course.model import Area, Course, FeatureTable, Finding, Hole, Landmark
from strategy.course.named_features import NamedFeature, name_features
from strategy.course.origin import Origin
from strategy.course.readers.notes import CourseNotes
from strategy.errors import CourseError, InputError, InputErrors, RequestError

_TOUCH_M: Final = 0.5  # a mark belongs to an outline that is this near


def add_walked(
    course: Course,
    table: FeatureTable,
    notes: CourseNotes,
    notes_file: str,
    *,
    measurements: Path | None,
    faults: Sequence[InputError] = (),
) -> Course:
    """Add the caddie's knowledge to a course.

    Parameters
    ----------
    course : Course
        Course as assembled from the outlines.
    table : FeatureTable
        The outlines, for the heights and obstructions in them.
    notes, notes_file : CourseNotes, str
        course.toml as read, and its path.
    measurements : Path or None
        Path of measurements.csv; None, or a path without a file, when nothing was measured.
    faults : sequence of InputError
        Faults of course.toml that are known already. They are raised with those found here.

    Raises
    ------
    CourseError, InputErrors
        For every fault of the files.
    """
    files = dict(course.files)
    rows: tuple[MeasurementLine, ...] = ()
    all_faults: list[InputError] = [*faults]
    if measurements is not None and measurements.is_file():
        try:
            rows = read_measurements(measurements)
        except InputErrors as error:
            all_faults += error.faults
        except CourseError as error:
            all_faults.append(error)
        files[str(measurements)] = hashlib.sha256(measurements.read_bytes()).hexdigest()
    rows_file = str(measurements)
    obstructions, findings = find_obstructions(course, table, notes, notes_file, all_faults)
    holes = {hole.label: place_obstructions(hole, obstructions) for hole in course.holes}
    holes, sides, on_landmarks = place_landmarks(holes, notes, notes_file, rows, rows_file, all_faults)
    holes = _add_findings(holes, on_landmarks)
    holes = add_sketches(holes, notes, notes_file, all_faults)
    located = _locate(holes, rows, rows_file, sides, all_faults)
    if all_faults:
        raise InputErrors(all_faults)
    if located:
        result = fit(located)
        holes = _move_holes(holes, result, sides)
        holes = _add_findings(holes, result.findings)
    heights = CourseHeights(course, table, notes, Path(notes_file), files)
    holes = {label: heights.add_to(hole) for label, hole in holes.items()}
    findings += heights.finish()
    return dataclasses.replace(
        course,
        holes=tuple(holes[hole.label] for hole in course.holes),
        findings=(*course.findings, *findings),
        files=files,
    )


def measurements_beside(outline: str) -> Path | None:
    """Path of measurements.csv for an outline file: beside it when it is called course.*, else None."""
    path = Path(outline)
    return path.parent / FILE_NAME if path.name.split(".")[0] == "course" else None


def _locate(
    holes: Mapping[str, Hole],
    rows: Sequence[MeasurementLine],
    file: str,
    sides: Sides,
    faults: list[InputError],
) -> list[LocatedMeasurement]:
    """Find hole, source and feature of each measurement. Names that do not exist are added to `faults`."""
    located = []
    features_of: dict[str, list[NamedFeature]] = {}
    for row in (r for r in rows if r.target.kind != "landmark"):
        where = f"line {row.line}"
        hole = holes.get(row.hole)
        if hole is None:
            faults.append(no_such_hole(file, where, row.hole, holes))
            continue
        try:
            place = edges.place_of(hole, row.source)
        except RequestError as error:
            mend = 'Correct it, or add a line that makes it: from "landmark", what its name'
            faults.append(CourseError(file, where, str(error), mend))
            continue
        feature = None
        if row.target.name:
            if hole.label not in features_of:
                features_of[hole.label] = [*name_features(hole)]
            match = find_named_feature(row.target.name, features_of[hole.label], hole.line)
            if isinstance(match, str):
                mend = "Use one of these names, or the id of a feature"
                faults.append(CourseError(file, where, match, mend))
                continue
            feature = match
        landmark = place if isinstance(place, Landmark) and place.front_m is not None else None
        if landmark is not None and row.target.kind == "front":
            continue  # a front number places the landmark: see `strategy.course.measured.landmarks`
        key = (hole.label, normalize_name(place.name))
        located.append(
            LocatedMeasurement(
                row=row,
                hole=hole,
                source=place.name if isinstance(place, Landmark) else edges.tee_words(place.name),
                xy=place.xy,
                landmark=landmark,
                side_m=sides.get(key, 0.0) if landmark else 0.0,
                feature=feature,
                fairway=edges.fairway_of(hole) if row.target.kind in ("run-out", "width") else None,
            )
        )
    return located


def _move_holes(holes: Mapping[str, Hole], result: WarpFit, sides: Sides) -> dict[str, Hole]:
    """Move everything drawn on the holes with the ground, and give measured outlines their new origin."""
    warp = result.warp
    origins = _measured_origins(result)
    moved_shapes: dict[int, shapely.Geometry] = {}

    def move(shape: shapely.Geometry) -> shapely.Geometry:
        if id(shape) not in moved_shapes:
            moved_shapes[id(shape)] = warp.move(shape)
        return moved_shapes[id(shape)]

    def move_area(area: Area) -> Area:
        shape = move(area.shape)
        is_moved = shape is not area.shape
        return dataclasses.replace(
            area,
            shape=shape,
            origin=origins.get(area.fid, area.origin),
            original_shape=(area.original_shape or area.shape) if is_moved else area.original_shape,
        )

    moved = {}
    for label, hole in holes.items():
        green = move(hole.green)

        def move_landmark(mark: Landmark, hole: Hole = hole, green: shapely.Polygon = green) -> Landmark:
            if mark.front_m is None:
                return mark
            side_m = sides.get((hole.label, normalize_name(mark.name)), 0.0)
            return dataclasses.replace(mark, xy=place_by_front_number(hole, green, mark.front_m, side_m))

        moved[label] = dataclasses.replace(
            hole,
            areas=tuple(move_area(area) for area in hole.areas),
            green=green,
            landmarks=tuple(move_landmark(mark) for mark in hole.landmarks),
            measurements=tuple(m.as_measurement() for m in result.measurements if m.hole.label == label),
            out_of_bounds=None if hole.out_of_bounds is None else move(hole.out_of_bounds),
            obstructions=tuple(dataclasses.replace(o, shape=move(o.shape)) for o in hole.obstructions),
        )
    return moved


def _measured_origins(result: WarpFit) -> dict[str, Origin]:
    """The best origin among the measurements of each outline, by the identifier of the outline."""
    order = list(Origin)
    origins: dict[str, Origin] = {}
    for measurement in result.used():
        if measurement.feature is not None:
            areas = measurement.feature.areas
        else:
            on_fairway = measurement.row.target.kind in ("run-out", "width")
            wanted = Surface.FAIRWAY if on_fairway else Surface.GREEN
            areas = tuple(a for a in measurement.hole.areas if a.surface == wanted)
        for area in areas:
            rim = shapely.boundary(result.warp.move(area.shape))
            if any(shapely.distance(rim, shapely.Point(mark)) < _TOUCH_M for mark in measurement.marks):
                origin = measurement.row.origin
                origins[area.fid] = min(origin, origins.get(area.fid, origin), key=order.index)
    return origins


def _add_findings(holes: Mapping[str, Hole], findings: Sequence[Finding]) -> dict[str, Hole]:
    """The holes with those of the findings that are about them."""
    result = dict(holes)
    for label, hole in holes.items():
        own = tuple(f for f in findings if f.hole == label)
        if own:
            result[label] = dataclasses.replace(hole, findings=(*hole.findings, *own))
    return result
