"""Heads: rounds, wind, markers, where a shot is played from, scores of holes and rounds."""

from __future__ import annotations

import dataclasses

import pytest

from strategy.codes import Lie
from strategy.plan.document import Role
from strategy.plan.quoted import RoundScores
from strategy.report.words.head_words import (
    expected_words,
    from_words,
    markers_words,
    round_words,
    rounds_words,
    wind_words,
)
from strategy.report.words.lengths import Units
from strategy.units import MPH_MPS, YARD_M
from tests.plan.hand import decision, location, option
from tests.report.words.reading import in_order


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
    assert wind_words(mph * MPH_MPS, degrees) == words


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


def test_markers_stand_up_back_or_in_their_place():
    said = [markers_words(up * YARD_M, Units.YARDS) for up in (22, -5, 0.4)]
    assert said == ["markers 22 up", "markers 5 back", ""]


def test_where_a_shot_is_played_from():
    fairway = decision(option(), role=Role.MIDDLE, lie=Lie.FAIRWAY, front=145)
    assert from_words(fairway, location(), Units.YARDS) == "145 front, 14 on, fairway"
    assert from_words(fairway, location(), Units.METRES) == "133 front, 13 on, fairway"
    rough = decision(option(), role=Role.LEFT, lie=Lie.ROUGH_GOOD, front=150)
    assert from_words(rough, None, Units.YARDS) == "150 front, good rough"


def test_what_a_hole_costs_on_average_and_how_it_is_scored():
    tee = decision(option())
    assert expected_words(tee) == "4.00 on average"
    assert expected_words(decision(note="none")) == ""
    scored = dataclasses.replace(
        tee, score_counts={"birdie": 2, "par": 16, "bogey": 1, "double bogey or worse": 1}
    )
    assert in_order(
        expected_words(scored), "of 20", "2 birdies", "16 pars", "1 bogey,", "1 double bogey or worse"
    )
    worse = dataclasses.replace(tee, score_counts={"bogey": 18, "double bogey or worse": 2})
    assert in_order(expected_words(worse), "18 bogeys", "2 double bogeys or worse")


def test_the_score_of_a_round():
    scores = RoundScores(round=2, holes=18, par=71, likely=0, mean=70.84, tails=(67, 71, 75), chances={})
    words = round_words(scores)
    assert in_order(
        words, "Round 2", "18 holes", "par 71", "70.8", "67 or better", "71 or better", "75 or worse"
    )
    likely = round_words(dataclasses.replace(scores, likely=4))
    assert likely.startswith(words)
    assert "4 are likely" in likely
    assert "1 hole," in round_words(dataclasses.replace(scores, holes=1))
