"""What becomes of the number when the ball jumps out of the rough: for a lie that may, beside the answer.

The finish stays that of the advice, as near as a shot from a jumper comes to it. A jumper carries further
and runs on, so that its number, the player's own behind the carry, is shorter than from a clean lie.

Where it is not known before the swing how the ball lies, options are one swing for all lies it may have
(`decide.unseen`), and what would be played from each by itself stands beside them.
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
    # Of a clean lie the number counts, not a swing: it may lie between two clubs.
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
    """Chances of some lies of this week's rough for a ball that has one of them; 0 is left out."""
    chance = {lie: float(here.lie_chance[Surface.ROUGH, lie]) for lie in lies}
    total = sum(chance.values())
    return {lie: share / total for lie, share in chance.items() if share > 0.0}


def quoted_lies(found: Unseen) -> UnseenLie:
    """What is quoted of a lie that is not seen."""
    of_20 = counts_of({seen.lie.label: seen.chance for seen in found.seen})
    return UnseenLie(
        lies=tuple(
            OneLie(
                lie=seen.lie,
                of_20=of_20.get(seen.lie.label, 0),
                label=seen.best.label,
                carry_m=seen.best.carry_m,
                strokes=seen.strokes,
            )
            for seen in found.seen
        ),
        known=found.known,
        costs=max(found.options[0].strokes - found.known, 0.0),
    )


def _best(field: CostField, spot: Spot, aim: tuple[float, float], value: float, seed: int) -> Choice | None:
    """Of the shots that finish nearest to the aim the one that costs least; None where there is no shot."""
    here = field.today
    found = _nearest(here, spot, aim)
    if not found:
        return None
    if len(found) > 1:
        repeated = valued(field, spot, found, sets_of(Stream.PRICE.of(seed), 64), value).repeated
        found = [found[int(np.argmin(np.round(repeated, 6)))]]
    row = here.shots_from(spot).at(found[0].shot, int(spot.lie), found[0].heading)
    carry = float(np.clip(found[0].carry, float(row.least), float(row.carry)))
    return dataclasses.replace(found[0], carry=carry)


def _nearest(here: HoleToday, spot: Spot, aim: tuple[float, float]) -> list[Choice]:
    """The shots from a lie that finish at the aim; where none does, the one that has least to stretch."""
    choices = [
        choice_towards(here, spot, int(shot), aim)
        for shot in np.flatnonzero(here.shots.allowed[:, int(spot.lie)])
    ]
    over = [beyond_dial(here, spot, choice) for choice in choices]
    there = [choice for choice, far in zip(choices, over, strict=True) if far <= DIAL_M]
    return there or [choices[i] for i in np.argsort(over)[:1]]
