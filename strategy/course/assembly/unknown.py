"""What `course.toml` names has to be there: holes, features, and places that lie on their hole.

A slip of the pen would go unseen otherwise: the colour of a pond that does not exist, a drop zone a mile off.
The raw document is looked through, so that these faults are named beside those of its keys.
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
from strategy.tomlfile import Found
from strategy.units import YARD_M

# Farther from the line of play nothing is a hole's (a tee that names its hole is matched this far); something
# to aim at may stand on the horizon. Engineering choices. [m]
REACH_M: Final = 200.0
SIGHT_M: Final = 30_000.0
_PLACES: Final = ("drop_zones", "tees", "sight_marks", "landmarks")
_BY_FEATURE: Final = ("penalty_areas", "tree_heights", "tree_branches")
_BY_ENTRY: Final = ("out_of_bounds", "obstructions")
_KINDS: Final = ("golf", "natural", "leisure", "landuse", "waterway", "barrier")
_MILE_M: Final = 1609.344
_FAR_MILES: Final = 200  # farther off a flat frame measures nothing
_BY_ID: Final = "Give the id of a feature as the outlines have it, or take it out"


def unknown_names(
    document: Mapping[str, Any], labels: Collection[str], features: Collection[str]
) -> Iterator[Found]:
    """Holes and features that `course.toml` names and the outlines do not have.

    Parameters
    ----------
    document : mapping
        The file as TOML; entries of a wrong type are passed over, they are named by their own check.
    labels : collection of str
        Holes of the course.
    features : collection of str
        Identifiers of everything drawn.
    """
    known = [str(label) for label in labels]

    def hole(place: tuple[str | int, ...], label: object) -> Iterator[Found]:
        if isinstance(label, str | int) and str(label) not in known:
            yield Found(place, f"there is no hole {str(label)!r}", f"The holes are {', '.join(known)}")

    def feature(place: tuple[str | int, ...], fid: object) -> Iterator[Found]:
        if isinstance(fid, str) and fid and fid not in features:
            yield Found(place, f"there is no feature {fid!r}", _BY_ID)

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
) -> Iterator[Found]:
    """Places of `course.toml` that lie nowhere near the line of play of their hole.

    Parameters
    ----------
    document : mapping
        The file as TOML.
    lines : mapping of str to LineString
        Lines of play by hole, course frame. [m]
    frame : Frame
        The course frame.
    """
    for key, number, entry in _listed(document, _PLACES):
        line, at = lines.get(str(entry.get("hole"))), entry.get("at")
        if line is None or not _is_position(at):
            continue
        away = _away(line, frame, at)
        if away <= (SIGHT_M if key == "sight_marks" else REACH_M):
            continue
        swapped = abs(at[0]) <= 90.0 and _away(line, frame, at[::-1]) <= REACH_M
        mend = (
            f"Swap the two numbers: longitude comes first, [{at[1]}, {at[0]}]"
            if swapped
            else "Correct its longitude and latitude, or its hole"
        )
        wrong = f"is {list(at)}, {_distance(away)} from the line of play of hole {entry['hole']}"
        yield Found((key, number, "at"), wrong, mend)


def misnamed(notes: CourseNotes, areas: Iterable[Area], features: Iterable[Feature]) -> list[Finding]:
    """Questions about features that `course.toml` names for what they are not: the colour of a bunker."""
    tags = {feature.fid: feature.tags for feature in features}
    wet, trees = set[str](), set[str]()
    for area in areas:
        if area.surface.penalty_area:
            wet.add(area.fid)
        elif area.surface == Surface.TREES:
            trees.add(area.fid)
    found = []
    for key, named, fits, word in (
        ("penalty_areas", notes.penalty_areas, wet, "penalty area"),
        ("tree_heights", notes.tree_heights, trees, "wood or tree"),
        ("tree_branches", notes.tree_branches, trees, "wood or tree"),
    ):
        for fid in named:
            if fid in tags and fid not in fits:
                is_ = next((f" ({k}={v})" for k, v in tags[fid].items() if k in _KINDS), "")
                text = f"course.toml: {key}: {fid}{is_} is no {word}: what is said of it counts nowhere"
                found.append(Finding(kind=FindingKind.QUESTION, text=text, feature=fid))
    return found


def _away(line: shapely.LineString, frame: Frame, at: list[float]) -> float:
    """Distance of a longitude and latitude from a line; infinite where the frame does not reach. [m]"""
    xy = frame.to_xy((float(at[0]), float(at[1])))[0]
    return float(shapely.distance(line, shapely.Point(xy))) if np.isfinite(xy).all() else float("inf")


def _distance(away: float) -> str:
    if away < 2.0 * _MILE_M:
        return f"{away / YARD_M:.0f} yd"
    return f"{away / _MILE_M:.0f} miles" if away < _FAR_MILES * _MILE_M else f"over {_FAR_MILES} miles"


def _is_position(at: object) -> TypeGuard[list[float]]:
    if not (isinstance(at, list) and len(at) == 2):
        return False
    if not all(isinstance(v, int | float) and not isinstance(v, bool) for v in at):
        return False
    return bool(abs(at[0]) <= 180.0 and abs(at[1]) <= 90.0)


def _table(document: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    table = document.get(key)
    return table if isinstance(table, Mapping) else {}


def _listed(
    document: Mapping[str, Any], keys: Collection[str]
) -> Iterator[tuple[str, int, Mapping[str, Any]]]:
    """Entries of several lists of tables: key, place from 0, entry."""
    for key in keys:
        entries = document.get(key)
        for number, entry in enumerate(entries if isinstance(entries, list) else ()):
            if isinstance(entry, Mapping):
                yield key, number, entry
