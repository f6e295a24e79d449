"""Geometry along a line of play: side and depth of points, headings, and where the line meets the green.

Pairs are (side, depth): the side is positive to the right of the direction of play.

::

        depth
          ^      . point (side > 0, depth)
          |     /
          +----+         line of play: a polyline; its first and last legs continue straight beyond its ends
          |
        depth 0 = first vertex (the tee)
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.errors import RequestError
from strategy.units import YARD_M

REFERENCES = ("line of play", "front-most", "dot")


def line_length(line: ArrayLike) -> float:
    """Length of a line of play (n, 2). [m]

    >>> line_length([[0, 0], [3, 4], [3, 10]])
    11.0
    """
    return float(np.hypot(*np.diff(np.asarray(line, dtype=np.float64), axis=0).T).sum())


def along_side(line: ArrayLike, xy: ArrayLike) -> FloatArray:
    """Side and depth of points relative to a line of play.

    The depth of a point is measured along the line to the nearest place on it. The side is the distance from
    that place, positive to the right. The first and last legs continue straight beyond the ends of the line.

    Parameters
    ----------
    line : array (n, 2)
        Line of play, n >= 2, no two neighbouring vertices equal. [m]
    xy : array (K, 2) or (2,)
        Points. [m]

    Returns
    -------
    ndarray (K, 2)
        (side, depth). [m]

    Examples
    --------
    >>> along_side([[0, 0], [0, 100]], [[5, 40], [-3, 120]])
    array([[  5.,  40.],
           [ -3., 120.]])
    """
    start, unit, length, depth_before = _legs(line)
    points = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    offset = points[:, None, :] - start[None, :, :]
    t = np.einsum("ksi,si->ks", offset, unit)
    low = np.zeros(len(length))
    high = length.copy()
    low[0], high[-1] = -np.inf, np.inf
    along = np.clip(t, low, high)
    away = offset - along[:, :, None] * unit[None, :, :]
    distance = np.hypot(away[..., 0], away[..., 1])
    leg = np.argmin(distance, axis=1)
    k = np.arange(len(points))
    right = np.column_stack((unit[:, 1], -unit[:, 0]))
    # Where the nearest place is a corner, "right" is the bisector of the right sides of both legs.
    last = len(length) - 1
    normal = right[leg].copy()
    at_end = (t[k, leg] > high[leg]) & (leg < last)
    at_start = (t[k, leg] < low[leg]) & (leg > 0)
    normal[at_end] += right[np.minimum(leg[at_end] + 1, last)]
    normal[at_start] += right[leg[at_start] - 1]
    sign = np.where(np.einsum("ki,ki->k", away[k, leg], normal) < 0.0, -1.0, 1.0)
    return np.column_stack((sign * distance[k, leg], depth_before[leg] + along[k, leg]))


def point_at(line: ArrayLike, side: ArrayLike, depth: ArrayLike) -> FloatArray:
    """Points at a side and depth of a line of play: the inverse of `along_side`.

    Parameters
    ----------
    line : array (n, 2)
        Line of play. [m]
    side, depth : array (K,) or float
        Side, positive to the right, and depth along the line. The depth may lie beyond the ends. [m]

    Returns
    -------
    ndarray (K, 2)
        Points. [m]

    Examples
    --------
    >>> point_at([[0, 0], [0, 100], [50, 100]], 2, 110)
    array([[10., 98.]])
    """
    start, unit, _, depth_before = _legs(line)
    side_k, depth_k = np.broadcast_arrays(
        np.atleast_1d(np.asarray(side, dtype=np.float64)), np.atleast_1d(np.asarray(depth, dtype=np.float64))
    )
    leg = np.clip(np.searchsorted(depth_before, depth_k, side="right") - 1, 0, len(depth_before) - 1)
    right = np.column_stack((unit[:, 1], -unit[:, 0]))
    along = (depth_k - depth_before[leg])[:, None] * unit[leg]
    points: FloatArray = start[leg] + along + side_k[:, None] * right[leg]
    return points


def line_from(line: ArrayLike, xy: ArrayLike) -> FloatArray:
    """The line of play (n, 2) from another place (2,), without the turns that lie behind that place. [m]

    >>> line_from([[0, 0], [0, 100], [80, 160]], [70, 150])
    array([[ 70., 150.],
           [ 80., 160.]])
    """
    path = np.asarray(line, dtype=np.float64)
    turns = along_side(path, path[1:-1])[:, 1] if len(path) > 2 else np.zeros(0)
    is_ahead = turns > along_side(path, xy)[0, 1] + 1.0
    return np.vstack((np.asarray(xy, dtype=np.float64), path[1:-1][is_ahead], path[-1]))


def heading_at(line: ArrayLike, depth: float) -> float:
    """Direction of play at a depth, clockwise from north, 0 <= heading < 360. [°]

    >>> heading_at([[0, 0], [0, 100], [50, 100]], 120)
    90.0
    """
    _, unit, _, depth_before = _legs(line)
    leg = int(np.clip(np.searchsorted(depth_before, depth, side="right") - 1, 0, len(depth_before) - 1))
    return float(np.degrees(np.arctan2(unit[leg, 0], unit[leg, 1])) % 360.0)


def last_leg(line: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Unit vectors along the last leg of a line of play, and to the right of it."""
    unit = _legs(line)[1][-1]
    return unit, np.array([unit[1], -unit[0]])


