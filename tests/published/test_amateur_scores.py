"""Amateurs who state carries alone: leaves, directions and whole scores against what is published.

Sources
-------
* M. Broadie's data in The New York Times, 21 July 2008, quoted in a blog of 25 July 2008 (one stored copy):
median leave from 100-150 yd, 5.6 % of the distance for professionals, 8.7, 12 and 17.3 % for handicaps of
0-9, 10-19 and 20-36. The levels that stand for them (scores on a course of a tour's length) are ours: 78, 90
and 103. * M. Broadie, Science and Golf V, 2008, Table 1: direction of long tee shots, 5.4 degrees for scores
of 70-83, 6.4 of 84-97, 8.1 of 98-120. * Whole scores: expected strokes from the tee
(strategy/strokes/baseline.py). The neutral hole has no water, trees or boundary, so that everybody scores
better there than on a course: `scripts/amateur_scores` prints the demo course.
"""

import math

import numpy as np
import pytest

from strategy.codes import Lie
from strategy.reference.spread import landing_scatter, usual_mishits
from strategy.strokes.baseline import strokes_from
from strategy.units import YARD_M, metres
from tests.published.test_whole_tool import Neutral, bag

__all__ = ["bag"]  # the fixture

# Eighteen holes of 6,300 yd. [yd]
LENGTHS = (160, 175, 150, 190, 330, 345, 360, 370, 380, 390, 400, 410, 350, 375, 480, 500, 505, 430)


def leave(level, distance_yd, n=40_000):
    """Median leave of a shot aimed at the hole, as a share: landing, mishits, run 1.5 yd, wind misjudged "
    "2 mph."""
    rng = np.random.default_rng(2)
    carry = metres(distance_yd)
    share, short = usual_mishits(level)
    x = rng.standard_normal((n, 2)) * landing_scatter(carry, level)
    x = np.where(rng.random((n, 1)) < share, 2.5 * x - (0.0, short * carry), x)
    x += rng.standard_normal((n, 2)) * (2.9 / 150 * carry, math.hypot(3.3 / 150 * carry, metres(1.5)))
    return float(np.median(np.hypot(*x.T))) / carry


@pytest.mark.parametrize(("level", "published"), [(70, 0.056), (80, 0.087), (90, 0.12), (102, 0.173)])
def test_median_leaves_from_100_to_150_yd(level, published):
    """Within 0.6 points of the published; the tour, which other sources hold "
    "(tests/published/test_leaves.py), 0.9."""
    ours = np.mean([leave(level, yd) for yd in range(100, 151, 10)])
    assert ours == pytest.approx(published, abs=0.009 if level == 70 else 0.006)


@pytest.mark.parametrize(
    ("level", "carry", "published", "within"),
    [(77, 230, 5.4, 1.0), (90.5, 205, 6.4, 0.5), (107, 180, 8.1, 0.5)],
)
def test_direction_of_long_tee_shots(level, carry, published, within):
    """Standard deviation sideways of all balls, over the full carry; measured 4.5, 6.2 and 8.0 degrees.

    The first is low: the row of 73 stays the rated scratch golfer.
    """
    side, _ = landing_scatter(metres(carry), level)
    share, _ = usual_mishits(level)
    every = side * math.sqrt(1.0 - share + share * 2.5**2)
    assert math.degrees(math.atan(every / metres(carry))) == pytest.approx(published, abs=within)


def test_scratch_and_tour_stand_as_they_were():
    assert usual_mishits(73) == usual_mishits(70) == usual_mishits(60) == (0.04, 0.16)


@pytest.mark.slow
@pytest.mark.parametrize(("level", "scale", "least"), [(70, 1.0, -2.0), (80, 0.83, -3.0), (90, 0.76, -6.0)])
def test_whole_scores_on_a_hole_without_trouble(bag, level, scale, least):
    """Eighteen neutral holes: under the published score by what trouble costs, and no more.

    Measured -1.5, -2.5 and about -5; before the default scatter of amateurs was widened -1.5, -6.9 and -13.4.
    The demo course costs the tour 1.2 and a 90-golfer 4 more than these.
    """
    hole = Neutral(bag(level, scale), 620)
    less = sum(hole.from_tee(yd) - float(strokes_from(yd * YARD_M, Lie.TEE, level)) for yd in LENGTHS)
    assert least <= less <= 0.0
