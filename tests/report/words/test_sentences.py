"""Sentences word for word, on options made by hand."""

from __future__ import annotations

import dataclasses

import pytest

from strategy.codes import Lie
from strategy.decide.commit import Commitment
from strategy.decide.option import Word
from strategy.decide.putts import Sides
from strategy.plan.document import Role
from strategy.plan.quoted import (
    AtFlag,
    ByTable,
    Drop,
    Jump,
    Needed,
    RoundScores,
    Through,
    Trees,
    TreesAt,
)
from strategy.report.words.lengths import Units
from strategy.report.words.sentences import (
    answer,
    answers,
    brief,
    commit_words,
    counts_words,
    expected_words,
    from_words,
    jump_words,
    need_words,
    option_sentence,
    percent,
    round_words,
    rounds_words,
    short_side_words,
    sides_words,
    table_sentence,
    trees_words,
    unknown_trees_words,
    unplayable_words,
    wind_words,
)
from strategy.units import YARD_M
from tests.plan.hand import changed, decision, location, option, quoted, reach, start

FAR = reach("the far left bunker", "carry", 262, 281)
DRIVE = option(
    "driver, the fade",
    287,
    quoted=quoted(side=6, begin=start("the left edge of the far left bunker", -12), reaches=[FAR]),
    leaves=(113, 153),
)
WOOD = option("3-wood", 258, cost=0.06, word=Word.SMALL, quoted=quoted(side=2))
IRON = option("7-iron", 156, quoted=quoted("hole", -4, 3, room=None))


def approach(best, *others, **given):
    return decision(best, *others, role=Role.MIDDLE, lie=Lie.FAIRWAY, front=145, to_hole=159, **given)


def test_the_tee_shot_of_the_design():
    assert answer(decision(DRIVE, WOOD)) == (
        "Driver, the fade, finish 6 right of the middle, start at the left edge of the far left bunker, "
        "281 to carry it. 3-wood costs 0.06 (small)."
    )


def test_the_approach_of_the_design():
    flag = AtFlag(label="7-iron", cost=0.11, cost_error=0.01, word=Word.REAL)
    other = option("8-iron", 152, cost=0.008, quoted=quoted("hole", -3, -4, room=None))
    assert answer(approach(IRON, other, at_flag=flag)) == (
        "7-iron, 156 to carry: finish 4 left of the hole, 3 past. 8-iron is even. "
        "At the flag costs 0.11 (real)."
    )


@pytest.mark.parametrize(
    ("rise", "plays", "words"),
    [
        (5.0, 161, "156 to carry, 5 up, playing 161"),
        (-12.0, 145, "156 to carry, 12 down, playing 145"),
        (2.0, 158, "156 to carry, 2 up"),  # the number itself from 3 on
        (5.0, 155, "156 to carry, 5 up"),  # what helps makes up for it
        (1.4, 157, "156 to carry"),
    ],
)
def test_the_height_of_the_landing_is_said_and_is_in_what_it_is_playing(rise, plays, words):
    best = option("7-iron", 156, quoted=quoted("hole", -4, 3, room=None), rise=rise, plays=plays)
    assert option_sentence(best, approach(best)) == f"7-iron, {words}: finish 4 left of the hole, 3 past."
    inside = words.partition(", ")[2].replace("playing", "plays")
    assert brief(approach(best), Units.YARDS).startswith(f"7-iron, 156{f' ({inside})' if inside else ''}, 4")


def test_a_full_tee_shot_says_its_carry_where_the_ground_changes_it():
    best = option("driver", 264, quoted=quoted(side=6), rise=13.0, plays=280)
    assert option_sentence(best, decision(best)) == (
        "Driver, 264 to carry, 13 up, playing 280: finish 6 right of the middle."
    )


def test_metres():
    assert option_sentence(IRON, approach(IRON), Units.METRES) == (
        "7-iron, 143 to carry: finish 4 left of the hole, 3 past."
    )


@pytest.mark.parametrize(
    ("side", "past", "words"),
    [
        (0.4, -0.4, "at the hole"),
        (0, 2, "2 past the hole"),
        (0, -2, "2 short of the hole"),
        (1.6, 0, "2 right of the hole"),
        (-5, -3, "5 left of the hole, 3 short"),
    ],
)
def test_finish_by_the_hole(side, past, words):
    best = option("wedge", 110, quoted=quoted("hole", side, past, room=None))
    assert option_sentence(best, approach(best)) == f"Wedge, 110 to carry: finish {words}."


