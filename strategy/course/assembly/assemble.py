"""From the features table to holes: `read_course` and what it does, in order.

1. frame: centred on the lines of play;
2. sort the features by what they are (`classify`);
3. label the holes, turn lines that run from green to tee, match greens and tees (`match`);
4. build each hole: line from the back tee to the middle of the green, par, ground within 60 m of the
   hole's features and line, out of bounds (`boundary`);
5. say what was found: every repair, assumption and gap, by hole.
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
from strategy.course.assembly.classify import Drawn, classify
from strategy.course.assembly.hole import PAR_RANGE_YD, HoleMatch, build_hole
from strategy.course.assembly.lines import HOW, from_areas, propose_lines
from strategy.course.assembly.match import backwards, listed, match_greens, match_tees
from strategy.course.assembly.unknown import far_places, misnamed, unknown_names
from strategy.course.frame import Frame
from strategy.course.measured.walked import add_walked, measurements_beside
from strategy.course.model import Course, Feature, FeatureTable, Finding, FindingKind, short_list
from strategy.course.readers.notes import CourseNotes, entry_name
from strategy.course.readers.source import CourseSource, read_source
from strategy.errors import CourseError, InputError, InputErrors
from strategy.tomlfile import in_order
from strategy.units import yards

# Two holes of one course lie nearer than this; features further away are a slip of the pen.
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
        Folder, GeoJSON (RFC 7946, OpenStreetMap golf tags), Overpass JSON, OpenStreetMap XML or PBF,
        or GeoPackage; packed or not.
    name : str, optional
        Which course, when the file holds several: its name, the identifier of its outline, or a place
        (longitude, latitude: "2.00,54.50"). course.toml may say it too.
    crs : str, optional
        Coordinate system of the file when it is in none of its own ("EPSG:27700"); course.toml may say
        it too.
    layers : mapping of str to str, optional
        What the layers of a GeoPackage hold ("bunker"), where neither they nor their names say it;
        course.toml may say it too.

    Returns
    -------
    Course
        Holes in playing order, with findings by hole and for the whole course.

    Raises
    ------
    CourseError
        For a file that is missing, damaged, in other coordinates, or without a single hole;
        when it holds several courses and nobody says which, the message lists them.
    InputErrors
        All faults of course.toml at once.
    """
    return assemble(read_source(path, name, crs, layers))


def assemble(source: CourseSource) -> Course:
    """Put the features of one source together into a course; see `read_course`."""
    try:
        return _assembled(source)
    except CourseError as fault:
        if source.faults:  # of course.toml; the outlines may be misread for the want of what it says
            raise InputErrors([*source.faults, fault]) from None
        raise


def _assembled(source: CourseSource) -> Course:
    table, notes = source.table, source.notes
    _refuse_swapped(table)
    chosen = choose(table, source.wanted, notes.name, keep=named_features(notes))
    foreign = dict(chosen.neighbours)
    frame, kept, strays = _frame(chosen.table, foreign)
    drawn = classify(kept, notes, frame)
    drawn, line_findings = _with_lines(table, drawn, frame, foreign)
    labels, label_findings = _labels([feature for feature, _ in drawn.lines], foreign)
    plans, match_findings = _plans(drawn, labels, foreign)
    order = sorted(range(len(plans)), key=lambda i: _playing_order(plans[i].label, i))
    own = [i for i in order if plans[i].feature.fid not in foreign]
    labels = [plans[i].label for i in own]
    faults = _notes_faults(source, kept, plans, labels, frame)
    if source.faults:
        raise InputErrors(faults)
    holes = tuple(build_hole(plans[i], plans, drawn, notes, frame) for i in own)
    gaps, odd_labels = _numbering(labels)
    findings = [*_of(kept, table.findings), *chosen.findings, *strays, *drawn.findings]
    findings += [*line_findings, *match_findings, *gaps]
    findings += [*misnamed(notes, drawn.areas, kept.features), *_whole_course(drawn, notes)]
    by_hole: dict[str, list[Finding]] = {}
    for finding in (*label_findings, *odd_labels):
        by_hole.setdefault(finding.hole or "", []).append(finding)
    card = tuple(hole.label for hole in holes)
    holes = tuple(
        dataclasses.replace(hole, card=card, findings=(*by_hole.get(hole.label, ()), *hole.findings))
        for hole in holes
    )
    name = notes.name or chosen.name or _drawn_name(kept) or source.fallback_name
    credit = notes.credit or table.credit
    course = Course(
        name=name, frame=frame, holes=holes, credit=credit, findings=tuple(findings), files=dict(source.files)
    )
    walked = measurements_beside(table.file)
    whole = add_walked(course, kept, notes, source.notes_file, measurements=walked, faults=faults)
    return with_answers(whole, notes.answers)


