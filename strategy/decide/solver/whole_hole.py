r"""The whole hole: strokes to hole out when every following shot is this player's own best.

State: where the ball is and how it lies, (x, l). Action: a shot, a heading, a carry. One stroke moves the
ball to a random rest with a random lie; the hole ends in the cup. Undiscounted, every stroke costs at least
one, and from every state some policy holes out with certainty: a stochastic shortest path [1]_. Its value
is the least fixed point of

.. math:: V_l(x) = \min_a \; 1 + E\big[\min(F(X), 1 + V_l(x))\big],
          \qquad F(x) = \sum_l \Pr(l \mid \mathrm{surface}(x)) \, V_l(x)

where X is the rest after legal relief, penalties included, and 1 + V_l(x) is stroke and distance, which
Rule 18.1 always allows. The other ways out of an unplayable lie (Rule 19) are taken where they pay
(`solver.unplayable`): in and behind woods; where no tree stops a ball they never do, which a test holds.
The lie is seen before the next shot is chosen, so it is averaged *outside* the minimum (mean of best);
scatter comes after the choice and is averaged inside (best of mean).

:math:`V_l` is smooth in x for each lie; it is stored on a lattice per lie and composed through the fine
surface map, so that edges stay sharp. On the green F is the putts of this place (`strategy.strokes.greens`).
Within `OUTER_M` of the hole a finer lattice and the player's shots round the green are solved first (`near`);
from `INNER_M` outwards that is blended into the rest of the hole, and both are brought up to date on each
other. A player without such shots has the published strokes of their level there, and further out (`ALONE`).

With r the largest change in the last pass (`solver.value_iteration`) and T the largest expected number of
strokes, the remaining error is at most r T (the Bellman operator of a proper policy contracts in the norm
weighted by expected strokes [1]_).

References
----------
.. [1] D. P. Bertsekas, J. N. Tsitsiklis, "An analysis of stochastic shortest path problems", Mathematics
   of Operations Research 16(3):580-595, 1991.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot, Surface
from strategy.decide.aims import Aims
from strategy.decide.cost_field import CostField, Unplayable, cost_field, otherwise, to_cells, to_metres
from strategy.decide.solver.lattice import lattice, near_lattice
from strategy.decide.solver.unplayable import dearest, take
from strategy.decide.solver.value_iteration import Passes, Region, Screens, SolvedRegion
from strategy.outcome.today import HoleToday
from strategy.strokes.baseline import Baseline
from strategy.strokes.greens import Greens

INNER_M: Final = 40.0
OUTER_M: Final = 60.0
SPACING_M: Final = 7.0  # 5 and 6 m give the same score to 0.001, played out
NEAR_SPACING_M: Final = 4.0
NEAR_STEP_M: Final = 3.5
TOLERANCE: Final = 0.002
NEARLY: Final = 20.0  # the rest is solved to this many tolerances before both regions are joined
JOINED: Final = 40  # most passes of both regions on each other
RECONSIDERED: Final = 6  # passes that choose drops; a drop that just pays might otherwise change for ever
NEAR_HOLE_M: Final = 15.0  # an aim this near the hole moves with it
REST: Final = Region(
    inner_m=INNER_M,
    outer_m=OUTER_M,
    begin_m=38.0,
    band_m=12.0,
    margin_m=42.0,
    past_m=25.0,
    dials=6,
    directions=90,
)
# For a player without shots round the green.
ALONE: Final = replace(REST, inner_m=55.0, outer_m=80.0, begin_m=53.0)
NEAR: Final = Region(
    inner_m=0.0, outer_m=1e-3, begin_m=0.0, band_m=6.0, margin_m=9.0, past_m=8.0, dials=10, directions=64
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeHole:
    """Strokes to go under this player's own best play; an implementation of `StrokesToGo`.

    Attributes
    ----------
    today : HoleToday
        The hole it was solved for.
    baseline : Baseline
        What rules where nothing was solved.
    greens : Greens
        Putts of this hole location.
    rest, near : SolvedRegion, SolvedRegion or None
        The hole, and the ground round the hole location; None where the player has no shots for it.
    composed : ndarray of float32 (ny, nx)
        F of every cell, nan where no ball is played from.
    base, published : ndarray of float32 (ny + 2, nx + 2)
        On the bordered map: what the rest stands on, near the hole the player's own; the published strokes.
    unplayable : Unplayable
        Cells of the bordered map whose balls are dropped for a stroke.
    """

    today: HoleToday
    baseline: Baseline
    greens: Greens
    rest: SolvedRegion
    near: SolvedRegion | None
    composed: NDArray[np.float32]
    base: NDArray[np.float32]
    published: NDArray[np.float32]
    unplayable: Unplayable

    @property
    def residual(self) -> float:
        """Largest change of a value in the last pass."""
        return max(self.rest.residual, 0.0 if self.near is None else self.near.residual)

    def solved(self, field: CostField) -> NDArray[np.bool_]:
        """Cells (ny * nx,) of the hole laid out whose strokes to go are this player's, not published ones."""
        return _solved(field, (self.rest,) if self.near is None else (self.rest, self.near))

    @property
    def values(self) -> FloatArray:
        """All values, of which `from_values` makes it again."""
        return self.rest.value if self.near is None else np.concatenate((self.rest.value, self.near.value))

    @property
    def bound(self) -> float:
        """Bound on what further passes could still change: residual times the most strokes expected.

        Of the values of the options chosen, on this lattice and these points; what a finer lattice would
        change is not in it.
        """
        parts = (self.rest,) if self.near is None else (self.rest, self.near)
        return self.residual * max(float(p.value.max(initial=1.0)) for p in parts)

    def __call__(self, xy: ArrayLike, lie: ArrayLike) -> FloatArray:
        """Expected strokes from K spots; see `StrokesToGo`."""
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        lies = np.broadcast_to(np.asarray(lie, dtype=np.int64), len(p))
        place = to_cells(self.today, p)
        base = self._near_strokes(p, place, lies)
        solved = self.rest.lattice.at(self.rest.value, place, lies)
        away = np.hypot(*(p - np.asarray(self.today.hole)).T)
        w = _outward(away, self.rest.region)
        row, col, inside = self.today.cells(p)
        ny, nx = self.composed.shape
        row, col = np.clip(row, 0, ny - 1), np.clip(col, 0, nx - 1)
        # Beyond the lattice F exceeds the published strokes by the same amount for every lie.
        more = self.composed[row, col] - self.base[1:-1, 1:-1][row, col]
        more = np.where(inside & np.isfinite(more), more, 0.0)
        return np.asarray(
            np.where(np.isnan(solved), base + more, w * np.nan_to_num(solved) + (1.0 - w) * base)
        )

    def _near_strokes(self, p: FloatArray, place: FloatArray, lies: NDArray[np.int64]) -> FloatArray:
        """What the rest stands on: putts on the green, the near region's values, else published strokes."""
        base = self.baseline(p, lies)
        if self.near is not None:
            own = self.near.lattice.at(self.near.value, place, lies)
            base = np.where(np.isnan(own), base, own)
        green = lies == Lie.GREEN
        if green.any():
            base[green] = self.greens.expected(p[green])
        return base

    def _region(self, spot: Spot) -> SolvedRegion:
        """The region whose node-lies a spot is played like."""
        away = float(np.hypot(spot.x - self.today.hole[0], spot.y - self.today.hole[1]))
        return self.near if self.near is not None and away < 0.5 * (INNER_M + OUTER_M) else self.rest

    def aims_near(self, spot: Spot) -> Aims | None:
        """What the node-lies round a spot would play, aimed at the same landings; None where none is near.

        A one-step lookahead from the spot itself starts from these.
        """
        region, today = self._region(spot), self.today
        net = region.lattice
        place = to_cells(today, (spot.x, spot.y))
        i, j = np.floor((place - net.origin) / net.spacing).astype(int)
        ny, nx = net.node_of.shape[1:]
        around = net.node_of[int(spot.lie), max(j - 1, 0) : min(j + 2, ny), max(i - 1, 0) : min(i + 2, nx)]
        nodes = around[around >= 0]
        options = region.options[nodes].reshape(-1, 4)
        solved = options[:, 0] >= 0.0
        if not solved.any():
            return None
        start = np.repeat(net.spots[nodes, :2], region.options.shape[1], axis=0)[solved]
        shot, heading, carry, _ = options[solved].T
        out = start + carry[:, None] * np.column_stack((np.sin(heading), np.cos(heading))) - place
        index, degrees = shot.astype(np.int64), np.degrees(np.arctan2(out[:, 0], out[:, 1])) % 360.0
        row = today.shots.at(index, int(spot.lie), degrees)
        carry = np.clip(np.hypot(*out.T) * today.cell_m, row.least, row.carry)
        return Aims(shot=index, heading=degrees, carry=carry)

    def shots_at(self, xy: FloatArray, lie: Lie) -> NDArray[np.int64]:
        """Best shot at the lattice point nearest to K places (K, 2) with one lie; -1 = not solved. [m]"""
        net = self.rest.lattice
        ny, nx = net.node_of.shape[1:]
        i, j = np.floor((to_cells(self.today, xy) - net.origin) / net.spacing + 0.5).astype(np.int64).T
        node = net.node_of[int(lie), np.clip(j, 0, ny - 1), np.clip(i, 0, nx - 1)]
        return np.where(node >= 0, self.rest.options[node, 0, 0], -1.0).astype(np.int64)

    def field(self, today: HoleToday) -> FloatArray:
        """F of every cell (ny, nx).

        Raises
        ------
        ValueError
            If `today` is not what was solved: another hole location, wind, player, map, other trees.
        """
        unlike = otherwise(today, self.today)
        if self.rest.lattice.landings and today.tee != self.today.tee:
            unlike = (*unlike, "other markers")
        if unlike:
            raise ValueError(f"this whole hole was solved for {' and '.join(unlike)}")
        return np.asarray(self.composed, dtype=np.float64)


