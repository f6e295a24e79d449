"""Stands, towers and tents of the week, from course.toml and from the outlines, placed on the holes."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Final

import shapely

from strategy.codes import Surface
from strategy.course.model import Area, Course, FeatureTable, Finding, FindingKind, Hole, Obstruction
from strategy.course.readers.notes import CourseNotes
from strategy.errors import CourseError, InputError

# An outline with one of these tags is an obstruction.
_TAGS: Final = {"building": "grandstand", "leisure": "bleachers", "man_made": "grandstand"}
# An obstruction hides these surfaces.
_COVERED: Final = (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.TREES, Surface.TEE)


def find_obstructions(
    course: Course, table: FeatureTable, notes: CourseNotes, file: str, faults: list[InputError]
) -> tuple[list[Obstruction], list[Finding]]:
    """All obstructions of a course in the course frame, and the finding that reports them.

    Parameters
    ----------
    course : Course
        Course with its frame.
    table : FeatureTable
        The outlines.
    notes, file : CourseNotes, str
        course.toml as read, and its path.
    faults : list of InputError
        Faults of course.toml are added here.
    """
    features = {feature.fid: feature for feature in table.features}
    obstructions: list[Obstruction] = []
    from_notes: set[str] = set()
    for number, note in enumerate(notes.obstructions, start=1):
        where = f"obstructions[{number}]"
        if bool(note.feature) == bool(note.outline):
            mend = "Write feature or outline, one of them"
            faults.append(CourseError(file, where, "has to say where it stands", mend))
        elif note.feature and note.feature not in features:
            continue  # `strategy.course.assembly.unknown` reports features that do not exist
        elif note.outline and len(note.outline) < 3:
            wrong = f"has {len(note.outline)} points"
            faults.append(CourseError(file, f"{where}.outline", wrong, "Give at least three"))
        else:
            lonlat = features[note.feature].geometry if note.feature else shapely.Polygon(note.outline)
            from_notes.add(note.feature)
            obstructions.append(Obstruction(name=note.name, shape=_filled(course.frame.project(lonlat))))
    for feature in table.features:
        if feature.fid not in from_notes and any(feature.tags.get(k) == v for k, v in _TAGS.items()):
            name = feature.tags.get("name") or "grandstand"
            shape = _filled(course.frame.project(feature.geometry))
            obstructions.append(Obstruction(name=name, shape=shape))
    obstructions = [one for one in obstructions if not one.shape.is_empty]
    if not obstructions:
        return [], []
    names = ", ".join(sorted({one.name for one in obstructions}))
    text = (
        f"{len(obstructions)} temporary obstructions ({names}): a ball there has free relief where the local "
        "rule is in force; the numbers count such a ball as lying in rough"
    )
    return obstructions, [Finding(kind=FindingKind.ASSUMED, text=text)]


def place_obstructions(hole: Hole, obstructions: Sequence[Obstruction]) -> Hole:
    """The hole with the obstructions on its mapped ground, which become rough there.

    Fairway under an obstruction would make the place better than free relief does, which is taken beside it.
    """
    on_hole = tuple(one for one in obstructions if shapely.intersects(one.shape, hole.mapped))
    if not on_hole:
        return hole
    cover = shapely.union_all([one.shape for one in on_hole])
    areas = []
    for area in hole.areas:
        if area.surface in _COVERED and shapely.intersects(area.shape, cover):
            rest = shapely.difference(area.shape, cover)
            if not rest.is_empty:
                areas.append(dataclasses.replace(area, shape=rest))
        else:
            areas.append(area)
    areas += [Area(surface=Surface.ROUGH, shape=one.shape, fid=one.name) for one in on_hole]
    return dataclasses.replace(hole, areas=tuple(areas), obstructions=on_hole)


def _filled(shape: shapely.Geometry) -> shapely.Geometry:
    """The ground inside an outline, which may be a closed line; empty for points and open lines."""
    if shape.geom_type == "LineString" and shape.is_closed and len(shape.coords) >= 4:
        shape = shapely.Polygon(shape)
    return shapely.make_valid(shape) if shape.geom_type in ("Polygon", "MultiPolygon") else shapely.Polygon()
