"""Hole 12 of the demo: the shot lands where the ground of the hole lets a ball stay, in all four rounds."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.codes import Surface
from strategy.outcome.play import finishes, well_struck
from strategy.outcome.points import make_points
from strategy.plan.advice.decision import set_up
from strategy.report.words.depths import Depth, plan_words
from strategy.report.words.lengths import Units
from strategy.units import YARD_M

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def rounds(demo_plan):
    """Tee decision of each round, and the hole as it is then."""
    made, course, player, week = demo_plan
    labels = tuple(h.label for h in course.holes)
    found = []
    for part in made.hole("12").rounds:
        (cut,) = part.locations
        bench = set_up(course.hole("12"), player, week, part.rounds[0], labels, cut.cut.xy)
        found.append((part.rounds, cut.tee, bench.today.with_pin(cut.cut.xy)))
    return found


def test_each_rounds_shot_lands_past_the_cover_of_its_false_front(rounds):
    assert sorted(n for numbers, _, _ in rounds for n in numbers) == [1, 2, 3, 4]
    for _, tee, here in rounds:
        assert tee.least_landing_m == pytest.approx(here.least_landing_from(here.tee_spot))
        assert tee.first.carry_m >= tee.least_landing_m
        assert tee.green.front_m + 3 * YARD_M < tee.least_landing_m < tee.green.front_m + 6 * YARD_M


def test_a_well_struck_ball_stays_on_the_green_and_one_that_lands_short_of_the_cover_comes_back(rounds):
    for _, tee, here in rounds:
        spot, choice = here.tee_spot, tee.first.choice
        _, end = well_struck(here, spot, choice)
        assert here.surface_at(end)[0] == Surface.GREEN
        row, col, _ = here.cells(end[None])
        cell = int(row[0]) * here.surface.shape[1] + int(col[0])
        assert here.rolls_to[cell] == cell
        # Balls of the same shot, by where they land: hardly any past the cover comes back off the front.
        balls = finishes(here, spot, choice, make_points(512, 3))
        landed = np.hypot(*(balls.landing - here.tee).T)[:512]
        on = here.surface_at(balls.landing[:512]) == Surface.GREEN
        ahead = (np.asarray(here.hole) - here.tee) / np.hypot(*np.subtract(here.hole, here.tee))
        back = (balls.surface[:512] != Surface.GREEN) & ((balls.rest[:512] - here.tee) @ ahead < landed)
        past, short = on & (landed > tee.least_landing_m), on & (landed < tee.least_landing_m - 2.0)
        assert past.sum() > 200
        assert np.mean(back[past]) < 0.03
        if short.sum() >= 10:
            assert np.mean(back[short]) > 0.5


def test_on_level_ground_the_same_balls_would_stay(rounds):
    """The check can fail: without the false front balls that land on the first paces do not come back."""
    _, tee, here = rounds[0]
    level = dataclasses.replace(here, height=None, rolls_to=None)
    balls = finishes(level, here.tee_spot, tee.first.choice, make_points(512, 3))
    landed = np.hypot(*(balls.landing - here.tee).T)[:512]
    on = here.surface_at(balls.landing[:512]) == Surface.GREEN
    short = on & (landed < tee.least_landing_m - 2.0)
    assert short.sum() >= 10
    assert np.mean(balls.surface[:512][short] == Surface.GREEN) > 0.9


def test_the_cover_stands_in_the_usual_words_and_in_the_file(demo_plan, rounds):
    made = demo_plan[0]
    told = " ".join(plan_words(made, Units.YARDS, Depth.USUAL, holes=["12"]).split())
    for _, tee, _ in rounds:
        if tee.first.carry_m < tee.least_landing_m + 10 * YARD_M:
            assert f"False front: land {round(tee.least_landing_m / YARD_M)} or more." in told
    assert "False front: land" in told
    assert '"least_landing_m"' in made.to_json()
