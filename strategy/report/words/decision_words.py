"""A decision in words: every fact of it is a sentence of its own, made from one table.

The text of a plan, the answer to one question and the pictures choose which facts they say, and in which
order. None of them makes a sentence about a decision itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from enum import Enum, auto
from typing import Final

from strategy.codes import Lie
from strategy.decide.option import Word
from strategy.plan.document import Decision
from strategy.report.words.costs import (
    alternative,
    first_in_brief,
    first_words,
    flag_sentence,
    with_cost,
)
from strategy.report.words.fact_words import (
    commit_words,
    counts_words,
    jump_words,
    land_words,
    need_words,
    short_side_words,
    sides_words,
    sight_words,
    sure_words,
    table_sentence,
    trees_words,
    unknown_trees_words,
    unplayable_words,
)
from strategy.report.words.lengths import Units
from strategy.report.words.lie_words import unseen_words
from strategy.report.words.next_words import leaves_words, miss_words, next_sentence
from strategy.report.words.shot_words import (
    finish_words,
    height_words,
    option_sentence,
    playing,
    spoken,
)
from strategy.report.words.stance_words import stance_words


class Fact(Enum):
    """What a sentence about a decision says."""

    ANSWER = auto()  # the shot that is advised, or why there is none
    SIGHT = auto()  # that the landing is not seen
    LAND = auto()  # the cover of a false front that the shot lands near
    STANCE = auto()  # what the slope under the player does
    WHY_FIRST = auto()  # why it is not the cheapest
    ALTERNATIVE = auto()  # what the next one costs
    AT_FLAG = auto()  # what playing at the flag costs
    SURE = auto()  # in how many plausible weeks it stays the best, and what that hangs on
    UNSEEN = auto()  # one swing for all lies that the ball may have
    COMMIT = auto()  # the number to settle on in gusts
    COUNTS = auto()  # where twenty balls go
    CLEARS = auto()  # how many of them clear the trees
    UNPLAYABLE = auto()  # a drop that is better
    LEAVES = auto()  # what the shot leaves
    JUMP = auto()  # the number if the ball jumps
    MISS = auto()  # where to miss
    SHORT_SIDE = auto()  # a short side that the numbers do not see
    SIDES = auto()  # which side of the hole to putt from
    BY_TABLE = auto()  # what the published table would play
    TREE_HEIGHTS = auto()  # what assumed heights of trees cost
    NEXT = auto()  # which shots follow
    NEEDS = auto()  # the shot for a score that is needed


BY_THE_HOLE: Final = 2  # advice that finishes no further from the hole is at the flag for all one can tell
FIRST: Final = (Fact.ANSWER, Fact.SIGHT, Fact.LAND, Fact.STANCE, Fact.WHY_FIRST)
ANSWER: Final = (*FIRST, Fact.ALTERNATIVE, Fact.AT_FLAG)
# What is said of the balls of the shot, and of what goes on around it, in the order of a page.
BALLS: Final = (Fact.CLEARS, Fact.UNPLAYABLE, Fact.LEAVES, Fact.JUMP, Fact.MISS, Fact.SHORT_SIDE, Fact.SIDES)
DOUBTS: Final = (Fact.BY_TABLE, Fact.TREE_HEIGHTS)


def say(decision: Decision, units: Units, facts: Iterable[Fact]) -> list[str]:
    """The sentences of some facts in their order; a fact that does not hold says nothing."""
    if not decision.options:
        return [f"No shot: {decision.note}."] if Fact.ANSWER in facts else []
    return [sentence for fact in facts if (sentence := _SENTENCES[fact](decision, units))]


def answer(decision: Decision, units: Units) -> str:
    """The whole answer of a decision: the shot, the alternative, at the flag."""
    return " ".join(say(decision, units, ANSWER))


def answers(decision: Decision, units: Units) -> list[str]:
    """Up to three answers, each its own sentence; the later ones with their cost."""
    first = " ".join(say(decision, units, FIRST))
    others = [
        with_cost(option_sentence(planned, decision, units), planned.option, decision)
        for planned in decision.answers[1:]
    ]
    return [first, *others]


def brief(decision: Decision, units: Units) -> str:
    """A decision in a few words, for the edges of the landing: "9-iron 142, 3 short of the hole"."""
    if not decision.options:
        return f"no shot: {decision.note}"
    best, quoted = decision.first, decision.options[0].quoted
    text = f"{spoken(best.label)}, {units.whole(best.carry_m)}"
    plays = playing(best, units)
    behind = ", ".join(filter(None, (height_words(best, units), "" if plays is None else f"plays {plays}")))
    text += f" ({behind})" if behind else ""
    if quoted is not None:
        text += f", {finish_words(quoted.finish, units)}"
    wet = best.counts.get("wet", 0)
    text += f" ({wet} of 20 wet)" if wet else ""
    text += first_in_brief(decision)
    if decision.unplayable is not None:
        return f"{text}; {unplayable_words(decision, units)[:-1].lower()}"
    jump = decision.jump
    if jump is None or decision.spot.lie is Lie.JUMPER:
        return text
    return f"{text}; if it jumps {spoken(jump.label)}, playing {units.whole(jump.plays_m)}"


def _flag_words(decision: Decision, units: Units) -> str:
    """At the flag; nothing where the advice finishes by the hole and that is even: it is at the flag then."""
    quoted, flag = decision.options[0].quoted, decision.at_flag
    if flag is None:
        return ""
    if quoted is not None and flag.word is Word.EVEN:
        finish = quoted.finish
        if max(abs(units.whole(finish.side_m)), abs(units.whole(finish.past_m))) <= BY_THE_HOLE:
            return ""
    return flag_sentence(flag, decision.first)


_SENTENCES: Final[Mapping[Fact, Callable[[Decision, Units], str]]] = {
    Fact.ANSWER: lambda decision, units: option_sentence(decision.options[0], decision, units),
    Fact.SIGHT: lambda decision, _: sight_words(decision),
    Fact.LAND: land_words,
    Fact.STANCE: lambda decision, units: stance_words(decision.first.stance, units),
    Fact.WHY_FIRST: lambda decision, _: first_words(decision),
    Fact.ALTERNATIVE: lambda decision, _: alternative(decision),
    Fact.AT_FLAG: _flag_words,
    Fact.SURE: sure_words,
    Fact.UNSEEN: unseen_words,
    Fact.COMMIT: commit_words,
    Fact.COUNTS: lambda decision, _: counts_words(decision.first.counts),
    Fact.CLEARS: lambda decision, _: trees_words(decision),
    Fact.UNPLAYABLE: unplayable_words,
    Fact.LEAVES: lambda decision, units: leaves_words(decision.first, units),
    Fact.JUMP: jump_words,
    Fact.MISS: miss_words,
    Fact.SHORT_SIDE: lambda decision, _: short_side_words(decision),
    Fact.SIDES: lambda decision, _: sides_words(decision),
    Fact.BY_TABLE: table_sentence,
    Fact.TREE_HEIGHTS: unknown_trees_words,
    Fact.NEXT: next_sentence,
    Fact.NEEDS: need_words,
}
