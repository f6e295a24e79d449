"""Balls struck off slopes: by hand, by the geometry of impact, and by their mirror images."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.ball.flight import Launch, fly
from strategy.ball.launch import Known, infer
from strategy.ball.slope import LEAST_LAUNCH_DEG, on_slope, turn_deg
from strategy.units import RPM_RAD_S, YARD_M

BAG = infer(
    [
        Known(club="3-wood", carry_m=245.0 * YARD_M),
        Known(club="7-iron", carry_m=172.0 * YARD_M),
        Known(club="pitching wedge", carry_m=136.0 * YARD_M, bend_m=-3.0),
        Known(club="lob wedge", carry_m=60.0 * YARD_M),
    ]
).launch
SLOPES = st.floats(-0.2, 0.2)
LAUNCHES = st.builds(
    lambda up, start, tilt: Launch(
        speed_mps=np.array(52.0),
        launch_deg=np.array(up),
        spin_rad_s=np.array(7000.0 * RPM_RAD_S),
        start_deg=np.array(start),
        tilt_deg=np.array(tilt),
    ),
    st.floats(14.0, 45.0),
    st.floats(-5.0, 5.0),
    st.floats(-20.0, 20.0),
)


def axis_of(launch):
    """The spin axis (depth, side, up): level and square to the start line, then tilted about the launch."""
    up, start, tilt = (np.radians(float(a)) for a in (launch.launch_deg, launch.start_deg, launch.tilt_deg))
    level = np.array([np.sin(start), -np.cos(start), 0.0])
    upright = np.array([-np.sin(up) * np.cos(start), -np.sin(up) * np.sin(start), np.cos(up)])
    return np.cos(tilt) * level + np.sin(tilt) * upright


@pytest.mark.parametrize(
    ("up", "slope", "turned"),
    [
        # Worked out on paper, arctan(tan L sin(arctan slope)):
        (30.0, 0.10, -3.288),  # 0.57735 x 0.099504 = 0.057448
        (23.0, 0.05, -1.214),  # 0.42447 x 0.049938 = 0.021197
        (56.0, -0.08, 6.743),  # 1.48256 x 0.079745 = 0.118227
        (10.0, 0.20, -1.981),  # 0.17633 x 0.196116 = 0.034581
    ],
)
def test_a_face_turns_to_the_low_side_by_hand(up, slope, turned):
    assert float(turn_deg(up, slope)) == pytest.approx(turned, abs=0.001)


@given(LAUNCHES)
def test_level_ground_changes_nothing(launch):
    off = on_slope(launch, 0.0, 0.0)
    for name in ("speed_mps", "launch_deg", "spin_rad_s", "start_deg", "tilt_deg"):
        np.testing.assert_allclose(getattr(off, name), getattr(launch, name), atol=1e-9, err_msg=name)


@given(st.floats(5.0, 45.0), SLOPES)
def test_a_slope_along_the_line_adds_its_angle_to_the_launch_at_the_same_spin(up, slope):
    launch = Launch(speed_mps=np.array(52.0), launch_deg=np.array(up), spin_rad_s=np.array(700.0))
    off = on_slope(launch, slope, 0.0)
    angle = np.degrees(np.arctan(slope))
    assert float(off.launch_deg) == pytest.approx(max(up + angle, LEAST_LAUNCH_DEG), abs=1e-9)
    assert (float(off.start_deg), float(off.tilt_deg)) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert float(off.spin_rad_s) == 700.0
    assert float(off.speed_mps) == 52.0


@given(st.floats(5.0, 45.0), SLOPES)
def test_a_slope_across_the_line_turns_the_ball_as_it_turns_the_face(up, slope):
    launch = Launch(speed_mps=np.array(52.0), launch_deg=np.array(up), spin_rad_s=np.array(700.0))
    off = on_slope(launch, 0.0, slope)
    assert float(off.start_deg) == pytest.approx(float(turn_deg(up, slope)), abs=1e-9)


@given(st.floats(15.0, 60.0), st.floats(0.7, 0.9), SLOPES)
def test_the_axis_is_that_of_a_turned_face_on_a_level_swing(loft, share, slope):
    """Another way to the same axis: it is square to the swing, here level along the line, and to the face.

    It tilts by the slope, whatever the dynamic loft and wherever between swing and face the ball leaves.
    """
    s, a = np.arctan(slope), np.radians(loft)
    face = np.array([np.cos(a), -np.sin(a) * np.sin(s), np.sin(a) * np.cos(s)])
    assert np.degrees(np.arctan2(face[1], face[0])) == pytest.approx(float(turn_deg(loft, slope)), abs=1e-9)
    square = np.cross([1.0, 0.0, 0.0], face)
    launch = Launch(speed_mps=np.array(52.0), launch_deg=np.array(share * loft), spin_rad_s=np.array(700.0))
    # In axes of depth, side and up numpy's product has the hand of the flight's own axis, which points left.
    np.testing.assert_allclose(
        axis_of(on_slope(launch, 0.0, slope)), square / np.hypot(*square[1:]), atol=1e-9
    )


@given(LAUNCHES, SLOPES, SLOPES)
def test_a_mirrored_strike_on_a_mirrored_slope_is_the_mirror_image(launch, ahead, right):
    one = on_slope(launch, ahead, right)
    image = launch.replace(start_deg=-launch.start_deg, tilt_deg=-launch.tilt_deg)
    two = on_slope(image, ahead, -right)
    assert float(two.launch_deg) == pytest.approx(float(one.launch_deg), abs=1e-9)
    assert float(two.start_deg) == pytest.approx(-float(one.start_deg), abs=1e-9)
    assert float(two.tilt_deg) == pytest.approx(-float(one.tilt_deg), abs=1e-9)


@given(LAUNCHES, SLOPES, SLOPES)
def test_angles_to_the_ground_stay(launch, ahead, right):
    """The strike is that of level ground: seen from the slope, the ball leaves as high as off the flat."""
    off = on_slope(launch, ahead, right)
    up, start = np.radians(off.launch_deg), np.radians(off.start_deg)
    way = np.array([np.cos(up) * np.cos(start), np.cos(up) * np.sin(start), np.sin(up)])
    normal = np.array([-ahead, -right, 1.0]) / np.sqrt(1.0 + ahead**2 + right**2)
    if float(off.launch_deg) > LEAST_LAUNCH_DEG:
        assert np.degrees(np.arcsin(way @ normal)) == pytest.approx(float(launch.launch_deg), abs=1e-6)


def test_balls_go_to_the_low_side_more_of_their_carry_with_loft():
    flat, right_high, left_high = (fly(on_slope(BAG, 0.0, s)) for s in (0.0, 0.06, -0.06))
    share = (right_high.side_m - flat.side_m) / flat.carry_m
    other = (left_high.side_m - flat.side_m) / flat.carry_m
    assert (share < 0.0).all()
    assert (other > 0.0).all()
    assert (np.diff(share[:3]) < 0.0).all()  # a short lob has less of a flight to bend in
    np.testing.assert_allclose(share[[0, 1, 3]], -other[[0, 1, 3]], rtol=1e-6)  # the straight ones
    # Common practice, from memory: an inch above the feet (3 % of a stance) is worth about five yards with a
    # middle iron, two to three times that with the ball well above them.
    inch = fly(on_slope(BAG, 0.0, 1.0 / 33.0)).side_m[1] - flat.side_m[1]
    assert -6.0 < inch / YARD_M < -3.0


def test_uphill_lies_fly_higher_and_irons_shorter_downhill_lies_lower():
    """Common practice, in sign."""
    flat, up, down = (fly(on_slope(BAG, s, 0.0)) for s in (0.0, 0.08, -0.08))
    assert (up.apex_m > flat.apex_m).all()
    assert (down.apex_m < flat.apex_m).all()
    assert (up.descent_deg > flat.descent_deg).all()
    assert (up.carry_m[1:] < flat.carry_m[1:]).all()
    assert down.carry_m[0] < flat.carry_m[0]  # a low fairway wood does not get up


def test_no_ball_is_struck_into_the_ground():
    assert float(on_slope(BAG, -0.2, 0.0).launch_deg.min()) >= LEAST_LAUNCH_DEG
