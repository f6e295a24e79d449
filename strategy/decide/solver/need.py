r"""When a score is needed: the shot with the greatest chance of it, and what that costs.

With :math:`P_k` the greatest chance to hole out in k strokes or fewer, backwards over k,

.. math:: P_k(x) = \max_a \; E\big[P_{k-1}(X)\big],

where a ball that is dropped counts with :math:`P_{k-2}` of the place of the drop and one that goes back with
:math:`P_{k-2}(x)`. On the green it is the chance of k putts or fewer. At every node-lie the options that were
kept for expected strokes are tried (`rounds.Chain`); at the spot itself every shot over the coarse net of
aims, refined like the aims of least strokes are. Whether and where a ball is dropped is chosen for expected
strokes here too, and that is said.

Chances hardly differ over wide ground where expected strokes do (6 or better is all but sure from anywhere),
so the greatest chance alone would play any shot: of choices within `TIE` of it the one of fewest expected
strokes counts, and nothing is said unless the gain exceeds `TELLING`.

A choice is found on some points and judged on others, beside the committed one: the greatest of many noisy
chances is too great. What the node-lies gain is the greatest of 8 at the most on the points that values were
judged on, for both alike.

Ground that was not solved, far off the line or short of every landing, knows expected strokes only; as whole
scores they are narrower than golf, so a ball there would seem all but sure of the next whole number. For any
shot but the committed one balls there count as failed.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.decide.aims import Aims, from_stance, in_cells, pack
from strategy.decide.cost_field import CostField, cost_field
from strategy.decide.kernels.arguments import AIM_MISHIT_SHARE, Sample, Screens
from strategy.decide.kernels.flat_map import DIRECTIONS, UNSEEN
from strategy.decide.kernels.packed import points_of
from strategy.decide.search import COARSE_DEPTH_M, COARSE_SIDE_M, best_per_shot, coarse_aims, neighbours
from strategy.decide.solver.rounds import SURE, Chain
from strategy.decide.solver.whole_hole import WholeHole
from strategy.outcome.play import Choice

Field = Callable[[int], FloatArray]  # chance of so many strokes or fewer from every cell

TELLING: Final = 0.01
HARDLY: Final = (
    0.008  # gained with the plan's later shots; with the greatest chance of all it is within 0.002
)
TIE: Final = 1e-4
SLOTS: Final = 8
_ROUNDS: Final = ((64, 4, 10), (128, 3, 6), (256, 2, 4), (1024, 1, 3))  # points, aims a shot, shots
_JUDGED: Final = 2048


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """n strokes or better from a spot.

    Attributes
    ----------
    n : int
        Strokes still allowed.
    plan_chance : float
        Chance under the plan: the committed shot, then always the shot of fewest expected strokes.
    chance : float
        The committed shot, then every shot for the greatest chance.
    choice : Choice
        The shot to play: the committed one unless another is worth saying.
    best_chance : float
        Greatest chance that was found, over all first shots.
    price : float
        Expected strokes that `choice` costs above the committed shot, when every later shot is of fewest
        expected strokes again; 0 for the committed shot, never below.
    worth_saying : bool
        Whether another first shot gains more than `TELLING`.
    """

    n: int
    plan_chance: float
    chance: float
    choice: Choice
    best_chance: float
    price: float
    worth_saying: bool

    @property
    def gain(self) -> float:
        """What the best first shot gains on the committed one."""
        return self.best_chance - self.chance


class Within:
    """Chances of so many strokes or fewer from every cell of one solved hole, each worked out once.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    start : ndarray, optional
        See `Chain`: chances of cells that are not reached from these are not worked out.
    laid_out : CostField, optional
        ``cost_field(whole.today, whole)``, if the caller has it already.
    """

    def __init__(
        self, whole: WholeHole, start: NDArray[np.integer] | None = None, laid_out: CostField | None = None
    ) -> None:
        self.whole, self._start, self._laid_out = whole, start, laid_out
        self._chains: dict[int, Chain] = {}
        self._fields: dict[int, list[FloatArray]] = {}

    @property
    def field(self) -> CostField:
        """The hole laid out."""
        return self._chain(1).field

    def planned(self, k: int) -> FloatArray:
        """Under the options of fewest expected strokes."""
        return self._field(1, k)

    def greatest(self, k: int) -> FloatArray:
        """Under the options with the greatest chance of it."""
        return self._field(SLOTS, k)

    @cached_property
    def unsolved(self) -> NDArray[np.bool_]:
        """Cells that know no more than expected strokes, further from the hole than what stands on these."""
        field, rest = self.field, self.whole.rest
        nx, ny = field.columns, field.rows
        dx, dy = np.arange(nx) + 0.5 - field.hole[0], np.arange(ny) + 0.5 - field.hole[1]
        far = np.hypot(dx[None, :], dy[:, None]) * field.today.cell_m > rest.region.outer_m
        out = far.ravel()
        out[rest.lattice.cells] = False
        return np.asarray(out)

    def _chain(self, slots: int) -> Chain:
        if slots not in self._chains:
            self._chains[slots] = Chain(
                self.whole, slots, at_most=True, start=self._start, laid_out=self._laid_out
            )
            self._fields[slots] = [self._chains[slots].before[0]]
        return self._chains[slots]

    def _field(self, slots: int, k: int) -> FloatArray:
        chain = self._chain(slots)
        fields = self._fields[slots]
        if k < 0:
            return np.zeros_like(fields[0])
        while len(fields) <= k:
            chain.advance()
            fields.append(chain.before[0])
        return fields[k]


def need(
    whole: WholeHole, spot: Spot, choices: Sequence[Choice], value: float, n: int, *, seed: int = 1,
    within: Within | None = None, quick: bool = False,
) -> Need:  # fmt: skip
    """Whether another first shot has a greater chance of n strokes or better.

    Parameters
    ----------
    whole : WholeHole
        The hole solved.
    spot : Spot
        Where the ball is.
    choices : sequence of Choice
        Shots known to be good, the committed one first.
    value : float
        V of the spot.
    n : int
        Strokes still allowed from the spot, the next one included.
    seed : int
        Of all points.
    within : Within, optional
        ``Within(whole)``, when more than one number or spot of the hole is asked for.
    quick : bool
        Look first with the later shots of the plan, whose chances cost little; where no first shot gains
        `HARDLY` that way, it is left at that, and `chance` is `plan_chance`. On the 18 tees of the demo
        course, for par and for birdie, both ways gave the same gain within 0.002; what later shots gain
        besides, whatever the first one, was 0.007 at the most.

    Raises
    ------
    ValueError
        Without a choice, or for a number below 1.
    """
    if not choices or n < 1:
        raise ValueError("a committed choice and one stroke at least are needed")
    fields = Within(whole) if within is None else within
    asked = _Asked(fields, spot, tuple(choices), value, n, seed)
    if quick:
        found = asked.found(fields.planned)
        if found.gain < HARDLY:
            return dataclasses.replace(found, choice=choices[0], price=0.0, worth_saying=False)
    return asked.found(fields.greatest)


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """One question: parameters of `need`."""

    fields: Within
    spot: Spot
    choices: tuple[Choice, ...]
    value: float
    n: int
    seed: int

    def found(self, later: Field) -> Need:
        """The first shot with the greatest chance, when later shots have the chances of `later`."""
        field, spot = self.fields.field, self.spot
        starts = Aims.of(self.choices)
        aims = self._found(later, starts)
        found = Aims.join([starts[:1], aims])
        balls = _Balls.of(field, spot, found, points_of(_JUDGED, self.seed + len(_ROUNDS)), self.value)
        chance, strokes = balls.judged(later, self.fields.unsolved, self.n, starts, committed=True)
        best = int(np.lexsort((strokes, -np.round(chance / TIE)))[0])
        if chance[best] <= chance[0] + TIE:
            best = 0
        said = bool(chance[best] - chance[0] > TELLING)
        return Need(
            n=self.n,
            plan_chance=balls.repeated(self.fields.planned, self.n),
            chance=float(chance[0]),
            choice=found.choice(best) if said else self.choices[0],
            best_chance=float(chance[best]),
            price=max(float(strokes[best] - strokes[0]), 0.0) if said else 0.0,
            worth_saying=said,
        )

    def _found(self, later: Field, starts: Aims) -> Aims:
        """The best aims of the best shots."""
        field, spot = self.fields.field, self.spot
        around = self.fields.whole.aims_near(spot)
        more = [] if around is None else [from_stance(field.today, spot, around)]
        aims = Aims.join([starts, coarse_aims(field.today, spot), *more])
        side, depth = 2.0 * COARSE_SIDE_M, 2.0 * COARSE_DEPTH_M
        for step, (size, each, shots) in enumerate(_ROUNDS):
            if step > 0:
                side, depth = 0.5 * side, 0.5 * depth
                aims = neighbours(field.today, spot, aims, side, depth)
            points = points_of(size, self.seed + step)
            balls = _Balls.of(field, spot, aims, points, self.value, searching=True)
            chance, strokes = balls.judged(later, self.fields.unsolved, self.n, starts)
            # The greatest chance comes first. Equal chances are put in order by strokes, which are below 100.
            rank = TIE * (0.01 * strokes - np.round(chance / TIE))
            aims, _ = best_per_shot(aims, rank, each=each, shots=shots)
        return aims


def distribution(
    whole: WholeHole, spot: Spot, choice: Choice, value: float, *, most: int = 15, size: int = 1024,
    seed: int = 1, within: Within | None = None, sure: float = SURE, points: Sample | None = None,
    laid_out: CostField | None = None,
) -> FloatArray:  # fmt: skip
    """`rounds.score_chances`, made from chances of k strokes or fewer that were worked out before.

    `sure`: chance that is left to `most` once all the rest is shared out. `points`: of the first stroke, in
    place of `size` from `seed`; those its strokes were judged on make these the mean. Without `within` only
    what is reached is worked out.
    """
    first = points_of(size, seed) if points is None else points
    if within is not None:
        field = within.field
    else:
        field = cost_field(whole.today, whole) if laid_out is None else laid_out
    balls = _Balls.of(field, spot, Aims.of([choice]), first, value)
    fields = Within(whole, balls.cells.ravel(), field) if within is None else within
    up_to = [0.0]
    for k in range(1, most):
        up_to.append(up_to[-1] if up_to[-1] > 1.0 - sure else balls.repeated(fields.planned, k))
    return np.diff([0.0, *up_to, 1.0])


def round_chances(holes: Sequence[FloatArray]) -> FloatArray:
    """Chance of each total of several holes, each played for its own sake (independent).

    Parameters
    ----------
    holes : sequence of ndarray
        Chance of 0, 1, 2, ... strokes on each hole.

    Returns
    -------
    chances : ndarray
        Of 0, 1, 2, ... strokes in all; without holes, of 0 strokes alone.

    >>> round_chances([np.array([0.0, 0.5, 0.5]), np.array([0.0, 1.0])]).tolist()
    [0.0, 0.0, 0.5, 0.5]
    """
    total = np.ones(1)
    for hole in holes:
        total = np.convolve(total, hole)
    return total


def against_par(chances: FloatArray, par: int) -> dict[int, float]:
    """Chances of totals by strokes over par; those that cannot be are left out.

    >>> against_par(np.array([0.0, 0.0, 0.25, 0.75]), 3)
    {-1: 0.25, 0: 0.75}
    """
    return {k - par: float(chance) for k, chance in enumerate(chances) if chance > 0.0}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Balls:
    """Balls of A aims from one spot (A, K): cells they are played on from (-1 = back), penalties, weights."""

    field: CostField
    value: float
    cells: NDArray[np.int32]
    penalty: NDArray[np.int8]
    weight: FloatArray
    spot: Spot
    points: Sample

    @staticmethod
    def of(
        field: CostField, spot: Spot, aims: Aims, points: Sample, value: float, *, searching: bool = False
    ) -> _Balls:
        """`searching`: by screens of the trees; what is said walks every flight."""
        from strategy.decide.kernels.rollout import trace_aims

        z, core = points
        packed, row, roll = in_cells(field.today, *pack(field.today, spot, aims))
        shape = len(aims), z.shape[1]
        cells, penalty = np.empty(shape, np.int32), np.empty(shape, np.int8)
        held = np.full((field.today.shots.shots, DIRECTIONS if searching else 0), UNSEEN, np.uint16)
        trace_aims(
            field.land, field.to_gather(), field.strike_point(spot), packed, row, roll.astype(np.float32),
            points, 1.0 + value, Screens(held, aims.shot), cells, penalty,
        )  # fmt: skip
        late, ill = np.arange(shape[1]) >= core, packed[:, AIM_MISHIT_SHARE : AIM_MISHIT_SHARE + 1]
        weight = np.where(late, ill / max(shape[1] - core, 1), (1.0 - ill) / core)
        return _Balls(
            field=field, value=value, cells=cells, penalty=penalty, weight=weight, spot=spot, points=points
        )

    def judged(
        self,
        later: Field,
        unsolved: NDArray[np.bool_],
        n: int,
        starts: Aims,
        *,
        committed: bool = False,
    ) -> tuple[FloatArray, FloatArray]:
        """Chance of n strokes or better (A,), and expected strokes of one play, then best play (A,).

        A ball that goes back is played again with the best of `starts`; on ground that was not solved it has
        failed, but of the first aim where that is the committed one.
        """
        went = self.cells < 0
        again = 0.0
        if went.any() and n > 2:
            once_more = _Balls.of(self.field, self.spot, starts, self.points, self.value)
            again = float(once_more.judged(later, unsolved, n - 2, starts, committed=committed)[0].max())
        cell = np.maximum(self.cells, 0)
        onward = np.where(went, self.value, self.field.values[cell]) + self.penalty
        strokes = 1.0 + np.sum(self.weight * onward, axis=1)
        failed = ~went & unsolved[cell]
        if committed:
            failed[0] = False
        return self._chance(later, n, again, failed), strokes

    def repeated(self, later: Field, n: int) -> float:
        """Chance of n strokes or better of the first aim, repeated after every return."""
        if n < 1:
            return 0.0
        again = self.repeated(later, n - 2) if (self.cells[0] < 0).any() else 0.0
        return float(self._chance(later, n, again, np.zeros_like(self.cells, np.bool_))[0])

    def _chance(self, later: Field, n: int, again: float, failed: NDArray[np.bool_]) -> FloatArray:
        cell = np.maximum(self.cells, 0)
        chance = np.where(self.penalty == 0, later(n - 1)[cell], later(n - 2)[cell])
        chance[failed] = 0.0
        return np.asarray(np.sum(self.weight * np.where(self.cells < 0, again, chance), axis=1))