def solve(
    today: HoleToday,
    *,
    seed: int = 1,
    spacing_m: float = SPACING_M,
    aim_step_m: float = 11.0,
    size: int = 64,
    threads: int = 1,
    tolerance: float = TOLERANCE,
    start: WholeHole | None = None,
    landings: bool = False,
    near_m: float = NEAR_SPACING_M,
) -> WholeHole:
    """Solve a hole backwards for this player.

    Parameters
    ----------
    today : HoleToday
        The hole under today's conditions.
    seed : int
        Seed of the sample points.
    spacing_m : float
        Lattice spacing. [m]
    aim_step_m : float
        Sideways step of the aims tried first; refined three times by halves. [m]
    size : int
        Points that options are refined by (a power of two; the search takes an eighth). Values are judged on
        four times as many, or on `JUDGED` where that is more. Mishits are a quarter of each.
    threads : int
        Threads of this process; plans use one and run holes in processes.
    tolerance : float
        Largest change of a value at which the passes end. [strokes]
    start : WholeHole, optional
        The same hole solved with another hole location, from other markers or for another set of shots: its
        values and options are where the passes begin, and the full search is left out. The answer agrees with
        a fresh one within the noise of the points, not to the last digit. A wind that changes the club
        everywhere is better solved afresh.
    landings : bool
        Solve only where balls from the tee come down and further on: enough for every decision, since shots
        are played ahead.
    near_m : float
        Lattice spacing near the hole. [m]
    """
    where = _Where(today, spacing_m, landings, near_m)
    near = where.passes(NEAR, seed, size, NEAR_STEP_M, threads, tolerance) if where.near else None
    if near is not None:
        near.run()
    begin, screens = None, None
    if start is not None and start.rest.lattice.fits(
        today, start.today, spacing_m, where.region.begin_m, landings=landings
    ):
        where.rest = start.rest.lattice
        begin = start.rest.value.copy(), _carried_over(start, today)
        if start.today.shots is today.shots and start.today.canopy is today.canopy:
            screens = start.rest.screens
    # Joining brings values up to date as well, so the rest need not have settled before.
    rest = where.passes(where.region, seed, size, aim_step_m, threads, NEARLY * tolerance, begin, screens)
    rest.run()
    frozen = _join(near, rest, tolerance)
    return where.whole(rest, near, frozen=frozen)


