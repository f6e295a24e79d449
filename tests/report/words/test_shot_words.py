"""One option in words: which numbers it says, in which order, and which it leaves out."""

from __future__ import annotations

import pytest

from strategy.codes import Lie
from strategy.plan.document import Role
from strategy.report.words.decision_words import brief
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import carry_words, option_sentence
from strategy.units import YARD_M
from tests.plan.hand import decision, option, quoted, reach, start
from tests.report.words.reading import in_order, numbers
from tests.report.words.shots import DRIVE, FAR, IRON


def off_the_tee(best, units=Units.YARDS):
    return option_sentence(best, decision(best), units)


def from_the_fairway(best, units=Units.YARDS):
    return option_sentence(best, decision(best, role=Role.MIDDLE, lie=Lie.FAIRWAY), units)


def test_a_tee_shot_and_an_approach_word_for_word():
    assert off_the_tee(DRIVE) == (
        "Driver, the fade, finish 6 right of the middle, start at the left edge of the far left bunker, "
        "281 to carry it."
    )
    assert from_the_fairway(IRON) == "7-iron, 156 to carry: finish 4 left of the hole, 3 past."


def test_a_number_is_said_of_every_shot_but_a_full_tee_shot_on_level_ground():
    assert numbers(off_the_tee(option("driver", 285, quoted=quoted(side=6)))) == ["6"]
    assert numbers(off_the_tee(option("5-iron", 192, quoted=quoted(full=False)))) == ["192"]
    assert numbers(from_the_fairway(option("5-iron", 200, quoted=quoted()))) == ["200"]
    assert numbers(off_the_tee(option("8-iron", 150, quoted=quoted("hole", room=None)))) == ["150"]
    up = off_the_tee(option("driver", 264, quoted=quoted(side=6), rise=13.0, plays=280))
    assert in_order(up, "264 to carry", "13 up", "playing 280", "6 right of the middle")


@pytest.mark.parametrize(
    ("rise", "plays", "said"),
    [
        (5.0, 161, ["156", "5", "161"]),
        (-12.0, 145, ["156", "12", "145"]),
        (2.0, 158, ["156", "2"]),  # the number itself from 3 on
        (5.0, 155, ["156", "5"]),  # what helps makes up for it
        (1.4, 157, ["156"]),
        (0.0, None, ["156"]),
        (0.0, 159, ["156", "159"]),
        (0.0, 154, ["156"]),
        (0.0, 153, ["156", "153"]),
        (0.0, 171, ["156", "171"]),
    ],
)
def test_height_from_two_and_the_number_it_plays_from_three(rise, plays, said):
    best = option("7-iron", 156, quoted=quoted("hole", -4, 3, room=None), rise=rise, plays=plays)
    words = from_the_fairway(best)
    assert numbers(words) == [*said, "4", "3"]
    assert (" up" in words, " down" in words) == (rise >= 2.0, rise <= -2.0)
    assert ("playing" in words) == (len(said) > 1 and said[-1] == str(plays))
    short = brief(decision(best, role=Role.LEFT, lie=Lie.FAIRWAY), Units.YARDS)
    assert numbers(short) == numbers(words)  # half a line says no other numbers


def test_whole_yards_as_they_are_printed_are_compared():
    said = [
        numbers(carry_words(option("7-iron", carry, plays=plays).option, Units.YARDS))
        for carry, plays in ((155.6, 158.6), (156.4, 158.6), (155.6, 158.4))
    ]
    assert said == [["156", "159"], ["156", "159"], ["156"]]


def test_metres():
    assert numbers(from_the_fairway(IRON, Units.METRES)) == ["143", "4", "3"]


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
    assert from_the_fairway(best).endswith(f": finish {words}.")


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
    assert off_the_tee(option(quoted=quoted(of, side))).endswith(f", finish {words}.")


def test_a_start_that_nothing_marks_is_told_from_the_finish():
    words = off_the_tee(option(quoted=quoted(side=-7, begin=start(side=13))))
    assert in_order(words, "finish 7 left", "start 6 right of the middle")
    same = off_the_tee(option(quoted=quoted(side=-7, begin=start(side=7))))
    assert same.endswith("start at the middle.")
    assert "start" not in off_the_tee(option(quoted=quoted(side=-7, begin=start(side=0.3))))
    assert "start at the chimney" in off_the_tee(option(quoted=quoted(begin=start("the chimney"))))


@pytest.mark.parametrize(
    ("reaches", "words"),
    [
        ([reach("the water", "carry", 66, 166)], ("166 to carry the water",)),
        ([reach("the left bunker", "reach", 302, 322)], ("302 to reach the left bunker",)),
        (
            [reach("the right bunkers", "beside", 279, 296)],
            ("279 to reach the right bunkers", "296 to carry them"),
        ),
        ([reach("the right water", "along", 200, 330)], ("the right water all along",)),
        (  # two things at most
            [reach("the left bunker", "carry", 250, 260), FAR, reach("the water", "reach", 310, 330)],
            ("260 to carry the left bunker", "281 to carry the far left bunker"),
        ),
    ],
)
def test_numbers_of_sand_and_water(reaches, words):
    text = off_the_tee(option(quoted=quoted(reaches=reaches)))
    assert in_order(text, *words)
    assert numbers(text) == numbers(" ".join(words))


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
    begin = start(what, "left edge")
    text = off_the_tee(option(quoted=quoted(begin=begin, reaches=[reach(what, kind, 279, 296)])))
    assert text.endswith(f"start at the left edge of {what}, {words}.")
    other = off_the_tee(option(quoted=quoted(begin=begin, reaches=[reach("the pond", kind, 279, 296)])))
    assert "the pond" in other


def test_water_on_the_shots_own_line_says_so():
    own = reach("the water", "carry", 210, 228, own_line=True)
    assert "228 to carry the water on that line" in off_the_tee(option(quoted=quoted(reaches=[own])))


def test_a_club_called_by_a_number_gets_an_article():
    best = option("56, half", 58, quoted=quoted("hole", room=None))
    assert from_the_fairway(best).startswith("The 56, half, 58 to carry")


@pytest.mark.parametrize(("yd", "whole"), [(0.5, 1), (-0.5, -1), (0.49, 0), (280.5, 281), (-2.5, -3)])
def test_whole_yards_round_away_from_zero_at_the_half(yd, whole):
    assert Units.YARDS.whole(yd * YARD_M + (1e-9 if yd > 0 else -1e-9)) == whole
