"""Ground that does not hold a ball: by hand, and as a caddie's words have it."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.ball.ground import stopping_slope
from strategy.codes import Lie, Spot, Surface
from strategy.course.green_sketch import GreenSketch
from strategy.course.maps.rolloff import roll_off
from strategy.course.playline import front_point, last_leg
from strategy.demofiles import demo
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import scrambles
from strategy.outcome.setup import today
from strategy.player import read_player
from strategy.units import YARD_M
from tests.plan.drawn import straight
from tests.worlds import a_week

CELL = 0.5


def ramp(slope, *, surface=Surface.GREEN, length=60, steep=(20, 40)):
    """A lane that rises northwards by `slope` between two rows, level before and behind."""
    rise = np.zeros(length)
    rise[steep[0] : steep[1]] = slope * CELL
    height = np.tile(np.cumsum(rise)[:, None], (1, 8)).astype(np.float32)
    return height, np.full(height.shape, int(surface), dtype=np.uint8)


@pytest.mark.parametrize("stimp", [8.0, 10.0, 12.0])
def test_a_ball_stays_on_what_holds_it_and_leaves_what_does_not(stimp):
    """Physics facts, section 5: no ball stops above 9.9 / 7.9 / 6.5 % at 8 / 10 / 12 ft."""
    limit = float(stopping_slope(stimp))
    assert roll_off(*ramp(0.9 * limit), CELL, stimp) is None
    to = roll_off(*ramp(1.3 * limit), CELL, stimp)
    middle = 30 * 8 + 4
    assert 16 * 8 <= to[middle] < 22 * 8  # at the foot of the ramp, where it is level again
    assert to[10 * 8 + 4] == 10 * 8 + 4  # level ground holds
    assert to[50 * 8 + 4] == 50 * 8 + 4


def test_longer_grass_holds_what_mown_grass_does_not():
    assert roll_off(*ramp(0.15, surface=Surface.ROUGH), CELL, 12.0) is None
    assert roll_off(*ramp(0.15, surface=Surface.FAIRWAY), CELL, 12.0) is None  # under 18.7 %
    assert roll_off(*ramp(0.25, surface=Surface.FAIRWAY), CELL, 12.0) is not None


def test_a_ball_that_runs_into_sand_stays_there():
    height, surface = ramp(0.12, steep=(10, 50))
    surface[24:27] = Surface.BUNKER
    to = roll_off(height, surface, CELL, 11.0)
    assert (to[40 * 8 + 4] // 8) == 26


def test_no_ball_runs_in_a_circle():
    rng = np.random.default_rng(1)
    height = rng.normal(0.0, 0.3, (40, 40)).cumsum(axis=0).cumsum(axis=1).astype(np.float32) * 0.05
    to = roll_off(height, np.full((40, 40), int(Surface.GREEN), dtype=np.uint8), CELL, 13.0)
    assert (to[to[to]] == to[to]).all()
    assert (height.ravel()[to] <= height.ravel() + 0.2).all()


@pytest.mark.slow
@pytest.mark.parametrize("stimp", [9.0, 11.0, 12.5])
@pytest.mark.parametrize("club", ["lob wedge", "pitching wedge", "9-iron", "7-iron"])
def test_a_ball_that_lands_on_a_false_front_in_words_comes_back(club, stimp):
    """Said of the first 5 yards. Of 8,192 balls 1,000 or more land there: a share of 0.9 is sure to 0.02."""
    five = 5.0 * YARD_M
    hole = dataclasses.replace(straight(), sketch=GreenSketch(false_front_m=five))
    week = dataclasses.replace(a_week(), as_stated=False, stimp_ft=stimp)
    here = today(hole, read_player(demo().player), week)
    front, (ahead, _) = np.asarray(front_point(hole.green, here.line)), last_leg(hole.line)
    shot = here.shots.clubs.index(club)
    carry = float(here.shots.at(shot, int(Lie.FAIRWAY), 0.0).carry)
    start = front + ahead * (0.5 * five - carry)
    spot = Spot(float(start[0]), float(start[1]), Lie.FAIRWAY)
    ends = [finishes(here, spot, Choice(shot, 0.0, carry), p) for p in scrambles(2048, 3, 2)]
    landing, rest = (np.vstack([getattr(e, name) for e in ends]) for name in ("landing", "rest"))
    on = ((landing - front) @ ahead) / five
    green = here.surface_at(landing) == Surface.GREEN
    back = (here.surface_at(rest) != Surface.GREEN) & ((rest - front) @ ahead < 0.5 * five)
    assert back[green & (on > 0.0) & (on < 1.0)].mean() > 0.9
    assert back[green & (on > 1.4) & (on < 2.0)].mean() < 0.06
