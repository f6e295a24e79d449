"""Brings the course of any file into a course folder, again and again, without losing the caddie's work.

The folder gets `course.geojson`, `course.toml` and `imported.json`. The last remembers, as checksums of tags
and of geometry, each feature as it came in. At the next import every feature is compared three ways: as it
came in then, as it stands in the folder, as the file has it now.

=====================  ==========================  =====================================
in the folder          in the file                 result
=====================  ==========================  =====================================
as it came in          as it was, changed, gone    as the file has it now
changed by you         as it was                   yours
changed by you         changed too, or gone        yours, and asked about
added by you           whatever                    yours
removed by you         as it was                   stays removed
removed by you         changed                     stays removed, and asked about
=====================  ==========================  =====================================

Tags and geometry are compared apart: an outline corrected by you takes a new name from the file.
`course.toml` is yours from the first day: only what is missing of name and credit is added, comments stay.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import shapely

from strategy.course.assembly.assemble import named_features, read_course
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

# out_of_bounds_complete = true  # all of it is drawn; without this the rest is said to be unknown
# [penalty_areas]                # "way/12" = "yellow"; red is assumed where nothing is said
# [tree_heights]                 # default = "medium" ("low", "medium", "tall": 8, 14, 22 m); "way/40" = 20
# [tree_branches]                # where they begin: default = 2, "way/40" = 4
# [trees]                        # through = 0.25 (chance through a crown 8 m across), stems = 70
# [canopy]                       # file = "canopy.tif": tree heights above the ground, from lidar
# [heights]                      # file = "ground.tif": heights of the ground
# [[tees]]                       # not drawn: hole = "4", name = "winter", at = [longitude, latitude]
# [[drop_zones]]                 # the same keys, and so [[sight_marks]], something to aim at
# [holes.4]                      # par = 3, name = "The Quarry", notes = ["wind swirls behind the dune"]
# [answers]                      # to what check asks, where all is right: "way/12" = "it is a bunker"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Import:
    """What an import did.

    Attributes
    ----------
    written : int
        Features that stand in course.geojson now.
    new, changed, removed : tuple of str
        Identifiers of what the file brought, changed and took away.
    edited, left_out : tuple of str
        What was changed or added in the folder and stays; what was removed there and stays away.
    refused : str
        Why the folder cannot be read as a course as it stands; "" when it can.
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
class _Mark:
    """Checksums of one feature."""

    tags: str
    geometry: str


def import_course(
    file: str | Path,
    folder: str | Path,
    name: str | None = None,
    crs: str | None = None,
    layers: Mapping[str, str] | None = None,
) -> Import:
    """Bring the course of a file into a course folder.

    Parameters
    ----------
    file : str or Path
        Any outline file that `read_course` reads.
    folder : str or Path
        The course folder; made when it is not there.
    name, crs, layers : optional
        As `read_course`.

    Raises
    ------
    CourseError, InputErrors
        As `read_course`; when nothing of golf is in the file; and when the folder holds another course, or
        files that cannot be read.
    """
    given, target = Path(file), Path(folder)
    if given.resolve() in (target.resolve(), (target / OUTLINES).resolve()):
        raise CourseError(given, "", "is the course folder itself", "Give the file to bring in")
    if target.exists() and not target.is_dir():
        raise CourseError(target, "", "is a file, not a folder", "Name a folder after --to")
    source = read_source(given, name, crs, layers)
    notes = read_notes(target / NOTES) if (target / NOTES).is_file() else CourseNotes()
    spoken_of = named_features(notes)
    chosen = choose(source.table, source.wanted, source.notes.name, keep=spoken_of)
    if not any("golf" in feature.tags for feature in chosen.table.features):
        met = f"none of its {len(chosen.table.features)} features is tagged golf=*: nothing to bring in"
        raise CourseError(given, "", met, "Export the area of the course, with its tags")
    asked = [f for f in source.table.findings if f.feature is None and f.kind is FindingKind.QUESTION]
    called = chosen.name or source.notes.name or target.resolve().name.replace("_", " ")
    table = replace(chosen.table, features=tuple(_plain(feature) for feature in chosen.table.features))
    credit = source.notes.credit or table.credit
    base = _record(target / RECORD)
    mine = _folder_table(target)
    _refuse_other_course(target, base, mine, table, called)
    merged = _Merge(base, mine, table)
    merged.run()
    there = {feature.fid for feature in merged.kept}
    for fid in sorted(spoken_of - there):
        merged.ask(fid, "course.toml speaks of it, and it is not in the folder")
    result = replace(table, features=tuple(merged.kept), credit=credit)
    write_geojson(result, target / OUTLINES, decimals=DECIMALS)
    lines = {"name": called, "credit": credit}
    if chosen.neighbours:
        lines["course"] = chosen.key
    credit = _write_notes(target / NOTES, lines, given.name, merged.findings)
    _write_record(target / RECORD, source, called, table)
    return Import(
        folder=target,
        name=called,
        credit=credit,
        written=len(result.features),
        new=tuple(merged.new),
        changed=tuple(merged.changed),
        removed=tuple(merged.removed),
        edited=tuple(merged.yours),
        left_out=tuple(merged.dropped),
        findings=(*asked, *chosen.findings, *merged.findings),
        refused=_refused(target),
    )


def _refused(folder: Path) -> str:
    try:
        read_course(folder)
    except StrategyError as fault:
        return str(fault)
    return ""


