"""Names for the bunkers, water and trees of a hole, as a caddie says them.

Bunkers within 12 yd of one another on the same side of the line are one feature. Short of the green a feature
is named by its side of the line of play and, where there are several, by its order along the line: "the far
left bunker". At the green it is named by its direction from the middle of the green: "the left greenside
bunker".

Water that the line of play crosses is one feature for each crossing, whatever outlines it is drawn with,
because a ball is carried over it, or laid up short of it, once for each crossing. Water beside the line is
grouped like bunkers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
import shapely
from shapely.ops import split

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.model import Area, Hole
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at, last_leg, point_at
from strategy.units import YARD_M

GROUP_M: Final = 12.0 * YARD_M
GREENSIDE_M: Final = 22.0 * YARD_M
BESIDE_M: Final = 60.0  # farther from the line of play an outline belongs to another hole
_MIDDLE_M: Final = 5.0
_SHORTEST_CROSSING_M: Final = 0.5
_HALF_CUT_M: Final = 300.0  # half the length of the line that cuts a lake with two crossings in two
_ORDER_WORDS: Final = {
    1: ("",),
    2: ("near ", "far "),
    3: ("near ", "middle ", "far "),
}
_ORDINALS: Final = ("first ", "second ", "third ", "fourth ", "fifth ", "sixth ", "seventh ", "eighth ")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NamedFeature:
    """A bunker, water or trees with a name; it may consist of several outlines.

    Attributes
    ----------
    name : str
        Name with its article: "the far left bunker".
    kind : str
        "sand", "water" or "trees".
    shape : shapely geometry
        Course frame. [m]
    greenside : bool
        Whether it is a greenside bunker.
    origin : str
        Origin of its outlines.
    areas : tuple of Area
        The outlines that it consists of.
    cross : bool
        Whether it lies across the line of play. Water is then one crossing.
    """

    name: str
    kind: str
    shape: shapely.Geometry
    greenside: bool
    origin: str
    areas: tuple[Area, ...] = ()
    cross: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Outlines that become one feature, as drawn and as they are after measurements moved them."""

    areas: tuple[Area, ...]
    original_shape: shapely.Geometry
    shape: shapely.Geometry


def name_features(hole: Hole) -> tuple[NamedFeature, ...]:
    """Name every piece of sand, water and trees near the line of play of a hole."""
    line = hole.line
    path = shapely.LineString(line)

    def grouped(areas: Sequence[Area]) -> list[_Group]:
        return [_whole(members) for members in _neighbours(areas, path)]

    near = [a for a in hole.areas if shapely.distance(_original(a), path) < BESIDE_M]
    bunkers = [a for a in near if a.surface == Surface.BUNKER]
    green = _original_green(hole)
    is_greenside = [shapely.distance(_original(a), green) < GREENSIDE_M for a in bunkers]
    greenside = [a for a, at_green in zip(bunkers, is_greenside, strict=True) if at_green]
    others = [a for a, at_green in zip(bunkers, is_greenside, strict=True) if not at_green]
    crossings, beside = _crossings([a for a in near if a.surface.penalty_area], line)
    trees = [a for a in near if a.surface == Surface.TREES]
    return (
        *_name_greenside(green, line, greenside),
        *_name_along(line, grouped(others), "sand", "bunker"),
        *_name_along(line, [*crossings, *grouped(beside)], "water", "water"),
        *_name_along(line, grouped(trees), "trees", "trees"),
    )


def common_origin(areas: Sequence[Area]) -> str:
    """The origin of several outlines when they all have the same; traced otherwise."""
    origins = {a.origin for a in areas}
    return str(origins.pop() if len(origins) == 1 else Origin.TRACED)


def _original(area: Area) -> shapely.Geometry:
    """The outline of an area as drawn, before a measurement moved it."""
    return area.shape if area.original_shape is None else area.original_shape


def _original_green(hole: Hole) -> shapely.Geometry:
    own = next((a for a in hole.areas if a.surface == Surface.GREEN and a.shape is hole.green), None)
    return hole.green if own is None else _original(own)


def _name_greenside(green: shapely.Geometry, line: FloatArray, areas: Sequence[Area]) -> list[NamedFeature]:
    """Bunkers at the green, grouped and named by their direction from its middle."""
    ahead, right = last_leg(line)
    centre = shapely.get_coordinates(shapely.centroid(green))[0]
    ring = shapely.get_coordinates(green) - centre
    half_width, half_depth = float(np.abs(ring @ right).max()), float(np.abs(ring @ ahead).max())
    by_direction: dict[str, list[Area]] = {}
    for area in areas:
        offset = shapely.get_coordinates(shapely.centroid(_original(area)))[0] - centre
        across, along = float(offset @ right) / half_width, float(offset @ ahead) / half_depth
        if abs(across) >= abs(along):
            direction = "right greenside" if across > 0.0 else "left greenside"
        elif along < 0.0:
            direction = "front" if abs(across) < 0.4 else "front right" if across > 0.0 else "front left"
        else:
            direction = "back"
        by_direction.setdefault(direction, []).append(area)
    return [
        NamedFeature(
            name=f"the {direction} bunker{'s' if len(group) > 1 else ''}",
            kind="sand",
            shape=shapely.union_all([a.shape for a in group]),
            greenside=True,
            origin=common_origin(group),
            areas=tuple(group),
        )
        for direction, group in by_direction.items()
    ]


