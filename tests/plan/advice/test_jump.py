"""A lie that may jump: its number is shorter than from a clean lie, and the plan says so."""

from __future__ import annotations

import dataclasses

import pytest

from strategy.codes import Lie, Surface
from strategy.course.playline import along_side, point_at
from strategy.demofiles import demo
from strategy.plan.advice.decision import decide, set_up
from strategy.plan.ask import ask
from strategy.plan.codec import from_data, rounded, to_data
from strategy.plan.document import Decision, Role
from strategy.player import read_player
from strategy.report.words.fact_words import jump_words
from strategy.report.words.lengths import Units
from strategy.report.words.plan_text import asked_text
from strategy.units import YARD_M
from strategy.week import read_week


@pytest.fixture(scope="module")
def bag():
    return read_player(demo().player)


@pytest.fixture(scope="module")
def days():
    return read_week(demo().week)


@pytest.fixture(scope="module")
def bench(course, bag, days):
    hole = course.hole("3")
    return set_up(hole, bag, days, 1, ("3", "4"), tuple(hole.line[-1]))


def asked(course, bag, days, lie, yards=145):
    return ask(course, bag, days, "3", f"{yards} front", lie=lie)


@pytest.mark.slow
@pytest.mark.parametrize(
    "yards", [pytest.param(120, marks=pytest.mark.slow), 145, pytest.param(170, marks=pytest.mark.slow)]
)
def test_the_number_from_a_jumper_is_shorter_than_from_a_clean_lie(course, bag, days, yards):
    clean, jumper = (asked(course, bag, days, lie, yards).decision for lie in ("fairway", "jumper"))
    best = [d.first for d in (clean, jumper)]
    assert best[1].plays_m < best[0].plays_m - 3 * YARD_M
    assert clean.jump is None
    assert jumper.jump.plays_m < jumper.jump.clean_m - 3 * YARD_M
    # The shot of the advice may be another that costs the same; the number is of the same finish.
    assert jumper.jump.plays_m == pytest.approx(best[1].plays_m, abs=10 * YARD_M)


def test_the_plan_says_so(course, bag, days):
    may = asked(course, bag, days, "good rough")
    words = jump_words(may.decision, Units.YARDS)
    own, clean = (Units.YARDS.whole(v) for v in (may.decision.jump.plays_m, may.decision.jump.clean_m))
    assert words == (
        f"If it jumps: {may.decision.jump.label} playing {own}, {clean - own} shorter than from a clean lie."
    )
    assert words in " ".join(asked_text(may).split())
    assert may.decision.jump.plays_m < may.decision.first.plays_m


def test_an_edge_of_the_landing_in_the_rough_says_so_too(bench):
    line = bench.today.line
    depth = along_side(line, line[-1:])[0, 1] - 150 * YARD_M
    for side in (-26.0, -30.0, 26.0, 30.0):
        x, y = point_at(line, side, depth)[0]
        if int(bench.today.surface_at((x, y))[0]) == Surface.ROUGH:
            break
    assert int(bench.today.surface_at((x, y))[0]) == Surface.ROUGH
    spot = bench.today.tee_spot._replace(x=float(x), y=float(y), lie=Lie.ROUGH_GOOD)
    field, _ = bench.lay_out(bench.today.hole)
    found = decide(bench, field, spot, Role.LEFT, 2)
    assert found.jump is not None
    assert from_data(Decision, to_data(rounded(found))) == rounded(found)
    none = dataclasses.replace(
        field, today=dataclasses.replace(field.today, lie_chance=_without_jumpers(bench.today))
    )
    assert decide(bench, none, spot, Role.LEFT, 2).jump is None


def _without_jumpers(today):
    chance = today.lie_chance.copy()
    chance[:, Lie.ROUGH_GOOD] += chance[:, Lie.JUMPER]
    chance[:, Lie.JUMPER] = 0.0
    return chance


def test_a_player_without_a_shot_from_a_jumper_is_told_nothing_of_it(course, bag, days):
    shots = tuple(dataclasses.replace(s, lies=s.lies - {Lie.JUMPER}) for s in bag.shots)
    without = dataclasses.replace(bag, shots=shots)
    assert asked(course, without, days, "good rough").decision.jump is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("lie", "where", "lies"),
    [
        ("may jump", "a lie that may jump", [Lie.ROUGH_GOOD, Lie.JUMPER]),
        ("rough", "rough not seen yet", [Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER]),
    ],
)
def test_a_lie_not_seen_is_one_swing_for_all_and_says_what_seeing_is_worth(
    course, bag, days, lie, where, lies
):
    """Chances are the week's: 9, 7 and 4 of 20, or 14 and 6 of those that look good."""
    found = asked(course, bag, days, lie)
    lines = " ".join(asked_text(found).split())
    mix = found.decision.unseen
    assert [one.lie for one in mix.lies] == lies
    assert [one.of_20 for one in mix.lies] == ([9, 7, 4] if len(lies) == 3 else [14, 6])
    assert f"to the hole, {where}." in lines
    assert f"With the lie seen first it is {mix.known:.2f}, {mix.costs:.2f} less:" in lines
    assert mix.costs == pytest.approx(found.decision.first.strokes - mix.known, abs=0.011)
    assert found.decision.jump is None
    assert "If it jumps" not in lines


def test_a_score_that_is_needed_asks_for_the_lie(course, bag, days):
    from strategy.errors import RequestError

    with pytest.raises(RequestError, match="hangs on the lie"):
        ask(course, bag, days, "3", "145 front", lie="may jump", need=3)


def test_a_week_without_jumpers_says_that_none_jumps(course, bag, days):
    from strategy.errors import RequestError

    calm = dataclasses.replace(days, rough_chances=(0.6, 0.4, 0.0))
    with pytest.raises(RequestError, match="no ball jumps this week"):
        asked(course, bag, calm, "may jump")