class _Merge:
    """Three versions of every feature become one."""

    def __init__(self, base: Mapping[str, _Mark], mine: FeatureTable | None, theirs: FeatureTable) -> None:
        self.base = base
        self.mine = {f.fid: _plain(f) for f in mine.features} if mine is not None else {}
        self.theirs = {f.fid: f for f in theirs.features}
        self.first = mine is None
        self.kept: list[Feature] = []
        self.new: list[str] = []
        self.changed: list[str] = []
        self.removed: list[str] = []
        self.yours: list[str] = []
        self.dropped: list[str] = []
        self.findings: list[Finding] = []

    def run(self) -> None:
        """Features of the folder keep their order; what is new follows."""
        for fid, feature in self.mine.items():
            kept = self.settled(fid, feature)
            if kept is not None:
                self.kept.append(kept)
        for fid, feature in self.theirs.items():
            if fid in self.mine:
                continue
            if self.first or fid not in self.base:
                self.new.append(fid)
                self.kept.append(feature)
                continue
            self.dropped.append(fid)
            if _mark(feature) != self.base[fid]:
                self.ask(fid, "you removed it, and the file has changed it since; it stays removed")

    def settled(self, fid: str, mine: Feature) -> Feature | None:
        """A feature that stands in the folder: as it will stand; None when it goes."""
        here, was = _mark(mine), self.base.get(fid)
        theirs = self.theirs.get(fid)
        if theirs is None:
            if was is None:
                self.yours.append(fid)
            elif here == was:
                self.removed.append(fid)
                return None
            else:
                self.yours.append(fid)
                self.ask(fid, "it is gone from the file, and you have changed it; yours stays")
            return mine
        now = _mark(theirs)
        if here == now:
            return mine
        tags_mine = was is None or here.tags != was.tags
        shape_mine = was is None or here.geometry != was.geometry
        tags_theirs = was is None or now.tags != was.tags
        shape_theirs = was is None or now.geometry != was.geometry
        clash = [
            word
            for word, ours, other, same in (
                ("tags", tags_mine, tags_theirs, here.tags == now.tags),
                ("outline", shape_mine, shape_theirs, here.geometry == now.geometry),
            )
            if ours and other and not same
        ]
        if clash:
            self.ask(fid, f"{' and '.join(clash)} changed by you and in the file; yours stays")
        if tags_mine or shape_mine:
            self.yours.append(fid)
        elif tags_theirs or shape_theirs:
            self.changed.append(fid)
        return Feature(
            fid=fid,
            tags=mine.tags if tags_mine else theirs.tags,
            geometry=mine.geometry if shape_mine else theirs.geometry,
        )

    def ask(self, fid: str, text: str) -> None:
        self.findings.append(Finding(kind=FindingKind.QUESTION, text=f"{fid}: {text}", feature=fid))


def _plain(feature: Feature) -> Feature:
    """A feature as it is written: rounded, and a collection of one as that one (a GIS adds such)."""
    shape = rounded(feature.geometry, DECIMALS)
    if shape.geom_type.startswith("Multi") and len(shape.geoms) == 1:
        shape = shape.geoms[0]
    return Feature(fid=feature.fid, tags=dict(feature.tags), geometry=shape)


def _mark(feature: Feature) -> _Mark:
    """Checksums that do not mind the order of tags, the first corner of a ring, or its direction.

    A line of play has a direction, so of lines only rings are turned.
    """
    shape = feature.geometry
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        shape = shapely.normalize(shape)
    text = shapely.to_wkt(shape, rounding_precision=DECIMALS)
    tags = json.dumps(dict(sorted(feature.tags.items())), ensure_ascii=False)
    return _Mark(_sum(tags), _sum(text))


def _sum(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _folder_table(folder: Path) -> FeatureTable | None:
    path = folder / OUTLINES
    return read_table(str(path), read_bytes(path)) if path.is_file() else None


def _record(path: Path) -> dict[str, _Mark]:
    """Features as they came in last time; empty when nothing did."""
    if not path.is_file():
        return {}
    mend = "Restore the file, or delete it: then everything in the folder counts as yours"
    try:
        document: Any = json.loads(read_bytes(path).decode())
        return {fid: _Mark(*marks) for fid, marks in document["features"].items()}
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise CourseError(path, "", f"cannot be understood ({error})", mend) from None


def _write_record(path: Path, source: CourseSource, name: str, table: FeatureTable) -> None:
    rows = ",\n".join(
        f"{json.dumps(f.fid, ensure_ascii=False)}: {json.dumps([(m := _mark(f)).tags, m.geometry])}"
        for f in table.features
    )
    head = {
        "about": "Written by course-strategy import, for the next one. Not to be edited.",
        "version": 1,
        "course": name,
        "file": Path(source.table.file).name,
        "sha256": next(iter(source.files.values())),
    }
    text = json.dumps(head, ensure_ascii=False, indent=0)[:-2] + ',\n"features": {\n' + rows + "\n}}\n"
    write_text(path, text)


def _refuse_other_course(
    folder: Path,
    base: Mapping[str, _Mark],
    mine: FeatureTable | None,
    theirs: FeatureTable,
    name: str,
) -> None:
    """A folder that holds something else is not overwritten."""
    if mine is None:
        return
    before = set(base) or {f.fid for f in mine.features}
    if before.isdisjoint(f.fid for f in theirs.features):
        raise CourseError(
            folder,
            OUTLINES,
            f"holds another course than {name!r}: not one feature is the same",
            "Give another folder after --to",
        )


def _write_notes(path: Path, lines: Mapping[str, str], file: str, findings: list[Finding]) -> str:
    """Name, credit and choice into course.toml where they are missing; gives the credit that counts."""
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
    missing = {key: value for key, value in lines.items() if value and key not in document}
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
        # Bare keys must stand before the first table.
        lead = "".join(f"{key} = {tomlkit.string(value).as_string()}\n" for key, value in missing.items())
        text = lead + tomlkit.dumps(document)
    write_text(path, text)
    return str(document.get("credit", lines.get("credit", "")))
