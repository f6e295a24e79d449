"""Where to miss: balls of a shot at the green that do not hold it, by the side on which they miss."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.codes import Spot, Surface
from strategy.decide.finish import side_of_green
from strategy.decide.ground import Ground
from strategy.decide.rounds import traced
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import Points

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
    """

    where: str
    share: float
    strokes: float


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
            found.append(Miss(where=name, share=share, strokes=float(ends.weight[mine] @ left[mine]) / share))
    return tuple(sorted(found, key=lambda m: m.strokes))
