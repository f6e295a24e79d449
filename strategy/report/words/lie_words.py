"""What is said of a ball whose lie is not seen before the swing."""

from __future__ import annotations

from typing import Final

from strategy.plan.document import Decision
from strategy.plan.quoted import OneLie
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import spoken

_ALL: Final = 3


def lie_words(decision: Decision) -> str:
    """How the ball lies: "fairway", "rough not seen yet", "a lie that may jump"."""
    if decision.unseen is None:
        return decision.spot.lie.said
    return "rough not seen yet" if len(decision.unseen.lies) == _ALL else "a lie that may jump"


def unseen_words(decision: Decision, units: Units) -> str:
    """That it is one swing for all lies, and what seeing the lie first is worth."""
    lies = decision.unseen
    if lies is None:
        return ""
    shares = ", ".join(f"{one.of_20} {one.lie.said}" for one in lies.lies)
    first = "; ".join(_one(one, units) for one in lies.lies)
    counted = decision.spot.lie.said
    return (
        f"One swing whatever the lie turns out to be, of 20: {shares}; carries and finishes are those from "
        f"{counted}. With the lie seen first it is {lies.known:.2f}, {lies.costs:.2f} less: {first}."
    )


def _one(one: OneLie, units: Units) -> str:
    return f"{one.lie.said}, {spoken(one.label)}, {units.whole(one.carry_m)} to carry"
