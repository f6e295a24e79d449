"""The score of every round under a plan, from the scores of its holes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from strategy.arrays import FloatArray
from strategy.decide.finish import counts_of
from strategy.decide.solver.need import round_chances
from strategy.plan.advice.what_follows import PARTS
from strategy.plan.document import HolePlan, LocationPlan
from strategy.plan.quoted import RoundScores


def round_scores(holes: Sequence[HolePlan], numbers: Sequence[int]) -> tuple[RoundScores, ...]:
    """Score of every round, of the holes that are planned for it.

    Each hole counts at the first of its locations and is played for its own sake: what happened on one says
    nothing of the next.

    Parameters
    ----------
    holes : sequence of HolePlan
        As planned.
    numbers : sequence of int
        Rounds.
    """
    scores = []
    for number in numbers:
        planned = [(hole, first) for hole in holes if (first := _first(hole, number)) is not None]
        if not planned:
            continue
        total = round_chances([_array(first.tee.first.score_chances) for _, first in planned])
        up_to = np.round(np.cumsum(total), 9)
        parts = counts_of({str(k): float(c) for k, c in enumerate(total)}, PARTS)
        scores.append(
            RoundScores(
                round=number,
                holes=len(planned),
                par=sum(hole.par for hole, _ in planned),
                likely=sum(first.cut.origin != "published" for _, first in planned),
                mean=float(total @ np.arange(len(total))),
                tails=(
                    int(np.argmax(up_to >= 0.1)),
                    int(np.argmax(up_to >= 0.5)),
                    int(np.flatnonzero(np.round(1.0 - up_to + total, 9) >= 0.1)[-1]),
                ),
                chances={score: n / PARTS for score, n in parts.items()},
            )
        )
    return tuple(scores)


def at_stake(holes: Sequence[HolePlan], number: int, count: int = 2) -> tuple[str, ...]:
    """The holes of a round where most is at stake: the scores differ most from ball to ball, by their s.d.

    An engineering choice: strokes are won and lost where the score is least sure.
    """
    spread = []
    for hole in holes:
        first = _first(hole, number)
        if first is not None:
            chances = _array(first.tee.first.score_chances)
            score = np.arange(len(chances))
            mean = float(chances @ score)
            spread.append((float(chances @ (score - mean) ** 2), hole.label))
    order = sorted(range(len(spread)), key=lambda k: -round(spread[k][0], 6))
    return tuple(spread[k][1] for k in order[:count])


def _first(hole: HolePlan, number: int) -> LocationPlan | None:
    """The first location of a hole in a round whose scores are known."""
    for plan in hole.rounds:
        if number in plan.rounds:
            scored = (one for one in plan.locations if one.tee.options and one.tee.first.score_chances)
            return next(scored, None)
    return None


def _array(scores: Mapping[int, float]) -> FloatArray:
    out = np.zeros(max(scores) + 1)
    for score, chance in scores.items():
        out[score] = chance
    return out
