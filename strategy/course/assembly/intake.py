"""Imports the course of a file into a course folder, and later imports keep the caddie's changes.

The folder gets `course.geojson`, `course.toml` and `imported.json`. The last holds checksums of the tags and
of the geometry of each feature as it was imported. The next import is a three-way merge: it compares each
feature as it was imported (the base), as it is in the folder (ours), and as it is in the file (theirs).

=======================  ==========================  ======================================
ours                     theirs                      result
=======================  ==========================  ======================================
as imported              unchanged, changed, gone    theirs
changed by the caddie    unchanged                   ours
changed by the caddie    changed, gone               ours, with a question
added by the caddie      any                         ours
removed by the caddie    unchanged                   stays removed
removed by the caddie    changed                     stays removed, with a question
=======================  ==========================  ======================================

Tags and geometry are merged separately, so an outline that the caddie corrected gets a new name from the
file. In `course.toml` only a missing name and credit line are added. Everything else, comments too, stays.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import shapely

from strategy.course.assembly.assemble import features_in_notes, read_course
from strategy.course.assembly.choose import choose
from strategy.course.model import Feature, FeatureTable, Finding, FindingKind
from strategy.course.readers.notes import CourseNotes, read_notes
from strategy.course.readers.source import NOTES, OUTLINES, CourseSource, read_bytes, read_source, read_table
from strategy.course.readers.write import rounded, write_geojson
from strategy.errors import CourseError, StrategyError
from strategy.writing import write_text

RECORD: Final = "imported.json"
DECIMALS: Final = 7  # a centimetre, and what OpenStreetMap itself keeps
_NEW_NOTES: Final = """\
# course.toml: what the caddie adds to the outlines in course.geojson. Every key may be left out.
# courses/samples/course.toml of the program shows every key.
"""
_MORE_NOTES: Final = """
units = "yards"                  # of every length below: "yards" or "metres"

# out_of_bounds_complete = true  # all of it is drawn; without this line the rest is unknown
# [penalty_areas]                # "way/12" = "yellow"; without an entry red is assumed
# [tree_heights]                 # default = "medium" ("low", "medium", "tall": 8, 14, 22 m); "way/40" = 20
# [tree_branches]                # where they begin: default = 2, "way/40" = 4
# [trees]                        # through = 0.25 (chance through a crown 8 m across), stems = 70
# [canopy]                       # file = "canopy.tif": tree heights above the ground, from lidar
# [heights]                      # file = "ground.tif": heights of the ground
# [[tees]]                       # not drawn: hole = "4", name = "winter", at = [longitude, latitude]
# [[drop_zones]]                 # the same keys, and so [[sight_marks]], something to aim at
# [holes.4]                      # par = 3, name = "The Quarry", notes = ["wind swirls behind the dune"]
# [answers]                      # to questions of check, if all is right: "way/12" = "it is a bunker"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Import:
    """The result of an import.

    Attributes
    ----------
    written : int
        Number of features in course.geojson now.
    new, changed, removed : tuple of str
        Identifiers of features that the file added, changed and removed.
    edited, left_out : tuple of str
        Identifiers of features that the caddie changed or added, and of features that the caddie removed.
    findings : tuple of Finding
        Questions, and what was left out.
    refused : str
        The fault that prevents the folder from being read as a course; "" for none.
    """

    folder: Path
    name: str
    credit: str
    written: int
    new: tuple[str, ...]
    changed: tuple[str, ...]
    removed: tuple[str, ...]
    edited: tuple[str, ...]
    left_out: tuple[str, ...]
    findings: tuple[Finding, ...]
    refused: str = ""


@dataclass(frozen=True, slots=True)
class _Checksums:
    """Checksums of the tags and of the geometry of one feature."""

    tags: str
    geometry: str


