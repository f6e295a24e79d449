"""A putt on a plane, the aim of it, and putts by distance, slope, direction, green speed and level."""

import math
import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from strategy.ball.ground import green_deceleration, stopping_slope
from strategy.ball.law import GRAVITY
from strategy.errors import PhysicsError
from strategy.strokes import putting
from strategy.strokes.putting import TOUR, Putting, golfer
from strategy.strokes.roll import aim, capture_half_width, capture_speed, track
from strategy.units import FOOT_M

STIMPS = st.sampled_from([8.0, 10.0, 12.0, 14.0])  # each is worked out once and kept


def stepped(start, speed, slope, stimp, distance=None):
    """Rest of a putt by a general integrator of the two-dimensional equation of motion, or its spot there."""
    a, c = float(green_deceleration(stimp)), 5 / 7 * GRAVITY * slope

    def motion(_, state):
        v = math.hypot(state[2], state[3])
        return [state[2], state[3], c - a * state[2] / v, -a * state[3] / v]

    def stopped(_, state):
        return math.hypot(state[2], state[3]) - 1e-4

    stopped.terminal = True
    begin = [0.0, 0.0, speed * math.cos(start), speed * math.sin(start)]
    out = solve_ivp(
        motion,
        (0.0, 100.0),
        begin,
        events=stopped,
        rtol=1e-10,
        atol=1e-12,
        method="DOP853",
        dense_output=True,
    )
    if distance is None:
        return out.y[:2, -1]
    times = np.linspace(0.0, out.t[-1], 20_001)
    x, y, vx, vy = out.sol(times)
    nearest = np.argmin(np.hypot(x - distance[0], y - distance[1]))
    return x[nearest], y[nearest], math.hypot(vx[nearest], vy[nearest])


@given(
    start=st.floats(-3.1, 3.1),
    speed=st.floats(0.3, 4.0),
    steep=st.floats(0.01, 0.85),
    stimp=st.floats(7.0, 14.0),
)
@settings(max_examples=40)
def test_the_closed_form_rests_where_a_general_integrator_does(start, speed, steep, stimp):
    slope = steep * 7 / 5 * float(green_deceleration(stimp)) / GRAVITY
    x, y, _, _ = track(start, speed, slope, stimp)
    # the integrator is ended at 0.1 mm/s, and a slope under FLAT is not told from it
    assert (float(x), float(y)) == pytest.approx(
        tuple(stepped(start, speed, max(slope, 2e-5), stimp)), abs=1e-4
    )


@pytest.mark.parametrize("stimp", [8.0, 11.0, 14.0])
@pytest.mark.parametrize("slope", [0.01, 0.03, 0.05])
def test_straight_up_and_down_by_the_energy_of_the_ball(stimp, slope):
    """v² = 2 (a + c) l uphill and 2 (a - c) l downhill."""
    a, c = float(green_deceleration(stimp)), 5 / 7 * GRAVITY * slope
    up, _, _, _ = track(math.pi, 2.0, slope, stimp)
    down, _, _, _ = track(0.0, 2.0, slope, stimp)
    assert -float(up) == pytest.approx(4.0 / (2 * (a + c)), rel=1e-6)
    assert float(down) == pytest.approx(4.0 / (2 * (a - c)), rel=1e-6)


@pytest.mark.parametrize("direction", [0.0, 0.7, math.pi / 2, 3.0])
def test_a_flat_green_rolls_straight_and_as_far_as_the_stimpmeter_says(direction):
    x, y, _, _ = track(direction, 1.83, 0.0, 10.0)
    assert math.hypot(float(x), float(y)) == pytest.approx(10 * FOOT_M, rel=1e-3)
    assert math.atan2(float(y), float(x)) == pytest.approx(direction, abs=2e-3)


def test_an_uphill_roll_is_shorter_than_a_downhill_one_of_the_same_speed():
    rolled = [math.hypot(*map(float, track(t, 2.0, 0.02, 11.0)[:2])) for t in (math.pi, math.pi / 2, 0.0)]
    assert rolled[0] < rolled[1] < rolled[2]


@given(
    feet=st.floats(1.0, 80.0),
    direction=st.floats(0.0, math.pi),
    steep=st.floats(0.0, 0.5),
    past=st.floats(0.1, 1.0),
)
@settings(max_examples=25)
def test_an_aimed_putt_meets_the_hole_and_rests_as_far_past_it_as_meant(feet, direction, steep, past):
    d, slope = feet * FOOT_M, steep * float(stopping_slope(11.0))
    meant = aim(d, direction, slope, 11.0, past_m=past)
    assert bool(meant.met)
    hole = d * math.cos(direction), d * math.sin(direction)
    x, y, _, _ = track(meant.start, meant.speed_mps, slope, 11.0)
    assert math.hypot(float(x) - hole[0], float(y) - hole[1]) == pytest.approx(past, rel=1e-3)
    px, py, speed = stepped(float(meant.start), float(meant.speed_mps), max(slope, 2e-5), 11.0, hole)
    assert math.hypot(px - hole[0], py - hole[1]) < 3e-3
    assert speed == pytest.approx(float(meant.hole_mps), abs=3e-3)