@pytest.mark.parametrize(
    ("of", "side", "words"),
    [
        ("fairway", 0.2, "in the middle"),
        ("fairway", -7, "7 left of the middle"),
        ("line", 0, "on the line"),
        ("line", 3, "3 right of the line"),
    ],
)
def test_finish_off_the_tee(of, side, words):
    best = option(quoted=quoted(of, side))
    assert option_sentence(best, decision(best)) == f"Driver, finish {words}."


def test_a_start_that_nothing_marks_is_told_from_the_finish():
    best = option(quoted=quoted(side=-7, begin=start("", 13)))
    assert (
        option_sentence(best, decision(best))
        == "Driver, finish 7 left of the middle, start 13 right of that."
    )
    straight = option(quoted=quoted(side=-7, begin=start("", 0.3)))
    assert option_sentence(straight, decision(straight)) == "Driver, finish 7 left of the middle."


@pytest.mark.parametrize(
    ("reaches", "words"),
    [
        ([reach("the water", "carry", 66, 166)], "166 to carry the water"),
        ([reach("the left bunker", "reach", 302, 322)], "302 to reach the left bunker"),
        (
            [reach("the right bunkers", "beside", 279, 296)],
            "279 to reach the right bunkers and 296 to carry them",
        ),
        ([reach("the right water", "along", 200, 330)], "the right water all along"),
        (
            [reach("the left bunker", "carry", 250, 260), FAR, reach("the water", "reach", 310, 330)],
            "260 to carry the left bunker, 281 to carry the far left bunker",
        ),
    ],
)
def test_numbers_of_sand_and_water(reaches, words):
    best = option(quoted=quoted(reaches=reaches))
    assert option_sentence(best, decision(best)) == f"Driver, finish in the middle, {words}."


@pytest.mark.parametrize(
    ("what", "kind", "words"),
    [
        ("the right bunkers", "carry", "296 to carry them"),
        ("the right bunker", "beside", "279 to reach it and 296 to carry it"),
        ("the right bunker", "reach", "279 to reach it"),
        ("the right water", "along", "and it all along"),
    ],
)
def test_the_thing_the_ball_starts_at_is_not_named_twice(what, kind, words):
    best = option(
        quoted=quoted(begin=start(f"the left edge of {what}"), reaches=[reach(what, kind, 279, 296)])
    )
    assert option_sentence(best, decision(best)) == (
        f"Driver, finish in the middle, start at the left edge of {what}, {words}."
    )


def test_a_dialled_tee_shot_and_a_lay_up_say_their_number():
    dialled = option("5-iron", 192, quoted=quoted(full=False))
    assert option_sentence(dialled, decision(dialled)) == "5-iron, 192 to carry: finish in the middle."
    full = option("5-iron", 200, quoted=quoted())
    assert option_sentence(full, approach(full)) == "5-iron, 200 to carry: finish in the middle."


def test_up_to_three_answers_each_with_its_cost():
    even = option("driver, low", 262, cost=0.01, quoted=quoted(side=3))
    third = option("5-wood", 239, cost=0.2, word=Word.REAL, quoted=quoted())
    assert answers(decision(DRIVE, even, WOOD, third)) == (
        option_sentence(DRIVE, decision(DRIVE)),
        "Driver, low, finish 3 right of the middle: even.",
        "3-wood, finish 2 right of the middle: costs 0.06 (small).",
    )


def test_what_is_dearer_but_not_told_apart_says_its_figure():
    other = option("6-iron", 170, cost=0.13, word=Word.UNTOLD, quoted=quoted("hole", room=None))
    flag = AtFlag(label="7-iron", cost=0.06, cost_error=0.08, word=Word.UNTOLD)
    assert answer(approach(IRON, other, at_flag=flag)).endswith(
        "6-iron is not told apart: 0.13. At the flag is not told apart: 0.06."
    )
    assert (
        answers(approach(IRON, other))[1] == "6-iron, 170 to carry: finish at the hole; not told apart: 0.13."
    )
    table = by_table("3-wood", 2, 0.06, Word.UNTOLD)
    assert table_sentence(decision(DRIVE, WOOD, by_table=table), Units.YARDS) == (
        "By the table alone it would be 3-wood; with your own next shots that is not told apart: 0.06."
    )