def _join(near: Passes | None, rest: Passes, tolerance: float) -> bool:
    """Both regions brought up to date on each other, and on balls that are dropped as unplayable.

    Until now the near one stood in published strokes, and every ball was played as it lay. Gives whether the
    drops were left as they were in the end.
    """
    cells, moved = None, 0.0
    if near is not None and (near.field.today.area >= 0).any():
        near.trace()  # a drop may lie where only the rest is solved
    k = 0
    for k in range(JOINED):
        if near is not None:
            before = near.value.copy()
            near.judge_standing()
            away = np.hypot(*(near.lattice.spots[:, :2] - near.field.hole).T) * near.today.cell_m
            heard = 1.0 - _outward(away, rest.region)
            moved = near.residual = float(np.max(heard * np.abs(near.value - before), initial=0.0))
        cells = _compose_all(near, rest, cells, frozen=k >= RECONSIDERED)
        rest.judge_outward()
        if max(moved, rest.residual) <= tolerance:
            break
    return k >= RECONSIDERED


def _compose_all(
    near: Passes | None, rest: Passes, cells: NDArray[np.int32] | None = None, *, frozen: bool = False
) -> NDArray[np.int32]:
    """The field from all values, with balls dropped as unplayable where it pays.

    Looks at `cells` for that, at all where they are not known yet; gives those to be looked at again.
    `frozen`: drops stay those of the last time.
    """
    field = rest.field
    dropped = field.unplayable.cells, field.unplayable.to
    field.unplayable.clear()
    if near is not None:
        field.values[:] = near.base
        near.compose_all()
        rest.base[:] = field.values
    else:
        field.values[:] = rest.base
    rest.compose_all()
    if frozen and cells is not None:
        field.unplayable.cells, field.unplayable.to = dropped
    else:
        solved = _solved(field, (rest,) if near is None else (rest, near))
        cells = take(field, solved, dearest(field, solved) if cells is None else cells)
    field.value_moved_balls()
    return cells


