"""A decision in words: its answers, their costs, and that text, pictures and one shot say the same."""

from __future__ import annotations

import dataclasses

import pytest

from strategy.codes import Lie
from strategy.decide.option import Word
from strategy.plan.document import Role
from strategy.plan.quoted import AtFlag, Drop, Jump, Through
from strategy.report.words.decision_words import ANSWER, Fact, answer, answers, brief, say
from strategy.report.words.head_words import expected_words
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import option_sentence
from strategy.units import YARD_M
from tests.plan.hand import changed, decision, option, quoted
from tests.report.words.reading import in_order, numbers
from tests.report.words.shots import DRIVE, IRON, WOOD, approach


def flag(cost, word, label="7-iron"):
    return AtFlag(label=label, cost=cost, cost_error=0.01, word=word)


def said(shot):
    return answer(shot, Units.YARDS)


def test_the_answer_of_the_design_word_for_word():
    other = option("8-iron", 152, cost=0.008, quoted=quoted("hole", -3, -4, room=None))
    assert said(approach(IRON, other, at_flag=flag(0.11, Word.REAL))) == (
        "7-iron, 156 to carry: finish 4 left of the hole, 3 past. 8-iron is even. "
        "At the flag costs 0.11 (real)."
    )


def test_one_alternative_with_its_cost_stands_behind_the_answer():
    text = said(decision(DRIVE, WOOD, option("5-wood", 239, cost=0.2, word=Word.REAL)))
    assert in_order(text, "Driver, the fade", "281", "3-wood", "0.06", "small")
    assert "5-wood" not in text
    assert "3-wood" not in said(decision(DRIVE))


@pytest.mark.parametrize(
    ("cost", "word", "words"),
    [
        (0.008, Word.EVEN, ["even"]),
        (0.13, Word.UNTOLD, ["not told apart", "0.13"]),
        (0.06, Word.SMALL, ["0.06", "small"]),
        (0.2, Word.REAL, ["0.20", "real"]),
    ],
)
def test_a_cost_is_said_by_its_word_and_its_figure(cost, word, words):
    """Of the alternative, of the second answer and at the flag; what is even says no figure."""
    other = option("6-iron", 170, cost=cost, word=word, quoted=quoted("hole", room=None))
    decided = approach(IRON, other, at_flag=flag(cost, word))
    alternative, at_flag = say(decided, Units.YARDS, (Fact.ALTERNATIVE, Fact.AT_FLAG))
    second = answers(decided, Units.YARDS)[1].removeprefix("6-iron, 170 to carry: finish at the hole")
    for text in (alternative.removeprefix("6-iron"), at_flag, second):
        assert in_order(text, *words) or in_order(text, *words[::-1])
        assert numbers(text) == [w for w in words if w[0] == "0"]


def test_up_to_three_answers_each_with_its_cost():
    even = option("driver, low", 262, cost=0.01, quoted=quoted(side=3))
    third = option("5-wood", 239, cost=0.2, word=Word.REAL, quoted=quoted())
    first, *others = answers(decision(DRIVE, even, WOOD, third), Units.YARDS)
    assert first == option_sentence(DRIVE, decision(DRIVE), Units.YARDS)
    assert [text.split(", ")[0] for text in others] == ["Driver", "3-wood"]
    assert "even" in others[0]
    assert numbers(others[1]) == ["2", "0.06"]


@pytest.mark.parametrize(
    ("why", "cost", "figure", "reason"),
    [
        ("stock", 0.012, "0.01", "stock shot"),
        ("liked", 0.0032, "0.003", "you like it"),
        ("disliked", 0.0002, "under 0.001", "do not like"),
    ],
)
def test_an_answer_that_is_not_the_cheapest_says_its_cost_and_why(why, cost, figure, reason):
    first = changed(DRIVE, cost=cost, strokes=4.0 + cost)
    draw = option("3-wood, the draw", 263, quoted=quoted(side=1))
    chosen = dataclasses.replace(decision(first, draw, WOOD), why_first=why)
    (words,) = say(chosen, Units.YARDS, (Fact.WHY_FIRST,))
    assert in_order(words, figure, "more than 3-wood, the draw", reason)
    assert said(chosen) == f"{option_sentence(DRIVE, chosen, Units.YARDS)} {words}"  # it is not said twice
    found = answers(chosen, Units.YARDS)
    assert found[0] == said(chosen)
    assert f"saves {figure}" in found[1]
    assert numbers(expected_words(chosen)) == [f"{4.0 + cost:.2f}"]
    assert brief(chosen, Units.YARDS).endswith("; c" + words[1:-1])


