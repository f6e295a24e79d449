"""One tee for each line of play: the total distance is the least there is, with or without the short way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.optimize import linear_sum_assignment

from strategy.course.assembly.match import TEE_REACH_M, _one_tee_each

DISTANCES = arrays(
    np.float64,
    st.tuples(st.integers(0, 6), st.integers(0, 6)),
    elements=st.integers(0, 100).map(float),  # 60 m is reach; whole numbers make ties common
)


@given(DISTANCES)
def test_as_many_lines_as_possible_get_a_tee_at_the_least_total_distance(distance):
    pairs = _one_tee_each(distance)
    assert len({i for i, _ in pairs}) == len({j for _, j in pairs}) == len(pairs)
    assert all(distance[i, j] <= TEE_REACH_M for i, j in pairs)
    cost = np.where(distance <= TEE_REACH_M, distance, 1e6)
    best = [(i, j) for i, j in zip(*linear_sum_assignment(cost), strict=True) if cost[i, j] < 1e6]
    assert len(pairs) == len(best)
    assert sum(distance[p] for p in pairs) == pytest.approx(sum(distance[p] for p in best))


def test_the_nearest_tee_goes_to_another_line_where_that_saves_more():
    distance = np.array([[1.0, 5.0], [2.0, 50.0]])
    assert sorted(_one_tee_each(distance)) == [(0, 1), (1, 0)]


def test_a_line_out_of_reach_of_every_tee_gets_none():
    assert _one_tee_each(np.array([[10.0, 61.0], [61.0, 61.0]])) == [(0, 0)]
