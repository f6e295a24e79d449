"""What is said of a decision beside its answer: where it is said at all, and with which numbers."""

from __future__ import annotations

import dataclasses

import pytest

from strategy.codes import Lie
from strategy.decide.commit import Commitment
from strategy.decide.option import Word
from strategy.decide.putts import Sides
from strategy.plan.document import Role
from strategy.plan.quoted import ByTable, Drop, Jump, Needed, Trees, TreesAt
from strategy.report.words.fact_words import (
    commit_words,
    counts_words,
    jump_words,
    need_words,
    percent,
    short_side_words,
    sides_words,
    table_sentence,
    trees_words,
    unknown_trees_words,
    unplayable_words,
)
from strategy.report.words.lengths import Units
from strategy.units import YARD_M
from tests.plan.hand import changed, decision
from tests.report.words.reading import in_order, numbers
from tests.report.words.shots import DRIVE, IRON, WOOD, approach


def test_counts_are_of_twenty_and_keep_their_order():
    words = counts_words({"green": 14, "short": 3, "sand": 2, "wet": 1})
    assert words == "Of 20: 14 green, 3 short, 2 sand, 1 wet."


def jump_of(plays=138, clean=150, label="9-iron"):
    return Jump(label=label, carry_m=146 * YARD_M, plays_m=plays * YARD_M, clean_m=clean * YARD_M)


@pytest.mark.parametrize(
    ("clean", "than", "figures"),
    [(150, "shorter than", ["138", "12"]), (138, "as from", ["138"]), (133, "longer than", ["138", "5"])],
)
def test_a_lie_that_may_jump_says_the_number_it_plays_then(clean, than, figures):
    may = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_GOOD, jump=jump_of(clean=clean))
    words = jump_words(may, Units.YARDS)
    assert in_order(words, "If it jumps", "9-iron", "138", than)
    assert numbers(words) == figures


def test_a_ball_that_does_jump_says_how_much_that_is():
    does = decision(IRON, role=Role.ASKED, lie=Lie.JUMPER, jump=jump_of())
    assert in_order(jump_words(does, Units.YARDS), "It jumps", "138", "12 shorter")
    assert numbers(jump_words(does, Units.METRES)) == ["126", "11"]
    assert jump_words(approach(IRON), Units.YARDS) == ""
    wedge = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_POOR, jump=jump_of(label="56"))
    assert "the 56 playing" in jump_words(wedge, Units.YARDS)


@pytest.mark.parametrize(
    ("side", "where"),
    [
        ("right", "on the right, the short side"),
        ("front", "short of a front hole"),
        ("back", "past a back hole"),
    ],
)
def test_the_short_side_is_warned_of(side, where):
    assert where in short_side_words(approach(IRON, short_side=side))
    assert short_side_words(approach(IRON)) == ""


HELD = {
    "winds_mps": (2.0, 4.0, 6.0),
    "numbers_m": (171 * YARD_M, 176 * YARD_M, 183 * YARD_M),
    "committed_m": 176 * YARD_M,
    "sides_m": (0.0, 0.0),
    "over": (0.01, 0.0, 0.02),
    "cost_lull": 0.02,
    "cost_gust": 0.04,
}


def in_gusts(units=Units.YARDS, **changes):
    return commit_words(dataclasses.replace(approach(IRON), commit=Commitment(**{**HELD, **changes})), units)


def test_the_number_to_settle_on_in_gusts_word_for_word():
    assert in_gusts() == (
        "In the lull it plays 171, in gusts 183: commit to 176; a gust then costs 0.04, a lull 0.02."
    )
    assert commit_words(approach(IRON), Units.YARDS) == ""
    assert numbers(in_gusts(Units.METRES)) == ["156", "167", "161", "0.04", "0.02"]


@pytest.mark.parametrize(
    ("changes", "parts"),
    [
        ({"cost_lull": -0.001}, ("gust then costs 0.04", "lull nothing")),
        # Where the wind takes the ball is said from three on.
        (
            {"sides_m": (-2.4 * YARD_M, 7 * YARD_M)},
            ("gust then takes it 7 right and costs 0.04", "lull costs 0.02"),
        ),
        ({"cost_doubt": 0.05, "cost_gust": 0.03}, ("doubt costs 0.05", "gust 0.03", "lull 0.02")),
        (
            {"cost_doubt": 0.05, "sides_m": (3 * YARD_M, -4 * YARD_M)},
            ("doubt costs 0.05", "takes it 4 left and costs 0.04", "takes it 3 right and costs 0.02"),
        ),
        (
            {"committed_m": 183 * YARD_M, "cost_gust": 0.0},
            (
                "lull it plays 171",
                "as forecast 176",
                "in gusts 183",
                "commit to 183",
                "costs nothing",
                "0.02",
            ),
        ),
        # A number that is another shot's names it.
        ({"others": ("56, half", "", "3-iron")}, ("171 (56, half)", "183 (3-iron)", "commit to 176;")),
    ],
)
def test_what_being_wrong_in_gusts_costs(changes, parts):
    words = in_gusts(**changes)
    assert in_order(words, *parts)
    assert ("takes it" in words) == any("takes it" in part for part in parts)


