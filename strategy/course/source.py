"""Finds and reads the files of a course argument: a folder, or one GeoJSON or Overpass file."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from strategy.course.geojson import read_geojson
from strategy.course.model import FeatureTable
from strategy.course.notes import CourseNotes, read_notes
from strategy.course.overpass import read_overpass
from strategy.errors import CourseError

_OUTLINES = ("course.geojson", "course.json")
_NOTES = "course.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseSource:
    """What was read: features, the caddie's notes, and the files with their sha256."""

    table: FeatureTable
    notes: CourseNotes
    notes_file: str
    fallback_name: str
    files: dict[str, str]


def read_source(path: str | Path) -> CourseSource:
    """Read the features and notes of a course argument.

    Parameters
    ----------
    path : str or Path
        A folder with course.geojson (or course.json) and, if there is one, course.toml; or one
        GeoJSON or Overpass JSON file, told apart by content. Beside a single file named course.* the
        course.toml counts too.

    Raises
    ------
    CourseError, InputErrors
        For a missing or unreadable file, and for every fault of its content.
    """
    given = Path(path)
    outline = _outline(given)
    raw = _bytes(outline)
    files = {str(outline): hashlib.sha256(raw).hexdigest()}
    table = _table(str(outline), raw)
    notes_path = outline.parent / _NOTES
    notes = CourseNotes()
    if outline.stem == "course" and notes_path.is_file():
        files[str(notes_path)] = hashlib.sha256(_bytes(notes_path)).hexdigest()
        notes = read_notes(notes_path)
    fallback = (given.resolve().name if given.is_dir() else given.stem).replace("_", " ")
    return CourseSource(
        table=table, notes=notes, notes_file=str(notes_path), fallback_name=fallback, files=files
    )


def _outline(given: Path) -> Path:
    if not given.exists():
        raise CourseError(
            given, "", "there is no such file or folder", "Give a course folder or a .geojson file"
        )
    if not given.is_dir():
        return given
    for name in _OUTLINES:
        if (given / name).is_file():
            return given / name
    others = sorted(p for pattern in ("*.geojson", "*.json") for p in given.glob(pattern))
    if len(others) == 1:
        return others[0]
    met = (
        f"has {len(others)} files that could be the course: " + ", ".join(p.name for p in others)
        if others
        else "has no course.geojson"
    )
    raise CourseError(given, "", met, "Name the outlines course.geojson, or give the file itself")


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise CourseError(
            path, "", f"cannot be read: {error.strerror}", "Check the file and its permissions"
        ) from None


def _table(file: str, raw: bytes) -> FeatureTable:
    if not raw.strip():
        raise CourseError(file, "", "the file is empty", "Export the course again")
    try:
        document: Any = json.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise CourseError(
            file, "", f"is not UTF-8 text (byte {error.start})", "Export as GeoJSON in UTF-8"
        ) from None
    except json.JSONDecodeError as error:
        start = raw.lstrip()[:1]
        guess = (
            "it looks like XML: export as GeoJSON or Overpass JSON"
            if start == b"<"
            else "Export again: a download may have been cut off"
        )
        raise CourseError(file, f"line {error.lineno}", f"is not JSON: {error.msg}", guess) from None
    except RecursionError:
        raise CourseError(file, "", "is nested too deeply to be a course", "Export again") from None
    if not isinstance(document, dict):
        raise CourseError(file, "", f"holds a {type(document).__name__}, not an object", "Export as GeoJSON")
    if "elements" in document and "features" not in document:
        return read_overpass(file, document)
    return read_geojson(file, document)
