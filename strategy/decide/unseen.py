r"""One swing for a ball whose lie is not known when it is chosen: one that may jump, or rough not yet seen.

A swing is a shot, a heading and a share of the shot's full carry; how far it flies is up to the lie. With p
the chances of the lies, A swings and V the strokes of the best swing from each lie by itself,

.. math:: \min_A \sum_l p_l \, S_l(A) \ge \sum_l p_l \min_A S_l(A) = \sum_l p_l V_l :

left, one swing for all (best of mean), for a lie that shows itself at impact only; right, what it is worth
to see the lie first (mean of best). A ball that goes back is dropped in the same rough: it counts as the
latter.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot
from strategy.decide.aims import Aims, many_sums
from strategy.decide.cost_field import CostField
from strategy.decide.option import Option
from strategy.decide.options import (
    POSTERIOR_DRAWS,
    SCRAMBLE_SIZE,
    Judged,
    as_option,
    options,
    under_posterior,
)
from strategy.decide.search import pool, sets_of
from strategy.errors import RequestError
from strategy.outcome.play import finishes
from strategy.outcome.points import Stream, merged

_TRIED: Final = 8  # shots from each lie
_NETS: Final = ((3.0, 2), (1.5, 2), (0.7, 2))  # step [m], and steps to each side
_POINTS: Final = 64  # of each stratum and of each of 16 scrambles, during the search


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFirst:
    """One of the lies, seen before the choice: its chance, the best option from it, and its strokes."""

    lie: Lie
    chance: float
    best: Option

    @property
    def strokes(self) -> float:
        """Of the best option."""
        return self.best.strokes - self.best.cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Unseen:
    """The answer for a lie that is not seen.

    Attributes
    ----------
    options : tuple of Option
        One swing each, best first; carries are those from the lie of the spot that was asked for.
    seen : tuple of SeenFirst
        What would be played from each lie by itself.
    """

    options: tuple[Option, ...]
    seen: tuple[SeenFirst, ...]

    @property
    def known(self) -> float:
        """Strokes where the lie is seen before the choice."""
        return sum(s.chance * s.strokes for s in self.seen)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Swings:
    """A swings: shot, heading [deg] and share of the full carry, each (A,)."""

    shot: NDArray[np.int64]
    heading: FloatArray
    share: FloatArray

    def aims(self, field: CostField, spot: Spot) -> Aims:
        """What they are from a spot and its lie."""
        row = field.today.shots_from(spot).at(self.shot, int(spot.lie), self.heading)
        carry = np.clip(self.share * row.carry, row.least, row.carry)
        return Aims(shot=self.shot, heading=self.heading % 360.0, carry=carry)

    def __getitem__(self, keep: NDArray[np.intp]) -> _Swings:
        return _Swings(shot=self.shot[keep], heading=self.heading[keep], share=self.share[keep])


def unseen(field: CostField, spot: Spot, mix: Mapping[Lie, float], *, seed: int = 1, keep: int = 8) -> Unseen:
    """Every swing worth naming from a spot whose lie is one of several, best first.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is; its lie, one of the mix, is the one that carries are told of.
    mix : mapping of Lie to float
        Chances of the lies, which sum to 1.
    seed : int
        Of all points.
    keep : int
        Shots kept.

    Raises
    ------
    RequestError
        If no shot is played from all of these lies.
    """
    today = field.today
    lies = tuple(mix)
    common = np.all(today.shots.allowed[:, [int(lie) for lie in lies]], axis=1)
    if not common.any():
        raise RequestError(f"hole {today.label}: no shot is played from all of these lies")
    by_lie = {
        lie: options(today, spot._replace(lie=lie), field.to_go, seed=seed, keep=_TRIED, laid_out=field)
        for lie in lies
    }
    seen = tuple(SeenFirst(lie=lie, chance=mix[lie], best=by_lie[lie][0]) for lie in lies)
    known = sum(s.chance * s.strokes for s in seen)
    swings = _best(field, spot, mix, _between(field, spot, by_lie, common), known, seed, keep)
    judged = _judge(field, spot, mix, swings, known, Stream.JUDGE.of(seed))
    order = np.lexsort((swings.shot, np.round(judged.repeated, 6)))
    report = merged(128, Stream.REPORT.of(seed), 4)
    told = []
    for i in map(int, order):
        ends = []
        for lie in lies:
            at_lie = spot._replace(lie=lie)
            end = finishes(today, at_lie, swings.aims(field, at_lie).choice(i), report)
            ends.append(dataclasses.replace(end, weight=end.weight * mix[lie] * len(lies)))
        own = swings.aims(field, spot).choice(i)
        told.append(as_option(today, spot, own, judged, i, int(order[0]), ends))
    return Unseen(options=tuple(told), seen=seen)


def _between(
    field: CostField, spot: Spot, by_lie: Mapping[Lie, tuple[Option, ...]], common: NDArray[np.bool_]
) -> _Swings:
    """What is best from each lie, and swings between those of the same shot."""
    rows: list[tuple[int, float, float]] = []
    for shot in np.flatnonzero(common):
        ends = []
        for lie, each in by_lie.items():
            for o in each:
                if o.index == shot:
                    table = field.today.shots_from(spot._replace(lie=lie))
                    full = float(table.at(o.index, int(lie), o.heading).carry)
                    ends.append((o.heading, o.choice.carry / full))
        if not ends:
            continue
        first = ends[0][0]
        turn = [(h - first + 180.0) % 360.0 - 180.0 for h, _ in ends]
        low, high = min(s for _, s in ends), max(s for _, s in ends)
        rows += [
            (int(shot), first + float(heading), float(share))
            for heading in np.linspace(min(turn), max(turn), 3)
            for share in np.linspace(low, high, 5)
        ]
    if not rows:
        raise RequestError("no shot that is any good from one of these lies is played from all of them")
    shots, headings, shares = map(np.array, zip(*sorted(set(rows)), strict=True))
    return _Swings(shot=shots.astype(np.int64), heading=headings, share=shares)


def _best(
    field: CostField,
    spot: Spot,
    mix: Mapping[Lie, float],
    swings: _Swings,
    known: float,
    seed: int,
    keep: int,
) -> _Swings:
    """The best swing of the best shots, by nets of falling step."""
    swings = _first_of_each(swings, _mean(field, spot, mix, swings, known, seed), 2 * keep)
    for step, sides in _NETS:
        net = np.arange(-sides, sides + 1)
        across, along = (g.ravel() for g in np.meshgrid(net, net))
        count = len(across)
        row = field.today.shots_from(spot).at(swings.shot, int(spot.lie), swings.heading)
        full = np.repeat(np.asarray(row.carry), count)
        least = np.repeat(np.asarray(row.least / row.carry), count)
        share = np.repeat(swings.share, count) + np.tile(along, len(swings.shot)) * step / full
        turn = np.degrees(np.tile(across, len(swings.shot)) * step / full)
        more = _Swings(
            shot=np.repeat(swings.shot, count),
            heading=np.repeat(swings.heading, count) + turn,
            share=np.clip(share, least, 1.0),
        )
        swings = _first_of_each(more, _mean(field, spot, mix, more, known, seed), 2 * keep)
    return swings[np.arange(min(keep, len(swings.shot)))]


def _first_of_each(swings: _Swings, q: FloatArray, shots: int) -> _Swings:
    """The best swing of each of the best shots, best first."""
    order = np.lexsort((swings.share, swings.heading, swings.shot, np.round(q, 6)))
    _, first = np.unique(swings.shot[order], return_index=True)
    return swings[order[np.sort(first)][:shots]]


def _mean(
    field: CostField, spot: Spot, mix: Mapping[Lie, float], swings: _Swings, known: float, seed: int
) -> FloatArray:
    """Strokes of swings over the lies, while looking (A,)."""
    points, total = [pool(Stream.UNSEEN.of(seed), _POINTS)], np.zeros(len(swings.shot))
    for lie, chance in mix.items():
        there = spot._replace(lie=lie)
        aims = swings.aims(field, there)
        total += chance * many_sums(field, there, aims, points, 1.0 + known)[0].once(known)
    return total


def _judge(
    field: CostField, spot: Spot, mix: Mapping[Lie, float], swings: _Swings, known: float, seed: int
) -> Judged:
    """Strokes of swings on fresh scrambles and under posterior spreads, over the lies."""
    sets = sets_of(seed, SCRAMBLE_SIZE)
    shape = len(sets), len(swings.shot)
    onward, returning = np.zeros(shape), np.zeros(shape)
    by_spread = np.zeros((POSTERIOR_DRAWS, len(swings.shot)))
    for lie, chance in mix.items():
        there = spot._replace(lie=lie)
        aims = swings.aims(field, there)
        parts = many_sums(field, there, aims, sets, 1.0 + known)
        onward += chance * np.array([p.onward for p in parts])
        returning += chance * np.array([p.returning for p in parts])
        by_spread += chance * under_posterior(field, there, aims, seed, known)
    by_scramble = 1.0 + onward + returning * (1.0 + known)
    strokes = by_scramble.mean(axis=0)
    return Judged(
        value=known,
        strokes=strokes,
        repeated=strokes,
        by_scramble=by_scramble,
        by_spread=by_spread,
        returning=returning.mean(axis=0),
    )
