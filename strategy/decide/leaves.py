r"""What a shot leaves, and what is then played: stretches of distance to the front, each with one shot.

A caddie does not meet the median ball. Balls of the option are sampled by their distance to the front, and
every shot that may be played from them is priced at each of them, in the solved hole. A dynamic programme
then chooses where to cut and which shot to name, so that saying it in few stretches loses least.

Notes
-----
With r(i, s) the strokes that shot s costs above the best one at ball i, and n balls of equal weight, the
stretches are those that make

.. math:: \frac1n \sum_i r(i, s_i) + \lambda \, (\text{stretches} - 1)

least, where s_i is the shot named for ball i and lambda is `WORTH_A_STRETCH`; at most `MOST_STRETCHES`.
Balls that were decided in full take part: see `stretches`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from strategy.arrays import FloatArray, IntArray
from strategy.codes import Lie, Spot
from strategy.decide.aims import Aims, Pages, from_stance, sums
from strategy.decide.cost_field import CostField
from strategy.decide.search import best_per_shot, neighbours
from strategy.decide.solver.whole_hole import WholeHole
from strategy.outcome.play import Choice, Finishes
from strategy.outcome.points import Points, Stream, make_points
from strategy.units import YARD_M

# A next shot is named for these lies; from any other the player decides on seeing the ball.
SAID: Final = (Lie.FAIRWAY, Lie.ROUGH_GOOD)
BALLS: Final = 32  # balls of each lie at which shots are priced
WORTH_A_STRETCH: Final = 0.003  # strokes that one more stretch has to save, on average over the balls
WORTH_AGREEING: Final = 0.01  # strokes of the same average that agreeing with a decided edge may cost
MOST_STRETCHES: Final = 4
_EDGE: Final = 0.05  # of the balls of one lie, left out at each end
LEAST_SHARE: Final = 0.1  # of the balls of a lie: a rarer shot is left to its neighbours
_WORTH: Final = 0.1  # a shot may be named if at a tenth of the balls it costs less than this [strokes]
_DOUBTED: Final = 0.25  # strokes above the best of a ball: a dearer shot is not priced more exactly
_NEVER: Final = 1e6
_NEAR_M: Final = 1.5 * YARD_M  # this near the decided ball its own shot is named


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of what is left, and the shot to play from it.

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


@dataclass(frozen=True, slots=True)
class Decided:
    """A ball that was decided in full: where it lies, and the answer."""

    spot: Spot
    choice: Choice


def stretches(
    field: CostField, ends: Sequence[Finishes], *, seed: int = 1, decided: Sequence[Decided] = ()
) -> tuple[Stretch, ...]:
    """Next shots after the balls of an option, from the fairway and from good rough, shortest leave first.

    Stretches of one lie follow one another without a gap and do not overlap. The shot that is best for most
    balls of a lie is among those named.

    Parameters
    ----------
    field : CostField
        The hole laid out from its `WholeHole`.
    ends : sequence of Finishes
        Where the balls of the option rest.
    seed : int
        Seed of the points that shots are priced on.
    decided : sequence of Decided
        Balls whose answer is spelled out. Where the first one lies its own shot is named, whatever that
        costs; where the others lie, unless that costs more than `WORTH_AGREEING`.
    """
    rest = np.vstack([e.rest for e in ends])
    code = np.concatenate([e.surface for e in ends])
    weight = np.concatenate([e.weight for e in ends])
    weight = weight / weight.sum()
    listed: list[Stretch] = []
    for lie in SAID:
        own = weight * field.today.lie_chance[code, lie]
        held = [(np.inf if k == 0 else WORTH_AGREEING, d) for k, d in enumerate(decided) if d.spot.lie == lie]
        listed += _of_lie(field, lie, rest, own, seed, held)
    return tuple(listed)


def _of_lie(
    field: CostField, lie: Lie, rest: FloatArray, weight: FloatArray, seed: int,
    decided: Sequence[tuple[float, Decided]],
) -> list[Stretch]:  # fmt: skip
    """Stretches of one lie: balls at even steps of their weight, priced, then cut."""
    share = float(weight.sum())
    if share <= 0.0:
        return []
    front = field.today.front_xy
    away = np.hypot(*(rest - np.asarray(front)).T)
    order = np.argsort(away, kind="stable")
    order = order[weight[order] > 0.0]
    until = np.cumsum(weight[order]) / share
    steps = _EDGE + (1.0 - 2.0 * _EDGE) * (np.arange(BALLS) + 0.5) / BALLS
    ball = order[np.searchsorted(until, steps)]
    low, high = (float(away[order[np.searchsorted(until, q)]]) for q in (_EDGE, 1.0 - _EDGE))
    spots = [Spot(float(x), float(y), lie) for x, y in rest[ball]]
    shots, strokes = priced(field, spots, seed=seed, known=[d for _, d in decided])
    playable = np.isfinite(strokes).any(axis=1)
    if not playable.any():
        return []
    at, regret = away[ball][playable], strokes[playable] - strokes[playable].min(axis=1, keepdims=True)
    # The shot that is best for more balls than any other has to be named.
    most = int(np.argmax(np.bincount(np.argmin(regret, axis=1), minlength=len(shots))))
    mass, price = np.full(len(at), 1.0 / len(at)), regret / len(at)
    for worth, other in decided:
        distance = float(np.hypot(other.spot.x - front[0], other.spot.y - front[1]))
        low, high = min(low, distance), max(high, distance)
        at, mass, price = _agreed(at, mass, price, distance, np.where(shots == other.choice.shot, 0.0, worth))
    named = cut(price, mass, most)
    begins = [0, *(np.flatnonzero(np.diff(named)) + 1), len(named)]
    edges = [low, *(0.5 * (at[k - 1] + at[k]) for k in begins[1:-1]), high]
    return [
        Stretch(
            lie=lie,
            low_m=float(edges[k]),
            high_m=float(edges[k + 1]),
            shot=int(shots[named[first]]),
            share=share * float(mass[first:last].sum()),
        )
        for k, (first, last) in enumerate(pairwise(begins))
    ]


def _agreed(
    at: FloatArray, mass: FloatArray, price: FloatArray, distance: float, extra: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Balls in order of distance with a decided one among them, near which other shots cost `extra` (S,)."""
    at = np.concatenate((at, [distance - _NEAR_M, distance + _NEAR_M]))
    # A shot that may be named pays its price once; one that may not is forbidden at each ball.
    price = np.vstack((price, [np.where(np.isinf(extra), extra, 0.5 * extra)] * 2))
    mass = np.concatenate((mass, [0.0, 0.0]))
    order = np.argsort(at, kind="stable")
    at, mass, price = at[order], mass[order], price[order]
    inside = np.abs(at - distance) <= _NEAR_M + 1e-9
    price[np.ix_(inside, np.isinf(extra))] = np.inf
    return at, mass, price