@pytest.mark.parametrize(
    ("why", "cost", "words"),
    [
        ("stock", 0.012, "Costs 0.01 more than 3-wood, the draw: the stock shot comes first."),
        ("liked", 0.0032, "Costs 0.003 more than 3-wood, the draw: you like it."),
        ("disliked", 0.0002, "Costs under 0.001 more than 3-wood, the draw: that one you do not like."),
    ],
)
def test_an_answer_that_is_not_the_cheapest_says_its_cost_and_why(why, cost, words):
    first = changed(DRIVE, cost=cost, strokes=4.0 + cost)
    draw = option("3-wood, the draw", 263, quoted=quoted(side=1))
    chosen = dataclasses.replace(decision(first, draw, WOOD), why_first=why)
    own = option_sentence(DRIVE, chosen)
    assert answer(chosen) == f"{own} {words}"  # the cheaper one is named, and not said twice
    saves = words.split()[1] if "under" not in words else "under 0.001"
    assert answers(chosen) == (
        f"{own} {words}",
        f"3-wood, the draw, finish 1 right of the middle: saves {saves}.",
        "3-wood, finish 2 right of the middle: costs 0.06 (small).",
    )
    assert expected_words(chosen) == f"{4.0 + cost:.2f} on average"
    assert brief(chosen, Units.YARDS).endswith("; c" + words[1:-1])


def test_a_choice_that_turns_on_how_many_balls_come_through_trees_says_so():
    chip = option("6-iron, chip-out", 50, cost=0.06, word=Word.SMALL, quoted=quoted(full=False))
    through = option("4-iron", 200, quoted=quoted())
    turns = Through(label="4-iron", costs=-0.06, clears=0.45, other_costs=0.05, other_clears=0.34)
    chosen = dataclasses.replace(decision(chip, through, role=Role.LEFT), why_first="trees", through=turns)
    words = "4-iron saves 0.06 if 9 of 20 come through the trees, as assumed, but costs 0.05 if 7 do."
    assert answer(chosen) == f"6-iron, chip-out, 50 to carry: finish in the middle. {words}"
    assert brief(chosen, Units.YARDS).endswith(f"in the middle; {words[:-1]}")
    other = dataclasses.replace(turns, costs=0.03, other_costs=-0.06, other_clears=0.58)
    clear = dataclasses.replace(decision(changed(chip, cost=0.0), WOOD), through=other)
    assert answer(clear).endswith(
        "4-iron costs 0.03 if 9 of 20 come through the trees, as assumed, but saves 0.06 if 12 do. "
        "3-wood costs 0.06 (small)."
    )


def test_at_the_flag_with_another_club_and_when_it_says_nothing():
    other = AtFlag(label="6-iron", cost=0.03, cost_error=0.01, word=Word.SMALL)
    assert answer(approach(IRON, at_flag=other)).endswith("At the flag with 6-iron costs 0.03 (small).")
    even = AtFlag(label="7-iron", cost=0.004, cost_error=0.01, word=Word.EVEN)
    assert answer(approach(IRON, at_flag=even)).endswith("At the flag is even.")
    by_it = option("7-iron", 156, quoted=quoted("hole", -1, 2, room=None))
    assert "flag" not in answer(approach(by_it, at_flag=even))


def test_counts_leaves_and_where_from():
    assert (
        counts_words({"green": 14, "short": 3, "sand": 2, "wet": 1})
        == "Of 20: 14 green, 3 short, 2 sand, 1 wet."
    )
    assert from_words(approach(IRON), location(), Units.YARDS) == "145 front, 14 on, fairway"
    rough = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_GOOD, front=150)
    assert from_words(rough, None, Units.YARDS) == "150 front, good rough"


