"""A solved hole played out: rounds ball by ball, and the chances of every score.

On the green both take the chances of one, two and three putts. Where nothing was solved a ball takes the
published strokes of its place. Their expectation is not whole; as a score it is the whole number below or
above, by chance so that the mean stays: narrower than golf really is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import BoolArray, FloatArray
from strategy.codes import Spot, Surface
from strategy.decide.aims import Aims, in_cells, pack
from strategy.decide.cost_field import CostField, Unplayable, cost_field, to_metres
from strategy.decide.kernels.arguments import AIM_MISHIT_SHARE, Blend, Ended, Sample, TeeShot
from strategy.decide.kernels.flat_map import NO_SCREEN, Nodes
from strategy.decide.kernels.packed import points_of, table_of
from strategy.decide.solver import value_iteration as passes
from strategy.decide.solver.value_iteration import SolvedRegion, crossings_of
from strategy.decide.solver.whole_hole import WholeHole
from strategy.outcome.play import Choice
from strategy.outcome.today import HoleToday

IntArray = NDArray[np.integer]

WORTH: Final = 0.1  # a node's options within this of its best are looked at again from the ball
STEP_M: Final = 1.4  # sideways step of that look [m]
SURE: Final = 1e-9  # scores beyond this are not told apart
TRIED: Final = 0.2  # strokes above a node's best, of options that are tried for the chance of a score
_POINTS: Final = 64
_MOST: Final = 60  # strokes of a hole


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rounds:
    """A hole played out n times.

    Attributes
    ----------
    strokes : ndarray (n,)
        Strokes with penalties, and the expected putts or published strokes that ended the round.
    score : ndarray (n,)
        The same as whole scores.
    """

    strokes: FloatArray
    score: IntArray

    @property
    def mean(self) -> float:
        """Mean strokes."""
        return float(self.strokes.mean())

    @property
    def error(self) -> float:
        """Standard error of the mean."""
        return float(self.strokes.std(ddof=1) / np.sqrt(len(self.strokes)))


def play_out(
    whole: WholeHole, spot: Spot, choice: Choice, value: float, n: int, *, seed: int = 1,
    laid_out: CostField | None = None,
) -> Rounds:  # fmt: skip
    """Play a hole out: the choice first, then each shot the best that is seen from where the ball lies.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    spot : Spot
        Where the first ball is.
    choice : Choice
        The first stroke; it is repeated after every return to the spot.
    value : float
        V of the spot: whether a ball goes back is weighed against it.
    n : int
        Rounds.
    seed : int
        Of the balls and of the points that later shots are judged on.
    laid_out : CostField, optional
        ``cost_field(whole.today, whole)``, if the caller has it already.
    """
    from strategy.decide.kernels.rollout import play_rounds

    today = whole.today
    field = laid_out if laid_out is not None else cost_field(today, whole)
    bag = table_of(today)
    aim, aim_roll = _first(today, spot, choice)
    green, putts = _putts(whole, field)
    ends = np.zeros((field.values.size, 2), np.float32)  # chances of one and of two putts
    ends[green] = putts[:, 1:3]
    dropped = np.full(field.values.size, -1, np.int32)
    dropped[whole.unplayable.cells] = whole.unplayable.to
    counted = np.empty((n, 3))
    play_rounds(
        field.land, field.to_gather(), Ended(whole.base.ravel(), ends, dropped, today.lie_chance),
        nodes_of(whole.rest, field), nodes_of(whole.near, field),
        bag, points_of(_POINTS, seed + 3),
        WORTH, STEP_M / today.cell_m, TeeShot(field.strike_point(spot), aim, aim_roll, 1.0 + value),
        np.random.default_rng(seed), counted,
    )  # fmt: skip
    score = np.rint(counted[:, 0] + counted[:, 2]).astype(np.int64)
    return Rounds(strokes=counted[:, 0] + counted[:, 1], score=score)


def nodes_of(solved: SolvedRegion | None, field: CostField) -> Nodes:
    """A solved region as the kernels take it; one without a node-lie where there is none."""
    if solved is None:
        none, empty = np.full((9, 1, 1), -1, np.int32), np.zeros((0, 3))
        options = np.zeros((0, 1, 4))
        return Nodes(
            none,
            0.0,
            0.0,
            np.inf,
            empty,
            np.zeros(0),
            options,
            np.zeros(field.values.size, np.bool_),
            0.0,
            1.0,
        )
    net, region, cell = solved.lattice, solved.region, field.today.cell_m
    covered = np.zeros(field.values.size, dtype=np.bool_)
    covered[net.cells] = True
    return Nodes(
        net.node_of, *net.origin, net.spacing, net.spots, solved.value, solved.options, covered,
        region.inner_m / cell, region.outer_m / cell,
    )  # fmt: skip


def score_chances(
    whole: WholeHole, spot: Spot, choice: Choice, value: float, *, most: int = 15, size: int = 1024,
    seed: int = 1,
) -> FloatArray:  # fmt: skip
    """Chance of each score of a hole: the choice first, then the best option of every node-lie.

    The chances of every node-lie follow from those of one stroke less, exactly, ball by ball of the points
    the values were judged on; so their mean is the value itself.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    spot : Spot
        Where the first ball is.
    choice : Choice
        The first stroke.
    value : float
        V of the spot.
    most : int
        Highest score; it stands for it and more.
    size : int
        Points of the core for the first stroke (a power of two).
    seed : int
        Of those points.

    Returns
    -------
    chances : ndarray (most + 1,)
        Of 0, 1, ... strokes; they sum to 1.
    """
    field = cost_field(whole.today, whole)
    first = traced(field, spot, choice, value, points_of(size, seed))
    chain = Chain(whole, start=first[0], laid_out=field)
    now = np.zeros(most + 1)
    for k in range(1, most):
        if now.sum() > 1.0 - SURE:
            break
        now[k] = chain.of_balls(*first) + (first[2][first[0] < 0].sum() * now[k - 2] if k > 1 else 0.0)
        chain.advance()
    now[most] = 1.0 - now.sum()
    return now


class Chain:
    """Chances of scores from every cell of a hole, one stroke more with every step.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    slots : int
        How many of the kept options of every node-lie are looked at; the one with the greatest chance is
        played. One: the option of least expected strokes.
    at_most : bool
        Chances of so many strokes or fewer, in place of exactly so many. Only these may be made greatest.

    start : ndarray, optional
        Cells whose chances are asked for. Only what balls from there may reach is worked out then: chances
        of other cells mean nothing.
    laid_out : CostField, optional
        ``cost_field(whole.today, whole)``, if the caller has it already.

    Drops are those of least expected strokes, whatever score is asked for.
    """

    def __init__(
        self, whole: WholeHole, slots: int = 1, *, at_most: bool = False, start: IntArray | None = None,
        laid_out: CostField | None = None,
    ) -> None:  # fmt: skip
        if slots > 1 and not at_most:
            raise ValueError("only the chance of so many strokes or fewer can be made greatest")
        self.whole, self.at_most = whole, at_most
        self.field = cost_field(whole.today, whole) if laid_out is None else laid_out
        self.parts = [
            _Part.of(self.field, solved, slots) for solved in (whole.near, whole.rest) if solved is not None
        ]
        strokes = whole.base.ravel().astype(np.float64)
        strokes[whole.rest.lattice.beyond] = self.field.values[whole.rest.lattice.beyond]
        self.green, self.putts = _putts(whole, self.field)
        self.taken, self.steep = whole.unplayable, self.field.steep
        self.cells = np.arange(strokes.size) if start is None else self._reached(start)
        self.base = strokes[self.cells]
        self.strokes = 0
        self.before = np.zeros(strokes.size), np.zeros(strokes.size)
        self.before = self._field(), self.before[0]  # of `strokes`, and of one less, by cell

    def _reached(self, start: IntArray) -> IntArray:
        """Cells that balls from `start` may be played from; everything here is cut down to these."""
        reached = np.zeros(self.field.values.size, np.bool_)
        new: IntArray = np.unique(start[start >= 0])
        drop_of = np.full(reached.size, -1, np.int32)
        drop_of[self.taken.cells] = self.taken.to
        if self.steep.size:
            drop_of[self.steep] = self.field.rolls_to[self.steep]
        played = [np.zeros(len(part.solved.value), np.bool_) for part in self.parts]
        while new.size:
            reached[new] = True
            balls: list[IntArray] = [drop_of[new]]
            for part, done in zip(self.parts, played, strict=True):
                nodes = _nodes_round(part.solved, new, self.field.columns)
                nodes = nodes[~done[nodes]]
                done[nodes] = True
                balls.append(part.cells[:, nodes].ravel())
            cells = np.unique(np.concatenate(balls))
            cells = cells[cells >= 0]
            new = cells[~reached[cells]]
        for part, done in zip(self.parts, played, strict=True):
            part.only(np.flatnonzero(done), reached)
        on = reached[self.green]
        self.green, self.putts = self.green[on], self.putts[on]
        on = reached[self.taken.cells]
        self.taken = Unplayable(self.taken.cells[on], self.taken.to[on])
        self.steep = self.steep[reached[self.steep]]
        return np.flatnonzero(reached)

    def of_balls(self, cells: IntArray, penalty: IntArray, weight: FloatArray) -> FloatArray:
        """Chance of one stroke more than `strokes` for balls (..., K) that are played on from cells."""
        cell = np.maximum(cells, 0)
        chance = np.where(penalty == 0, self.before[0][cell], self.before[1][cell])
        return np.asarray(np.sum(np.where(cells >= 0, weight * chance, 0.0), axis=-1))

    def advance(self) -> None:
        """One stroke more."""
        self.strokes += 1
        for part in self.parts:
            part.advance(self)
        self.before = self._field(), self.before[0]

    def _field(self) -> FloatArray:
        """Chance of `strokes` from every cell, composed as the strokes to go are."""
        from strategy.decide.kernels.compose import compose

        field, cell = self.field, self.whole.today.cell_m
        chance = np.zeros(field.values.size)
        chance[self.cells] = self.ended(self.base)
        k = self.strokes
        chance[self.green] = self.putts[:, : k + 1].sum(axis=1) if self.at_most else self.putts[:, k]
        for part in self.parts:
            net, region = part.solved.lattice, part.solved.region
            # Each cell is composed from itself and from node-lies alone: it may be written where it is read.
            compose(
                chance, part.composed, field.packed, field.columns, chance, self.whole.today.lie_chance,
                net.mesh, part.chances[-1],
                Blend(*field.hole, region.inner_m / cell, region.outer_m / cell),
            )  # fmt: skip
        chance[self.taken.cells] = self.before[0][self.taken.to]
        chance[self.steep] = chance[field.rolls_to[self.steep]]
        return chance

    def ended(self, strokes: FloatArray) -> FloatArray:
        """Chance that expected strokes, as a whole score, are `strokes`: the whole number below or above."""
        k = self.strokes
        if self.at_most:
            chance = np.clip(k + 1.0 - strokes, 0.0, 1.0)
        else:
            chance = np.maximum(1.0 - np.abs(strokes - k), 0.0)
        return np.where(np.isfinite(strokes), chance, 0.0)


class _Part:
    """Every node-lie's balls under its options in one region, and the chances that follow from them."""

    def __init__(
        self, solved: SolvedRegion, cells: IntArray, penalty: IntArray, share: FloatArray, tried: BoolArray
    ) -> None:
        self.solved, self.cells, self.penalty, self.share, self.tried = solved, cells, penalty, share, tried
        self.composed: IntArray = solved.lattice.cells
        self.nodes: IntArray = np.arange(len(solved.value))
        self.chances: list[FloatArray] = [np.zeros(len(solved.value))]

    def only(self, nodes: IntArray, reached: BoolArray) -> None:
        """Leave all out but some node-lies and the cells that are reached."""
        self.nodes, self.composed = nodes, self.composed[reached[self.composed]]
        self.cells, self.penalty = self.cells[:, nodes], self.penalty[:, nodes]
        self.share, self.tried = self.share[:, nodes], self.tried[:, nodes]

    @staticmethod
    def of(field: CostField, solved: SolvedRegion, slots: int) -> _Part:
        """The balls that the values were judged on, those of further options traced on the same points."""
        options, more = solved.options, []
        if slots > 1:  # an option that costs much more does not pay for a score either, so it is not traced
            options = options.copy()
            options[options[..., 3] > options[:, :1, 3] + TRIED, 0] = -1.0
            options[
                options[:, 0, 0] < 0.0, :, 0
            ] = -1.0  # a node-lie that was not solved holds only options of its neighbours
            crossings, bag = crossings_of(field), table_of(field.today)
            more = [
                passes.traced(field, solved.lattice, crossings, bag, solved.judged_on, options, slot).under(
                    field.values, solved.value
                )
                for slot in range(1, slots)
            ]
        each = [solved.balls, *more]
        return _Part(
            solved,
            np.stack([b.cells for b in each]),
            np.stack([b.penalty for b in each]),
            np.stack([b.share for b in each]),
            np.ascontiguousarray(options[:, :slots, 0].T >= 0.0),
        )

    def advance(self, chain: Chain) -> None:
        """Chances of every node-lie for one stroke more than `chain.before` holds."""
        from strategy.decide.kernels.rollout import most_of

        mine, values = self.nodes, self.solved.value
        back = self.chances[-2][mine] if len(self.chances) > 1 else np.zeros(len(mine))
        ended = chain.ended(values[mine])
        most_of(
            self.cells,
            self.penalty,
            self.share,
            self.tried,
            self.solved.judged_on[1],
            *chain.before,
            back,
            ended,
        )
        out = np.zeros(len(values))
        out[mine] = ended
        self.chances.append(out)