def cut(price: FloatArray, mass: FloatArray, must: int = -1) -> IntArray:
    """Shots to name for balls in order of distance, in few stretches, so that the price is least.

    Parameters
    ----------
    price : ndarray (B, S)
        Of naming each shot at each ball; inf = it may not be named there. [strokes]
    mass : ndarray (B,)
        Of the balls. A stretch holds `LEAST_SHARE` of it or more, or a ball that one shot alone may be
        named for.
    must : int
        Shot that is named at least once where that can be done; -1 for none.

    Returns
    -------
    named : ndarray (B,)
        Shot of each ball.
    """
    balls, can = len(mass), np.isfinite(price)
    until = np.vstack((np.zeros(price.shape[1]), np.cumsum(np.where(can, price, _NEVER), axis=0)))
    of = until[None, :] - until[:, None]  # of the balls from i up to j, by shot
    held = np.concatenate(([0.0], np.cumsum(mass)))
    alone = np.concatenate(([0], np.cumsum((can.sum(axis=1) == 1) & (can.shape[1] > 1))))
    wide = held[None, :] - held[:, None] >= LEAST_SHARE * held[-1] - 1e-9
    ahead = np.triu(wide | (alone[None, :] > alone[:, None]), 1)
    best = np.where(ahead, of.min(axis=2), np.inf), np.where(ahead, of[:, :, must], np.inf)
    # least[k][d][j]: balls before j in k + 1 stretches, d = whether the shot that must be named was.
    least = np.full((MOST_STRETCHES, 2, balls + 1), np.inf)
    came = np.zeros((MOST_STRETCHES, 2, balls + 1, 3), dtype=np.int64)  # from i, with d, by which of `best`
    least[0, 0], least[0, 1] = best[0][0], best[int(must >= 0)][0]
    came[0, 1, :, 2] = int(must >= 0)
    for k in range(1, MOST_STRETCHES):
        for done, before, which in ((0, 0, 0), (1, 1, 0), (1, 0, 1)):
            way = least[k - 1, before][:, None] + best[which] + WORTH_A_STRETCH
            i = np.argmin(way, axis=0)
            value = way[i, np.arange(balls + 1)]
            better = value < least[k, done]
            least[k, done][better] = value[better]
            came[k, done][better] = np.column_stack((i, np.full((len(i), 2), (before, which))))[better]
    end = least[:, :, balls]
    done = 1 if end[:, 1].min() < _NEVER else 0
    k = int(np.argmin(end[:, done]))
    named, j = np.empty(balls, dtype=np.int64), balls
    while j > 0:
        i, before, which = (int(v) for v in came[k, done, j])
        named[i:j] = must if which else int(np.argmin(of[i, j]))
        k, done, j = k - 1, before, i
    return named


