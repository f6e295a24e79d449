"""Finds out which green and which tees belong to which line of play.

Features seldom have a hole number, so geometry decides. The nearest green is often that of another hole.
These steps never give a hole a green that the line of another hole ends in:

1. A line that ends in a green has that green.
2. Each other line gets the nearest green that is left, the nearest pairs first, within 150 m of its end.

Tees are given to lines in these steps:

1. A tee whose `ref` is the label of a hole, and that is near its line, belongs to that hole.
2. Each line without a tee gets one of the tees that are left, so that the total distance to the first part of
the
   lines is least. (A line may start far behind its own tee and beside the tee of another hole.)
3. Each tee that is left belongs to the nearest line.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

ON_M = 3.0  # a line that ends so near to a green ends in it
GREEN_REACH_M = 150.0
TEE_REACH_M = 60.0
REF_REACH_M = 200.0


def is_backwards(
    line: shapely.LineString, greens: Sequence[shapely.Geometry], tees: Sequence[shapely.Geometry]
) -> bool:
    """Whether a line of play is drawn from the green to the tee.

    The end that is in a green decides, because a line often starts beside the green of the hole before. Tees
    decide only when both ends, or neither, are in a green.
    """
    start, end = shapely.Point(line.coords[0]), shapely.Point(line.coords[-1])
    green_start, green_end = _distance_to_nearest(start, greens), _distance_to_nearest(end, greens)
    tee_start, tee_end = _distance_to_nearest(start, tees), _distance_to_nearest(end, tees)
    is_start_in_green, is_end_in_green = green_start <= ON_M, green_end <= ON_M
    if is_end_in_green and not is_start_in_green:
        return False
    if is_start_in_green and not is_end_in_green:
        # The line may start on the green of the hole before and stop short of its own green.
        return bool(tee_end < min(green_end, TEE_REACH_M))
    forward, reverse = green_end + tee_start, green_start + tee_end
    return bool(reverse + 10.0 < forward)


def match_greens(
    lines: Sequence[shapely.LineString], greens: Sequence[shapely.Polygon]
) -> tuple[list[int | None], list[int | None]]:
    """Find the green of each line.

    Parameters
    ----------
    lines : sequence of LineString
        Lines of play in the direction of play. [m]
    greens : sequence of Polygon
        All greens. [m]

    Returns
    -------
    own : list of int or None
        Index of the green of each line; None when no green is left within 150 m of its end.
    nearer : list of int or None
        Index of a green of another hole that is nearer to the end of the line; None when there is none.
    """
    ends = shapely.points([line.coords[-1] for line in lines])
    distance = (
        shapely.distance(ends[:, None], np.asarray(greens, dtype=object)[None, :])
        if greens
        else np.empty((len(lines), 0))
    )
    own: list[int | None] = [None] * len(lines)
    taken: set[int] = set()
    for i in range(len(lines)):
        if len(greens) and distance[i].min() <= ON_M:
            own[i] = int(distance[i].argmin())
            taken.add(int(distance[i].argmin()))
    pairs = sorted(
        (float(distance[i, j]), i, j)
        for i in range(len(lines))
        for j in range(len(greens))
        if own[i] is None and j not in taken and distance[i, j] <= GREEN_REACH_M
    )
    for _, i, j in pairs:
        if own[i] is None and j not in taken:
            own[i] = j
            taken.add(j)
    nearer: list[int | None] = []
    for i, green in enumerate(own):
        nearest = int(distance[i].argmin()) if len(greens) else None
        nearer.append(nearest if nearest is not None and green is not None and nearest != green else None)
    return own, nearer


def match_tees(
    lines: Sequence[shapely.LineString],
    labels: Sequence[str],
    tees: Sequence[shapely.Geometry],
    refs: Sequence[str],
) -> tuple[list[list[int]], list[int]]:
    """Find the tees of each line.

    Parameters
    ----------
    lines : sequence of LineString
        Lines of play in the direction of play. [m]
    labels : sequence of str
        Labels of the lines. A label may hold several numbers with semicolons between them.
    tees : sequence of geometry
        Polygons or points. [m]
    refs : sequence of str
        `ref` of each tee; "" for none. It may hold several numbers with semicolons between them.

    Returns
    -------
    tees_of : list of list of int
        Indices of the tees of each line.
    unmatched : list of int
        Indices of the tees that belong to no line.
    """
    tees_of: list[list[int]] = [[] for _ in lines]
    if not tees:
        return tees_of, []
    first_parts = np.asarray(_first_parts(lines), dtype=object)
    middles = shapely.centroid(np.asarray(tees, dtype=object))
    distance: NDArray[np.float64] = shapely.distance(first_parts[:, None], middles[None, :])
    unmatched = set(range(len(tees)))
    for j, ref in enumerate(refs):
        numbers = set(listed(ref))
        near = [
            i
            for i, label in enumerate(labels)
            if distance[i, j] <= REF_REACH_M and (label == ref or numbers & set(listed(label)))
        ]
        # A tee of several numbers ("1;10") is a tee of each of them.
        for i in near if len(numbers) > 1 else near[:1]:
            tees_of[i].append(j)
            unmatched.discard(j)
    without_tee, free = [i for i in range(len(lines)) if not tees_of[i]], sorted(unmatched)
    for i, j in _one_tee_each(distance[np.ix_(without_tee, free)]):
        tees_of[without_tee[i]].append(free[j])
        unmatched.discard(free[j])
    for j in sorted(unmatched):
        i = int(distance[:, j].argmin())
        if distance[i, j] <= TEE_REACH_M:
            tees_of[i].append(j)
            unmatched.discard(j)
    return tees_of, sorted(unmatched)


def listed(text: str) -> list[str]:
    """The values of a tag that may hold several with semicolons between them.

    >>> listed("1; 10")
    ['1', '10']
    """
    return [value.strip() for value in text.split(";") if value.strip()]


def _one_tee_each(distance: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Pairs (line, tee) within reach, no tee twice, so that their total distance is least.

    Parameters
    ----------
    distance : ndarray (L, T)
        From each line to each tee. [m]
    """
    if not distance.size:
        return []
    lines = np.flatnonzero(distance.min(axis=1) <= TEE_REACH_M)
    nearest = distance[lines].argmin(axis=1)
    is_tied = (distance[lines] == distance[lines].min(axis=1, keepdims=True)).sum(axis=1) > 1
    if len(set(nearest.tolist())) == len(nearest) and not is_tied.any():
        # Every line has its nearest tee to itself. No assignment has a smaller total.
        return list(zip(lines.tolist(), nearest.tolist(), strict=True))
    # Imported here, because this import takes as long as reading a whole course.
    from scipy.optimize import linear_sum_assignment

    out_of_reach = 1e6
    cost = np.where(distance <= TEE_REACH_M, distance, out_of_reach)
    pairs = zip(*linear_sum_assignment(cost), strict=True)
    return [(int(i), int(j)) for i, j in pairs if cost[i, j] < out_of_reach]


def _distance_to_nearest(point: shapely.Point, shapes: Sequence[shapely.Geometry]) -> float:
    """Distance of a point from the nearest of some shapes; infinite where there is none. [m]"""
    return float(shapely.distance(np.array(shapes, dtype=object), point).min(initial=np.inf))


def _first_parts(lines: Sequence[shapely.LineString]) -> list[shapely.LineString]:
    """The first 40 % of each line, where its tees are, including the forward tees."""
    from shapely.ops import substring

    return [substring(line, 0.0, 0.4, normalized=True) for line in lines]
