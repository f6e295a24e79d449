"""Makes valid outlines from shapes as drawn: closes lines, keeps the polygons, and mends what is invalid."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
import shapely

# An open outline is closed when its gap is shorter than this share of its length (engineering choice).
_LARGEST_GAP: Final = 0.1


def outline(shape: shapely.Geometry) -> tuple[shapely.Geometry | None, list[str]]:
    """The polygonal part of a shape, made valid, and the repairs in words.

    Parameters
    ----------
    shape : shapely geometry
        A shape as drawn; an outline may be drawn as a line. [m]

    Returns
    -------
    outline : Polygon, MultiPolygon or None
        None when the shape has no polygonal part.
    repairs : list of str
    """
    repairs: list[str] = []
    if shape.geom_type == "LineString" and len(shape.coords) >= 3:
        shape = _closed(shape, repairs)
    drawn = polygons([shape])
    if not drawn:
        return None, repairs
    shape = drawn[0] if len(drawn) == 1 else shapely.MultiPolygon(drawn)
    if shape.is_valid:
        return (shape if shape.area > 0.0 else None), repairs
    reason = shapely.is_valid_reason(shape).split("[")[0]
    parts = polygons([shapely.make_valid(shape)])
    if not parts:
        return None, repairs
    mended = shapely.union_all(parts)
    repairs.append(f"the outline was not valid ({reason.lower()}); mended to {mended.area:.0f} m²")
    return mended, repairs


def _closed(line: shapely.LineString, repairs: list[str]) -> shapely.Geometry:
    """The polygon of an outline drawn as a line; the line itself when it is not nearly closed.

    The line may be closed, may have a small gap, or may be a loop with a tail.
    """
    if line.is_closed:
        return shapely.Polygon(line) if len(line.coords) >= 4 else line
    loops = shapely.get_parts(shapely.polygonize([shapely.union_all(line)]))
    if len(loops):
        repairs.append("the outline is a loop with a tail; the loop counts")
        return max(loops, key=shapely.area)
    gap = float(shapely.distance(shapely.Point(line.coords[0]), shapely.Point(line.coords[-1])))
    if gap <= _LARGEST_GAP * line.length:
        repairs.append(f"the outline did not end where it starts; closed over {gap:.1f} m")
        return shapely.Polygon([*line.coords, line.coords[0]])
    return line


def polygons(shapes: Iterable[shapely.Geometry]) -> list[shapely.Polygon]:
    """All polygons in some shapes, those in collections too; empty ones are left out."""
    result: list[shapely.Polygon] = []
    for shape in shapes:
        if shape.geom_type == "Polygon":
            result.extend([] if shape.is_empty else [shape])
        elif shape.geom_type in ("MultiPolygon", "GeometryCollection"):
            result.extend(polygons(shapely.get_parts(shape)))
    return result


def length_of(shape: shapely.Geometry) -> float:
    """Length of a shape: the longer side of the narrowest rectangle round it. [m]"""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    return float(np.hypot(*np.diff(corners[:3], axis=0).T).max()) if len(corners) > 2 else 0.0