def _name_along(line: FloatArray, groups: Sequence[_Group], kind: str, word: str) -> list[NamedFeature]:
    """Groups of outlines, named by their side of the line of play and their order along it."""
    path = shapely.LineString(line)
    by_side: dict[str, list[tuple[float, _Group]]] = {}
    for group in groups:
        centre = shapely.get_coordinates(shapely.centroid(group.original_shape))
        side_m, depth = along_side(line, centre)[0]
        side = _side_word(path, group.original_shape, float(side_m))
        by_side.setdefault(side, []).append((float(depth), group))
    features = []
    for side, ordered in by_side.items():
        ordered.sort(key=lambda pair: pair[0])
        words = _ORDER_WORDS.get(len(ordered), (*_ORDINALS[: len(ordered) - 1], "last "))
        if len(words) < len(ordered):
            words = tuple(f"{number}. " for number in range(1, len(ordered) + 1))
        for order, (_, group) in zip(words, ordered, strict=True):
            plural = "s" if word == "bunker" and len(group.areas) > 1 else ""
            is_only_water = kind == "water" and len(groups) == 1
            features.append(
                NamedFeature(
                    name=f"the {word}" if is_only_water else f"the {order}{side} {word}{plural}",
                    kind=kind,
                    shape=group.shape,
                    greenside=False,
                    origin=common_origin(group.areas),
                    areas=group.areas,
                    cross=shapely.intersects(path, group.shape),
                )
            )
    return features


def _crossings(areas: Sequence[Area], line: FloatArray) -> tuple[list[_Group], list[Area]]:
    """Water by the crossings of the line of play, and the outlines that the line does not cross.

    Crossings less than 12 yd apart are one crossing, because no ball is laid up between them. An outline that
    is crossed twice is cut across the line, halfway between its crossings.
    """
    path = shapely.LineString(line)
    stretches_of = [_stretches(_original(area), path) for area in areas]
    crossings: list[tuple[float, float]] = []
    for start, end in sorted(stretch for stretches in stretches_of for stretch in stretches):
        if crossings and start - crossings[-1][1] < GROUP_M:
            crossings[-1] = (crossings[-1][0], max(end, crossings[-1][1]))
        else:
            crossings.append((start, end))
    pieces: list[list[tuple[Area, shapely.Geometry, shapely.Geometry]]] = [[] for _ in crossings]
    beside = []
    for area, stretches in zip(areas, stretches_of, strict=True):
        crossed = [k for k, (a, b) in enumerate(crossings) if any(a <= start <= b for start, _ in stretches)]
        if not crossed:
            beside.append(area)
        cuts = [0.5 * (crossings[k][1] + crossings[j][0]) for k, j in pairwise(crossed)]
        originals, shapes = _cut(_original(area), line, cuts), _cut(area.shape, line, cuts)
        for k, original, shape in zip(crossed, originals, shapes, strict=False):
            pieces[k].append((area, original, shape))
    groups = [
        _Group(
            areas=tuple(area for area, _, _ in members),
            original_shape=shapely.union_all([original for _, original, _ in members]),
            shape=shapely.union_all([shape for _, _, shape in members]),
        )
        for members in pieces
    ]
    return groups, beside


def _stretches(shape: shapely.Geometry, path: shapely.LineString) -> list[tuple[float, float]]:
    """Start and end, along a line of play, of each stretch that runs over an outline. [m]"""
    stretches = []
    for part in shapely.get_parts(shapely.intersection(path, shape)):
        if part.geom_type == "LineString" and part.length > _SHORTEST_CROSSING_M:
            along = shapely.line_locate_point(path, shapely.points(shapely.get_coordinates(part)))
            stretches.append((float(along.min()), float(along.max())))
    return stretches


def _cut(shape: shapely.Geometry, line: FloatArray, depths: Sequence[float]) -> list[shapely.Geometry]:
    """Cut an outline across the line of play at some depths; gives the pieces in the order of play."""
    pieces: list[list[shapely.Geometry]] = [[] for _ in range(len(depths) + 1)]
    parts = list(shapely.get_parts(shape))
    for depth in depths:
        heading = np.radians(heading_at(line, depth))
        across = _HALF_CUT_M * np.array([np.cos(heading), -np.sin(heading)])
        middle = point_at(line, 0.0, depth)[0]
        knife = shapely.LineString([middle - across, middle + across])
        parts = [piece for part in parts for piece in shapely.get_parts(split(part, knife))]
    for part in parts:
        depth = along_side(line, shapely.get_coordinates(shapely.point_on_surface(part)))[0, 1]
        pieces[int(np.searchsorted(depths, depth))].append(part)
    return [shapely.union_all(piece) for piece in pieces]


def _side_word(path: shapely.LineString, shape: shapely.Geometry, side_m: float) -> str:
    """The side of the line of play that an outline is named by."""
    if shapely.intersects(path, shape) and abs(side_m) < 4.0 * _MIDDLE_M:
        return "cross"
    if abs(side_m) < _MIDDLE_M:
        return "middle"
    return "right" if side_m > 0.0 else "left"


def _whole(areas: Sequence[Area]) -> _Group:
    """A group of whole outlines."""
    return _Group(
        areas=tuple(areas),
        original_shape=shapely.union_all([_original(a) for a in areas]),
        shape=shapely.union_all([a.shape for a in areas]),
    )


def _neighbours(areas: Sequence[Area], path: shapely.LineString) -> list[list[Area]]:
    """Outlines grouped so that those close together on one side of the line are in one group."""
    groups: list[list[Area]] = []
    for area in areas:
        touching = [
            group
            for group in groups
            if any(
                shapely.distance(_original(a), _original(area)) < GROUP_M
                and not shapely.crosses(shapely.shortest_line(_original(a), _original(area)), path)
                for a in group
            )
        ]
        merged = [a for group in touching for a in group] + [area]
        groups = [g for g in groups if not any(g is group for group in touching)] + [merged]
    return groups
