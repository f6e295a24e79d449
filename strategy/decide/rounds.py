"""A solved hole played out: rounds ball by ball, and the chances of every score.

Both end where the solver ends: near the hole, and where nothing was solved, a ball takes the published
strokes of its place. Their expectation is not whole; as a score it is the whole number below or above, by
chance so that the mean stays. That is narrower than a short game really is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Spot
from strategy.decide.aims import NO_MAP, Aims, in_cells, pack
from strategy.decide.ground import Ground, ground
from strategy.decide.passes import crossings_of
from strategy.decide.rows import points_of, table_of
from strategy.decide.whole import WholeHole
from strategy.outcome.play import Choice
from strategy.outcome.today import HoleToday

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

WORTH: Final = 0.1  # a node's options within this of its best are looked at again from the ball
STEP_M: Final = 1.4  # of that look
_POINTS: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rounds:
    """A hole played out n times.

    Attributes
    ----------
    strokes : ndarray (n,)
        Strokes with penalties, and the published strokes that ended the round.
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
    laid_out: Ground | None = None,
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
    laid_out : Ground, optional
        ``ground(whole.today, whole)``, where it is there already.
    """
    from strategy.decide.tracing import play_rounds

    today, net, region = whole.today, whole.rest.lattice, whole.rest.region
    board = laid_out if laid_out is not None else ground(today, whole)
    solved = np.zeros(board.field.size, dtype=np.bool_)
    solved[net.cells] = True
    table, roll, _ = table_of(today)
    points, core = points_of(_POINTS, seed + 3)
    aim, aim_roll = _first(today, spot, choice)
    rng = np.random.default_rng(seed)
    ox, oy = board.cells(spot.x, spot.y)
    level = float(today.height_at((spot.x, spot.y))[0])
    per_m = 1.0 / today.cell_m
    found = np.empty((n, 2))
    play_rounds(
        board.land, board.field, whole.base.ravel(), solved, NO_MAP,
        today.lie_chance, net.node_of, net.spacing, net.spots, whole.rest.value, whole.rest.options,
        table, roll.astype(np.float64), points, core,
        region.inner_m * per_m, region.outer_m * per_m, WORTH, STEP_M * per_m,
        np.array([ox, oy, level]), aim, aim_roll, 1.0 + value, rng, found,
    )  # fmt: skip
    low = np.floor(found[:, 1])
    ended = low + (rng.random(n) < found[:, 1] - low)
    return Rounds(strokes=found.sum(axis=1), score=(found[:, 0] + ended).astype(np.int64))


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
    chain = _Chain(whole)
    first = traced(chain.board, spot, choice, value, *points_of(size, seed))
    now = np.zeros(most + 1)
    before = chain.ended(0), chain.ended(0)  # chances of k - 1 and of k - 2 strokes from every cell
    values = np.zeros((most + 1, len(whole.rest.value)))
    for k in range(1, most):
        values[k] = chain.of_nodes(k, values, before)
        now[k] = _gathered(*first, before) + (first[2][first[0] < 0].sum() * now[k - 2] if k > 1 else 0.0)
        before = chain.field(k, values[k]), before[0]
    now[most] = 1.0 - now.sum()
    return now


def _gathered(
    cells: IntArray, penalty: IntArray, weight: FloatArray, before: tuple[FloatArray, FloatArray]
) -> FloatArray:
    """Chances of one stroke's balls (..., K) from those of the cells they are played on from."""
    there = np.maximum(cells, 0)
    chance = np.where(penalty == 0, before[0][there], before[1][there])
    return np.asarray(np.sum(np.where(cells >= 0, weight * chance, 0.0), axis=-1))


