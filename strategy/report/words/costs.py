"""What costs sound like: of alternatives, at the flag, of an answer that is not the cheapest.

::

    3-wood costs 0.06 (small). 8-iron is even. 6-iron is not told apart: 0.13.
    Costs 0.01 more than 3-wood, the draw: the stock shot comes first.
"""

from __future__ import annotations

from typing import Final

from strategy.decide.option import Option, Word
from strategy.plan.document import Decision
from strategy.plan.quoted import AtFlag
from strategy.report.words.shot_words import capital, spoken

_WHY: Final = {
    "stock": "the stock shot comes first",
    "liked": "you like it",
    "disliked": "that one you do not like",
    "weeks": "in the mean over the plausible weeks it is the cheaper one",
}


def cost_words(cost: float, word: Word) -> str:
    """A cost in words: "is even", "is not told apart: 0.13", "costs 0.06 (small)"."""
    if word is Word.EVEN:
        return "is even"
    return f"is {word}: {cost:.2f}" if word is Word.UNTOLD else f"costs {cost:.2f} ({word})"


def figure(cost: float) -> str:
    """A small cost, with as many digits as it needs.

    >>> figure(0.013), figure(0.0032), figure(0.0001)
    ('0.01', '0.003', 'under 0.001')
    """
    if cost < 0.0005:
        return "under 0.001"
    return f"{cost:.2f}" if cost >= 0.005 else f"{cost:.3f}"


def with_cost(sentence: str, option: Option, decision: Decision) -> str:
    """The sentence of a second or third answer, its cost at the end; what is cheaper than the first saves."""
    less = decision.first.cost - option.cost
    opening = sentence.removesuffix(".")
    if less > 0.0:
        return f"{opening}: saves {figure(less)}."
    if option.word is Word.UNTOLD:
        return f"{opening}; {option.word}: {option.cost:.2f}."
    cost = "even" if option.word is Word.EVEN else cost_words(option.cost, option.word)
    return f"{opening}: {cost}."


def first_words(decision: Decision) -> str:
    """Why an answer that is not the cheapest comes first, and what it costs; "" for the cheapest.

    ::

        Costs 0.01 more than 3-wood, the draw: the stock shot comes first.
        4-iron saves 0.06 if 9 of 20 come through the trees, as assumed, but costs 0.05 if 7 do.
        4-iron costs 0.03 if 9 of 20 come through the trees, as assumed, but saves 0.06 if 12 do.
    """
    words = []
    if (why := _WHY.get(decision.why_first)) is not None:
        more = figure(decision.first.cost)
        words.append(f"Costs {more} more than {spoken(decision.cheapest.label)}: {why}.")
    if (turns := decision.through) is not None:
        taken, other = (round(20.0 * share) for share in (turns.clears, turns.other_clears))
        taken_for = f"{_saves(turns.costs)} if {taken} of 20 come through the trees, as assumed"
        words.append(
            f"{capital(spoken(turns.label))} {taken_for}, but {_saves(turns.other_costs)} if {other} do."
        )
    return " ".join(words)


def _saves(cost: float) -> str:
    return f"saves {figure(-cost)}" if cost < 0.0 else f"costs {figure(cost)}"


def first_in_brief(decision: Decision) -> str:
    """The same in half a line: ", 0.01 more than 3-wood, the draw: the stock shot comes first"."""
    words = first_words(decision).removesuffix(".")
    return f"; {words[:1].lower()}{words[1:]}" if words else ""


def alternative(decision: Decision) -> str:
    """The next best, in one sentence; "" when there is none, or it was said why it does not come first."""
    if len(decision.options) < 2:
        return ""
    other = decision.options[1].option
    if other.cost < decision.first.cost:
        return ""
    return f"{capital(spoken(other.label))} {cost_words(other.cost, other.word)}."


def flag_sentence(flag: AtFlag, best: Option) -> str:
    """What playing at the flag costs, with the club when it takes another."""
    club = "" if flag.label == best.label else f" with {spoken(flag.label)}"
    return f"At the flag{club} {cost_words(flag.cost, flag.word)}."
