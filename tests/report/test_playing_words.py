"""When the player's own number is said beside the carry: where it differs by three or more, either way."""

from __future__ import annotations

import pytest

from strategy.report.words.lengths import Units
from strategy.report.words.sentences import brief, carry_words
from tests.plan.hand import decision, option


def number(carry, plays):
    return option("7-iron", carry, plays=plays)


@pytest.mark.parametrize(
    ("plays", "words"),
    [
        (None, "156 to carry"),
        (156, "156 to carry"),
        (158, "156 to carry"),
        (159, "156 to carry, playing 159"),
        (154, "156 to carry"),
        (153, "156 to carry, playing 153"),
        (171, "156 to carry, playing 171"),
    ],
)
def test_a_number_that_plays_three_longer_or_shorter_says_so(plays, words):
    assert carry_words(number(156, plays).option, Units.YARDS) == words


def test_whole_yards_as_they_are_printed_are_compared():
    assert carry_words(number(155.6, 158.6).option, Units.YARDS) == "156 to carry, playing 159"
    assert carry_words(number(156.4, 158.6).option, Units.YARDS) == "156 to carry, playing 159"
    assert carry_words(number(155.6, 158.4).option, Units.YARDS) == "156 to carry"


def test_in_a_few_words_too():
    said = [brief(decision(number(156, plays)), Units.YARDS) for plays in (158, 159)]
    assert ["plays" in words for words in said] == [False, True]
    assert "(plays 159)" in said[1]
