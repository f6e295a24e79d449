"""Putts on the greens of a hole: published averages on the average green, moved by slope, side and speed."""

import dataclasses
import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scripts.invented import a_shot, squared
from strategy.codes import Surface
from strategy.strokes.baseline import putts
from strategy.strokes.greens import Greens
from strategy.strokes.putting import AVERAGE_STIMP_FT, Putting
from strategy.units import FOOT_M

RADIUS = 20.0
HOLE = (0.0, 150.0)
FEET = np.array([0.0, 1.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, 40.0, 50.0, 60.0])


def paint(x, y):
    return np.where(np.hypot(x - HOLE[0], y - HOLE[1]) < RADIUS, Surface.GREEN, Surface.FAIRWAY)


PAPER = squared(240, 80, paint, a_shot("9-iron", 150, 6, 6), hole=HOLE)


def a_hole(height=None, *, stimp=AVERAGE_STIMP_FT, level=70.0):
    """The paper green; heights from a function of x and y."""
    today = dataclasses.replace(PAPER, stimp_ft=stimp, level=level)
    if height is None:
        return today
    x, y = np.moveaxis(today.centres(), -1, 0)
    return dataclasses.replace(today, height=height(x, y).astype(np.float32))


def plane(slope, towards=0.0):
    """Ground that rises by `slope` in a compass direction [deg]."""
    a = np.radians(towards)
    return lambda x, y: slope * (x * np.sin(a) + (y - HOLE[1]) * np.cos(a))


def round_the_hole(feet, bearing=0.0):
    a = np.radians(bearing)
    d = np.asarray(feet, dtype=float) * FOOT_M
    return np.column_stack((HOLE[0] + d * np.sin(a), HOLE[1] + d * np.cos(a)))


@pytest.mark.parametrize("level", [66.0, 70.0, 80.0, 90.0])
def test_published_means_come_out_on_an_average_green_of_average_speed(level):
    greens = Greens(a_hole(level=level))
    assert not greens.known
    assert "unknown" in greens.words
    assert greens.expected(round_the_hole(FEET, 77.0)) == pytest.approx(
        putts(FEET * FOOT_M, level), abs=1e-12
    )


def test_three_putts_as_published():
    """2/5/10/17/23 % at 20/30/40/50/60 ft within 3 points.

    Derived from the mean putts and one-putts of M. Broadie, Every Shot Counts, 2014; 2 and 10 % also as
    printed there.
    """
    chances = Greens(a_hole()).chances(round_the_hole([20, 30, 40, 50, 60]))
    assert chances[:, 2] == pytest.approx(np.array([0.02, 0.05, 0.10, 0.17, 0.23]), abs=0.03)


def test_next_to_the_hole_one_putt_is_not_certain():
    """The official table of 2010: 1.001 putts from 1 ft, 1.009 from 2 ft."""
    at, one, two = Greens(a_hole()).chances(round_the_hole([0.0, 1.0, 2.0]))
    assert at == pytest.approx([1.0, 0.0, 0.0], abs=1e-9)
    assert one == pytest.approx([0.999, 0.001, 0.0], abs=1e-5)
    assert two == pytest.approx([0.991, 0.009, 0.0], abs=1e-4)


@given(
    slope=st.floats(0.0, 0.06),
    towards=st.floats(0.0, 360.0),
    bearing=st.floats(0.0, 360.0),
    feet=st.floats(0.0, 65.0),
    stimp=st.sampled_from([8.0, 11.0, 14.0]),
    level=st.sampled_from([70.0, 90.0]),
)
@settings(max_examples=60, deadline=None)
def test_chances_are_chances_and_their_mean_is_what_is_expected(slope, towards, bearing, feet, stimp, level):
    greens = Greens(a_hole(plane(slope, towards), stimp=stimp, level=level))
    xy = round_the_hole([feet], bearing)
    chances, expected = greens.chances(xy)[0], float(greens.expected(xy)[0])
    assert chances.min() >= 0.0
    assert chances.max() <= 1.0
    assert chances.sum() == pytest.approx(1.0, abs=1e-12)
    assert chances @ [1.0, 2.0, 3.0] == pytest.approx(expected, abs=1e-9)
    assert 1.0 <= expected <= 3.0


def test_a_plane_is_read_as_it_is():
    """3 % up towards the north-east: slope and direction from all round, by hand."""
    greens = Greens(a_hole(plane(0.03, 45.0)))
    bearings = np.array([45.0, 135.0, 225.0, 0.0, 90.0])
    xy = np.vstack([round_the_hole([20.0], b) for b in bearings])
    slope, direction = greens.slopes(xy)
    assert slope == pytest.approx(np.full(5, 0.03), abs=2e-4)
    # from the north-east the ball is above the hole
    assert direction == pytest.approx([0.0, 90.0, 180.0, 45.0, 45.0], abs=0.5)


