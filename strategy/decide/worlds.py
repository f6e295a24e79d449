"""Other worlds of a hole that is laid out: made again from it, and given options valued in them.

Whoever asks "what if" (trees, gusts, the published table) says what is otherwise, and gets a `CostField` that
keeps what that does not touch. Strokes to go are kept where none are given: what follows is then played as
in the world that the hole was laid out in.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot
from strategy.decide.aims import DIAL_M, Aims, beyond_dial, many_sums, moved_to
from strategy.decide.cost_field import CostField, cost_field, same_ground, to_metres, trees_like
from strategy.decide.kernels.arguments import AIM_X, AIM_XX, AIM_Y, AIM_YY, Part
from strategy.outcome.play import Choice, Held, mean_landing
from strategy.outcome.today import HoleToday
from strategy.outcome.weeks import Weeks
from strategy.strokes.protocol import StrokesToGo

_FREE_M: Final = 6.0  # how much nearer trouble may be than it is drawn: more than any displacement, nearly
_REACH: Final = 3.5  # standard deviations round an aim that are looked at
_RUN_M: Final = 25.0
_FAR_CELLS: Final = 160  # relief within this distance of the part may be another
_NET_M: Final = 5.0  # displacements are worked out this far apart


def remade(field: CostField, today: HoleToday | None = None, to_go: StrokesToGo | None = None) -> CostField:
    """A hole laid out again under other conditions, keeping what did not change.

    Packed surfaces, trees and heights are kept where they still hold; what relief is worth as well, unless
    strokes to go are others.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    today : HoleToday, optional
        The hole under the other conditions; the same by default.
    to_go : StrokesToGo, optional
        What follows; as `field` has it by default, even where shots or trees are others.

    Raises
    ------
    ValueError
        Without `to_go`, where the ground or the hole location is another: those strokes are of other places.
    """
    other = field.today if today is None else today
    if to_go is not None and to_go is not field.to_go:
        return cost_field(other, to_go, like=field)
    if not same_ground(other, field.today):
        raise ValueError("the ground or the hole location is another: say what strokes to go are there")
    return dataclasses.replace(field, today=other, trees=trees_like(other, field))


def through_trees(field: CostField, share: float) -> CostField:
    """The same hole with other mean free ways through its trees, as a share of those in use."""
    canopy = field.today.canopy
    if canopy is None:
        return field
    other = dataclasses.replace(canopy, crown_m=share * canopy.crown_m, stems_m=share * canopy.stems_m)
    return remade(field, dataclasses.replace(field.today, canopy=other))


@dataclass(slots=True)
class MovedOutlines:
    """A hole laid out whose outlines are moved, in the part of its map where balls of some aims come to rest.

    Attributes
    ----------
    field : CostField
        With maps of its own, which `in_week` writes into.
    values, packed : ndarray (ny, nx)
        As laid out, the free distances shortened by `_FREE_M`.
    part : Part
        The part.
    smooth : ndarray (Y, X)
        Strokes to go from a fairway lie over a net of the part.
    """

    field: CostField
    values: NDArray[np.float32]
    packed: NDArray[np.uint32]
    part: Part
    smooth: FloatArray

    @staticmethod
    def of(field: CostField, packed: FloatArray) -> MovedOutlines:
        """`packed` (A, AIM): the aims, in cells."""
        cell, shape = field.today.cell_m, (field.rows, field.columns)
        spread = np.sqrt((packed[:, AIM_XX : AIM_YY + 1] ** 2).reshape(-1, 2, 2).sum(axis=2))  # (A, 2)
        reach = _REACH * spread + _RUN_M / cell
        centre = packed[:, AIM_X : AIM_Y + 1]
        most = np.array(shape[::-1]) - 2
        low = np.clip(np.floor((centre - reach).min(axis=0)), 1, most).astype(int)
        high = np.clip(np.ceil((centre + reach).max(axis=0)), 1, most).astype(int)
        width, height = (int(n) for n in high - low + 1)
        part = Part(int(low[1]), int(low[0]), height, width, _NET_M / cell)
        free = (field.packed >> 4) & 4095
        nearer = np.minimum(free, np.uint32(4.0 * _FREE_M / cell)) << 4
        shortened = field.packed - nearer.astype(np.uint32)
        own = dataclasses.replace(
            field, values=field.values.copy(), packed=shortened.copy(), relief=field.relief.copy()
        )
        places = _net(field, part)
        flat = np.column_stack([p.ravel() for p in places])
        smooth = field.to_go(flat, np.full(len(flat), int(Lie.FAIRWAY))).reshape(places[0].shape)
        return MovedOutlines(own, field.values.reshape(shape), shortened.reshape(shape), part, smooth)

    def in_week(self, weeks: Weeks, week: int) -> CostField:
        """The hole with the outlines of a week; good until it is asked again."""
        from strategy.decide.kernels.outlines import move_outlines

        field, part, shape = self.field, self.part, self.values.shape
        if weeks.heights[week].any():
            east, north = _net(field, part)
            moved = weeks.moved(week, east[0], north[:, 0]) / field.today.cell_m
            move_outlines(
                part, moved, self.smooth, self.values, self.packed,
                field.values.reshape(shape), field.packed.reshape(shape),
            )  # fmt: skip
            # What relief is worth depends on where the edge is now.
            near = slice(max(part.row - _FAR_CELLS, 0), part.row + part.height + _FAR_CELLS)
            field.relief.reshape(2, *shape)[:, near] = np.nan
        return field


def _net(field: CostField, part: Part) -> tuple[FloatArray, FloatArray]:
    """East and north (Y, X) of a net over a part. [m]"""
    columns, rows = (np.arange(math.ceil(n / part.step) + 2) * part.step for n in (part.width, part.height))
    places = np.stack(np.meshgrid(part.column + columns + 0.5, part.row + rows + 0.5), axis=-1)
    places = to_metres(field.today, places)
    return places[..., 0], places[..., 1]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Valued:
    """A options of one spot on R sets of common points, see `decide.aims`.

    Attributes
    ----------
    onward, returning : ndarray (R, A)
        Strokes of the balls played on, and the share that returns.
    """

    onward: FloatArray
    returning: FloatArray

    @property
    def repeated(self) -> FloatArray:
        """Q of each (A,): strokes if it were repeated after every return; inf where every ball returns."""
        a, p = self.onward.mean(axis=0), self.returning.mean(axis=0)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(p < 1.0, (1.0 + a + p) / (1.0 - p), np.inf)

    def by_set(self, value: float) -> FloatArray:
        """Strokes of one play, then best play worth `value`, on each set (R, A)."""
        return 1.0 + self.onward + self.returning * (1.0 + value)

    def once(self, value: float) -> FloatArray:
        """The same over all sets (A,)."""
        return np.asarray(
            1.0 + self.onward.mean(axis=0) + self.returning.mean(axis=0) * (1.0 + value), dtype=np.float64
        )


def valued(
    world: CostField,
    spot: Spot,
    options: Aims | Sequence[Choice],
    points: Sequence[NDArray[np.floating]],
    value: float,
) -> Valued:
    """Given options in a given world, all on the same points.

    Parameters
    ----------
    options : Aims or sequence of Choice
        A of them; exactly these headings and carries.
    points : sequence of ndarray (3, 2 K)
        R sets of common points of one type, core first.
    value : float
        V of the spot there: a ball worth more than 1 + V goes back.
    """
    aims = options if isinstance(options, Aims) else Aims.of(options)
    parts = many_sums(world, spot, aims, points, 1.0 + value)
    return Valued(
        onward=np.array([part.onward for part in parts]),
        returning=np.array([part.returning for part in parts]),
    )


def carried_over(choice: Choice, spot: Spot, chosen_in: HoleToday, other: HoleToday) -> Choice:
    """What becomes of a choice in another wind: the same swing or the same landing, as it says itself.

    The same landing is one of the same shot where its dial reaches, else of a stock shot. The same swing is
    the same start line and the same number of the player's, which carries otherwise in the other wind.

    Parameters
    ----------
    choice : Choice
        As chosen in the first of the two.
    spot : Spot
        Where from.
    chosen_in, other : HoleToday
        The same hole in both winds.
    """
    if choice.held is Held.LANDING:
        return _landing_at(other, spot, choice, mean_landing(chosen_in, spot, choice))
    return numbered(other, spot, choice, number_of(chosen_in, spot, choice))


def number_of(today: HoleToday, spot: Spot, choice: Choice) -> float:
    """The player's own number of a choice. [m]"""
    return today.shots_from(spot).playing(choice.shot, int(spot.lie), choice.heading, choice.carry)


