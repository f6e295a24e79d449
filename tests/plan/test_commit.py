"""The number to settle on in gusts, in a decision and in plan.json."""

from __future__ import annotations

import dataclasses
import json

import numpy as np
import pytest

from strategy.decide.commit import Commitment
from strategy.plan.ask import ask
from strategy.plan.codec import from_data, rounded, to_data
from strategy.plan.document import Decision, Role
from strategy.units import MPH_MPS
from strategy.week.model import WindHour
from tests.plan.hand import decision, option

COMMIT = Commitment(
    winds_mps=(2.0, 4.5, 7.0),
    numbers_m=(156.3624, 160.9344, 167.3352),
    committed_m=160.9344,
    sides_m=(-1.25, 1.5),
    over=(0.0123, 0.0, None),
    cost_lull=0.02,
    cost_gust=0.04,
    others=("", "", "5-iron"),
)


@pytest.fixture(scope="module")
def windy(course, player, week):
    """One decision on the par 4, in a wind that blows against its approach, or turned from there."""

    def asked(mph, gust, *, origin="150 front", turn=0.0, doubt=1.0, **week_changes):
        east, north = course.hole("3").line[-1] - course.hole("3").line[-2]
        ahead = float(np.degrees(np.arctan2(east, north)) % 360.0)
        wind = WindHour(hour=9.0, speed_mps=mph * MPH_MPS, gust_mps=gust * MPH_MPS, blows_from=ahead + turn)
        rounds = (dataclasses.replace(week.rounds[0], wind=(wind,)),)
        blown = dataclasses.replace(week, rounds=rounds, **week_changes)
        who = dataclasses.replace(player, doubtful_swing=doubt)
        return ask(course, who, blown, "3", origin).decision

    return asked


def test_an_approach_in_gusts_settles_on_its_number(windy):
    found = windy(8, 12)
    lull, forecast, gust = found.commit.numbers_m
    assert lull < forecast < gust
    assert found.first.plays_m == pytest.approx(forecast, abs=0.01)
    assert lull <= found.commit.committed_m <= gust
    assert found.commit.winds_mps == pytest.approx([4 * MPH_MPS, 8 * MPH_MPS, 12 * MPH_MPS], abs=1e-3)
    assert found.commit.cost_doubt is None
    with_it = windy(8, 12, turn=180.0).commit
    assert with_it.numbers_m[0] > with_it.numbers_m[2]


def test_a_player_who_states_what_doubt_does_is_told_its_cost(windy):
    assert windy(8, 12, doubt=1.3).commit.cost_doubt > 0.01


def test_nothing_is_settled_where_there_is_no_choice(windy):
    assert windy(8, 10).commit is None  # gusts add 2 mph
    assert windy(8, 12, as_stated=True).commit is None  # wind is not in the numbers
    tee = windy(8, 12, origin="tee")
    assert tee.options[0].quoted.full
    assert tee.commit is None  # a full drive goes as far as it goes


def test_it_reads_back_exactly_and_a_plan_from_before_has_none():
    plain = decision(option(), role=Role.MIDDLE)
    held = rounded(dataclasses.replace(plain, commit=COMMIT))
    text = json.dumps(to_data(held))
    assert from_data(Decision, json.loads(text)) == held
    before = json.loads(text)
    del before["commit"]
    assert from_data(Decision, before) == rounded(plain)
    older = json.loads(text)
    del older["commit"]["others"]
    assert from_data(Decision, older).commit.others == ("", "", "")
    del before["stroke"]  # was there from the start
    with pytest.raises(ValueError, match="stroke"):
        from_data(Decision, before)