def _solved(field: CostField, parts: Iterable[Passes | SolvedRegion]) -> NDArray[np.bool_]:
    """Cells of the bordered map, flat, in the lattice of any of the parts."""
    out = np.zeros(field.values.size, np.bool_)
    for part in parts:
        out[part.lattice.cells] = True
    return out


def _outward(away: FloatArray, region: Region) -> FloatArray:
    """Weight of a region in the ground where it is blended into what it stands on, by distance. [m]"""
    w = np.clip((away - region.inner_m) / (region.outer_m - region.inner_m), 0.0, 1.0)
    return np.asarray(w * w * (3.0 - 2.0 * w))


def from_values(
    today: HoleToday,
    value: FloatArray,
    *,
    landings: bool = False,
    spacing_m: float = SPACING_M,
    near_m: float = NEAR_SPACING_M,
) -> WholeHole:
    """A hole solved before, from the values that were kept of it; it has no options to start from.

    Parameters
    ----------
    today : HoleToday
        The hole it was solved for.
    value : ndarray (N,)
        `WholeHole.values` of that solution.
    landings, spacing_m, near_m : bool, float, float
        As it was solved.

    Raises
    ------
    ValueError
        If the values are not of this hole.
    """
    where = _Where(today, spacing_m, landings, near_m)
    parts = [p for p in (where.rest, where.near) if p is not None]
    many = [len(p.lies) for p in parts]
    if len(value) != sum(many):
        raise ValueError(f"{len(value)} values were kept, this hole has {sum(many)}")
    rest_value, near_value = value[: many[0]], value[many[0] :]
    near = where.recall(NEAR, near_value) if where.near else None
    return where.whole(where.recall(where.region, rest_value), near)