def numbered(today: HoleToday, spot: Spot, choice: Choice, number_m: float) -> Choice:
    """A choice's shot along its own line, struck as a number of the player's: the swing, by what it carries.

    Numbers go in proportion to carries (`ShotTable.playing`), beyond the dial too: `beyond_dial` tells.
    """
    table, lie = today.shots_from(spot), int(spot.lie)
    full = float(table.at(choice.shot, lie, choice.heading).carry)
    all_of_it, less = (table.playing(choice.shot, lie, choice.heading, c) for c in (full, 0.9 * full))
    carry = full + (number_m - all_of_it) * 0.1 * full / (all_of_it - less)
    return Choice(choice.shot, choice.heading, carry, Held.SWING)


def _landing_at(today: HoleToday, spot: Spot, planned: Choice, target: FloatArray) -> Choice:
    """What lands at a place: the planned shot where its dial reaches, else the nearest stock shot."""

    def lands(choice: Choice) -> FloatArray:
        return mean_landing(today, spot, choice)

    table = today.shots_from(spot)
    own = moved_to(target, planned, lands)
    if beyond_dial(today, spot, own) <= DIAL_M:
        return own
    stock = table.stock | (np.arange(table.shots) == own.shot)
    others = [
        dataclasses.replace(own, shot=int(s)) for s in np.flatnonzero(table.allowed[:, int(spot.lie)] & stock)
    ]
    other = min(others, key=lambda choice: beyond_dial(today, spot, choice))
    return own if other.shot == own.shot else moved_to(target, other, lands)
