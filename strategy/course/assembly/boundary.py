"""Ground that is out of bounds, from the lines and outlines that are drawn.

A drawn line has two sides. The side away from the line of play is out of bounds, unless course.toml states
the other. Nothing is known of the ground beyond the ends of a drawn line. So each open end is connected to
the edge of the window by a straight line that leads directly away from the line of play:

::

            out of bounds
      |  . . . . . . . . . |
      +====================+        drawn line; the connectors lead away from the hole
    -------------------------------> line of play
"""

from __future__ import annotations

import numpy as np
import shapely

_TOUCH_M = 0.05


def ground_out_of_bounds(
    boundary: shapely.Geometry,
    line: shapely.LineString,
    window: shapely.Polygon,
    side: str | None = None,
) -> shapely.Geometry | None:
    """Ground that one boundary puts out of bounds near one hole.

    Parameters
    ----------
    boundary : shapely geometry
        Line, ring or polygon. [m]
    line : LineString
        Line of play, tee to green. [m]
    window : Polygon
        A convex window round the hole. Ground outside it does not matter. [m]
    side : {"left", "right", "inside", "outside"}, optional
        The side that course.toml states.

    Returns
    -------
    shapely geometry or None
        Polygonal, perhaps empty. None when the side is not known, because the line of play crosses the
        boundary.
    """
    ring = _ring(boundary)
    if ring is not None and side not in ("left", "right"):
        if side is None:
            if shapely.crosses(line, ring.exterior):
                return None
            side = "outside" if shapely.covers(ring, line) else "inside"
        return shapely.intersection(window, ring) if side == "inside" else shapely.difference(window, ring)
    # A metre wider than the window, so that a line that reaches the edge of the window also crosses it.
    wider = shapely.buffer(window, 1.0, join_style="mitre")
    behind: list[shapely.Geometry] = []
    for piece in _pieces(boundary, wider):
        ground = _ground_behind(piece, line, window, side if side in ("left", "right") else None)
        if ground is None:
            return None
        behind.append(ground)
    return shapely.union_all(behind) if behind else shapely.Polygon()


def _ground_behind(
    piece: shapely.LineString, line: shapely.LineString, window: shapely.Polygon, side: str | None
) -> shapely.Geometry | None:
    """Ground of the window behind one stretch of a boundary; None when the line of play crosses it."""
    if side is None and shapely.crosses(line, piece):
        return None
    cuts = [piece, *_connectors(piece, line, window)]
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all([window.exterior, *cuts])]))
    if side is not None:
        beside = shapely.offset_curve(piece, _TOUCH_M if side == "left" else -_TOUCH_M)
        behind = [f for f in faces if shapely.intersection(f, beside).length > 0.5 * beside.length]
    else:
        behind = [f for f in faces if not shapely.intersects(shapely.buffer(f, -_TOUCH_M), line)]
        # A face that the drawn line does not border is cut off by connectors only. It is not out of bounds.
        behind = [
            f
            for f in behind
            if shapely.intersection(shapely.buffer(f, _TOUCH_M), piece).length > 2.0 * _TOUCH_M
        ]
    return shapely.union_all(behind) if behind else shapely.Polygon()


def _connectors(
    piece: shapely.LineString, line: shapely.LineString, window: shapely.Polygon
) -> list[shapely.LineString]:
    """Straight lines from each end inside the window, away from the line of play and out of the window."""
    if piece.is_closed:
        return []
    west, south, east, north = window.bounds
    length = 2.0 * float(np.hypot(east - west, north - south))
    connectors = []
    for coords in (piece.coords[0], piece.coords[-1]):
        point = shapely.Point(coords)
        if not shapely.contains(window, point):
            continue
        end = np.asarray(coords)
        foot = shapely.get_coordinates(shapely.shortest_line(line, point))[0]
        distance = float(np.hypot(*(end - foot)))
        if distance > _TOUCH_M:
            connectors.append(shapely.LineString([end, end + (end - foot) / distance * length]))
    return connectors


def _ring(boundary: shapely.Geometry) -> shapely.Geometry | None:
    """The ground inside a closed boundary; None for an open one."""
    if boundary.geom_type in ("Polygon", "MultiPolygon"):
        filled = shapely.make_valid(boundary)
        return shapely.Polygon(filled.exterior) if filled.geom_type == "Polygon" else None
    if boundary.geom_type == "LineString" and boundary.is_closed and len(boundary.coords) >= 4:
        filled = shapely.make_valid(shapely.Polygon(boundary))
        return filled if filled.geom_type == "Polygon" else None
    return None


def _pieces(boundary: shapely.Geometry, window: shapely.Geometry) -> list[shapely.LineString]:
    """The stretches of a boundary inside a window, each in the direction in which it is drawn."""
    whole = boundary.boundary if boundary.geom_type in ("Polygon", "MultiPolygon") else boundary
    pieces = []
    for drawn in shapely.get_parts(whole):
        near = shapely.intersection(drawn, window)
        if near.geom_type == "MultiLineString" and not drawn.is_closed:
            near = shapely.line_merge(near)
        for piece in shapely.get_parts(near):
            if piece.geom_type != "LineString" or piece.length <= _TOUCH_M:
                continue
            # The intersection may reverse a line, but left and right are those of the drawing.
            a, b = (
                float(shapely.line_locate_point(drawn, piece.interpolate(t, normalized=True)))
                for t in (0.3, 0.31)
            )
            pieces.append(piece if a <= b else shapely.reverse(piece))
    return pieces
