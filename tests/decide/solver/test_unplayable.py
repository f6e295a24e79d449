"""Drops for unplayable balls (Rule 19.2): legal, the best there is, counted, and only where they pay."""

from __future__ import annotations

import numpy as np
import pytest

from scripts.invented import of_demo
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field
from strategy.decide.cost_field import to_cells, to_metres
from strategy.decide.solver.unplayable import GROUNDS, dearest, dropped, take
from strategy.decide.solver.whole_hole import from_values, solve
from strategy.outcome.relief import legal_drops


@pytest.fixture(scope="module")
def whole():
    """A hole between woods: behind one of them the way out is back."""
    return solve(of_demo("5"), landings=True, size=32, spacing_m=8.0, near_m=5.0)


@pytest.fixture(scope="module")
def field(whole):
    return cost_field(whole.today, whole)


def place(field, cells):
    return to_metres(field.today, np.column_stack((cells % field.columns, cells // field.columns)) + 0.5)


@pytest.mark.slow
def test_a_ball_that_is_dropped_counts_one_stroke_more_than_where_it_goes(whole, field):
    taken = whole.unplayable
    assert len(taken.cells) > 100
    assert field.values[taken.cells] == pytest.approx(1.0 + field.values[taken.to], abs=1e-5)
    assert set(field.packed[taken.cells] & 15) <= {int(s) for s in GROUNDS}


def test_each_is_the_best_of_the_legal_drops_beside_it_and_back_on_the_line(whole, field):
    """Against the list of the specification, whose lateral drops and line are those of Rule 19.2 as well."""
    rng = np.random.default_rng(4)
    values = np.where(whole.solved(field), field.values, np.inf)
    for k in rng.choice(len(whole.unplayable.cells), 40, replace=False):
        at = place(field, whole.unplayable.cells[k : k + 1])[0]
        drops = legal_drops(field.today, (float(at[0]), float(at[1])), Surface.RED)
        where = to_cells(field.today, np.array([(d.x, d.y) for d in drops if d.rule != "drop zone"]))
        cells = where[:, 1].astype(int) * field.columns + where[:, 0].astype(int)
        assert field.values[whole.unplayable.to[k]] == pytest.approx(np.nanmin(values[cells]), abs=1e-6)


def test_where_it_is_not_taken_it_would_not_pay(whole, field):
    """Every cell is looked at again on the solved field: the first choice missed none."""
    again = cost_field(whole.today, whole)
    solved = whole.solved(again)
    take(again, solved, dearest(again, solved))
    free = np.setdiff1d(again.unplayable.cells, whole.unplayable.cells)
    assert len(free) == 0


def test_a_wood_that_lets_no_ball_out_is_left_by_a_drop(field):
    """Were a patch of rough two strokes dearer than the ground around, every ball at its edge is dropped."""
    patch = cost_field(field.today, field.to_go)
    fairway = np.flatnonzero((field.packed & 15) == int(Surface.FAIRWAY))
    y, x = divmod(int(fairway[len(fairway) // 2]), field.columns)
    code = (patch.packed & 15).reshape(patch.rows, patch.columns)
    inside = np.zeros_like(code, dtype=np.bool_)
    inside[y - 4 : y + 5, x - 4 : x + 5] = True
    inside = (inside & np.isin(code, [int(s) for s in GROUNDS])).ravel()
    patch.values[inside] += 2.0
    everywhere = np.ones(patch.values.size, np.bool_)
    take(patch, everywhere, dearest(patch, everywhere))
    assert np.isin(np.flatnonzero(inside), patch.unplayable.cells).all()
    assert not np.isin(patch.unplayable.to, np.flatnonzero(inside)).any()


def test_what_is_kept_of_a_solution_gives_the_same_drops(whole):
    again = from_values(whole.today, whole.values, landings=True, spacing_m=8.0, near_m=5.0)
    assert np.array_equal(again.unplayable.cells, whole.unplayable.cells)
    assert np.array_equal(again.unplayable.to, whole.unplayable.to)
    assert np.array_equal(again.composed, whole.composed, equal_nan=True)


def test_the_drop_of_one_spot_is_that_of_its_cell(whole, field):
    k = len(whole.unplayable.cells) // 2
    x, y = place(field, whole.unplayable.cells[k : k + 1])[0]
    strokes, to = dropped(field, whole.solved(field), Spot(float(x), float(y), Lie.ROUGH_POOR))
    assert strokes == pytest.approx(field.values[whole.unplayable.cells[k]], abs=1e-5)
    assert to == pytest.approx(tuple(place(field, whole.unplayable.to[k : k + 1])[0]))


def test_no_drop_is_better_for_ground_that_was_not_solved(whole, field):
    """Published strokes are cheaper than this wood: at its unsolved edge they would call for a drop."""
    solved, rng = whole.solved(field), np.random.default_rng(1)
    wood = np.flatnonzero(solved & ((field.packed & 15) == int(Surface.TREES)))
    anywhere, told = np.ones_like(solved), {"solved": 0, "anywhere": 0}
    for k in rng.choice(wood, 1000, replace=False):
        spot = Spot(*(float(v) for v in place(field, np.array([k]))[0]), Lie.RECOVERY)
        for which, ground_ in (("solved", solved), ("anywhere", anywhere)):
            drop = dropped(field, ground_, spot)
            told[which] += drop is not None and field.values[k] - drop[0] > 0.02
    assert told["solved"] == 0
    assert told["anywhere"] > 10
