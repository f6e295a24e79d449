"""Bounce and run: directions, slopes, surfaces, and firmness read back from runs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.ball.firmness import Firmness, combine, firmness_from_seen
from strategy.ball.flight import fly
from strategy.ball.ground import MOST_RUN_M, RUN_SD_M, check_stimp, run, run_of, stopping_slope
from strategy.codes import Surface
from strategy.errors import PhysicsError
from strategy.units import YARD_M
from tests.ball.strikes import flown, strike

GREEN, FAIRWAY = Surface.GREEN, Surface.FAIRWAY
firm = st.floats(-1.5, 1.5)


@given(
    st.floats(8.0, 20.0),
    st.floats(-5.0, 5.0),
    st.floats(-22.0, -8.0),
    st.floats(0.0, 900.0),
    firm,
    st.floats(-0.03, 0.03),
)
def test_mirror(along, aside, up, spin, f, slope):
    right = run([along, aside, up], spin, GREEN, firmness=f, slope=[0.01, slope])
    left = run([along, -aside, up], spin, GREEN, firmness=f, slope=[0.01, -slope])
    assert right.depth_m == pytest.approx(left.depth_m, abs=1e-9)
    assert right.side_m == pytest.approx(-left.side_m, abs=1e-9)


@given(st.floats(0.0, 2.0 * np.pi), firm)
def test_a_run_turns_with_its_landing(turn, f):
    cos, sin = np.cos(turn), np.sin(turn)
    there = run([15.0 * cos, 15.0 * sin, -18.0], 500.0, FAIRWAY, firmness=f)
    plain = run([15.0, 0.0, -18.0], 500.0, FAIRWAY, firmness=f)
    assert there.along_m == pytest.approx(plain.along_m, abs=1e-9)
    assert there.depth_m == pytest.approx(plain.along_m * cos, abs=1e-9)
    assert there.side_m == pytest.approx(plain.along_m * sin, abs=1e-9)


@pytest.mark.parametrize("club", ["driver", "5-iron", "7-iron"])
@pytest.mark.parametrize("surface", [FAIRWAY, Surface.FIRST_CUT, GREEN, Surface.ROUGH])
def test_firmer_runs_further(club, surface):
    runs = run_of(flown(club), surface, firmness=np.linspace(-2.0, 2.5, 19)).along_m
    assert np.all(np.diff(runs) > -0.2)  # one hop fewer may cost a few inches
    assert runs[-1] > runs[9] > runs[0]


def test_longer_grass_holds_more():
    there = flown("driver")
    runs = [
        float(run_of(there, s).along_m) for s in (FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH, Surface.BUNKER)
    ]
    assert runs == sorted(runs, reverse=True)
    assert runs[-1] == 0.0
    assert float(run_of(there, Surface.RED).sd_m) == 0.0
    assert float(run_of(there, Surface.TEE).along_m) == runs[0]
    assert float(run_of(there, Surface.TREES).along_m) == runs[2]


def test_faster_greens_run_further_and_spread_is_30_per_cent_and_a_yard():
    there = run_of(flown("5-iron"), GREEN, stimp_ft=np.array([8.0, 10.0, 12.0]))
    assert np.all(np.diff(there.along_m) > 0.0)
    assert there.sd_m == pytest.approx(0.3 * there.along_m + RUN_SD_M)


def test_backspin_brings_a_full_wedge_back_on_a_soft_green_only():
    wedge = flown("sand wedge")
    back = run_of(wedge, GREEN, firmness=np.array([-1.0, 1.0]))
    assert back.along_m[0] < 0.0 < back.along_m[1]
    assert back.depth_m[0] == pytest.approx(back.along_m[0], abs=1e-9)


def test_slope_down_runs_on_up_stops_and_across_falls_off():
    there = flown("7-iron")
    level, down, up, right_low, left_low = (
        run_of(there, GREEN, slope=s) for s in ((0, 0), (-0.03, 0), (0.03, 0), (0, -0.03), (0, 0.03))
    )
    assert up.along_m < level.along_m < down.along_m
    assert right_low.side_m > 0.2
    assert left_low.side_m == pytest.approx(-right_low.side_m, abs=1e-9)
    assert right_low.along_m == pytest.approx(level.along_m, rel=0.05)


def test_too_steep_to_stop_is_said_and_cut():
    there = flown("5-iron")
    steep = run_of(there, GREEN, stimp_ft=13.0, slope=[-float(stopping_slope(13.0)) - 0.01, 0.0])
    gentle = run_of(there, GREEN, stimp_ft=13.0, slope=[-0.02, 0.0])
    assert not steep.stops
    assert gentle.stops
    assert gentle.along_m < steep.along_m <= MOST_RUN_M
    assert np.isfinite(steep.along_m)


def test_a_ball_that_did_not_get_up_there_stays():
    low = fly(strike((100.0, 8.0, 3000.0)), rise_m=60.0)
    assert not low.reached
    assert float(run_of(low, FAIRWAY).along_m) == 0.0


def test_a_ball_straight_down_does_not_go_anywhere_strange():
    there = run([0.0, 0.0, -20.0], 0.0, GREEN)
    assert there.along_m == pytest.approx(0.0, abs=1e-9)
    assert np.isfinite(run([0.0, 0.0, -20.0], 900.0, GREEN).along_m)


def test_shapes_broadcast():
    there = run_of(flown("7-iron"), np.array([[GREEN], [FAIRWAY]]), firmness=np.array([-1.0, 0.0, 1.0]))
    assert there.depth_m.shape == there.stops.shape == (2, 3)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            {"stimp_ft": 40.0},
            "40 ft is outside 4 to 16 ft. 40 looks like metres without their point: that would be 13.12 ft",
        ),
        ({"stimp_ft": 110.0}, "110 looks like inches: that would be 9.167 ft"),
        ({"stimp_ft": 3.4}, "3.4 looks like metres: that would be 11.15 ft"),
        ({"stimp_ft": 132.0}, "132 looks like inches: that would be 11 ft"),
        ({"stimp_ft": 20.0}, "Tour greens run 10 to 13 ft"),
        ({"firmness": 7.0}, "-1 is soft, 0 normal, +1 firm, +2 baked"),
        ({"slope": [3.0, 0.0]}, "3 looks like per cent: that would be 0.03"),
    ],
)
def test_what_cannot_be_meant(change, said):
    with pytest.raises(PhysicsError) as fault:
        run_of(flown("7-iron"), GREEN, **change)
    assert said in str(fault.value)


def test_a_rising_ball_cannot_land():
    with pytest.raises(PhysicsError, match="a ball that rises cannot land"):
        run([10.0, 0.0, 5.0], 300.0, GREEN)
    assert float(check_stimp(11.0)) == 11.0


# --- firmness from what is seen -----------------------------------------------------------------------


@given(st.floats(-1.5, 2.0), st.sampled_from([("driver", FAIRWAY), ("7-iron", GREEN), ("5-iron", GREEN)]))
def test_firmness_is_read_back_from_its_run(f, shot):
    club, surface = shot
    there = flown(club)
    seen = float(run_of(there, surface, firmness=f).along_m)
    read = firmness_from_seen(there, seen, surface)
    assert read.inside
    assert float(run_of(there, surface, firmness=read.f).along_m) == pytest.approx(seen, abs=0.15)
    assert read.f == pytest.approx(f, abs=0.05)


def test_a_caddies_words():
    # "7-iron released 4 paces, driver ran 18": an everyday green and a fairway a little under normal.
    green = firmness_from_seen(flown("7-iron"), 4 * YARD_M, GREEN)
    fairway = firmness_from_seen(flown("driver"), 18 * YARD_M, FAIRWAY)
    assert -0.5 < green.f < 0.0
    assert -0.5 < fairway.f < 0.0
    assert 0.1 < green.sd < 1.0
    assert green.note == fairway.note == ""


@pytest.mark.parametrize(("seen", "f", "word"), [(-9.0, -2.0, "less"), (80.0, 2.5, "more")])
def test_a_run_outside_the_model_is_said(seen, f, word):
    read = firmness_from_seen(flown("7-iron"), seen * YARD_M, GREEN)
    assert (read.f, read.inside) == (f, False)
    assert f"is {word} than" in read.note
    assert "green" in read.note


def test_sightings_combine_by_how_sharply_they_tell():
    sharp, vague = Firmness(f=0.4, sd=0.2), Firmness(f=-0.6, sd=0.4)
    both = combine([sharp, vague])
    assert both.f == pytest.approx(0.2)
    assert both.sd < sharp.sd
    assert combine([sharp], prior=Firmness(f=0.0, sd=0.2)).f == pytest.approx(0.2)
    assert not combine([sharp, Firmness(f=2.5, sd=0.5, inside=False, note="too far")]).inside
    with pytest.raises(ValueError, match="no firmness was seen"):
        combine([])
