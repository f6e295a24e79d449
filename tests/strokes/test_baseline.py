"""The published baseline on a hole: exact where printed, continuous, composed by surface and lie."""

import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scripts.invented import a_player, a_shot
from strategy.codes import Lie, Surface
from strategy.course.frame import Frame
from strategy.outcome.shot_table import shot_table
from strategy.outcome.today import HoleToday
from strategy.reference import numbers
from strategy.strokes.baseline import Baseline, level_share, ninety_line, putts, strokes_from, tour_line
from strategy.units import FOOT_M, YARD_M

ROUGH = (0.5, 0.35, 0.15)
OFF_GREEN = [lie for lie in Lie if lie != Lie.GREEN]
distances = st.floats(0.0, 700.0)
levels = st.floats(66.0, 110.0)


def strips(rough=ROUGH, level=70.0) -> HoleToday:
    """A hole whose rows run through every surface from south to north; the hole is in the north-east."""
    surface = np.repeat(np.arange(11, dtype=np.uint8), 20)[:, None] * np.ones((1, 90), dtype=np.uint8)
    chance = np.zeros((11, 9))
    chance[Surface.TEE, Lie.TEE] = chance[Surface.FAIRWAY, Lie.FAIRWAY] = 1.0
    chance[Surface.FIRST_CUT, Lie.FIRST_CUT] = chance[Surface.BUNKER, Lie.SAND] = 1.0
    chance[Surface.GREEN, Lie.GREEN] = chance[Surface.TREES, Lie.RECOVERY] = 1.0
    chance[Surface.ROUGH, Lie.ROUGH_GOOD : Lie.JUMPER + 1] = rough
    return HoleToday(
        label="1", par=4, round=1, frame=Frame(0.0, 0.0), surface=surface,
        area=np.full(surface.shape, -1, np.int16), corner=(-20.0, -30.0), cell_m=0.5, lie_chance=chance,
        tee=(0.0, 0.0), hole=(20.13, 24.04), line=np.array([[0.0, 0.0], [20.0, 24.0]]),
        green=np.array([[15.0, 20.0], [25.0, 20.0], [20.0, 28.0]]), longest_club_m=1.14,
        shots=shot_table(a_player(a_shot("driver", 285, 17, 13))),
        right_handed=True, level=level,
    )  # fmt: skip


def test_spots_agree_with_the_plain_function():
    today = strips()
    xy = np.array([[20.13, 24.04 - 100 * YARD_M], [20.13 + 8 * FOOT_M, 24.04]])
    assert Baseline(today)(xy, [Lie.FAIRWAY, Lie.GREEN]) == pytest.approx([2.80, 1.515], abs=1e-9)
    assert Baseline(today)(np.empty((0, 2)), []).shape == (0,)


def test_the_player_gives_the_level_unless_told():
    today = strips(level=80.0)
    spot = [[20.13, 24.04 - 150 * YARD_M]]
    eighty, tour = Baseline(today), Baseline(today, 70.0)
    assert (eighty.level, tour.level) == (80.0, 70.0)
    step = (ninety_line(150) - tour_line(150)) / 2
    assert eighty(spot, [Lie.FAIRWAY]) - tour(spot, [Lie.FAIRWAY]) == pytest.approx(step)


def test_field_is_the_chance_weighted_mean_of_spots():
    today = strips()
    base = Baseline(today)
    field = base.field(today)
    centres = today.centres().reshape(-1, 2)
    by_lie = np.stack([base(centres, np.full(len(centres), lie)) for lie in Lie], axis=1)
    chance = today.lie_chance[today.surface.ravel()]
    exact = (chance * by_lie).sum(axis=1)
    exact[chance.sum(axis=1) == 0.0] = np.nan
    np.testing.assert_allclose(field.ravel(), exact, rtol=0, atol=1e-4)


def test_no_ball_is_played_from_water_out_or_off_the_map():
    today = strips()
    unplayed = np.isin(today.surface, [Surface.YELLOW, Surface.RED, Surface.OUT, Surface.OFF_MAP])
    np.testing.assert_array_equal(np.isnan(Baseline(today).field(today)), unplayed)


def test_field_follows_the_hole_location():
    today = strips()
    moved = today.with_pin((0.13, 4.04))
    base = Baseline(today)
    assert (
        np.nanmin(base.field(today) - base.field(moved))
        < -0.1
        < 0.1
        < np.nanmax(base.field(today) - base.field(moved))
    )
    np.testing.assert_array_equal(base.field(moved), Baseline(moved).field(moved))


def test_it_is_picklable():
    base = Baseline(strips(), 82.0)
    again = pickle.loads(pickle.dumps(base))
    assert again([[0.0, 0.0]], [Lie.JUMPER]) == base([[0.0, 0.0]], [Lie.JUMPER])


