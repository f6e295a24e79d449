"""Where to miss: balls of a shot at the green that do not hold it, by the side on which they miss."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Spot, Surface
from strategy.decide.finish import GRASS, side_of_green
from strategy.decide.ground import Ground
from strategy.decide.rounds import traced
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import Points
from strategy.outcome.today import HoleToday

FloatArray = NDArray[np.float64]

LEAST_SHARE: Final = 0.02  # a rarer miss is not planned for


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """Misses on one side of the green.

    Attributes
    ----------
    where : str
        "short", "long", "left" or "right" of it, as seen from the ball.
    share : float
        Of all balls.
    strokes : float
        Mean strokes that are then still to play, penalties included.
    ground : str
        What most of these balls lie in, where it is no grass: "sand", "wet", "trees", "out"; else "".
    green_m : float or None
        Green between the middle of those on grass and the hole; None where there are none. [m]
    """

    where: str
    share: float
    strokes: float
    ground: str = ""
    green_m: float | None = None


def misses(board: Ground, spot: Spot, choice: Choice, value: float, points: Points) -> tuple[Miss, ...]:
    """Misses of a stroke, the cheapest first.

    Parameters
    ----------
    board : Ground
        The hole laid out.
    spot, choice : Spot, Choice
        The stroke.
    value : float
        V of the spot: what going back is worth.
    points : Points
        Balls.
    """
    today = board.today
    ends = finishes(today, spot, choice, points)
    stacked = np.ascontiguousarray(points.stacked.T)
    cells, penalty, _ = traced(board, spot, choice, value, stacked, points.size)
    left = np.where(cells >= 0, board.field[np.maximum(cells, 0)] + penalty, 1.0 + value)
    where = side_of_green(today, spot, ends.rest)
    found = []
    for name in ("short", "long", "left", "right"):
        mine = (where == name) & (ends.surface != Surface.GREEN)
        share = float(ends.weight[mine].sum())
        if share >= LEAST_SHARE:
            strokes = float(ends.weight[mine] @ left[mine]) / share
            dry = mine & np.isin(ends.surface, [int(s) for s in GRASS])
            found.append(
                Miss(
                    where=name,
                    share=share,
                    strokes=strokes,
                    ground=_ground(ends.surface[mine], ends.weight[mine]),
                    green_m=_green_to(today, ends.rest[dry], ends.weight[dry]) if dry.any() else None,
                )
            )
    return tuple(sorted(found, key=lambda m: m.strokes))


_GROUNDS: Final = {
    "sand": (Surface.BUNKER,),
    "wet": (Surface.YELLOW, Surface.RED),
    "trees": (Surface.TREES,),
    "out": (Surface.OUT, Surface.OFF_MAP),
}


def _ground(code: NDArray[np.uint8], weight: FloatArray) -> str:
    """What at least half of some balls lie in, where it is no grass."""
    for name, codes in _GROUNDS.items():
        if weight[np.isin(code, [int(c) for c in codes])].sum() >= 0.5 * weight.sum():
            return name
    return ""


def _green_to(today: HoleToday, rest: FloatArray, weight: FloatArray) -> float:
    """Green between the mean of some balls and the hole. [m]"""
    start, hole = np.average(rest, axis=0, weights=weight), np.asarray(today.hole)
    length = float(np.hypot(*(hole - start)))
    steps = np.arange(0.0, length, today.cell_m) + 0.5 * today.cell_m
    way = start + steps[:, None] / max(length, 1e-9) * (hole - start)
    return float((today.surface_at(way) == Surface.GREEN).sum()) * today.cell_m
