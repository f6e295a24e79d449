"""Sloping stances word for word: said from 2 yd of aim and 3 yd of number, and not before."""

from __future__ import annotations

import pytest

from strategy.codes import Lie
from strategy.outcome.stance import Stance
from strategy.report.words.decision_words import answer, answers
from strategy.report.words.lengths import Units
from strategy.report.words.stance_words import aside_words, lie_of_the_ground, stance_words
from strategy.units import YARD_M
from tests.plan.hand import decision, option, quoted


def a_stance(side=0.0, number=0.0, ahead=0.0, right=0.0, above=True):
    return Stance(ahead=ahead, right=right, above=above, side_m=side * YARD_M, number_m=number * YARD_M)


@pytest.mark.parametrize(
    ("stance", "words"),
    [
        (None, ""),
        (a_stance(side=-1.9, number=2.9, ahead=0.06, right=0.01), ""),
        (a_stance(side=-2.1, right=0.02), "Ball above the feet: it goes 2 left, aim 2 right for it."),
        (
            a_stance(side=6.4, right=-0.05, above=False),
            "Ball below the feet: it goes 6 right, aim 6 left for it.",
        ),
        (a_stance(number=3.2, ahead=0.09), "Uphill lie: 3 more, in the number."),
        (a_stance(number=-3.6, ahead=-0.08), "Downhill lie: 4 less, in the number."),
        (a_stance(number=4.0, ahead=-0.08), "Downhill lie: 4 more, in the number."),
        (
            a_stance(side=-6.0, number=4.0, ahead=0.05, right=0.05, above=False),
            "Ball below the feet: it goes 6 left, aim 6 right for it. Uphill lie: 4 more, in the number.",
        ),
    ],
)
def test_what_is_said_of_a_stance(stance, words):
    assert stance_words(stance, Units.YARDS) == words


def test_in_metres_whole_metres_are_said():
    stance = a_stance(side=-10.0, right=0.05)
    assert aside_words(stance, Units.METRES) == "Ball above the feet: it goes 9 left, aim 9 right for it."


def test_it_follows_the_first_answer_and_no_other():
    sloped = a_stance(side=-6.0, right=0.05)
    best, other = (
        option(club, 150.0, cost=cost, quoted=quoted("hole"), stance=sloped)
        for club, cost in (("8-iron", 0.0), ("7-iron", 0.3))
    )
    found = decision(best, other, lie=Lie.FAIRWAY)
    assert "Ball above the feet" in answer(found, Units.YARDS)
    first, second = answers(found, Units.YARDS)
    assert first.endswith("Ball above the feet: it goes 6 left, aim 6 right for it.")
    assert "feet" not in second


@pytest.mark.parametrize(
    ("ahead", "right", "words"),
    [
        (0.05, 0.05, "uphill, above the feet"),
        (-0.02, 0.0, "downhill"),
        (0.0, -0.03, "above the feet"),
        (0.01, -0.01, "nearly level"),
    ],
)
def test_how_the_ball_lies_on_the_ground(ahead, right, words):
    assert lie_of_the_ground(a_stance(ahead=ahead, right=right)) == words