class _Chain:
    """Every node-lie's balls under its best option, and the chances that follow from them."""

    def __init__(self, whole: WholeHole) -> None:
        from strategy.decide.tracing import trace_nodes

        self.whole, self.today, net = whole, whole.today, whole.rest.lattice
        self.board = b = ground(whole.today, whole)
        table, roll, _ = table_of(whole.today)
        points, core = whole.rest.judged_on
        n, size = len(whole.rest.value), points.shape[1]
        self.cells, self.penalty = np.full((n, size), -1), np.ones((n, size), np.int64)
        share = np.zeros(n)
        trace_nodes(
            b.land, b.field, crossings_of(b), net.spots, net.lies, whole.rest.value, whole.rest.options,
            table, roll, points, core, 0, self.cells, self.penalty, share,
        )  # fmt: skip
        late = np.arange(size) >= core
        self.weight = np.where(late, share[:, None] / max(size - core, 1), (1.0 - share[:, None]) / core)
        self.solved = whole.rest.options[:, 0, 0] >= 0.0
        self.back = np.sum(np.where(self.cells < 0, self.weight, 0.0), axis=1)
        self.base = whole.base.ravel().astype(np.float64)
        self.base[net.beyond] = b.field[net.beyond]

    def ended(self, k: int) -> FloatArray:
        """Chance that published strokes, as a whole score, are k, from every cell."""
        return np.where(np.isfinite(self.base), _two_point(self.base, k), 0.0)

    def of_nodes(self, k: int, values: FloatArray, before: tuple[FloatArray, FloatArray]) -> FloatArray:
        """Chance of k strokes from every node-lie (N,)."""
        played = _gathered(self.cells, self.penalty, self.weight, before)
        again = self.back * values[k - 2] if k > 1 else 0.0
        return np.where(self.solved, played + again, _two_point(self.whole.rest.value, k))

    def field(self, k: int, value: FloatArray) -> FloatArray:
        """Chance of k strokes from every cell, composed as the strokes are."""
        from strategy.decide.composing import compose

        net, cell, region = self.whole.rest.lattice, self.today.cell_m, self.whole.rest.region
        ended = self.ended(k)
        field = ended.copy()
        compose(
            field, net.cells, self.board.packed, self.board.columns, ended, self.today.lie_chance,
            net.node_of, value, 0.0, 0.0, net.spacing, *self.board.hole,
            region.inner_m / cell, region.outer_m / cell,
        )  # fmt: skip
        return field


def _two_point(strokes: FloatArray, k: int) -> FloatArray:
    """Chance of the whole number k where the strokes lie between it and a neighbour."""
    return np.asarray(np.maximum(1.0 - np.abs(strokes - k), 0.0))


def traced(
    board: Ground, spot: Spot, choice: Choice, value: float, points: NDArray[np.floating], core: int
) -> tuple[IntArray, IntArray, FloatArray]:
    """Where every ball of one stroke is played on from.

    Parameters
    ----------
    board : Ground
        The hole laid out.
    value : float
        V of the spot.
    points, core : ndarray (4, N), int
        Core first, then mishits; how many are core.

    Returns
    -------
    cells, penalty, weight : ndarray (N,)
        Cell of the bordered map, -1 for a ball that goes back; penalty strokes; weights that sum to 1.
    """
    from strategy.decide.tracing import trace

    today, count = board.today, points.shape[1]
    aim, roll = _first(today, spot, choice)
    cells, penalty = np.empty(count, np.int64), np.empty(count, np.int64)
    level = float(today.height_at((spot.x, spot.y))[0])
    trace(
        board.land, board.field, NO_MAP, level, *board.cells(spot.x, spot.y),
        aim, roll, points.astype(np.float64), core, 1.0 + value, cells, penalty,
    )  # fmt: skip
    late = np.arange(count) >= core
    return cells, penalty, np.where(late, aim[11] / max(count - core, 1), (1.0 - aim[11]) / core)


def _first(today: HoleToday, spot: Spot, choice: Choice) -> tuple[FloatArray, FloatArray]:
    """Aim row and runs (3, 16) of a stroke as the kernels take them, in cells."""
    packed, row, roll = in_cells(today, *pack(today, spot, Aims.of([choice])))
    return packed[0], roll[row[0]].astype(np.float64)