@pytest.mark.parametrize("feet", [10, 20, 40])
def test_above_the_hole_costs_more_than_below_on_a_plane_of_3_percent(feet):
    greens = Greens(a_hole(plane(0.03), stimp=12.0))
    above, below, beside = greens.expected(np.vstack([round_the_hole([feet], b) for b in (0.0, 180.0, 90.0)]))
    assert above - below > 0.01
    assert beside > below
    model = Putting(12.0).expected(feet * FOOT_M, 0.03, np.array([0.0, 180.0]))
    assert above - below == pytest.approx(model[0] - model[1], abs=0.003)


def test_what_slope_and_speed_change_is_the_models():
    for stimp in (9.0, 12.0):
        flat, unknown = a_hole(lambda x, y: 0.0 * x, stimp=stimp), a_hole(stimp=stimp)
        model, average = Putting(stimp), Putting(AVERAGE_STIMP_FT)
        d = FEET * FOOT_M
        assert Greens(flat).known
        assert Greens(flat).expected(round_the_hole(FEET)) == pytest.approx(
            np.maximum(putts(d) + model.expected(d, 0.0, 90.0) - average.expected(d), 1.0),
            abs=1e-4,  # on a flat green the model's table differs by so much with the direction
        )
        assert Greens(unknown).expected(round_the_hole(FEET)) == pytest.approx(
            np.maximum(putts(d) + model.expected(d) - average.expected(d), 1.0), abs=1e-9
        )


def test_a_ball_on_the_other_side_of_a_tier_sees_the_tier():
    """A step of 0.6 m between 4 and 8 m short of the hole: from below all of it counts, from above none."""

    def tier(x, y):
        return 0.6 * np.clip((y - (HOLE[1] - 8.0)) / 4.0, 0.0, 1.0)

    greens, flat = Greens(a_hole(tier)), Greens(a_hole(lambda x, y: 0.0 * x))
    below, above = round_the_hole([12.0 / FOOT_M], 180.0), round_the_hole([12.0 / FOOT_M], 0.0)
    slope, direction = greens.slopes(np.vstack((below, above)))
    assert slope == pytest.approx([0.6 / 12.0, 0.0], abs=1e-3)
    assert direction[0] == pytest.approx(180.0, abs=0.5)
    assert greens.expected(above) == pytest.approx(flat.expected(above), abs=2e-3)
    # downhill over the tier, from the upper floor to a hole on the lower one
    lower = Greens(a_hole(lambda x, y: tier(x, 2.0 * HOLE[1] - y)))
    assert lower.expected(above)[0] > lower.expected(below)[0]
    far_down = Greens(dataclasses.replace(a_hole(tier), hole=(0.0, HOLE[1] - 12.0)))
    down = float(far_down.expected(np.array([HOLE]))[0])
    assert down > float(greens.expected(below)[0]) + 0.05


def test_noise_of_single_cells_is_smoothed_away():
    rng = np.random.default_rng(4)
    noisy = Greens(a_hole(lambda x, y: plane(0.02)(x, y) + 0.01 * rng.standard_normal(x.shape)))
    clean = Greens(a_hole(plane(0.02)))
    xy = np.vstack([round_the_hole([15.0, 30.0], b) for b in range(0, 360, 30)])
    assert np.abs(noisy.expected(xy) - clean.expected(xy)).max() < 0.02


def test_the_field_is_the_cells_of_the_green():
    today = a_hole(plane(0.02, 30.0))
    greens = Greens(today)
    field = greens.field(today)
    on = today.surface == Surface.GREEN
    assert on.sum() > 4_500
    assert np.array_equal(np.isfinite(field), on)
    assert field[on] == pytest.approx(greens.expected(today.centres()[on]), abs=1e-12)
    with pytest.raises(ValueError, match="another hole location"):
        greens.field(today.with_pin((1.0, 150.0)))
    again = pickle.loads(pickle.dumps(greens))
    assert np.array_equal(again.field(today), field, equal_nan=True)


def test_off_the_edge_of_the_map_and_without_a_green():
    today = a_hole(plane(0.02))
    corner = np.array([today.corner])
    assert np.isfinite(Greens(today).expected(corner)).all()
    bare = dataclasses.replace(today, surface=np.full_like(today.surface, Surface.FAIRWAY))
    assert np.isnan(Greens(bare).field(bare)).all()
    assert np.isfinite(Greens(bare).chances(round_the_hole(FEET))).all()