@given(distances, levels, st.tuples(*[st.floats(0.01, 1.0)] * 3))
def test_rough_lies_average_to_the_tables_rough(distance, level, weights):
    chances = tuple(w / sum(weights) for w in weights)
    three = [Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER]
    mean = chances @ strokes_from(distance, three, level, chances)
    only = strokes_from(distance, Lie.ROUGH_POOR, level, (0.0, 1.0, 0.0))  # every lie is the average lie
    assert mean == pytest.approx(float(only), abs=1e-9)


@given(distances)
def test_lies_keep_their_order(distance):
    fairway, cut, good, jumper, poor = strokes_from(
        distance, [Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD, Lie.JUMPER, Lie.ROUGH_POOR]
    )
    assert fairway <= cut <= good + 1e-12
    assert good <= jumper <= poor


@given(distances, levels)
def test_first_cut_is_the_mean_of_fairway_and_rough(distance, level):
    rough = strokes_from(distance, Lie.JUMPER, level, (0.0, 0.0, 1.0))
    fairway = strokes_from(distance, Lie.FAIRWAY, level)
    assert strokes_from(distance, Lie.FIRST_CUT, level) == pytest.approx((rough + fairway) / 2, abs=1e-12)


@given(st.sampled_from(OFF_GREEN), levels)
def test_nothing_jumps_at_the_joins(lie, level):
    for yd in (10.0, 100.0, 600.0):
        below, above = strokes_from([(yd - 1e-6) * YARD_M, (yd + 1e-6) * YARD_M], lie, level)
        assert below == pytest.approx(above, abs=1e-5)
    assert strokes_from(0.0, lie, level) == 1.0


def test_within_ten_yards_the_gap_to_a_putt_shrinks_in_proportion():
    gap = 2.18 - putts(10 * YARD_M)
    assert strokes_from(4 * YARD_M, Lie.FAIRWAY) == pytest.approx(putts(4 * YARD_M) + 0.4 * gap)


def test_tee_below_a_hundred_yards_stays_near_the_fairway():
    assert strokes_from(50 * YARD_M, Lie.TEE) == pytest.approx(2.66 + 0.12 * 0.5)


def test_beyond_six_hundred_yards_the_curve_goes_on_straight():
    s = strokes_from(np.array([600, 640, 680]) * YARD_M, Lie.FAIRWAY)
    assert np.diff(s) == pytest.approx([40 * 0.0039] * 2)


@given(distances, st.sampled_from(list(Lie)), st.floats(66.0, 100.0), st.floats(0.1, 10.0))
def test_a_higher_score_never_needs_fewer_strokes(distance, lie, level, worse):
    assert strokes_from(distance, lie, level + worse) >= strokes_from(distance, lie, level) - 1e-12


@given(st.floats(0.0, 100.0), st.floats(70.0, 110.0))
def test_putts_never_fall_with_distance_nor_under_one(distance, level):
    """Past the published 90-golfer the line is carried on, and may fall a little."""
    near, far = putts([distance, distance + 0.1], level)
    assert 1.0 <= near <= far + (1e-12 if level <= 90.0 else 1e-3)


def test_the_smooth_curve_stays_between_its_printed_neighbours():
    yd = numbers("tour_strokes", "distance_yd")
    for column, lie in (("fairway", Lie.FAIRWAY), ("sand", Lie.SAND), ("recovery", Lie.RECOVERY)):
        printed = numbers("tour_strokes", column)
        between = strokes_from((yd[:-1] + yd[1:]) / 2 * YARD_M, lie)
        assert np.all(between >= np.minimum(printed[:-1], printed[1:]) - 1e-9)
        assert np.all(between <= np.maximum(printed[:-1], printed[1:]) + 1e-9)


@pytest.mark.parametrize("distance", [-1.0, np.nan])
def test_a_distance_that_is_none_gives_nan(distance):
    assert np.isnan(putts(distance))
    assert np.isnan(strokes_from([distance, 10.0], Lie.SAND)).tolist() == [True, False]
    assert np.isnan(putts(distance, 85.0))


def test_level_share():
    assert [level_share(s) for s in (70, 80, 90, 68)] == [0.0, 0.5, 1.0, -0.1]


def test_the_gap_of_putts_to_a_weaker_player_is_held_beyond_its_greatest():
    """Far away the gap would turn back by the formula: it stays at its greatest instead."""
    feet = np.arange(1.0, 140.0, 1.0)
    gap = putts(feet * FOOT_M, 90.0) - putts(feet * FOOT_M)
    widest = int(np.argmax(gap > gap.max() - 1e-3))
    assert feet[widest] < 80.0
    assert gap[widest:] == pytest.approx(np.full(len(gap) - widest, gap.max()), abs=1e-3)
    assert gap.max() > 0.2
