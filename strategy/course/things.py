"""What a caddie names on a hole: bunkers, water and trees, grouped and called by side and order.

Bunkers that stand within 12 yd of one another on the same side are one group. Short of the green a group is
called by its side of the line of play and, where there are several, by its order along it: "the far left
bunker". Round the green it is called by where it lies from the middle: "the left greenside bunker".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.course.model import Area, Hole, Origin
from strategy.course.playline import along_side, last_leg
from strategy.units import YARD_M

FloatArray = NDArray[np.float64]

GROUP_M: Final = 12.0 * YARD_M
GREENSIDE_M: Final = 22.0 * YARD_M
BESIDE_M: Final = 60.0  # from the line of play; further away it is another hole's
_MIDDLE_M: Final = 5.0
_ORDER: Final = {
    1: ("",),
    2: ("near ", "far "),
    3: ("near ", "middle ", "far "),
}
_ORDINAL: Final = ("first ", "second ", "third ", "fourth ", "fifth ", "sixth ", "seventh ", "eighth ")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Thing:
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
        Lies across the line of play.
    """

    name: str
    kind: str
    shape: shapely.Geometry
    greenside: bool
    origin: str
    areas: tuple[Area, ...] = ()
    cross: bool = False


def things(hole: Hole, line: FloatArray) -> tuple[Thing, ...]:
    """Every named piece of sand, water and trees near the line of play (n, 2). [m]"""
    path = shapely.LineString(line)
    near = [a for a in hole.areas if shapely.distance(drawn(a), path) < BESIDE_M]
    sand = [a for a in near if a.surface == Surface.BUNKER]
    green = _drawn_green(hole)
    by_green = [a for a in sand if shapely.distance(drawn(a), green) < GREENSIDE_M]
    found = [*_greenside(green, line, by_green)]
    found += _along(line, [a for a in sand if not any(a is b for b in by_green)], "sand", "bunker")
    found += _along(line, [a for a in near if a.surface.penalty_area], "water", "water")
    found += _along(line, [a for a in near if a.surface == Surface.TREES], "trees", "trees")
    return tuple(found)


def drawn(area: Area) -> shapely.Geometry:
    """An outline as drawn: names stay when a measurement moves what they name."""
    return area.shape if area.drawn is None else area.drawn


def _drawn_green(hole: Hole) -> shapely.Geometry:
    own = next((a for a in hole.areas if a.surface == Surface.GREEN and a.shape is hole.green), None)
    return hole.green if own is None else drawn(own)


def origin_of(areas: Sequence[Area]) -> str:
    """Origin of several outlines: theirs when they agree, traced otherwise."""
    known = {a.origin for a in areas}
    return str(known.pop() if len(known) == 1 else Origin.TRACED)


def _greenside(green: shapely.Geometry, line: FloatArray, areas: Sequence[Area]) -> list[Thing]:
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
        Thing(
            name=f"the {where} bunker{'s' if len(group) > 1 else ''}",
            kind="sand",
            shape=shapely.union_all([a.shape for a in group]),
            greenside=True,
            origin=origin_of(group),
            areas=tuple(group),
        )
        for where, group in sides.items()
    ]


def _along(line: FloatArray, areas: Sequence[Area], kind: str, word: str) -> list[Thing]:
    """Groups of outlines, called by side and order along the line of play."""
    path = shapely.LineString(line)
    groups: dict[str, list[tuple[float, list[Area]]]] = {}
    for group in _groups(areas, path):
        shape = shapely.union_all([drawn(a) for a in group])
        side, depth = along_side(line, shapely.get_coordinates(shapely.centroid(shape)))[0]
        groups.setdefault(_side(path, shape, float(side)), []).append((float(depth), group))
    found = []
    for side, ordered in groups.items():
        ordered.sort(key=lambda pair: pair[0])
        words = _ORDER.get(len(ordered), (*_ORDINAL[: len(ordered) - 1], "last "))
        if len(words) < len(ordered):
            words = tuple(f"{number}. " for number in range(1, len(ordered) + 1))
        for order, (_, group) in zip(words, ordered, strict=True):
            plural = "s" if word == "bunker" and len(group) > 1 else ""
            only = kind == "water" and len(groups) == 1 and len(ordered) == 1
            found.append(
                Thing(
                    name=f"the {word}" if only else f"the {order}{side} {word}{plural}",
                    kind=kind,
                    shape=shapely.union_all([a.shape for a in group]),
                    greenside=False,
                    origin=origin_of(group),
                    areas=tuple(group),
                    cross=shapely.intersects(path, shapely.union_all([a.shape for a in group])),
                )
            )
    return found


def _side(path: shapely.LineString, shape: shapely.Geometry, side: float) -> str:
    if shapely.intersects(path, shape) and abs(side) < 4.0 * _MIDDLE_M:
        return "cross"
    if abs(side) < _MIDDLE_M:
        return "middle"
    return "right" if side > 0.0 else "left"


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
