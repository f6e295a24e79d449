"""The check table: flights against published tour averages and published changes with wind, height and air.

Every row is tested twice: against the figure that the reference prototype of the same equations gave, to
0.5 yd (or 0.5°), and against the published figure, to the larger of half its last digit + 0.5 and 1.25 times
the prototype's miss. That miss is only known as far as the prototype's figure was printed, so half a last
digit of it is added before the 1.25. Rows marked [M] are from memory.

The air is 75 °F, 50 %, 30 inHg: density 1.1849. The prototype's viscosity was not written down; 1.84e-5
Pa s gives every one of its 36 figures for the men's tour to the printed digit, Sutherland's 1.832e-5 all but
three land angles (by 0.04°).
Rows whose launch nobody printed are checked in sign and size only; they stand apart below.

Sources: "tour averages" are published tour averages by radar measurement (reference/launch_tour.csv says
which cells are confirmed); wind, height, altitude and temperature are press reports of radar measurements
and ball-flight calculations; the test ball is that of the R&A/USGA Overall Distance Standard notices of 2004
and December 2023.
"""

import numpy as np
import pytest

from strategy.ball.air import TEST_AIR, air
from strategy.ball.flight import fly
from strategy.ball.ground import run_of
from strategy.ball.launch import Known, infer
from strategy.codes import Surface
from strategy.reference import rows
from strategy.units import FOOT_M, MPH_MPS, YARD_M
from tests.ball.strikes import AMATEUR_DRIVER, carry, flown, strike


def check(got, model, published, half_digit=0.5):
    """Half a last digit of `model` is 0.5 where it is printed whole and 0.05 where it has a decimal."""
    assert got == pytest.approx(model, abs=0.5)
    miss = abs(model - published) + (0.5 if model == int(model) else 0.05)
    assert got == pytest.approx(published, abs=max(half_digit + 0.5, 1.25 * miss))


def test_the_two_viscosities_are_one_to_a_caddie():
    for club in MEN:
        assert carry(club) == pytest.approx(carry(club, air=TEST_AIR), abs=0.25)


