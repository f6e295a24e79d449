"""Other worlds of a hole that is laid out: made again from it, and given options valued in them.

Whoever asks "what if" (trees, gusts, the published table) says what is otherwise, and gets a `CostField` that
keeps what that does not touch. Strokes to go are kept where none are given: what follows is then played as
in the world that the hole was laid out in.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.decide.aims import DIAL_M, Aims, beyond_dial, many_sums, moved_to
from strategy.decide.cost_field import CostField, cost_field, same_ground, trees_like
from strategy.outcome.play import Choice, Held, mean_landing
from strategy.outcome.today import HoleToday
from strategy.strokes.protocol import StrokesToGo


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
