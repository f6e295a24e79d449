"""What a finer solve would change at the tee: aims, lattice and points each refined by itself."""

from __future__ import annotations

import pytest

from strategy.decide import options
from strategy.decide.solver.whole_hole import solve
from tests.decide.solver.test_whole_hole import irons, par_4, woods


def value_at_tee(today_, **finer):
    best = options(today_, today_.tee_spot, solve(today_, **finer))[0]
    return best.strokes - best.cost


@pytest.mark.slow
def test_finer_aims_lattice_and_points_hardly_move_the_value():
    hole = par_4(*woods(), *irons(180), water=True)
    usual = value_at_tee(hole)
    assert value_at_tee(hole, aim_step_m=5.5) == pytest.approx(usual, abs=0.005)
    assert value_at_tee(hole, spacing_m=3.5) == pytest.approx(usual, abs=0.01)
    assert value_at_tee(hole, size=128) == pytest.approx(usual, abs=0.005)
