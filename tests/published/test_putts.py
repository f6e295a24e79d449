"""Putts of touring professionals.

Sources: the tour's own baseline of 2010, by foot; M. Broadie, "Putts Gained: Measuring Putting on the PGA
TOUR", draft of 13 January 2011, Figure 1; one-putt shares as quoted from the same author's book of 2014;
counts of 1988 (D. A. Berry, "Statistics: A Bayesian Perspective", 1996) and of 2016-18 (M. Broadie, in the
putting case study for Stan, A. Gelman 2019). C20 is a row of strategy/reference/checks.csv.
"""

import numpy as np
import pytest

from strategy.reference import numbers, rows
from strategy.strokes.baseline import putts
from strategy.units import FOOT_M


def test_every_printed_foot_is_exact_to_97_and_flat_beyond():
    """2010 by foot: 1-20 ft four copies, 21-75 three, 76-97 one. 98-100 ft, printed lower, are not used."""
    feet, expected = numbers("tour_putts", "distance_ft"), numbers("tour_putts", "expected_putts")
    assert putts(feet[:97] * FOOT_M) == pytest.approx(expected[:97], abs=1e-9)
    assert putts(np.array([98, 100, 150]) * FOOT_M) == pytest.approx(2.384, abs=1e-9)
    assert putts(0.0) == 1.0


@pytest.mark.parametrize(
    ("feet", "expected"), [(3, 1.053), (8, 1.515), (20, 1.878), (31, 1.993), (32, 1.993), (60, 2.218)]
)
def test_some_feet_typed_apart_from_the_table(feet, expected):
    """2010 by foot; 31 ft = 32 ft is a glitch as printed. Confirmed."""
    assert putts(feet * FOOT_M) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("row", rows("tour_putts_draft"), ids=lambda r: f"{r['distance_ft']} ft")
def test_the_draft_of_2011_agrees(row):
    """Figure 1 of the draft (three copies) within 0.02: other seasons, the same method. Confirmed."""
    assert putts(float(row["distance_ft"]) * FOOT_M) == pytest.approx(float(row["expected_putts"]), abs=0.02)


def test_c20_two_putts_at_33_feet():
    """C20: 2.0 putts on average at 33 ft, within 2 ft. Confirmed, 3 copies."""
    feet = np.arange(1, 90, 0.01)
    assert feet[np.searchsorted(putts(feet * FOOT_M), 2.0)] == pytest.approx(33, abs=2)


def test_c20_half_are_holed_at_8_feet():
    """C20: half holed at 8 ft, within 0.3 ft, in the counts of 2016-18. Confirmed, 3 copies."""
    share = numbers("putts_2016_2018", "successes") / numbers("putts_2016_2018", "attempts")
    assert np.interp(-0.5, -share, numbers("putts_2016_2018", "distance_ft")) == pytest.approx(8, abs=0.3)


def test_c20_three_putts_pass_a_tenth_at_40_feet():
    """C20: within 3 ft. Three-putt share derived as E - 2 + p1 (no four-putts), p1 from 2016-18."""
    feet = numbers("putts_2016_2018", "distance_ft")
    p1 = numbers("putts_2016_2018", "successes") / numbers("putts_2016_2018", "attempts")
    p3 = putts(feet * FOOT_M) - 2 + p1
    assert np.interp(0.10, p3[feet > 20], feet[feet > 20]) == pytest.approx(40, abs=3)


def test_mean_putts_and_counts_leave_room_for_few_three_putts():
    """E - 2 + p1 is a chance: none under 10 ft (0.02: other seasons), rising beyond 24 ft. Derived."""
    feet = numbers("putts_2016_2018", "distance_ft")
    p1 = numbers("putts_2016_2018", "successes") / numbers("putts_2016_2018", "attempts")
    p3 = putts(feet * FOOT_M) - 2 + p1
    assert np.abs(p3[(feet > 1) & (feet < 10)]).max() < 0.02
    assert np.all(np.diff(p3[feet > 24]) > 0)


@pytest.mark.parametrize(
    "row", [r for r in rows("tour_putts_draft") if r["one_putt_prob"]], ids=lambda r: f"{r['distance_ft']} ft"
)
def test_one_putt_shares_of_the_book_agree_with_1_25_million_putts(row):
    """One-putt shares (6, 7, 9 ft: one copy) against the counts of 2016-18, within 3 points. Confirmed."""
    feet = numbers("putts_2016_2018", "distance_ft")
    share = numbers("putts_2016_2018", "successes") / numbers("putts_2016_2018", "attempts")
    assert np.interp(float(row["distance_ft"]), feet, share) == pytest.approx(
        float(row["one_putt_prob"]), abs=0.03
    )


def test_the_study_of_1988_at_6_feet():
    """54.8 % at 6 ft (Sports Illustrated, 3 April 1989) is 149 of 272 in Berry's table. Confirmed."""
    row = next(r for r in rows("putts_1988") if r["distance_ft"] == "6")
    assert int(row["successes"]) / int(row["attempts"]) == pytest.approx(0.548, abs=0.0005)