def named_features(notes: CourseNotes) -> frozenset[str]:
    """Identifiers of every drawn feature that course.toml speaks of."""
    stands = (note.feature for note in notes.obstructions)
    trees = (*notes.tree_heights, *notes.tree_branches)
    named = {*(b.feature for b in notes.out_of_bounds), *notes.penalty_areas, *trees, *stands}
    return frozenset(named - {"", "default"})


def _of(kept: FeatureTable, findings: Sequence[Finding]) -> list[Finding]:
    """What the reader said, less what concerns features of other courses."""
    there = {feature.fid for feature in kept.features}
    lost = ("not in the file", "left out", "has no geometry", "is empty")
    return [f for f in findings if f.feature is None or f.feature in there or any(s in f.text for s in lost)]


def _with_lines(
    table: FeatureTable, drawn: Drawn, frame: Frame, foreign: Mapping[str, str]
) -> tuple[Drawn, list[Finding]]:
    """The drawn course with lines of play where it has none: from areas, else proposed.

    Raises
    ------
    CourseError
        If there is no line of play and none can be proposed.
    """
    more, findings = from_areas(drawn, frame)
    if not more and all(feature.fid in foreign for feature, _ in drawn.lines):
        more, proposed = propose_lines(drawn, frame)
        findings += proposed
        if not more:
            met = f"none of the {len(table.features)} features is a hole"
            if drawn.greens:
                tees = f"of its {len(drawn.tees)} tees none clearly belongs to one of them"
                tees = tees if drawn.tees else "no tee is drawn"
                met = f"{_greens(len(drawn.greens))} no line of play, and {tees}"
            raise CourseError(table.file, "", met, HOW)
    return dataclasses.replace(drawn, lines=(*drawn.lines, *more)), findings


def _frame(table: FeatureTable, foreign: Mapping[str, str]) -> tuple[Frame, FeatureTable, list[Finding]]:
    """The frame centred on the lines of play, and the table without features far from them."""
    lines = [f.geometry for f in table.features if f.tags.get("golf") == "hole" and f.fid not in foreign]
    lines = lines or [f.geometry for f in table.features if f.tags.get("golf") in ("green", "tee")]
    if not lines:
        lines = [f.geometry for f in table.features]
    if not lines:
        raise CourseError(
            table.file, "", "no feature has a geometry", "Export the course again with its geometry"
        )
    points = np.array([shapely.get_coordinates(line)[0] for line in lines])
    lon0 = points[0, 0]
    lon = lon0 + (points[:, 0] - lon0 + 180.0) % 360.0 - 180.0
    middle = Frame(float(np.median(lon)), float(np.median(points[:, 1])))
    away = np.hypot(*middle.to_xy(points).T)
    if away.max() > COURSE_SPAN_M and (np.median(away) > COURSE_SPAN_M / 4.0 or len(lines) < 4):
        raise CourseError(
            table.file,
            "",
            f"its holes lie up to {away.max() / 1000.0:.0f} km apart",
            "Leave one course in the file, and check the coordinates (longitude first)",
        )
    kept: list[Feature] = []
    strays: list[Finding] = []
    for feature in table.features:
        place = shapely.get_coordinates(feature.geometry)[:1]
        if np.hypot(*middle.to_xy(place)[0]) > COURSE_SPAN_M and "golf" in feature.tags:
            text = f"{feature.fid}: lies more than {COURSE_SPAN_M / 1000.0:.0f} km from the holes; left out"
            strays.append(Finding(kind=FindingKind.IGNORED, text=text, feature=feature.fid))
        else:
            kept.append(feature)
    near = points[away <= COURSE_SPAN_M]
    xy = middle.to_xy(near)
    centre = middle.to_lonlat((xy.min(axis=0) + xy.max(axis=0)) / 2.0)[0]
    # Seven decimals are a centimetre; a short number keeps the frame readable in plan.json.
    frame = Frame(round(float((centre[0] + 180.0) % 360.0 - 180.0), 7), round(float(centre[1]), 7))
    return (
        frame,
        FeatureTable(file=table.file, features=tuple(kept), credit=table.credit, findings=table.findings),
        strays,
    )


