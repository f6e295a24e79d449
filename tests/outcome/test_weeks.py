"""Plausible weeks: their middle, their widths, the length of what is moved, and what another wind carries."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import of_demo
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie
from strategy.outcome.weather import Weather
from strategy.outcome.weeks import (
    CLUB,
    EDGE_LENGTH_M,
    EDGE_M,
    LAW,
    LAW_WEDGE,
    PLAYER,
    STATED,
    blowing,
    longer,
    plausible_weeks,
    scatter_widths,
)
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour
from tests.worlds import a_player, a_shot


def drawn(count=48, seed=1, **given):
    shots = a_shot("iron", 165, 6, 6, **given), a_shot("wood", 230, 12, 10)
    return plausible_weeks(a_player(*shots), count, seed)


def test_the_middle_of_the_weeks_is_what_is_believed():
    weeks = drawn(balls=40)
    for array in (weeks.scatter, weeks.off, weeks.wind, weeks.law, weeks.run, weeks.through):
        assert np.abs(array).max() > 0.0
        assert array.mean(axis=0) == pytest.approx(0.0, abs=1e-12)
    there, back = (weeks.moved(k, np.arange(9.0), np.arange(7.0)) for k in (3, 3 + 24))
    assert there == pytest.approx(-back, abs=1e-12)
    assert there.shape == (2, 7, 9)


def test_the_same_seed_draws_the_same_weeks_and_another_draws_others():
    assert (drawn().scatter == drawn().scatter).all()
    assert (drawn().law != drawn(seed=2).law).all()
    assert len(drawn(count=10)) == 10


@pytest.mark.parametrize("count", [0, 7])
def test_weeks_come_in_pairs(count):
    with pytest.raises(ValueError, match=f"{count} weeks"):
        drawn(count=count)


def test_what_was_measured_is_known_better_than_what_is_stated_and_that_than_what_is_assumed():
    iron, wood = a_shot("iron", 165, 6, 6), a_shot("wood", 230, 12, 10)
    measured = dataclasses.replace(iron, spread=dataclasses.replace(iron.spread, balls=43))
    assumed = dataclasses.replace(iron, assumed=("scatter",))
    own, level = scatter_widths(a_player(wood, assumed))
    assert own == pytest.approx([STATED * CLUB, CLUB])
    assert level == pytest.approx([STATED * PLAYER, PLAYER])
    own, told = scatter_widths(a_player(measured, assumed))
    assert own[0] == pytest.approx(0.1)  # 1 / sqrt(2 (43 + 7))
    assert told[0] == 0.0
    # One club measured on very many balls would leave the level as uncertain as one club is.
    assert told[1] == pytest.approx((1.0 / PLAYER**2 + 1.0 / (CLUB**2 + 0.1**2)) ** -0.5)


def test_outlines_move_by_a_few_yards_smoothly_along_an_edge():
    """400 weeks, 3 places a week far apart; s.e. of the s.d. 1.5 %, so 6 % is four of them."""
    weeks = drawn(count=400)
    east = np.array([0.0, 2.0, 500.0])
    north = np.array([0.0, 700.0, 1400.0])
    d = np.array([weeks.moved(k, east, north) for k in range(200)])  # (W, 2, Y, X); the rest mirrors these
    assert d.std() == pytest.approx(EDGE_M, rel=0.06)
    near = np.corrcoef(d[..., 0].ravel(), d[..., 1].ravel())[0, 1]
    far = np.corrcoef(d[..., 0].ravel(), d[..., 2].ravel())[0, 1]
    # A sum of many plane waves with normal wave vectors: a Gaussian correlation of that length.
    assert near == pytest.approx(np.exp(-0.5 * (2.0 / EDGE_LENGTH_M) ** 2), abs=0.003)
    assert abs(far) < 0.12  # four standard errors of 1,200 pairs


def test_a_wind_is_off_along_and_across_and_never_by_less_than_a_light_air():
    wind = WindHour(
        hour=9.0, speed_mps=8.0, gust_mps=8.0, blows_from=90.0, speed_sd_mps=1.6, direction_sd=15.0
    )
    speed, blows_from = blowing(wind, np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    assert speed[:2] == pytest.approx([8.0, 9.6])
    assert blows_from == pytest.approx([90.0, 90.0, 105.0])
    calm = dataclasses.replace(wind, speed_mps=0.0, speed_sd_mps=0.0)
    assert blowing(calm, np.array([[1.0, 0.0], [0.0, -2.0]]))[0] == pytest.approx([1.0, 2.0])


def test_a_stronger_head_wind_and_a_stronger_law_carry_shorter_and_the_forecast_carries_as_planned():
    here = of_demo("18")
    wind = dataclasses.replace(here.day.wind, speed_mps=12 * MPH_MPS, blows_from=0.0)
    here = here.with_wind(wind)
    weeks = drawn(count=6)
    plain = {
        name: getattr(weeks, name)[:3] for name in ("scatter", "off", "run", "through", "waves", "phases")
    }
    weeks = dataclasses.replace(
        weeks,
        **plain,
        heights=weeks.heights[:3],
        wind=np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 0.0]]),
        law=np.array([0.0, 0.0, 1.0]),
    )
    more = longer(here, int(Lie.FAIRWAY), np.array([3, 12]), np.array([0.0, 0.0]), weeks)
    assert more[0] == pytest.approx(0.0, abs=1e-9)
    assert (more[1:] < -1.0 * YARD_M * 0.5).all()
    behind = longer(here, int(Lie.FAIRWAY), np.array([3]), np.array([180.0]), weeks)
    assert behind[1, 0] > 0.5
    # A law that counts a tenth more of a wind takes about a tenth of what the wind takes.
    calm = dataclasses.replace(here, day=Weather(wind=None, air=STANDARD_AIR))
    assert LAW < LAW_WEDGE
    assert longer(calm, int(Lie.FAIRWAY), np.array([3]), np.array([0.0]), weeks)[0, 0] == 0.0
