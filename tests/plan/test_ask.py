"""One shot: the three ways to say where from, and what is refused with which words."""

from __future__ import annotations

import pytest

from strategy.codes import Lie
from strategy.course.playline import along_side, front_point, point_at
from strategy.errors import RequestError
from strategy.plan import plan_course
from strategy.plan.advice.decision import set_up
from strategy.plan.ask import ask, place
from strategy.units import YARD_M
from tests.plan.hand import changed


@pytest.fixture(scope="module")
def bench(course, player, week):
    """The par 4, with its hole location of round 1."""
    hole = course.hole("3")
    return set_up(hole, player, week, 1, ("3", "4"), tuple(hole.line[-1]))


def lonlat(bench, side, before_green):
    """Longitude,latitude of a place beside the line of play, as a user writes it. [m]"""
    line = bench.today.line
    depth = along_side(line, line[-1:])[0, 1] - before_green
    lon, lat = bench.hole.frame.to_lonlat(point_at(line, side, depth))[0]
    return f"{lon:.7f},{lat:.7f}"


@pytest.mark.slow
def test_from_the_tee_is_the_tee_shot_of_the_plan(course, player, week):
    asked = ask(course, player, week, "3", "tee", round=1)
    planned = plan_course(course, player, week, jobs=1, holes=["3"], rounds=[1])
    tee = planned.hole("3").rounds[0].locations[0].tee
    assert asked.location == "14 on, 5 from the left"
    assert asked.given
    # The chances of the scores are counted in plans only.
    scored = changed(asked.decision.options[0], score_chances=tee.first.score_chances)
    assert (scored, *asked.decision.options[1:]) == tee.options


@pytest.mark.parametrize("text", ["142 front", "142front", " 142 yd to the front ", "129.8448 m front"])
def test_so_far_to_the_front_is_on_the_line_of_play_in_the_fairway(bench, text):
    spot = place(bench, text, "")
    front = front_point(bench.hole.green, bench.today.line)
    side, depth = along_side(bench.today.line, (spot.x, spot.y))[0]
    ahead = along_side(bench.today.line, front)[0, 1]
    assert spot.lie is Lie.FAIRWAY
    assert side == pytest.approx(0.0, abs=1e-6)
    assert (ahead - depth) / YARD_M == pytest.approx(142.0, abs=1e-3)


def test_a_bare_distance_is_in_the_units_asked_for(bench):
    metres, yards = place(bench, "130 front", "", 1.0), place(bench, "130 front", "")
    depth = along_side(bench.today.line, [(s.x, s.y) for s in (metres, yards)])[:, 1]
    assert depth[1] - depth[0] == pytest.approx(130 * (1 - YARD_M), abs=1e-6)


def test_a_place_takes_the_lie_of_its_ground_unless_one_is_stated(bench):
    fairway = lonlat(bench, 0.0, 120.0)
    assert place(bench, fairway, "").lie is Lie.FAIRWAY
    assert place(bench, fairway.replace(",", " "), "poor rough").lie is Lie.ROUGH_POOR
    assert place(bench, lonlat(bench, -30.0, 120.0), "").lie in (Lie.ROUGH_GOOD, Lie.RECOVERY)


@pytest.mark.parametrize(
    ("origin", "lie", "said"),
    [
        (
            "over there",
            "",
            'no place to play from; write "tee", a distance as "142 front", or longitude,latitude',
        ),
        ("", "", "no place to play from"),
        ("0 front", "", "is on the green, .* ft from the hole: it is a putt, 2.* on average"),
        ("900 front", "", "behind the tee"),
        ("200,95", "", "no longitude,latitude in degrees"),
        ("3.0,55.9", "", "beyond the mapped ground, miles from the hole: a ball there is lost"),
        ("142 front", "mud", "lie 'mud' is unknown; use one of: tee, fairway"),
    ],
)
def test_what_cannot_be_played_from_is_said(bench, origin, lie, said):
    with pytest.raises(RequestError, match=said):
        place(bench, origin, lie)


def test_swapped_coordinates_are_guessed(bench):
    lon, lat = lonlat(bench, 0.0, 120.0).split(",")
    with pytest.raises(RequestError, match="Are the two numbers swapped"):
        place(bench, f"{lat},{lon}", "")


def test_no_shot_from_out_of_bounds_nor_from_water(bench, course, player, week):
    with pytest.raises(RequestError, match="is out of bounds; play again from where the stroke was played"):
        place(bench, lonlat(bench, 40.0, 120.0), "")
    hole = course.hole("4")
    over = set_up(hole, player, week, 1, ("3", "4"), tuple(hole.line[-1]))
    with pytest.raises(RequestError, match="penalty area; give the place of the drop"):
        place(over, "20 front", "")


def test_another_hole_location_and_none(course, player, week):
    moved = ask(course, player, week, "3", "120 front", pin="20 on, 6 from the right")
    assert moved.location == "20 on, 6 from the right"
    assert moved.decision.spot.lie is Lie.FAIRWAY
    assert moved.decision.green.front_m / YARD_M == pytest.approx(120.0, abs=0.5)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"hole": "9"}, "has no hole '9'; its holes are 3, 4"),
        ({"round": 7}, "has no round 7; its rounds are 1, 2"),
        ({"pin": "60 on, centre"}, "the green is .* yd deep"),
        ({"pin": "back left"}, "cannot be read; write it like"),
    ],
)
def test_what_is_not_there_is_listed(course, player, week, given, said):
    with pytest.raises(RequestError, match=said):
        ask(course, player, week, **{"hole": "3", "origin": "tee", **given})


def test_a_score_that_is_needed_is_answered_from_the_spot(course, player, week):
    """More strokes are more likely enough, the advice stays what it is, and unasked nothing is said."""
    plain = ask(course, player, week, "3", "150 front", round=1)
    assert plain.decision.needs == ()
    found = {n: ask(course, player, week, "3", "150 front", round=1, need=n).decision for n in (2, 3)}
    for n, decision in found.items():
        assert decision.options == plain.decision.options
        (needed,) = decision.needs
        assert needed.n == n
        assert needed.plan_chance <= needed.chance <= needed.best_chance
        assert needed.worth_saying or needed.label == decision.first.label
    assert found[2].needs[0].chance < found[3].needs[0].chance
