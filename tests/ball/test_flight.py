"""The integrator against scipy, the kernel against numpy, mirror, monotonicity, heights, tracks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from strategy.ball.air import STANDARD_AIR, TEST_AIR, Air, air
from strategy.ball.flight import CHUNK, Launch, fly, track
from strategy.ball.law import DIAMETER_M, GRAVITY, MASS_KG, RADIUS_M
from strategy.errors import PhysicsError
from strategy.units import FOOT_M, MPH_MPS, RPM_RAD_S, YARD_M
from tests.ball.strikes import flown, strike

FIELDS = ("carry_m", "side_m", "apex_m", "descent_deg", "speed_mps", "velocity_mps", "spin_rad_s", "time_s")


def some_shots(n, seed):
    rng = np.random.default_rng(seed)
    launch = Launch(
        speed_mps=rng.uniform(30.0, 80.0, n),
        launch_deg=rng.uniform(6.0, 35.0, n),
        spin_rad_s=rng.uniform(150.0, 1050.0, n),
        start_deg=rng.uniform(-6.0, 6.0, n),
        tilt_deg=rng.uniform(-20.0, 20.0, n),
    )
    blow, way = 22.0 * MPH_MPS * np.sqrt(rng.random(n)), rng.uniform(0.0, 2.0 * np.pi, n)
    day = {
        "head_mps": blow * np.cos(way),
        "cross_mps": blow * np.sin(way),
        "rise_m": rng.uniform(-25.0, 30.0, n),
    }
    return launch, day


def by_scipy(launch, i, head, cross, rise, still, wind_at=None):
    """The equations of the module docstring once more, vectors in a right-handed frame (x, left, up)."""
    up, start, tilt = (
        np.radians(float(a)) for a in (launch.launch_deg[i], launch.start_deg[i], launch.tilt_deg[i])
    )
    speed = float(launch.speed_mps[i])
    # Backspin about an axis to the right of the shot lifts in a right-handed frame: axis = right x ...
    forward = np.array([np.cos(up) * np.cos(start), -np.cos(up) * np.sin(start), np.sin(up)])
    left = np.array([np.sin(start), np.cos(start), 0.0])
    above = np.cross(forward, left)
    # Lift is CL (axis x u); an axis to the left gives forward -> down, to the right forward -> up.
    axis = -np.cos(tilt) * left - np.sin(tilt) * above
    rho, mu = float(still.density), float(still.viscosity)
    area = np.pi * DIAMETER_M**2 / 4.0

    def rates(_, s):
        v, w = s[3:6], s[6]
        factor = 1.0 if wind_at is None else wind_at(s[2])
        u = v - factor * np.array([-head, -cross, 0.0])
        fast = np.linalg.norm(u)
        spin = w * RADIUS_M / fast
        lift = 0.548 * spin / (spin + 0.217)
        drag = 0.127 + 0.624 * lift + 0.139 / (1.0 + (rho * fast * DIAMETER_M / mu / 65_000.0) ** 8)
        pull = rho * area * fast / (2.0 * MASS_KG)
        a = pull * (-drag * u + lift * np.cross(u, axis) * -1.0) - np.array([0.0, 0.0, GRAVITY])
        return np.concatenate((v, a, [-2.0e-5 * rho / 1.185 * fast * w / RADIUS_M]))

    def lands(_, s):
        return s[2] - rise

    lands.terminal, lands.direction = True, -1
    first = np.concatenate((np.zeros(3), speed * forward, [float(launch.spin_rad_s[i])]))
    done = solve_ivp(rates, (0.0, 60.0), first, method="DOP853", rtol=1e-10, atol=1e-10, events=lands)
    return done.y_events[0][0] if len(done.y_events[0]) else None


def test_agrees_with_scipy_to_a_thousandth_of_a_yard():
    launch, day = some_shots(60, seed=3)
    ours = fly(launch, **day, air=TEST_AIR)
    compared = 0
    for i in range(60):
        end = by_scipy(launch, i, day["head_mps"][i], day["cross_mps"][i], day["rise_m"][i], TEST_AIR)
        assert (end is not None) == bool(ours.reached[i])
        if end is None:
            continue
        compared += 1
        assert ours.carry_m[i] == pytest.approx(end[0], abs=0.001 * YARD_M)
        assert ours.side_m[i] == pytest.approx(-end[1], abs=0.001 * YARD_M)
        assert ours.velocity_mps[i] == pytest.approx([end[3], -end[4], end[5]], abs=0.002)
        assert ours.spin_rad_s[i] == pytest.approx(end[6], abs=0.5 * RPM_RAD_S)  # a chord within the step
    assert compared >= 40


def test_kernel_is_the_numpy_form():
    launch, day = some_shots(CHUNK + 700, seed=4)
    launch = launch.replace(drag=np.random.default_rng(5).uniform(0.9, 1.1, CHUNK + 700))
    plain, fast = (fly(launch, **day, engine=e) for e in ("numpy", "kernel"))
    assert np.array_equal(plain.reached, fast.reached)
    assert 0.5 < plain.reached.mean() < 0.99
    for name in FIELDS:
        assert np.abs(getattr(plain, name) - getattr(fast, name)).max() < 1e-9


@pytest.mark.parametrize("club", ["driver", "5-iron", "7-iron", "pitching wedge"])
def test_a_forecast_wind_over_open_turf_is_worth_107_per_cent_of_itself(club):
    # Log law, roughness 0.03 m. Into the wind and across it a uniform wind of 1.04-1.10 does the same.
    def profile(z):
        return np.log1p(max(z, 0.0) / 0.03) / np.log1p(10.0 / 0.03)

    launch, wind = strike(club), 10.0 * MPH_MPS
    factor = np.array([1.04, 1.07, 1.10])
    into = by_scipy(launch[None], 0, wind, 0.0, 0.0, TEST_AIR, profile)[0]
    aside = -by_scipy(launch[None], 0, 0.0, wind, 0.0, TEST_AIR, profile)[1]
    down = by_scipy(launch[None], 0, -wind, 0.0, 0.0, TEST_AIR, profile)[0]
    uniform_into = fly(launch, head_mps=factor * wind, air=TEST_AIR).carry_m
    uniform_aside = fly(launch, cross_mps=factor * wind, air=TEST_AIR).side_m
    uniform_down = float(fly(launch, head_mps=-1.07 * wind, air=TEST_AIR).carry_m)
    assert uniform_into[2] < into < uniform_into[0]
    assert uniform_aside[0] < aside < uniform_aside[2]
    # Downwind 1.07 is too much, by less than a caddie's two yards.
    assert 0.0 < uniform_down - down < 2.0 * YARD_M


# --- invariants ---------------------------------------------------------------------------------------

CLUBS = ["driver", "3-wood", "hybrid", "5-iron", "7-iron", "9-iron", "pitching wedge", "sand wedge"]
speeds = st.floats(25.0, 80.0)
launches = st.floats(6.0, 35.0)
spins = st.floats(150.0, 1050.0)
winds = st.floats(-13.0, 13.0)


@given(speeds, launches, spins, winds, winds, st.floats(-20, 20), st.floats(-6, 6), st.floats(-20, 20))
def test_mirror(speed, up, spin, head, cross, tilt, start, rise):
    right = Launch(speed_mps=speed, launch_deg=up, spin_rad_s=spin, start_deg=start, tilt_deg=tilt)
    left = right.replace(start_deg=-start, tilt_deg=-tilt)
    a = fly(right, head_mps=head, cross_mps=cross, rise_m=rise)
    b = fly(left, head_mps=head, cross_mps=-cross, rise_m=rise)
    assert a.side_m == pytest.approx(-b.side_m, abs=1e-9)
    for name in ("carry_m", "apex_m", "speed_mps", "spin_rad_s", "time_s"):
        assert getattr(a, name) == pytest.approx(getattr(b, name), abs=1e-9)
    assert bool(a.reached) == bool(b.reached)


@given(speeds, launches, spins, st.floats(0.0, 2.0))
def test_a_higher_target_is_met_sooner_and_never_nan(speed, up, spin, share):
    launch = Launch(speed_mps=speed, launch_deg=up, spin_rad_s=spin)
    level = fly(launch)
    there = fly(launch, rise_m=share * level.apex_m)
    assert there.carry_m <= level.carry_m + 1e-9
    assert bool(there.reached) == (share <= 1.0) or abs(share - 1.0) < 1e-9
    assert all(np.all(np.isfinite(getattr(there, name))) for name in FIELDS)


@given(st.sampled_from(CLUBS), st.floats(0.75, 1.1), st.floats(0.5, 13.0))
def test_wind_in_the_face_is_shorter_and_a_crosswind_pushes_its_way(club, part, wind):
    # Not of every strike: a head wind lengthens a topped ball, which it lifts.
    launch = strike(club)
    launch = launch.replace(speed_mps=part * launch.speed_mps)
    calm = fly(launch)
    assert fly(launch, head_mps=wind).carry_m < calm.carry_m
    assert fly(launch, cross_mps=wind).side_m > 0.0
    assert fly(launch, cross_mps=-wind).side_m < 0.0
    assert abs(float(calm.side_m)) < 1e-9


@given(launches, spins, st.floats(25.0, 78.0), st.floats(0.1, 2.0))
def test_a_faster_ball_of_the_same_launch_carries_further(up, spin, speed, more):
    carries = [
        float(fly(Launch(speed_mps=v, launch_deg=up, spin_rad_s=spin)).carry_m) for v in (speed, speed + more)
    ]
    assert carries[1] > carries[0]


def test_tilt_curves_and_start_line_starts_to_the_right():
    assert flown("7-iron", tilt=5.0).side_m > 0.0
    assert flown("7-iron", tilt=-5.0).side_m < 0.0
    pushed = fly(strike("7-iron").replace(start_deg=2.0))
    assert pushed.side_m == pytest.approx(pushed.carry_m * np.tan(np.radians(2.0)))


# --- sizes a caddie knows -----------------------------------------------------------------------------


@pytest.mark.parametrize("club", ["driver", "5-iron", "7-iron", "pitching wedge"])
def test_hot_and_high_goes_further_and_cold_shorter(club):
    standard, hot_high, cold = (
        float(fly(strike(club), air=a).carry_yd)
        for a in (STANDARD_AIR, air(35.0, 5280 * FOOT_M), air(5.0, 0.0))
    )
    assert 1.06 < hot_high / standard < 1.12
    assert 0.96 < cold / standard < 0.995


def test_uphill_is_shorter_downhill_longer_by_about_the_height():
    level = float(flown("7-iron").carry_yd)
    assert -11.0 < float(flown("7-iron", up=10).carry_yd) - level < -8.0
    assert 7.0 < float(flown("7-iron", up=-10).carry_yd) - level < 11.0


def test_a_ball_that_cannot_get_up_there_is_short():
    low = strike((100.0, 8.0, 3000.0))
    apex = fly(low).apex_m
    just, not_quite, far = (fly(low, rise_m=apex * k) for k in (1.0 - 1e-6, 1.0 + 1e-6, 3.0))
    assert just.reached
    assert not not_quite.reached
    assert not far.reached
    assert just.carry_m == pytest.approx(not_quite.carry_m, abs=0.5)  # no jump as the target rises
    assert far.carry_m == not_quite.carry_m < fly(low).carry_m


# --- shapes, tracks, errors ---------------------------------------------------------------------------


def test_shapes_broadcast_and_an_empty_batch_is_empty():
    there = fly(strike("driver"), head_mps=np.zeros((3, 1)), rise_m=np.zeros(4))
    assert there.carry_m.shape == (3, 4)
    assert there.velocity_mps.shape == (3, 4, 3)
    assert fly(
        Launch(speed_mps=np.zeros(0), launch_deg=np.zeros(0), spin_rad_s=np.zeros(0))
    ).carry_m.shape == (0,)


def test_track_starts_at_the_ball_ends_at_the_landing_and_passes_the_apex():
    launch, day = some_shots(40, seed=9)
    way, there = track(launch, 201, **day), fly(launch, **day)
    assert np.all(way.depth_m[:, 0] == 0.0)
    assert np.all(way.height_m[:, 0] == 0.0)
    assert way.depth_m[:, -1] == pytest.approx(there.carry_m)
    assert way.side_m[:, -1] == pytest.approx(there.side_m)
    assert way.height_m[there.reached, -1] == pytest.approx(day["rise_m"][there.reached])
    assert way.height_m.max(axis=1) == pytest.approx(there.apex_m, abs=0.01)
    assert np.all(way.height_m.max(axis=1) <= there.apex_m + 1e-9)


def test_track_at_a_share_of_the_carry():
    way = track(strike("driver").replace(tilt_deg=8.0), 401)
    side, height = way.at_depth([0.0, 0.25, 0.5, 0.75, 1.0])
    assert side.shape == (5,)
    assert np.all(np.diff(side) > 0.0)
    assert height[0] == 0.0
    assert height[-1] == pytest.approx(0.0, abs=1e-9)
    assert np.argmax(height) in (2, 3)  # a ball is highest past half way
    with pytest.raises(ValueError, match="2 points or more"):
        track(strike("driver"), 1)


def test_a_bend_lies_near_the_parabola_of_the_drawings():
    # Before physics a bend was drawn as b (u² - u); flown, a quarter point is within a tenth of b of it.
    way = track(strike("7-iron").replace(tilt_deg=6.0), 401)
    side, _ = way.at_depth([0.25, 0.5, 0.75, 1.0])
    b = side[-1]
    assert side / b == pytest.approx([0.0625, 0.25, 0.5625, 1.0], abs=0.1)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"speed_mps": 167.0}, "167 looks like miles an hour: that would be 74.66 m/s"),
        ({"spin_rad_s": 7097.0}, "7097 looks like revolutions a minute: that would be 743.2 rad/s"),
        ({"launch_deg": -3.0}, "launch angle: -3 ° is outside"),
        ({"tilt_deg": 90.0}, "axis tilt"),
        ({"speed_mps": float("nan")}, "ball speed: nan is not a number"),
    ],
)
def test_a_launch_that_cannot_be_meant(change, said):
    with pytest.raises(PhysicsError) as fault:
        strike("7-iron").replace(**change)
    assert said in str(fault.value)


def test_conditions_that_cannot_be_meant():
    with pytest.raises(PhysicsError, match="looks like miles an hour"):
        fly(strike("7-iron"), head_mps=60.0)
    with pytest.raises(PhysicsError, match="height difference"):
        fly(strike("7-iron"), rise_m=900.0)
    with pytest.raises(PhysicsError, match="grams per cubic metre"):
        Air(1194.0)


def test_rpm_is_the_trade_unit():
    assert strike("7-iron").spin_rpm == pytest.approx(7097.0)
    assert pytest.approx(2.0 * np.pi / 60.0) == RPM_RAD_S
