"""Where the balls of an option finish: chances, counts of 20, and the leaves the next shot is played from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot, Surface
from strategy.decide.option import Leave
from strategy.outcome.play import Finishes
from strategy.outcome.today import HoleToday

GRASS: Final = (Surface.TEE, Surface.FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH)
BALLS: Final = 20
_MIDDLE: Final = 0.5  # share of the balls nearest the middle that stand for the middle of the landing
_AN_EDGE: Final = 0.2  # share of the balls round the 10th percentile that stand for its edge
NEAR_M: Final = 30.0  # inside this a ball is chipped or putted: no leave is planned


def finish_chances(today: HoleToday, spot: Spot, ends: Sequence[Finishes]) -> dict[str, float]:
    """Chance of each kind of finish, in the order they are said.

    When at least one ball in ten finds the green, balls that miss it on grass are said by where they
    miss: short, long, left, right of the green as seen from the spot.
    """
    rest = np.vstack([e.rest for e in ends])
    code = np.concatenate([e.surface for e in ends])
    weight = np.concatenate([e.weight for e in ends]) / len(ends)

    def share(which: NDArray[np.bool_]) -> float:
        return float(weight[which].sum())

    chance: dict[str, float] = {}
    on_grass = np.isin(code, [int(s) for s in GRASS])
    green = share(code == Surface.GREEN)
    chance["green"] = green
    if green >= 0.1:
        where = side_of_green(today, spot, rest)
        for name in ("short", "long", "left", "right"):
            chance[name] = share(on_grass & (where == name))
    else:
        chance["fairway"] = share((code == Surface.FAIRWAY) | (code == Surface.TEE))
        chance["first cut"] = share(code == Surface.FIRST_CUT)
        chance["rough"] = share(code == Surface.ROUGH)
    chance["sand"] = share(code == Surface.BUNKER)
    chance["trees"] = share(code == Surface.TREES)
    chance["wet"] = share((code == Surface.YELLOW) | (code == Surface.RED))
    chance["out"] = share(code == Surface.OUT)
    chance["lost"] = share(code == Surface.OFF_MAP)
    return {k: v for k, v in chance.items() if v > 0.0}


def counts_of(chances: Mapping[str, float], balls: int = BALLS) -> dict[str, int]:
    """Chances as counts that sum to `balls`, by largest remainder.

    >>> counts_of({"green": 0.72, "short": 0.16, "sand": 0.12})
    {'green': 15, 'short': 3, 'sand': 2}
    """
    names = list(chances)
    exact = np.array([chances[n] for n in names]) * balls / max(sum(chances.values()), 1e-12)
    whole = np.floor(exact).astype(int)
    order = np.lexsort((np.arange(len(names)), -np.round(exact - whole, 9)))
    whole[order[: balls - int(whole.sum())]] += 1
    return {n: int(k) for n, k in zip(names, whole, strict=True) if k}


def leave_of(today: HoleToday, ends: Sequence[Finishes]) -> Leave | None:
    """A typical ball in the middle and at both edges of the landing; None when most are near the hole.

    Of the balls in play. A typical ball lies on the ground that most of those near it lie on.
    """
    rest = np.vstack([e.rest for e in ends])
    code = np.concatenate([e.surface for e in ends])
    weight = np.concatenate([e.weight for e in ends])
    to_hole = np.hypot(*(rest - np.asarray(today.hole)).T)
    done = (to_hole < NEAR_M) | (code == Surface.GREEN)
    if weight[done].sum() > 0.5 * weight.sum():
        return None
    play_on = (code < Surface.YELLOW) & ~done
    if not play_on.any():
        return None
    rest, code, weight = rest[play_on], code[play_on], weight[play_on]
    # "Side" and "depth" are across and along the direction from the mean ball to the hole.
    middle = np.average(rest, axis=0, weights=weight)
    ahead = np.asarray(today.hole) - middle
    ahead = ahead / np.hypot(*ahead)
    side = (rest - middle) @ np.array([ahead[1], -ahead[0]])
    depth = (rest - middle) @ ahead
    typical = _quantile(depth, weight, 0.5)

    def ball(q: float, share: float) -> Spot:
        off = np.hypot(side - _quantile(side, weight, q), depth - typical)
        near = off <= _quantile(off, weight, share)
        ground = int(np.argmax(np.bincount(code[near], weight[near])))
        i = int(np.argmin(np.where(code == ground, off, np.inf)))
        lie = int(np.argmax(today.lie_chance[ground]))
        return Spot(float(rest[i, 0]), float(rest[i, 1]), Lie(lie))

    to_front = np.hypot(*(rest - np.asarray(today.front_xy)).T)
    return Leave(
        middle=ball(0.5, _MIDDLE),
        left=ball(0.1, _AN_EDGE),
        right=ball(0.9, _AN_EDGE),
        to_front_m=(_quantile(to_front, weight, 0.1), _quantile(to_front, weight, 0.9)),
    )


def _quantile(values: FloatArray, weight: FloatArray, q: float) -> float:
    """Weighted quantile: the least value at or below which a share `q` of the weight lies."""
    return float(np.quantile(values, q, weights=weight, method="inverted_cdf"))


def side_of_green(today: HoleToday, spot: Spot, rest: FloatArray) -> NDArray[np.str_]:
    """Short, long, left or right of the green for each place, as seen from the spot."""
    start = np.array([spot.x, spot.y])
    centre = today.green.mean(axis=0)
    ahead = centre - start
    ahead = ahead / max(float(np.hypot(*ahead)), 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    outline = today.green - start
    depth, side = outline @ ahead, outline @ right
    d, s = (rest - start) @ ahead, (rest - start) @ right
    # How far the ball lies beyond each side of the green's box; the largest tells where it missed.
    beyond = np.column_stack((depth.min() - d, d - depth.max(), side.min() - s, s - side.max()))
    return np.asarray(np.array(["short", "long", "left", "right"])[np.argmax(beyond, axis=1)])
