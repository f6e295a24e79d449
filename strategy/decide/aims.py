"""Many aims at once: packing choices for the kernels, and their expected strokes.

For one choice, with V the strokes to go of the spot itself and every ball worth min(F, 1 + V) (stroke
and distance is always open, Rule 18.1)::

    Q = (1 + a + p) / (1 - p)     strokes if the same choice were repeated after every return
    S = 1 + a + p (1 + V)         strokes of one play of it, then best play (this is printed)

p is the share that returns, a the weighted sum over the rest. S - V = (1 - p)(Q - V) when V is the best Q.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray, IntArray
from strategy.codes import Spot
from strategy.decide.cost_field import CostField, to_cells
from strategy.decide.kernels.arguments import (
    AIM,
    AIM_BEND,
    AIM_CARRY,
    AIM_COS,
    AIM_FULL,
    AIM_HEIGHT,
    AIM_HEIGHT_2,
    AIM_MISHIT_SCALE,
    AIM_MISHIT_SHARE,
    AIM_MISHIT_X,
    AIM_MISHIT_Y,
    AIM_RISE,
    AIM_RISE_2,
    AIM_RUN_SHARE,
    AIM_SIN,
    AIM_X,
    AIM_XX,
    AIM_Y,
    AIM_YY,
    Sample,
    Screens,
)
from strategy.decide.kernels.flat_map import DIRECTIONS, NO_SCREEN, UNSEEN, WIDE_DIAL
from strategy.decide.kernels.packed import rolls_of
from strategy.outcome.play import Choice, well_struck
from strategy.outcome.points import Points
from strategy.outcome.today import HoleToday

DIAL_M: Final = 0.5  # a shot may carry so far beyond its dial and still count as within it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aims:
    """A choices as arrays.

    Attributes
    ----------
    shot : ndarray (A,)
        Rows of the shot table.
    heading : ndarray (A,)
        [°]
    carry : ndarray (A,)
        [m]
    """

    shot: IntArray
    heading: FloatArray
    carry: FloatArray

    def __len__(self) -> int:
        return len(self.shot)

    def __getitem__(self, keep: NDArray[np.intp] | NDArray[np.bool_] | slice) -> Aims:
        return Aims(shot=self.shot[keep], heading=self.heading[keep], carry=self.carry[keep])

    def choice(self, i: int) -> Choice:
        """One of them, as a `Choice`."""
        return Choice(int(self.shot[i]), float(self.heading[i]), float(self.carry[i]))

    @staticmethod
    def of(choices: Sequence[Choice]) -> Aims:
        """Arrays of some choices."""
        return Aims(
            shot=np.array([c.shot for c in choices], dtype=np.int64),
            heading=np.array([c.heading for c in choices], dtype=np.float64),
            carry=np.array([c.carry for c in choices], dtype=np.float64),
        )

    @staticmethod
    def join(parts: Sequence[Aims]) -> Aims:
        """Several sets as one."""
        return Aims(
            shot=np.concatenate([p.shot for p in parts]),
            heading=np.concatenate([p.heading for p in parts]),
            carry=np.concatenate([p.carry for p in parts]),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sums:
    """(a, p) of A aims: strokes of the balls played on, and the share that returns."""

    onward: FloatArray
    returning: FloatArray

    @property
    def repeated(self) -> FloatArray:
        """Q: strokes if the same choice were repeated; inf when every ball returns."""
        q = np.full(len(self.onward), np.inf)
        some = self.returning < 1.0
        q[some] = (1.0 + self.onward[some] + self.returning[some]) / (1.0 - self.returning[some])
        return q

    def once(self, best: float) -> FloatArray:
        """S: strokes of one play, then best play from the same spot."""
        return 1.0 + self.onward + self.returning * (1.0 + best)


def sums(
    field: CostField,
    spot: Spot,
    aims: Aims,
    points: Points | NDArray[np.floating],
    again: float,
    covariance: FloatArray | None = None,
    mean: FloatArray | None = None,
    pages: Pages | None = None,
) -> Sums:
    """Expected strokes of A aims on common points.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is.
    aims : Aims
        What to try.
    points : Points or ndarray (3, 2 K)
        Common points: core first, then as many mishits. An array decides the arithmetic by its type.
    again : float
        1 + V of the spot: a ball worth more goes back.
    covariance, mean : ndarray (A, 2, 2) and (A, 2), optional
        Spreads in place of the table's, see `pack`.
    pages : Pages, optional
        Wet balls are valued by the patch they rest in, for searching and pictures. What is printed walks
        every track.
    """
    z = np.ascontiguousarray(points.stacked.T, dtype=np.float32) if isinstance(points, Points) else points
    return many_sums(field, spot, aims, [z], again, covariance, mean, pages)[0]


def many_sums(
    field: CostField,
    spot: Spot,
    aims: Aims,
    sets: Sequence[NDArray[np.floating]],
    again: float,
    covariance: FloatArray | None = None,
    mean: FloatArray | None = None,
    pages: Pages | None = None,
    *,
    run: FloatArray | None = None,
) -> list[Sums]:
    """`sums` of the same aims on several sets of points (3, 2 K) of one type, packed once.

    `run` (16,) multiplies the runs by the surface that the ball lands on.
    """
    from strategy.decide.kernels.strokes import expected

    today = field.today
    cells, row, roll = in_cells(today, *pack(today, spot, aims, covariance, mean))
    if run is not None:
        roll[:, :2] *= run
    roll = roll.astype(sets[0].dtype)
    page = np.zeros_like(aims.shot) if pages is None else pages.page[aims.shot]
    held = NO_SCREEN if pages is None or not field.trees.free.size else pages.screens
    to_go, origin = field.to_gather(None if pages is None else pages.values), field.strike_point(spot)
    per_set = []
    for z in sets:
        out = np.empty((len(aims), 2))
        expected(
            field.land, to_go, origin, cells, page, row, roll, Sample(z, z.shape[1] // 2), again,
            Screens(held, aims.shot), out,
        )  # fmt: skip
        per_set.append(Sums(onward=out[:, 0], returning=out[:, 1]))
    return per_set


BEND_CLASS_M = 6.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pages:
    """Copies of the field in which wet patches remember what they were worth, for searching from one spot.

    Another spot's balls come another way, and so do balls that bend otherwise: shots share a page when
    their bends agree to `BEND_CLASS_M`.

    Attributes
    ----------
    values : ndarray of float32 (n, cells)
    page : ndarray (S,)
        Page of each shot of the table.
    screens : ndarray of uint16 (S, DIRECTIONS)
        What stands in the way of each shot, filled as it is asked for.
    """

    values: NDArray[np.float32]
    page: IntArray
    screens: NDArray[np.uint16]

    @staticmethod
    def of(field: CostField, spot: Spot) -> Pages:
        """Fresh pages for a spot."""
        bend = -4.0 * field.today.shots_from(spot).bend[:, int(spot.lie), :, 1].mean(axis=1)
        classes, page = np.unique(np.round(bend / BEND_CLASS_M), return_inverse=True)
        # There are two pages at least, because the kernel takes a single page for the field itself.
        return Pages(
            values=np.tile(field.values, (max(len(classes), 2), 1)),
            page=np.asarray(page).ravel(),
            screens=np.full((len(page), DIRECTIONS), UNSEEN, np.uint16),
        )

    @staticmethod
    def screens_only(field: CostField) -> Pages:
        """No copies: every wet ball's track is walked, but what stands in a shot's way is remembered."""
        shots = field.today.shots.shots
        return Pages(
            values=field.values[None],
            page=np.zeros(shots, np.int64),
            screens=np.full((shots, DIRECTIONS), UNSEEN, np.uint16),
        )


def in_cells(
    today: HoleToday, packed: FloatArray, row: IntArray, roll: FloatArray
) -> tuple[FloatArray, IntArray, FloatArray]:
    """What `pack` gives as the kernels take it: in cells of the bordered map."""
    per_m = 1.0 / today.cell_m
    for x in (AIM_X, AIM_MISHIT_X):
        packed[:, x : x + 2] = to_cells(today, packed[:, x : x + 2])
    packed[:, AIM_XX : AIM_YY + 1] *= per_m
    packed[:, AIM_BEND] *= per_m
    packed[:, AIM_RISE : AIM_RISE_2 + 1] *= per_m
    roll[:, :2] *= per_m
    return packed, row, roll


def pack(
    today: HoleToday,
    spot: Spot,
    aims: Aims,
    covariance: FloatArray | None = None,
    mean: FloatArray | None = None,
) -> tuple[FloatArray, IntArray, FloatArray]:
    """Affine maps of the standard normals for A aims.

    Parameters
    ----------
    covariance, mean : ndarray (A, 2, 2) and (A, 2), optional
        In place of the table's, at full carry (posterior spreads).

    Returns
    -------
    packed : ndarray (A, AIM)
        Core centre x, y; mishit centre x, y; matrix xx, xy, yx, yy; carry; mishit scale; bend; share;
        rise, rise squared; cosine and sine of the run's turn; climb (3); share of the run at full carry;
        whether it is hardly dialled.
    row, roll : ndarray (A,), (R, 3, 16)
        Row of `roll` for each aim; mean, s.d. and `fall` of the run by surface.
    """
    table, lie = today.shots_from(spot), int(spot.lie)
    stroke = table.dialled(aims.shot, lie, aims.heading, aims.carry)
    at, target = stroke.row, stroke.target(mean)
    mishit = target + stroke.mishit_shift
    a = np.radians(aims.heading)
    turn = np.empty((len(aims), 2, 2))  # (side, depth) -> (east, north)
    turn[:, 0, 0], turn[:, 0, 1] = np.cos(a), np.sin(a)
    turn[:, 1, 0], turn[:, 1, 1] = -np.sin(a), np.cos(a)
    origin = np.array([spot.x, spot.y])
    out = np.empty((len(aims), AIM))
    out[:, AIM_X : AIM_Y + 1] = origin + np.einsum("aij,aj->ai", turn, target)
    out[:, AIM_MISHIT_X : AIM_MISHIT_Y + 1] = origin + np.einsum("aij,aj->ai", turn, mishit)
    out[:, AIM_XX : AIM_YY + 1] = (turn @ stroke.factor(covariance)).reshape(-1, 4)
    out[:, AIM_CARRY] = aims.carry
    out[:, AIM_MISHIT_SCALE] = at.mishit_scale
    out[:, AIM_BEND] = stroke.bend
    out[:, AIM_MISHIT_SHARE] = at.mishit_share
    out[:, AIM_RISE : AIM_RISE_2 + 1] = at.rise
    turn_by = np.radians(at.run_turn)
    out[:, AIM_COS], out[:, AIM_SIN] = np.cos(turn_by), np.sin(turn_by)
    out[:, AIM_HEIGHT : AIM_HEIGHT_2 + 1] = at.flight_height
    out[:, AIM_RUN_SHARE] = stroke.run_share
    out[:, AIM_FULL] = at.least > WIDE_DIAL * at.carry
    if table.carry.shape[2] > 1:  # each heading has a row of its own
        return out, np.arange(len(aims)), rolls_of(at, 1.0)
    shots, row = np.unique(aims.shot, return_inverse=True)
    roll = rolls_of(table.at(shots, lie, 0.0), 1.0)
    return out, np.asarray(row, dtype=np.int64).ravel(), roll


def from_stance(today: HoleToday, spot: Spot, aims: Aims) -> Aims:
    """Aims found from level ground, aimed at the same landings from the slope under the spot."""
    table, lie = today.shots_from(spot), int(spot.lie)
    if table is today.shots:
        return aims
    level, row = (t.at(aims.shot, lie, aims.heading) for t in (today.shots, table))
    side = (row.mean[:, 0] - level.mean[:, 0]) / row.carry
    carry = np.clip(aims.carry, row.least, row.carry)
    return Aims(shot=aims.shot, heading=(aims.heading - np.degrees(np.arctan(side))) % 360.0, carry=carry)


def finish_of(today: HoleToday, spot: Spot, choice: Choice) -> tuple[float, float]:
    """Aim of a choice: where a well-struck ball finishes. [m]"""
    x, y = well_struck(today, spot, choice)[1]
    return float(x), float(y)


def start_line_of(today: HoleToday, spot: Spot, choice: Choice) -> float:
    """Direction in which the ball of a choice starts. [°]"""
    row = today.shots_from(spot).at(choice.shot, int(spot.lie), choice.heading)
    return (choice.heading + float(row.start_offset)) % 360.0


def choice_at(today: HoleToday, spot: Spot, shot: int, xy: tuple[float, float]) -> Choice | None:
    """The choice of a shot whose well-struck ball finishes at `xy`; None when it does not carry so."""
    choice = choice_towards(today, spot, shot, xy)
    return None if beyond_dial(today, spot, choice) > DIAL_M else choice


def beyond_dial(today: HoleToday, spot: Spot, choice: Choice) -> float:
    """How far a carry is outside what the shot is dialled to, 0 when inside. [m]"""
    row = today.shots_from(spot).at(choice.shot, int(spot.lie), choice.heading)
    return max(float(row.least) - choice.carry, choice.carry - float(row.carry), 0.0)


def choice_towards(today: HoleToday, spot: Spot, shot: int, xy: tuple[float, float]) -> Choice:
    """The choice of a shot that would finish at `xy`, whether it carries so or not."""
    start = np.array([spot.x, spot.y])
    want = np.asarray(xy) - start
    heading = float(np.degrees(np.arctan2(want[0], want[1])) % 360.0)
    first = Choice(shot, heading, float(np.hypot(*want)))
    return moved_to(want, first, lambda choice: np.asarray(finish_of(today, spot, choice)) - start)


def moved_to(want: FloatArray, first: Choice, reached: Callable[[Choice], FloatArray]) -> Choice:
    """The choice of the same shot that reaches a place, whether it carries so or not.

    Found by moving heading and carry by what is reached instead, which settles in a few rounds.

    Parameters
    ----------
    want : ndarray (2,)
        The place seen from the spot. [m]
    first : Choice
        Where to start.
    reached : function
        What a choice reaches, seen from the spot (2,). [m]
    """
    heading, carry = first.heading, first.carry
    for _ in range(6):
        got = reached(Choice(first.shot, heading, carry))
        carry = max(carry + float(np.hypot(*want)) - float(np.hypot(*got)), 1.0)
        heading += float(np.degrees(np.arctan2(want[0], want[1]) - np.arctan2(got[0], got[1])))
        heading %= 360.0
    return Choice(first.shot, heading, carry)
