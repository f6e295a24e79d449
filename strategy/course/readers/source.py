"""Finds and reads the files of a course argument: a folder, or one file of any form.

Forms are told apart by content, never by name: GeoJSON, Overpass JSON, OpenStreetMap XML and PBF,
GeoPackage, and each of them packed as .gz, .bz2 or .zip.
"""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from strategy.course.model import FeatureTable
from strategy.course.readers.container import unpack
from strategy.course.readers.geojson import read_geojson
from strategy.course.readers.notes import CourseNotes, read_notes
from strategy.course.readers.osm_file import read_osm, sniff_osm
from strategy.course.readers.overpass import read_overpass
from strategy.errors import CourseError, InputError, InputErrors
from strategy.tomlfile import kind_of, load

OUTLINES: Final = "course.geojson"  # what a course folder holds, as this program writes it
NOTES: Final = "course.toml"
_OUTLINES = (OUTLINES, "course.json", "course.gpkg", "course.osm", "course.osm.pbf")
_OTHERS = ("*.geojson", "*.json", "*.gpkg", "*.osm", "*.pbf", "*.gz", "*.bz2", "*.zip")
# Beside the outlines, and no outlines themselves.
_NOT_OUTLINES = ("imported.json", "plan.json")
_GEOPACKAGE = b"SQLite format 3\x00"
# How a text in UTF-16 can begin: with its mark, or with the first character of XML or JSON.
_WIDE = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"} | {
    mark.encode(code): code for mark in "<{" for code in ("utf-16-le", "utf-16-be")
}
_SAID_WIDE = re.compile(
    rb"""^((?:\xef\xbb\xbf)?\s*<\?xml[^>]*?)\s+encoding\s*=\s*["']utf-?16\w*["']""", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseSource:
    """What was read: features, the caddie's notes, and the files with their sha256.

    Attributes
    ----------
    wanted : str
        Which of several courses in the file is meant; "" when nobody says.
    document : mapping
        course.toml as it stands, unread.
    faults : tuple of InputError
        What is wrong with it by itself. `notes` then holds little; whoever knows the holes adds what is wrong
        against the outlines and raises all at once.
    """

    table: FeatureTable
    notes: CourseNotes
    notes_file: str
    fallback_name: str
    files: dict[str, str]
    wanted: str = ""
    document: Mapping[str, Any] = field(default_factory=dict)
    faults: tuple[InputError, ...] = ()


def read_source(
    path: str | Path,
    name: str | None = None,
    crs: str | None = None,
    layers: Mapping[str, str] | None = None,
) -> CourseSource:
    """Read the features and notes of a course argument.

    Parameters
    ----------
    path : str or Path
        A folder with course.geojson (or course.gpkg, course.osm, ...) and, if there is one, course.toml;
        or one file, its form told apart by content. Beside a single file named course.* the course.toml
        counts too.
    name : str, optional
        Which course, when the file holds several; beats `course` of course.toml. (The
        `name` of course.toml decides too when it is one of theirs.)
    crs : str, optional
        System of the coordinates when the file is in none of its own; beats `crs` of course.toml.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold; beats `layers` of course.toml.

    Raises
    ------
    CourseError, InputErrors
        For a missing or unreadable file, and for every fault of the outlines. Faults of course.toml are kept.
    """
    given = Path(path)
    outline = _outline(given)
    packed = read_bytes(outline)
    files = {str(outline): hashlib.sha256(packed).hexdigest()}
    notes_path = outline.parent / NOTES
    notes, document, faults = CourseNotes(), dict[str, Any](), tuple[InputError, ...]()
    if outline.name.split(".")[0] == "course" and notes_path.is_file():
        document, files[str(notes_path)] = load(notes_path, CourseError)
        try:
            notes = read_notes(notes_path)
        except InputErrors as wrong:
            faults = wrong.faults
            # Enough to read the outlines and to choose the course.
            said = {key: document.get(key) for key in ("name", "course", "crs")}
            notes = CourseNotes.model_validate({k: v for k, v in said.items() if isinstance(v, str)})
    try:
        raw = unpack(str(outline), packed)
        # Once imported as GeoJSON a course has no layers, and course.toml may still speak of them.
        noted = notes.layers if raw.startswith(_GEOPACKAGE) else None
        table = read_table(str(outline), raw, crs or notes.crs, layers or noted)
    except CourseError as wrong:
        if faults:
            raise InputErrors([*faults, wrong]) from None
        raise
    fallback = (given.resolve().name if given.is_dir() else given.name.split(".")[0]).replace("_", " ")
    return CourseSource(
        table=table,
        notes=notes,
        notes_file=str(notes_path),
        fallback_name=fallback,
        files=files,
        wanted=name or notes.course,
        document=document,
        faults=faults,
    )


def _outline(given: Path) -> Path:
    if not given.exists():
        raise CourseError(
            given, "", "there is no such file or folder", "Give a course folder or an outline file"
        )
    if not given.is_dir():
        return given
    for name in _OUTLINES:
        if (given / name).is_file():
            return given / name
    others = sorted({p for pattern in _OTHERS for p in given.glob(pattern) if p.name not in _NOT_OUTLINES})
    if len(others) == 1:
        return others[0]
    met = (
        f"has {len(others)} files that could be the course: " + ", ".join(p.name for p in others)
        if others
        else "has no course.geojson"
    )
    raise CourseError(given, "", met, "Name the outlines course.geojson, or give the file itself")


def read_bytes(path: Path) -> bytes:
    """Content of a file.

    Raises
    ------
    CourseError
        If it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise CourseError(
            path, "", f"cannot be read: {error.strerror}", "Check the file and its permissions"
        ) from None


def read_table(file: str, raw: bytes, crs: str = "", layers: Mapping[str, str] | None = None) -> FeatureTable:
    """Features of one file, whatever its form.

    Parameters
    ----------
    file : str
        The file as the user named it.
    raw : bytes
        Its content, packed or not.
    crs : str
        System of its coordinates, as the user declares it; "" for none.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold, as the user says; other forms have none.

    Raises
    ------
    CourseError
        For a form that is not known, and for every fault of its content.
    """
    raw = in_utf8(file, unpack(file, raw))
    if not raw.strip():
        raise CourseError(file, "", "the file is empty", "Export the course again")
    if raw.startswith(_GEOPACKAGE):
        from strategy.course.readers.geopackage import read_geopackage

        return read_geopackage(file, raw, crs, layers)
    if layers:
        layer, what = next(iter(layers.items()))
        met = f"holds no layers, and {layer!r} is said to hold {what!r}"
        raise CourseError(file, "", met, "Leave --layer out: only a GeoPackage has layers")
    if form := sniff_osm(raw):
        return read_osm(file, raw, form)
    document = _json(file, raw)
    if "elements" in document and "features" not in document:
        return read_overpass(file, document)
    return read_geojson(file, document, crs)


def in_utf8(file: str, raw: bytes) -> bytes:
    """Text in UTF-16, told by its mark or by its first characters, as UTF-8; anything else as it is.

    >>> in_utf8("x", "<osm/>".encode("utf-16"))
    b'<osm/>'

    Raises
    ------
    CourseError
        If it is cut off inside a character.
    """
    code = next((code for start, code in _WIDE.items() if raw.startswith(start)), "")
    if not code:
        # Saved as UTF-8 by an editor, and still said to be what it was.
        return _SAID_WIDE.sub(rb"\1", raw, count=1) if _SAID_WIDE.match(raw[:200]) else raw
    try:
        text = raw.decode(code)
    except UnicodeDecodeError as error:
        raise CourseError(
            file, "", f"is damaged or cut off (UTF-16, byte {error.start})", "Download or export it again"
        ) from None
    # What the head of an XML file says of its encoding is no longer so.
    return _SAID_WIDE.sub(rb"\1", text.encode(), count=1)


def _toml(raw: bytes) -> str:
    """What kind of TOML file this is, in words; "" when it is none."""
    try:
        document = tomllib.loads(raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return ""
    kind = kind_of(document)
    return f"a {kind} file" if kind else "a TOML file"


def _json(file: str, raw: bytes) -> dict[str, Any]:
    try:
        document: Any = json.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise CourseError(
            file,
            "",
            f"is not UTF-8 text (byte {error.start}), nor a form known here",
            "Export as GeoJSON in UTF-8, as OpenStreetMap XML or PBF, or as GeoPackage",
        ) from None
    except json.JSONDecodeError as error:
        if kind := _toml(raw):
            raise CourseError(
                file,
                "",
                f"is {kind}, where a course was expected",
                "Give a course folder or an outline file; a plan takes COURSE PLAYER WEEK in this order",
            ) from None
        start = raw.lstrip()[:1]
        guess = (
            "it looks like XML, but not OpenStreetMap's: export as GeoJSON or .osm"
            if start == b"<"
            else "Export again: a download may have been cut off"
        )
        raise CourseError(file, f"line {error.lineno}", f"is not JSON: {error.msg}", guess) from None
    except RecursionError:
        raise CourseError(file, "", "is nested too deeply to be a course", "Export again") from None
    if not isinstance(document, dict):
        raise CourseError(file, "", f"holds a {type(document).__name__}, not an object", "Export as GeoJSON")
    return document
