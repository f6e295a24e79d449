"""Where to miss: the side on which a miss costs least, against balls played out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from strategy.codes import Lie, Spot, Surface
from strategy.decide import ground
from strategy.decide.misses import LEAST_SHARE, _ground, misses
from strategy.outcome.play import Choice, play
from strategy.outcome.points import make_points
from strategy.strokes.baseline import Baseline
from tests.worlds import a_shot, squared

SPOT = Spot(0.0, 10.0, Lie.FAIRWAY)
POINTS = make_points(256, 3)
VALUE = 3.1


def hole(*, water_right=False):
    def paint(x, y):
        code = np.full(x.shape, int(Surface.ROUGH))
        code[(x / 11) ** 2 + ((y - 150) / 11) ** 2 < 1] = Surface.GREEN
        if water_right:
            code[(x > 12) & (x < 60) & (np.abs(y - 150) < 40)] = Surface.RED
        return code

    today = squared(260, 200, paint, a_shot("8-iron", 153, 9, 8))
    return ground(today, Baseline(today))


def found(board):
    return misses(board, SPOT, Choice(0, 0.0, 140.0), VALUE, POINTS)


def test_on_an_even_green_both_sides_cost_alike_and_shares_are_those_of_the_balls():
    board = hole()
    by = {m.where: m for m in found(board)}
    assert set(by) == {"short", "long", "left", "right"}
    assert by["left"].strokes == pytest.approx(by["right"].strokes, abs=0.02)
    assert by["left"].share == pytest.approx(by["right"].share, abs=0.03)
    rows = play(board.today, SPOT, Choice(0, 0.0, 140.0), POINTS)
    off = (rows.way == 0) & (rows.lie != Lie.GREEN) & ~rows.returns
    assert sum(m.share for m in by.values()) == pytest.approx(rows.weight[off].sum(), abs=1e-9)


def test_water_makes_its_side_the_dearest_by_more_than_the_penalty_stroke_less_the_rough():
    board = hole(water_right=True)
    order = found(board)
    assert order[-1].where == "right"
    assert order[-1].strokes - order[0].strokes > 0.7
    assert [m.strokes for m in order] == sorted(m.strokes for m in order)


def test_strokes_are_those_of_the_cheapest_way_of_every_ball():
    """All misses together, against `play` and the least of its ways, ball by ball."""
    board = hole(water_right=True)
    to_go = Baseline(board.today)
    rows = play(board.today, SPOT, Choice(0, 0.0, 140.0), POINTS)
    value = np.where(rows.returns, 1.0 + VALUE, to_go(rows.xy, rows.lie) + rows.penalty)
    ways = {}
    for ball, way, weight, v in zip(rows.ball, rows.way, rows.weight, value, strict=True):
        total, mass = ways.get((ball, way), (0.0, 0.0))
        ways[ball, way] = (total + weight * v, mass + weight)
    on_green = set(rows.ball[(rows.lie == Lie.GREEN) & (rows.way == 0)])
    best = {}
    for (ball, _), (total, mass) in ways.items():
        best[ball] = min(best.get(ball, (np.inf, 0.0)), (total / mass, mass))
    missed = [v for ball, v in best.items() if ball not in on_green]
    expected = sum(v * w for v, w in missed)
    got = found(board)
    assert all(m.share >= LEAST_SHARE for m in got)
    assert sum(m.share for m in got) == pytest.approx(sum(w for _, w in missed), abs=LEAST_SHARE)
    # A field in single precision at cell centres, against exact places: a few hundredths of a ball's strokes.
    assert sum(m.share * m.strokes for m in got) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("codes", "weights", "word"),
    [
        ((Surface.BUNKER, Surface.ROUGH, Surface.ROUGH), (0.4, 0.3, 0.3), ""),  # a few balls are not most
        ((Surface.BUNKER, Surface.ROUGH, Surface.ROUGH), (0.6, 0.2, 0.2), "sand"),
        ((Surface.YELLOW, Surface.RED, Surface.ROUGH), (0.3, 0.3, 0.4), "wet"),
        ((Surface.OUT, Surface.OFF_MAP, Surface.FAIRWAY), (0.3, 0.2, 0.5), "out"),
        ((Surface.TREES, Surface.RED, Surface.ROUGH), (0.4, 0.35, 0.25), ""),
    ],
)
def test_a_miss_is_named_by_what_at_least_half_of_it_lies_in(codes, weights, word):
    assert _ground(np.array(codes, dtype=np.uint8), np.array(weights)) == word
