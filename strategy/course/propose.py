"""Likely hole locations for a green whose pin sheet is not published yet.

All locations keep the guidance margin (see `pins`). On a green too small for it the margin is reduced until
there is room. Up to three locations are tough: as near to sand, water or out of bounds as the margin allows.
The others are spread over the green. Committees mix both kinds over a round (common practice).
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.model import Hole
from strategy.course.pins import ProposedPin, whole_places
from strategy.course.playline import last_leg
from strategy.units import YARD_M, yards

NEAR_TROUBLE_M = 11.0  # 12 paces: about two s.d. of a tour wedge sideways (engineering choice)
APART_M = 5.0
TOUGH = 3

# Where plain locations are wanted, in this order: across (left to right) and depth (front to back), as
# shares.
_TARGETS = (
    (0.5, 0.5),
    (0.15, 0.15),
    (0.85, 0.85),
    (0.85, 0.15),
    (0.15, 0.85),
    (0.5, 0.1),
    (0.5, 0.9),
    (0.1, 0.5),
    (0.9, 0.5),
)


def propose_pins(
    hole: Hole,
    line: ArrayLike,
    margin_m: float = 4.0 * YARD_M,
    count: int = 6,
    reference: str = "line of play",
) -> tuple[ProposedPin, ...]:
    """Propose likely hole locations: the plain ones first, then the tough ones.

    Parameters
    ----------
    hole : Hole
        Whose green.
    line : array (n, 2)
        Line of play from the markers in use. [m]
    margin_m : float
        Least distance to the edge of the green. [m]
    count : int
        The greatest number of locations. A small green gets fewer, because they are at least 5 m apart.
    reference : str
        Front reference, as for `pins.pin_xy`.

    Returns
    -------
    tuple of ProposedPin
        At least one. `pin_xy` reads the text of each as its `xy`.
    """
    texts, axes = whole_places(hole, line, margin_m, reference)
    while not texts:
        # The green is too small for the margin.
        margin_m *= 0.75
        texts, axes = whole_places(hole, line, margin_m if margin_m > 0.1 else 0.0, reference)
    share = _shares(axes)
    chosen: list[int] = []
    why: dict[int, str] = {}
    for index, reason in _tough(hole, line, axes):
        if len(why) < min(TOUGH, count) and _is_apart(axes, index, chosen):
            chosen.append(index)
            why[index] = reason
    plain: list[int] = []
    for target in _TARGETS:
        if len(chosen) >= count:
            break
        index = int(np.hypot(*(share - np.asarray(target)).T).argmin())
        if _is_apart(axes, index, chosen):
            chosen.append(index)
            plain.append(index)
    pins = []
    for index in [*plain, *why]:
        xy = (float(axes[index, 0]), float(axes[index, 1]))
        pins.append(
            ProposedPin(
                name=_name(share[index]),
                text=texts[index],
                xy=xy,
                tough=index in why,
                why=why.get(index, ""),
            )
        )
    return tuple(pins)


def _shares(axes: FloatArray) -> FloatArray:
    """Side and depth of each place as shares (0 to 1) of the ground where the hole can be cut."""
    across, depth = axes[:, 2], axes[:, 3]
    half = max(float(np.abs(across).max()), 1e-9)
    low, high = float(depth.min()), float(depth.max())
    depth_share = (depth - low) / (high - low) if high > low else np.full(len(depth), 0.5)
    return np.column_stack((0.5 + 0.5 * across / half, depth_share))


def _tough(hole: Hole, line: ArrayLike, axes: FloatArray) -> list[tuple[int, str]]:
    """The place nearest to each bunker, water and out of bounds, with the reason; the nearest first."""
    ahead, right = last_leg(line)
    places = shapely.points(axes[:, :2])
    reasons = []
    trouble = [(area.shape, "sand") for area in hole.areas if area.surface == Surface.BUNKER]
    trouble += [(area.shape, "water") for area in hole.areas if area.surface.penalty_area]
    if hole.out_of_bounds is not None and not hole.out_of_bounds.is_empty:
        trouble.append((hole.out_of_bounds, "out of bounds"))
    for shape, word in trouble:
        away = shapely.distance(places, shape)
        index = int(away.argmin())
        if away[index] > NEAR_TROUBLE_M:
            continue
        shortest = shapely.get_coordinates(shapely.shortest_line(places[index], shape))
        step = shortest[-1] - shortest[0]
        side, depth = float(step @ right), float(step @ ahead)
        if abs(side) >= abs(depth):
            where = "right" if side > 0.0 else "left"
        else:
            where = "behind" if depth > 0.0 else "short"
        reasons.append((float(away[index]), index, f"{word} {yards(float(away[index])):.0f} {where}"))
    return [(index, reason) for _, index, reason in sorted(reasons)]


def _is_apart(axes: FloatArray, index: int, chosen: list[int]) -> bool:
    """Whether a place is far enough from all that are chosen."""
    gaps = np.hypot(*(axes[chosen, :2] - axes[index, :2]).T) if chosen else np.array([np.inf])
    return bool(gaps.min() >= APART_M)


def _name(share: FloatArray) -> str:
    across = "left" if share[0] < 0.36 else "right" if share[0] > 0.64 else ""
    depth = "front" if share[1] < 0.36 else "back" if share[1] > 0.64 else "middle"
    return f"{depth} {across}".strip()