def priced(
    field: CostField, spots: Sequence[Spot], *, seed: int, known: Sequence[Decided] = ()
) -> tuple[IntArray, FloatArray]:
    """Strokes of every shot worth naming at each of some balls with one lie, all on the same points.

    Parameters
    ----------
    field : CostField
        The hole laid out from its `WholeHole`.
    spots : sequence of Spot
        B balls.
    seed : int
        Seed of the points.
    known : sequence of Decided
        Decided balls, whose shots are priced at every ball.

    Returns
    -------
    shots : ndarray (S,)
        Rows of the shot table.
    strokes : ndarray (B, S)
        Strokes of each shot at its best aim; inf where it does not get there, or nothing is solved.
    """
    whole = field.to_go
    assert isinstance(whole, WholeHole)
    # Which shot follows from which distance is told of level stances: a slope is met ball by ball.
    known = [_off_level(field, ball) for ball in known]
    field = dataclasses.replace(field, today=dataclasses.replace(field.today, level_stances=True))
    coarse, middle, fine = (
        make_points(size, Stream.LEAVES.of(seed) + k) for k, size in enumerate((64, 64, 128))
    )
    looked: list[tuple[Aims, FloatArray] | None] = []
    screened = [Pages.screens_only(field) for _ in spots]
    again = 1.0 + whole(np.array([(s.x, s.y) for s in spots]), np.array([int(s.lie) for s in spots]))
    for i, spot in enumerate(spots):
        start = whole.aims_near(spot)
        looked.append(None if start is None else _best(field, spot, start, coarse, again[i], screened[i]))
    # A shot that is near the best at some balls is tried at all balls, starting from its aim at the nearest.
    near = [b[0].shot[b[1] < b[1].min() + _WORTH] for b in looked if b is not None]
    seen, times = np.unique(np.concatenate([*near, np.zeros(0, np.int64)]), return_counts=True)
    shots = np.union1d(seen[times >= LEAST_SHARE * len(near)], [d.choice.shot for d in known]).astype(
        np.int64
    )
    strokes = np.full((len(spots), len(shots)), np.inf)
    for i, spot in enumerate(spots):
        mine = looked[i]
        if mine is None:
            continue
        others = [_carried(field, spots, looked, i, int(s), known) for s in np.setdiff1d(shots, mine[0].shot)]
        aims = Aims.join([mine[0][np.isin(mine[0].shot, shots)], *(o for o in others if o is not None)])
        around = neighbours(field.today, spot, aims, 2.0, 2.5)
        aims, q = _best(field, spot, around, middle, again[i], screened[i])
        strokes[i, np.searchsorted(shots, aims.shot)] = q
        around = neighbours(field.today, spot, aims[q < q.min() + _DOUBTED], 1.0, 1.2)
        aims, q = _best(field, spot, around, fine, again[i])
        strokes[i, np.searchsorted(shots, aims.shot)] = q
    return shots, strokes


def _off_level(field: CostField, ball: Decided) -> Decided:
    """A decided ball with the heading that its choice has off level ground."""
    choice = ball.choice
    turned = float(from_stance(field.today, ball.spot, Aims.of([choice])).heading[0])
    return dataclasses.replace(
        ball, choice=dataclasses.replace(choice, heading=2.0 * choice.heading - turned)
    )


def _best(
    field: CostField, spot: Spot, aims: Aims, points: Points, again: float, pages: Pages | None = None
) -> tuple[Aims, FloatArray]:
    """The best of some aims for each of their shots, and its strokes."""
    q = sums(field, spot, aims, points, float(again), pages=pages).repeated
    return best_per_shot(aims, q, each=1, shots=len(q))


def _carried(
    field: CostField, spots: Sequence[Spot], looked: Sequence[tuple[Aims, FloatArray] | None],
    i: int, shot: int, known: Sequence[Decided],
) -> Aims | None:  # fmt: skip
    """The aim of a shot from the nearest ball that has one, with the same landing from ball i."""
    ball_xy = np.array([spots[i].x, spots[i].y])
    best: tuple[float, Spot, float, float] | None = None
    for spot, ball in zip(spots, looked, strict=True):
        if ball is None or not (has := np.flatnonzero(ball[0].shot == shot)).size:
            continue
        apart = float(np.hypot(spot.x - ball_xy[0], spot.y - ball_xy[1]))
        if best is None or apart < best[0]:
            best = (apart, spot, float(ball[0].heading[has[0]]), float(ball[0].carry[has[0]]))
    for other in known:
        if best is None and other.choice.shot == shot:
            best = (0.0, other.spot, other.choice.heading, other.choice.carry)
    if best is None:
        return None
    _, spot, heading, carry = best
    a = np.radians(heading)
    out = np.array([spot.x, spot.y]) + carry * np.array([np.sin(a), np.cos(a)]) - ball_xy
    heading = float(np.degrees(np.arctan2(out[0], out[1])) % 360.0)
    row = field.today.shots.at(shot, int(spots[i].lie), heading)
    carry = float(np.clip(np.hypot(*out), row.least, row.carry))
    return Aims(shot=np.array([shot]), heading=np.array([heading]), carry=np.array([carry]))