def test_an_edge_in_a_few_words():
    assert brief(approach(IRON), Units.YARDS) == "7-iron, 156, 4 left of the hole, 3 past"
    wet = option("7-iron", 156, counts={"green": 17, "wet": 3}, quoted=quoted("hole", room=None))
    assert brief(approach(wet), Units.YARDS) == "7-iron, 156, at the hole (3 of 20 wet)"
    assert brief(decision(note="no shot is played from this lie"), Units.YARDS) == (
        "no shot: no shot is played from this lie"
    )


def test_a_lie_that_may_jump_says_the_number_it_plays_then():
    jump = Jump(label="9-iron", carry_m=146 * YARD_M, plays_m=138 * YARD_M, clean_m=150 * YARD_M)
    may = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_GOOD, jump=jump)
    assert (
        jump_words(may, Units.YARDS) == "If it jumps: 9-iron playing 138, 12 shorter than from a clean lie."
    )
    assert jump_words(may, Units.METRES) == (
        "If it jumps: 9-iron playing 126, 11 shorter than from a clean lie."
    )
    assert brief(may, Units.YARDS).endswith("3 past; if it jumps 9-iron, playing 138")
    does = decision(IRON, role=Role.ASKED, lie=Lie.JUMPER, jump=jump)
    assert jump_words(does, Units.YARDS) == "It jumps: 138 is 12 shorter than from a clean lie."
    assert "jumps" not in brief(does, Units.YARDS)
    assert jump_words(approach(IRON), Units.YARDS) == ""


@pytest.mark.parametrize(("clean", "words"), [(138, "as from"), (133, "5 longer than from")])
def test_a_jumper_that_is_not_shorter_is_not_said_to_be(clean, words):
    jump = Jump(label="56", carry_m=146 * YARD_M, plays_m=138 * YARD_M, clean_m=clean * YARD_M)
    may = decision(IRON, role=Role.LEFT, lie=Lie.ROUGH_POOR, jump=jump)
    assert jump_words(may, Units.YARDS) == f"If it jumps: the 56 playing 138, {words} a clean lie."


@pytest.mark.parametrize(
    ("side", "words"),
    [
        ("", ""),
        ("right", "That is on the right, the short side: the table does not see it, trust your eye."),
        ("front", "That is short of a front hole: the table does not see it, trust your eye."),
        ("back", "That is past a back hole: the table does not see it, trust your eye."),
    ],
)
def test_the_short_side_is_warned_of(side, words):
    assert short_side_words(approach(IRON, short_side=side)) == words


NUMBERS = "In the lull it plays 171, in gusts 183: commit to 176; "


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, f"{NUMBERS}a gust then costs 0.04, a lull 0.02."),
        ({"cost_lull": -0.001}, f"{NUMBERS}a gust then costs 0.04, a lull nothing."),
        (
            {"sides_m": (-2.4 * YARD_M, 7 * YARD_M)},
            f"{NUMBERS}a gust then takes it 7 right and costs 0.04, a lull costs 0.02.",
        ),
        ({"cost_doubt": 0.05, "cost_gust": 0.03}, f"{NUMBERS}doubt costs 0.05, a gust 0.03, a lull 0.02."),
        (
            {"cost_doubt": 0.05, "sides_m": (3 * YARD_M, -4 * YARD_M)},
            (
                f"{NUMBERS}doubt costs 0.05, a gust takes it 4 left and costs 0.04, "
                "a lull takes it 3 right and costs 0.02."
            ),
        ),
        (
            {"committed_m": 183 * YARD_M, "cost_gust": 0.0},
            (
                "In the lull it plays 171, as forecast 176, in gusts 183: commit to 183; "
                "a gust then costs nothing, a lull 0.02."
            ),
        ),
        (
            {"others": ("56, half", "", "3-iron")},
            (
                "In the lull it plays 171 (56, half), in gusts 183 (3-iron): commit to 176; "
                "a gust then costs 0.04, a lull 0.02."
            ),
        ),
    ],
)
def test_the_number_to_settle_on_in_gusts(changes, words):
    held = {
        "winds_mps": (2.0, 4.0, 6.0),
        "numbers_m": (171 * YARD_M, 176 * YARD_M, 183 * YARD_M),
        "committed_m": 176 * YARD_M,
        "sides_m": (0.0, 0.0),
        "over": (0.01, 0.0, 0.02),
        "cost_lull": 0.02,
        "cost_gust": 0.04,
        **changes,
    }
    approach_in_gusts = dataclasses.replace(approach(IRON), commit=Commitment(**held))
    assert commit_words(approach_in_gusts, Units.YARDS) == words
    assert commit_words(approach(IRON), Units.YARDS) == ""
    assert commit_words(approach_in_gusts, Units.METRES).startswith("In the lull it plays 156")