def import_course(
    file: str | Path,
    folder: str | Path,
    name: str | None = None,
    crs: str | None = None,
    layers: Mapping[str, str] | None = None,
) -> Import:
    """Import the course of a file into a course folder.

    Parameters
    ----------
    file : str or Path
        An outline file that `read_course` reads.
    folder : str or Path
        The course folder. It is created if it does not exist.
    name, crs, layers : optional
        As `read_course`.

    Raises
    ------
    CourseError, InputErrors
        As `read_course`. Also if the file has no feature of golf, or if the folder holds another course or
        files that cannot be read.
    """
    given, target = Path(file), Path(folder)
    if given.resolve() in (target.resolve(), (target / OUTLINES).resolve()):
        raise CourseError(given, "", "is the course folder itself", "Give the file to bring in")
    if target.exists() and not target.is_dir():
        raise CourseError(target, "", "is a file, not a folder", "Name a folder after --to")
    source = read_source(given, name, crs, layers)
    notes = read_notes(target / NOTES) if (target / NOTES).is_file() else CourseNotes()
    in_notes = features_in_notes(notes)
    chosen = choose(source.table, source.wanted, source.notes.name, keep=in_notes)
    if not any("golf" in feature.tags for feature in chosen.table.features):
        wrong = f"none of its {len(chosen.table.features)} features is tagged golf=*: nothing to bring in"
        raise CourseError(given, "", wrong, "Export the area of the course, with its tags")
    questions = [f for f in source.table.findings if f.feature is None and f.kind is FindingKind.QUESTION]
    course_name = chosen.name or source.notes.name or target.resolve().name.replace("_", " ")
    theirs = replace(chosen.table, features=tuple(_normal(feature) for feature in chosen.table.features))
    credit = source.notes.credit or theirs.credit
    base = _read_record(target / RECORD)
    ours = _folder_table(target)
    _refuse_other_course(target, base, ours, theirs, course_name)
    merge = _Merge(base, ours, theirs)
    merge.run()
    for fid in sorted(in_notes - {feature.fid for feature in merge.merged}):
        merge.ask(fid, "course.toml speaks of it, and it is not in the folder")
    result = replace(theirs, features=tuple(merge.merged), credit=credit)
    write_geojson(result, target / OUTLINES, decimals=DECIMALS)
    keys = {"name": course_name, "credit": credit}
    if chosen.neighbours:
        keys["course"] = chosen.key
    credit = _write_notes(target / NOTES, keys, given.name, merge.findings)
    _write_record(target / RECORD, source, course_name, theirs)
    return Import(
        folder=target,
        name=course_name,
        credit=credit,
        written=len(result.features),
        new=tuple(merge.new),
        changed=tuple(merge.changed),
        removed=tuple(merge.removed),
        edited=tuple(merge.edited),
        left_out=tuple(merge.left_out),
        findings=(*questions, *chosen.findings, *merge.findings),
        refused=_fault_of(target),
    )


def _fault_of(folder: Path) -> str:
    """The fault that prevents a folder from being read as a course; "" for none."""
    try:
        read_course(folder)
    except StrategyError as fault:
        return str(fault)
    return ""


class _Merge:
    """A three-way merge of features; see the module.

    Parameters
    ----------
    base : mapping of str to _Checksums
        Features as they were imported last time.
    ours : FeatureTable or None
        Features in the folder; None at the first import.
    theirs : FeatureTable
        Features in the file.
    """

    def __init__(
        self, base: Mapping[str, _Checksums], ours: FeatureTable | None, theirs: FeatureTable
    ) -> None:
        self.base = base
        self.ours = {f.fid: _normal(f) for f in ours.features} if ours is not None else {}
        self.theirs = {f.fid: f for f in theirs.features}
        self.is_first = ours is None
        self.merged: list[Feature] = []
        self.new: list[str] = []
        self.changed: list[str] = []
        self.removed: list[str] = []
        self.edited: list[str] = []
        self.left_out: list[str] = []
        self.findings: list[Finding] = []

    def run(self) -> None:
        """Merge all features. Those in the folder keep their order, and new ones follow."""
        for fid, feature in self.ours.items():
            merged = self.merge_feature(fid, feature)
            if merged is not None:
                self.merged.append(merged)
        for fid, feature in self.theirs.items():
            if fid in self.ours:
                continue
            if self.is_first or fid not in self.base:
                self.new.append(fid)
                self.merged.append(feature)
                continue
            self.left_out.append(fid)
            if _checksums(feature) != self.base[fid]:
                self.ask(fid, "you removed it, and the file has changed it since; it stays removed")

    def merge_feature(self, fid: str, ours: Feature) -> Feature | None:
        """Merge a feature of the folder; None when the file has removed it."""
        our_sums, base = _checksums(ours), self.base.get(fid)
        theirs = self.theirs.get(fid)
        if theirs is None:
            if base is not None and our_sums == base:
                self.removed.append(fid)
                return None
            self.edited.append(fid)
            if base is not None:
                self.ask(fid, "it is gone from the file, and you have changed it; yours stays")
            return ours
        their_sums = _checksums(theirs)
        if our_sums == their_sums:
            return ours
        tags_edited = base is None or our_sums.tags != base.tags
        shape_edited = base is None or our_sums.geometry != base.geometry
        tags_changed = base is None or their_sums.tags != base.tags
        shape_changed = base is None or their_sums.geometry != base.geometry
        conflicts = [
            word
            for word, edited, changed, is_same in (
                ("tags", tags_edited, tags_changed, our_sums.tags == their_sums.tags),
                ("outline", shape_edited, shape_changed, our_sums.geometry == their_sums.geometry),
            )
            if edited and changed and not is_same
        ]
        if conflicts:
            self.ask(fid, f"{' and '.join(conflicts)} changed by you and in the file; yours stays")
        if tags_edited or shape_edited:
            self.edited.append(fid)
        elif tags_changed or shape_changed:
            self.changed.append(fid)
        return Feature(
            fid=fid,
            tags=ours.tags if tags_edited else theirs.tags,
            geometry=ours.geometry if shape_edited else theirs.geometry,
        )

    def ask(self, fid: str, text: str) -> None:
        """Add a question about a feature."""
        self.findings.append(Finding(kind=FindingKind.QUESTION, text=f"{fid}: {text}", feature=fid))


