"""Drops on hand-worked cases (Rules of Golf 2023, Rules 17.1d and 18.1; definitions of relief area)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.outcome.play import Choice, last_crossing, play
from strategy.outcome.points import Points
from strategy.outcome.relief import legal_drops

HOLE = (0.0, 150.0)
CELL = 0.5
ONE_BALL = Points(
    core=np.zeros((1, 2)),
    mishit=np.zeros((1, 2)),
    core_run=np.zeros(1),
    mishit_run=np.zeros(1),
    core_pass=np.ones(1),
    mishit_pass=np.ones(1),
)


def front_pond(colour):
    """Water from 100 to 130 straight across, 20 short of the hole."""

    def paint(x, y):
        code = np.full(x.shape, int(Surface.FAIRWAY))
        code[(y > 100) & (y < 130)] = colour
        return code

    return squared(260, 160, paint, a_shot("iron", 120, 5, 5), hole=HOLE)


def side_lake(colour=Surface.RED):
    """Water right of x = 10, all along."""

    def paint(x, _y):
        code = np.full(x.shape, int(Surface.FAIRWAY))
        code[x > 10] = colour
        return code

    return squared(300, 160, paint, a_shot("iron", 150, 5, 5), hole=(0.0, 200.0))


def test_ball_that_flies_into_a_front_pond_crossed_its_near_edge():
    today = front_pond(Surface.YELLOW)
    x = last_crossing(
        today, Spot(0, 0, Lie.FAIRWAY), np.array([0.0, 115.0]), np.array([0.0, 115.0]), np.array(0.0)
    )
    assert x == pytest.approx((0.25, 99.75), abs=CELL)
    drops = legal_drops(today, x, Surface.YELLOW)
    assert {d.rule for d in drops} == {"back on the line"}
    nearest = min(math.hypot(d.x - x[0], d.y - x[1]) for d in drops)
    assert nearest == 0.0  # the line starts at X itself
    # every drop is on the hole -> X line extended, and X stays between hole and drop
    for d in drops:
        assert math.dist((d.x, d.y), HOLE) >= math.dist(x, HOLE) - 1e-9
        assert abs((d.x - HOLE[0]) * (x[1] - HOLE[1]) - (d.y - HOLE[1]) * (x[0] - HOLE[0])) < 1e-6


def test_ball_that_carries_and_rolls_back_crossed_the_far_edge():
    today = front_pond(Surface.RED)
    x = last_crossing(
        today, Spot(0, 0, Lie.FAIRWAY), np.array([0.0, 133.0]), np.array([0.0, 128.0]), np.array(0.0)
    )
    assert x == pytest.approx((0.25, 130.25), abs=CELL)
    drops = legal_drops(today, x, Surface.RED)
    # Back on the line: over the water to its near bank, about 30 m back; nothing on the far bank but X.
    on_line = [d for d in drops if d.rule == "back on the line"]
    assert all(d.y < 100.0 or d.y >= x[1] - CELL for d in on_line)
    assert any(d.y < 100.0 for d in on_line)
    # Lateral: not nearer the hole, two club-lengths: under 0.1 m2 of far bank is left, a sliver.
    assert not [d for d in drops if d.rule == "lateral"]


@pytest.mark.parametrize("bend", [12.0, -12.0])
def test_side_lake_with_a_bending_flight_uses_the_track_not_the_chord(bend):
    today = side_lake()
    spot, rest = Spot(0, 0, Lie.FAIRWAY), np.array([14.0, 180.0])
    true = last_crossing(today, spot, rest, rest, np.array(bend))
    chord = last_crossing(today, spot, rest, rest, np.array(0.0))
    # The parabola x(u) = 14 u + bend (u^2 - u) meets x = 10 where bend u^2 + (14 - bend) u = 10.
    u = (-(14 - bend) + math.sqrt((14 - bend) ** 2 + 40 * bend)) / (2 * bend)
    assert true[1] == pytest.approx(180 * u, abs=2.5)
    assert chord[1] == pytest.approx(180 * 10 / 14, abs=2.5)
    assert abs(true[1] - chord[1]) > 15.0


def test_lateral_relief_is_two_club_lengths_not_nearer_the_hole():
    today = side_lake()
    x = (9.75, 120.25)
    drops = [d for d in legal_drops(today, x, Surface.RED) if d.rule == "lateral"]
    reach = 2 * today.longest_club_m
    assert drops
    for d in drops:
        assert math.dist((d.x, d.y), x) <= reach
        assert math.dist((d.x, d.y), today.hole) >= math.dist(x, today.hole)
        assert d.x < 10.0
    # The best is the full two club-lengths away from the water (2.3 m, less the ball's own room).
    assert max(9.75 - d.x for d in drops) == pytest.approx(reach, abs=0.45)


def test_yellow_has_no_lateral_relief_and_a_drop_zone_is_one_more_choice():
    today = squared(
        300, 160, lambda x, _y: np.where(x > 10, int(Surface.YELLOW), int(Surface.FAIRWAY)),
        a_shot("iron", 150, 5, 5), hole=(0.0, 200.0), zones=(("drop zone", -5.0, 140.0),),
    )  # fmt: skip
    drops = legal_drops(today, (9.75, 120.25), Surface.YELLOW)
    assert {d.rule for d in drops} == {"back on the line", "drop zone"}


def test_no_drop_is_ever_in_a_penalty_area_or_out_of_bounds():
    def paint(x, y):
        code = np.full(x.shape, int(Surface.FAIRWAY))
        code[x > 10] = Surface.RED
        code[y < 60] = Surface.OUT
        return code

    today = squared(300, 160, paint, a_shot("iron", 150, 5, 5), hole=(0.0, 200.0))
    for d in legal_drops(today, (9.75, 80.25), Surface.RED):
        assert today.surface_at((d.x, d.y))[0] < Surface.YELLOW


def test_wet_ball_costs_one_stroke_or_goes_back_for_one_stroke():
    today = front_pond(Surface.YELLOW)
    spot = Spot(0, 0, Lie.FAIRWAY)
    rows = play(today, spot, Choice(0, 0.0, today.shots.carry[0, 1, 0]), ONE_BALL)
    core = rows.ball == 0
    assert rows.penalty[core].tolist() == [1.0] * core.sum()
    assert rows.returns[core].sum() == 1
    back = np.flatnonzero(core & rows.returns)[0]
    assert rows.xy[back].tolist() == [0.0, 0.0]


def test_out_of_bounds_leaves_stroke_and_distance_only():
    today = squared(
        260, 160, lambda _x, y: np.where(y > 90, int(Surface.OUT), int(Surface.FAIRWAY)),
        a_shot("iron", 120, 5, 5), hole=HOLE,
    )  # fmt: skip
    rows = play(today, Spot(0, 0, Lie.FAIRWAY), Choice(0, 0.0, today.shots.carry[0, 1, 0]), ONE_BALL)
    core = rows.ball == 0
    assert rows.returns[core].tolist() == [True]
    assert rows.penalty[core].tolist() == [1.0]


def test_a_track_that_never_leaves_the_area_has_no_crossing():
    today = squared(
        260, 160, lambda x, _y: np.full(x.shape, int(Surface.RED)), a_shot("iron", 120, 5, 5), hole=HOLE
    )
    rest = np.array([0.0, 100.0])
    assert last_crossing(today, Spot(0, 0, Lie.FAIRWAY), rest, rest, np.array(0.0)) is None