def _nodes_round(solved: SolvedRegion, cells: IntArray, columns: int) -> IntArray:
    """Node-lies that some cells are composed from."""
    net = solved.lattice
    ny, nx = net.node_of.shape[1:]
    i = ((cells % columns + 0.5 - net.origin[0]) / net.spacing).astype(np.int64)
    j = ((cells // columns + 0.5 - net.origin[1]) / net.spacing).astype(np.int64)
    inside = (i >= 0) & (j >= 0) & (i < nx - 1) & (j < ny - 1)
    square = np.unique(j[inside] * nx + i[inside])
    corners = np.unique(square[:, None] + np.array([0, 1, nx, nx + 1]))
    nodes = np.unique(net.node_of.reshape(len(net.node_of), -1)[:, corners])
    return np.asarray(nodes[nodes >= 0], dtype=np.int64)


def _putts(whole: WholeHole, field: CostField) -> tuple[IntArray, FloatArray]:
    """Flat cells of the green (G,), and the chance of each number of putts from them (G, _MOST)."""
    green = np.flatnonzero((field.packed & 15) == int(Surface.GREEN))
    place = np.column_stack((green % field.columns, green // field.columns)) + 0.5
    chances = np.zeros((len(green), _MOST))
    chances[:, 1:4] = whole.greens.chances(to_metres(whole.today, place))
    return green, chances


def traced(
    field: CostField, spot: Spot, choice: Choice, value: float, points: Sample
) -> tuple[IntArray, IntArray, FloatArray]:
    """Where every ball of one stroke is played on from.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    value : float
        V of the spot.
    points : Sample
        N of them.

    Returns
    -------
    cells, penalty, weight : ndarray (N,)
        Cell of the bordered map, -1 for a ball that goes back; penalty strokes; weights that sum to 1.
    """
    from strategy.decide.kernels.rollout import trace

    today, core, count = field.today, points.core, points.deviates.shape[1]
    aim, roll = _first(today, spot, choice)
    cells, penalty = np.empty(count, np.int32), np.empty(count, np.int8)
    trace(
        field.land, field.to_gather(), field.strike_point(spot), aim, roll,
        points, 1.0 + value, NO_SCREEN.ravel(), cells, penalty,
    )  # fmt: skip
    late, ill = np.arange(count) >= core, aim[AIM_MISHIT_SHARE]
    return cells, penalty, np.where(late, ill / max(count - core, 1), (1.0 - ill) / core)


def _first(today: HoleToday, spot: Spot, choice: Choice) -> tuple[FloatArray, NDArray[np.float32]]:
    """Aim row and runs (3, 16) of a stroke as the kernels take them, in cells."""
    packed, row, roll = in_cells(today, *pack(today, spot, Aims.of([choice])))
    return packed[0], roll[row[0]].astype(np.float32)
