r"""The whole hole: strokes to hole out when every following shot is this player's own best.

State: where the ball is and how it lies, (x, l). Action: a shot, a heading, a carry. One stroke moves the
ball to a random rest with a random lie; the hole ends in the cup. Undiscounted, every stroke costs at least
one, and from every state some policy holes out with certainty: a stochastic shortest path [1]_. Its value
is the least fixed point of

.. math:: V_l(x) = \min_a \; 1 + E\big[\min(F(X), 1 + V_l(x))\big],
          \qquad F(x) = \sum_l \Pr(l \mid \mathrm{surface}(x)) \, V_l(x)

where X is the rest after legal relief, penalties included, and 1 + V_l(x) is stroke and distance, which
Rule 18.1 always allows. The other ways out of an unplayable lie (Rule 19) are not searched: while no tree
stops a ball no lie is a stroke dearer than the ground beside it, and a test holds that they never pay. The
lie is seen before the next shot is chosen, so it is averaged *outside* the minimum (mean of best); scatter
comes after the choice and is averaged inside (best of mean).

:math:`V_l` is smooth in x for each lie; it is stored on a lattice per lie and composed through the fine
surface map, so that edges stay sharp. Inside `INNER_M` of the hole the published baseline of the player's
level rules, until the short game is the player's own; between `INNER_M` and `OUTER_M` the two are blended.

The first pass goes outward from the green in bands of distance: nearly every ball finishes nearer than it
started, so most of what a band needs is already solved, and the pass searches every shot over a fan of
headings. Later passes refine the best 8 options of every node, after each was shown the best of its
neighbours; the last ones bring the standing options up to date and end when the largest change is below
`TOLERANCE`. With :math:`r` that change and :math:`T` the largest expected number of strokes, the remaining
error is at most :math:`r T` (the Bellman operator of a proper policy contracts in the norm weighted by
expected strokes [1]_). Values are judged on other points than the options were chosen by: the least of many
noisy values is too low.

References
----------
.. [1] D. P. Bertsekas, J. N. Tsitsiklis, "An analysis of stochastic shortest path problems", Mathematics
   of Operations Research 16(3):580-595, 1991.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.codes import Lie, Spot, Surface
from strategy.decide.aims import Aims
from strategy.decide.ground import Ground, ground, to_cells, to_metres
from strategy.decide.land import DIRECTIONS
from strategy.decide.lattice import SPARED_M, Lattice, lattice
from strategy.decide.rows import points_of, table_of
from strategy.outcome.today import HoleToday
from strategy.strokes.baseline import Baseline

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
Band = tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32], NDArray[np.int32]]
Bands = list[Band]

INNER_M: Final = 55.0
OUTER_M: Final = 80.0
BAND_M: Final = 12.0
SPACING_M: Final = 7.0  # 5 and 6 m give the same score to 0.001, played out
TOLERANCE: Final = 0.002
KEPT: Final = 8
JUDGED: Final = 256  # points of the passes that values come from, at least
NEAR_HOLE_M: Final = 15.0  # an aim this near the hole moves with it
FOLLOWED: Final = 0.25  # strokes above the best, of a leader's options that are tried
REFINED: Final = ((2, 0.1), (4, 0.05), (8, 0.025))  # part of the first step; strokes above the best
ARRIVALS: Final = 48
_SWEEPS: Final = 12
_MARGIN_M: Final = 42.0
_DIALS: Final = 6
_PAST_M: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeHole:
    """Strokes to go under this player's own best play; an implementation of `StrokesToGo`.

    Attributes
    ----------
    today : HoleToday
        The hole it was solved for.
    baseline : Baseline
        What rules near the hole and where nothing was solved.
    lattice : Lattice
        Where values are kept.
    value : ndarray (N,)
        V of each node-lie.
    options : ndarray (N, 8, 4)
        Best options of each node-lie: shot, heading [rad], carry [cells], Q; shot -1 for none.
    composed : ndarray of float32 (ny, nx)
        F of every cell, nan where no ball is played from.
    published : ndarray of float32 (ny + 2, nx + 2)
        The published strokes of every cell of the bordered map.
    judged_on : tuple of ndarray (4, K) and int
        Points the values were judged on, and how many are core; none of values that were recalled.
    sweeps : int
        Passes made.
    residual : float
        Largest change of a value in the last pass.
    """

    today: HoleToday
    baseline: Baseline
    lattice: Lattice
    value: FloatArray
    options: FloatArray
    composed: NDArray[np.float32]
    published: NDArray[np.float32]
    judged_on: tuple[NDArray[np.float32], int]
    sweeps: int
    residual: float

    @property
    def bound(self) -> float:
        """Bound on what further passes could still change: residual times the most strokes expected."""
        return self.residual * float(self.value.max(initial=1.0))

    def __call__(self, xy: ArrayLike, lie: ArrayLike) -> FloatArray:
        """Expected strokes from K spots; see `StrokesToGo`."""
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        lies = np.broadcast_to(np.asarray(lie, dtype=np.int64), len(p))
        base = self.baseline(p, lies)
        solved = self.lattice.at(self.value, to_cells(self.today, p), lies)
        away = np.hypot(*(p - np.asarray(self.today.hole)).T)
        w = np.clip((away - INNER_M) / (OUTER_M - INNER_M), 0.0, 1.0)
        w = w * w * (3.0 - 2.0 * w)
        row, col, inside = self.today.cells(p)
        ny, nx = self.composed.shape
        row, col = np.clip(row, 0, ny - 1), np.clip(col, 0, nx - 1)
        # Beyond the lattice F stands above the published strokes for every lie alike.
        more = self.composed[row, col] - self.published[1:-1, 1:-1][row, col]
        more = np.where(inside & np.isfinite(more), more, 0.0)
        return np.asarray(
            np.where(np.isnan(solved), base + more, w * np.nan_to_num(solved) + (1.0 - w) * base)
        )

    def aims_near(self, spot: Spot) -> Aims | None:
        """What the node-lies round a spot would play, aimed at the same landings; None where none is near.

        A one-step lookahead from the spot itself starts from these.
        """
        net, today = self.lattice, self.today
        place = to_cells(today, (spot.x, spot.y))
        i, j = np.floor(place / net.spacing).astype(int)
        ny, nx = net.node_of.shape[1:]
        around = net.node_of[int(spot.lie), max(j - 1, 0) : min(j + 2, ny), max(i - 1, 0) : min(i + 2, nx)]
        nodes = around[around >= 0]
        options = self.options[nodes].reshape(-1, 4)
        there = options[:, 0] >= 0.0
        if not there.any():
            return None
        start = np.repeat(net.spots[nodes, :2], self.options.shape[1], axis=0)[there]
        shot, heading, carry, _ = options[there].T
        out = start + carry[:, None] * np.column_stack((np.sin(heading), np.cos(heading))) - place
        index, degrees = shot.astype(np.int64), np.degrees(np.arctan2(out[:, 0], out[:, 1])) % 360.0
        row = today.shots.at(index, int(spot.lie), degrees)
        carry = np.clip(np.hypot(*out.T) * today.cell_m, row.least, row.carry)
        return Aims(shot=index, heading=degrees, carry=carry)

    def shots_at(self, xy: FloatArray, lie: Lie) -> NDArray[np.int64]:
        """Best shot at the lattice point nearest to K places (K, 2) with one lie; -1 = not solved. [m]"""
        net = self.lattice
        ny, nx = net.node_of.shape[1:]
        i, j = np.floor(to_cells(self.today, xy) / net.spacing + 0.5).astype(np.int64).T
        node = net.node_of[int(lie), np.clip(j, 0, ny - 1), np.clip(i, 0, nx - 1)]
        return np.where(node >= 0, self.options[node, 0, 0], -1.0).astype(np.int64)

    def field(self, today: HoleToday) -> FloatArray:
        """F of every cell (ny, nx); `today` must be the hole that was solved."""
        if today.hole != self.today.hole or today.surface is not self.today.surface:
            raise ValueError("this whole hole was solved for another hole location or another map")
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
        Points that options are refined by (a power of two; the search takes a quarter). Values are judged on
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
    """
    solver = _Solver(today, seed, spacing_m, aim_step_m, size, threads, tolerance, start, landings)
    return solver.run()


