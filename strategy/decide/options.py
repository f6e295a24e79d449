"""Options: every shot worth naming from one spot, best first, with cost, error and counts.

One decision runs in three steps: `decide.search` finds each shot's best aim on common points; fresh
scrambles judge the survivors (16 independent ones, so that the error bar is honest); draws from the
posterior of each measured spread say what few balls leave open.

The value V of the spot is the least Q (see `decide.aims`); printed strokes are one play of the option,
then best play, so that cost is a difference of printed strokes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.decide.aims import Aims, Pages, choice_at, finish_of, from_stance, start_line_of, sums
from strategy.decide.cost_field import CostField, cost_field
from strategy.decide.finish import counts_of, finish_chances, leave_of
from strategy.decide.kernels.arguments import Sample
from strategy.decide.option import Option, OptionError, Word, word_for
from strategy.decide.search import FoundAims, pool, search, sets_of
from strategy.decide.solver.whole_hole import WholeHole
from strategy.decide.worlds import valued
from strategy.errors import RequestError
from strategy.outcome.play import Choice, Finishes, finishes, on_the_ground, stance_of
from strategy.outcome.points import Stream, merged
from strategy.outcome.today import HoleToday
from strategy.player.fit.posterior import FREEDOM, MEAN_BALLS, inverse_wishart
from strategy.strokes.protocol import StrokesToGo

SCRAMBLES: Final = 16
T_95: Final = 2.1314495455597742  # Student's t, 15 degrees of freedom, two-sided 95 %
POSTERIOR_DRAWS: Final = 50
SCRAMBLE_SIZE: Final = 256
SETTLED: Final = 0.01  # change of V at which judging leaves off
PRICED: Final = 256  # points of each stratum and scramble behind a price
_TWIN: Final = np.array([-1.0, 1.0])  # side and depth of a mirror image


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Judged:
    """Strokes of A choices from one spot, judged on the same fresh scrambles.

    Attributes
    ----------
    value : float
        V of the spot: the least Q among them (or the value given).
    strokes : ndarray (A,)
        One play, then best play.
    repeated : ndarray (A,)
        Q, what options are ranked by.
    by_scramble : ndarray (R, A)
        Strokes on each scramble.
    by_spread : ndarray (50, A)
        Strokes under each posterior draw; equal rows when nothing was measured.
    returning : ndarray (A,)
        Share that goes back to the spot.
    """

    value: float
    strokes: FloatArray
    repeated: FloatArray
    by_scramble: FloatArray
    by_spread: FloatArray
    returning: FloatArray

    def error(self, i: int) -> OptionError:
        """Both parts of the standard error of one choice."""
        sampling = float(self.by_scramble[:, i].std(ddof=1) / np.sqrt(SCRAMBLES))
        few = (
            self.by_spread[:, i] - self.by_spread[0, i]
        )  # both use the same draws, so equal choices differ by exactly 0
        return OptionError(sampling=sampling, few_balls=float(few.std(ddof=1)))

    def cost_error(self, i: int, j: int) -> float:
        """Half width of the paired 95 % interval of the difference of two choices, both parts."""
        sampling = (self.by_scramble[:, i] - self.by_scramble[:, j]).std(ddof=1) / np.sqrt(SCRAMBLES)
        few = (self.by_spread[:, i] - self.by_spread[:, j]).std(ddof=1)
        return float(np.hypot(T_95 * sampling, 1.96 * few))


def options(
    today: HoleToday,
    spot: Spot,
    to_go: StrokesToGo,
    *,
    seed: int = 1,
    keep: int = 8,
    laid_out: CostField | None = None,
) -> tuple[Option, ...]:
    """Every shot worth naming from a spot, best first.

    Parameters
    ----------
    today : HoleToday
        The hole under today's conditions.
    spot : Spot
        Where the ball is and how it lies.
    to_go : StrokesToGo
        Strokes to hole out from where a ball may finish.
    seed : int
        Seed of all points; the same seed gives the same answer.
    keep : int
        Shots kept.
    laid_out : CostField, optional
        ``cost_field(today, to_go)``, when many spots of one hole are asked for.

    Raises
    ------
    RequestError
        If the ball is on the green, or the player has no shot from this lie.
    """
    field = laid_out if laid_out is not None else cost_field(today, to_go)
    found = candidates(field, spot, seed=seed, keep=keep)
    return judged_options(field, spot, found.aims, seed=seed, guess=found.value)


def candidates(field: CostField, spot: Spot, *, seed: int = 1, keep: int = 8) -> FoundAims:
    """The best aim of every shot worth naming, as a search finds them: not judged yet.

    Parameters and errors as of `options`.
    """
    today, to_go = field.today, field.to_go
    if not today.shots.allowed[:, int(spot.lie)].any():
        raise RequestError(f"hole {today.label}: no shot is played from this lie ({spot.lie.label})")
    guess = float(to_go(np.array([[spot.x, spot.y]]), np.array([int(spot.lie)]))[0])
    start = to_go.aims_near(spot) if isinstance(to_go, WholeHole) else None
    start = None if start is None else from_stance(today, spot, start)
    return search(field, spot, guess, seed=Stream.SEARCH.of(seed), keep=keep, start=start)


def judged_options(
    field: CostField, spot: Spot, aims: Aims, *, seed: int = 1, guess: float
) -> tuple[Option, ...]:
    """Options of given choices, all judged on the same fresh scrambles, best first.

    Parameters
    ----------
    aims : Aims
        What is judged: exactly these headings and carries are printed.
    seed : int
        Of the decision, as `options` takes it.
    guess : float
        First guess of V of the spot.
    """
    judged = judge(field, spot, aims, seed=Stream.JUDGE.of(seed), guess=guess)
    order = np.lexsort((aims.shot, np.round(judged.repeated, 6)))
    best = int(order[0])
    report = merged(128, Stream.REPORT.of(seed), 4)
    told = []
    for i in map(int, order):
        choice = aims.choice(i)
        ends = [finishes(field.today, spot, choice, report)]
        told.append(as_option(field.today, spot, choice, judged, i, best, ends))
    return tuple(told)


def prices(
    field: CostField,
    spot: Spot,
    own: Choice,
    others: Aims,
    value: float,
    *,
    seed: int = 1,
    size: int = PRICED,
) -> tuple[FloatArray, FloatArray]:
    """What other aims cost against a choice, every track walked, and the standard errors of that (A,).

    The points are common, and not those that options are judged on: an aim chosen by its price is then judged
    afresh.

    Parameters
    ----------
    value : float
        V of the spot.
    size : int
        Points of each stratum and scramble.
    """
    aims = Aims.join([Aims.of([own]), others])
    strokes = valued(field, spot, aims, sets_of(Stream.MOVE.of(seed), size), value).by_set(value)
    above = strokes[:, 1:] - strokes[:, :1]
    return above.mean(axis=0), above.std(axis=0, ddof=1) / np.sqrt(SCRAMBLES)


def judge(
    field: CostField, spot: Spot, aims: Aims, *, seed: int, guess: float, value: float | None = None,
    size: int = SCRAMBLE_SIZE,
) -> Judged:  # fmt: skip
    """Strokes of some choices on fresh scrambles and under posterior spreads.

    Parameters
    ----------
    guess : float
        First guess of V.
    value : float, optional
        V of the spot where it is known from better options than these.
    size : int
        Points of each stratum and scramble.
    """
    v = guess if value is None else value
    for _ in range(6):
        found = valued(field, spot, aims, sets_of(seed, size), v)
        if value is not None:
            break
        # V only decides about balls that are worth nearly as much as going back, and these are few: a V that
        # is roughly right is good enough.
        before, v = v, float(found.repeated.min())
        if abs(v - before) < SETTLED:
            break
    return Judged(
        value=v,
        strokes=found.once(v),
        repeated=found.repeated,
        by_scramble=found.by_set(v),
        by_spread=under_posterior(field, spot, aims, seed, v),
        returning=found.returning.mean(axis=0),
    )


def judged_on(seed: int) -> Sample:
    """Points that `options` of this seed judged strokes on."""
    points = pool(Stream.JUDGE.of(seed), SCRAMBLE_SIZE)
    return Sample(points, points.shape[1] // 2)


def cost_at(
    field: CostField, spot: Spot, shot: int, xy: tuple[float, float], option: Option, *, seed: int = 1
) -> tuple[float, float] | None:
    """Cost and its 95 % half width of the same shot finishing at `xy` (the flag, say) in place of an option.

    None where the shot does not carry so.
    """
    choice = choice_at(field.today, spot, shot, xy)
    if choice is None:
        return None
    aims = Aims.of([option.choice, choice])
    value = option.strokes - option.cost
    judged = judge(field, spot, aims, seed=Stream.PRICE.of(seed), guess=value, value=value)
    return float(judged.strokes[1] - judged.strokes[0]), judged.cost_error(1, 0)


def costs_over(
    field: CostField, spot: Spot, option: Option, finish: FloatArray, *, seed: int = 1
) -> FloatArray:
    """Cost of the option's shot with its well-struck ball finishing at each of many places.

    For contours and strips. Run and height are those of the option's own aim: the picture stays smooth.

    Parameters
    ----------
    finish : ndarray (..., 2)
        Places in the course frame. [m]

    Returns
    -------
    cost : ndarray (...)
        Strokes above the best option; carries outside the shot's dial count as if it had them.
    """
    start = np.array([spot.x, spot.y])
    out = finish.reshape(-1, 2) - start
    own = np.asarray(option.aim) - start
    run = float(np.hypot(*own)) - option.choice.carry
    turn = option.heading - float(np.degrees(np.arctan2(own[0], own[1])))
    distance = np.hypot(out[:, 0], out[:, 1])
    aims = Aims(
        shot=np.full(len(out), option.index, dtype=np.int64),
        heading=(np.degrees(np.arctan2(out[:, 0], out[:, 1])) + turn) % 360.0,
        carry=np.maximum(distance - run, 5.0),
    )
    value = option.strokes - option.cost
    base = Aims.of([option.choice])
    points = pool(Stream.PRICE.of(seed), 64)
    advised = sums(field, spot, base, points, 1.0 + value).once(value)[0]
    elsewhere = sums(field, spot, aims, points, 1.0 + value, pages=Pages.of(field, spot)).once(value)
    return np.asarray((elsewhere - advised + option.cost).reshape(finish.shape[:-1]))


def as_option(
    today: HoleToday,
    spot: Spot,
    choice: Choice,
    judged: Judged,
    i: int,
    best: int,
    ends: Sequence[Finishes],
) -> Option:
    """Choice i of those judged, of which `best` is the best, with where its balls rest."""
    table = today.shots_from(spot)
    cost = float(judged.strokes[i] - judged.strokes[best])
    half = judged.cost_error(i, best) if i != best else 0.0
    aim = finish_of(today, spot, choice)
    chances = finish_chances(today, spot, ends)
    lon, lat = today.frame.to_lonlat(aim)[0]
    longer, rise = on_the_ground(today, spot, choice)
    return Option(
        club=table.clubs[choice.shot],
        shot=table.names[choice.shot],
        label=table.labels[choice.shot],
        index=choice.shot,
        carry_m=choice.carry + longer,
        heading=choice.heading,
        aim=aim,
        aim_lonlat=(float(lon), float(lat)),
        start_line=start_line_of(today, spot, choice),
        strokes=float(judged.strokes[i]),
        error=judged.error(i),
        cost=max(cost, 0.0),
        cost_error=half,
        word=Word.EVEN if i == best else word_for(cost, half),
        counts=counts_of(chances),
        chances=chances,
        leave=leave_of(today, ends),
        tree_share=float(sum(e.weight[e.flown < 1.0].sum() for e in ends)) / len(ends),
        plays_m=table.playing(choice.shot, int(spot.lie), choice.heading, choice.carry),
        longer_m=longer,
        rise_m=rise,
        stance=stance_of(today, spot, choice),
    )


def under_posterior(field: CostField, spot: Spot, aims: Aims, seed: int, value: float) -> FloatArray:
    """Strokes of A choices under 50 draws of each measured spread (50, A).

    A measured scatter of n balls is taken as the mean of an inverse Wishart posterior with 7 + n degrees
    of freedom (NUMERICS: a prior worth 7), its mean as known to scatter / (n + 2). Two choices of the same
    shot share their draws, and every draw has its mirror image. Shots without balls do not vary.
    """
    table, lie = field.today.shots_from(spot), int(spot.lie)
    n = table.balls[aims.shot]
    points = pool(seed + 1, 16)
    if not (n > 0).any():
        once = sums(field, spot, aims, points, 1.0 + value).once(value)
        return np.tile(once, (POSTERIOR_DRAWS, 1))
    row = table.at(aims.shot, lie, aims.heading)
    cov, mean = row.covariance, row.mean
    draws = np.empty((POSTERIOR_DRAWS, len(aims), 2, 2))
    means = np.empty((POSTERIOR_DRAWS, len(aims), 2))
    for i, shot in enumerate(aims.shot):
        balls = int(n[i])
        if balls == 0:
            draws[:, i], means[:, i] = cov[i], mean[i]
            continue
        rng = np.random.default_rng([seed, int(shot)])
        freedom, half = int(FREEDOM) + balls, POSTERIOR_DRAWS // 2
        # Draws are in units of the scatter; a mirror image changes only the sign of the side.
        shape = (freedom - 3) * inverse_wishart(freedom, half, rng)
        off = np.einsum("dij,dj->di", np.linalg.cholesky(shape), rng.standard_normal((half, 2)))
        factor = np.linalg.cholesky(cov[i])
        draws[:, i] = factor @ np.concatenate((shape, shape * _TWIN * _TWIN[:, None])) @ factor.T
        means[:, i] = mean[i] + np.concatenate((off, off * _TWIN)) @ factor.T / np.sqrt(balls + MEAN_BALLS)
    many = Aims.join([aims] * POSTERIOR_DRAWS)
    result = sums(field, spot, many, points, 1.0 + value, draws.reshape(-1, 2, 2), means.reshape(-1, 2))
    return result.once(value).reshape(POSTERIOR_DRAWS, len(aims))
