"""What a day does to a shot, and the facts of the trade that follow."""

import numpy as np
import pytest

from strategy.ball.air import air
from strategy.ball.flight import fly
from strategy.ball.launch import Known, infer
from strategy.units import FOOT_M, MPH_MPS, YARD_M
from tests.ball.strikes import strike


def moved(launch, **day):
    """How much longer a shot carries under the day than in calm standard air on level ground. [m]"""
    return fly(launch, **day).carry_m - fly(launch).carry_m


def test_every_wind_up_to_30_mph_and_a_height_out_of_reach_are_flown_not_nan():
    launch = infer([Known(club="7-iron", carry_m=115.0), Known(club="driver", carry_m=250.0)]).launch
    way = np.radians(np.arange(0.0, 360.0, 15.0))[:, None, None]
    wind, rise = 30 * MPH_MPS, np.array([[-20.0], [0.0], [60.0]])
    there = fly(launch, head_mps=wind * np.cos(way), cross_mps=wind * np.sin(way), rise_m=rise)
    carry, side = there.carry_m, there.side_m
    assert carry.shape == (24, 3, 2)
    assert np.all(np.isfinite(carry))
    assert np.all(np.isfinite(side))
    assert np.all(carry[:, 2] < carry[:, 1])


def test_a_20_mph_wind_is_not_two_10_mph_winds():
    launch = strike("7-iron")
    ten, twenty = (float(moved(launch, head_mps=h * MPH_MPS)) for h in (10, 20))
    assert twenty < 2.0 * ten < 0.0
    down, more = (float(moved(launch, head_mps=-h * MPH_MPS)) for h in (10, 20))
    assert 0.0 < more < 2.0 * down


def test_a_weak_low_iron_loses_carry_downwind():
    weak = infer([Known(club="7-iron", carry_m=115 * YARD_M, height="low")]).launch
    assert float(moved(weak, head_mps=-20 * MPH_MPS)[0]) < 1.0 * YARD_M


def test_one_more_club_swung_softer_holds_its_number_better_in_gusts():
    # Common practice: into a wind, more club and softer. Both carry 160 in calm air.
    launch = infer([Known(club=c, carry_m=160 * YARD_M) for c in ("8-iron", "7-iron")]).launch
    gusts = np.array([6.0, 8.0, 10.0, 12.0, 14.0, 16.0]) * MPH_MPS
    carries = fly(launch, head_mps=gusts[:, None]).carry_m
    assert launch.spin_rad_s[1] < launch.spin_rad_s[0]
    assert carries[:, 1].std() < carries[:, 0].std()
    assert np.all(carries[:, 1] > carries[:, 0])


@pytest.mark.parametrize("feet", [1000, 5280])
def test_high_courses_play_shorter(feet):
    longer = float(moved(strike("7-iron"), air=air(20.0, feet * FOOT_M)))
    assert 0.0 < longer < 0.12 * float(fly(strike("7-iron")).carry_m)


def _same_number(club, hard, into, height):
    """A softer swing of a club that carries as far as the hard one into a head wind."""
    wanted = float(fly(hard, head_mps=into).carry_m)
    low, high = 0.7 * wanted, 1.4 * wanted
    for _ in range(4):  # each time the one of 20 steps that holds the carry: to a millimetre
        carries = np.linspace(low, high, 21)
        swings = infer([Known(club=club, carry_m=c, height=height) for c in carries])
        above = int(np.argmax(fly(swings.launch, head_mps=into).carry_m >= wanted))
        low, high = carries[above - 1], carries[above]
    return infer([Known(club=club, carry_m=0.5 * (low + high), height=height)]), wanted


@pytest.mark.parametrize("height", ["normal", "low"])
@pytest.mark.parametrize(
    ("club", "carry", "more"),
    [
        ("9-iron", 148, "8-iron"),
        ("8-iron", 160, "7-iron"),
        ("7-iron", 172, "6-iron"),
        ("5-iron", 194, "4-iron"),
    ],
)
def test_one_more_club_swung_softer_spins_less_and_spreads_less_over_gusts(club, carry, more, height):
    """Common practice, no source. Both are the right number for 15 mph; the gusts are 10 to 20 mph."""
    hard = infer([Known(club=club, carry_m=carry * YARD_M)]).launch[0]
    soft, wanted = _same_number(more, hard, 15 * MPH_MPS, height)
    full = {"8-iron": 160, "7-iron": 172, "6-iron": 183, "4-iron": 203}[more]
    assert float(soft.calm.carry_m[0]) < full * YARD_M  # less than that club's full carry: softer
    assert float(soft.launch.spin_rad_s[0]) < float(hard.spin_rad_s)
    gusts = np.linspace(10, 20, 11) * MPH_MPS
    spreads = [
        float(np.std(fly(launch, head_mps=gusts).carry_m) / YARD_M) for launch in (hard, soft.launch[0])
    ]
    assert float(fly(soft.launch, head_mps=15 * MPH_MPS).carry_m[0]) == pytest.approx(wanted, abs=0.01)
    assert spreads[1] < 0.95 * spreads[0]