def test_a_club_called_by_a_number_gets_an_article():
    best = option("56, half", 58, quoted=quoted("hole", room=None))
    assert option_sentence(best, approach(best)) == "The 56, half, 58 to carry: finish at the hole."


@pytest.mark.parametrize(
    ("mph", "degrees", "words"),
    [
        (9, 225, "9 mph from the SW"),
        (0.3, 90, "calm"),
        (14, 350, "14 mph from the N"),
        (14, 359.9, "14 mph from the N"),
    ],
)
def test_wind(mph, degrees, words):
    assert wind_words(mph * 0.44704, degrees) == words


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([3], "Round 3"),
        ([1, 2], "Rounds 1 and 2"),
        ([1, 2, 3, 4], "Rounds 1-4"),
        ([1, 3, 4], "Rounds 1, 3 and 4"),
    ],
)
def test_rounds(numbers, words):
    assert rounds_words(numbers) == words


@pytest.mark.parametrize(("yd", "whole"), [(0.5, 1), (-0.5, -1), (0.49, 0), (280.5, 281), (-2.5, -3)])
def test_whole_yards_round_away_from_zero_at_the_half(yd, whole):
    assert Units.YARDS.whole(yd * YARD_M + (1e-9 if yd > 0 else -1e-9)) == whole


def by_table(label, side, cost, word):
    return ByTable(label=label, carry_m=250.0, side_m=side * YARD_M, cost=cost, cost_error=0.01, word=word)


@pytest.mark.parametrize(
    ("other", "words"),
    [
        (
            by_table("3-wood", 2, 0.06, Word.SMALL),
            "By the table alone it would be 3-wood; with your own next shots that costs 0.06 (small).",
        ),
        (
            by_table("driver, the fade", 9.4, 0.12, Word.REAL),
            "By the table alone it would finish 9 further right; that costs 0.12 (real).",
        ),
        (
            by_table("driver, the fade", -7.0, 0.03, Word.SMALL),
            "By the table alone it would finish 7 further left; that costs 0.03 (small).",
        ),
        (by_table("3-wood", 2, 0.01, Word.EVEN), ""),  # what is even is not worth a sentence
        (None, ""),
    ],
)
def test_the_one_stroke_answer_where_it_costs_something(other, words):
    assert table_sentence(decision(DRIVE, WOOD, by_table=other), Units.YARDS) == words


def test_what_a_hole_costs_on_average():
    assert expected_words(decision(DRIVE, WOOD)) == "4.00 on average"
    assert expected_words(decision(note="none")) == ""


def test_a_ball_that_is_better_dropped():
    said = dataclasses.replace(decision(IRON), unplayable=Drop(away_m=14 * YARD_M, back=True, saves=0.314))
    words = "Better unplayable: a stroke and a drop 14 back on the line saves 0.31."
    assert unplayable_words(said, Units.YARDS) == words
    assert brief(said, Units.YARDS).endswith(f"; {words[:-1].lower()}")
    beside = dataclasses.replace(said, unplayable=Drop(away_m=2.0, back=False, saves=0.05))
    assert "within two club-lengths saves 0.05" in unplayable_words(beside, Units.YARDS)
    assert unplayable_words(decision(IRON), Units.YARDS) == ""


def test_how_many_clear_the_trees_is_said_where_some_do_not():
    assert trees_words(decision(changed(IRON, struck=0.16))) == "17 of 20 clear the trees."
    assert trees_words(decision(changed(IRON, struck=0.02))) == ""
    assert trees_words(decision(note="none")) == ""


def test_the_side_of_the_hole_to_putt_from_is_said_where_it_tells():
    def of(**there):
        return dataclasses.replace(decision(IRON), sides=Sides(**there))

    told = of(best="short", worst="long", cost=0.07)
    assert sides_words(told) == "Be short of the hole: a 13-ft putt from beyond it costs 0.07 more."
    assert sides_words(of(best="short", worst="long", cost=0.03)) == ""
    assert sides_words(of(known=False)) == ""
    assert sides_words(decision(IRON)) == ""


