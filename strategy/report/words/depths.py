"""Three depths of one plan: few, usual and all words."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from strategy.plan.ask import AskedShot
from strategy.plan.cautions import RULE
from strategy.plan.document import Plan
from strategy.report.words.card import card_text
from strategy.report.words.facts import ShotFacts, asked_facts, hole_facts
from strategy.report.words.few import few_hole, few_shot
from strategy.report.words.head_words import question_words
from strategy.report.words.lengths import Units
from strategy.report.words.lines import wrapped
from strategy.report.words.plan_text import (
    asked_text,
    credit,
    everywhere_words,
    findings_words,
    foot,
    granted_words,
    opening,
    plan_text,
)
from strategy.report.words.usual import from_words, shot_words, usual_hole


class Depth(StrEnum):
    """How much is said."""

    FEW = "few"
    USUAL = "usual"
    ALL = "all"


def plan_words(
    plan: Plan,
    units: Units = Units.YARDS,
    depth: Depth = Depth.USUAL,
    *,
    holes: Sequence[str] = (),
    rounds: Sequence[int] = (),
) -> str:
    """The plan in words of some depth.

    Parameters
    ----------
    plan : Plan
        As planned or read back.
    units : Units
        Of every length said.
    depth : Depth
        Few: one line a shot. Usual: the card, then every hole as a caddie reads it. All: the card, then
        everything that is known.
    holes, rounds : sequences
        Only these; all when empty.

    Raises
    ------
    RequestError
        For a hole that the plan does not have.
    """
    card = () if holes or len(plan.holes) < 2 else card_text(plan, units, rounds)
    if depth is Depth.ALL:
        return plan_text(plan, units, holes=holes, rounds=rounds, card=card)
    labels = holes or [hole.label for hole in plan.holes]
    there = [plan.holes.index(plan.hole(label)) for label in labels]
    facts = [hole_facts(plan, k, units, tuple(rounds)) for k in there]
    lines = opening(plan, units)
    if depth is Depth.FEW:
        lines += ["", *(line for hole in facts for line in few_hole(hole))]
        lines += ["", *wrapped(RULE), *wrapped(credit(plan))]
        return "\n".join(lines) + "\n"
    if card:
        lines += ["", *card]
    everywhere, chosen = everywhere_words(plan), [plan.holes[k] for k in there]
    for hole in facts:
        lines += ["", *usual_hole(hole)]
    granted = [(hole.label, words) for hole in chosen if (words := granted_words(hole, everywhere))]
    for label, words in granted:
        lines += [*([""] if label == granted[0][0] else []), *wrapped(f"Hole {label}. {words}", hang="  ")]
    lines += [*findings_words(plan, chosen), "", *foot(plan, everywhere)]
    return "\n".join(lines) + "\n"


def asked_words(
    asked: AskedShot, units: Units = Units.YARDS, depth: Depth = Depth.ALL, *, credit: str = ""
) -> str:
    """One shot that was asked about, in words of some depth."""
    if depth is Depth.ALL:
        return asked_text(asked, units, credit=credit)
    shot = asked_facts(asked.decision, units, (asked.round,))
    if depth is Depth.FEW:
        return few_shot(asked.hole, shot) + "\n"
    lines = [*wrapped(question_words(asked)), *wrapped(_said(shot)), "", *wrapped(RULE), *wrapped(credit)]
    return "\n".join(lines).rstrip() + "\n"


def _said(shot: ShotFacts) -> str:
    return f"{from_words(shot)} {shot_words(shot)}"
