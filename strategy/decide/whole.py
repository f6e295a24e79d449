r"""The whole hole: strokes to hole out when every following shot is this player's own best.

State: where the ball is and how it lies, (x, l). Action: a shot, a heading, a carry. One stroke moves the
ball to a random rest with a random lie; the hole ends in the cup. Undiscounted, every stroke costs at least
one, and from every state some policy holes out with certainty: a stochastic shortest path [1]_. Its value
is the least fixed point of

.. math:: V_l(x) = \min_a \; 1 + E\big[\min(F(X), 1 + V_l(x))\big],
          \qquad F(x) = \sum_l \Pr(l \mid \mathrm{surface}(x)) \, V_l(x)

where X is the rest after legal relief, penalties included, and 1 + V_l(x) is stroke and distance, which
Rule 18.1 always allows. The lie is seen before the next shot is chosen, so it is averaged *outside* the
minimum (mean of best); scatter comes after the choice and is averaged inside (best of mean).

:math:`V_l` is smooth in x for each lie; it is stored on a lattice per lie and composed through the fine
surface map, so that edges stay sharp. Inside `INNER_M` of the hole the published baseline of the player's
level rules, until the short game is the player's own; between `INNER_M` and `OUTER_M` the two are blended.

The first pass goes outward from the green in bands of distance: nearly every ball finishes nearer than it
started, so most of what a band needs is already solved, and the pass searches every shot over a fan of
headings. Each later pass refines the best 8 options of every node and ends when the largest change is
below `TOLERANCE`. With :math:`r` that change and :math:`T` the largest expected number of strokes, the
remaining error is at most :math:`r T` (the Bellman operator of a proper policy contracts in the norm
weighted by expected strokes [1]_). Values are judged on other points than the options were chosen by: the
least of many noisy values is too low.

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

from strategy.codes import Lie, Surface
from strategy.course.playline import along_side, point_at
from strategy.decide.ground import Ground, ground
from strategy.outcome.points import make_points
from strategy.outcome.today import HoleToday
from strategy.strokes.baseline import Baseline

FloatArray = NDArray[np.float64]
Bands = list[tuple[NDArray[np.int64], NDArray[np.int32]]]

INNER_M: Final = 55.0
OUTER_M: Final = 80.0
BAND_M: Final = 12.0
SPACING_M: Final = 5.0
TOLERANCE: Final = 0.002
KEPT: Final = 8
# Options of a neighbour that are tried, and options refined: part of the first step, strokes above the best.
FOLLOWED: Final = 0.3
REFINED: Final = ((2, 0.2), (4, 0.1), (8, 0.05))
ARRIVALS: Final = 48
OFF_LINE_M: Final = 75.0  # further from the line of play than this the published baseline stays
_TURNS: Final = 16
_SWEEPS: Final = 12
_HEADINGS: Final = 72  # rows of 5 degrees
_MARGIN_M: Final = 42.0
_PAST_M: Final = 25.0
_LIES: Final = (
    Lie.FAIRWAY,
    Lie.FIRST_CUT,
    Lie.ROUGH_GOOD,
    Lie.ROUGH_POOR,
    Lie.JUMPER,
    Lie.SAND,
    Lie.RECOVERY,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeHole:
    """Strokes to go under this player's own best play; an implementation of `StrokesToGo`.

    Attributes
    ----------
    today : HoleToday
        The hole it was solved for.
    baseline : Baseline
        What rules near the hole and where nothing was solved.
    corner, spacing_m : tuple of two floats, float
        The lattice. [m]
    node_of : ndarray of int32 (9, gy, gx)
        Node-lie at each lattice point, -1 for none.
    value : ndarray (N,)
        V of each node-lie.
    options : ndarray (N, 8, 4)
        Best options of each node-lie: shot, heading [rad], carry [cells], Q; shot -1 for none.
    composed : ndarray of float32 (ny, nx)
        F of every cell; nan where no ball is played from.
    sweeps : int
        Passes made.
    residual : float
        Largest change of a value in the last pass.
    """

    today: HoleToday
    baseline: Baseline
    corner: tuple[float, float]
    spacing_m: float
    node_of: NDArray[np.int32]
    value: FloatArray
    options: FloatArray
    composed: NDArray[np.float32]
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
        solved = self._interpolated(p, lies)
        away = np.hypot(*(p - np.asarray(self.today.hole)).T)
        w = np.clip((away - INNER_M) / (OUTER_M - INNER_M), 0.0, 1.0)
        w = w * w * (3.0 - 2.0 * w)
        return np.asarray(np.where(np.isnan(solved), base, w * np.nan_to_num(solved) + (1.0 - w) * base))

    def field(self, today: HoleToday) -> FloatArray:
        """F of every cell (ny, nx); `today` must be the hole that was solved."""
        if today.hole != self.today.hole or today.surface is not self.today.surface:
            raise ValueError("this whole hole was solved for another hole location or another map")
        return np.asarray(self.composed, dtype=np.float64)

    def _interpolated(self, xy: FloatArray, lie: NDArray[np.int64]) -> FloatArray:
        g = (xy - np.asarray(self.corner)) / self.spacing_m
        ny, nx = self.node_of.shape[1:]
        i = np.clip(np.floor(g[:, 0]).astype(int), 0, nx - 2)
        j = np.clip(np.floor(g[:, 1]).astype(int), 0, ny - 2)
        f = np.clip(g - np.column_stack((i, j)), 0.0, 1.0)
        total = np.zeros(len(xy))
        for dj in (0, 1):
            for di in (0, 1):
                node = self.node_of[lie, j + dj, i + di]
                v = np.where(node >= 0, self.value[node], np.nan)
                total += (f[:, 0] if di else 1 - f[:, 0]) * (f[:, 1] if dj else 1 - f[:, 1]) * v
        return total


def solve(
    today: HoleToday,
    *,
    seed: int = 1,
    spacing_m: float = SPACING_M,
    aim_step_m: float = 11.0,
    size: int = 64,
    threads: int = 1,
    tolerance: float = TOLERANCE,
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
        Points of the core in the later passes (a power of two; mishits a quarter as many, the first pass
        half as many of each).
    threads : int
        Threads of this process; plans use one and run holes in processes.
    tolerance : float
        Largest change of a value at which the passes end. [strokes]
    """
    return _Solver(today, seed, spacing_m, aim_step_m, size, threads, tolerance).run()


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
    ) -> None:
        self.today, self.threads, self.tolerance = today, threads, tolerance
        self.step = step / today.cell_m
        self.baseline = Baseline(today)
        self.board: Ground = ground(today, self.baseline)
        self.base = self.board.field.copy()
        self.spacing = spacing / today.cell_m  # in cells
        self.node_of, self.spots, self.lies = self._lattice()
        self.leaders = self._leaders()
        self.neighbours = self._neighbours()
        self.value = self._first_guess()
        self.options = np.full((len(self.lies), KEPT, 4), -1.0)
        self.turns = self._turns()
        self.table, self.run_, self.run_sd, self.allowed = _flat_table(today)
        self.crossings = self._crossings()
        self.search = _points(size // 2, seed)
        self.refine = _points(size, seed + 1)
        self.judge = _points(size, seed + 2)

    # -- setting up -----------------------------------------------------------------------------------

    def _lattice(self) -> tuple[NDArray[np.int32], FloatArray, NDArray[np.int64]]:
        """Lattice points whose four neighbouring squares hold ground of a lie, near the line of play."""
        today, h = self.today, self.spacing
        rows, columns = self.board.rows, self.board.columns
        gx, gy = int(columns // h) + 2, int(rows // h) + 2
        surface = np.pad(today.surface, 1, constant_values=Surface.OFF_MAP)
        wanted = np.zeros((len(Surface), gy, gx), dtype=bool)
        r, c = np.nonzero(surface < Surface.YELLOW)
        centre = np.column_stack((c, r)) + 0.5
        metres = (centre - 1.0) * today.cell_m + np.asarray(today.corner)
        away = np.hypot(*(metres - np.asarray(today.hole)).T)
        near = np.abs(_side(today, metres)) < OFF_LINE_M
        keep = (away > INNER_M - 2.0) & near
        wanted[surface[r[keep], c[keep]], (r[keep] / h).astype(int), (c[keep] / h).astype(int)] = True
        node_of = np.full((len(Lie), gy, gx), -1, dtype=np.int32)
        spots, lies, count = [], [], 0
        for lie in _LIES:
            square = np.any(wanted[np.flatnonzero(today.lie_chance[:, lie] > 0.0)], axis=0)
            corner = np.zeros((gy, gx), dtype=bool)
            for dj in (0, 1):
                for di in (0, 1):
                    corner[dj:, di:] |= square[: gy - dj, : gx - di]
            j, i = np.nonzero(corner)
            node_of[lie, j, i] = count + np.arange(len(j))
            count += len(j)
            spots.append(np.column_stack((i * h, j * h)))
            lies.append(np.full(len(j), int(lie)))
        place = np.vstack(spots)
        height = today.height_at((place - 1.0) * today.cell_m + np.asarray(today.corner))
        return node_of, np.column_stack((place, height)), np.concatenate(lies)

    def _leaders(self) -> NDArray[np.int64]:
        """Every third lattice point each way is searched in full; those around it start from its options."""
        leaders, top = np.arange(len(self.lies)), np.array(self.node_of.shape[1:]) - 1
        for of_lie in self.node_of:
            j, i = np.nonzero(of_lie >= 0)
            first = of_lie[np.minimum((j + 1) // 3 * 3, top[0]), np.minimum((i + 1) // 3 * 3, top[1])]
            mine = of_lie[j, i]
            leaders[mine] = np.where(first >= 0, first, mine)
        return leaders

    def _neighbours(self) -> NDArray[np.int64]:
        """Node-lies of the same lie one step each way (N, 4), -1 for none."""
        padded = np.pad(self.node_of, ((0, 0), (1, 1), (1, 1)), constant_values=-1)
        lie, j, i = np.nonzero(self.node_of >= 0)
        out = np.empty((len(self.lies), 4), dtype=np.int64)
        for k, (dj, di) in enumerate(((0, 1), (2, 1), (1, 0), (1, 2))):
            out[self.node_of[lie, j, i], k] = padded[lie, j + dj, i + di]
        return out

    def _metres(self) -> FloatArray:
        return np.asarray((self.spots[:, :2] - 1.0) * self.today.cell_m + np.asarray(self.today.corner))

    def _first_guess(self) -> FloatArray:
        return np.asarray(self.baseline(self._metres(), self.lies), dtype=np.float64)

    def _turns(self) -> FloatArray:
        """Headings of the line of play ahead of every node, at even distances; first the spacing of them."""
        today, metres = self.today, self._metres()
        longest = float(today.shots.carry.max()) * 1.05
        depth = along_side(today.line, metres)[:, 1]
        reach = np.linspace(0.0, longest, _TURNS)
        out = np.empty((len(metres), _TURNS + 1))
        out[:, 0] = longest / (_TURNS - 1) / today.cell_m
        for k, ahead in enumerate(np.maximum(reach, 5.0)):
            d = point_at(today.line, 0.0, depth + ahead) - metres
            out[:, 1 + k] = np.arctan2(d[:, 0], d[:, 1])
        return out

    def _crossings(self) -> NDArray[np.int32]:
        from strategy.decide.kernels import PATCH, map_crossings

        rows, columns = self.board.rows, self.board.columns
        patches = -(-rows // PATCH) * -(-columns // PATCH)
        if not (self.today.area >= 0).any():
            return np.full((1, 1), -1, dtype=np.int32)
        crossings = np.empty((patches, ARRIVALS), dtype=np.int32)
        map_crossings(self.board.packed, rows, columns, crossings)
        return crossings

    # -- passes ---------------------------------------------------------------------------------------

    def run(self) -> WholeHole:
        bands = self._bands()
        for nodes, cells in bands:
            leads = self.leaders[nodes] == nodes
            self._sweep(nodes[leads], self.search, slots=0, worth=FOLLOWED)
            self._sweep(nodes[~leads], self.search, slots=0, worth=FOLLOWED)
            self._compose(cells)
        sweeps = 1
        for halving, worth in REFINED:
            self._exchange()
            self._improve(bands, self.refine, slots=KEPT, worth=worth, step=self.step / halving, fan=1)
            sweeps += 1
        residual = np.inf
        while residual > self.tolerance and sweeps < _SWEEPS:
            # Judged on other points than chosen by: the least of many noisy values is too low.
            residual = self._improve(bands, self.judge, slots=1)
            sweeps += 1
        today = self.today
        return WholeHole(
            today=today,
            baseline=self.baseline,
            corner=(today.corner[0] - today.cell_m, today.corner[1] - today.cell_m),
            spacing_m=self.spacing * today.cell_m,
            node_of=self.node_of,
            value=self.value,
            options=self.options,
            composed=self._unpadded(),
            sweeps=sweeps,
            residual=residual,
        )

    def _bands(self) -> Bands:
        """Node-lies and cells by distance to the hole; cells of a band need only nodes solved by then."""
        away = np.hypot(*(self.spots[:, :2] - np.asarray(self.board.hole)).T) * self.today.cell_m
        columns = self.board.columns
        flat = np.flatnonzero((self.board.packed & 15) < int(Surface.YELLOW)).astype(np.int32)
        hx, hy = self.board.hole
        cell_away = np.hypot(flat % columns + 0.5 - hx, flat // columns + 0.5 - hy) * self.today.cell_m
        order = np.argsort(cell_away.astype(np.float32), kind="stable")
        flat, cell_away = flat[order], cell_away[order]
        by_node = np.argsort(away, kind="stable")
        edges = np.arange(INNER_M - BAND_M, float(max(cell_away[-1], away.max(initial=0.0))) + BAND_M, BAND_M)
        margin = 1.5 * self.spacing * self.today.cell_m
        cell_at = np.searchsorted(cell_away, edges)
        node_at = np.searchsorted(away[by_node], edges + margin)
        node_at[0] = 0
        return [
            (by_node[node_at[k] : node_at[k + 1]].astype(np.int64), flat[cell_at[k] : cell_at[k + 1]])
            for k in range(len(edges) - 1)
        ]

    def _exchange(self) -> None:
        """Every node-lie is shown the best option of each neighbour, where it is not like one of its own."""
        own, best = self.options.copy(), self.options[:, 0].copy()
        for k in range(4):
            theirs = best[np.maximum(self.neighbours[:, k], 0)]
            apart = np.abs((theirs[:, None, 1] - own[..., 1]) * own[..., 2])
            apart += np.abs(theirs[:, None, 2] - own[..., 2])
            known = np.any((theirs[:, None, 0] == own[..., 0]) & (apart < self.step), axis=1)
            new = (self.neighbours[:, k] >= 0) & (theirs[:, 0] >= 0.0) & ~known
            self.options[new, KEPT - 1 - k, :3] = theirs[new, :3]
            self.options[new, KEPT - 1 - k, 3] = best[new, 3]

    def _improve(self, bands: Bands, points: tuple[Any, int], **how: Any) -> float:
        """One pass outward over the whole hole: remembered relief is stale, values change, F follows."""
        self.board.relief[:] = np.nan
        change = 0.0
        for nodes, cells in bands:
            change = max(change, self._sweep(nodes, points, **how))
            self._compose(cells)
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
        from strategy.decide.kernels import sweep

        if not len(nodes):
            return 0.0
        b, today = self.board, self.today

        def part(mine: NDArray[np.int64]) -> float:
            change = sweep(
                b.field, b.field[None], b.packed, b.relief, self.crossings, b.rows, b.columns, today.cell_m,
                *b.hole, today.longest_club_m, b.zones, b.height,
                mine, self.leaders, self.spots, self.lies, self.turns, self.allowed, self.table,
                self.run_, self.run_sd, *points, self.value, self.options, slots, worth, step, fan,
                self.step, _MARGIN_M / today.cell_m, _PAST_M / today.cell_m,
            )  # fmt: skip
            return float(change)

        if self.threads == 1 or len(nodes) < 64:
            return part(nodes)
        with ThreadPoolExecutor(self.threads) as pool:
            return max(pool.map(part, np.array_split(nodes, 4 * self.threads)))

    def _compose(self, cells: NDArray[np.int32]) -> None:
        from strategy.decide.composing import compose

        cell = self.today.cell_m
        compose(
            self.board.field, cells, self.board.packed, self.board.columns, self.base, self.today.lie_chance,
            self.node_of, self.value, 0.0, 0.0, self.spacing,
            *self.board.hole, INNER_M / cell, OUTER_M / cell,
        )  # fmt: skip

    def _unpadded(self) -> NDArray[np.float32]:
        field = self.board.field.reshape(self.board.rows, self.board.columns)[1:-1, 1:-1].copy()
        field[self.today.surface >= Surface.YELLOW] = np.nan
        return field


def _side(today: HoleToday, metres: FloatArray) -> FloatArray:
    """Side of the line of play, in chunks: every leg is compared with every place. [m]"""
    parts = [along_side(today.line, metres[k : k + 100_000])[:, 0] for k in range(0, len(metres), 100_000)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _points(size: int, seed: int) -> tuple[NDArray[np.float32], int]:
    """Core points and a quarter as many mishits (3, N), and how many are core."""
    core = make_points(size, seed).stacked[:size]
    mishit = make_points(max(size // 4, 1), seed).stacked[max(size // 4, 1) :]
    return np.ascontiguousarray(np.vstack((core, mishit)).T, dtype=np.float32), size


def _flat_table(
    today: HoleToday,
) -> tuple[FloatArray, NDArray[np.float32], NDArray[np.float32], NDArray[np.bool_]]:
    """The shot table as the kernels' rows (S, L, H, 16), lengths in cells; runs flat (S L H, 16).

    The kernel takes the nearest heading, so a table that depends on the heading is first made denser.
    """
    table, per_m = today.shots, 1.0 / today.cell_m
    bins = 1 if table.carry.shape[2] == 1 else _HEADINGS
    shot, lie, heading = np.ix_(np.arange(table.shots), np.arange(len(Lie)), np.arange(bins) * (360.0 / bins))
    t = table.at(shot, lie, heading)
    factor = np.linalg.cholesky(t.covariance)
    carry = t.carry
    out = np.empty((*carry.shape, 16))
    out[..., 0], out[..., 1] = carry * per_m, t.least * per_m
    out[..., 2:4] = t.mean * per_m
    out[..., 4], out[..., 5], out[..., 6] = (factor[..., i, j] * per_m for i, j in ((0, 0), (1, 0), (1, 1)))
    out[..., 7:9] = t.mishit_shift * per_m
    out[..., 9] = t.mishit_scale
    out[..., 10] = -4.0 * t.bend[..., 1] * per_m
    out[..., 11] = t.mishit_share
    out[..., 12:14] = t.rise * per_m
    turn = np.radians(t.run_turn)
    out[..., 14], out[..., 15] = np.cos(turn), np.sin(turn)
    rows = carry.size
    run = np.zeros((rows, 16), dtype=np.float32)
    run_sd = np.zeros((rows, 16), dtype=np.float32)
    run[:, : len(Surface)] = (t.run * per_m).reshape(rows, -1)
    run_sd[:, : len(Surface)] = (t.run_sd * per_m).reshape(rows, -1)
    return out, run, run_sd, np.ascontiguousarray(table.allowed)