def _normal(feature: Feature) -> Feature:
    """A feature as it is written: rounded, and a collection of one shape as that shape."""
    shape = rounded(feature.geometry, DECIMALS)
    if shape.geom_type.startswith("Multi") and len(shape.geoms) == 1:
        shape = shape.geoms[0]
    return Feature(fid=feature.fid, tags=dict(feature.tags), geometry=shape)


def _checksums(feature: Feature) -> _Checksums:
    """Checksums that do not depend on the order of tags, nor on the first corner and direction of a ring.

    The direction of a line of play matters, so only polygons are normalized.
    """
    shape = feature.geometry
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        shape = shapely.normalize(shape)
    text = shapely.to_wkt(shape, rounding_precision=DECIMALS)
    tags = json.dumps(dict(sorted(feature.tags.items())), ensure_ascii=False)
    return _Checksums(_checksum(tags), _checksum(text))


def _checksum(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _folder_table(folder: Path) -> FeatureTable | None:
    """The features in a course folder; None before the first import."""
    path = folder / OUTLINES
    return read_table(str(path), read_bytes(path)) if path.is_file() else None


def _read_record(path: Path) -> dict[str, _Checksums]:
    """Checksums of the features as they were imported last time; empty before the first import."""
    if not path.is_file():
        return {}
    mend = "Restore the file, or delete it: then everything in the folder counts as yours"
    try:
        document: Any = json.loads(read_bytes(path).decode())
        return {fid: _Checksums(*checksums) for fid, checksums in document["features"].items()}
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise CourseError(path, "", f"cannot be understood ({error})", mend) from None


def _write_record(path: Path, source: CourseSource, name: str, table: FeatureTable) -> None:
    checksums = ((feature.fid, _checksums(feature)) for feature in table.features)
    features = ",\n".join(
        f"{json.dumps(fid, ensure_ascii=False)}: {json.dumps([sums.tags, sums.geometry])}"
        for fid, sums in checksums
    )
    head = {
        "about": "Written by course-strategy import, for the next one. Not to be edited.",
        "version": 1,
        "course": name,
        "file": Path(source.table.file).name,
        "sha256": next(iter(source.files.values())),
    }
    text = json.dumps(head, ensure_ascii=False, indent=0)[:-2] + ',\n"features": {\n' + features + "\n}}\n"
    write_text(path, text)


def _refuse_other_course(
    folder: Path,
    base: Mapping[str, _Checksums],
    ours: FeatureTable | None,
    theirs: FeatureTable,
    name: str,
) -> None:
    """Refuse to overwrite a folder that holds another course."""
    if ours is None:
        return
    known = set(base) or {f.fid for f in ours.features}
    if known.isdisjoint(f.fid for f in theirs.features):
        raise CourseError(
            folder,
            OUTLINES,
            f"holds another course than {name!r}: not one feature is the same",
            "Give another folder after --to",
        )


def _write_notes(path: Path, keys: Mapping[str, str], file: str, findings: list[Finding]) -> str:
    """Add keys that are missing to course.toml, and give the credit line in it.

    Parameters
    ----------
    path : Path
        Path of course.toml. The file is created if it does not exist.
    keys : mapping of str to str
        Keys and values; empty values are left out.
    file : str
        Name of the file that is imported.
    findings : list of Finding
        A finding is added when the key `crs` is removed.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if path.is_file():
        try:
            document = tomlkit.parse(read_bytes(path).decode("utf-8-sig"))
        except (TOMLKitError, UnicodeDecodeError) as error:
            raise CourseError(path, "", f"is not TOML: {error}", "Correct it, then import again") from None
        tail = ""
    else:
        document = tomlkit.parse(f"{_NEW_NOTES}# Outlines imported from {file}.\n\n")
        tail = _MORE_NOTES
    missing = {key: value for key, value in keys.items() if value and key not in document}
    if "crs" in document:
        del document["crs"]
        text = "course.toml: crs is removed: course.geojson is in longitude and latitude now"
        findings.append(Finding(kind=FindingKind.REPAIRED, text=text))
    elif not missing:
        return str(document.get("credit", ""))
    if tail:
        for key, value in missing.items():
            document[key] = value
        text = tomlkit.dumps(document) + tail
    else:
        # In TOML keys without a table come before the first table.
        lead = "".join(f"{key} = {tomlkit.string(value).as_string()}\n" for key, value in missing.items())
        text = lead + tomlkit.dumps(document)
    write_text(path, text)
    return str(document.get("credit", keys.get("credit", "")))
