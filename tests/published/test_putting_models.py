"""The putting model against what is published of putts.

Sources, with their status:
* counts of 2016-18, 1.25 million putts of touring professionals (M. Broadie, in A. Gelman, putting case study
  for Stan, 2019): open data, 6 copies. Our errors are FITTED to them, so that check is one of fit;
* Gelman's final model of them (2019): confirmed, re-fitted;
* Broadie's model (Interfaces 42(2):146-165, 2012): confirmed, 3 copies;
* D. A. Berry's counts (1996), the study of 1988: confirmed; another time, other greens;
* three-putts, derived from the mean putts and one-putts of the book of 2014; 2 and 10 % also as printed;
* the official baseline of 2010 by foot; our errors are fitted to it as well;
* slope and speed figures: an EARLIER FIT of this project (line .020, distance 6 %, reading .28 %),
  not outside facts: two programs of one theory;
* anchors of amateurs (Broadie 2008, Science and Golf V, Table 1; and 2012): two of them are fitted.
"""

import numpy as np
import pytest
from scipy.special import ndtr

from strategy.reference import numbers
from strategy.strokes.baseline import putts
from strategy.strokes.putting import AVERAGE_STIMP_FT, Putting
from strategy.strokes.roll import capture_half_width
from strategy.units import FOOT_M

TOUR = Putting(AVERAGE_STIMP_FT, 70.0)
DIRECTION = {"flat": 90.0, "side": 90.0, "down": 0.0}


def share(table):
    return numbers(table, "successes") / numbers(table, "attempts")


def test_counts_of_2016_18():
    """All 31 distances: root mean square 0.7 points; none further off than 1.3 (about 25 to 40 ft)."""
    off = TOUR.make(numbers("putts_2016_2018", "distance_ft") * FOOT_M) - share("putts_2016_2018")
    assert np.sqrt(np.mean(off**2)) < 0.008
    assert np.abs(off).max() < 0.013


def test_counts_at_the_distances_of_the_earlier_fit():
    """2.9 to 20.4 ft: its rms was 0.5 points with three errors fitted to these alone; here under 0.8."""
    feet = numbers("putts_2016_2018", "distance_ft")
    seven = np.isin(feet, [2.92, 4.94, 5.94, 7.95, 9.95, 14.43, 20.44])
    assert seven.sum() == 7
    off = (TOUR.make(feet * FOOT_M) - share("putts_2016_2018"))[seven]
    assert np.sqrt(np.mean(off**2)) < 0.008


def gelman(feet):
    """Final model of the case study, 1.020 deg, 0.080, 1 ft past, tolerance 3 ft."""
    line = 2 * ndtr(np.arcsin((4.25 - 1.68) / 24 / feet) / np.radians(1.020)) - 1
    return line * (ndtr(2 / ((feet + 1) * 0.080)) - ndtr(-1 / ((feet + 1) * 0.080)))


def broadie(feet):
    """Model of 2012, 1.46 deg, 0.057, 0.5 yd past, tolerance 2/3 yd."""
    yd = feet / 3
    line = 2 * ndtr(np.arcsin(2.125 / 36 / yd) / np.radians(1.46)) - 1
    spread = (yd + 0.5) * 0.057
    return line * (ndtr((2 / 3 - 0.5) / spread) - ndtr(-0.5 / spread))


@pytest.mark.parametrize("model", [gelman, broadie])
@pytest.mark.parametrize("feet", [2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75])
def test_both_published_models(model, feet):
    """Within 1.3 points, Broadie's own error against the book (Gelman's is 0.8 against the counts)."""
    assert float(TOUR.make(feet * FOOT_M)) == pytest.approx(float(model(feet)), abs=0.013)


def test_the_models_are_typed_right():
    """Broadie: 50.4 % at 8 ft (evaluated from the printed formula); Gelman: the counts within 0.8 points."""
    assert broadie(8.0) == pytest.approx(0.504, abs=0.0005)
    feet = numbers("putts_2016_2018", "distance_ft")
    assert np.abs(gelman(feet[2:]) - share("putts_2016_2018")[2:]).max() < 0.0085


def test_the_study_of_1988_had_fewer_made():
    """Berry 1996: 2 to 10 ft, 3 to 16 points fewer than today's model; told apart, not matched."""
    feet = numbers("putts_1988", "distance_ft")
    less = (TOUR.make(feet * FOOT_M) - share("putts_1988"))[feet <= 10]
    assert less.min() > 0.02
    assert less.max() < 0.17


@pytest.mark.parametrize(("feet", "three"), [(20, 0.02), (30, 0.05), (40, 0.10), (50, 0.17), (60, 0.23)])
def test_three_putts(feet, three):
    """2/5/10/17/23 % within 3 points. DERIVED (E - 2 + p1, book of 2014); the growth of the distance error
    with length was fitted to them, and at 50 and 60 ft the model stays about 3 points short."""
    assert float(TOUR.chances(feet * FOOT_M)[2]) == pytest.approx(three, abs=0.03)


def test_mean_putts_by_foot():
    """Official table of 2010: within 0.02 to 41 ft (31 ft, a glitch as printed, apart), 0.03 to 50 ft, 0.052
    beyond (lowest near 70 ft, where few tour putts are struck and one or three copies stand for a foot)."""
    feet = np.arange(1, 98)
    off = np.abs(TOUR.expected(feet * FOOT_M) - putts(feet * FOOT_M))
    assert off[(feet <= 41) & (feet != 31)].max() < 0.02
    assert off[feet <= 50].max() < 0.03
    assert off.max() < 0.052


