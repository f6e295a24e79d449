"""Where to miss: what the same error costs on either side of the aim.

A ball that just misses on the short side lies near the hole, one that just misses on the far side does not.
Comparing them would advise the short side, since it compares the errors and not the sides. A caddie means the
same error the other way. So every well-struck ball that misses the green to the left or right is played
twice: as it went, and as far off the aim on the other side, where it may still be on the green. Short and
long alike. Mishits, which are short, say nothing of where to err.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.decide.aims import finish_of
from strategy.decide.cost_field import CostField
from strategy.decide.finish import GRASS, side_of_green
from strategy.decide.kernels.arguments import Sample
from strategy.decide.solver.rounds import traced
from strategy.outcome.play import Choice, Finishes, finishes
from strategy.outcome.points import Points
from strategy.outcome.today import HoleToday
from strategy.units import YARD_M

LEAST_SHARE: Final = 0.02  # a rarer miss is not planned for
NEAR_EDGE_M: Final = 9.0 * YARD_M  # a hole cut nearer to an edge has a short side there


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """Errors to one side.

    Attributes
    ----------
    where : str
        "short", "long", "left" or "right", as seen from the ball.
    share : float
        Of all balls, those that miss the green there.
    strokes : float
        Mean strokes that are still to play after errors of the size that misses the green on this side or
        the opposite one, penalties included.
    ground : str
        What most of these balls lie in, where it is no grass: "sand", "wet", "trees", "out"; else "".
    green_m : float or None
        Green between the middle of those on grass and the hole; None where there are none. [m]
    short_side : bool
        The hole is cut within `NEAR_EDGE_M` of the edge on this side, and further from the opposite one.
    """

    where: str
    share: float
    strokes: float
    ground: str = ""
    green_m: float | None = None
    short_side: bool = False


def misses(field: CostField, spot: Spot, choice: Choice, value: float, points: Points) -> tuple[Miss, ...]:
    """What errors of a stroke cost by their side, the cheapest first.

    A side is left out where hardly a ball misses on it or on the opposite one. Of a shot that does not aim
    at the green only sides on which balls miss are told: nobody misses past a green that is not reached.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot, choice : Spot, Choice
        The stroke.
    value : float
        V of the spot: what going back is worth.
    points : Points
        Balls.
    """
    today, core = field.today, slice(points.size)
    end, left = _played(field, spot, choice, value, points)
    where = side_of_green(today, spot, end.rest)
    off = end.surface != Surface.GREEN
    at_green = int(today.surface_at(finish_of(today, spot, choice))[0]) == Surface.GREEN
    factor = np.linalg.cholesky(
        today.shots_from(spot).at(choice.shot, int(spot.lie), choice.heading).covariance
    )
    error = points.core @ factor.T
    room = _room(today, spot)
    listed = []
    for axis, names in enumerate((("left", "right"), ("short", "long"))):
        share = {name: float(end.weight[off & (where == name)].sum()) for name in names}
        pool = (off & np.isin(where, names))[core]
        if sum(share.values()) < LEAST_SHARE or not pool.any():
            continue
        turned = error * np.where(np.arange(2) == axis, -1.0, 1.0)
        mirrored = dataclasses.replace(points, core=np.linalg.solve(factor, turned.T).T)
        other, other_left = _played(field, spot, choice, value, mirrored)
        for name, opposite, side in zip(names, names[::-1], (-1.0, 1.0), strict=True):
            if share[name] < LEAST_SHARE and not at_green:
                continue
            own = side * error[:, axis] > 0.0
            rest = np.where(own[:, None], end.rest[core], other.rest[core])[pool]
            code = np.where(own, end.surface[core], other.surface[core])[pool]
            dry = np.isin(code, [int(s) for s in (*GRASS, Surface.GREEN)])
            listed.append(
                Miss(
                    where=name,
                    share=share[name],
                    strokes=float(np.where(own, left[core], other_left[core])[pool].mean()),
                    ground=_ground(code),
                    green_m=_green_to(today, rest[dry].mean(axis=0)) if dry.any() else None,
                    short_side=room[name] < min(NEAR_EDGE_M, room[opposite] - YARD_M),
                )
            )
    return tuple(sorted(listed, key=lambda m: m.strokes))


def _played(
    field: CostField, spot: Spot, choice: Choice, value: float, points: Points
) -> tuple[Finishes, FloatArray]:
    """Where the balls of a stroke finish, and the strokes (2 K,) still to play from there."""
    sample = Sample(np.ascontiguousarray(points.stacked.T, dtype=np.float32), points.size)
    cells, penalty, _ = traced(field, spot, choice, value, sample)
    left = np.where(cells >= 0, field.values[np.maximum(cells, 0)] + penalty, 1.0 + value)
    return finishes(field.today, spot, choice, points), left


_GROUNDS: Final = {
    "sand": (Surface.BUNKER,),
    "wet": (Surface.YELLOW, Surface.RED),
    "trees": (Surface.TREES,),
    "out": (Surface.OUT, Surface.OFF_MAP),
}


def _ground(code: NDArray[np.uint8]) -> str:
    """What at least half of some balls lie in, where it is no grass."""
    for name, codes in _GROUNDS.items():
        if np.isin(code, [int(c) for c in codes]).mean() >= 0.5:
            return name
    return ""


def _room(today: HoleToday, spot: Spot) -> dict[str, float]:
    """From the hole to the edge of the green on each side, as seen from the ball. [m]"""
    hole = np.asarray(today.hole)
    ahead = hole - (spot.x, spot.y)
    ahead = ahead / max(float(np.hypot(*ahead)), 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    steps = np.arange(1.0, 121.0) * today.cell_m
    room = {}
    for name, way in (("left", -right), ("right", right), ("short", -ahead), ("long", ahead)):
        off = today.surface_at(hole + steps[:, None] * way) != Surface.GREEN
        room[name] = float(steps[np.argmax(off)]) if off.any() else float(steps[-1])
    return room


def _green_to(today: HoleToday, start: FloatArray) -> float:
    """Green between a place and the hole. [m]"""
    hole = np.asarray(today.hole)
    length = float(np.hypot(*(hole - start)))
    steps = np.arange(0.0, length, today.cell_m) + 0.5 * today.cell_m
    way = start + steps[:, None] / max(length, 1e-9) * (hole - start)
    return float((today.surface_at(way) == Surface.GREEN).sum()) * today.cell_m
