"""What follows a shot: the next shots, the scores of the hole, the shot for a score that is needed.

Also the answer of the one-stroke plan, which counts what follows by distance and lie alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from strategy.codes import Spot
from strategy.decide import CostField, Option, WholeHole, cost_at
from strategy.decide import options as best_options
from strategy.decide.aims import finish_of
from strategy.decide.finish import counts_of
from strategy.decide.leaves import Decided, stretches
from strategy.decide.option import word_for
from strategy.decide.options import judged_on
from strategy.decide.solver.need import Within, distribution, need
from strategy.decide.worlds import remade
from strategy.outcome.play import finishes, on_the_ground
from strategy.outcome.points import Stream, merged
from strategy.plan.document import Decision
from strategy.plan.quoted import ByTable, Needed, NextShot
from strategy.units import YARD_M

ANOTHER_LINE_M: Final = 6.0 * YARD_M
PARTS: Final = 10_000  # chances are whole multiples of 1 / PARTS
SCORES: Final = ("eagle", "birdie", "par", "bogey", "double bogey or worse")


def by_table(field: CostField, spot: Spot, options: tuple[Option, ...], seed: int) -> ByTable | None:
    """The one-stroke answer where it differs: another shot, or the same one well to the side."""
    here = field.today
    if not options or options[0].leave is None or not isinstance(field.to_go, WholeHole):
        return None  # near the green both count by the table
    best = options[0]
    table = field.to_go.baseline
    flat = remade(field, to_go=table)
    one = best_options(here, spot, table, seed=seed, keep=2, laid_out=flat)[0]
    away, out = np.subtract(one.aim, best.aim), np.subtract(best.aim, (spot.x, spot.y))
    side = float(away @ (out[1], -out[0]) / np.hypot(*out))
    if one.index == best.index and abs(side) < ANOTHER_LINE_M:
        return None
    priced = cost_at(field, spot, one.index, one.aim, best, seed=seed)
    if priced is None:
        return None
    cost, half = max(priced[0] + best.cost, 0.0), float(np.hypot(best.cost_error, priced[1]))
    return ByTable(
        label=one.label,
        carry_m=one.carry_m,
        side_m=side,
        cost=cost,
        cost_error=half,
        word=word_for(cost, half),
    )


def next_shots(
    field: CostField, tee: Decision, decided: Sequence[Decided], seed: int
) -> tuple[NextShot, ...]:
    """Shots that follow the tee shot, by what it leaves.

    Where its typical ball lies, the first of those `decided`, the shot of that decision is named.
    """
    if not tee.options or not isinstance(field.to_go, WholeHole):
        return ()
    here = field.today
    ends = [finishes(here, here.tee_spot, tee.first.choice, merged(128, Stream.REPORT.of(seed), 4))]
    return tuple(
        NextShot(
            lie=s.lie,
            low_m=s.low_m,
            high_m=s.high_m,
            label=here.shots.labels[s.shot],
            share=s.share,
        )
        for s in stretches(field, ends, seed=seed, decided=decided)
    )


def scores_of(field: CostField, spot: Spot, best: Option, seed: int) -> dict[int, float]:
    """Chances of the scores of a hole, exactly as its values follow; whole ten-thousandths that sum to 1.

    Of the option as it was judged, on the same balls: their mean is the strokes that are printed.
    """
    choice, value, whole = best.choice, best.strokes - best.cost, field.to_go
    assert isinstance(whole, WholeHole)
    chances = distribution(
        whole, spot, choice, value, sure=0.1 / PARTS, points=judged_on(seed), laid_out=field
    )
    parts = counts_of({str(k): float(chance) for k, chance in enumerate(chances)}, PARTS)
    return {int(score): n / PARTS for score, n in parts.items()}


def needed(within: Within, spot: Spot, options: Sequence[Option], n: int, seed: int) -> Needed:
    """The shot for n strokes or better, beside the advice."""
    best = options[0]
    choices = [option.choice for option in options]
    value = best.strokes - best.cost
    answer = need(within.whole, spot, choices, value, n, seed=Stream.PRICE.of(seed), within=within)
    here, choice = within.whole.today, answer.choice
    aim = finish_of(here, spot, choice)
    out = np.subtract(best.aim, (spot.x, spot.y))
    away = np.subtract(aim, best.aim)
    side = float(away @ (out[1], -out[0]) / np.hypot(*out)) if answer.worth_saying else 0.0
    return Needed(
        n=n,
        label=here.shots.labels[choice.shot],
        carry_m=choice.carry + on_the_ground(here, spot, choice)[0],
        side_m=side,
        plan_chance=answer.plan_chance,
        chance=answer.chance,
        best_chance=answer.best_chance,
        price=answer.price,
        worth_saying=answer.worth_saying,
    )


def by_name(scores: Mapping[int, float], par: int) -> dict[str, int]:
    """Scores of 20 rounds by their names."""
    named: dict[str, float] = {}
    for score, chance in scores.items():
        name = SCORES[min(max(score - par, -2), 2) + 2]
        named[name] = named.get(name, 0.0) + chance
    return counts_of(named) if named else {}