def front_point(
    green: shapely.Polygon,
    line: ArrayLike,
    reference: str = "line of play",
    dot: tuple[float, float] | None = None,
) -> tuple[float, float]:
    """The place that a pin sheet counts "on" from.

    Parameters
    ----------
    green : shapely Polygon
        Outline of the green. [m]
    line : array (n, 2)
        Line of play, ending in the green. [m]
    reference : str
        "line of play": where the line first meets the green. "front-most": the point of the green that is
        least far along the last leg. "dot": the dot that is marked at the front of the green.
    dot : tuple of two floats, optional
        The marked dot. [m]

    Returns
    -------
    tuple of two floats
        x, y. [m]

    Raises
    ------
    RequestError
        For an unknown reference, or "dot" without a dot.
    """
    if reference == "dot":
        if dot is None:
            raise RequestError(
                "front reference 'dot': no front dot is marked on this green; give one or use 'line of play'"
            )
        return (float(dot[0]), float(dot[1]))
    if reference not in REFERENCES:
        raise RequestError(f"front reference {reference!r} is unknown; use one of: {', '.join(REFERENCES)}")
    path = np.asarray(line, dtype=np.float64)
    if reference == "line of play":
        on_green = shapely.intersection(shapely.LineString(path), green)
        if not on_green.is_empty:
            vertices = shapely.get_coordinates(on_green)
            first = vertices[np.argmin(_depths_on(path, vertices))]
            return (float(first[0]), float(first[1]))
    unit, _ = last_leg(path)
    ring = shapely.get_coordinates(green.exterior)
    depth = ring @ unit
    front = ring[depth <= depth.min() + 1e-9].mean(axis=0)
    return (float(front[0]), float(front[1]))


def from_front(
    green: shapely.Polygon,
    line: ArrayLike,
    distance_m: float,
    reference: str = "line of play",
    dot: tuple[float, float] | None = None,
) -> tuple[float, float]:
    """The place on the line of play that is a given distance from the front of the green ("142 front").

    Parameters
    ----------
    green, line, reference, dot
        As for `front_point`.
    distance_m : float
        Distance back along the line of play from the front reference. [m]

    Returns
    -------
    tuple of two floats
        x, y. [m]

    Raises
    ------
    RequestError
        If the place is more than 30 m behind the start of the line.
    """
    path = np.asarray(line, dtype=np.float64)
    depth_front = along_side(path, front_point(green, path, reference, dot))[0, 1]
    depth = depth_front - distance_m
    if depth < -30.0:
        raise RequestError(
            f"{distance_m / YARD_M:.0f} yd from the front is behind the tee: "
            f"the front is {depth_front / YARD_M:.0f} yd from it"
        )
    x, y = point_at(path, 0.0, depth)[0]
    return (float(x), float(y))


def _depths_on(path: FloatArray, points: FloatArray) -> FloatArray:
    """Distances along a polyline of points that lie on it. [m]"""
    depths = shapely.line_locate_point(shapely.LineString(path), shapely.points(points))
    return np.asarray(depths, dtype=np.float64)


def _legs(line: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Starts, unit vectors and lengths of the legs, and the depth at each start. [m]"""
    path = np.asarray(line, dtype=np.float64)
    step = np.diff(path, axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    has_length = length > 0.0
    if not has_length.any():
        raise ValueError("a line of play needs two different points")
    step, length, start = step[has_length], length[has_length], path[:-1][has_length]
    depth_before = np.concatenate(([0.0], np.cumsum(length)[:-1]))
    return start, step / length[:, None], length, depth_before
