"""Which green and which tees belong to which line of play.

Drawn features carry no hole number as a rule, so geometry decides. The nearest green is often a
neighbour's; the order below never gives a hole a green that another hole's line ends in:

1. a green that exactly this line ends in is this hole's;
2. other holes take the nearest green nobody has, nearest pairs first, within 150 m of the line's end.

Tees: a `ref` equal to the hole's label near its line; then one tee a hole, so that the total distance
to the first part of the lines is least (a line may start well behind its tee, beside the neighbour's);
what is left goes to the nearest line.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

ON_M = 3.0  # a line that ends this near a green ends in it
GREEN_REACH_M = 150.0
TEE_REACH_M = 60.0
REF_REACH_M = 200.0


def backwards(
    line: shapely.LineString, greens: Sequence[shapely.Geometry], tees: Sequence[shapely.Geometry]
) -> bool:
    """Whether a line of play is drawn from the green to the tee.

    An end in a green settles it, because a line often starts beside the green of the hole before;
    only when both or neither end lies in one do the tees count.
    """
    start, end = shapely.Point(line.coords[0]), shapely.Point(line.coords[-1])
    green_start, green_end = _nearest(start, greens), _nearest(end, greens)
    tee_start, tee_end = _nearest(start, tees), _nearest(end, tees)
    on_start, on_end = green_start <= ON_M, green_end <= ON_M
    if on_end and not on_start:
        return False
    if on_start and not on_end:
        # It may start on the last hole's green and stop short of its own.
        return bool(tee_end < min(green_end, TEE_REACH_M))
    forward, reverse = green_end + tee_start, green_start + tee_end
    return bool(reverse + 10.0 < forward)


def match_greens(
    lines: Sequence[shapely.LineString], greens: Sequence[shapely.Polygon]
) -> tuple[list[int | None], list[int | None]]:
    """Index of each line's own green, and of the nearest green when that is another one.

    Returns
    -------
    own : list of int or None
        None when no green is left within reach.
    nearer : list of int or None
        A green nearer to the line's end that was left to the hole it belongs to; None if there is none.
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
    for i, mine in enumerate(own):
        nearest = int(distance[i].argmin()) if len(greens) else None
        nearer.append(nearest if nearest is not None and mine is not None and nearest != mine else None)
    return own, nearer


def match_tees(
    lines: Sequence[shapely.LineString],
    labels: Sequence[str],
    tees: Sequence[shapely.Geometry],
    refs: Sequence[str],
) -> tuple[list[list[int]], list[int]]:
    """Indices of each line's tees, and those that belong to no hole.

    Parameters
    ----------
    lines : sequence of LineString
        Lines of play in the direction of play.
    labels : sequence of str
        Their labels.
    tees : sequence of geometry
        Polygons or points.
    refs : sequence of str
        `ref` of each tee, "" for none; several numbers are parted by semicolons, in labels too.
    """
    chosen: list[list[int]] = [[] for _ in lines]
    if not tees:
        return chosen, []
    first = _first_parts(lines)
    middles = shapely.centroid(np.asarray(tees, dtype=object))
    distance: NDArray[np.float64] = shapely.distance(
        np.asarray(first, dtype=object)[:, None], middles[None, :]
    )
    left = set(range(len(tees)))
    for j, ref in enumerate(refs):
        named = set(listed(ref))
        near = [
            i
            for i, label in enumerate(labels)
            if distance[i, j] <= REF_REACH_M and (label == ref or named & set(listed(label)))
        ]
        # A tee of several numbers ("1;10") is a tee of each of them.
        for i in near if len(named) > 1 else near[:1]:
            chosen[i].append(j)
            left.discard(j)
    bare, free = [i for i in range(len(lines)) if not chosen[i]], sorted(left)
    for i, j in _one_tee_each(distance[np.ix_(bare, free)]):
        chosen[bare[i]].append(free[j])
        left.discard(free[j])
    for j in sorted(left):
        i = int(distance[:, j].argmin())
        if distance[i, j] <= TEE_REACH_M:
            chosen[i].append(j)
            left.discard(j)
    return chosen, sorted(left)


def listed(text: str) -> list[str]:
    """Values of a tag that may hold several, parted by semicolons.

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
    # Imported here because it takes as long as reading the rest of a course.
    from scipy.optimize import linear_sum_assignment

    out_of_reach = 1e6
    cost = np.where(distance <= TEE_REACH_M, distance, out_of_reach)
    pairs = zip(*linear_sum_assignment(cost), strict=True)
    return [(int(i), int(j)) for i, j in pairs if cost[i, j] < out_of_reach]


def _nearest(point: shapely.Point, shapes: Sequence[shapely.Geometry]) -> float:
    """Distance of a point from the nearest of some shapes; infinite where there is none. [m]"""
    return float(shapely.distance(np.array(shapes, dtype=object), point).min(initial=np.inf))


def _first_parts(lines: Sequence[shapely.LineString]) -> list[shapely.LineString]:
    """The first 40 % of each line, where its tees lie (forward tees included)."""
    from shapely.ops import substring

    return [substring(line, 0.0, 0.4, normalized=True) for line in lines]
