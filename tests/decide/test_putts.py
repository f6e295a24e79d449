"""Which side of the hole to be on: below it where the green falls, nowhere where it is not known."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide.putts import sides
from strategy.strokes.greens import Greens

BALL = Spot(0.0, 0.0, Lie.FAIRWAY)


def green(fall_x=0.0, fall_y=0.0):
    """A green round a hole due north whose ground rises by so much a metre east and north."""

    def paint(x, y):
        return np.where(np.hypot(x, y - 150) < 14, int(Surface.GREEN), int(Surface.FAIRWAY))

    today = squared(240, 100, paint, a_shot("any", 150, 6, 6), hole=(0.0, 150.0))
    if fall_x == fall_y == 0.0:
        return today
    x, y = np.moveaxis(today.centres(), -1, 0)
    return dataclasses.replace(today, height=(fall_x * x + fall_y * y).astype(np.float32), stimp_ft=12.0)


@pytest.mark.parametrize(
    ("fall", "below", "above"),
    [((0.0, 0.03), "short", "long"), ((0.0, -0.03), "long", "short"), ((0.03, 0.0), "left", "right")],
)
def test_below_the_hole_is_the_side_to_be_on(fall, below, above):
    """Common practice; physics facts, section 5: 0.03 to 0.08 of a putt at 20 ft on fast sloping greens."""
    today = green(*fall)
    there = sides(today, Greens(today), BALL)
    assert there.known
    assert there.best == below
    assert there.worst in (above, *({"left", "right"} if below in ("short", "long") else {"short", "long"}))
    assert 0.02 < there.cost < 0.2


def test_unknown_heights_are_said_to_be_unknown():
    today = green()
    assert not sides(today, Greens(today), BALL).known