def test_what_assumed_tree_heights_cost_in_certainty():
    low = TreesAt(height_m=8.0, strokes=-0.02, label=IRON.option.label, cost=0.0, word=Word.EVEN)
    tall = TreesAt(height_m=22.0, strokes=0.2, label="3-wood", cost=0.12, word=Word.REAL)
    told = dataclasses.replace(decision(IRON), trees=Trees(assumed_m=14.0, low=low, tall=tall))
    assert unknown_trees_words(told, Units.YARDS) == (
        "Tree heights are assumed (15): 9 high the same, 0.02 less; "
        "24 high 3-wood, the answer above then costs 0.12 (real)."
    )
    assert unknown_trees_words(decision(IRON), Units.YARDS) == ""


def need_of(
    n=4, label="3-wood, the fade", *, carry=255, side=0, chance=0.41, best=0.46, price=0.08, worth=True
):
    return Needed(
        n=n,
        label=label,
        carry_m=carry * YARD_M,
        side_m=side * YARD_M,
        plan_chance=chance,
        chance=chance,
        best_chance=best,
        price=price,
        worth_saying=worth,
    )


@pytest.mark.parametrize(
    ("needed", "words"),
    [
        (need_of(), "For 4 or better: 3-wood, the fade instead, chance 46 % against 41 %, costs 0.08."),
        (need_of(worth=False), "For 4 or better play the same shot (41 %)."),
        (
            need_of(label="56, half"),
            "For 4 or better: the 56, half instead, chance 46 % against 41 %, costs 0.08.",
        ),
        (
            need_of(label="driver, the fade", side=-12, price=0.001),
            "For 4 or better: the same, finishing 12 further left, chance 46 % against 41 %, costs nothing.",
        ),
        (
            need_of(label="driver, the fade", side=1, carry=270),
            "For 4 or better: the same, 270 to carry, chance 46 % against 41 %, costs 0.08.",
        ),
    ],
)
def test_a_score_that_is_needed(needed, words):
    assert need_words(needed, decision(DRIVE, WOOD), Units.YARDS) == words


def test_from_further_on_strokes_are_those_that_are_left():
    assert need_words(need_of(3, worth=False), approach(IRON), Units.YARDS) == (
        "To be down in 3 play the same shot (41 %)."
    )


def test_chances_near_none_and_all():
    assert [percent(p) for p in (0.0, 0.004, 0.006, 0.994, 0.996, 1.0)] == [
        "0 %", "under 1 %", "1 %", "99 %", "over 99 %", "100 %",
    ]  # fmt: skip


def test_the_score_of_a_round():
    scores = RoundScores(round=2, holes=18, par=71, likely=0, mean=70.84, tails=(67, 71, 75), chances={})
    words = (
        "Round 2 under this plan, 18 holes, par 71: 70.8 on average, one in ten 67 or better, half 71 or "
        "better, one in ten 75 or worse."
    )
    assert round_words(scores) == words
    likely = dataclasses.replace(scores, likely=4)
    assert round_words(likely) == words + " Hole locations of 4 are likely ones."


@pytest.mark.parametrize(("carry", "said_so"), [(160.0, True), (157.0, True), (178.9, True), (179.5, False)])
def test_a_false_front_is_said_of_shots_that_land_near_it(carry, said_so):
    words = "False front: land 159 or more."
    near = option("8-iron", carry, quoted=quoted("hole"))
    there = dataclasses.replace(decision(near, lie=Lie.FAIRWAY), least_landing_m=159.2 * YARD_M)
    assert (words in answer(there)) is said_so
    assert (words in answers(there)[0]) is said_so
    assert "False front" not in answer(decision(near, lie=Lie.FAIRWAY))


def test_a_false_front_is_not_said_of_shots_that_stay_short_of_the_green():
    away = decision(option("driver", 157.0, quoted=quoted()))
    away = dataclasses.replace(away, least_landing_m=159.2 * YARD_M)
    assert "False front" not in answer(away)
