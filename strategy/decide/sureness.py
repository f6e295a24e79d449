"""How sure an answer is: in how many plausible weeks it stays the best of its options.

Each week of `outcome.weeks` is a world of its own: other spreads, another wind and flight law, firmer or
softer ground, outlines that are not where they were drawn, trees that stop more or fewer balls. In each of
them all options are valued on the same points, and so are aims left and right of the answer's.

What the player sees before the shot is used as the player would: in another wind the start line is moved so
that the ball still lands on the line that was planned. A shot at the green keeps its landing as far as its
dial allows, and one that did not reach goes as far as the answer where it now can. Any other shot that was
planned at full swing is struck at full swing.

First order (numerics note, section 11): what follows is this player's strokes to go as solved for the middle
week, read at the place of the ball and by the surface that the week has there. With F the strokes to go as
laid out, R those from a fairway lie and d the displacement of outlines, a ball at x is worth
F(x - d) - R(x - d) + R(x), on greens F(x). `tests/decide/test_sureness.py` holds that against solving anew.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.decide.aims import DIAL_M, Aims, Pages, in_cells, many_sums, pack
from strategy.decide.cost_field import CostField
from strategy.decide.option import EVEN, Option
from strategy.decide.search import pool
from strategy.decide.worlds import MovedOutlines, through_trees
from strategy.outcome.play import Choice
from strategy.outcome.points import Stream
from strategy.outcome.weather import LEAST_CARRY_M
from strategy.outcome.weeks import CAUSES, Weeks, longer

POINTS: Final = 64  # balls of each of 16 scrambles and each stratum: options
POINTS_BESIDE: Final = 16  # and aims beside the answer's
BESIDE_M: Final = 2.0 * np.arange(-6, 7)  # aims beside the answer's
NEVER: Final = 0.4  # strokes: an option that costs more is not the best in any week
FEW: Final = 16  # weeks in which one cause is drawn by itself
OFTEN: Final = 0.9  # weeks in which an aim has to stay good


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the first of some options is.

    Attributes
    ----------
    best_in_mean : int
        Which option has the fewest strokes in the mean over the weeks.
    saves : float
        What that one saves in the mean over the weeks against the first. [strokes]
    spread : float
        Standard deviation over the weeks of what the best of the others costs more than the first. [strokes]
    hangs_on : str
        What decides most which of the two is better: a word of `CAUSES`; "" where the first is best in
        nearly all weeks.
    aims_m : tuple of two floats
        How far to the left and to the right of the answer's aim the same shot costs less than `EVEN` more in
        nine weeks of ten. [m]
    """

    best_in_mean: int
    saves: float
    spread: float
    hangs_on: str
    aims_m: tuple[float, float]