def _refuse_swapped(table: FeatureTable) -> None:
    """Refuse latitude before longitude where both could be either: the lengths give it away.

    At 50 degrees of latitude an east-west hole read the wrong way round is half as long again.
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
    other = count_fitting(True)
    if other > 0.9 * len(lines):
        raise CourseError(
            table.file,
            "",
            f"{given} of {len(lines)} holes have a length that fits their par, and {other} would with the "
            "two numbers of each position swapped: the order looks like latitude, longitude",
            "RFC 7946 writes longitude first: swap the two",
        )


def _labels(features: Sequence[Feature], foreign: Mapping[str, str]) -> tuple[list[str], list[Finding]]:
    """A label for every line of play: its ref, else its name, else its place in the file.

    Of several numbers in one ref ("1;10") all stay, parted by semicolons.
    """
    labels: list[str] = []
    findings: list[Finding] = []
    taken: set[str] = set()
    for number, feature in enumerate(features, start=1):
        ref, name = feature.tags.get("ref", "").strip(), feature.tags.get("name", "").strip()
        if feature.fid in foreign:
            labels.append(f"{ref or name or 'a hole'} of {foreign[feature.fid]}")
            continue
        label = ";".join(listed(ref)) or name.replace(";", ",") or f"line {number}"
        if not ref:
            text = f"{feature.fid}: the hole has no ref; it is called {label!r}"
            findings.append(Finding(kind=FindingKind.MISSING, text=text, hole=label, feature=feature.fid))
        parts = []
        for part in label.split(";"):
            fresh, count = part, 2
            while fresh in taken:
                fresh, count = f"{part} ({count})", count + 1
            if fresh != part:
                text = f"{feature.fid}: a second line of play is called {part!r}; it is kept as {fresh!r}"
                findings.append(
                    Finding(kind=FindingKind.QUESTION, text=text, hole=fresh, feature=feature.fid)
                )
            taken.add(fresh)
            parts.append(fresh)
        if len(parts) > 1:
            text = f"{feature.fid}: ref={ref}: one line of play for {len(parts)} holes"
            findings += [
                Finding(kind=FindingKind.ASSUMED, text=text, hole=part, feature=feature.fid) for part in parts
            ]
        labels.append(";".join(parts))
    return labels, findings


def _plans(
    drawn: Drawn, labels: Sequence[str], foreign: Mapping[str, str]
) -> tuple[list[HoleMatch], list[Finding]]:
    """Lines in the direction of play, each with its green and tees; a line of two numbers is two."""
    greens = [shape for _, shape in drawn.greens]
    tees = [shape for _, shape in drawn.tees]
    lines, turned = [], []
    for _, line in drawn.lines:
        turn = backwards(line, greens, tees)
        lines.append(shapely.reverse(line) if turn else line)
        turned.append(turn)
    own, nearer = match_greens(lines, greens)
    refs = [feature.tags.get("ref", "").strip() for feature, _ in drawn.tees]
    tees_of, homeless = match_tees(lines, labels, tees, refs)
    users = Counter(i for i in own if i is not None)
    label_of = {green: labels[i] for i, green in enumerate(own) if green is not None}
    plans = [
        HoleMatch(
            label=label,
            feature=feature,
            line=lines[i],
            turned=turned[i],
            green=own[i],
            green_shared=(mine := own[i]) is not None and users[mine] > 1,
            nearer_green=label_of.get(near, "no hole") if (near := nearer[i]) is not None else "",
            tees=_tees_named(label, tees_of[i], refs) if ";" in labels[i] else tuple(tees_of[i]),
        )
        for i, (feature, _) in enumerate(drawn.lines)
        for label in ([labels[i]] if feature.fid in foreign else labels[i].split(";"))
    ]
    findings = []
    if homeless:
        named = short_list([drawn.tees[j][0].fid for j in homeless])
        text = f"{len(homeless)} tees lie near no line of play ({named}) and count as fairway"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
    spare = [feature.fid for j, (feature, _) in enumerate(drawn.greens) if j not in users]
    if spare:
        how = f"{HOW[0].lower()}{HOW[1:]}"
        text = f"{_greens(len(spare))} no line of play ({short_list(spare)}) and count as fairway: {how}"
        findings.append(Finding(kind=FindingKind.QUESTION, text=text))
    return plans, findings


def _greens(count: int) -> str:
    return f"{count} greens have" if count != 1 else "1 green has"


def _tees_named(label: str, tees: Sequence[int], refs: Sequence[str]) -> tuple[int, ...]:
    """Of the tees of a line with several numbers those of this one; all when none says which."""
    mine = tuple(j for j in tees if label in listed(refs[j]))
    free = tuple(j for j in tees if not refs[j])
    return (*mine, *free) or tuple(tees)


def _playing_order(label: str, place: int) -> tuple[int, int, int]:
    number = re.match(r"\d+", label)
    return (0, int(number.group()), place) if number else (1, 0, place)


def _numbering(labels: Sequence[str]) -> tuple[list[Finding], list[Finding]]:
    """Gaps in the numbers (course), and numbers beyond the count of holes (by hole)."""
    numbers = {int(label) for label in labels if label.isdecimal()}
    if not numbers or len(labels) < 2:
        return [], []
    count = len(labels)
    expected = set(range(1, count + 1))
    odd = sorted(numbers - expected)
    missing = sorted(expected - numbers)
    if not odd or not missing:
        return [], []
    # Only part of a longer course may be in the file: 10 to 18 in one row is no gap.
    if sorted(numbers) == list(range(min(numbers), min(numbers) + len(numbers))) and len(numbers) == count:
        return [], []
    gap, extra = ", ".join(map(str, missing)), ", ".join(map(str, odd))
    met = f"{count} holes, but {gap} is missing and there is a hole {extra}"
    text = f"{met}: is hole {extra} really {gap}? Labels are kept"
    return [Finding(kind=FindingKind.QUESTION, text=text)], [
        Finding(
            kind=FindingKind.QUESTION,
            text=f"hole {n} lies outside 1 to {count}; the label is kept",
            hole=str(n),
        )
        for n in odd
    ]


def _whole_course(drawn: Drawn, notes: CourseNotes) -> list[Finding]:
    findings = []
    if not drawn.boundaries:
        text = "no out of bounds is drawn: where it is remains unknown, and no ball is counted out"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    elif not notes.out_of_bounds_complete:
        text = "out of bounds counts where it is drawn; whether all of it is drawn is unknown"
        findings.append(Finding(kind=FindingKind.ASSUMED, text=text))
    surfaces = {area.surface for area in drawn.areas}
    if Surface.ROUGH not in surfaces:
        text = "no rough is drawn: ground between the outlines is taken for rough"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    woods = [area for area in drawn.areas if area.surface == Surface.TREES]
    if not woods:
        findings.append(Finding(kind=FindingKind.MISSING, text="no trees are drawn: none are counted"))
    elif notes.canopy is None and (unknown := sum(area.height_m is None for area in woods)):
        text = f"woods and trees drawn: {len(woods)}, without a height: {unknown}"
        findings.append(Finding(kind=FindingKind.MISSING, text=text))
    return findings


def _notes_faults(
    source: CourseSource,
    kept: FeatureTable,
    plans: Sequence[HoleMatch],
    labels: Sequence[str],
    frame: Frame,
) -> list[InputError]:
    """Everything wrong with course.toml: what it says, and what it says of holes and features not there."""
    if not source.document:
        return []
    lines = {plan.label: plan.line for plan in plans}
    # Of a file that cannot be read it is not known which distant features were to be kept.
    drawn = source.table if source.faults else kept
    found = [
        *unknown_names(source.document, labels, {feature.fid for feature in drawn.features}),
        *far_places(source.document, {label: lines[label] for label in labels}, frame),
    ]
    return [*source.faults, *in_order(source.notes_file, found, source.document, CourseError, entry_name)]


def _drawn_name(table: FeatureTable) -> str:
    for feature in table.features:
        if feature.tags.get("leisure") == "golf_course" and feature.tags.get("name"):
            return feature.tags["name"]
    return ""