def test_a_choice_that_turns_on_how_many_balls_come_through_trees_says_so():
    chip = option("6-iron, chip-out", 50, cost=0.06, word=Word.SMALL, quoted=quoted(full=False))
    through = option("4-iron", 200, quoted=quoted())
    turns = Through(label="4-iron", costs=-0.06, clears=0.45, other_costs=0.05, other_clears=0.34)
    chosen = dataclasses.replace(decision(chip, through, role=Role.LEFT), why_first="trees", through=turns)
    (words,) = say(chosen, Units.YARDS, (Fact.WHY_FIRST,))
    assert in_order(words, "4-iron saves 0.06 if 9 of 20", "costs 0.05 if 7")
    assert said(chosen).endswith(words)
    assert brief(chosen, Units.YARDS).endswith(words[:-1])
    other = dataclasses.replace(turns, costs=0.03, other_costs=-0.06, other_clears=0.58)
    clear = dataclasses.replace(decision(changed(chip, cost=0.0), WOOD), through=other)
    assert in_order(said(clear), "4-iron costs 0.03 if 9 of 20", "saves 0.06 if 12", "3-wood costs 0.06")


def test_at_the_flag_with_another_club_and_when_it_says_nothing():
    assert in_order(
        said(approach(IRON, at_flag=flag(0.03, Word.SMALL, "6-iron"))), "flag with 6-iron", "0.03"
    )
    even = flag(0.004, Word.EVEN)
    assert said(approach(IRON, at_flag=even)).endswith("At the flag is even.")
    by_it = option("7-iron", 156, quoted=quoted("hole", -1, 2, room=None))
    assert "flag" not in said(approach(by_it, at_flag=even))
    assert "flag" in said(approach(by_it, at_flag=flag(0.03, Word.SMALL)))


def test_without_a_shot_only_that_is_said_and_why():
    none = decision(note="no shot is played from this lie")
    assert say(none, Units.YARDS, Fact) == ["No shot: no shot is played from this lie."]
    assert say(none, Units.YARDS, (Fact.COUNTS,)) == []
    assert brief(none, Units.YARDS) == "no shot: no shot is played from this lie"


def test_every_fact_has_a_sentence_and_says_nothing_where_it_does_not_hold():
    plain = decision(option(quoted=quoted()))
    assert [fact for fact in Fact if say(plain, Units.YARDS, (fact,))] == [Fact.ANSWER, Fact.COUNTS]
    assert say(plain, Units.YARDS, ANSWER) == [said(plain)]


def test_facts_are_said_in_the_order_that_is_asked_for():
    shot = decision(DRIVE, WOOD)
    forth = say(shot, Units.YARDS, (Fact.ANSWER, Fact.ALTERNATIVE, Fact.COUNTS))
    assert say(shot, Units.YARDS, (Fact.COUNTS, Fact.ALTERNATIVE, Fact.ANSWER)) == forth[::-1]
    assert len(set(forth)) == 3


def test_an_edge_in_a_few_words():
    assert brief(approach(IRON), Units.YARDS) == "7-iron, 156, 4 left of the hole, 3 past"
    wet = option("7-iron", 156, counts={"green": 17, "wet": 3}, quoted=quoted("hole", room=None))
    assert numbers(brief(approach(wet), Units.YARDS)) == ["156", "3", "20"]
    jump = Jump(label="9-iron", carry_m=146 * YARD_M, plays_m=138 * YARD_M, clean_m=150 * YARD_M)
    may = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_GOOD, jump=jump)
    assert in_order(brief(may, Units.YARDS), "7-iron, 156", "if it jumps 9-iron", "138")
    assert "jumps" not in brief(decision(IRON, role=Role.LEFT, lie=Lie.JUMPER, jump=jump), Units.YARDS)
    dropped = dataclasses.replace(decision(IRON), unplayable=Drop(away_m=14 * YARD_M, back=True, saves=0.314))
    assert in_order(brief(dropped, Units.YARDS), "7-iron, 156", "unplayable", "14 back", "0.31")