def sureness(
    field: CostField, spot: Spot, options: Sequence[Option], weeks: Weeks, *, seed: int = 1
) -> tuple[tuple[Option, ...], Sureness | None]:
    """Options with the share of weeks in which each is the best (`Option.sure`), and how sure the first is.

    As they were, and None, where no other option comes near the first.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is.
    options : sequence of Option
        As they are said: the answer first.
    weeks : Weeks
        Of the player whose shots the hole was set up with.
    seed : int
        Seed of the common points.
    """
    rivals = [o for o in options if o.cost <= options[0].cost + NEVER]
    if len(rivals) < 2:
        return tuple(options), None
    strokes = strokes_by_week(field, spot, rivals, weeks, seed=seed, beside=True)
    each, beside = strokes[:, : len(rivals)], strokes[:, len(rivals) :]
    best = np.bincount(np.argmin(np.round(each, 6), axis=1), minlength=len(rivals)) / len(each)
    share = {o.index: float(part) for o, part in zip(rivals, best, strict=True)}
    mean = each.mean(axis=0)
    rival = 1 + int(np.argmin(mean[1:]))
    more = each[:, rival] - each[:, 0]
    good = (beside - beside[:, [len(BESIDE_M) // 2]] <= EVEN).mean(axis=0) >= OFTEN
    in_mean = int(np.argmin(np.round(mean, 6)))
    told = tuple(dataclasses.replace(o, sure=share.get(o.index, 0.0)) for o in options)
    return told, Sureness(
        best_in_mean=[o.index for o in options].index(rivals[in_mean].index),
        saves=float(mean[0] - mean[in_mean]),
        spread=float(more.std()),
        hangs_on="" if best[0] >= OFTEN else cause(field, spot, [rivals[0], rivals[rival]], weeks, seed=seed),
        aims_m=_range(good),
    )


def strokes_by_week(
    field: CostField, spot: Spot, options: Sequence[Option], weeks: Weeks, *,
    seed: int = 1, beside: bool = False,
) -> FloatArray:  # fmt: skip
    """Strokes of A options in each week: one play, then best play.

    Parameters
    ----------
    beside : bool
        Also of the first one aimed beside its aim, by `BESIDE_M`.

    Returns
    -------
    ndarray (W, A) or (W, A + 13)
        On common points.
    """
    today, lie, first = field.today, int(spot.lie), options[0]
    aims = Aims.of([*(o.choice for o in options), *(_beside(first.choice) if beside else ())])
    row = today.shots_from(spot).at(aims.shot, lie, aims.heading)
    own, factor = row.covariance, np.linalg.cholesky(row.covariance)
    count = len(options)
    more = longer(today, lie, aims.shot[:count], aims.heading[:count], weeks)
    more = np.hstack((more, np.repeat(more[:, :1], len(aims) - count, axis=1)))
    said = [*options, *[first] * (len(aims) - count)]
    swing = np.array([not today.at_green(o.aim) for o in said]) & (aims.carry > row.carry - DIAL_M)
    wanted = _wanted(aims.carry, row.carry, row.least)
    moved = MovedOutlines.of(field, in_cells(today, *pack(today, spot, aims))[0])
    # Options differ in their clubs, so they need more points than aims of one shot beside one another.
    parts = [(slice(0, count), POINTS), (slice(count, None), POINTS_BESIDE)]
    sets = [(part, pool(Stream.PRICE.of(seed), size)) for part, size in parts[: 1 + beside]]
    value = first.strokes - first.cost
    strokes = np.empty((len(weeks), len(aims)))
    on_green = np.arange(16) == Surface.GREEN
    for w in range(len(weeks)):
        most = np.maximum(row.carry + more[w], LEAST_CARRY_M)
        # The heading planned allows for the drift of the forecast; for another one the start line moves.
        carry = np.where(swing, most, np.clip(wanted, np.minimum(row.least, most), most))
        played = dataclasses.replace(aims, carry=carry)
        covariance = own * np.exp(2.0 * weeks.scatter[w][aims.shot])[:, None, None]
        mean = row.mean + np.einsum("aij,aj->ai", factor, weeks.off[w][aims.shot])
        run = np.exp(np.where(on_green, weeks.run[w, 1], weeks.run[w, 0]))
        there = through_trees(moved.in_week(weeks, w), float(np.exp(weeks.through[w])))
        pages = Pages.screens_only(there)
        for part, z in sets:
            (valued,) = many_sums(
                there, spot, played[part], [z], 1.0 + value, covariance[part], mean[part], pages, run=run
            )
            strokes[w, part] = valued.once(value)
    return strokes


def _wanted(carry: FloatArray, most: FloatArray, least: FloatArray) -> FloatArray:
    """Landing depths (A,) that would be played if the dial allowed: the answer's for a shot at its end.

    A shot that was planned at full swing because it reaches no further lands further in a helping wind.
    """
    wanted = np.where(carry > most - DIAL_M, np.maximum(carry, carry[0]), carry)
    return np.asarray(np.where(carry < least + DIAL_M, np.minimum(wanted, carry[0]), wanted))


def _beside(choice: Choice) -> list[Choice]:
    """The same stroke at aims beside its own, `BESIDE_M` to the right."""
    return [
        dataclasses.replace(
            choice, heading=(choice.heading + math.degrees(math.atan2(off, choice.carry))) % 360.0
        )
        for off in BESIDE_M
    ]


def _range(good: NDArray[np.bool_]) -> tuple[float, float]:
    """How far left and right of the middle of `BESIDE_M` an unbroken row of good aims goes. [m]"""
    middle = len(good) // 2
    left = right = middle
    while left > 0 and good[left - 1]:
        left -= 1
    while right < len(good) - 1 and good[right + 1]:
        right += 1
    return abs(float(BESIDE_M[left])), float(BESIDE_M[right])


def cause(field: CostField, spot: Spot, two: Sequence[Option], weeks: Weeks, *, seed: int = 1) -> str:
    """What decides most which of two options is better: that of `CAUSES` which moves their difference most.

    Each is drawn by itself, the rest being what the plan is made for.
    """
    moves = {}
    for name in CAUSES:
        strokes = strokes_by_week(field, spot, two, weeks.only(name, FEW), seed=seed)
        moves[name] = float(np.std(strokes[:, 1] - strokes[:, 0]))
    return max(moves, key=lambda name: moves[name])
