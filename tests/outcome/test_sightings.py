"""Sightings: which count on a hole, what they change, and what is said of those that do not."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.codes import Lie
from strategy.demofiles import demo
from strategy.outcome.sightings import seen, shot_of
from strategy.outcome.weather import launches, table_in, weather
from strategy.player import read_player
from strategy.player.defaults import LIE_EFFECTS
from strategy.week.firmness import parse_sighting
from strategy.week.model import Round, Week

SOFT, FIRM = "7-iron released 1 pace", "7-iron released 9 paces"


@pytest.fixture(scope="module")
def player():
    return dataclasses.replace(read_player(demo().player), lie_effects=LIE_EFFECTS)


def ground(player, week=(), round_=(), label="1", chances=(0.5, 0.35, 0.15)):
    played = Round(number=1, sightings=tuple(map(parse_sighting, round_)))
    whole = Week(
        name="w", rounds=(played,), sightings=tuple(map(parse_sighting, week)), rough_chances=chances
    )
    return seen(player, launches(player).calm, whole, played, label)


def test_what_was_seen_on_one_hole_rules_there_and_counts_nowhere_else(player):
    both = (SOFT, f"hole 7: {FIRM}")
    assert ground(player, both, label="7").green == ground(player, (FIRM,)).green
    assert ground(player, both, label="8").green == ground(player, (SOFT,)).green
    alone = (f"hole 7: {FIRM}",)
    assert ground(player, alone, label="8").green == 0.0
    assert any("greens taken as normal" in text for text in ground(player, alone, label="8").said)
    assert not any("greens taken as normal" in text for text in ground(player, alone, label="7").said)


def test_a_round_replaces_the_week_only_for_the_same_kind_of_ground(player):
    week = (SOFT, "driver ran 30", "9-iron from rough came out 85 %")
    plain, fresh = ground(player, week), ground(player, week, (FIRM,))
    assert fresh.green == ground(player, (FIRM,)).green
    assert fresh.green > plain.green
    assert fresh.fairway == plain.fairway != 0.0
    assert fresh.carry == plain.carry != {}


def test_the_hole_rules_over_the_round_and_the_round_over_the_week(player):
    def at_7(week=(), round_=()):
        return ground(player, week, round_, label="7").green

    middle = "7-iron released 5 paces"
    assert at_7((f"hole 7: {SOFT}",), (FIRM,)) == at_7((SOFT,))
    assert at_7((f"hole 7: {SOFT}",), (FIRM, f"hole 7: {middle}")) == at_7((middle,))


def test_several_sightings_of_one_kind_are_averaged(player):
    both = ground(player, (SOFT, FIRM)).green
    assert ground(player, (SOFT,)).green < both < ground(player, (FIRM,)).green


# ------------------------------------------------------------------------------------ out of the rough


@pytest.mark.parametrize("share", [70, 85, 90])
def test_a_ball_that_came_out_short_sets_the_mean_of_good_and_poor_lies(player, share):
    found = ground(player, (f"9-iron from rough came out {share} %",)).carry
    mean = np.average([found[Lie.ROUGH_GOOD], found[Lie.ROUGH_POOR]], weights=[0.5, 0.35])
    assert mean == pytest.approx(share / 100.0)
    assert found[Lie.ROUGH_GOOD] / found[Lie.ROUGH_POOR] == pytest.approx(0.96 / 0.85)
    assert Lie.JUMPER not in found


def test_a_ball_that_came_out_long_was_a_jumper(player):
    assert ground(player, ("9-iron from rough came out 108 %",)).carry == {Lie.JUMPER: 1.08}
    both = ground(player, ("9-iron from rough came out 110 %", "8-iron from rough flew 80 %")).carry
    assert set(both) == {Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER}


def test_a_good_lie_is_never_better_than_a_clean_one(player):
    found = ground(player, ("9-iron from rough came out 99 %",)).carry
    assert found[Lie.ROUGH_GOOD] == 1.0
    assert found[Lie.ROUGH_POOR] < 1.0


def test_rough_that_is_all_jumpers_scales_both_lies_alike(player):
    found = ground(player, ("9-iron from rough came out 80 %",), chances=(0.0, 0.0, 1.0)).carry
    assert np.mean([found[Lie.ROUGH_GOOD], found[Lie.ROUGH_POOR]]) == pytest.approx(0.8)


def test_what_came_out_of_the_rough_reaches_every_club_from_those_lies_alone(player):
    played = Round(number=1)
    week = Week(name="w", rounds=(played,))
    wet = dataclasses.replace(week, sightings=(parse_sighting("9-iron from rough came out 75 %"),))
    usual, thick = (table_in(player, weather(player, w, played, "1", 0)) for w in (week, wet))
    for lie in Lie:
        full = ~usual.short  # round the green lies have effects of their own
        shorter = thick.carry[full, lie] / usual.carry[full, lie]
        if lie in (Lie.ROUGH_GOOD, Lie.ROUGH_POOR):
            assert (shorter < 0.9).all()
        else:
            assert (shorter == 1.0).all()


# ------------------------------------------------------------------------------- clubs, what is said


@pytest.mark.parametrize(
    ("said", "label"),
    [
        ("7-iron", "7-iron"),
        ("7 Iron", "7-iron"),
        ("7i", "7-iron"),
        ("PW", "pitching wedge"),
        ("4-iron, the low one", "4-iron, the low one"),
        ("4-iron", "4-iron"),
        ("driver", "driver, the fade"),
        ("lob wedge, half", "lob wedge, half"),
        ("2-iron", None),
        ("the old blade", None),
    ],
)
def test_clubs_as_a_caddie_calls_them(player, said, label):
    i = shot_of(player, said)
    assert (None if i is None else player.shots[i].label) == label


def test_a_club_that_is_not_in_the_bag_is_said_with_the_clubs_that_are(player):
    found = ground(player, ("2-iron ran 20", SOFT))
    assert found.fairway == 0.0
    (text,) = (t for t in found.said if "does not count" in t)
    assert text.startswith('"2-iron ran 20" does not count: there is no 2-iron among driver, 3-wood, ')
    assert text.endswith("lob wedge")
    rough = ground(player, ("2-iron from rough came out 60 %",))
    assert rough.carry == {}
    assert any("does not count" in t for t in rough.said)


def test_a_run_that_no_ground_gives_is_said(player):
    found = ground(player, ("sand wedge released 60 paces",))
    assert any("was it a slope, or another shot?" in text for text in found.said)


def test_the_stock_shot_of_a_club_is_meant_whichever_stands_first(player):
    """The 3-wood's draw carries further than its stock shot, the fade, and so stands before it."""
    assert player.shots[shot_of(player, "3-wood")].label == "3-wood, the fade"
