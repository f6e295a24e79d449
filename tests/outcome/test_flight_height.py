"""Heights of flights on their way: the table's three numbers against the flight itself, and by hand."""

from __future__ import annotations

import numpy as np
import pytest

from strategy.ball.air import STANDARD_AIR
from strategy.ball.clubs import anchors
from strategy.ball.flight import Launch, track
from strategy.codes import Lie
from strategy.demofiles import demo
from strategy.outcome.flight_height import height_coefficients
from strategy.outcome.shot_table import shot_table
from strategy.outcome.table import USUAL_HEIGHT
from strategy.outcome.weather import WET, Weather, launches, table_in, winds
from strategy.player import read_player
from tests.worlds import blowing

F = int(Lie.FAIRWAY)
SHARES = np.linspace(0.01, 0.99, 99)


@pytest.fixture(scope="module")
def player():
    return read_player(demo().player)


def above(row, shares=SHARES):
    """Height of a ball with this row at shares of its full carry. [m]"""
    k = np.asarray(row.flight_height)
    return float(row.carry) * shares * (1.0 - shares) * (k[0] + k[1] * shares + k[2] * shares**2)


# Heading 0 is into a wind from the north, 90 across it, 180 down it; 37 and 300 lie between.
@pytest.mark.parametrize("heading", [0.0, 37.0, 90.0, 180.0, 300.0])
@pytest.mark.parametrize(
    ("mph", "near", "height"), [(0.0, 0.6, 0.9), (10.0, 0.6, 1.2), (15.0, 0.6, 1.3), (20.0, 1.3, 3.8)]
)
def test_the_tables_heights_are_those_of_the_flight(player, mph, near, height, heading):
    """A driver, a 7-iron and two wedges. `near` [m]: from the flight itself, where it is under 25 m up;
    `height` [m]: straight up and down, anywhere. Measured: 0.5 and 0.8 calm, 0.6 and 1.1 in 10 mph,
    0.6 and 1.2 in 15 mph, 1.2 and 3.6 in 20 mph, each of them into the wind.
    """
    day = blowing(mph)
    table, bag = table_in(player, day), launches(player)
    head, cross = winds(day.wind, np.array([heading]))
    for club in ("driver", "7-iron", "pitching wedge", "sand wedge"):
        shot = table.clubs.index(club)
        way = track(bag.launch[[shot]], 1001, head_mps=head, cross_mps=cross)
        truth = way.at_depth(SHARES)[1][0]
        row = table.at(shot, F, heading)
        said = above(row)
        off = np.hypot(
            (float(row.carry) * SHARES)[:, None] - way.depth_m[0], said[:, None] - way.height_m[0]
        ).min(axis=1)
        assert off[truth < 25.0].max() < near, club
        assert np.abs(said - truth).max() < height, club


def test_a_tour_7_iron_is_14_m_up_40_m_out():
    """By hand, from its launch: 53.64 m/s at 16.3 degrees, so 51.49 m/s ahead and 15.06 up; 743 rad/s.

    At the start S = 743 x 0.02134 / 53.64 = 0.296, lift 0.548 x 0.296 / 0.513 = 0.316, drag
    0.127 + 0.624 x 0.316 = 0.324, and rho A V² / 2 m = 0.01859 x 2877 = 53.5 m/s²: lift 16.9, drag 17.3.
    Ahead that is -17.3 cos - 16.9 sin = -21.4, up 16.9 cos - 17.3 sin - 9.8 = +1.6 m/s².
    Half way, at about 45.7 m/s and 20 degrees, both are 13.1: -16.8 ahead, -1.9 up. What counts for the
    place is the first third of the way from the one to the other: -18.3 ahead, -0.8 up. So 40 m are made
    in T with 51.49 T - 9.15 T² = 40, T = 0.93 s, and the ball is 15.06 T - 0.4 T² = 13.7 m up.
    """
    iron = anchors()["7-iron"]
    launch = Launch(
        speed_mps=np.array([[iron.speed_mps]]), launch_deg=iron.launch_deg, spin_rad_s=iron.spin_rad_s
    )
    way = track(launch, 1001)
    assert np.interp(40.0, way.depth_m[0, 0], way.height_m[0, 0]) == pytest.approx(13.7, abs=0.15)
    k = height_coefficients(launch, np.zeros(12), np.zeros(12), STANDARD_AIR)[0, 0]
    carry = way.depth_m[0, 0, -1]
    u = 40.0 / carry
    assert carry * u * (1.0 - u) * (k[0] + k[1] * u + k[2] * u**2) == pytest.approx(13.7, abs=0.3)


def test_what_a_lie_takes_of_the_carry_it_takes_of_the_height(player):
    """The same flight, smaller: the shape stays, a jumper's is its own lower one."""
    table = table_in(player, blowing(0.0))
    iron = table.clubs.index("7-iron")
    np.testing.assert_allclose(
        table.flight_height[iron, Lie.ROUGH_POOR], table.flight_height[iron, F], rtol=1e-12
    )
    half = np.array([0.5])
    assert above(table.at(iron, Lie.ROUGH_POOR, 0.0), half) < above(table.at(iron, F, 0.0), half)
    wet = table_in(player, Weather(wind=None, air=STANDARD_AIR, wet=WET))
    lower = wet.flight_height[iron, F, 0].sum(), table.flight_height[iron, F, 0].sum()
    assert lower[0] < lower[1]  # less spin comes down flatter


def test_a_stated_table_has_a_usual_flight_of_its_apex(player):
    stated = shot_table(player)
    for shot in range(stated.shots):
        high = above(stated.at(shot, F, 0.0)).max()
        assert high == pytest.approx(float(stated.apex[shot, F, 0]), rel=0.02)
    np.testing.assert_array_equal(
        stated.flight_height[0, F, 0], stated.apex[0, F, 0] / stated.carry[0, F, 0] * USUAL_HEIGHT
    )


def test_in_calm_air_every_heading_is_the_same(player):
    table = table_in(player, blowing(0.0))
    np.testing.assert_array_equal(
        table.flight_height, np.broadcast_to(table.flight_height[:, :, :1], table.flight_height.shape)
    )
