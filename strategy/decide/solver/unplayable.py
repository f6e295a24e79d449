"""Balls taken as unplayable (Rule 19.2): where that pays, and where they are dropped.

One stroke, and the better of the line straight back from the hole and two club-lengths not nearer to it;
stroke and distance stands in every sweep. A ball out of which that is cheaper than any shot is dropped: its
cell counts as one stroke more than where it goes. The choice is made before the lie is seen, by the mean over
the lies of the ground, which among trees is one; in a bunker, where other drops cost more, it is not made.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Spot, Surface
from strategy.decide.cost_field import CostField

GROUNDS: Final = (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH, Surface.TREES)
_DEARER: Final = 0.85  # strokes above the cheapest ground as far off: below it no drop pays
_NEARLY: Final = 0.1  # a drop that fails to pay by less than this may pay in the next pass [strokes]
_NO_ZONES: Final = np.zeros((0, 2))


def dearest(field: CostField, solved: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Cells (M,) out of which a drop might pay, by their strokes to go.

    Only among cells that are `solved` (ny * nx,), because published strokes are not this hole's.
    """
    playable = np.isin(field.packed & 15, GROUNDS) & np.isfinite(field.values) & solved
    playable[field.steep] = False  # no ball rests there
    cells = np.flatnonzero(playable).astype(np.int32)
    if not len(cells):
        return cells
    x, y = cells % field.columns + 0.5 - field.hole[0], cells // field.columns + 0.5 - field.hole[1]
    away = (np.hypot(x, y) * field.today.cell_m).astype(np.int64)
    cheapest = np.full(int(away.max()) + 1, np.inf)
    np.minimum.at(cheapest, away[::4], field.values[cells[::4]])
    # A drop may not be nearer the hole.
    cheapest = np.minimum.accumulate(cheapest[::-1])[::-1]
    return np.asarray(cells[field.values[cells] > cheapest[away] + _DEARER])


def take(field: CostField, solved: NDArray[np.bool_], cells: NDArray[np.int32]) -> NDArray[np.int32]:
    """Those of the cells out of which a drop pays become `CostField.unplayable`, by the field without any.

    Gives the cells out of which it pays or nearly does: no others need to be looked at again soon.
    """
    from scipy.ndimage import minimum_filter

    from strategy.decide.kernels.relief import drops

    today, values, to = field.today, field.values, np.empty(len(cells), np.int32)
    reach = 2 * int(np.ceil(2.0 * today.longest_club_m / today.cell_m)) + 1
    known = _known(field, solved)
    round_it = minimum_filter(known.reshape(field.rows, field.columns), reach).ravel()
    aside = values[cells] > 1.0 - _NEARLY + round_it[cells]
    drops(
        known, field.rows, field.columns, today.cell_m, *field.hole, today.longest_club_m, _NO_ZONES,
        cells, aside, to,
    )  # fmt: skip
    gain = np.where(to >= 0, values[cells] - 1.0 - values[to], -np.inf)
    field.unplayable.cells, field.unplayable.to = cells[gain > 0.0], to[gain > 0.0]
    return np.asarray(cells[gain > -_NEARLY])


def _known(field: CostField, solved: NDArray[np.bool_]) -> NDArray[np.float32]:
    """The field of solved ground, inf elsewhere."""
    return np.where(solved & ~np.isnan(field.values), field.values, np.float32(np.inf))


def dropped(
    field: CostField, solved: NDArray[np.bool_], spot: Spot
) -> tuple[float, tuple[float, float]] | None:
    """Strokes to hole out from a spot by taking the ball there as unplayable, and the drop; None without one.

    Stroke and distance is not counted: it is known where the ball was struck from, not here.
    """
    from strategy.decide.cost_field import to_metres
    from strategy.decide.kernels.relief import best_drop

    today, known = field.today, _known(field, solved)
    at = best_drop(
        known, field.rows, field.columns, today.cell_m, *field.hole, today.longest_club_m, _NO_ZONES,
        *field.cells(spot.x, spot.y), True,
    )  # fmt: skip
    if at < 0:
        return None
    place = to_metres(today, (at % field.columns + 0.5, at // field.columns + 0.5))
    return 1.0 + float(field.values[at]), (float(place[0]), float(place[1]))
