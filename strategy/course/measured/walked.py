"""What the caddie adds to a course that is put together: landmarks, numbers as walked, heights, stands.

`assemble` ends here. Every fault of measurements.csv and of these tables of course.toml is named at once.
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
from strategy.course.measured.fit import APART_M, Lookup, WarpFit, fit, measured, stand
from strategy.course.measured.ground import Heights, sketches
from strategy.course.measured.measurements import FILE_NAME, MeasurementLine, parse_side, read_measurements
from strategy.course.measured.names import find_named_feature
from strategy.course.model import (
    Area,
    Course,
    FeatureTable,
    Finding,
    FindingKind,
    Hole,
    Landmark,
    Obstruction,
)
from strategy.course.named_features import name_features
from strategy.course.origin import Origin
from strategy.course.playline import along_side
from strategy.course.readers.notes import CourseNotes, length_m
from strategy.errors import CourseError, InputError, InputErrors, RequestError

_STANDS: Final = {"building": "grandstand", "leisure": "bleachers", "man_made": "grandstand"}
_UNDER: Final = (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.TREES, Surface.TEE)
_TOUCH_M: Final = 0.5  # a mark lies on the outline it was taken at


def add_walked(
    course: Course,
    table: FeatureTable,
    notes: CourseNotes,
    notes_file: str,
    *,
    measurements: Path | None,
    faults: Sequence[InputError] = (),
) -> Course:
    """Add to a course what was walked and what course.toml says of the ground.

    Parameters
    ----------
    course : Course
        Put together from the outlines.
    table : FeatureTable
        The outlines, for heights and stands in them.
    notes, notes_file : CourseNotes, str
        course.toml as read, and its name.
    measurements : Path or None
        measurements.csv; None, or a file that is not there, when nothing was walked.
    faults : sequence of InputError
        What is known to be wrong with course.toml; raised with what is found here.

    Raises
    ------
    CourseError, InputErrors
        For every fault of the files.
    """
    files = dict(course.files)
    rows: tuple[MeasurementLine, ...] = ()
    wrong: list[InputError] = [*faults]
    if measurements is not None and measurements.is_file():
        try:
            rows = read_measurements(measurements)
        except InputErrors as unread:
            wrong += unread.faults
        except CourseError as unread:
            wrong.append(unread)
        files[str(measurements)] = hashlib.sha256(measurements.read_bytes()).hexdigest()
    stands, findings = _stands(course, table, notes, notes_file, wrong)
    holes = {hole.label: _with_stands(hole, stands) for hole in course.holes}
    sides: dict[tuple[str, str], float] = {}
    holes = _landmarks(holes, notes, notes_file, rows, str(measurements), sides, wrong)
    holes = sketches(holes, notes, notes_file, wrong)
    jobs = _jobs(holes, rows, str(measurements), sides, wrong)
    if wrong:
        raise InputErrors(wrong)
    if jobs:
        done = fit(jobs)
        holes = _moved(holes, done, sides)
        holes = _add_findings(holes, done.findings)
    heights = Heights(course, table, notes, Path(notes_file), files)
    holes = {label: heights.of(hole) for label, hole in holes.items()}
    findings += heights.close()
    return dataclasses.replace(
        course,
        holes=tuple(holes[hole.label] for hole in course.holes),
        findings=(*course.findings, *findings),
        files=files,
    )


def measurements_beside(outline: str) -> Path | None:
    """Where the measurements of an outline file are: beside it when it is called course.*, else nowhere."""
    path = Path(outline)
    return path.parent / FILE_NAME if path.name.split(".")[0] == "course" else None


# --- stands and other obstructions of the week ---------------------------------------------------------


def _stands(
    course: Course, table: FeatureTable, notes: CourseNotes, file: str, faults: list[InputError]
) -> tuple[list[Obstruction], list[Finding]]:
    drawn = {feature.fid: feature for feature in table.features}
    found: list[Obstruction] = []
    named: set[str] = set()
    for number, note in enumerate(notes.obstructions, start=1):
        where = f"obstructions[{number}]"
        if bool(note.feature) == bool(note.outline):
            faults.append(
                CourseError(
                    file, where, "has to say where it stands", "Write feature or outline, one of them"
                )
            )
        elif note.feature and note.feature not in drawn:
            continue  # named with all other features that are not there
        elif note.outline and len(note.outline) < 3:
            faults.append(
                CourseError(
                    file, f"{where}.outline", f"has {len(note.outline)} points", "Give at least three"
                )
            )
        else:
            lonlat = drawn[note.feature].geometry if note.feature else shapely.Polygon(note.outline)
            named.add(note.feature)
            found.append(Obstruction(name=note.name, shape=_ground(course.frame.project(lonlat))))
    for feature in table.features:
        if feature.fid not in named and any(feature.tags.get(k) == v for k, v in _STANDS.items()):
            name = feature.tags.get("name") or "grandstand"
            found.append(Obstruction(name=name, shape=_ground(course.frame.project(feature.geometry))))
    found = [stand for stand in found if not stand.shape.is_empty]
    if not found:
        return [], []
    names = ", ".join(sorted({stand.name for stand in found}))
    text = (
        f"{len(found)} temporary obstructions ({names}): a ball there has free relief where the local rule "
        "is in force; the numbers count such a ball as lying in rough"
    )
    return found, [Finding(kind=FindingKind.ASSUMED, text=text)]


def _ground(shape: shapely.Geometry) -> shapely.Geometry:
    """A drawn outline as filled ground; a closed line is one, a point or an open line covers nothing."""
    if shape.geom_type == "LineString" and shape.is_closed and len(shape.coords) >= 4:
        shape = shapely.Polygon(shape)
    return shapely.make_valid(shape) if shape.geom_type in ("Polygon", "MultiPolygon") else shapely.Polygon()


def _with_stands(hole: Hole, stands: Sequence[Obstruction]) -> Hole:
    here = tuple(stand for stand in stands if shapely.intersects(stand.shape, hole.mapped))
    if not here:
        return hole
    cover = shapely.union_all([stand.shape for stand in here])
    areas = []
    for area in hole.areas:
        if area.surface in _UNDER and shapely.intersects(area.shape, cover):
            rest = shapely.difference(area.shape, cover)
            if not rest.is_empty:
                areas.append(dataclasses.replace(area, shape=rest))
        else:
            areas.append(area)
    # Fairway under a stand would be better than free relief gives: drops are taken beside it.
    areas += [Area(surface=Surface.ROUGH, shape=stand.shape, fid=stand.name) for stand in here]
    return dataclasses.replace(hole, areas=tuple(areas), obstructions=here)


# --- landmarks --------------------------------------------------------------------------------------------


def _landmarks(
    holes: Mapping[str, Hole],
    notes: CourseNotes,
    notes_file: str,
    rows: Sequence[MeasurementLine],
    rows_file: str,
    sides: dict[tuple[str, str], float],
    faults: list[InputError],
) -> dict[str, Hole]:
    """Landmarks of course.toml and of the measurements; `sides` keeps how far off the line each stands."""
    marks: dict[str, list[Landmark]] = {label: [] for label in holes}
    told: list[Finding] = []

    def put(
        file: str, where: str, label: str, name: str, front: float, side: str, unit: float, origin: Origin
    ) -> None:
        hole = holes.get(label)
        if hole is None:
            if file != notes_file:  # course.toml's holes are checked with its other keys
                faults.append(_no_hole(file, where, label, holes))
            return
        twice = next((m for m in marks[label] if normalize_name(m.name) == normalize_name(name)), None)
        if twice is not None:
            if twice.front_m is None or abs(twice.front_m - front) > 0.5:
                mend = "Keep one of them, or give them two names"
                faults.append(
                    CourseError(file, where, f"there is a landmark {name!r} on this hole already", mend)
                )
            return
        off = parse_side(side, unit) if side else (0.0, "")
        if off is None:
            mend = 'Write it like "8 left", or "right" for the edge of the fairway'
            faults.append(CourseError(file, f"{where}.side", f"is {side!r}", mend))
            return
        try:
            x, y = stand(hole, hole.green, front, 0.0)
        except RequestError as error:
            faults.append(CourseError(file, where, f"cannot stand there: {error}", "Correct its number"))
            return
        side_m, word = off
        if side_m is None:
            depth = float(along_side(hole.line, (x, y))[0, 1])
            both = edges.width(edges.fairway_of(hole), hole.line, depth)
            side_m = both[0 if word == "left" else 1].value_m if both else 0.0
            if both is None:
                text = f"landmark {name!r}: no fairway is drawn beside it; it is put on the line of play"
                told.append(Finding(kind=FindingKind.ASSUMED, text=text, hole=label))
        sides[label, normalize_name(name)] = side_m
        at = stand(hole, hole.green, front, side_m)
        marks[label].append(Landmark(name=name, xy=at, front_m=front, origin=origin))

    for number, note in enumerate(notes.landmarks, start=1):
        where = f"landmarks[{number}] ({note.name})"
        stated = note.front
        if (note.at is None) == (stated is None):
            mend = "Write front (its number to the front of the green) or at, one of them"
            faults.append(CourseError(notes_file, where, "has to say where it is", mend))
        elif note.at is not None:
            if note.hole in holes:
                x, y = holes[note.hole].frame.to_xy(note.at)[0]
                marks[note.hole].append(Landmark(name=note.name, xy=(float(x), float(y))))
        else:
            front = length_m(0.0 if stated is None else stated, notes.unit_m)
            put(notes_file, where, note.hole, note.name, front, note.side, notes.unit_m, Origin.PUBLISHED)
    for row in rows:
        if row.what.kind == "landmark":
            name = row.what.name
            put(rows_file, f"line {row.line}", row.hole, name, row.value_m, row.side, row.unit_m, row.origin)
    for row in (r for r in rows if r.what.kind == "front" and r.hole in holes):
        _renumber(holes[row.hole], marks[row.hole], row, sides, told)
    done = {}
    for label, hole in holes.items():
        ordered = sorted(marks[label], key=lambda m: float(along_side(hole.line, m.xy)[0, 1]))
        done[label] = dataclasses.replace(hole, landmarks=tuple(ordered))
    return _add_findings(done, told)


def _renumber(
    hole: Hole,
    marks: list[Landmark],
    row: MeasurementLine,
    sides: Mapping[tuple[str, str], float],
    told: list[Finding],
) -> None:
    """A front number taken at a landmark that stands by its front number: the better of the two counts."""
    place = next(
        (i for i, m in enumerate(marks) if normalize_name(m.name) == normalize_name(row.source)),
        None,
    )
    if place is None or (front := marks[place].front_m) is None:
        return
    mark, order = marks[place], list(Origin)
    apart = abs(front - row.value_m)
    said = f"front {row.value_m / row.unit_m:.0f} from {mark.name} ({row.how})"
    if apart > APART_M + 1e-9:
        text = f"{said}: its own number is {front / row.unit_m:.0f} ({mark.origin}); not used"
        where = f"measurements line {row.line}"
        told.append(Finding(kind=FindingKind.QUESTION, text=text, hole=hole.label, feature=where))
    elif order.index(row.origin) < order.index(mark.origin):
        xy = stand(hole, hole.green, row.value_m, sides.get((hole.label, normalize_name(mark.name)), 0.0))
        marks[place] = dataclasses.replace(mark, front_m=row.value_m, xy=xy, origin=row.origin)


# --- numbers as walked --------------------------------------------------------------------------------------


def _jobs(
    holes: Mapping[str, Hole],
    rows: Sequence[MeasurementLine],
    file: str,
    sides: Mapping[tuple[str, str], float],
    faults: list[InputError],
) -> list[Lookup]:
    found = []
    named = {}
    for row in (r for r in rows if r.what.kind != "landmark"):
        where = f"line {row.line}"
        hole = holes.get(row.hole)
        if hole is None:
            faults.append(_no_hole(file, where, row.hole, holes))
            continue
        try:
            place = edges.place_of(hole, row.source)
        except RequestError as error:
            mend = 'Correct it, or add a line that makes it: from "landmark", what its name'
            faults.append(CourseError(file, where, str(error), mend))
            continue
        thing = None
        if row.what.name:
            if hole.label not in named:
                named[hole.label] = name_features(hole)
            looked = find_named_feature(row.what.name, named[hole.label], hole.line)
            if isinstance(looked, str):
                faults.append(
                    CourseError(file, where, looked, "Use one of these names, or the id of a feature")
                )
                continue
            thing = looked
        mark = place if isinstance(place, Landmark) and place.front_m is not None else None
        if mark is not None and row.what.kind == "front":
            continue  # it is the landmark's own number: see `_landmarks`
        found.append(
            Lookup(
                row=row,
                hole=hole,
                source=place.name if isinstance(place, Landmark) else edges.tee_words(place.name),
                xy=place.xy,
                place=mark,
                side_m=sides.get((hole.label, normalize_name(place.name)), 0.0) if mark else 0.0,
                thing=thing,
                fairway=edges.fairway_of(hole) if row.what.kind in ("run-out", "width") else None,
            )
        )
    return found


def _moved(
    holes: Mapping[str, Hole], done: WarpFit, sides: Mapping[tuple[str, str], float]
) -> dict[str, Hole]:
    """Holes with the ground moved under them; the edges that were walked say so."""
    warp = done.warp
    origin = _origins(done)
    cache: dict[int, shapely.Geometry] = {}

    def move(shape: shapely.Geometry) -> shapely.Geometry:
        if id(shape) not in cache:
            cache[id(shape)] = warp.move(shape)
        return cache[id(shape)]

    result = {}
    for label, hole in holes.items():
        areas = tuple(_moved_area(a, move(a.shape), origin) for a in hole.areas)
        green = move(hole.green)
        mine = [job for job in done.jobs if job.hole.label == label]
        marks = tuple(
            m
            if m.front_m is None
            else dataclasses.replace(
                m, xy=stand(hole, green, m.front_m, sides.get((label, normalize_name(m.name)), 0.0))
            )
            for m in hole.landmarks
        )
        result[label] = dataclasses.replace(
            hole,
            areas=areas,
            green=green,
            landmarks=marks,
            measurements=tuple(measured(job) for job in mine),
            out_of_bounds=None if hole.out_of_bounds is None else move(hole.out_of_bounds),
            obstructions=tuple(dataclasses.replace(o, shape=move(o.shape)) for o in hole.obstructions),
        )
    return result


def _moved_area(area: Area, shape: shapely.Geometry, origin: Mapping[str, Origin]) -> Area:
    original = area.original_shape if shape is area.shape else area.original_shape or area.shape
    return dataclasses.replace(
        area, shape=shape, origin=origin.get(area.fid, area.origin), original_shape=original
    )


def _origins(done: WarpFit) -> dict[str, Origin]:
    """Best origin of every outline that a number was taken at, by feature."""
    order = list(Origin)
    found: dict[str, Origin] = {}
    for job in (j for j in done.jobs if j.used):
        kind = job.row.what.kind
        if job.thing is not None:
            areas = job.thing.areas
        else:
            wanted = Surface.FAIRWAY if kind in ("run-out", "width") else Surface.GREEN
            areas = tuple(a for a in job.hole.areas if a.surface == wanted)
        for area in areas:
            rim = shapely.boundary(done.warp.move(area.shape))
            if any(shapely.distance(rim, shapely.Point(mark)) < _TOUCH_M for mark in job.marks):
                best = min(job.row.origin, found.get(area.fid, job.row.origin), key=order.index)
                found[area.fid] = best
    return found


def _add_findings(holes: Mapping[str, Hole], findings: Sequence[Finding]) -> dict[str, Hole]:
    result = dict(holes)
    for label, hole in holes.items():
        mine = tuple(f for f in findings if f.hole == label)
        if mine:
            result[label] = dataclasses.replace(hole, findings=(*hole.findings, *mine))
    return result


def _no_hole(file: str, where: str, label: str, holes: Mapping[str, Hole]) -> CourseError:
    return CourseError(file, where, f"there is no hole {label!r}", f"The holes are {', '.join(holes)}")