class _Where:
    """A hole laid out to be solved: its field on the greens and by the table, and the lattices."""

    def __init__(self, today: HoleToday, spacing_m: float, landings: bool, near_m: float) -> None:
        self.today, self.baseline, self.greens = today, Baseline(today), Greens(today)
        self.field: CostField = cost_field(today, self.baseline)
        self.published = self.field.values.reshape(self.field.rows, self.field.columns).copy()
        putts = np.pad(self.greens.field(today), 1, constant_values=np.nan).ravel()
        green = np.isfinite(putts)
        self.field.values[green] = putts[green]
        self.field.value_moved_balls()
        self.near = near_lattice(today, near_m, OUTER_M) if today.shots.short.any() else None
        self.region = ALONE if self.near is None else REST
        self.rest = lattice(today, spacing_m, self.region.begin_m, landings=landings)

    def passes(
        self, region: Region, seed: int, size: int, step_m: float, threads: int, tolerance: float,
        start: tuple[FloatArray, FloatArray] | None = None, screens: Screens | None = None,
    ) -> Passes:  # fmt: skip
        """The passes over one region, on the field as it is by now."""
        net = self.near if region is NEAR else self.rest
        assert net is not None
        return Passes(
            self.field, region, net, self.baseline, seed=seed, size=size, step_m=step_m, threads=threads,
            tolerance=tolerance, start=start, screens=screens,
        )  # fmt: skip

    def recall(self, region: Region, value: FloatArray) -> Passes:
        """A region from the values that were kept of it."""
        passes = self.passes(region, 1, 0, self.today.cell_m, 1, TOLERANCE)
        passes.value[:] = value
        return passes

    def whole(self, rest: Passes, near: Passes | None, *, frozen: bool = False) -> WholeHole:
        """Everything together; `frozen`: with the drops that the values were judged with."""
        field = self.field
        _compose_all(near, rest, field.unplayable.cells if frozen else None, frozen=frozen)
        values = field.values.reshape(field.rows, field.columns)[1:-1, 1:-1].copy()
        values[self.today.surface >= Surface.YELLOW] = np.nan
        return WholeHole(
            today=self.today,
            baseline=self.baseline,
            greens=self.greens,
            rest=rest.solution(),
            near=None if near is None else near.solution(),
            composed=values,
            base=rest.base.reshape(field.rows, field.columns),
            published=self.published,
            unplayable=field.unplayable,
        )


def _carried_over(start: WholeHole, today: HoleToday) -> FloatArray:
    """Options of a solved hole as aimed today: the same landing, moved with the hole where near it.

    A shot that was played at full stays so; shots that are not there today are left out. Costs are made
    equal, so that all are tried.
    """
    before, net, options = start.today, start.rest.lattice, start.rest.options.copy()
    cell = today.cell_m
    index = {label: k for k, label in enumerate(today.shots.labels)}
    to = np.array([*(index.get(label, -1) for label in before.shots.labels), -1])
    old = options[..., 0].astype(np.int64)
    new = np.where(old >= 0, to[old], -1)
    has = new >= 0
    lie = np.broadcast_to(net.lies[:, None], old.shape)[has]
    heading, carry = options[has, 1], options[has, 2] * cell
    was = before.shots.at(old[has], lie, np.degrees(heading))
    now = today.shots.at(new[has], lie, np.degrees(heading))
    full = carry >= was.carry - 0.5
    drift = (was.mean[:, 0] - now.mean[:, 0]) * carry / was.carry
    landing = np.column_stack((np.sin(heading), np.cos(heading))) * carry[:, None]
    spot = np.broadcast_to(net.spots[:, None, :2], (*old.shape, 2))[has]
    off = np.hypot(*(to_metres(today, spot) + landing - np.asarray(before.hole)).T)
    near = np.clip((3.0 * NEAR_HOLE_M - off) / (2.0 * NEAR_HOLE_M), 0.0, 1.0)
    landing += near[:, None] * np.subtract(today.hole, before.hole)
    carry = np.where(full & (near < 1.0), now.carry, np.hypot(*landing.T))
    options[has, 1] = np.arctan2(landing[:, 0], landing[:, 1]) + drift / carry
    options[has, 2] = carry / cell
    options[..., 0] = new
    options[..., 3] = np.where(has, start.rest.value[:, None], np.inf)
    return options
