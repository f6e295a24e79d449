"""The kernels against the specification: `play` in plain numpy, ball by ball."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.course.maps.rolloff import roll_off
from strategy.decide.aims import Aims, sums
from strategy.decide.cost_field import cost_field
from strategy.decide.kernels.relief import crossing, relief_value
from strategy.outcome.play import Choice, last_crossing, play
from strategy.outcome.points import make_points
from strategy.outcome.relief import legal_drops
from strategy.outcome.today import Canopy
from strategy.strokes.baseline import Baseline


class AtCells:
    """A way of counting strokes that knows no more than the map: it answers for the centre of the cell."""

    def __init__(self, today, to_go):
        self.today, self.to_go = today, to_go

    def __call__(self, xy, lie):
        row, col, _ = self.today.cells(np.asarray(xy, dtype=float))
        centre = np.column_stack((col, row)) + 0.5
        return self.to_go(np.asarray(self.today.corner) + centre * self.today.cell_m, lie)

    def field(self, today):
        return self.to_go.field(today)


def value_by_rows(outcomes, to_go, again):
    """(a, p) of a stroke from its rows: each ball is worth its cheapest way."""
    worth = outcomes.penalty + to_go(outcomes.xy, outcomes.lie)
    keys = np.stack((outcomes.ball, outcomes.way), axis=1)
    ways, inverse = np.unique(keys, axis=0, return_inverse=True)
    inverse = inverse.ravel()
    back = np.zeros(len(ways), dtype=bool)
    back[inverse] |= outcomes.returns
    weight = np.bincount(inverse, outcomes.weight)
    mean = np.bincount(inverse, outcomes.weight * worth) / weight
    a = p = 0.0
    for ball in np.unique(ways[:, 0]):
        mine = np.flatnonzero(ways[:, 0] == ball)
        onward = [mean[i] for i in mine if not back[i]]
        if onward and min(onward) <= again:
            a += weight[mine[0]] * min(onward)
        else:
            p += weight[mine[0]]
    return a, p


def trouble(x, y):
    """A green with sand, a red lake along the right, a yellow pond in front, out of bounds far left."""
    code = np.full(x.shape, int(Surface.ROUGH))
    code[np.abs(x) < 15] = Surface.FAIRWAY
    code[np.abs(np.abs(x) - 16.0) < 1.0] = Surface.FIRST_CUT
    code[(x < -35) & (y > 60)] = Surface.TREES
    code[(x > 20 + 4 * np.sin(y / 9.0)) & (y > 90)] = Surface.RED
    code[((x + 3) / 17) ** 2 + ((y - 122) / 9) ** 2 < 1] = Surface.YELLOW
    code[(x / 13) ** 2 + ((y - 150) / 14) ** 2 < 1] = Surface.GREEN
    code[((x - 15) / 4) ** 2 + ((y - 143) / 7) ** 2 < 1] = Surface.BUNKER
    code[((x + 16) / 4) ** 2 + ((y - 158) / 6) ** 2 < 1] = Surface.BUNKER
    code[x < -55] = Surface.OUT
    code[(y > 215) | (y < -30)] = Surface.OFF_MAP
    return code


def a_wood(centres):
    """A wood to each side, one tall tree in the way and one whose branches a low ball passes under."""
    x, y = centres[..., 0], centres[..., 1]
    top = np.where((x < -30) | (x > 45), 14.0, 0.0)
    base = np.where(top > 0, 2.0, 0.0)
    for tree_x, tree_y, radius, tall, branches in ((0, 60, 6, 30, 0), (-14, 110, 8, 9, 4), (6, 140, 3, 5, 0)):
        crown = np.hypot(x - tree_x, y - tree_y) < radius
        top, base = np.where(crown, tall, top), np.where(crown, branches, base)
    return Canopy.of(top, base, 0.5, crown_m=6.0, stems_m=40.0)


@pytest.fixture(scope="module", params=["flat", "hilly", "wooded", "all at once"])
def world(request):
    shots = (
        a_shot("long", 175, 9, 8, run=12, dial=0.1, bend=12, bias_side_m=1.0),
        a_shot("mid", 150, 6, 6, run=4, dial=0.1, bend=-8, tilt=0.3),
        a_shot("back", 135, 5, 6, run=-6, dial=0.1),
        a_shot("none", 120, 4, 5, run=0, dial=0.1),
    )
    today = squared(280, 180, trouble, *shots, hole=(4.0, 152.0), zones=(("drop zone", -20.0, 118.0),))
    table = today.shots
    table.run_sd[..., [1, 2, 3, 5]] = 1.3
    table.rise[:, ..., 0], table.rise[:, ..., 1] = -0.9, 0.01
    centres = today.centres()
    height = 3.0 * np.sin(centres[..., 0] / 25.0) + 0.05 * centres[..., 1]
    if request.param in ("hilly", "all at once"):
        today = dataclasses.replace(today, height=height.astype(np.float32))
    if request.param in ("wooded", "all at once"):
        today = dataclasses.replace(today, canopy=a_wood(centres))
    if request.param == "all at once":
        table.fall[..., [1, 3, 5]] = 9.0
        table.short[2] = True
        table.shrink[2] = 0.6
        rolls_to = roll_off(today.height, today.surface, today.cell_m, 14.0)
        assert (rolls_to != np.arange(rolls_to.size)).sum() > 20
        today = dataclasses.replace(today, rolls_to=rolls_to)
    return today, AtCells(today, Baseline(today))


@pytest.mark.parametrize("seed", range(24))
def test_expected_strokes_equal_the_specification_on_random_spots(world, seed):
    today, to_go = world
    field = cost_field(today, to_go)
    rng = np.random.default_rng(seed)
    spot = Spot(float(rng.uniform(-40, 15)), float(rng.uniform(-10, 60)), Lie.FAIRWAY)
    heading = math.degrees(math.atan2(4 - spot.x, 152 - spot.y)) + rng.uniform(-9, 9)
    shot = int(rng.integers(4))
    carry = float(today.shots.carry[shot, 1, 0] * rng.uniform(0.85, 1.0))
    points = make_points(64, seed)
    again = 1.0 + float(to_go(np.array([spot[:2]]), np.array([1]))[0])
    outcomes = play(today, spot, Choice(shot, heading, carry), points)
    a, p = value_by_rows(outcomes, to_go, again)
    aims = Aims.of([Choice(shot, heading, carry)])
    exact = np.ascontiguousarray(points.stacked.T)
    result = sums(field, spot, aims, exact, again)
    assert result.onward[0] == pytest.approx(a, abs=2e-6)
    assert result.returning[0] == pytest.approx(p, abs=1e-9)
    # float32 arithmetic moves a ball by at most 0.1 mm: a cell's edge is crossed by one ball in 10,000.
    quick = sums(field, spot, aims, points, again)
    assert quick.onward[0] + 3 * quick.returning[0] == pytest.approx(a + 3 * p, abs=2e-3)


@given(
    x=st.floats(19.0, 45.0),
    y=st.floats(95.0, 200.0),
    bend=st.floats(-25.0, 25.0),
    from_x=st.floats(-40.0, 10.0),
)
def test_crossing_point_equals_the_specification(world, x, y, bend, from_x):
    today, to_go = world
    if today.surface_at((x, y))[0] != Surface.RED:
        return
    field = cost_field(today, to_go)
    spot = Spot(from_x, 0.0, Lie.FAIRWAY)
    rest = np.array([x, y])
    expected = last_crossing(today, spot, rest, rest, np.asarray(bend))
    at = crossing(
        field.packed, field.rows, field.columns,
        *field.cells(from_x, 0.0), *field.cells(x, y), *field.cells(x, y), bend / today.cell_m,
    )  # fmt: skip
    row, col = at // field.columns - 1, at % field.columns - 1
    centre = np.asarray(today.corner) + (np.array([col, row]) + 0.5) * today.cell_m
    assert expected is not None
    np.testing.assert_allclose(centre, expected, atol=1e-9)


@pytest.mark.parametrize("colour", [Surface.YELLOW, Surface.RED])
@pytest.mark.parametrize("seed", range(5))
def test_relief_is_worth_the_best_of_the_listed_drops(world, colour, seed):
    today, to_go = world
    field = cost_field(today, to_go)
    rng = np.random.default_rng(seed)
    col, row = int(rng.integers(200, 240)), int(rng.integers(280, 440))
    x = (today.corner[0] + (col + 0.5) * today.cell_m, today.corner[1] + (row + 0.5) * today.cell_m)
    drops = legal_drops(today, x, colour)
    values = to_go.field(today)
    r, c, _ = today.cells(np.array([(d.x, d.y) for d in drops]))
    expected = 1.0 + np.nanmin(values[r, c])
    value = relief_value(
        field.values, field.rows, field.columns, today.cell_m, *field.hole, today.longest_club_m,
        field.zones, *field.cells(*x), colour == Surface.RED,
    )  # fmt: skip
    assert value == pytest.approx(expected, abs=1e-5)
