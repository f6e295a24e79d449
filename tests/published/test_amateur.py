"""Golfers who are not touring professionals.

Sources: M. Broadie, Science and Golf V (proceedings, 2008), pp. 253-262, quoted in the same author's paper
of 2012 (Interfaces 42(2):146-165, section 3.1); his public reply of 2014 on the 80-golfer; the book of 2014.
There is no published table by lie: the blend over lies is this program's extension and is not checked here.
C02, C04, C21 are rows of strategy/reference/checks.csv.
"""

import numpy as np
import pytest

from strategy.codes import Lie
from strategy.strokes.baseline import putts, strokes_from
from strategy.units import FOOT_M, YARD_M


@pytest.mark.parametrize("yd", range(100, 601, 20))
def test_c02_ninety_golfer_from_a_tee(yd):
    """C02: 2.79 + 0.0066 d, within 0.15. Confirmed, 6 copies."""
    assert strokes_from(yd * YARD_M, Lie.TEE, 90) == pytest.approx(2.79 + 0.0066 * yd, abs=0.15)


@pytest.mark.parametrize("lie", list(Lie))
def test_an_eighty_golfer_is_midway(lie):
    """Midway between 70 and 90 at every distance and lie (the author's reply, 2014). One copy."""
    d = np.array([2, 5, 20, 60, 150, 400])
    middle = (strokes_from(d, lie, 70) + strokes_from(d, lie, 90)) / 2
    assert strokes_from(d, lie, 80) == pytest.approx(middle, abs=1e-9)


def test_c04_yards_of_course_per_stroke():
    """C04: ratings add a stroke every 160 yd for bogey (USGA yardage rating); within 15 %. Confirmed."""
    yd = np.arange(100, 601, 20)
    slope = np.polyfit(yd, strokes_from(yd * YARD_M, Lie.TEE, 90), 1)[0]
    assert 1 / slope == pytest.approx(160, rel=0.15)


def test_c21_putting_anchors():
    """C21: a 90-golfer holes half from 5 ft and needs 2.0 putts from 19 ft. Confirmed, 3 copies.

    Half holed: mean putts then are 1.5 and a few three-putts.
    """
    assert putts(5 * FOOT_M, 90) == pytest.approx(1.5, abs=0.02)
    assert putts(19 * FOOT_M, 90) == pytest.approx(2.0, abs=0.005)


def test_ninety_golfer_from_8_feet():
    """Holes just over 25 % from 8 ft (book of 2014, one copy): 2 - 0.26 putts, few three-putts."""
    assert putts(8 * FOOT_M, 90) == pytest.approx(1.74, abs=0.02)


@pytest.mark.parametrize(
    ("feet", "holed"),
    [
        (2, 0.95),
        (3, 0.84),
        (4, 0.65),
        (5, 0.50),
        (6, 0.39),
        (7, 0.32),
        (9, 0.23),
        (10, 0.20),
        (15, 0.11),
    ],
)
def test_ninety_golfer_shares_from_memory(feet, holed):
    """One-putt shares of the 90-golfer (book of 2014): FROM MEMORY, low confidence; within 6 points.

    2 - E is the share of one-putts less that of three-putts, so nothing can be said beyond 15 ft.
    """
    assert 2 - putts(feet * FOOT_M, 90) == pytest.approx(holed, abs=0.06)
