"""Trees against balls by hand: known heights, known bends, known chances."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.outcome.play import Choice, finishes, play
from strategy.outcome.points import make_points
from strategy.outcome.today import Canopy
from strategy.outcome.trees import height_above_line, stopped_at

START = np.zeros(2)
CLIMB = np.array([0.2, 0.4, 0.4])  # 25 m up half way of 200: 200 x 0.25 x (0.2 + 0.2 + 0.1)
CARRY = 200.0
LANDING = np.array([[0.0, CARRY]])
NOTHING, ANYTHING = np.full(1, 1e-4), np.full(1, 1e9)  # mean free ways that a ball stands


def fairway(x, y):
    return np.full(x.shape, int(Surface.FAIRWAY))


def with_tree(x, y, top, base=0.0, *, radius=3.0, crown_m=0.1, stems_m=1e9, hill=0.0, **where):
    """Squared paper, fairway everywhere, and one round crown; the ground rises by `hill` a metre."""
    today = squared(300, 160, fairway, a_shot("any", 180, 8, 8), hole=(0.0, 200.0), **where)
    centres = today.centres()
    there = np.hypot(centres[..., 0] - x, centres[..., 1] - y) < radius
    canopy = Canopy.of(
        np.where(there, top, 0.0), np.where(there, base, 0.0), today.cell_m, crown_m=crown_m, stems_m=stems_m
    )
    height = None if hill == 0.0 else (hill * centres[..., 1]).astype(np.float32)
    return dataclasses.replace(today, canopy=canopy, height=height)


def flown(today, bend=0.0, landing=LANDING, stands=NOTHING):
    return float(stopped_at(today, START, landing, bend, CLIMB, stands)[0])


def test_a_flight_is_as_high_as_its_numbers_say():
    assert height_above_line(np.array(CARRY), np.array(0.5), CLIMB) == pytest.approx(25.0)
    assert height_above_line(np.array(100.0), np.array(0.5), CLIMB) == pytest.approx(
        12.5
    )  # the same flight, half the size
    assert height_above_line(np.array(CARRY), np.array([0.0, 1.0]), CLIMB) == pytest.approx([0.0, 0.0])


@pytest.mark.parametrize(("top", "through"), [(24.0, True), (26.0, False)])
def test_a_ball_25_m_up_clears_24_m_and_strikes_26(top, through):
    """The crown stands half way, 6 m deep: there the ball is 24.5 to 25.3 m up."""
    share = flown(with_tree(0.0, 100.0, top))
    assert share == 1.0 if through else 0.48 <= share <= 0.52


@pytest.mark.parametrize(("base", "through"), [(26.0, True), (23.0, False)])
def test_a_ball_25_m_up_passes_under_branches_that_begin_higher(base, through):
    share = flown(with_tree(0.0, 100.0, 40.0, base))
    assert (share == 1.0) == through


def test_stems_stop_a_ball_under_the_branches_far_later_than_a_crown():
    """6 m of stems with a mean free way of 70 m use 0.086 of it up: a ball that stands less is stopped."""
    under = with_tree(0.0, 100.0, 40.0, 30.0, stems_m=70.0)
    assert flown(under, stands=np.array([0.2])) == 1.0
    assert flown(under, stands=np.array([0.02])) < 1.0


@pytest.mark.parametrize(("hill", "through"), [(0.0, True), (0.02, True), (-0.03, True)])
def test_ground_that_rises_with_the_ball_raises_the_tree_as_well(hill, through):
    """On an even slope ball and tree rise by the same: the line to the landing lies on the ground."""
    assert (flown(with_tree(0.0, 100.0, 24.0, hill=hill)) == 1.0) == through
    assert flown(with_tree(0.0, 100.0, 26.0, hill=hill)) < 1.0


@pytest.mark.parametrize(
    ("bend", "struck_by"),
    [(12.0, "left"), (-12.0, "right"), (0.0, None)],
)
def test_the_bend_of_each_shape_clears_or_strikes_a_tree_beside_the_line(bend, struck_by):
    """b = 12 m right: half way the ball is 12 x (0.25 - 0.5) = 3 m left of the line, in one of the crowns."""
    assert (flown(with_tree(-4.0, 100.0, 30.0, radius=2.0), bend) < 1.0) == (struck_by == "left")
    assert (flown(with_tree(4.0, 100.0, 30.0, radius=2.0), bend) < 1.0) == (struck_by == "right")


def test_through_a_crown_as_many_as_the_mean_free_way_says():
    """A band 12 m deep with a mean free way of 6 m lets exp(-2) = 13.5 % through (Beer-Lambert)."""
    today = squared(300, 160, fairway, a_shot("low", 180, 3, 5), hole=(0.0, 200.0))
    y = today.centres()[..., 1]
    band = (y > 60.0) & (y < 72.0)
    today = dataclasses.replace(today, canopy=Canopy.of(np.where(band, 60.0, 0.0), 0.0 * y, today.cell_m))
    points = make_points(4096, 1)
    end = finishes(
        today, Spot(0.0, 0.0, Lie.FAIRWAY), Choice(0, 0.0, float(today.shots.carry[0, 1, 0])), points
    )
    core = end.flown[:4096] == 1.0
    assert core.mean() == pytest.approx(np.exp(-2.0), abs=0.005)
    stopped = end.landing[:4096][~core]
    assert 59.0 < stopped[:, 1].min() < stopped[:, 1].max() < 73.0
    # It drops within a few metres of there, to either side of where it was stopped.
    off = (end.rest - end.landing)[:4096][~core][:, 1]
    assert off.std() == pytest.approx(2.0, abs=0.2)
    assert abs(off.mean()) < 0.15


def test_a_stopped_ball_is_played_from_where_it_drops_and_water_there_costs_a_drop():
    def pond(x, y):
        return np.where((y > 90) & (y < 110), int(Surface.RED), int(Surface.FAIRWAY))

    today = squared(300, 160, pond, a_shot("any", 180, 2, 2), hole=(0.0, 200.0))
    centres = today.centres()
    wood = (centres[..., 1] > 98) & (centres[..., 1] < 104)
    canopy = Canopy.of(np.where(wood, 60.0, 0.0), 0.0 * centres[..., 1], today.cell_m, crown_m=0.05)
    today = dataclasses.replace(today, canopy=canopy)
    rows = play(today, Spot(0.0, 0.0, Lie.FAIRWAY), Choice(0, 0.0, 180 * 0.9144), make_points(16, 1))
    dropped = rows.penalty[~rows.returns] == 1.0
    assert dropped.all()
    # Crossed on the near side, on the ball's own way in.
    assert rows.xy[~rows.returns][:, 1].max() < 93.0


def test_no_canopy_stops_nothing():
    today = squared(300, 160, fairway, a_shot("any", 180, 8, 8), hole=(0.0, 200.0))
    assert flown(today) == 1.0
    assert flown(with_tree(0.0, 100.0, 26.0), stands=ANYTHING) == 1.0
