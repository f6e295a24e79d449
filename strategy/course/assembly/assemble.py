"""Reads a course: from the features of a file to holes.

`read_course` works in these steps:

1. Choose one course of the file (`choose`), and centre the course frame on its lines of play.
2. Find out what each feature is (`classify`).
3. Give each line of play a label, reverse lines from green to tee, and match greens and tees (`match`).
4. Build each hole (`hole`): line from the back tee to the middle of the green, par, areas, out of bounds.
5. Collect the findings: repairs, assumptions, gaps and questions, by hole and for the whole course.
6. Add what the caddie knows (`strategy.course.measured`), and apply the caddie's answers (`answers`).
"""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.course.assembly.answers import with_answers
from strategy.course.assembly.choose import choose
from strategy.course.assembly.classify import ClassifiedFeatures, classify
from strategy.course.assembly.hole import PAR_RANGE_YD, build_hole
from strategy.course.assembly.hole_match import HoleMatch
from strategy.course.assembly.lines import HOW, from_areas, propose_lines
from strategy.course.assembly.match import is_backwards, listed, match_greens, match_tees
from strategy.course.assembly.unknown import far_places, misnamed, unknown_names
from strategy.course.frame import Frame
from strategy.course.measured.walked import add_walked, measurements_beside
from strategy.course.model import Course, Feature, FeatureTable, Finding, FindingKind, short_list
from strategy.course.readers.notes import CourseNotes, entry_name
from strategy.course.readers.source import CourseSource, read_source
from strategy.errors import CourseError, InputError, InputErrors
from strategy.tomlfile import in_order
from strategy.units import yards

# Holes of one course are nearer to each other than this. A feature farther away is a slip of the pen.
COURSE_SPAN_M = 12_000.0


def read_course(
    path: str | Path,
    name: str | None = None,
    crs: str | None = None,
    layers: Mapping[str, str] | None = None,
) -> Course:
    """Read a course: a folder with course.geojson and course.toml, or one outline file.

    Parameters
    ----------
    path : str or Path
        A folder, GeoJSON (RFC 7946 with OpenStreetMap golf tags), Overpass JSON, OpenStreetMap XML or PBF, or
        a GeoPackage. The file may be packed.
    name : str, optional
        The course, for a file with several: its name, the identifier of its outline, or a place (longitude,
        latitude: "2.00,54.50"). By default as course.toml states.
    crs : str, optional
        Coordinate system of the file ("EPSG:27700"), if it states none. By default as course.toml states.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold ("bunker"), if they and their names do not say it. By default as
        course.toml states.

    Returns
    -------
    Course
        Holes in playing order, with findings by hole and for the whole course.

    Raises
    ------
    CourseError
        For a file that is missing, damaged, in other coordinates, or without a hole, and for a file with
        several courses if none is chosen. The message then lists them.
    InputErrors
        All faults of course.toml at once.
    """
    return assemble(read_source(path, name, crs, layers))


def assemble(source: CourseSource) -> Course:
    """Assemble the features of one source into a course; see `read_course`."""
    try:
        return _assemble(source)
    except CourseError as fault:
        if source.faults:  # a fault of course.toml may be the reason why the outlines cannot be read
            raise InputErrors([*source.faults, fault]) from None
        raise


def _assemble(source: CourseSource) -> Course:
    table, notes = source.table, source.notes
    _refuse_swapped(table)
    chosen = choose(table, source.wanted, notes.name, keep=features_in_notes(notes))
    other_courses = dict(chosen.neighbours)  # lines of play of other courses: identifier, name of the course
    frame, own_table, stray_findings = _frame(chosen.table, other_courses)
    classified = classify(own_table, notes, frame)
    classified, line_findings = _with_lines(table, classified, frame, other_courses)
    labels, label_findings = _labels([feature for feature, _ in classified.lines], other_courses)
    matches, match_findings = _match_holes(classified, labels, other_courses)
    order = sorted(range(len(matches)), key=lambda i: _playing_order(matches[i].label, i))
    own = [matches[i] for i in order if matches[i].feature.fid not in other_courses]
    faults = _notes_faults(source, own_table, own, frame)
    if source.faults:
        raise InputErrors(faults)
    holes = tuple(build_hole(match, matches, classified, notes, frame) for match in own)
    gap_findings, odd_label_findings = _check_numbering([match.label for match in own])
    findings = [*_reader_findings(own_table, table.findings), *chosen.findings, *stray_findings]
    findings += [*classified.findings, *line_findings, *match_findings, *gap_findings]
    findings += [*misnamed(notes, classified.areas, own_table.features)]
    findings += [*_whole_course_findings(classified, notes)]
    by_hole: dict[str, list[Finding]] = {}
    for finding in (*label_findings, *odd_label_findings):
        by_hole.setdefault(finding.hole or "", []).append(finding)
    card = tuple(hole.label for hole in holes)
    holes = tuple(
        dataclasses.replace(hole, card=card, findings=(*by_hole.get(hole.label, ()), *hole.findings))
        for hole in holes
    )
    course = Course(
        name=notes.name or chosen.name or _name_of_grounds(own_table) or source.fallback_name,
        frame=frame,
        holes=holes,
        credit=notes.credit or table.credit,
        findings=tuple(findings),
        files=dict(source.files),
    )
    measurements = measurements_beside(table.file)
    course = add_walked(course, own_table, notes, source.notes_file, measurements=measurements, faults=faults)
    return with_answers(course, notes.answers)


