"""Ground that is out of bounds, from the lines and outlines that are drawn.

A line of stakes has two sides; out is the side away from the hole's line of play, unless course.toml
says otherwise. Opposite the ends of a drawn line nothing is known, so each open end is closed with a
straight line directly away from the line of play:

::

            out of bounds
      |  . . . . . . . . . |
      +====================+        drawn line; the uprights lead away from the hole
    -------------------------------> line of play
"""

from __future__ import annotations

import numpy as np
import shapely

_EPS_M = 0.05


def out_side(
    boundary: shapely.Geometry,
    line: shapely.LineString,
    window: shapely.Polygon,
    side: str | None = None,
) -> shapely.Geometry | None:
    """Out-of-bounds ground of one boundary near one hole.

    Parameters
    ----------
    boundary : shapely geometry
        Line, ring or polygon. [m]
    line : LineString
        Line of play, tee to green. [m]
    window : Polygon
        Convex; only ground inside it matters. [m]
    side : {"left", "right", "inside", "outside"}, optional
        As course.toml says.

    Returns
    -------
    shapely geometry or None
        Polygonal, perhaps empty; None when the side cannot be told, because the line of play crosses.
    """
    ring = _ring(boundary)
    if ring is not None and side not in ("left", "right"):
        if side is None:
            if shapely.crosses(line, ring.exterior):
                return None
            side = "outside" if shapely.covers(ring, line) else "inside"
        return shapely.intersection(window, ring) if side == "inside" else shapely.difference(window, ring)
    # A metre beyond the window, so that what reaches its edge crosses it for certain.
    reach = shapely.buffer(window, 1.0, join_style="mitre")
    out: list[shapely.Geometry] = []
    for piece in _pieces(boundary, reach):
        ground = _behind(piece, line, window, side if side in ("left", "right") else None)
        if ground is None:
            return None
        out.append(ground)
    return shapely.union_all(out) if out else shapely.Polygon()


def _behind(
    piece: shapely.LineString, line: shapely.LineString, window: shapely.Polygon, side: str | None
) -> shapely.Geometry | None:
    if side is None and shapely.crosses(line, piece):
        return None
    cuts = [piece, *_connectors(piece, line, window)]
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all([window.exterior, *cuts])]))
    if side is not None:
        beside = shapely.offset_curve(piece, _EPS_M if side == "left" else -_EPS_M)
        away = [f for f in faces if shapely.intersection(f, beside).length > 0.5 * beside.length]
    else:
        away = [f for f in faces if not shapely.intersects(shapely.buffer(f, -_EPS_M), line)]
        # A face that the drawn line does not border is cut off by the uprights alone: not out.
        away = [
            f for f in away if shapely.intersection(shapely.buffer(f, _EPS_M), piece).length > 2.0 * _EPS_M
        ]
    return shapely.union_all(away) if away else shapely.Polygon()


def _connectors(
    piece: shapely.LineString, line: shapely.LineString, window: shapely.Polygon
) -> list[shapely.LineString]:
    """From each end inside the window, straight away from the line of play and out of the window."""
    if piece.is_closed:
        return []
    west, south, east, north = window.bounds
    reach = 2.0 * float(np.hypot(east - west, north - south))
    found = []
    for end in (piece.coords[0], piece.coords[-1]):
        tip = np.asarray(end)
        if not shapely.contains(window, shapely.Point(end)):
            continue
        foot = shapely.get_coordinates(shapely.shortest_line(line, shapely.Point(end)))[0]
        away = tip - foot
        size = float(np.hypot(*away))
        if size > _EPS_M:
            found.append(shapely.LineString([tip, tip + away / size * reach]))
    return [f for f in found if f.length > 0.0]


def _ring(boundary: shapely.Geometry) -> shapely.Geometry | None:
    """The outline as filled ground when the boundary is closed."""
    if boundary.geom_type in ("Polygon", "MultiPolygon"):
        filled = shapely.make_valid(boundary)
        return shapely.Polygon(filled.exterior) if filled.geom_type == "Polygon" else None
    if boundary.geom_type == "LineString" and boundary.is_closed and len(boundary.coords) >= 4:
        filled = shapely.make_valid(shapely.Polygon(boundary))
        return filled if filled.geom_type == "Polygon" else None
    return None


def _pieces(boundary: shapely.Geometry, reach: shapely.Geometry) -> list[shapely.LineString]:
    """The stretches of a boundary near the hole, in the direction they are drawn."""
    whole = boundary.boundary if boundary.geom_type in ("Polygon", "MultiPolygon") else boundary
    pieces = []
    for drawn in shapely.get_parts(whole):
        near = shapely.intersection(drawn, reach)
        if near.geom_type == "MultiLineString" and not drawn.is_closed:
            near = shapely.line_merge(near)
        for piece in shapely.get_parts(near):
            if piece.geom_type != "LineString" or piece.length <= _EPS_M:
                continue
            # Overlay may turn a line round; left and right must stay those of the drawing.
            a, b = (
                float(shapely.line_locate_point(drawn, piece.interpolate(t, normalized=True)))
                for t in (0.3, 0.31)
            )
            pieces.append(piece if a <= b else shapely.reverse(piece))
    return pieces