FIGURES = [
    (5, "flat", (1.24, 1.24, 1.24)),
    (5, "side", (1.28, 1.30, 1.33)),
    (10, "flat", (1.59, 1.59, 1.61)),
    (10, "side", (1.63, 1.66, None)),
    (20, "flat", (1.85, 1.85, 1.86)),
    (20, "down", (1.83, 1.86, 1.91)),
    (20, "side", (1.86, 1.88, 1.93)),
    (35, "flat", (1.98, 1.99, 2.01)),
    (35, "down", (1.98, 2.01, 2.08)),
    (55, "flat", (2.10, 2.12, 2.14)),
    (55, "down", (2.11, 2.16, 2.25)),
]


@pytest.mark.parametrize(
    ("feet", "where", "stimp", "expected"),
    [
        (feet, where, stimp, value)
        for feet, where, values in FIGURES
        for stimp, value in zip((8.0, 10.0, 12.0), values, strict=True)
        if value is not None
    ],
)
def test_slope_and_speed_figures(feet, where, stimp, expected):
    """3.5 % side and down and flat, stimpmeter 8, 10, 12: 32 of the 33 figures within 0.02 putts."""
    slope = 0.0 if where == "flat" else 0.035
    here = float(Putting(stimp).expected(feet * FOOT_M, slope, DIRECTION[where]))
    assert here == pytest.approx(expected, abs=0.02)


def test_the_figure_that_is_missed():
    """10 ft, 3.5 % side, stimpmeter 12: the earlier fit says 1.70, here it is 1.728, more than 0.02 above.

    Putts drawn one by one with our errors give 1.710: the rest comes of counting a misread slope to first
    order (strategy/strokes/putting.py, Limits).
    """
    assert float(Putting(12.0).expected(10 * FOOT_M, 0.035, 90.0)) == pytest.approx(1.728, abs=0.003)


def test_below_the_hole_on_fast_sloped_greens():
    """20 ft, stimpmeter 12: uphill saves 0.03-0.08 over downhill (the same earlier fit)."""
    down, up = Putting(12.0).expected(20 * FOOT_M, 0.035, np.array([0.0, 180.0]))
    assert 0.03 <= down - up <= 0.08


def test_speed_alone_is_worth_little():
    """Flat greens from stimpmeter 8 to 12: under 0.05 putts anywhere (the same earlier fit)."""
    feet = np.array([3, 5, 10, 20, 35, 55])
    slow, fast = (Putting(s).expected(feet * FOOT_M, 0.0, 90.0) for s in (8.0, 12.0))
    assert np.abs(fast - slow).max() < 0.05


def test_width_of_the_hole_at_thirty_centimetres_past():
    """42-45 mm at the pace of a ball that would rest 30 cm past (Holmes 1991, formula from memory)."""
    pace = np.sqrt(2 * 0.549 * 0.3)  # stimpmeter 10
    assert 0.042 <= float(capture_half_width(pace)) <= 0.045


def crossing(level, value, what):
    feet = np.arange(1.0, 60.0, 0.05)
    return feet[np.argmin(np.abs(what(Putting(AVERAGE_STIMP_FT, level), feet * FOOT_M) - value))]


@pytest.mark.parametrize(
    ("level", "half", "two", "tolerance"),
    [
        (70, 8.0, 33.0, (0.3, 2.0)),  # Broadie 2012, C20
        (90, 5.0, 19.0, (0.3, 0.5)),  # Broadie 2012, C21: fitted
        (107, 3.8, 12.0, (0.3, 0.5)),  # Broadie 2008, scores 98-120: one copy, not fitted
    ],
)
def test_half_made_and_two_putts_by_level(level, half, two, tolerance):
    """Distances of a half made and of 2.0 putts. Scores of a group are read as its middle."""
    assert crossing(level, 0.5, lambda p, d: p.make(d)) == pytest.approx(half, abs=tolerance[0])
    assert crossing(level, 2.0, lambda p, d: p.expected(d)) == pytest.approx(two, abs=tolerance[1])


def test_the_group_of_70_to_83():
    """Broadie 2008: 5.8 and 25 ft; here, at 77, 6.6 and 27.8 ft: better putters than that group was.

    The blend midway between tour and 90 (80-golfer, the author's reply) cannot give both; it is kept.
    """
    assert crossing(77, 0.5, lambda p, d: p.make(d)) == pytest.approx(6.65, abs=0.1)
    assert crossing(77, 2.0, lambda p, d: p.expected(d)) == pytest.approx(27.8, abs=0.3)


@pytest.mark.parametrize("feet", [3, 4, 5, 6, 8, 10, 15, 19, 25])
def test_ninety_golfer_against_our_extension_by_distance(feet):
    """Two extensions of the same two anchors (`baseline.putts`, this model): within 0.04 from 3 to 25 ft."""
    assert float(Putting(AVERAGE_STIMP_FT, 90).expected(feet * FOOT_M)) == pytest.approx(
        float(putts(feet * FOOT_M, 90)), abs=0.04
    )


def test_ninety_golfer_from_8_feet():
    """Just over 25 % (book of 2014, one copy): here 31 %, 5 points more."""
    assert 0.25 < float(Putting(AVERAGE_STIMP_FT, 90).make(8 * FOOT_M)) < 0.32