def features_in_notes(notes: CourseNotes) -> frozenset[str]:
    """Identifiers of all features that course.toml names."""
    obstructions = (note.feature for note in notes.obstructions)
    trees = (*notes.tree_heights, *notes.tree_branches)
    named = {*(b.feature for b in notes.out_of_bounds), *notes.penalty_areas, *trees, *obstructions}
    return frozenset(named - {"", "default"})


def _reader_findings(table: FeatureTable, findings: Sequence[Finding]) -> list[Finding]:
    """The findings of the reader without those on features of other courses."""
    own = {feature.fid for feature in table.features}
    # Features that the reader left out are in no table. Which course they belong to is not known.
    left_out = ("not in the file", "left out", "has no geometry", "is empty")
    return [
        f for f in findings if f.feature is None or f.feature in own or any(s in f.text for s in left_out)
    ]


def _with_lines(
    table: FeatureTable, classified: ClassifiedFeatures, frame: Frame, other_courses: Mapping[str, str]
) -> tuple[ClassifiedFeatures, list[Finding]]:
    """Add lines of play where none is drawn: from holes drawn as areas, or proposed from tees and greens.

    Raises
    ------
    CourseError
        If there is no line of play and none can be proposed.
    """
    lines, findings = from_areas(classified, frame)
    if not lines and all(feature.fid in other_courses for feature, _ in classified.lines):
        lines, proposal_findings = propose_lines(classified, frame)
        findings += proposal_findings
        if not lines:
            wrong = f"none of the {len(table.features)} features is a hole"
            if classified.greens:
                tees = f"of its {len(classified.tees)} tees none clearly belongs to one of them"
                tees = tees if classified.tees else "no tee is drawn"
                wrong = f"{_greens_have(len(classified.greens))} no line of play, and {tees}"
            raise CourseError(table.file, "", wrong, HOW)
    return dataclasses.replace(classified, lines=(*classified.lines, *lines)), findings


def _frame(
    table: FeatureTable, other_courses: Mapping[str, str]
) -> tuple[Frame, FeatureTable, list[Finding]]:
    """The frame centred on the lines of play, and the table without golf features far from them.

    Raises
    ------
    CourseError
        If the table has no geometry, or its holes are too far from each other.
    """
    golf = [(f.tags.get("golf"), f.geometry) for f in table.features if f.fid not in other_courses]
    shapes = [geometry for tag, geometry in golf if tag == "hole"]
    shapes = shapes or [f.geometry for f in table.features if f.tags.get("golf") in ("green", "tee")]
    shapes = shapes or [f.geometry for f in table.features]
    if not shapes:
        raise CourseError(
            table.file, "", "no feature has a geometry", "Export the course again with its geometry"
        )
    points = np.array([shapely.get_coordinates(shape)[0] for shape in shapes])
    lon0 = points[0, 0]
    lon = lon0 + (points[:, 0] - lon0 + 180.0) % 360.0 - 180.0
    middle = Frame(float(np.median(lon)), float(np.median(points[:, 1])))
    away = np.hypot(*middle.to_xy(points).T)
    if away.max() > COURSE_SPAN_M and (np.median(away) > COURSE_SPAN_M / 4.0 or len(shapes) < 4):
        raise CourseError(
            table.file,
            "",
            f"its holes lie up to {away.max() / 1000.0:.0f} km apart",
            "Leave one course in the file, and check the coordinates (longitude first)",
        )
    near: list[Feature] = []
    findings: list[Finding] = []
    for feature in table.features:
        place = shapely.get_coordinates(feature.geometry)[:1]
        if np.hypot(*middle.to_xy(place)[0]) > COURSE_SPAN_M and "golf" in feature.tags:
            text = f"{feature.fid}: lies more than {COURSE_SPAN_M / 1000.0:.0f} km from the holes; left out"
            findings.append(Finding(kind=FindingKind.IGNORED, text=text, feature=feature.fid))
        else:
            near.append(feature)
    xy = middle.to_xy(points[away <= COURSE_SPAN_M])
    centre = middle.to_lonlat((xy.min(axis=0) + xy.max(axis=0)) / 2.0)[0]
    # Seven decimals are a centimetre, and short numbers keep plan.json readable.
    frame = Frame(round(float((centre[0] + 180.0) % 360.0 - 180.0), 7), round(float(centre[1]), 7))
    return frame, dataclasses.replace(table, features=tuple(near)), findings


