"""Where to miss: the side on which an error costs least, against balls played out by hand."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_shot, of_demo, squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field, options, solve
from strategy.decide.misses import LEAST_SHARE, _ground, misses
from strategy.outcome.play import Choice, play
from strategy.outcome.points import make_points
from strategy.strokes.baseline import Baseline

SPOT = Spot(0.0, 10.0, Lie.FAIRWAY)
POINTS = make_points(256, 3)
VALUE = 3.1
STROKE = Choice(0, 0.0, 140.0)


def hole(*, water_right=False, pin=(0.0, 150.0), sand_short=False):
    def paint(x, y):
        code = np.full(x.shape, int(Surface.ROUGH))
        if sand_short:
            code[(np.abs(x) < 12) & (y > 130) & (y < 141)] = Surface.BUNKER
        code[(x / 11) ** 2 + ((y - 150) / 11) ** 2 < 1] = Surface.GREEN
        if water_right:
            code[(x > 12) & (x < 60) & (np.abs(y - 150) < 40)] = Surface.RED
        return code

    today = squared(260, 200, paint, a_shot("8-iron", 153, 9, 8), hole=pin)
    turn = np.arange(0.0, 2.0 * np.pi, 0.1)
    green = np.column_stack((11 * np.sin(turn), 150 + 11 * np.cos(turn)))
    today = dataclasses.replace(today, green=green)
    return cost_field(today, Baseline(today))


def found(field, choice=STROKE):
    return misses(field, SPOT, choice, VALUE, POINTS)


def test_on_an_even_green_both_sides_cost_alike_and_shares_are_those_of_the_balls():
    field = hole()
    by = {m.where: m for m in found(field)}
    assert set(by) == {"short", "long", "left", "right"}
    assert by["left"].strokes == pytest.approx(by["right"].strokes, abs=0.02)
    assert by["left"].share == pytest.approx(by["right"].share, abs=0.03)
    rows = play(field.today, SPOT, STROKE, POINTS)
    off = (rows.way == 0) & (rows.lie != Lie.GREEN) & ~rows.returns
    assert sum(m.share for m in by.values()) == pytest.approx(rows.weight[off].sum(), abs=1e-9)


def test_water_makes_its_side_the_dearest():
    order = found(hole(water_right=True))
    assert order[-1].where == "right"
    assert order[-1].ground == "wet"
    # One penalty stroke less what the drop is nearer by; 0.69 here, 0.02 of it sampling.
    assert order[-1].strokes - order[0].strokes > 0.65
    assert [m.strokes for m in order] == sorted(m.strokes for m in order)


@pytest.mark.parametrize(
    ("codes", "balls", "word"),
    [
        ((Surface.BUNKER, Surface.ROUGH), (2, 3), ""),  # a few balls are not most
        ((Surface.BUNKER, Surface.ROUGH), (3, 2), "sand"),
        ((Surface.YELLOW, Surface.RED, Surface.ROUGH), (3, 3, 4), "wet"),
        ((Surface.OUT, Surface.OFF_MAP, Surface.FAIRWAY), (3, 2, 5), "out"),
        ((Surface.TREES, Surface.RED, Surface.ROUGH), (8, 7, 5), ""),
    ],
)
def test_a_miss_is_named_by_what_at_least_half_of_it_lies_in(codes, balls, word):
    assert _ground(np.repeat(codes, balls).astype(np.uint8)) == word


@pytest.mark.parametrize(
    ("pin", "near", "far"),
    [((8.0, 150.0), "right", "left"), ((-8.0, 150.0), "left", "right"), ((0.0, 142.0), "short", "long")],
)
def test_the_short_side_loses_though_its_misses_finish_nearer_the_hole(pin, near, far):
    """The hole 3 m from an edge, the ball sent 2 m inside it: strokes by distance and lie alone.

    The published strokes know no short side: balls that just miss there are near the hole, so cheap. The same
    error the other way stays on the green.
    """
    field = hole(pin=pin)
    centre = np.array([0.0, 150.0])
    aim = np.asarray(pin) + 2.0 * (centre - pin) / np.hypot(*(centre - pin))
    out = aim - (SPOT.x, SPOT.y)
    choice = Choice(0, float(np.degrees(np.arctan2(*out))), float(np.hypot(*out)))
    told = found(field, choice)
    assert [m.where for m in told if m.short_side] == [near]
    order = [m.where for m in told]
    assert order.index(far) < order.index(near)
    assert order[0] != near


def test_both_sides_are_played_from_the_same_errors():
    """Left and right against balls played out one by one, their errors turned over by hand."""
    field = hole(pin=(8.0, 150.0))
    today = field.today
    size = POINTS.size
    turned = dataclasses.replace(POINTS, core=POINTS.core * (-1.0, 1.0))
    to_go = Baseline(today)

    def worth(points):
        rows = play(today, SPOT, STROKE, points)
        mine = (rows.way == 0) & (rows.ball < size)
        value = np.where(rows.returns, 1.0 + VALUE, to_go(rows.xy, rows.lie) + rows.penalty)[mine]
        total = np.zeros(size)
        np.add.at(total, rows.ball[mine], value * rows.weight[mine])
        mass = np.zeros(size)
        np.add.at(mass, rows.ball[mine], rows.weight[mine])
        x = np.zeros(size)
        x[rows.ball[mine]] = rows.xy[mine, 0]
        y = np.zeros(size)
        y[rows.ball[mine]] = rows.xy[mine, 1]
        return total / mass, x, y

    (here, x, y), (there, _, _) = worth(POINTS), worth(turned)
    sideways = (np.abs(x) - 11.0 > np.abs(y - 150.0) - 11.0) & (np.hypot(x, y - 150.0) > 11.0)
    right = np.where(x > 0.0, here, there)[sideways].mean()
    left = np.where(x < 0.0, here, there)[sideways].mean()
    by = {m.where: m.strokes for m in found(field)}
    # A field in single precision at cell centres, against exact places; a ball on an edge may change sides.
    assert by["right"] == pytest.approx(right, abs=0.02)
    assert by["left"] == pytest.approx(left, abs=0.02)
    assert abs(left - right) > 0.05


def test_nobody_misses_past_a_green_that_is_not_reached():
    by = {m.where: m for m in found(hole(), Choice(0, 0.0, 122.0))}
    assert "short" in by
    assert "long" not in by
    assert all(m.share >= LEAST_SHARE for m in by.values())


def test_sand_in_front_is_named():
    by = {m.where: m for m in found(hole(sand_short=True))}
    assert by["short"].ground == "sand"
    assert by["long"].ground == ""


@pytest.mark.slow
def test_with_shots_of_ones_own_the_short_side_loses_too():
    """A par 3 of the demo course, the hole cut 5 from the right: the whole hole knows chips."""
    today = of_demo("4", 2)
    whole = solve(today)
    field = cost_field(today, whole)
    best = options(today, today.tee_spot, whole, laid_out=field)[0]
    by = {m.where: m for m in misses(field, today.tee_spot, best.choice, best.strokes, POINTS)}
    assert by["left"].strokes < by["right"].strokes
