"""The ground moves smoothly: outlines keep their sense and common edges, and stay put beyond reach."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from strategy.course.measured.warp import REACH_M, Warp

metres = st.floats(-60.0, 60.0)
# One pull folds from R / 2.11 on; REACH_M is the reach of pulls up to REACH_M / 2.4.
pulls = st.tuples(metres, metres, st.floats(0.0, 13.7), st.floats(0.0, 2.0 * np.pi))


def one(pull):
    x, y, size, turn = pull
    return Warp.through([(x, y)], [(size * np.cos(turn), size * np.sin(turn))])


@given(pulls, metres, metres, st.floats(3.0, 30.0))
def test_one_pull_never_turns_an_outline_inside_out(pull, x, y, radius):
    warp = one(pull)
    disc = shapely.Point(x, y).buffer(radius)
    moved = warp.move(disc)
    assert moved.is_valid
    assert shapely.is_ccw(moved.exterior) == shapely.is_ccw(disc.exterior)
    assert not warp.folds().any()


@given(pulls, metres, metres)
def test_beyond_its_reach_nothing_moves_and_the_very_same_outline_comes_back(pull, x, y):
    warp = one(pull)
    assert warp.reach[0] == pytest.approx(max(REACH_M, 2.4 * pull[2]))
    box = shapely.box(x - 5.0, y - 5.0, x + 5.0, y + 5.0)
    moved = warp.move(box)
    apart = shapely.distance(box, shapely.Point(pull[:2]))
    assert (moved is box) == bool(apart >= warp.reach[0])


@given(pulls, metres, metres)
def test_the_way_back_leads_to_where_a_place_was_drawn(pull, x, y):
    warp = one(pull)
    there = np.array([[x, y]]) + warp.shift([[x, y]])
    np.testing.assert_allclose(warp.inverse(there), [[x, y]], atol=1e-5)


@given(pulls)
def test_a_common_edge_stays_common(pull):
    warp = one(pull)
    left, right = warp.move(shapely.box(-40, -40, 3, 40)), warp.move(shapely.box(3, -40, 40, 40))
    assert shapely.intersection(left, right).area == pytest.approx(0.0, abs=1e-6)
    whole = warp.move(shapely.box(-40, -40, 40, 40))
    assert shapely.union(left, right).symmetric_difference(whole).area == pytest.approx(0.0, abs=0.1)


def test_pulls_against_each_other_are_seen_to_fold():
    assert Warp.through([(0, 0), (6, 0)], [(6, 0), (-6, 0)]).folds().any()


def test_two_pulls_at_one_place_that_disagree_are_refused():
    with pytest.raises(ValueError, match="no smooth displacement"):
        Warp.through([(0, 0), (0, 0)], [(3, 0), (-3, 0)])
