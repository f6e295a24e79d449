"""Geometry along a line of play: depth along it, side right of it, and where it meets the green.

Order of every pair is (side, depth): side first, positive to the right of the direction of play.

::

        depth
          ^      . point (side > 0, depth)
          |     /
          +----+         line of play: a polyline; beyond its ends the first and last legs go on
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

    Depth is measured along the line to the nearest place on it; side is the distance from that
    place, positive to the right. Beyond the ends the first and last legs are extended straight.

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
    start, unit, legs, before = _legs(line)
    p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
    rel = p[:, None, :] - start[None, :, :]
    t = np.einsum("ksi,si->ks", rel, unit)
    low = np.zeros(len(legs))
    high = legs.copy()
    low[0], high[-1] = -np.inf, np.inf
    on = np.clip(t, low, high)
    away = rel - on[:, :, None] * unit[None, :, :]
    distance = np.hypot(away[..., 0], away[..., 1])
    leg = np.argmin(distance, axis=1)
    k = np.arange(len(p))
    right = np.column_stack((unit[:, 1], -unit[:, 0]))
    # At a corner the nearest place is a vertex: there "right" is the bisector of both legs' right.
    last = len(legs) - 1
    normal = right[leg].copy()
    at_end = (t[k, leg] > high[leg]) & (leg < last)
    at_start = (t[k, leg] < low[leg]) & (leg > 0)
    normal[at_end] += right[np.minimum(leg[at_end] + 1, last)]
    normal[at_start] += right[leg[at_start] - 1]
    sign = np.where(np.einsum("ki,ki->k", away[k, leg], normal) < 0.0, -1.0, 1.0)
    return np.column_stack((sign * distance[k, leg], before[leg] + on[k, leg]))


def point_at(line: ArrayLike, side: ArrayLike, depth: ArrayLike) -> FloatArray:
    """Points at given side and depth of a line of play; the inverse of `along_side`.

    Parameters
    ----------
    line : array (n, 2)
        Line of play. [m]
    side, depth : array (K,) or float
        Right of the line, along the line; depth may be negative or beyond the end. [m]

    Returns
    -------
    ndarray (K, 2)
        Points. [m]

    Examples
    --------
    >>> point_at([[0, 0], [0, 100], [50, 100]], 2, 110)
    array([[10., 98.]])
    """
    start, unit, _, before = _legs(line)
    side_k, depth_k = np.broadcast_arrays(
        np.atleast_1d(np.asarray(side, dtype=np.float64)), np.atleast_1d(np.asarray(depth, dtype=np.float64))
    )
    leg = np.clip(np.searchsorted(before, depth_k, side="right") - 1, 0, len(before) - 1)
    right = np.column_stack((unit[:, 1], -unit[:, 0]))
    along = (depth_k - before[leg])[:, None] * unit[leg]
    placed: FloatArray = start[leg] + along + side_k[:, None] * right[leg]
    return placed


def line_from(line: ArrayLike, xy: ArrayLike) -> FloatArray:
    """A line of play (n, 2) from other markers (2,): a turn that lies behind them is left out. [m]

    >>> line_from([[0, 0], [0, 100], [80, 160]], [70, 150])
    array([[ 70., 150.],
           [ 80., 160.]])
    """
    drawn = np.asarray(line, dtype=np.float64)
    turns = along_side(drawn, drawn[1:-1])[:, 1] if len(drawn) > 2 else np.zeros(0)
    ahead = turns > along_side(drawn, xy)[0, 1] + 1.0
    return np.vstack((np.asarray(xy, dtype=np.float64), drawn[1:-1][ahead], drawn[-1]))


def heading_at(line: ArrayLike, depth: float) -> float:
    """Direction of play at a depth, clockwise from north, 0 <= heading < 360. [°]

    >>> heading_at([[0, 0], [0, 100], [50, 100]], 120)
    90.0
    """
    _, unit, _, before = _legs(line)
    leg = int(np.clip(np.searchsorted(before, depth, side="right") - 1, 0, len(before) - 1))
    return float(np.degrees(np.arctan2(unit[leg, 0], unit[leg, 1])) % 360.0)


def last_leg(line: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Unit vectors along the last leg of a line of play and to the right of it."""
    unit = _legs(line)[1][-1]
    return unit, np.array([unit[1], -unit[0]])


def front_point(
    green: shapely.Polygon,
    line: ArrayLike,
    reference: str = "line of play",
    dot: tuple[float, float] | None = None,
) -> tuple[float, float]:
    """The place a pin sheet counts "on" from.

    Parameters
    ----------
    green : shapely Polygon
        Outline of the green. [m]
    line : array (n, 2)
        Line of play, ending in the green. [m]
    reference : str
        "line of play": where the line first meets the green; "front-most": the point of the green
        least far along the last leg; "dot": the marked dot.
    dot : tuple of two floats, optional
        The marked front dot. [m]

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
        met = shapely.intersection(shapely.LineString(path), green)
        if not met.is_empty:
            vertices = shapely.get_coordinates(met)
            first = vertices[np.argmin(_arc(path, vertices))]
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
    """The place on the line of play from which the front is this far ("142 front").

    Measured back along the line of play from the front reference. [m]

    Raises
    ------
    RequestError
        If that is behind the start of the line by more than 30 m.
    """
    path = np.asarray(line, dtype=np.float64)
    side_front, depth_front = along_side(path, front_point(green, path, reference, dot))[0]
    del side_front  # a dot beside the line counts by its depth
    depth = depth_front - distance_m
    if depth < -30.0:
        raise RequestError(
            f"{distance_m / YARD_M:.0f} yd from the front is behind the tee: "
            f"the front is {depth_front / YARD_M:.0f} yd from it"
        )
    x, y = point_at(path, 0.0, depth)[0]
    return (float(x), float(y))


def _arc(path: FloatArray, points: FloatArray) -> FloatArray:
    """Distance along a polyline of points that lie on it."""
    located = shapely.line_locate_point(shapely.LineString(path), shapely.points(points))
    return np.asarray(located, dtype=np.float64)


def _legs(line: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Starts, unit vectors and lengths of the legs, and the depth at each start."""
    path = np.asarray(line, dtype=np.float64)
    step = np.diff(path, axis=0)
    legs = np.hypot(step[:, 0], step[:, 1])
    keep = legs > 0.0
    if not keep.any():
        raise ValueError("a line of play needs two different points")
    step, legs, start = step[keep], legs[keep], path[:-1][keep]
    before = np.concatenate(([0.0], np.cumsum(legs)[:-1]))
    return start, step / legs[:, None], legs, before
