"""Tee shots that are the same for several rounds and hole locations, so that they are said once.

Two answers are the same when they are the same shot and each aim lies within the room of the other: moving
the aim there costs less than 0.01 strokes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from strategy.plan.document import (
    Decision,
    HolePlan,
    LocationPlan,
    PlannedOption,
    Role,
    RoundPlan,
)
from strategy.units import YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class TeeGroup:
    """One tee shot, and the rounds and hole locations for which it is advised.

    Attributes
    ----------
    tee : Decision
        Of the first round and location.
    where : tuple of (RoundPlan, LocationPlan)
        In the order of the plan.
    """

    tee: Decision
    where: tuple[tuple[RoundPlan, LocationPlan], ...]


def tee_groups(hole: HolePlan, rounds: tuple[int, ...] = ()) -> tuple[TeeGroup, ...]:
    """Tee shots of a hole, equal ones together.

    Parameters
    ----------
    rounds : tuple of int
        Only these; all when empty.
    """
    groups: list[tuple[Decision, list[tuple[RoundPlan, LocationPlan]]]] = []
    for plan in hole.rounds:
        if rounds and not set(rounds) & set(plan.rounds):
            continue
        for location in plan.locations:
            for tee, where in groups:
                same_markers = (where[0][0].tee, where[0][0].up_m) == (plan.tee, plan.up_m)
                if same_markers and same_answer(tee, location.tee):
                    where.append((plan, location))
                    break
            else:
                groups.append((location.tee, [(plan, location)]))
    return tuple(TeeGroup(tee=tee, where=tuple(where)) for tee, where in groups)


def shared_lay_up(group: TeeGroup) -> Decision | None:
    """The second shot of a long hole, when every location of a group has the same lay-up; else None."""
    lay_ups = []
    for _, location in group.where:
        middle = [d for d in location.approaches if d.role is Role.MIDDLE]
        if not middle or not middle[0].options or middle[0].first.leave is None:
            return None
        lay_ups.append(middle[0])
    if len(lay_ups) < 2 or not all(same_answer(lay_ups[0], other) for other in lay_ups[1:]):
        return None
    return lay_ups[0]


def same_answer(a: Decision, b: Decision) -> bool:
    """Whether two decisions from one place give the same answer."""
    if not a.options or not b.options:
        return not a.options and not b.options
    first, second = a.options[0], b.options[0]
    return first.option.label == second.option.label and _within(first, second) and _within(second, first)


def _within(of: PlannedOption, other: PlannedOption) -> bool:
    """Whether another's aim lies within the room of an option, or a yard of it."""
    if of.quoted is None or of.quoted.room_m is None or of.quoted.depth_room_m is None:
        return False  # its finish is counted from the hole, which moves
    a = np.radians(of.option.heading)
    move = np.subtract(other.option.aim, of.option.aim)
    side = float(move @ np.array([np.cos(a), -np.sin(a)]))
    deep = float(move @ np.array([np.sin(a), np.cos(a)]))
    left, right = of.quoted.room_m
    short, long = of.quoted.depth_room_m
    return -left - YARD_M <= side <= right + YARD_M and -short - YARD_M <= deep <= long + YARD_M
