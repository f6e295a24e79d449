"""Finds and reads the files of a course, which is given as a folder or as one file.

The form of a file is recognised by content, never by name: GeoJSON, Overpass JSON, OpenStreetMap XML and PBF,
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

OUTLINES: Final = "course.geojson"  # the outlines in a course folder that this program writes
NOTES: Final = "course.toml"
_OUTLINE_NAMES = (OUTLINES, "course.json", "course.gpkg", "course.osm", "course.osm.pbf")
_OUTLINE_PATTERNS = ("*.geojson", "*.json", "*.gpkg", "*.osm", "*.pbf", "*.gz", "*.bz2", "*.zip")
# Files of the program that may be in a course folder.
_NOT_OUTLINES = ("imported.json", "plan.json")
_GEOPACKAGE = b"SQLite format 3\x00"
# A text in UTF-16 begins with a byte order mark, or with the first character of XML or JSON.
_UTF_16_STARTS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"} | {
    mark.encode(code): code for mark in "<{" for code in ("utf-16-le", "utf-16-be")
}
# The head of an XML file that declares UTF-16.
_DECLARED_UTF_16 = re.compile(
    rb"""^((?:\xef\xbb\xbf)?\s*<\?xml[^>]*?)\s+encoding\s*=\s*["']utf-?16\w*["']""", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseSource:
    """The files of a course as read.

    Attributes
    ----------
    table : FeatureTable
        The features.
    notes, notes_file : CourseNotes, str
        course.toml as read, and its path.
    fallback_name : str
        Name of the course when neither course.toml nor the outlines have one.
    files : dict of str to str
        SHA-256 of each file, by its path as given.
    wanted : str
        Which of several courses in the file is meant; "" when the user does not say.
    document : mapping
        course.toml as a TOML document.
    faults : tuple of InputError
        Faults of course.toml alone. `notes` then holds only what is needed to read the outlines. Assembly
        adds the faults against the outlines and raises all at once.
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
    """Read the features and the notes of a course.

    Parameters
    ----------
    path : str or Path
        A folder with course.geojson (or course.gpkg, course.osm, ...) and perhaps course.toml, or one file of
        any form. A course.toml beside a single file counts if the file is called course.*.
    name : str, optional
        The course, for a file with several; it replaces `course` in course.toml. (The `name` in course.toml
        decides too, if one of the courses has it.)
    crs : str, optional
        Coordinate system of a file that states none; it replaces `crs` in course.toml.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold; it replaces `layers` in course.toml.

    Raises
    ------
    CourseError, InputErrors
        For a file that is missing or cannot be read, and for a fault of the outlines. Faults of course.toml
        are in `CourseSource.faults`.
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
        except InputErrors as error:
            faults = error.faults
            # These keys are enough to read the outlines and to choose the course.
            stated = {key: document.get(key) for key in ("name", "course", "crs")}
            notes = CourseNotes.model_validate({k: v for k, v in stated.items() if isinstance(v, str)})
    try:
        raw = unpack(str(outline), packed)
        # A course that was imported as GeoJSON has no layers any more, but course.toml may still name them.
        noted = notes.layers if raw.startswith(_GEOPACKAGE) else None
        table = read_table(str(outline), raw, crs or notes.crs, layers or noted)
    except CourseError as error:
        if faults:
            raise InputErrors([*faults, error]) from None
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
    """The outline file of a course argument."""
    if not given.exists():
        raise CourseError(
            given, "", "there is no such file or folder", "Give a course folder or an outline file"
        )
    if not given.is_dir():
        return given
    for name in _OUTLINE_NAMES:
        if (given / name).is_file():
            return given / name
    possible = {path for pattern in _OUTLINE_PATTERNS for path in given.glob(pattern)}
    possible = {path for path in possible if path.name not in _NOT_OUTLINES}
    if len(possible) == 1:
        return possible.pop()
    names = ", ".join(path.name for path in sorted(possible))
    wrong = f"has {len(possible)} files that could be the course: {names}"
    wrong = wrong if possible else "has no course.geojson"
    raise CourseError(given, "", wrong, "Name the outlines course.geojson, or give the file itself")


def read_bytes(path: Path) -> bytes:
    """The content of a file.

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
    """Read the features of one file of any form.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it.
    raw : bytes
        Its content, packed or not.
    crs : str
        Coordinate system, as the user states it; "" for none.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold, as the user states it. Other forms have no layers.

    Raises
    ------
    CourseError
        For an unknown form, and for a fault of the content.
    """
    raw = in_utf8(file, unpack(file, raw))
    if not raw.strip():
        raise CourseError(file, "", "the file is empty", "Export the course again")
    if raw.startswith(_GEOPACKAGE):
        from strategy.course.readers.geopackage import read_geopackage

        return read_geopackage(file, raw, crs, layers)
    if layers:
        layer, what = next(iter(layers.items()))
        wrong = f"holds no layers, and {layer!r} is said to hold {what!r}"
        raise CourseError(file, "", wrong, "Leave --layer out: only a GeoPackage has layers")
    if form := sniff_osm(raw):
        return read_osm(file, raw, form)
    document = _json(file, raw)
    if "elements" in document and "features" not in document:
        return read_overpass(file, document)
    return read_geojson(file, document, crs)


def in_utf8(file: str, raw: bytes) -> bytes:
    """Convert text in UTF-16 to UTF-8; any other content is returned unchanged.

    >>> in_utf8("x", "<osm/>".encode("utf-16"))
    b'<osm/>'

    Raises
    ------
    CourseError
        If the text is cut off inside a character.
    """
    encoding = next((name for start, name in _UTF_16_STARTS.items() if raw.startswith(start)), "")
    if not encoding:
        # An editor may have saved the file as UTF-8 without a change of the declaration.
        return _DECLARED_UTF_16.sub(rb"\1", raw, count=1) if _DECLARED_UTF_16.match(raw[:200]) else raw
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as error:
        raise CourseError(
            file, "", f"is damaged or cut off (UTF-16, byte {error.start})", "Download or export it again"
        ) from None
    # The encoding that the head of an XML file declares is no longer true.
    return _DECLARED_UTF_16.sub(rb"\1", text.encode(), count=1)


def _toml_words(raw: bytes) -> str:
    """The kind of a TOML file in words; "" for other files."""
    try:
        document = tomllib.loads(raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return ""
    kind = kind_of(document)
    return f"a {kind} file" if kind else "a TOML file"


def _json(file: str, raw: bytes) -> dict[str, Any]:
    """Parse a JSON object; the message of a fault names what the file looks like."""
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
        if kind := _toml_words(raw):
            raise CourseError(
                file,
                "",
                f"is {kind}, where a course was expected",
                "Give a course folder or an outline file; a plan takes COURSE PLAYER WEEK in this order",
            ) from None
        mend = (
            "it looks like XML, but not OpenStreetMap's: export as GeoJSON or .osm"
            if raw.lstrip().startswith(b"<")
            else "Export again: a download may have been cut off"
        )
        raise CourseError(file, f"line {error.lineno}", f"is not JSON: {error.msg}", mend) from None
    except RecursionError:
        raise CourseError(file, "", "is nested too deeply to be a course", "Export again") from None
    if not isinstance(document, dict):
        raise CourseError(file, "", f"holds a {type(document).__name__}, not an object", "Export as GeoJSON")
    return document
