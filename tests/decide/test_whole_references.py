"""The sweeps against a solver that knows nothing of golf, on the same discretised problem.

`scripts.frozen_hole` makes that problem; here it is solved as a linear programme, undiscounted (scipy's
HiGHS), and by policy iteration (QuantEcon's DiscreteDP). On this hole nobody goes back by choice.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy.sparse as sp
from scipy.optimize import linprog

from scripts.frozen_hole import Frozen, nth, policy_iteration, without_known

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def frozen():
    hole = Frozen()
    value = hole.by_sweeps()
    return hole, value, hole.problem()


def test_the_linear_programme_gives_the_same_values(frozen):
    """max sum v subject to v(node) <= cost(pair) + chances(pair) v, for every pair: its solution is V."""
    _, value, (owner, cost, chances) = frozen
    pairs = sp.csr_matrix((np.ones(len(owner)), (np.arange(len(owner)), owner)), chances.shape)
    # Next to the published baseline some node-lies have no options: theirs are known values.
    known = ~np.isin(np.arange(len(value)), owner)
    assert 0 < known.sum() < 0.1 * len(value)
    bounds = np.column_stack((np.where(known, value, 0.0), np.where(known, value, np.inf)))
    solved = linprog(
        -np.ones(len(value)), A_ub=(pairs - chances).tocsc(), b_ub=cost, bounds=bounds, method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )  # fmt: skip
    assert solved.status == 0
    np.testing.assert_allclose(value, solved.x, rtol=0.0, atol=1e-6)


def test_policy_iteration_gives_the_same_values(frozen):
    _, value, problem = frozen
    solved, its = without_known(value, *problem)
    found = policy_iteration(*its)
    np.testing.assert_allclose(value[solved], found, rtol=0.0, atol=1e-6)


def test_a_shot_that_costs_a_hundredth_more_is_noticed(frozen):
    """The comparison can fail: the same problem with every first choice 0.01 dearer."""
    _, value, problem = frozen
    solved, (owner, cost, chances) = without_known(value, *problem)
    dearer = policy_iteration(owner, cost + 0.01 * (nth(owner) == 0), chances)
    assert np.abs(value[solved] - dearer).max() > 1e-3
