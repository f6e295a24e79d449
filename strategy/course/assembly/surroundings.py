"""The ground of one hole: what is mapped, which areas are on it, and what is out of bounds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from strategy.codes import Surface
from strategy.course.assembly.boundary import ground_out_of_bounds
from strategy.course.assembly.classify import ClassifiedFeatures
from strategy.course.assembly.hole_match import HoleFindings, HoleMatch
from strategy.course.model import Area, FindingKind, Tee
from strategy.course.origin import Origin
from strategy.course.readers.notes import CourseNotes

MAPPED_M: Final = 60.0
# Features widen the mapped ground only so far. With the margin it ends 140 m from the line, where no shot
# that a plan considers comes to rest (engineering choice).
FEATURE_REACH_M: Final = 80.0
CLEAR_OF_TEE_M: Final = 150.0
FAIRWAY_REACH_M: Final = 100.0


def mapped_ground(
    match: HoleMatch,
    matches: Sequence[HoleMatch],
    classified: ClassifiedFeatures,
    tees: tuple[Tee, ...],
    green: shapely.Polygon,
    path: shapely.LineString,
) -> shapely.Geometry:
    """The mapped ground of a hole: 60 m round its line, tees and green, and the features nearest to its line.

    Parameters
    ----------
    match : HoleMatch
        The hole.
    matches : sequence of HoleMatch
        All holes of the course.
    classified : ClassifiedFeatures
        All features of the course.
    tees, green : tuple of Tee, Polygon
        Those of the hole. [m]
    path : LineString
        Its line of play from the back tee to the middle of the green. [m]
    """
    others = np.array([m.line for m in matches if m is not match], dtype=object)
    reach = shapely.buffer(path, FEATURE_REACH_M)
    own: list[shapely.Geometry] = [path, green, shapely.MultiPoint([tee.xy for tee in tees])]
    own += [classified.tees[j][1] for j in match.tees]
    distances = shapely.distance(_shapes(classified.areas), path)
    for area, distance in zip(classified.areas, distances, strict=True):
        if distance <= MAPPED_M and (
            distance == 0.0 or not len(others) or not _is_nearer_to(others, match.line, area)
        ):
            own.append(shapely.intersection(area.shape, reach))
    return shapely.buffer(shapely.union_all(own), MAPPED_M)


def _is_nearer_to(others: NDArray[np.object_], line: shapely.LineString, area: Area) -> bool:
    """Whether the middle of an area is nearer to one of the other lines than to a line."""
    middle = shapely.centroid(area.shape)
    return bool(shapely.distance(middle, others).min() < shapely.distance(middle, line))


def areas_on(areas: Sequence[Area], mapped: shapely.Geometry) -> list[Area]:
    """The areas that touch the mapped ground of a hole."""
    shapely.prepare(mapped)
    is_on = shapely.intersects(_shapes(areas), mapped)
    return [area for area, on in zip(areas, is_on, strict=True) if on]


def _shapes(areas: Sequence[Area]) -> NDArray[np.object_]:
    return np.array([area.shape for area in areas], dtype=object)


def hole_areas(
    match: HoleMatch,
    classified: ClassifiedFeatures,
    near: Sequence[Area],
    green: shapely.Polygon,
    mapped: shapely.Geometry,
    findings: HoleFindings,
) -> tuple[Area, ...]:
    """The areas of a hole: those near it, its green and tees, and other greens and tees as fairway.

    Parameters
    ----------
    near : sequence of Area
        The areas on the mapped ground.
    green : Polygon
        The green of the hole; it is an area of its own when none is drawn. [m]
    mapped : shapely geometry
        The mapped ground. [m]
    """
    areas = _without_twice_drawn_water(near, findings)
    for j, (feature, shape) in enumerate(classified.greens):
        if shapely.intersects(shape, mapped):
            surface = Surface.GREEN if j == match.green else Surface.FAIRWAY
            origin = Origin.ASSUMED if feature.fid in classified.point_greens else Origin.TRACED
            areas.append(Area(surface=surface, shape=shape, fid=feature.fid, origin=origin))
    if match.green is None:
        fid = match.feature.fid
        areas.append(Area(surface=Surface.GREEN, shape=green, fid=fid, origin=Origin.ASSUMED))
    for j, (feature, shape) in enumerate(classified.tees):
        if shape.geom_type in ("Polygon", "MultiPolygon") and shapely.intersects(shape, mapped):
            surface = Surface.TEE if j in match.tees else Surface.FAIRWAY
            areas.append(Area(surface=surface, shape=shape, fid=feature.fid))
    fairways = [a for a in near if a.surface == Surface.FAIRWAY]
    for bunker in (a for a in near if a.surface == Surface.BUNKER):
        around = next((f for f in fairways if shapely.contains(f.shape, bunker.shape)), None)
        if around is not None:
            text = f"bunker {bunker.fid} is drawn inside fairway {around.fid}: sand counts there"
            findings.add(FindingKind.ASSUMED, text, bunker.fid)
    return tuple(areas)


def _without_twice_drawn_water(near: Sequence[Area], findings: HoleFindings) -> list[Area]:
    """The areas without water that is drawn again as a coloured penalty area; reports unknown colours."""
    coloured = [a for a in near if a.surface.penalty_area and a.colour_known]
    for k, one in enumerate(coloured):
        for other in coloured[k + 1 :]:
            overlap = float(shapely.intersection(one.shape, other.shape).area)
            if one.surface != other.surface and overlap > 0.5 * min(one.shape.area, other.shape.area):
                text = f"penalty areas {one.fid} and {other.fid} lie over each other, one yellow, one red"
                findings.add(FindingKind.QUESTION, f"{text}: say the colour in course.toml", one.fid)
    areas = []
    for area in near:
        if area.surface.penalty_area and not area.colour_known:
            most = 0.9 * area.shape.area
            twin = next((t for t in coloured if shapely.intersection(t.shape, area.shape).area > most), None)
            if twin is not None:
                text = f"water {area.fid} lies in the penalty area {twin.fid}: one area, not two"
                findings.add(FindingKind.IGNORED, text, area.fid)
                continue
            text = f"penalty area {area.fid} has no colour: red is assumed"
            findings.add(FindingKind.ASSUMED, text, area.fid)
        areas.append(area)
    return areas


def hole_out_of_bounds(
    match: HoleMatch,
    classified: ClassifiedFeatures,
    notes: CourseNotes,
    path: shapely.LineString,
    mapped: shapely.Geometry,
    findings: HoleFindings,
) -> shapely.Geometry | None:
    """Ground near a hole that is out of bounds; None when no boundary is drawn on the whole course. [m]"""
    if not classified.boundaries:
        return None
    window = shapely.box(*shapely.bounds(shapely.buffer(mapped, 30.0)))
    ground: list[shapely.Geometry] = []
    for feature, boundary in classified.boundaries:
        stated = next((b for b in notes.out_of_bounds if b.feature == feature.fid), None)
        if stated is not None and stated.holes and match.label not in stated.holes:
            continue
        out = ground_out_of_bounds(boundary, path, window, None if stated is None else stated.out)
        if out is None:
            text = f"the line of play crosses the out-of-bounds line {feature.fid}"
            text = f"{text}: not used; name its side in course.toml"
            findings.add(FindingKind.QUESTION, text, feature.fid)
        elif not out.is_empty:
            ground.append(out)
        elif shapely.intersection(_rim(boundary), mapped).length > 1.0:
            text = f"which side of the out-of-bounds line {feature.fid} is out cannot be told"
            findings.add(FindingKind.QUESTION, f"{text}: not used; name it in course.toml", feature.fid)
    return shapely.union_all(ground) if ground else shapely.Polygon()


def _rim(boundary: shapely.Geometry) -> shapely.Geometry:
    """A boundary as lines."""
    return shapely.boundary(boundary) if boundary.geom_type in ("Polygon", "MultiPolygon") else boundary


def check_fairway(
    match: HoleMatch, par: int, path: shapely.LineString, near: Sequence[Area], findings: HoleFindings
) -> None:
    """Report a par 4 or longer whose line of play has no fairway, or runs mostly beside it."""
    if par < 4:
        return
    fairways = [area.shape for area in near if area.surface == Surface.FAIRWAY]
    fairway = shapely.union_all(fairways) if fairways else shapely.Polygon()
    # The part of the line that can be expected to run over fairway.
    played = substring(path, CLEAR_OF_TEE_M, max(path.length - CLEAR_OF_TEE_M / 2.0, CLEAR_OF_TEE_M))
    share = float(shapely.intersection(played, fairway).length) / max(float(played.length), 1e-9)
    away = float(shapely.distance(played, fairway)) if fairways else np.inf
    if away > FAIRWAY_REACH_M:
        text = "no fairway is drawn: ground between the outlines counts as rough"
        findings.add(FindingKind.MISSING, text)
    elif share < 0.3 and (len(path.coords) == 2 or share == 0.0):
        text = "the line of play runs mostly beside the fairway: draw its turns, or the fairway"
        findings.add(FindingKind.QUESTION, text, match.feature.fid)