def recalled(
    today: HoleToday, value: FloatArray, *, landings: bool = False, spacing_m: float = SPACING_M
) -> WholeHole:
    """A hole solved before, from the values that were kept of it; it has no options to start from.

    Parameters
    ----------
    today : HoleToday
        The hole it was solved for.
    value : ndarray (N,)
        `WholeHole.value` of that solution.
    landings, spacing_m : bool, float
        As it was solved.

    Raises
    ------
    ValueError
        If the values are not of this hole.
    """
    solver = _Solver(today, 1, spacing_m, today.cell_m, 0, 1, TOLERANCE, None, landings)
    if value.shape != solver.value.shape:
        raise ValueError(f"{len(value)} values were kept, this hole has {len(solver.value)}")
    solver.value[:] = value
    solver.compose_all()
    return solver.solution((np.empty((4, 0), np.float32), 0), 0, 0.0)


class _Solver:
    """The arrays of one solve, and the passes over them."""

    def __init__(
        self,
        today: HoleToday,
        seed: int,
        spacing: float,
        step: float,
        size: int,
        threads: int,
        tolerance: float,
        start: WholeHole | None = None,
        landings: bool = False,
    ) -> None:
        self.today, self.threads, self.tolerance = today, threads, tolerance
        self.step = step / today.cell_m
        self.baseline = Baseline(today)
        self.board: Ground = ground(today, self.baseline)
        self.base = self.board.field.copy()
        self.warm = start is not None and start.lattice.fits(today, start.today, spacing, landings=landings)
        if start is not None and self.warm:
            self.lattice, self.value = start.lattice, start.value.copy()
            self.options = _carried_over(start, today)
        else:
            self.lattice = lattice(today, spacing, landings=landings)
            self.value = self._first_guess()
            self.options = np.full((len(self.value), KEPT, 4), -1.0)
        self.size, self.seed = size, seed

    def _first_guess(self) -> FloatArray:
        metres = to_metres(self.today, self.lattice.spots[:, :2])
        return np.asarray(self.baseline(metres, self.lattice.lies), dtype=np.float64)

    def _screens(self) -> tuple[NDArray[np.uint16], IntArray]:
        """What stands in the way of each shot from each place of the lattice; the place of each node-lie."""
        from strategy.decide.sweeping import screen_places

        spots, board = self.lattice.spots, self.board
        if not board.trees.free.size:
            return np.zeros((0, 0, DIRECTIONS), np.uint16), np.zeros(len(spots), np.int64)
        places, place_of = np.unique(spots, axis=0, return_inverse=True)
        allowed, shots = self.today.shots.allowed, np.arange(self.today.shots.shots)
        lie = np.where(allowed[:, Lie.FAIRWAY], Lie.FAIRWAY, np.argmax(allowed, axis=1))
        heading = np.arctan2(*(np.asarray(board.hole) - places[:, :2]).T)
        bins = self.table.shape[2]
        middle = int(np.median(heading) / (2.0 * np.pi) * bins + 0.5) % bins
        screens = np.zeros((len(places), len(shots), DIRECTIONS), np.uint16)
        screen_places(board.land, places, self.table[shots, lie, middle], heading, screens)
        return screens, np.asarray(place_of, dtype=np.int64).ravel()

    # -- passes ---------------------------------------------------------------------------------------

    def run(self) -> WholeHole:
        # What only the passes need is set up here: values that are recalled do without.
        size, seed = self.size, self.seed
        self.turns = self.lattice.turns(self.today)
        self.table, self.roll, self.allowed = table_of(self.today)
        self.crossings = crossings_of(self.board)
        self.screens, self.place_of = self._screens()
        search, coarse = points_of(size // 4, seed), points_of(size // 2, seed + 1)
        refine, self.judge = points_of(size, seed + 1), points_of(max(JUDGED, 4 * size), seed + 2)
        bands = self._bands()
        sweeps = 0
        if self.warm:
            self.compose_all()
        else:
            for nodes, *cells in bands:
                leads = self.lattice.leaders[nodes] == nodes
                self._sweep(nodes[leads], search, slots=0, worth=FOLLOWED)
                self._sweep(nodes[~leads], search, slots=0, worth=FOLLOWED)
                self._compose(*cells)
            sweeps += 1
        for (halving, worth), points in zip(REFINED, (coarse, refine, refine), strict=True):
            self._exchange()
            self._improve(bands, points, slots=KEPT, worth=worth, step=self.step / halving, fan=1)
            sweeps += 1
        residual = np.inf
        while residual > self.tolerance and sweeps < _SWEEPS:
            # Judged on other points than chosen by: the least of many noisy values is too low.
            residual = self._improve(bands, self.judge, slots=1)
            sweeps += 1
        return self.solution(self.judge, sweeps, residual)

    def solution(self, judged_on: tuple[NDArray[np.float32], int], sweeps: int, residual: float) -> WholeHole:
        return WholeHole(
            today=self.today,
            baseline=self.baseline,
            lattice=self.lattice,
            value=self.value,
            options=self.options,
            composed=self._unpadded(),
            published=self.base.reshape(self.board.rows, self.board.columns),
            judged_on=judged_on,
            sweeps=sweeps,
            residual=residual,
        )

    def _bands(self) -> Bands:
        """Node-lies and cells by distance to the hole; cells of a band need only nodes solved by then."""
        net, (hx, hy) = self.lattice, self.board.hole
        cell_m, columns = self.today.cell_m, self.board.columns

        def away(cells: NDArray[np.int32]) -> FloatArray:
            return np.asarray(np.hypot(cells % columns + (0.5 - hx), cells // columns + (0.5 - hy)) * cell_m)

        inner, flat = away(net.cells), net.cells
        # In what order cells of one band come does not matter: sorting small numbers is quick.
        band = np.where(inner > INNER_M, (inner - INNER_M) / BAND_M + 1.0, 0.0).astype(np.uint16)
        order = np.argsort(band, kind="stable")
        flat, band = flat[order], band[order]
        # A cell beyond the lattice waits for its twin, too.
        far = np.maximum(away(net.beyond), away(net.twins)) - INNER_M
        last = (np.maximum(far, 0.0) / BAND_M + 1.0).astype(np.uint16)
        order = np.argsort(last, kind="stable")
        beyond, twins, last = net.beyond[order], net.twins[order], last[order]
        node_away = np.hypot(*(net.spots[:, :2] - (hx, hy)).T) * cell_m
        by_node = np.argsort(node_away, kind="stable")
        by_node = by_node[node_away[by_node] > SPARED_M]
        most = int(
            max(
                band.max(initial=0), last.max(initial=0), (node_away.max(initial=0.0) - INNER_M) // BAND_M + 1
            )
        )
        margin = 1.5 * net.spacing * cell_m
        numbers = np.arange(1, most + 2)
        cell_at, last_at = np.searchsorted(band, numbers), np.searchsorted(last, numbers)
        node_at = np.searchsorted(node_away[by_node], INNER_M + (numbers - 1) * BAND_M + margin)
        node_at[0] = 0
        return [
            (
                by_node[node_at[k] : node_at[k + 1]].astype(np.int64),
                flat[cell_at[k] : cell_at[k + 1]],
                beyond[last_at[k] : last_at[k + 1]],
                twins[last_at[k] : last_at[k + 1]],
            )
            for k in range(most)
        ]

    def _exchange(self) -> None:
        """Every node-lie is shown the best option of each neighbour, where it is not like one of its own."""
        own, best = self.options.copy(), self.options[:, 0].copy()
        for k in range(4):
            theirs = best[np.maximum(self.lattice.neighbours[:, k], 0)]
            apart = np.abs((theirs[:, None, 1] - own[..., 1]) * own[..., 2])
            apart += np.abs(theirs[:, None, 2] - own[..., 2])
            known = np.any((theirs[:, None, 0] == own[..., 0]) & (apart < self.step), axis=1)
            new = (self.lattice.neighbours[:, k] >= 0) & (theirs[:, 0] >= 0.0) & ~known
            self.options[new, KEPT - 1 - k, :3] = theirs[new, :3]
            self.options[new, KEPT - 1 - k, 3] = best[new, 3]

    def _improve(self, bands: Bands, points: tuple[Any, int], **how: Any) -> float:
        """One pass outward over the whole hole: remembered relief is stale, values change, F follows."""
        self.board.relief[:] = np.nan
        change = 0.0
        for nodes, *cells in bands:
            change = max(change, self._sweep(nodes, points, **how))
            self._compose(*cells)
        return change

    def _sweep(
        self,
        nodes: NDArray[np.int64],
        points: tuple[Any, int],
        *,
        slots: int,
        worth: float = 0.0,
        step: float = 0.0,
        fan: int = 0,
    ) -> float:
        from strategy.decide.sweeping import sweep

        if not len(nodes):
            return 0.0
        b, today, net, land = self.board, self.today, self.lattice, self.board.land
        # Values are of balls that are walked past every tree.
        screens = self.screens[:0] if slots == 1 else self.screens

        def part(mine: NDArray[np.int64]) -> float:
            change = sweep(
                land, b.field, b.field[None], self.crossings,
                mine, net.leaders, net.spots, net.lies, self.turns, self.allowed, self.table,
                self.roll, *points, self.value, self.options, slots, worth, step, fan, self.step,
                _MARGIN_M / today.cell_m, _PAST_M / today.cell_m, _DIALS, screens, self.place_of,
            )  # fmt: skip
            return float(change)

        if self.threads == 1 or len(nodes) < 64:
            return part(nodes)
        with ThreadPoolExecutor(self.threads) as pool:
            return max(pool.map(part, np.array_split(nodes, 4 * self.threads)))

    def compose_all(self) -> None:
        self._compose(self.lattice.cells, self.lattice.beyond, self.lattice.twins)

    def _compose(self, cells: NDArray[np.int32], beyond: NDArray[np.int32], twins: NDArray[np.int32]) -> None:
        from strategy.decide.composing import compose, extend

        cell = self.today.cell_m
        compose(
            self.board.field, cells, self.board.packed, self.board.columns, self.base, self.today.lie_chance,
            self.lattice.node_of, self.value, 0.0, 0.0, self.lattice.spacing,
            *self.board.hole, INNER_M / cell, OUTER_M / cell,
        )  # fmt: skip
        extend(self.board.field, self.base, beyond, twins)
        self.board.settle()

    def _unpadded(self) -> NDArray[np.float32]:
        field = self.board.field.reshape(self.board.rows, self.board.columns)[1:-1, 1:-1].copy()
        field[self.today.surface >= Surface.YELLOW] = np.nan
        return field


def crossings_of(board: Ground) -> NDArray[np.int32]:
    """Where wet balls crossed, by patch and arrival; (1, 1) without a cell where no penalty area is."""
    from strategy.decide.kernels import PATCH, map_crossings

    if not (board.today.area >= 0).any():
        return np.full((1, 1), -1, dtype=np.int32)
    patches = -(-board.rows // PATCH) * -(-board.columns // PATCH)
    crossings = np.empty((patches, ARRIVALS), dtype=np.int32)
    map_crossings(board.packed, board.rows, board.columns, crossings)
    return crossings


def _carried_over(start: WholeHole, today: HoleToday) -> FloatArray:
    """Options of a solved hole as aimed today: the same landing, moved with the hole where near it.

    A shot that was played at full stays so; shots that are not there today are left out. Costs are made
    equal, so that all are tried.
    """
    before, net, options = start.today, start.lattice, start.options.copy()
    cell = today.cell_m
    index = {label: k for k, label in enumerate(today.shots.labels)}
    to = np.array([*(index.get(label, -1) for label in before.shots.labels), -1])
    old = options[..., 0].astype(np.int64)
    new = np.where(old >= 0, to[old], -1)
    there = new >= 0
    lie = np.broadcast_to(net.lies[:, None], old.shape)[there]
    heading, carry = options[there, 1], options[there, 2] * cell
    was = before.shots.at(old[there], lie, np.degrees(heading))
    now = today.shots.at(new[there], lie, np.degrees(heading))
    full = carry >= was.carry - 0.5
    drift = (was.mean[:, 0] - now.mean[:, 0]) * carry / was.carry
    landing = np.column_stack((np.sin(heading), np.cos(heading))) * carry[:, None]
    spot = np.broadcast_to(net.spots[:, None, :2], (*old.shape, 2))[there]
    off = np.hypot(*(to_metres(today, spot) + landing - np.asarray(before.hole)).T)
    near = np.clip((3.0 * NEAR_HOLE_M - off) / (2.0 * NEAR_HOLE_M), 0.0, 1.0)
    landing += near[:, None] * np.subtract(today.hole, before.hole)
    carry = np.where(full & (near < 1.0), now.carry, np.hypot(*landing.T))
    options[there, 1] = np.arctan2(landing[:, 0], landing[:, 1]) + drift / carry
    options[there, 2] = carry / cell
    options[..., 0] = new
    options[..., 3] = np.where(there, start.value[:, None], np.inf)
    return options
