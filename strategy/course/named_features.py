"""What a caddie names on a hole: bunkers, water and trees, grouped and called by side and order.

Bunkers that stand within 12 yd of one another on the same side are one group. Short of the green a group is
called by its side of the line of play and, where there are several, by its order along it: "the far left
bunker". Round the green it is called by where it lies from the middle: "the left greenside bunker".

Water that the line of play crosses is one thing for each crossing, whatever outlines it is drawn with: a
ball is carried over it, or laid up short of it, once for each. Water beside the line is grouped as sand is.
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
BESIDE_M: Final = 60.0  # from the line of play; further away it is another hole's
_MIDDLE_M: Final = 5.0
_CROSSED_M: Final = 0.5  # a shorter stretch under the line of play is no crossing
_CUT_M: Final = 300.0  # half of the line that cuts a lake crossed twice into two things
_ORDER: Final = {
    1: ("",),
    2: ("near ", "far "),
    3: ("near ", "middle ", "far "),
}
_ORDINAL: Final = ("first ", "second ", "third ", "fourth ", "fifth ", "sixth ", "seventh ", "eighth ")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NamedFeature:
    """Something on the hole that has a name.

    Attributes
    ----------
    name : str
        With its article: "the far left bunker".
    kind : str
        "sand", "water" or "trees".
    shape : shapely geometry
        Course frame. [m]
    greenside : bool
        Stands by the green.
    areas : tuple of Area
        The outlines it is made of.
    cross : bool
        Lies across the line of play; water is then one crossing of it.
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
    """Outlines that make one thing: as drawn, which names it, and as they are now."""

    areas: tuple[Area, ...]
    drawn: shapely.Geometry
    now: shapely.Geometry


def name_features(hole: Hole) -> tuple[NamedFeature, ...]:
    """Name every piece of sand, water and trees near the line of play of a hole."""
    line = hole.line
    path = shapely.LineString(line)

    def side_by_side(areas: Sequence[Area]) -> list[_Group]:
        return [_group(members) for members in _groups(areas, path)]

    near = [a for a in hole.areas if shapely.distance(drawn(a), path) < BESIDE_M]
    sand = [a for a in near if a.surface == Surface.BUNKER]
    green = _drawn_green(hole)
    by_green = [a for a in sand if shapely.distance(drawn(a), green) < GREENSIDE_M]
    found = [*_greenside(green, line, by_green)]
    others = [a for a in sand if not any(a is b for b in by_green)]
    water = [a for a in near if a.surface.penalty_area]
    crossed, beside = _crossings(water, line)
    found += _along(line, side_by_side(others), "sand", "bunker")
    found += _along(line, [*crossed, *side_by_side(beside)], "water", "water")
    found += _along(line, side_by_side([a for a in near if a.surface == Surface.TREES]), "trees", "trees")
    return tuple(found)


def drawn(area: Area) -> shapely.Geometry:
    """An outline as drawn: names stay when a measurement moves what they name."""
    return area.shape if area.drawn is None else area.drawn


def _drawn_green(hole: Hole) -> shapely.Geometry:
    own = next((a for a in hole.areas if a.surface == Surface.GREEN and a.shape is hole.green), None)
    return hole.green if own is None else drawn(own)


def common_origin(areas: Sequence[Area]) -> str:
    """Origin of several outlines: theirs when they agree, traced otherwise."""
    known = {a.origin for a in areas}
    return str(known.pop() if len(known) == 1 else Origin.TRACED)


def _greenside(green: shapely.Geometry, line: FloatArray, areas: Sequence[Area]) -> list[NamedFeature]:
    ahead, right = last_leg(line)
    centre = shapely.get_coordinates(shapely.centroid(green))[0]
    ring = shapely.get_coordinates(green) - centre
    wide, deep = float(np.abs(ring @ right).max()), float(np.abs(ring @ ahead).max())
    sides: dict[str, list[Area]] = {}
    for area in areas:
        rel = shapely.get_coordinates(shapely.centroid(drawn(area)))[0] - centre
        across, along = float(rel @ right) / wide, float(rel @ ahead) / deep
        if abs(across) >= abs(along):
            where = "right greenside" if across > 0.0 else "left greenside"
        elif along < 0.0:
            where = "front" if abs(across) < 0.4 else "front right" if across > 0.0 else "front left"
        else:
            where = "back"
        sides.setdefault(where, []).append(area)
    return [
        NamedFeature(
            name=f"the {where} bunker{'s' if len(group) > 1 else ''}",
            kind="sand",
            shape=shapely.union_all([a.shape for a in group]),
            greenside=True,
            origin=common_origin(group),
            areas=tuple(group),
        )
        for where, group in sides.items()
    ]