MEN = [
    "driver",
    "3-wood",
    "5-wood",
    "hybrid",
    "3-iron",
    "4-iron",
    "5-iron",
    "6-iron",
    "7-iron",
    "8-iron",
    "9-iron",
]
MEN += ["pitching wedge"]
MEN_CARRY = [272, 246, 231, 221, 213, 203, 193, 181, 167, 157, 145, 132]
MEN_APEX = [34, 31, 32, 31, 30, 29, 30, 32, 33, 33, 33, 33]
MEN_LAND = [40, 42, 44, 44, 43, 43, 45, 47, 49, 50, 51, 52]
WOMEN = ["driver", "5-wood", "4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "pitching wedge"]
WOMEN_CARRY = [221, 189, 166, 158, 151, 141, 133, 120, 107]
PRINTED = {(row["tour"], row["club"]): row for row in rows("launch_tour")}


@pytest.mark.parametrize(("club", "model"), list(zip(MEN, MEN_CARRY, strict=True)))
def test_mens_tour_carry(club, model):
    check(carry(club), model, float(PRINTED["men", club]["carry_yd"]))


@pytest.mark.parametrize(("club", "model"), list(zip(MEN, MEN_APEX, strict=True)))
def test_mens_tour_apex(club, model):
    check(float(flown(club).apex_m) / YARD_M, model, float(PRINTED["men", club]["apex_yd"]))


@pytest.mark.parametrize(("club", "model"), list(zip(MEN, MEN_LAND, strict=True)))
def test_mens_tour_land_angle(club, model):
    check(float(flown(club).descent_deg), model, float(PRINTED["men", club]["land_deg"]))


@pytest.mark.parametrize(("club", "model"), list(zip(WOMEN, WOMEN_CARRY, strict=True)))
def test_womens_tour_carry_from_memory(club, model):  # [M]
    check(carry(club, tour="women"), model, float(PRINTED["women", club]["carry_yd"]))


def test_hold_out_amateur_driver_from_memory():  # [M]; not in the fit
    check(carry(AMATEUR_DRIVER), 202, 204)


def total(shot, f=0.0):
    there = flown(shot)
    return float(there.carry_m + run_of(there, Surface.FAIRWAY, firmness=f).along_m) / YARD_M


def test_overall_distance_standard_now():
    # R&A/USGA, Overall Distance Standard, 2004: 120 mph head, 317 yd (+3). Ball 176 mph, 10°, 2520 rpm.
    shot = (176.0, 10.0, 2520.0)
    assert carry(shot) == pytest.approx(288.5, abs=0.5)
    assert total(shot) - carry(shot) == pytest.approx(23.8, abs=0.5)
    check(total(shot), 312.3, 317.0)
    assert total(shot, 0.2) == pytest.approx(317.0, abs=0.5)


@pytest.mark.parametrize("rpm", [2200.0, 2220.0])
def test_overall_distance_standard_2028(rpm):
    # R&A/USGA notice of December 2023: 125 mph (ball 183 mph), 11°, 2200-2220 rpm; "longest hitters lose
    # 13-15 yd" with the same 317 limit, so today's ball gains about 14 from the new test. The model: 17.4.
    shot = (183.0, 11.0, rpm)
    assert total(shot) == pytest.approx(329.7, abs=0.5)
    check(total(shot) - total((176.0, 10.0, 2520.0)), 17.4, 14.0, half_digit=1.0)


@pytest.mark.parametrize(
    ("club", "head", "model", "published", "half_digit"),
    [
        ("6-iron", 20, -41.3, -39, 0.5),
        ("6-iron", -20, 21.4, 23, 0.5),
        ("driver", 10, -17.5, -18, 0.5),
        ("7-iron", 10, -18.1, -17.3, 0.05),
        ("7-iron", 20, -41.1, -40.5, 0.25),
        # "1 % a mph into, half that down" of 172: the model says 13 downwind, the rule 9; it understates.
        ("7-iron", 10, -18, -17, 0.5),
        ("7-iron", -10, 13, 9, 0.5),
    ],
)
def test_head_and_tail_wind(club, head, model, published, half_digit):
    check(carry(club, head=head) - carry(club), model, published, half_digit)


@pytest.mark.parametrize(
    ("club", "model", "published"),
    [
        ("driver", 16.3, 15.0),
        ("7-iron", 14.6, 15.0),
        ("pitching wedge", 12.9, 15.0),
        (AMATEUR_DRIVER, 12.2, 15.0),
    ],
)
def test_crosswind_of_10_mph(club, model, published):
    # "About 15 yd": not in the fit. The published figure names no club; the amateur's misses it by 2.8.
    side = float(flown(club, cross=10).side_m) / YARD_M
    check(side, model, published)


@pytest.mark.parametrize(
    ("club", "down", "up"),
    [
        ("driver", 11.1, -13.1),
        ("7-iron", 8.4, -9.4),
        ("pitching wedge", 7.5, -8.3),
        (AMATEUR_DRIVER, 11.8, -14.8),
    ],
)
def test_ten_yards_down_and_up(club, down, up):
    # Published rule: a yard a yard (a club for ten); not in the fit.
    check(carry(club, up=-10) - carry(club), down, 10.0)
    check(carry(club, up=10) - carry(club), up, -10.0)


def test_height_rule_is_yards_over_the_tangent_of_the_descent():
    # Small rises only: the curve of the flight shows at ten yards.
    for club in MEN:
        calm = flown(club)
        steep = np.tan(np.radians(float(calm.descent_deg)))
        assert carry(club, up=1.0) - carry(club) == pytest.approx(-1.0 / steep, rel=0.03)


def high_up(feet):
    return air((75.0 - 32.0) / 1.8, feet * FOOT_M)


@pytest.mark.parametrize(
    ("club", "feet", "percent", "low", "high"),
    [
        ("driver", 1000, 1.4, 1.16, 1.16),  # 1.16 % a 1,000 ft
        ("driver", 5280, 6.4, 6.0, 10.0),  # 6-10 % at 5,280 ft
        ("7-iron", 5280, 7.5, 6.0, 10.0),
        (AMATEUR_DRIVER, 5280, 4.0, 6.0, 10.0),
    ],
)
def test_altitude(club, feet, percent, low, high):
    gain = carry(club, air=high_up(feet)) / carry(club, air=high_up(0)) - 1.0
    assert 100.0 * gain == pytest.approx(percent, abs=0.5)
    nearest = min(max(percent, low), high)
    assert 100.0 * gain == pytest.approx(nearest, abs=max(0.5, 1.25 * abs(percent - nearest)))


@pytest.mark.parametrize(
    ("club", "yards", "low", "high"), [("driver", 1.9, 1.3, 2.0), (AMATEUR_DRIVER, 0.9, 1.3, 2.0)]
)
def test_ten_degrees_fahrenheit(club, yards, low, high):
    warm, cool = (air((f - 32.0) / 1.8, 0.0) for f in (75.0, 65.0))
    gain = carry(club, air=warm) - carry(club, air=cool)
    assert gain == pytest.approx(yards, abs=0.1)
    assert low - max(0.5, 1.25 * (low - yards)) <= gain <= high + 0.5


@pytest.mark.parametrize(("club", "yards"), [("driver", 1.4), ("7-iron", 1.0)])
def test_humidity_from_10_to_100_per_cent_at_86_fahrenheit(club, yards):
    # Published: about 1 yd; not in the fit.
    damp, dry = (air(30.0, 0.0, humidity=h) for h in (1.0, 0.1))
    gain = carry(club, air=damp) - carry(club, air=dry)
    assert gain == pytest.approx(yards, abs=0.1)
    assert gain == pytest.approx(1.0, abs=1.0)


@pytest.mark.parametrize(("club", "percent"), [("driver", 0.79), ("7-iron", 0.99), ("pitching wedge", 0.94)])
def test_a_degree_of_tilt_from_memory(club, percent):  # [M]: 0.7 % of carry a degree; not in the fit
    curve = 100.0 * float(flown(club, tilt=1.0).side_m) / float(flown(club).carry_m)
    assert curve == pytest.approx(percent, abs=0.01)
    assert curve == pytest.approx(0.7, abs=1.25 * (percent - 0.7))


# --- what is inferred from a published carry alone ---------------------------------------------------

# The women's 3-wood stands apart: see the test after the next.
TABLE = [key for key, row in PRINTED.items() if row["carry_yd"] and key != ("women", "3-wood")]


@pytest.mark.parametrize("head", [10, 20, -10, -20])
@pytest.mark.parametrize(("tour", "club"), TABLE)
def test_carry_alone_answers_the_wind_as_the_published_launch(tour, club, head):
    bag = infer([Known(club=club, carry_m=float(PRINTED[tour, club]["carry_yd"]) * YARD_M)])
    stated = strike(club, tour)
    assert bag.launch.speed_mps[0] == pytest.approx(stated.speed_mps, rel=1e-4)
    assert bag.launch.launch_deg[0] == pytest.approx(stated.launch_deg, abs=0.01)
    assert bag.launch.spin_rad_s[0] == pytest.approx(stated.spin_rad_s, rel=1e-3)
    alone, known = (
        float(fly(one, head_mps=head * MPH_MPS).carry_yd - fly(one).carry_yd)
        for one in (bag.launch[0], stated)
    )
    assert alone == pytest.approx(known, abs=0.4 if abs(head) == 10 else 1.0)


def test_carry_alone_of_a_7_iron_into_the_wind_is_near_the_published_loss():
    # Published: -17.3 into 10 mph, about -40.5 into 20 [C].
    bag = infer([Known(club="7-iron", carry_m=172.0 * YARD_M)], TEST_AIR)
    for head, model, published in ((10, -18.1, -17.3), (20, -41.1, -40.5)):
        into = float(fly(bag.launch, head_mps=head * MPH_MPS, air=TEST_AIR).carry_yd[0]) - 172.0
        assert into == pytest.approx(model, abs=0.7)
        assert into == pytest.approx(published, abs=1.5)


def test_the_womens_3_wood_contradicts_itself_and_is_left_out():
    # Its 2704 rpm [M] goes up 19 yd; the same row prints an apex of 23, which is what the line gives.
    row = PRINTED["women", "3-wood"]
    bag = infer([Known(club="3-wood", carry_m=float(row["carry_yd"]) * YARD_M)])
    assert float(flown("3-wood", tour="women").apex_m) / YARD_M < float(row["apex_yd"]) - 3.0
    assert float(bag.calm.apex_m[0]) / YARD_M == pytest.approx(float(row["apex_yd"]), abs=0.5)


# --- rows whose launch nobody printed: sign and size -------------------------------------------------


def test_longer_amateur_and_250_yard_drive_sign_and_size():
    # Published: longer amateur's driver 10 mph -12/+9, a 250-yd drive -13/+9; the model of guessed launches
    # gave -12.7/+8.7 and -14.8/+11.3.
    for shot in ((140.0, 12.5, 3100.0), (155.0, 12.0, 2900.0)):
        into, down = (carry(shot, head=h) - carry(shot) for h in (10, -10))
        assert -17.0 < into < -10.0
        assert 5.0 < down < 13.0
        assert -into > down


def test_54_degree_wedge_into_10_mph():
    # Published: -13.5 [C]. Neither launch nor carry is printed. The launch is the line's for this loft
    # (anchors [M]); a tour player's 54 carries 100 to 115 yd (common practice). The prototype's guess: -14.9.
    losses = []
    for yards in (100.0, 105.0, 110.0, 115.0):
        bag = infer([Known(club="54", carry_m=yards * YARD_M)], TEST_AIR)
        into = fly(bag.launch, head_mps=10.0 * MPH_MPS, air=TEST_AIR)
        losses.append(float(into.carry_yd[0] - bag.calm.carry_yd[0]))
    assert losses[0] > -13.5 > losses[-1]
    assert losses[1:3] == pytest.approx([-13.5, -13.5], abs=1.0)


def test_2023_hold_outs_sign_and_size():
    # 171 mph driver: 282 carry, 35 apex, model 279.5 and 33.1; the launch is our guess from the driver row.
    shot = (171.0, 10.4, 2545.0)
    assert carry(shot) == pytest.approx(282.0, abs=5.0)
    assert float(flown(shot).apex_m) / YARD_M == pytest.approx(35.0, abs=3.0)


def test_7600_feet_sign_and_size():
    # Press: tour 5-iron +28 yd, apex 35 -> 32, land 48 -> 40, land speed +4 mph. The weakest row: the
    # model's carry gain is low (+16.9).
    low, high = flown("5-iron"), flown("5-iron", air=high_up(7600))
    assert 15.0 < float(high.carry_yd - low.carry_yd) < 28.0
    assert -6.0 < float(high.apex_m - low.apex_m) / YARD_M < -2.0
    assert -9.0 < float(high.descent_deg - low.descent_deg) < -6.0
    assert float(high.speed_mps - low.speed_mps) / MPH_MPS == pytest.approx(4.0, abs=1.5)


def test_low_and_high_flight_of_one_club_sign_and_size():
    # Tour 7-iron low (113 mph, 12.5°, 6300 rpm): 156 carry, apex 21; -20 mph -28, +20 +7, cross 10 11.2.
    low = (113.0, 12.5, 6300.0)
    check(carry(low), 156, 156)
    assert float(flown(low).apex_m) / YARD_M == pytest.approx(21.0, abs=0.5)
    assert carry(low, head=20) - carry(low) == pytest.approx(-28.0, abs=0.5)
    assert carry(low, head=-20) - carry(low) == pytest.approx(7.0, abs=0.5)
    assert float(flown(low, cross=10).side_m) / YARD_M == pytest.approx(11.2, abs=0.5)


def test_155_mph_ball_gains_with_height_and_heat_sign_and_size():
    # Published 2.5 yd a 1,000 ft and 1.3-2 yd a 10 °F; the model of a guessed launch +3.0 and 1.5.
    shot = (155.0, 12.0, 2700.0)
    assert 2.0 < carry(shot, air=high_up(1000)) - carry(shot, air=high_up(0)) < 4.0
    warm, cool = (air((f - 32.0) / 1.8, 0.0) for f in (75.0, 65.0))
    assert 1.0 < carry(shot, air=warm) - carry(shot, air=cool) < 2.0


def test_spin_left_over_a_flight():
    # Smits & Smith 1994 (decay, from memory); whole flights leave 78-90 % in the prototype.
    left = [float(flown(c).spin_rad_s / strike(c).spin_rad_s) for c in MEN]
    assert min(left) > 0.775
    assert max(left) < 0.905