def _refuse_swapped(table: FeatureTable) -> None:
    """Refuse a file with latitude before longitude whose numbers are possible in either order.

    The lengths of the holes show it: at 50 degrees of latitude an east-west hole in the wrong order is half
    as long again.

    Raises
    ------
    CourseError
        If the lengths fit the pars with the numbers swapped, and not as they are.
    """
    lines = [
        (feature.geometry, int(par))
        for feature in table.features
        if feature.tags.get("golf") == "hole"
        and feature.geometry.geom_type == "LineString"
        and (par := feature.tags.get("par", "")) in ("3", "4", "5")
    ]
    if len(lines) < 3:
        return
    from pyproj import Geod

    ellipsoid = Geod(ellps="WGS84")

    def count_fitting(swapped: bool) -> int:
        count = 0
        for line, par in lines:
            lonlat = shapely.get_coordinates(line)[:, :: -1 if swapped else 1]
            if abs(lonlat[:, 1]).max() > 89.0:
                return 0
            low, high = PAR_RANGE_YD[par]
            count += bool(0.9 * low <= yards(ellipsoid.line_length(*lonlat.T)) <= 1.1 * high)
        return count

    given = count_fitting(False)
    if given >= 0.7 * len(lines):
        return
    swapped = count_fitting(True)
    if swapped > 0.9 * len(lines):
        raise CourseError(
            table.file,
            "",
            f"{given} of {len(lines)} holes have a length that fits their par, and {swapped} would with the "
            "two numbers of each position swapped: the order looks like latitude, longitude",
            "RFC 7946 writes longitude first: swap the two",
        )


def _labels(features: Sequence[Feature], other_courses: Mapping[str, str]) -> tuple[list[str], list[Finding]]:
    """A label for each line of play: its `ref`, or else its name, or else its position in the file.

    A `ref` with several numbers ("1;10") gives a label with several, with semicolons between them.
    """
    labels: list[str] = []
    findings: list[Finding] = []
    taken: set[str] = set()
    for number, feature in enumerate(features, start=1):
        ref, name = feature.tags.get("ref", "").strip(), feature.tags.get("name", "").strip()
        if feature.fid in other_courses:
            labels.append(f"{ref or name or 'a hole'} of {other_courses[feature.fid]}")
            continue
        label = ";".join(listed(ref)) or name.replace(";", ",") or f"line {number}"
        if not ref:
            text = f"{feature.fid}: the hole has no ref; it is called {label!r}"
            findings.append(Finding(kind=FindingKind.MISSING, text=text, hole=label, feature=feature.fid))
        parts = []
        for part in label.split(";"):
            unique, count = part, 2
            while unique in taken:
                unique, count = f"{part} ({count})", count + 1
            if unique != part:
                text = f"{feature.fid}: a second line of play is called {part!r}; it is kept as {unique!r}"
                findings.append(
                    Finding(kind=FindingKind.QUESTION, text=text, hole=unique, feature=feature.fid)
                )
            taken.add(unique)
            parts.append(unique)
        if len(parts) > 1:
            text = f"{feature.fid}: ref={ref}: one line of play for {len(parts)} holes"
            findings += [
                Finding(kind=FindingKind.ASSUMED, text=text, hole=part, feature=feature.fid) for part in parts
            ]
        labels.append(";".join(parts))
    return labels, findings


def _match_holes(
    classified: ClassifiedFeatures, labels: Sequence[str], other_courses: Mapping[str, str]
) -> tuple[list[HoleMatch], list[Finding]]:
    """Each line in the direction of play with its green and tees; a line with two numbers is two holes."""
    greens = [shape for _, shape in classified.greens]
    tees = [shape for _, shape in classified.tees]
    drawn = [line for _, line in classified.lines]
    is_reversed = [is_backwards(line, greens, tees) for line in drawn]
    lines = [shapely.reverse(line) if turn else line for line, turn in zip(drawn, is_reversed, strict=True)]
    own, nearer = match_greens(lines, greens)
    refs = [feature.tags.get("ref", "").strip() for feature, _ in classified.tees]
    tees_of, unmatched = match_tees(lines, labels, tees, refs)
    lines_of = Counter(green for green in own if green is not None)
    label_of = {green: labels[i] for i, green in enumerate(own) if green is not None}
    matches = [
        HoleMatch(
            label=label,
            feature=feature,
            line=lines[i],
            is_reversed=is_reversed[i],
            green=own[i],
            green_shared=(green := own[i]) is not None and lines_of[green] > 1,
            nearer_green=label_of.get(near, "no hole") if (near := nearer[i]) is not None else "",
            tees=_tees_with_number(label, tees_of[i], refs) if ";" in labels[i] else tuple(tees_of[i]),
        )
        for i, (feature, _) in enumerate(classified.lines)
        for label in ([labels[i]] if feature.fid in other_courses else labels[i].split(";"))
    ]
    findings = []
    if unmatched:
        names = short_list([classified.tees[j][0].fid for j in unmatched])
        text = f"{len(unmatched)} tees lie near no line of play ({names}) and count as fairway"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
    spare = [feature.fid for j, (feature, _) in enumerate(classified.greens) if j not in lines_of]
    if spare:
        how = f"{HOW[0].lower()}{HOW[1:]}"
        text = f"{_greens_have(len(spare))} no line of play ({short_list(spare)}) and count as fairway: {how}"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
    return matches, findings


