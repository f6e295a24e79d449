"""Ground that does not hold a ball, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from strategy.ball.ground import stopping_slope
from strategy.codes import Surface
from strategy.outcome.settle import settling

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
    assert settling(*ramp(0.9 * limit), CELL, stimp) is None
    to = settling(*ramp(1.3 * limit), CELL, stimp)
    middle = 30 * 8 + 4
    assert 16 * 8 <= to[middle] < 22 * 8  # at the foot of the ramp, where it is level again
    assert to[10 * 8 + 4] == 10 * 8 + 4  # level ground holds
    assert to[50 * 8 + 4] == 50 * 8 + 4


def test_longer_grass_holds_what_mown_grass_does_not():
    assert settling(*ramp(0.15, surface=Surface.ROUGH), CELL, 12.0) is None
    assert settling(*ramp(0.15, surface=Surface.FAIRWAY), CELL, 12.0) is None  # under 18.7 %
    assert settling(*ramp(0.25, surface=Surface.FAIRWAY), CELL, 12.0) is not None


def test_a_ball_that_runs_into_sand_stays_there():
    height, surface = ramp(0.12, steep=(10, 50))
    surface[24:27] = Surface.BUNKER
    to = settling(height, surface, CELL, 11.0)
    assert (to[40 * 8 + 4] // 8) == 26


def test_no_ball_runs_in_a_circle():
    rng = np.random.default_rng(1)
    height = rng.normal(0.0, 0.3, (40, 40)).cumsum(axis=0).cumsum(axis=1).astype(np.float32) * 0.05
    to = settling(height, np.full((40, 40), int(Surface.GREEN), dtype=np.uint8), CELL, 13.0)
    assert (to[to[to]] == to[to]).all()
    assert (height.ravel()[to] <= height.ravel() + 0.2).all()