def by_table(label, side, cost, word):
    return ByTable(label=label, carry_m=250.0, side_m=side * YARD_M, cost=cost, cost_error=0.01, word=word)


@pytest.mark.parametrize(
    ("other", "parts"),
    [
        (by_table("3-wood", 2, 0.06, Word.SMALL), ("3-wood", "0.06", "small")),
        (by_table("3-wood", 2, 0.06, Word.UNTOLD), ("3-wood", "not told apart", "0.06")),
        (by_table("driver, the fade", 9.4, 0.12, Word.REAL), ("9 further right", "0.12", "real")),
        (by_table("driver, the fade", -7.0, 0.03, Word.SMALL), ("7 further left", "0.03", "small")),
    ],
)
def test_the_one_stroke_answer_where_it_costs_something(other, parts):
    words = table_sentence(decision(DRIVE, WOOD, by_table=other), Units.YARDS)
    assert in_order(words, "By the table alone", *parts)
    assert numbers(words) == numbers(" ".join(parts))


def test_a_one_stroke_answer_that_is_even_is_not_worth_a_sentence():
    for other in (by_table("3-wood", 2, 0.01, Word.EVEN), None):
        assert table_sentence(decision(DRIVE, WOOD, by_table=other), Units.YARDS) == ""


def test_a_ball_that_is_better_dropped():
    dropped = dataclasses.replace(decision(IRON), unplayable=Drop(away_m=14 * YARD_M, back=True, saves=0.314))
    assert in_order(unplayable_words(dropped, Units.YARDS), "nplayable", "14 back on the line", "saves 0.31")
    beside = dataclasses.replace(dropped, unplayable=Drop(away_m=2.0, back=False, saves=0.05))
    assert in_order(unplayable_words(beside, Units.YARDS), "two club-lengths", "saves 0.05")
    assert unplayable_words(decision(IRON), Units.YARDS) == ""


def test_how_many_clear_the_trees_is_said_where_some_do_not():
    assert trees_words(decision(changed(IRON, tree_share=0.16))) == "17 of 20 clear the trees."
    assert trees_words(decision(changed(IRON, tree_share=0.02))) == ""


def test_the_side_of_the_hole_to_putt_from_is_said_where_it_tells():
    def of(**there):
        return sides_words(dataclasses.replace(decision(IRON), sides=Sides(**there)))

    words = of(best="short", worst="long", cost=0.07)
    assert in_order(words, "short of the hole", "beyond it", "0.07")
    assert in_order(of(best="left", worst="right", cost=0.05), "left of", "right of", "0.05")
    assert of(best="short", worst="long", cost=0.03) == ""
    assert of(known=False) == ""
    assert sides_words(decision(IRON)) == ""


def test_what_assumed_tree_heights_cost_in_certainty():
    low = TreesAt(height_m=8.0, strokes=-0.02, label="7-iron", cost=0.0, word=Word.EVEN)
    tall = TreesAt(height_m=22.0, strokes=0.2, label="3-wood", cost=0.12, word=Word.REAL)
    doubtful = dataclasses.replace(decision(IRON), trees=Trees(assumed_m=14.0, low=low, tall=tall))
    words = unknown_trees_words(doubtful, Units.YARDS)
    assert in_order(
        words, "assumed (15)", "9 high the same", "0.02 less", "24 high 3-wood", "costs 0.12 (real)"
    )
    assert numbers(unknown_trees_words(doubtful, Units.METRES)) == ["14", "8", "0.02", "22", "0.12"]
    assert unknown_trees_words(decision(IRON), Units.YARDS) == ""


def needed(n=4, label="3-wood, the fade", *, carry=255, side=0, price=0.08, worth=True, shot=None):
    need = Needed(
        n=n,
        label=label,
        carry_m=carry * YARD_M,
        side_m=side * YARD_M,
        plan_chance=0.41,
        chance=0.41,
        best_chance=0.46,
        price=price,
        worth_saying=worth,
    )
    return need_words(dataclasses.replace(shot or decision(DRIVE, WOOD), needs=(need,)), Units.YARDS)


def test_a_score_that_is_needed_names_the_shot_its_chance_and_its_price():
    assert in_order(needed(), "For 4 or better", "3-wood, the fade instead", "46 % against 41 %", "0.08")
    assert "the 56, half instead" in needed(label="56, half")
    same = needed(label="driver, the fade", side=-12, price=0.001)
    assert in_order(same, "the same", "12 further left", "46 % against 41 %", "costs nothing")
    assert in_order(needed(label="driver, the fade", side=1, carry=270), "the same", "270 to carry", "0.08")


def test_where_no_other_shot_gains_enough_the_same_one_is_played():
    assert in_order(needed(worth=False), "For 4 or better", "same shot", "41 %")
    further_on = needed(3, worth=False, shot=approach(IRON))  # there strokes are those that are left
    assert in_order(further_on, "To be down in 3", "same shot", "41 %")


def test_chances_near_none_and_all():
    assert [percent(p) for p in (0.0, 0.004, 0.006, 0.994, 0.996, 1.0)] == [
        "0 %", "under 1 %", "1 %", "99 %", "over 99 %", "100 %",
    ]  # fmt: skip
