"""Which side of the hole to be on: what a putt of one length costs from each side of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.codes import Spot, Surface
from strategy.outcome.today import HoleToday
from strategy.strokes.greens import Greens

AWAY_M: Final = 4.0  # of the putts that are compared: about 13 ft


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Putts of `AWAY_M` from the cheapest and the dearest side of the hole, as seen from the ball.

    Attributes
    ----------
    best, worst : str
        "short", "long", "left" or "right" of the hole.
    cost : float
        Putts between the two.
    known : bool
        False where the heights of the green are not known: then every side counts alike, and the others mean
        nothing.
    """

    best: str = ""
    worst: str = ""
    cost: float = 0.0
    known: bool = True


def sides(today: HoleToday, greens: Greens, spot: Spot) -> Sides:
    """Putts from short of, beyond, left and right of the hole, on the green."""
    if not greens.known:
        return Sides(known=False)
    hole = np.asarray(today.hole)
    ahead = hole - (spot.x, spot.y)
    ahead = ahead / max(float(np.hypot(*ahead)), 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    names = ("short", "long", "left", "right")
    places = hole + AWAY_M * np.array([-ahead, ahead, -right, right])
    on = today.surface_at(places) == Surface.GREEN
    if on.sum() < 2:
        return Sides()
    putts = np.where(on, greens.expected(places), np.nan)
    best, worst = int(np.nanargmin(putts)), int(np.nanargmax(putts))
    return Sides(best=names[best], worst=names[worst], cost=float(putts[worst] - putts[best]))