def test_left_and_right_break_mirror_each_other():
    left, right = (aim(4.0, sign * 1.2, 0.03, 11.0, past_m=0.35) for sign in (1, -1))
    assert float(left.start) == pytest.approx(-float(right.start), abs=1e-9)
    assert float(left.speed_mps) == pytest.approx(float(right.speed_mps), abs=1e-9)
    green = Putting(12.0)
    assert green.expected(4.0, 0.03, 70) == pytest.approx(float(green.expected(4.0, 0.03, -70)), abs=1e-12)


def test_a_pace_is_given_once():
    with pytest.raises(ValueError, match="either"):
        aim(3.0, 0.0, 0.0, 11.0)
    with pytest.raises(ValueError, match="either"):
        aim(3.0, 0.0, 0.0, 11.0, past_m=0.3, hole_mps=0.5)


@given(miss=st.floats(0.0, 0.1))
def test_capture(miss):
    most = float(capture_speed(miss))
    assert 0.0 <= most <= 1.63
    assert (most > 0.0) == (miss < 0.054)
    if 0.0 < most < 1.63:
        assert float(capture_half_width(most)) == pytest.approx(miss, abs=1e-9)


def test_capture_limits():
    assert float(capture_half_width(0.0)) == 0.054
    assert capture_half_width(np.array([1.63, 2.0])).tolist() == [0.0, 0.0]
    assert math.isnan(float(capture_speed(math.nan)))


@given(
    stimp=STIMPS, feet=st.floats(0.0, 110.0), slope=st.floats(0.0, 0.06), direction=st.floats(-180.0, 180.0)
)
def test_chances_are_chances(stimp, feet, slope, direction):
    green = Putting(stimp)
    chances = green.chances(feet * FOOT_M, slope, direction)
    assert chances.shape == (3,)
    assert chances.sum() == pytest.approx(1.0, abs=1e-12)
    assert chances.min() >= 0.0
    assert chances[0] == pytest.approx(float(green.make(feet * FOOT_M, slope, direction)))
    # three or more counts as three at least
    least = chances @ np.array([1.0, 2.0, 3.0])
    assert float(green.expected(feet * FOOT_M, slope, direction)) >= least - 1e-9


@given(
    stimp=STIMPS,
    feet=st.floats(1.0, 90.0),
    more=st.floats(1.05, 1.5),
    slope=st.floats(0.0, 0.03),
    direction=st.floats(0.0, 180.0),
)
def test_make_falls_and_putts_rise_with_distance(stimp, feet, more, slope, direction):
    green, d = Putting(stimp), np.array([feet, feet * more]) * FOOT_M
    near, far = green.make(d, slope, direction)
    assert far <= near + 1e-3
    near, far = green.expected(d, slope, direction)
    assert far >= near - 2e-3


@pytest.mark.parametrize("stimp", [11.0, 12.0, 13.0])
@pytest.mark.parametrize("feet", [20, 30, 40, 55])
def test_above_the_hole_costs_more_than_below_on_fast_greens(stimp, feet):
    down, up = Putting(stimp).expected(feet * FOOT_M, 0.03, np.array([0.0, 180.0]))
    assert down > up + 0.01


def test_that_cost_grows_with_slope_and_speed():
    gap = [
        float(np.diff(Putting(stimp).expected(20 * FOOT_M, slope, np.array([180.0, 0.0])))[0])
        for stimp, slope in [(9.0, 0.02), (12.0, 0.02), (12.0, 0.035)]
    ]
    assert gap[0] < gap[1] < gap[2]


@pytest.mark.parametrize("feet", [3, 6, 10, 20, 40])
def test_better_putters_need_fewer_putts(feet):
    expected = [float(Putting(11.0, level).expected(feet * FOOT_M)) for level in (67, 70, 80, 90, 100)]
    assert np.all(np.diff(expected) > 0.0)


def test_an_unknown_slope_is_the_mean_over_directions_of_the_average_green():
    green, turns = Putting(11.0), np.array([0.0, 45.0, 90.0, 135.0, 180.0, -135.0, -90.0, -45.0])
    d = np.array([1.0, 5.0, 12.0])
    each = green.expected(d[:, None], putting.AVERAGE_SLOPE, turns)
    assert green.expected(d) == pytest.approx(each.mean(axis=1), abs=1e-9)
    assert green.expected(d, 0.03) == pytest.approx(green.expected(d[:, None], 0.03, turns).mean(axis=1))
    assert green.expected(d, None, 20.0) == pytest.approx(green.expected(d))


