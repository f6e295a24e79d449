"""Passes over the node-lies of one region of a hole until their values stand still.

The first pass goes outward from the hole in bands of distance: nearly every ball finishes nearer than it
started, so most of what a band needs is already solved, and the pass searches every shot over a fan of
headings. Later passes refine the best 8 options of every node, after each was shown the best of its
neighbours. Then the balls of each node's best option are traced once, every flight walked past the trees, and
the last passes bring the values of these options up to date from where their balls lie, until the largest
change is below the tolerance. Values are judged on other points than the options were chosen by, and on other
tracks than the screens of the search: the least of many noisy values is too low.

A hole is solved in two regions: near the hole, where shots are chipped and pitched to a landing spot and
every pace counts, and the rest, which stands on the first.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray, IntArray
from strategy.decide.cost_field import CostField, to_metres
from strategy.decide.kernels.arguments import Bag, Blend, Looking, Net, Remembered, Sample
from strategy.decide.kernels.flat_map import UNSEEN
from strategy.decide.kernels.packed import points_of, table_of
from strategy.strokes.protocol import StrokesToGo

if TYPE_CHECKING:
    from strategy.decide.solver.lattice import Lattice

Band = tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32], NDArray[np.int32]]
Bands = list[Band]
Screens = tuple[NDArray[np.uint16], IntArray]

KEPT: Final = 8
SEARCHED: Final = 8  # fewest core points of the full search
JUDGED: Final = 128  # fewest points on which values are judged
FOLLOWED: Final = (
    0.25  # a follower tries its leader's options that cost less than this above the best [strokes]
)
REFINED: Final = (
    (2, 0.1),
    (4, 0.05),
    (8, 0.025),
)  # of each refinement: part of the first step, and which options take part [strokes]
DOUBTED: Final = 0.15  # options within this of the best by the screens are walked past the trees [strokes]
ARRIVALS: Final = 48
REACH_M: Final = 75.0  # a shot whose shortest dial is longer is not played near the hole
_SWEEPS: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """How one part of a hole is solved. All lengths in metres.

    Attributes
    ----------
    inner_m, outer_m : float
        Nearer the hole than `inner_m` the strokes to go stay as they were before; further out than `outer_m`
        they are those that are solved here. In between the two are blended.
    begin_m : float
        No node-lie nearer the hole is solved.
    band_m : float
        Depth of a band of the first pass.
    margin_m, past_m, dials : float, float, int
        Sideways reach of the aims tried beyond the directions of hole and line of play; how far past the hole
        a carry is tried; how many carries, 0.35 of that apart.
    directions : int
        In how many it is remembered what trees stand in a shot's way.
    """

    inner_m: float
    outer_m: float
    begin_m: float
    band_m: float
    margin_m: float
    past_m: float
    dials: int
    directions: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Balls:
    """K balls of one option of every node-lie.

    Attributes
    ----------
    cells, penalty : ndarray of int32 and of int8 (N, K)
        Cell of the bordered map a ball is played on from, -1 for one that goes back; penalty strokes.
    share : ndarray (N,)
        Mishit share.
    """

    cells: NDArray[np.int32]
    penalty: NDArray[np.int8]
    share: FloatArray

    @staticmethod
    def none(nodes: int, count: int) -> Balls:
        """No ball traced: all go back."""
        shape = nodes, count
        return Balls(
            cells=np.full(shape, -1, np.int32), penalty=np.ones(shape, np.int8), share=np.zeros(nodes)
        )

    def under(self, values: NDArray[np.float32], value: FloatArray) -> Balls:
        """The same balls, those sent back to which going back is worth more."""
        back = (self.cells < 0) | (values[self.cells] + self.penalty > 1.0 + value[:, None])
        return Balls(
            cells=np.where(back, np.int32(-1), self.cells),
            penalty=np.where(back, np.int8(1), self.penalty),
            share=self.share,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolvedRegion:
    """What the passes found for one region.

    Attributes
    ----------
    region : Region
    lattice : Lattice
        Where values are kept.
    value : ndarray (N,)
        V of each node-lie.
    options : ndarray (N, 8, 4)
        Best options of each node-lie: shot, heading [rad], carry [cells], Q; shot -1 for none.
    judged_on : Sample
        Points the values were judged on; none where the hole was made again from its values.
    balls : Balls
        Where the balls of each best option are played on, under these values.
    sweeps : int
        Passes made.
    residual : float
        Largest change of a value in the last pass.
    screens : tuple of ndarray (P, S, n) and (N,)
        What was remembered to stand in the way of each shot from each place, and the place of each node-lie;
        nothing where no tree stands.
    """

    region: Region
    lattice: Lattice
    value: FloatArray
    options: FloatArray
    judged_on: Sample
    balls: Balls
    sweeps: int
    residual: float
    screens: Screens


class Passes:
    """The arrays of one region, and the passes over them.

    Parameters
    ----------
    field : CostField
        The hole laid out; its field changes.
    region, lattice : Region, Lattice
        What is solved.
    guess : StrokesToGo
        First values of the node-lies.
    start : tuple of ndarray (N,) and (N, 8, 4), optional
        Values and options to begin with, in place of the full search.
    screens : tuple of ndarray, optional
        What is remembered already, of the same shots on the same ground.
    """

    def __init__(
        self,
        field: CostField,
        region: Region,
        lattice: Lattice,
        guess: StrokesToGo,
        *,
        seed: int,
        size: int,
        step_m: float,
        threads: int = 1,
        tolerance: float,
        start: tuple[FloatArray, FloatArray] | None = None,
        screens: Screens | None = None,
    ) -> None:
        self.field, self.region, self.lattice, self.today = field, region, lattice, field.today
        self.base = field.values.copy()
        self.seed, self.size, self.step = seed, size, step_m / field.today.cell_m
        self.threads, self.tolerance, self.warm = threads, tolerance, start is not None
        nothing = np.zeros((0, 0, 0), np.uint16), np.zeros(0, np.int64)
        self.screens, self.place_of = nothing if screens is None else screens
        self.judge = Sample(np.empty((4, 0), np.float32), 0)
        self.balls = Balls.none(len(lattice.lies), 0)
        self.bands: Bands = []
        self.sweeps, self.residual = 0, 0.0
        if start is None:
            metres = to_metres(self.today, lattice.spots[:, :2])
            self.value = np.asarray(guess(metres, lattice.lies), dtype=np.float64)
            self.options = np.full((len(self.value), KEPT, 4), -1.0)
        else:
            self.value, self.options = start

    def run(self) -> None:
        """Solve the region; the strokes to go of the field follow."""
        # Set up here because only the passes need it: a hole that is made again from its values does not.
        size, seed = self.size, self.seed
        self.turns = self.lattice.turns(self.today)
        bag = table_of(self.today)
        self.bag = bag._replace(allowed=bag.allowed & self._within_reach()[:, None])
        self.crossings = crossings_of(self.field)
        if not self.screens.size:
            self.screens, self.place_of = self._screens()
        search = points_of(max(size // 8, SEARCHED), seed)
        coarse = points_of(size // 2, seed + 1)
        refine, self.judge = points_of(size, seed + 1), points_of(max(JUDGED, 4 * size), seed + 2)
        self.bands = bands = self._bands()
        if self.warm:
            self.compose_all()
        else:
            for nodes, *cells in bands:
                leads = self.lattice.leaders[nodes] == nodes
                self._sweep(nodes[leads], search, slots=0, worth=FOLLOWED)
                self._sweep(nodes[~leads], search, slots=0, worth=FOLLOWED)
                self._compose(*cells)
            self.sweeps += 1
        for (halving, worth), points in zip(REFINED, (coarse, refine, refine), strict=True):
            self._exchange()
            self._improve(bands, points, slots=KEPT, worth=worth, step=self.step / halving, fan=1)
            self.sweeps += 1
        if self.field.trees.free.size:
            self._exactly(refine)
        self.trace()
        self.residual = np.inf
        while self.residual > self.tolerance and self.sweeps < _SWEEPS:
            self.judge_outward()

    def trace(self) -> None:
        """Follow the balls of every best option to where they are played on from, on the field as it stands.

        On other points than options were chosen by: the least of many noisy values is too low.
        """
        self.balls = self.traced(0)

    def traced(self, slot: int) -> Balls:
        """The balls of one kept option of every node-lie; none of those that have no such option."""
        return traced(self.field, self.lattice, self.crossings, self.bag, self.judge, self.options, slot)

    def judge_outward(self) -> None:
        """Bring the values up to date, outward from the hole, and the field with them."""
        self.residual = 0.0
        for nodes, *cells in self.bands:
            self.residual = max(self.residual, self._judge(nodes))
            self._compose(*cells)
        self.sweeps += 1

    def judge_standing(self) -> None:
        """Bring the values up to date on the field as it stands, and leave that alone."""
        for nodes, *_ in self.bands:
            self._judge(nodes)

    def _judge(self, nodes: NDArray[np.int64]) -> float:
        from strategy.decide.kernels.rollout import judge

        balls = self.balls
        return float(
            judge(
                self.field.values, nodes, self.options, balls.cells, balls.penalty, balls.share,
                self.judge[1], self.value,
            )
        )  # fmt: skip

    def _exactly(self, points: Sample) -> None:
        """Put the options of every node-lie in order with every flight walked past the trees."""
        screens, self.screens = self.screens, np.zeros((0, 0, 0), np.uint16)
        self._improve(self.bands, points, slots=KEPT, worth=DOUBTED, fan=0)
        self.screens = screens
        self.sweeps += 1

    def solution(self) -> SolvedRegion:
        """What stands, and how it was found."""
        return SolvedRegion(
            region=self.region,
            lattice=self.lattice,
            value=self.value,
            options=self.options,
            judged_on=self.judge,
            balls=self.balls.under(self.field.values, self.value),
            sweeps=self.sweeps,
            residual=self.residual,
            screens=(self.screens, self.place_of),
        )

    def _within_reach(self) -> NDArray[np.bool_]:
        """Shots that are played in this region (S,): of those round the green, far out only the long ones."""
        shots = self.today.shots
        if self.region.begin_m > 0.0:
            longest = np.where(shots.allowed[:, :, None], shots.carry, 0.0).max(axis=(1, 2))
            return np.asarray(~shots.short | (longest > self.region.begin_m))
        nearest = np.where(shots.allowed[:, :, None], shots.least, np.inf).min(axis=(1, 2))
        return np.asarray(shots.short | (nearest < REACH_M))

    def _screens(self) -> Screens:
        """What stands in the way of each shot from each place, to be filled; the place of each node-lie."""
        spots = self.lattice.spots
        if not self.field.trees.free.size:
            return self.screens, self.place_of
        places, place_of = np.unique(spots, axis=0, return_inverse=True)
        shape = len(places), self.today.shots.shots, self.region.directions
        screens = np.full(shape, UNSEEN, np.uint16)
        return screens, np.asarray(place_of, dtype=np.int64).ravel()

    def _bands(self) -> Bands:
        """Node-lies and cells by distance to the hole; cells of a band need only nodes solved by then."""
        net, (hx, hy), reach = self.lattice, self.field.hole, self.region
        first_m, band_m = reach.inner_m, reach.band_m
        cell_m, columns = self.today.cell_m, self.field.columns

        def away(cells: NDArray[np.int32]) -> FloatArray:
            return np.asarray(np.hypot(cells % columns + (0.5 - hx), cells // columns + (0.5 - hy)) * cell_m)

        inner, flat = away(net.cells), net.cells
        # The order of cells within a band does not matter, and sorting small numbers is quick.
        band = np.where(inner > first_m, (inner - first_m) / band_m + 1.0, 0.0).astype(np.uint16)
        order = np.argsort(band, kind="stable")
        flat, band = flat[order], band[order]
        # A cell beyond the lattice is composed after its twin.
        far = np.maximum(away(net.beyond), away(net.twins)) - first_m
        last = (np.maximum(far, 0.0) / band_m + 1.0).astype(np.uint16)
        order = np.argsort(last, kind="stable")
        beyond, twins, last = net.beyond[order], net.twins[order], last[order]
        node_away = np.hypot(*(net.spots[:, :2] - (hx, hy)).T) * cell_m
        by_node = np.argsort(node_away, kind="stable")
        by_node = by_node[node_away[by_node] > reach.begin_m]
        most = int(
            max(
                band.max(initial=0), last.max(initial=0), (node_away.max(initial=0.0) - first_m) // band_m + 1
            )
        )
        margin = 1.5 * net.spacing * cell_m
        numbers = np.arange(1, most + 2)
        cell_at, last_at = np.searchsorted(band, numbers), np.searchsorted(last, numbers)
        node_at = np.searchsorted(node_away[by_node], first_m + (numbers - 1) * band_m + margin)
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
        """Every node-lie is shown the best option of each neighbour, where it is not like one of its own.

        They take the places of its own dearest options, and the dearest of them stands last: so no neighbour
        is preferred for the side it lies on.
        """
        theirs = self.options[np.maximum(self.lattice.neighbours, 0), 0]
        own = self.options[:, None]
        apart = np.abs((theirs[..., None, 1] - own[..., 1]) * own[..., 2])
        apart += np.abs(theirs[..., None, 2] - own[..., 2])
        known = np.any((theirs[..., None, 0] == own[..., 0]) & (apart < self.step), axis=2)
        new = (self.lattice.neighbours >= 0) & (theirs[..., 0] >= 0.0) & ~known
        order = np.argsort(np.where(new, -theirs[..., 3], np.inf), axis=1, kind="stable")
        for k in range(order.shape[1]):
            node = np.flatnonzero(np.take_along_axis(new, order[:, k : k + 1], axis=1)[:, 0])
            self.options[node, KEPT - 1 - k] = theirs[node, order[node, k]]

    def _improve(self, bands: Bands, points: Sample, **how: Any) -> float:
        """One pass outward over the whole hole: remembered relief is stale, values change, F follows."""
        self.field.relief[:] = np.nan
        change = 0.0
        for nodes, *cells in bands:
            change = max(change, self._sweep(nodes, points, **how))
            self._compose(*cells)
        return change

    def _sweep(
        self,
        nodes: NDArray[np.int64],
        points: Sample,
        *,
        slots: int,
        worth: float = 0.0,
        step: float = 0.0,
        fan: int = 0,
    ) -> float:
        from strategy.decide.kernels.sweeps import sweep

        if not len(nodes):
            return 0.0
        cell, net, region, land = self.today.cell_m, self.lattice, self.region, self.field.land
        looking = Looking(
            slots, worth, step, fan, self.step, region.margin_m / cell, region.past_m / cell, region.dials
        )
        nodes_of = Net(net.spots, net.lies, net.leaders, self.turns)
        to_go, screens = (
            self.field.to_gather(crossings=self.crossings),
            Remembered(self.screens, self.place_of),
        )

        def part(mine: NDArray[np.int64]) -> float:
            change = sweep(
                land, to_go, mine, nodes_of, self.bag, points, self.value, self.options, looking, screens
            )
            return float(change)

        if self.threads == 1 or len(nodes) < 64:
            return part(nodes)
        with ThreadPoolExecutor(self.threads) as pool:
            return max(pool.map(part, np.array_split(nodes, 4 * self.threads)))

    def compose_all(self) -> None:
        """Write all values into the field."""
        self._compose(self.lattice.cells, self.lattice.beyond, self.lattice.twins)

    def _compose(self, cells: NDArray[np.int32], beyond: NDArray[np.int32], twins: NDArray[np.int32]) -> None:
        from strategy.decide.kernels.compose import compose, extend

        cell = self.today.cell_m
        compose(
            self.field.values, cells, self.field.packed, self.field.columns, self.base, self.today.lie_chance,
            self.lattice.mesh, self.value,
            Blend(*self.field.hole, self.region.inner_m / cell, self.region.outer_m / cell),
        )  # fmt: skip
        extend(self.field.values, self.base, beyond, twins)
        self.field.value_moved_balls()


def traced(
    field: CostField, lattice: Lattice, crossings: NDArray[np.int32], bag: Bag, points: Sample,
    options: FloatArray, slot: int,
) -> Balls:  # fmt: skip
    """The balls of one kept option of every node-lie; which of them go back is not settled yet."""
    from strategy.decide.kernels.rollout import trace_nodes

    balls = Balls.none(len(lattice.lies), points.deviates.shape[1])
    # The headings of the line of play are needed by the search alone.
    net = Net(lattice.spots, lattice.lies, lattice.leaders, np.empty((0, 1)))
    trace_nodes(
        field.land, field.to_gather(crossings=crossings), np.arange(len(lattice.lies)), net, options, bag,
        points, slot, balls.cells, balls.penalty, balls.share,
    )  # fmt: skip
    return balls


def crossings_of(field: CostField) -> NDArray[np.int32]:
    """Where wet balls crossed, by patch and arrival; (1, 1) without a cell where no penalty area is."""
    from strategy.decide.kernels.relief import PATCH, map_crossings

    if not (field.today.area >= 0).any():
        return np.full((1, 1), -1, dtype=np.int32)
    patches = -(-field.rows // PATCH) * -(-field.columns // PATCH)
    crossings = np.empty((patches, ARRIVALS), dtype=np.int32)
    map_crossings(field.packed, field.rows, field.columns, crossings)
    return crossings
