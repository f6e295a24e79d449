"""What a shot leaves and what is then played: stretches of distance to the front from which one shot is best.

A caddie does not meet the median ball. Every ball of the option is looked up among the node-lies of the whole
hole, which know the best next shot of their place and lie; balls of one lie are then cut into stretches by
the distance to the front.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Lie
from strategy.decide.finish import quantile
from strategy.decide.whole import WholeHole
from strategy.outcome.play import Finishes

FloatArray = NDArray[np.float64]

# Lies that a next shot is named for; the rest is decided when the ball is seen.
SAID: Final = (Lie.FAIRWAY, Lie.ROUGH_GOOD)
LEAST_SHARE: Final = 0.1  # of the balls with that lie: a rarer shot is left to its neighbours
_EDGE: Final = 0.05  # of the balls of one shot, left out at each end


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of what is left, and the shot that is best from it.

    Attributes
    ----------
    lie : Lie
        How the ball lies.
    low_m, high_m : float
        Straight distance to the front of the green. [m]
    shot : int
        Row of the shot table.
    share : float
        Of all balls of the option.
    """

    lie: Lie
    low_m: float
    high_m: float
    shot: int
    share: float


def stretches(whole: WholeHole, ends: Sequence[Finishes], front: tuple[float, float]) -> tuple[Stretch, ...]:
    """Next shots after the balls of an option, from the fairway and from good rough, shortest leave first.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    ends : sequence of Finishes
        Where the balls of the option rest.
    front : tuple of two floats
        Front reference of the green. [m]
    """
    rest = np.vstack([e.rest for e in ends])
    code = np.concatenate([e.surface for e in ends])
    weight = np.concatenate([e.weight for e in ends])
    weight = weight / weight.sum()
    away = np.hypot(*(rest - np.asarray(front)).T)
    found: list[Stretch] = []
    for lie in SAID:
        own = weight * whole.today.lie_chance[code, lie]
        shot = np.full(len(rest), -1)
        mine = own > 0.0
        shot[mine] = whole.shots_at(rest[mine], lie)
        found += _cut(lie, away, own, shot)
    return tuple(found)


def _cut(lie: Lie, away: FloatArray, weight: FloatArray, shot: NDArray[np.int64]) -> list[Stretch]:
    """Balls of one lie cut where the best shot changes; neighbours meet half way where they overlap."""
    total = float(weight[shot >= 0].sum())
    parts = []
    for s in np.unique(shot[shot >= 0]):
        mine = shot == s
        share = float(weight[mine].sum())
        if share < LEAST_SHARE * total:
            continue
        low, middle, high = (quantile(away[mine], weight[mine], q) for q in (_EDGE, 0.5, 1.0 - _EDGE))
        parts.append((middle, low, high, int(s), share))
    parts.sort()
    edges = [0.5 * (a[2] + b[1]) for a, b in pairwise(parts)]
    lows = [parts[0][1], *edges] if parts else []
    highs = [*edges, parts[-1][2]] if parts else []
    return [
        Stretch(lie=lie, low_m=low, high_m=high, shot=s, share=share)
        for low, high, (_, _, _, s, share) in zip(lows, highs, parts, strict=True)
        if high > low
    ]