def test_on_a_flat_green_direction_says_nothing():
    made = Putting(11.0).make(3.0, 0.0, np.arange(0.0, 181.0, 15.0))
    assert np.ptp(made) < 0.005


def test_edges_and_shapes():
    green = Putting(11.0)
    assert float(green.expected(0.0)) == pytest.approx(1.0)
    assert green.chances(0.0).tolist() == pytest.approx([1.0, 0.0, 0.0])
    assert np.isnan(green.expected(np.array([-1.0, math.nan]))).all()
    assert np.isnan(green.chances(-1.0)).all()
    assert green.expected(200.0) == green.expected(35.0)
    assert green.chances(np.ones((2, 3)), 0.02, 90.0).shape == (2, 3, 3)
    assert green.expected([]).shape == (0,)
    assert green.expected(3.0, 0.08, 90.0) == green.expected(3.0, 0.05, 90.0)
    again = pickle.loads(pickle.dumps(green))
    assert again.expected(3.0) == green.expected(3.0)


def test_a_green_speed_that_cannot_be_meant():
    with pytest.raises(PhysicsError, match="green speed"):
        Putting(30.0)


def test_levels():
    assert golfer(70) == TOUR
    assert golfer(80).line == pytest.approx((golfer(70).line + golfer(90).line) / 2)
    assert golfer(20).line == pytest.approx(TOUR.line / 2)  # nobody is better than half the errors


# Drawn putts: every error drawn, the line re-aimed on the slope believed in, capture where the ball passes.
@pytest.mark.parametrize(
    ("feet", "slope", "turn", "stimp"),
    [
        (3, 0.015, 90, 11), (10, 0.015, 90, 11), (10, 0.03, 90, 12), (10, 0.035, 90, 10),
        (20, 0.035, 0, 12), (55, 0.035, 0, 12), (30, 0.02, 135, 11), (15, 0.02, 45, 10), (55, 0.0, 90, 10),
    ],
)  # fmt: skip
def test_drawn_putts_agree_on_what_is_made_and_left(feet, slope, turn, stimp):
    made, to_hole, next_turn = drawn(feet * FOOT_M, slope, math.radians(turn), stimp)
    green = Putting(stimp)
    after = green.expected(to_hole, slope, np.degrees(next_turn))
    assert float(green.make(feet * FOOT_M, slope, turn)) == pytest.approx(made.mean(), abs=0.012)
    assert float(green.expected(feet * FOOT_M, slope, turn)) == pytest.approx(
        1.0 + np.where(made, 0.0, after).mean(), abs=0.015
    )


def drawn(d, slope, turn, stimp, n=20_000):
    normal = np.random.default_rng(20).normal(size=(4, n))
    x, y = slope + TOUR.reading * normal[0], TOUR.reading * normal[1]
    fall = np.arctan2(y, x)
    steep = np.minimum(np.hypot(x, y), 0.97 * float(stopping_slope(stimp)))
    meant = aim(d, turn - fall, steep, stimp, past_m=putting.PAST_M)
    start = meant.start + fall + TOUR.line * normal[2]
    share = TOUR.distance * math.sqrt(1.0 + (d / TOUR.long_m) ** 2)
    speed = meant.speed_mps * np.exp(0.5 * share * normal[3])
    hole = d * math.cos(turn), d * math.sin(turn)
    p = float(green_deceleration(stimp)) / (5 / 7 * GRAVITY * max(slope, 2e-5))
    # nearest of 120 spots of the track, then halved to where the hole is abeam
    cell = 8.0 / (p - 1.0) / 120
    nearest, at = np.full(n, np.inf), np.zeros(n)
    for k in range(120):
        px, py, _, _ = track(start, speed, slope, stimp, k * cell)
        away = np.hypot(px - hole[0], py - hole[1])
        nearest, at = np.minimum(nearest, away), np.where(away < nearest, k * cell, at)
    low, high = np.maximum(at - cell, 0.0), at + cell
    for _ in range(40):
        middle = 0.5 * (low + high)
        px, py, _, angle = track(start, speed, slope, stimp, middle)
        short = (px - hole[0]) * np.cos(angle) + (py - hole[1]) * np.sin(angle) < 0.0
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    px, py, pace, _ = track(start, speed, slope, stimp, 0.5 * (low + high))
    miss = np.hypot(px - hole[0], py - hole[1])
    made = (miss < 0.054) & (pace <= capture_speed(miss))
    rx, ry, _, _ = track(start, speed, slope, stimp)
    return made, np.hypot(hole[0] - rx, hole[1] - ry), np.arctan2(hole[1] - ry, hole[0] - rx)


def test_each_error_of_a_putter_has_its_own_share_of_the_level():
    ninety = golfer(90)
    assert ninety.line / TOUR.line == pytest.approx(1.922)
    assert ninety.distance / TOUR.distance == pytest.approx(1.102)
    assert ninety.reading / TOUR.reading == pytest.approx(1.102)
    assert ninety.long_m == TOUR.long_m