def _greens_have(count: int) -> str:
    return f"{count} greens have" if count != 1 else "1 green has"


def _tees_with_number(label: str, tees: Sequence[int], refs: Sequence[str]) -> tuple[int, ...]:
    """The tees of one number of a line with several; all tees of the line when none has a number."""
    with_number = tuple(j for j in tees if label in listed(refs[j]))
    without_ref = tuple(j for j in tees if not refs[j])
    return (*with_number, *without_ref) or tuple(tees)


def _playing_order(label: str, position: int) -> tuple[int, int, int]:
    """Sort key: by number, and labels without a number after them in file order."""
    number = re.match(r"\d+", label)
    return (0, int(number.group()), position) if number else (1, 0, position)


def _check_numbering(labels: Sequence[str]) -> tuple[list[Finding], list[Finding]]:
    """Findings on gaps in the numbers (of the course), and on numbers above the count of holes (by hole)."""
    numbers = {int(label) for label in labels if label.isdecimal()}
    if not numbers or len(labels) < 2:
        return [], []
    count = len(labels)
    expected = set(range(1, count + 1))
    odd = sorted(numbers - expected)
    missing = sorted(expected - numbers)
    if not odd or not missing:
        return [], []
    # The file may hold a part of a longer course: 10 to 18 is no gap.
    if sorted(numbers) == list(range(min(numbers), min(numbers) + len(numbers))) and len(numbers) == count:
        return [], []
    gap, extra = ", ".join(map(str, missing)), ", ".join(map(str, odd))
    wrong = f"{count} holes, but {gap} is missing and there is a hole {extra}"
    text = f"{wrong}: is hole {extra} really {gap}? Labels are kept"
    return [Finding(kind=FindingKind.QUESTION, text=text)], [
        Finding(
            kind=FindingKind.QUESTION,
            text=f"hole {n} lies outside 1 to {count}; the label is kept",
            hole=str(n),
        )
        for n in odd
    ]


def _whole_course_findings(classified: ClassifiedFeatures, notes: CourseNotes) -> list[Finding]:
    """Findings on out of bounds, rough and trees of the whole course."""
    findings = []
    if not classified.boundaries:
        text = "no out of bounds is drawn: it is unknown where it is, and no ball counts as out of bounds"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    elif not notes.out_of_bounds_complete:
        text = "out of bounds counts where it is drawn; whether all of it is drawn is unknown"
        findings.append(Finding(kind=FindingKind.ASSUMED, text=text))
    surfaces = {area.surface for area in classified.areas}
    if Surface.ROUGH not in surfaces:
        text = "no rough is drawn: ground between the outlines is taken for rough"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    trees = [area for area in classified.areas if area.surface == Surface.TREES]
    if not trees:
        findings.append(Finding(kind=FindingKind.MISSING, text="no trees are drawn: none are counted"))
    elif notes.canopy is None and (unknown := sum(area.height_m is None for area in trees)):
        text = f"woods and trees drawn: {len(trees)}, without a height: {unknown}"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    return findings


def _notes_faults(
    source: CourseSource, own_table: FeatureTable, holes: Sequence[HoleMatch], frame: Frame
) -> list[InputError]:
    """All faults of course.toml: those of the file alone, and names and places that do not fit the course."""
    if not source.document:
        return []
    lines = {match.label: match.line for match in holes}
    # If course.toml cannot be read, it is not known which distant features it keeps. So all features count
    # then.
    table = source.table if source.faults else own_table
    faults = [
        *unknown_names(source.document, [*lines], {feature.fid for feature in table.features}),
        *far_places(source.document, lines, frame),
    ]
    return [*source.faults, *in_order(source.notes_file, faults, source.document, CourseError, entry_name)]


def _name_of_grounds(table: FeatureTable) -> str:
    """The name of the outline of the grounds; "" for none."""
    for feature in table.features:
        if feature.tags.get("leisure") == "golf_course" and feature.tags.get("name"):
            return feature.tags["name"]
    return ""