def _along(line: FloatArray, groups: Sequence[_Group], kind: str, word: str) -> list[NamedFeature]:
    """Groups of outlines, called by side and order along the line of play."""
    path = shapely.LineString(line)
    sides: dict[str, list[tuple[float, _Group]]] = {}
    for group in groups:
        side, depth = along_side(line, shapely.get_coordinates(shapely.centroid(group.drawn)))[0]
        sides.setdefault(_side(path, group.drawn, float(side)), []).append((float(depth), group))
    found = []
    for side, ordered in sides.items():
        ordered.sort(key=lambda pair: pair[0])
        words = _ORDER.get(len(ordered), (*_ORDINAL[: len(ordered) - 1], "last "))
        if len(words) < len(ordered):
            words = tuple(f"{number}. " for number in range(1, len(ordered) + 1))
        for order, (_, group) in zip(words, ordered, strict=True):
            plural = "s" if word == "bunker" and len(group.areas) > 1 else ""
            only = kind == "water" and len(groups) == 1
            found.append(
                NamedFeature(
                    name=f"the {word}" if only else f"the {order}{side} {word}{plural}",
                    kind=kind,
                    shape=group.now,
                    greenside=False,
                    origin=common_origin(group.areas),
                    areas=group.areas,
                    cross=shapely.intersects(path, group.now),
                )
            )
    return found


def _crossings(areas: Sequence[Area], line: FloatArray) -> tuple[list[_Group], list[Area]]:
    """Water by the crossings of the line of play over it, and the outlines that it does not cross.

    Crossings nearer to one another than 12 yd are one: no ball is laid up between them. An outline that is
    crossed twice is cut across the line, halfway between its crossings.
    """
    path = shapely.LineString(line)
    own = [_stretches(drawn(area), path) for area in areas]
    merged: list[tuple[float, float]] = []
    for low, high in sorted(stretch for stretches in own for stretch in stretches):
        if merged and low - merged[-1][1] < GROUP_M:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    members: list[list[tuple[Area, shapely.Geometry, shapely.Geometry]]] = [[] for _ in merged]
    beside = []
    for area, stretches in zip(areas, own, strict=True):
        mine = [k for k, (a, b) in enumerate(merged) if any(a <= low <= b for low, _ in stretches)]
        if not mine:
            beside.append(area)
        cuts = [0.5 * (merged[k][1] + merged[j][0]) for k, j in pairwise(mine)]
        before, after = _cut(drawn(area), line, cuts), _cut(area.shape, line, cuts)
        for k, was, now in zip(mine, before, after, strict=False):
            members[k].append((area, was, now))
    crossed = [
        _Group(
            areas=tuple(area for area, _, _ in rows),
            drawn=shapely.union_all([was for _, was, _ in rows]),
            now=shapely.union_all([now for _, _, now in rows]),
        )
        for rows in members
    ]
    return crossed, beside


def _stretches(shape: shapely.Geometry, path: shapely.LineString) -> list[tuple[float, float]]:
    """From where to where along a line of play an outline lies under it. [m]"""
    found = []
    for part in shapely.get_parts(shapely.intersection(path, shape)):
        if part.geom_type == "LineString" and part.length > _CROSSED_M:
            along = shapely.line_locate_point(path, shapely.points(shapely.get_coordinates(part)))
            found.append((float(along.min()), float(along.max())))
    return found


def _cut(shape: shapely.Geometry, line: FloatArray, depths: Sequence[float]) -> list[shapely.Geometry]:
    """An outline cut across the line of play at some depths: its pieces in the order of play."""
    pieces: list[list[shapely.Geometry]] = [[] for _ in range(len(depths) + 1)]
    parts = list(shapely.get_parts(shape))
    for depth in depths:
        turn = np.radians(heading_at(line, depth))
        across = _CUT_M * np.array([np.cos(turn), -np.sin(turn)])
        middle = point_at(line, 0.0, depth)[0]
        knife = shapely.LineString([middle - across, middle + across])
        parts = [piece for part in parts for piece in shapely.get_parts(split(part, knife))]
    for part in parts:
        depth = along_side(line, shapely.get_coordinates(shapely.point_on_surface(part)))[0, 1]
        pieces[int(np.searchsorted(depths, depth))].append(part)
    return [shapely.union_all(piece) for piece in pieces]


def _side(path: shapely.LineString, shape: shapely.Geometry, side: float) -> str:
    if shapely.intersects(path, shape) and abs(side) < 4.0 * _MIDDLE_M:
        return "cross"
    if abs(side) < _MIDDLE_M:
        return "middle"
    return "right" if side > 0.0 else "left"


def _group(areas: Sequence[Area]) -> _Group:
    """Whole outlines as one group."""
    return _Group(
        areas=tuple(areas),
        drawn=shapely.union_all([drawn(a) for a in areas]),
        now=shapely.union_all([a.shape for a in areas]),
    )


def _groups(areas: Sequence[Area], path: shapely.LineString) -> list[list[Area]]:
    """Outlines that stand close together on one side of the line, in file order."""
    groups: list[list[Area]] = []
    for area in areas:
        mine = [
            g
            for g in groups
            if any(
                shapely.distance(drawn(a), drawn(area)) < GROUP_M
                and not shapely.crosses(shapely.shortest_line(drawn(a), drawn(area)), path)
                for a in g
            )
        ]
        merged = [a for g in mine for a in g] + [area]
        groups = [g for g in groups if not any(g is m for m in mine)] + [merged]
    return groups
