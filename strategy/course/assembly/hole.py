"""Builds one hole: green, tees, line of play from the back tee to the middle of the green, and par."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.assembly.classify import ASSUMED_GREEN_RADIUS_M, ClassifiedFeatures
from strategy.course.assembly.hole_match import HoleFindings, HoleMatch
from strategy.course.assembly.match import listed
from strategy.course.assembly.surroundings import (
    areas_on,
    check_fairway,
    hole_areas,
    hole_out_of_bounds,
    mapped_ground,
)
from strategy.course.frame import Frame
from strategy.course.model import FindingKind, Hole, Tee
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at, line_length
from strategy.course.readers.notes import CourseNotes, PlaceEntry
from strategy.course.stated import StatedLength, compare_length, stated_lengths
from strategy.units import yards

SNAP_M: Final = 5.0
# A fairway this small and this near to the start of a line without a tee may be its tee (engineering choice).
TEE_MOST_M2: Final = 1500.0
TEE_NEAR_M: Final = 45.0

# Men's par ranges, Rules of Handicapping, Appendix F (World Handicap System): par 3 to 260 yd, par 4 240 to
# 490, par 5 450 to 710, par 6 670 and over. They overlap; the middle of each overlap is the limit here.
_PAR_LIMITS_YD: Final = ((250.0, 3), (470.0, 4), (690.0, 5))
PAR_RANGE_YD: Final = {
    3: (0.0, 260.0),
    4: (240.0, 490.0),
    5: (450.0, 710.0),
    6: (670.0, 1000.0),
    7: (900.0, 1500.0),
}


def build_hole(
    match: HoleMatch,
    matches: Sequence[HoleMatch],
    classified: ClassifiedFeatures,
    notes: CourseNotes,
    frame: Frame,
) -> Hole:
    """Build one hole.

    Parameters
    ----------
    match : HoleMatch
        The line of play with its green and tees.
    matches : sequence of HoleMatch
        All holes of the course. A feature belongs to the hole whose line is nearest.
    classified : ClassifiedFeatures
        All features of the course.
    notes : CourseNotes
        course.toml as read.
    frame : Frame
        The course frame.

    Returns
    -------
    Hole
    """
    findings = HoleFindings(match.label)
    hole_notes = notes.holes.get(match.label)
    if match.is_reversed:
        text = "the line of play was drawn from the green to the tee; turned round"
        findings.add(FindingKind.REPAIRED, text, match.feature.fid)
    green = _green(match, classified, findings)
    tees = _tees(match, classified, notes, frame, findings)
    line = _line(match, classified, tees, green, findings)
    par, par_assumed = _par(match, hole_notes.par if hole_notes else None, line_length(line), findings)
    if par == 3 and len(line) > 2:
        line = _straight_line(match, line, findings)
    path = shapely.LineString(line)
    mapped = mapped_ground(match, matches, classified, tees, green, path)
    near = areas_on(classified.areas, mapped)
    areas = hole_areas(match, classified, near, green, mapped, findings)
    name = (hole_notes.name if hole_notes else "") or match.feature.tags.get("name", "")
    if not name:
        findings.add(FindingKind.MISSING, "the hole has no name", match.feature.fid)
    lengths = stated_lengths(match.feature.tags)
    _check_lengths(match, lengths, line, tees, findings)
    check_fairway(match, par, path, near, findings)
    out_of_bounds = hole_out_of_bounds(match, classified, notes, path, mapped, findings)
    return Hole(
        label=match.label,
        frame=frame,
        par=par,
        line=line,
        tees=tees,
        green=green,
        areas=areas,
        mapped=mapped,
        name=name,
        par_assumed=par_assumed,
        out_of_bounds=out_of_bounds,
        rough_known=any(a.surface == Surface.ROUGH for a in areas),
        drop_zones=_places(notes.drop_zones, match.label, frame, "drop zone"),
        sight_marks=_places(notes.sight_marks, match.label, frame, "mark"),
        notes=hole_notes.notes if hole_notes else (),
        findings=tuple(findings.findings),
        stated_lengths=lengths,
    )


def infer_par(length_m: float) -> int:
    """Par for a length (Rules of Handicapping, Appendix F, men; the overlaps are divided in the middle).

    >>> from strategy.units import metres
    >>> [infer_par(metres(yd)) for yd in (180, 420, 560, 720)]
    [3, 4, 5, 6]
    """
    return next((par for limit, par in _PAR_LIMITS_YD if yards(length_m) < limit), 6)


def _green(match: HoleMatch, classified: ClassifiedFeatures, findings: HoleFindings) -> shapely.Polygon:
    """The green of a hole, or a round one at the end of the line when none is drawn there."""
    end = shapely.Point(match.line.coords[-1])
    if match.green is None:
        text = "no green is drawn at the end of the line: a round one 29 yd across is taken there"
        findings.add(FindingKind.ASSUMED, text, match.feature.fid)
        green: shapely.Polygon = shapely.buffer(end, ASSUMED_GREEN_RADIUS_M)
        return green
    feature, shape = classified.greens[match.green]
    gap = float(shapely.distance(shape, end))
    if gap > SNAP_M:
        text = f"the line of play stops {gap:.0f} m short of the green {feature.fid}; drawn on"
        findings.add(FindingKind.REPAIRED, text, feature.fid)
    if match.nearer_green:
        text = f"the green of {match.nearer_green} is nearer to the end of the line; {feature.fid} is taken"
        findings.add(FindingKind.ASSUMED, text, feature.fid)
    if match.green_shared:
        text = f"another line of play ends in the same green {feature.fid}"
        findings.add(FindingKind.QUESTION, text, feature.fid)
    return shape


def _tees(
    match: HoleMatch,
    classified: ClassifiedFeatures,
    notes: CourseNotes,
    frame: Frame,
    findings: HoleFindings,
) -> tuple[Tee, ...]:
    """The tees of a hole, the back tee first; the start of the line when no tee is drawn."""
    path = np.asarray(match.line.coords, dtype=np.float64)
    tees = []
    for j in match.tees:
        feature, shape = classified.tees[j]
        name = feature.tags.get("tee") or feature.tags.get("name") or feature.tags.get("colour") or ""
        middle = _tee_middle(shape, path)
        tees += [Tee(name=each, xy=middle, fid=feature.fid) for each in listed(name) or [""]]
        if match.label not in listed(feature.tags.get("ref", "")):
            text = f"tee {feature.fid} has no ref of this hole; taken as its tee by position"
            findings.add(FindingKind.ASSUMED, text, feature.fid)
    for place in notes.tees:
        if place.hole == match.label:
            x, y = frame.to_xy(place.at)[0]
            xy = (float(x), float(y))
            tees.append(Tee(name=place.name, xy=xy, fid="course.toml", origin=Origin.PUBLISHED))
    if not tees:
        text = "no tee is drawn: the start of the line of play is taken"
        findings.add(FindingKind.ASSUMED, text, match.feature.fid)
        if (fid := _tee_tagged_as_fairway(match, classified)) is not None:
            ref = f" and ref={match.label}" if match.label else ""
            text = f"{fid}, tagged fairway, lies where the tee would be: is it the tee? Tag it golf=tee{ref}"
            findings.add(FindingKind.QUESTION, text, fid)
        xy = (float(path[0, 0]), float(path[0, 1]))
        tees.append(Tee(name="line start", xy=xy, fid=match.feature.fid, origin=Origin.ASSUMED))
    depth = along_side(path, [tee.xy for tee in tees])[:, 1]
    ordered = [tees[i] for i in np.argsort(depth, kind="stable")]
    names: set[str] = set()
    named = []
    for number, tee in enumerate(ordered, start=1):
        name = tee.name or ("back" if number == 1 else f"tee {number}")
        while name in names:
            name = f"{name} {number}"
        names.add(name)
        named.append(Tee(name=name, xy=tee.xy, fid=tee.fid, origin=tee.origin))
    return tuple(named)


def _tee_tagged_as_fairway(match: HoleMatch, classified: ClassifiedFeatures) -> str | None:
    """Identifier of the fairway at the start of a line that is small enough to be a tee; None for none."""
    start = shapely.Point(match.line.coords[0])
    near = [
        (float(shapely.distance(area.shape, start)), area.fid)
        for area in classified.areas
        if area.surface == Surface.FAIRWAY and area.shape.area <= TEE_MOST_M2
    ]
    away, fid = min(near, default=(np.inf, ""))
    return fid if away <= TEE_NEAR_M else None


def _tee_middle(shape: shapely.Geometry, path: FloatArray) -> tuple[float, float]:
    """Middle of the front-to-back axis of a tee, in the direction of play. [m]"""
    centre = shapely.get_coordinates(shapely.centroid(shape))[0]
    if shape.geom_type not in ("Polygon", "MultiPolygon"):
        return (float(centre[0]), float(centre[1]))
    heading = np.radians(heading_at(path, float(along_side(path, centre)[0, 1])))
    ahead = np.array([np.sin(heading), np.cos(heading)])
    axis = shapely.LineString([centre - 500.0 * ahead, centre + 500.0 * ahead])
    chord = shapely.intersection(axis, shape)
    if chord.is_empty:
        return (float(centre[0]), float(centre[1]))
    depth = (shapely.get_coordinates(chord) - centre) @ ahead
    middle = centre + 0.5 * (depth.min() + depth.max()) * ahead
    return (float(middle[0]), float(middle[1]))


def _line(
    match: HoleMatch,
    classified: ClassifiedFeatures,
    tees: tuple[Tee, ...],
    green: shapely.Polygon,
    findings: HoleFindings,
) -> FloatArray:
    """Line of play from the back tee over the drawn turns to the middle of the green (n, 2). [m]"""
    path = np.asarray(match.line.coords, dtype=np.float64)
    start = np.asarray(tees[0].xy)
    centroid = shapely.centroid(green)
    middle = centroid if shapely.contains(green, centroid) else shapely.point_on_surface(green)
    end = shapely.get_coordinates(middle)[0]
    # A line that starts anywhere on the tee is in order, so the gap is measured to the edge of the tee.
    tee_shapes = [shape for feature, shape in classified.tees if feature.fid == tees[0].fid]
    gap = float(shapely.distance((tee_shapes or [shapely.Point(start)])[0], shapely.Point(path[0])))
    tee_depth = float(along_side(path, start)[0, 1])
    if gap > SNAP_M and tees[0].origin != Origin.ASSUMED:
        where = "behind the tee" if tee_depth > 0.0 else "ahead of the back tee"
        text = f"the line of play starts {gap:.0f} m {where}; it now starts at the tee"
        findings.add(FindingKind.REPAIRED, text, match.feature.fid)
    depth = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))))
    to_green = shapely.distance(shapely.points(path), green)
    # Turns between tee and green stay. The drawn ends are replaced by the tee and the middle of the green,
    # but an end far from the green is kept as a turn.
    turns = path[1:-1][(depth[1:-1] > tee_depth + 1.0) & (to_green[1:-1] > 1.0)]
    last_turn = [path[-1]] if to_green[-1] > 40.0 else []
    return np.vstack([start, *turns, *last_turn, end])


def _straight_line(match: HoleMatch, line: FloatArray, findings: HoleFindings) -> FloatArray:
    """The straight line of play of a par 3, which is played at the green (one leg: OpenStreetMap wiki)."""
    straight = line[[0, -1]]
    bend = float(np.abs(along_side(straight, line[1:-1])[:, 0]).max())
    if bend > SNAP_M:
        text = f"the line of play of a par 3 bends by {bend:.0f} m; it now runs straight"
        findings.add(FindingKind.REPAIRED, text, match.feature.fid)
    return straight


def _par(match: HoleMatch, stated: int | None, length_m: float, findings: HoleFindings) -> tuple[int, bool]:
    """Par of a hole, and whether it is assumed: from course.toml, from its tag, or from its length."""
    if stated is not None:
        return stated, False
    text = match.feature.tags.get("par", "").strip()
    values = listed(text)
    if len(values) > 1:
        findings.add(FindingKind.QUESTION, f"par={text}: {values[0]} is taken", match.feature.fid)
    par = int(values[0]) if values and values[0].isdecimal() else None
    length = f"{yards(length_m):.0f} yd"
    if par is None or not 3 <= par <= 7:
        inferred = infer_par(length_m)
        wrong = f"par {text!r} cannot be read" if text else "par is missing"
        text = f"{wrong}: par {inferred} is taken from the length of {length}"
        findings.add(FindingKind.ASSUMED, text, match.feature.fid)
        return inferred, True
    low, high = PAR_RANGE_YD[par]
    if not low * 0.9 <= yards(length_m) <= high * 1.1:
        text = f"par {par} at {length}: is the line of play right?"
        findings.add(FindingKind.QUESTION, text, match.feature.fid)
    return par, False


def _check_lengths(
    match: HoleMatch,
    lengths: Sequence[StatedLength],
    line: FloatArray,
    tees: Sequence[Tee],
    findings: HoleFindings,
) -> None:
    """Compare each stated length with the line from the tee that it names, or from the back tee."""
    by_name = {tee.name.casefold(): tee for tee in tees}
    for stated in lengths:
        tee = by_name.get(stated.tee.casefold())
        if stated.tee and tee is None:
            continue
        start = 0.0 if tee is None else float(along_side(line, tee.xy)[0, 1])
        if wrong := compare_length(stated, line_length(line) - start):
            findings.add(FindingKind.QUESTION, wrong, match.feature.fid)


def _places(
    places: Sequence[PlaceEntry], label: str, frame: Frame, unnamed: str
) -> tuple[tuple[str, float, float], ...]:
    """The places of course.toml on a hole: name, x, y. [m]"""
    on_hole = []
    for place in places:
        if place.hole == label:
            x, y = frame.to_xy(place.at)[0]
            on_hole.append((place.name or unnamed, float(x), float(y)))
    return tuple(on_hole)
