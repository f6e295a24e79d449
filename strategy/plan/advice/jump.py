"""The number when the ball jumps out of the rough, and options for a lie that is not seen before the swing.

A ball that may jump: the finish stays that of the advice, or as near to it as a shot from a jumper comes. A
jumper carries further and runs on, so its number is shorter than that from a clean lie.

A lie that is not seen: the options are one swing for all lies that the ball may have
(`strategy.decide.unseen`), and the best shot from each lie stands beside them.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from strategy.codes import ROUGH_LIES, Lie, Spot, Surface
from strategy.decide import CostField
from strategy.decide.aims import DIAL_M, beyond_dial, choice_towards, finish_of
from strategy.decide.finish import counts_of
from strategy.decide.search import sets_of
from strategy.decide.unseen import Unseen
from strategy.decide.worlds import valued
from strategy.outcome.play import Choice, on_the_ground
from strategy.outcome.points import Stream
from strategy.outcome.today import HoleToday
from strategy.plan.quoted import Jump, OneLie, UnseenLie


def jump(
    field: CostField, spot: Spot, aim: tuple[float, float], value: float, *, seed: int = 1
) -> Jump | None:
    """The shot for a ball that jumps, and its number against that from a clean lie with the same finish.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is, and how it is taken to lie.
    aim : tuple of two floats
        Finish of the advice. [m]
    value : float
        Strokes to hole out from the spot.

    Returns
    -------
    jump : Jump or None
        None where the ball lies otherwise than in rough that may jump, or no shot is played from a jumper.
    """
    here = field.today
    may = spot.lie == Lie.JUMPER or here.lie_chance[Surface.ROUGH, Lie.JUMPER] > 0.0
    if spot.lie not in ROUGH_LIES or not may:
        return None
    jumps, clean = Spot(spot.x, spot.y, Lie.JUMPER), Spot(spot.x, spot.y, Lie.FAIRWAY)
    best = _best(field, jumps, aim, value, seed)
    if best is None:
        return None
    # From a clean lie only the number counts, which may lie between two clubs.
    plain = _nearest(here, clean, finish_of(here, jumps, best))
    if not plain:
        return None
    plays, clean_plays = (
        here.shots_from(there).playing(choice.shot, int(there.lie), choice.heading, choice.carry)
        for choice, there in ((best, jumps), (plain[0], clean))
    )
    return Jump(
        label=here.shots.labels[best.shot],
        carry_m=best.carry + on_the_ground(here, jumps, best)[0],
        plays_m=plays,
        clean_m=clean_plays,
    )


def may_lie(here: HoleToday, lies: Sequence[Lie]) -> dict[Lie, float]:
    """Chances of some lies of this week's rough, given that the ball has one of them; 0 is left out."""
    chance = {lie: float(here.lie_chance[Surface.ROUGH, lie]) for lie in lies}
    total = sum(chance.values())
    return {lie: share / total for lie, share in chance.items() if share > 0.0}


def quoted_lies(unseen: Unseen) -> UnseenLie:
    """What is quoted of a lie that is not seen."""
    of_20 = counts_of({one.lie.label: one.chance for one in unseen.seen})
    return UnseenLie(
        lies=tuple(
            OneLie(
                lie=one.lie,
                of_20=of_20.get(one.lie.label, 0),
                label=one.best.label,
                carry_m=one.best.carry_m,
                strokes=one.strokes,
            )
            for one in unseen.seen
        ),
        known=unseen.known,
        costs=max(unseen.options[0].strokes - unseen.known, 0.0),
    )


def _best(field: CostField, spot: Spot, aim: tuple[float, float], value: float, seed: int) -> Choice | None:
    """The cheapest of the shots that finish at the aim; None where there is no shot."""
    here = field.today
    nearest = _nearest(here, spot, aim)
    if not nearest:
        return None
    if len(nearest) > 1:
        repeated = valued(field, spot, nearest, sets_of(Stream.PRICE.of(seed), 64), value).repeated
        nearest = [nearest[int(np.argmin(np.round(repeated, 6)))]]
    row = here.shots_from(spot).at(nearest[0].shot, int(spot.lie), nearest[0].heading)
    carry = float(np.clip(nearest[0].carry, float(row.least), float(row.carry)))
    return dataclasses.replace(nearest[0], carry=carry)


def _nearest(here: HoleToday, spot: Spot, aim: tuple[float, float]) -> list[Choice]:
    """The shots from a lie that finish at the aim; where none does, the one that comes nearest."""
    choices = [
        choice_towards(here, spot, int(shot), aim)
        for shot in np.flatnonzero(here.shots.allowed[:, int(spot.lie)])
    ]
    over = [beyond_dial(here, spot, choice) for choice in choices]
    within = [choice for choice, far in zip(choices, over, strict=True) if far <= DIAL_M]
    return within or [choices[i] for i in np.argsort(over)[:1]]
