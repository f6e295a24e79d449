"""The ball the next shot is planned from: a typical one, on the ground it is said to lie on."""

from __future__ import annotations

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Surface
from strategy.decide.finish import leave_of
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import merged

BALLS = merged(128, 18, 4)


def left_by(paint):
    """What a drive of 230 m leaves on squared paper, and its balls."""
    today = squared(420, 200, paint, a_shot("driver", 251, 14, 12), hole=(0.0, 380.0))
    ends = [finishes(today, today.tee_spot, Choice(0, 0.0, 229.5), BALLS)]
    return today, leave_of(today, ends), ends[0]


def striped(x, y):
    """Rough, with a small bunker and a strip of first cut just where the middle of the balls lies."""
    code = np.full(x.shape, int(Surface.ROUGH))
    code[np.abs(x) < 1.5] = Surface.FIRST_CUT
    code[np.hypot(x, y - 230) < 3.0] = Surface.BUNKER
    return code


def test_the_middle_is_played_from_the_lie_that_most_balls_near_it_have():
    """The median ball itself lies in the bunker, where one ball in ten does."""
    _, leave, end = left_by(striped)
    sand = float(end.weight[end.surface == Surface.BUNKER].sum())
    assert 0.01 < sand < 0.1
    assert leave.middle.lie is Lie.ROUGH_GOOD
    assert np.hypot(leave.middle.x, leave.middle.y - 229.0) < 8.0


@pytest.mark.parametrize("side", ["middle", "left", "right"])
def test_place_and_lie_agree_and_a_ball_lies_there(side):
    def paint(x, y):
        code = striped(x, y)
        code[x > 9] = Surface.BUNKER
        code[x < -9] = Surface.FAIRWAY
        return code

    today, leave, end = left_by(paint)
    spot = getattr(leave, side)
    ground = int(today.surface_at((spot.x, spot.y))[0])
    assert spot.lie == int(np.argmax(today.lie_chance[ground]))
    assert np.hypot(*(end.rest - (spot.x, spot.y)).T).min() < 1e-9
    assert leave.left.lie is Lie.FAIRWAY
    assert leave.right.lie is Lie.SAND


def test_what_is_left_is_counted_to_the_front():
    today, leave, end = left_by(lambda x, y: np.full(x.shape, int(Surface.FAIRWAY)))
    front = np.asarray(today.front_xy)
    assert np.hypot(*(front - today.hole)) > 10.0
    away = np.hypot(*(end.rest - front).T)
    low, high = leave.to_front_m
    assert end.weight[away < low].sum() == pytest.approx(0.1, abs=0.005)
    assert end.weight[away > high].sum() == pytest.approx(0.1, abs=0.005)
