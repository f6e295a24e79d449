"""Finds names in `course.toml` that do not exist on the course, and places that are not on their hole.

Without this check a slip of the pen would go unnoticed: the colour of a pond that does not exist, a drop zone
a mile away. The raw document is checked, so that these faults are reported together with those of its keys.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, Final, TypeGuard

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.course.frame import Frame
from strategy.course.model import Area, Feature, Finding, FindingKind
from strategy.course.readers.notes import CourseNotes
from strategy.tomlfile import PlacedFault
from strategy.units import YARD_M

# No place of a hole is farther from its line of play than this. (A tee with the number of a hole is matched
# as far as this.) Something to aim at may be on the horizon. Engineering choices. [m]
REACH_M: Final = 200.0
SIGHT_M: Final = 30_000.0
_PLACES: Final = ("drop_zones", "tees", "sight_marks", "landmarks")
_BY_FEATURE: Final = ("penalty_areas", "tree_heights", "tree_branches")
_BY_ENTRY: Final = ("out_of_bounds", "obstructions")
_KIND_KEYS: Final = ("golf", "natural", "leisure", "landuse", "waterway", "barrier")
_MILE_M: Final = 1609.344
_FAR_MILES: Final = 200  # the course frame cannot measure longer distances
_BY_ID: Final = "Give the id of a feature as the outlines have it, or take it out"


def unknown_names(
    document: Mapping[str, Any], labels: Collection[str], features: Collection[str]
) -> Iterator[PlacedFault]:
    """Find holes and features that `course.toml` names and the outlines do not have.

    Parameters
    ----------
    document : mapping
        The file as TOML. Entries of a wrong type are skipped; another check reports them.
    labels : collection of str
        Labels of the holes of the course.
    features : collection of str
        Identifiers of all features.
    """
    known = [str(label) for label in labels]

    def hole(place: tuple[str | int, ...], label: object) -> Iterator[PlacedFault]:
        if isinstance(label, str | int) and str(label) not in known:
            yield PlacedFault(place, f"there is no hole {str(label)!r}", f"The holes are {', '.join(known)}")

    def feature(place: tuple[str | int, ...], fid: object) -> Iterator[PlacedFault]:
        if isinstance(fid, str) and fid and fid not in features:
            yield PlacedFault(place, f"there is no feature {fid!r}", _BY_ID)

    for label in _table(document, "holes"):
        yield from hole(("holes", label), label)
    for key, number, entry in _listed(document, _PLACES):
        yield from hole((key, number, "hole"), entry.get("hole"))
    for key, number, entry in _listed(document, _BY_ENTRY):
        yield from feature((key, number, "feature"), entry.get("feature"))
        holes = entry.get("holes")
        for position, label in enumerate(holes if isinstance(holes, list) else ()):
            yield from hole((key, number, "holes", position), label)
    for key in _BY_FEATURE:
        for fid in _table(document, key):
            if not (fid == "default" and key != "penalty_areas"):
                yield from feature((key, fid), fid)


def far_places(
    document: Mapping[str, Any], lines: Mapping[str, shapely.LineString], frame: Frame
) -> Iterator[PlacedFault]:
    """Find places in `course.toml` that are far from the line of play of their hole.

    Parameters
    ----------
    document : mapping
        The file as TOML.
    lines : mapping of str to LineString
        Lines of play by label of the hole, in the course frame. [m]
    frame : Frame
        The course frame.
    """
    for key, number, entry in _listed(document, _PLACES):
        line, at = lines.get(str(entry.get("hole"))), entry.get("at")
        if line is None or not _is_position(at):
            continue
        away = _distance(line, frame, at)
        if away <= (SIGHT_M if key == "sight_marks" else REACH_M):
            continue
        is_swapped = abs(at[0]) <= 90.0 and _distance(line, frame, at[::-1]) <= REACH_M
        mend = (
            f"Swap the two numbers: longitude comes first, [{at[1]}, {at[0]}]"
            if is_swapped
            else "Correct its longitude and latitude, or its hole"
        )
        wrong = f"is {list(at)}, {_distance_words(away)} from the line of play of hole {entry['hole']}"
        yield PlacedFault((key, number, "at"), wrong, mend)


def misnamed(notes: CourseNotes, areas: Iterable[Area], features: Iterable[Feature]) -> list[Finding]:
    """Questions about features in tables of `course.toml` that do not fit them, as the colour of a bunker."""
    tags = {feature.fid: feature.tags for feature in features}
    penalty_areas, trees = set[str](), set[str]()
    for area in areas:
        if area.surface.penalty_area:
            penalty_areas.add(area.fid)
        elif area.surface == Surface.TREES:
            trees.add(area.fid)
    questions = []
    for key, named, fitting, word in (
        ("penalty_areas", notes.penalty_areas, penalty_areas, "penalty area"),
        ("tree_heights", notes.tree_heights, trees, "wood or tree"),
        ("tree_branches", notes.tree_branches, trees, "wood or tree"),
    ):
        for fid in named:
            if fid in tags and fid not in fitting:
                tag = next((f" ({k}={v})" for k, v in tags[fid].items() if k in _KIND_KEYS), "")
                text = f"course.toml: {key}: {fid}{tag} is no {word}, so the entry has no effect"
                questions.append(Finding(kind=FindingKind.QUESTION, text=text, feature=fid))
    return questions


def _distance(line: shapely.LineString, frame: Frame, at: list[float]) -> float:
    """Distance of a longitude and latitude from a line; infinite beyond the range of the frame. [m]"""
    xy = frame.to_xy((float(at[0]), float(at[1])))[0]
    return float(shapely.distance(line, shapely.Point(xy))) if np.isfinite(xy).all() else float("inf")


def _distance_words(away: float) -> str:
    """A distance in yards or miles."""
    if away < 2.0 * _MILE_M:
        return f"{away / YARD_M:.0f} yd"
    return f"{away / _MILE_M:.0f} miles" if away < _FAR_MILES * _MILE_M else f"over {_FAR_MILES} miles"


def _is_position(at: object) -> TypeGuard[list[float]]:
    """Whether a value of the document is a longitude and a latitude."""
    if not (isinstance(at, list) and len(at) == 2):
        return False
    if not all(isinstance(v, int | float) and not isinstance(v, bool) for v in at):
        return False
    return bool(abs(at[0]) <= 180.0 and abs(at[1]) <= 90.0)


def _table(document: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """A table of the document; empty when there is none of that name."""
    table = document.get(key)
    return table if isinstance(table, Mapping) else {}


def _listed(
    document: Mapping[str, Any], keys: Collection[str]
) -> Iterator[tuple[str, int, Mapping[str, Any]]]:
    """The entries of several lists of tables: key, position from 0, entry."""
    for key in keys:
        entries = document.get(key)
        for number, entry in enumerate(entries if isinstance(entries, list) else ()):
            if isinstance(entry, Mapping):
                yield key, number, entry
