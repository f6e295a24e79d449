"""The hour a hole is reached and the wind there."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.errors import RequestError
from strategy.week import Round, WindHour, holes_before, hour_of, waves, wind_at, wind_for


def wind(hour, speed, blows_from, gust=None):
    return WindHour(hour=hour, speed_mps=speed, blows_from=blows_from, gust_mps=gust or speed * 1.4)


def vector(w):
    a = math.radians(w.blows_from)
    return -w.speed_mps * math.sin(a), -w.speed_mps * math.cos(a)


def test_no_wind_given_is_none():
    assert wind_at(Round(number=1), 9.0) is None
    assert wind_for(Round(number=1, tee_time=8.0), 3) is None


def test_held_before_the_first_hour_and_after_the_last():
    r = Round(number=1, wind=(wind(8, 3, 360), wind(12, 5, 90)))
    assert (wind_at(r, 6).speed_mps, wind_at(r, 6).blows_from) == (3, 0)
    assert (wind_at(r, 20).speed_mps, wind_at(r, 20).blows_from) == (5, 90)


def test_through_north_not_through_south():
    r = Round(number=1, wind=(wind(8, 4, 340), wind(10, 4, 20)))
    assert wind_at(r, 9).blows_from == pytest.approx(0.0)


def test_opposite_winds_pass_through_calm_with_their_gusts():
    r = Round(number=1, wind=(wind(8, 4, 0, 6), wind(10, 4, 180, 8)))
    assert wind_at(r, 9).speed_mps == pytest.approx(0.0, abs=1e-9)
    assert wind_at(r, 9).gust_mps == pytest.approx(7.0)


@given(
    a=st.tuples(st.floats(0, 25), st.floats(0, 360)),
    b=st.tuples(st.floats(0, 25), st.floats(0, 360)),
    hour=st.floats(8, 12),
)
def test_the_vector_is_linear_in_time(a, b, hour):
    first, second = wind(8, *a), wind(12, *b)
    there = wind_at(Round(number=1, wind=(first, second)), hour)
    share = (hour - 8) / 4
    for mixed, x, y in zip(vector(there), vector(first), vector(second), strict=True):
        assert mixed == pytest.approx(x + share * (y - x), abs=1e-6)
    assert 0 <= there.blows_from < 360
    assert there.gust_mps >= there.speed_mps


def test_eighteen_holes_take_four_hours_and_a_quarter():
    r = Round(number=1, tee_time=8.0, wind=(wind(8, 0, 0), wind(12.25, 4.25, 270)))
    assert hour_of(r, 18) == pytest.approx(12.25)
    assert wind_for(r, 9).speed_mps == pytest.approx(2.125)


def test_without_a_tee_time_the_mean_of_both_waves_and_their_spread():
    r = Round(number=1, wind=(wind(9, 3, 270), wind(15, 5, 270)))
    assert hour_of(r, 4) is None
    early, late = waves(r, 4)
    assert (early.hour, late.hour) == (pytest.approx(8.25 + 17 / 18), pytest.approx(13.25 + 17 / 18))
    got = wind_for(r, 4)
    assert got.speed_mps == pytest.approx((early.speed_mps + late.speed_mps) / 2)
    assert got.speed_sd_mps == pytest.approx((late.speed_mps - early.speed_mps) / 2)
    assert (got.blows_from, got.direction_sd) == (270, 0)


def test_waves_that_turn_spread_in_direction():
    r = Round(number=1, wind=(wind(8, 4, 225), wind(16, 4, 315)))
    got = wind_for(r, 0)
    early, late = waves(r, 0)
    assert early.blows_from < got.blows_from < late.blows_from
    assert 15 < got.direction_sd < 45
    assert got.direction_sd == pytest.approx((late.blows_from - early.blows_from) / 2, rel=0.15)


def test_starting_at_the_tenth():
    labels = [str(n) for n in range(1, 19)]
    r = Round(number=2, start_hole="10")
    assert [holes_before(r, label, labels) for label in ("10", "18", "1", "9")] == [0, 8, 9, 17]
    with pytest.raises(RequestError, match="there is no hole 19"):
        holes_before(r, "19", labels)
