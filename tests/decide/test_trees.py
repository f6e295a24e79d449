"""Decisions among trees: sanity case K, the other shape round a corner, a tree moved across the line."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide import options, solve
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import make_points
from strategy.outcome.today import Canopy
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M

BALL = Spot(0.0, 0.0, Lie.RECOVERY)
WALL_M = (58.0, 62.0)  # of trees across the line, open for 4 m in the middle


def among_trees(x, y):
    """A wood behind the ball, fairway in front, a green round the hole 170 yd out."""
    code = np.full(x.shape, int(Surface.FAIRWAY))
    code[y < 40] = Surface.TREES
    code[(y > WALL_M[0]) & (y < WALL_M[1])] = Surface.TREES
    code[np.hypot(x, y - 170 * YARD_M) < 13] = Surface.GREEN
    return code


def case_k(side_yd):
    """170 out: a low shot that leaves 110, under branches; a 7-iron that leaves 18 if it finds the gap."""
    shots = (
        a_shot("7-iron", 152, side_yd, 3, mishit_share=0.0),
        a_shot("chip-out", 60, 2, 2, mishit_share=0.0),
    )
    shots = (shots[0], dataclasses.replace(shots[1], apex_m=2.0))
    today = squared(260, 120, among_trees, *shots, hole=(0.0, 170 * YARD_M))
    x, y = np.moveaxis(today.centres(), -1, 0)
    wall = (y > WALL_M[0]) & (y < WALL_M[1]) & (np.abs(x) > 2.0)
    canopy = Canopy.of(
        np.where(wall, 45.0, 0.0), np.where(wall, 3.0, 0.0), today.cell_m, crown_m=0.05, stems_m=1e9
    )
    return dataclasses.replace(today, canopy=canopy)


def gap_chance(today):
    points = make_points(4096, 1)
    straight = Choice(0, 0.0, float(today.shots.carry[0, Lie.RECOVERY, 0]))
    return float((finishes(today, BALL, straight, points).flown[:4096] == 1.0).mean())


# Side s.d. at 152 yd that sends so many through 4 m at 60 m: 2 m / z, times 139 / 60 (z = .674, 1.2816).
@pytest.mark.parametrize(
    ("side_yd", "chance", "answer"),
    [(7.5, 0.5, "chip-out"), (10.0, 0.39, "chip-out"), (3.95, 0.8, "7-iron"), (2.6, 0.95, "7-iron")],
)
def test_case_k_through_the_gap_if_eight_in_ten_pass_and_out_sideways_if_five_do(side_yd, chance, answer):
    """NUMERICS 15, case K (agreed by experienced people): chip out at 50 % or less, go at 80 % or more."""
    today = case_k(side_yd)
    assert gap_chance(today) == pytest.approx(chance, abs=0.03)
    found = options(today, BALL, Baseline(today))
    assert found[0].club == answer
    assert {o.club for o in found} == {"chip-out", "7-iron"}


def test_case_k_turns_once_between():
    answers = [options(t, BALL, Baseline(t))[0].club for t in map(case_k, np.linspace(2.6, 10.0, 9))]
    assert answers[0] == "7-iron"
    assert answers[-1] == "chip-out"
    assert sum(a != b for a, b in itertools.pairwise(answers)) == 1


FADE, DRAW = "driver, the fade", "driver, the draw"
TREE_M = 90.0


def two_shapes(tree_x):
    """A straight hole, a stock fade and a wider draw, and one tall tree 90 m out."""

    def paint(x, y):
        code = np.full(x.shape, int(Surface.ROUGH))
        code[np.abs(x) < 18] = Surface.FAIRWAY
        code[np.hypot(x, y - 400) < 14] = Surface.GREEN
        return code

    shots = (
        a_shot("driver", 270, 12, 10, bend=22, run=10, name="the fade"),
        a_shot("driver", 270, 16, 10, bend=-22, run=10, name="the draw"),
        *(a_shot(f"{c}", c, 0.05 * c, 0.05 * c, dial=0.08, run=4) for c in (175, 150, 128, 105)),
    )
    today = squared(480, 160, paint, *shots, hole=(0.0, 400.0))
    if tree_x is None:
        return today
    x, y = np.moveaxis(today.centres(), -1, 0)
    crown = np.hypot(x - tree_x, y - TREE_M) < 4.0
    canopy = Canopy.of(np.where(crown, 60.0, 0.0), 0.0 * y, today.cell_m, crown_m=1.0)
    return dataclasses.replace(today, canopy=canopy)


@pytest.fixture(scope="module")
def open_hole():
    return solve(two_shapes(None))


def answer(tree_x, open_hole):
    """Best shot from the tee; what follows is as on the open hole, for the tree stands behind it."""
    today = two_shapes(tree_x)
    whole = dataclasses.replace(open_hole, today=dataclasses.replace(today, surface=open_hole.today.surface))
    return options(whole.today, whole.today.tee_spot, whole)[0].label


def test_the_other_shape_round_a_tree_and_the_stock_shot_when_it_is_clear(open_hole):
    """The fade starts left: 90 m out it is 22 yd x (0.36 - 0.13) = 4.7 m left, the draw as far right."""
    assert answer(None, open_hole) == FADE
    assert answer(-5.0, open_hole) == DRAW
    assert answer(5.0, open_hole) == FADE
    assert answer(30.0, open_hole) == FADE


def test_a_tree_moved_into_the_line_changes_the_answer_once(open_hole):
    answers = [answer(x, open_hole) for x in np.arange(-35.0, -4.0, 5.0)]
    assert answers[0] == FADE
    assert answers[-1] == DRAW
    assert sum(a != b for a, b in itertools.pairwise(answers)) == 1
