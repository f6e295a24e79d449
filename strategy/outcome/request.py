"""What is asked about: one hole, player, week and round, its markers, hole location and hour resolved once.

Everything that sets a hole up (`strategy.outcome.setup.today`, plans, single shots, numbers) starts here.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

from strategy.arrays import FloatArray
from strategy.course.model import Hole
from strategy.course.pins import pin_xy
from strategy.course.playline import line_from, point_at
from strategy.errors import RequestError
from strategy.player.model import Player
from strategy.week.model import Round, Week
from strategy.week.wind import played_before


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Request:
    """One hole as it is asked about.

    Attributes
    ----------
    hole, week : Hole, Week
        As read.
    player : Player or None
        As read; None where no shot is asked for.
    played : Round
        The round.
    tee, up_m : str, float
        Tee whose markers are used ("" = the back tee), and how far they are moved up. [m]
    line : ndarray (n, 2)
        Line of play from those markers. [m]
    location : str
        Hole location in the words of its sheet; "" where none is given, or as a place.
    pin : tuple of two floats or None
        Hole location; None where none is given. [m]
    before : int
        Holes played before this one, for the hour.
    """

    hole: Hole
    week: Week
    player: Player | None
    played: Round
    tee: str
    up_m: float
    line: FloatArray
    location: str
    pin: tuple[float, float] | None
    before: int

    def at(self, xy: tuple[float, float]) -> Request:
        """The same with the hole cut at a place. [m]"""
        return dataclasses.replace(self, pin=xy, location="")


def request(
    hole: Hole,
    player: Player | None,
    week: Week,
    number: int,
    *,
    pin: str | tuple[float, float] = "",
    labels: Sequence[str] = (),
    before: int | None = None,
) -> Request:
    """Resolve what is asked about.

    Parameters
    ----------
    hole, player, week : Hole, Player or None, Week
        As read.
    number : int
        Of the round.
    pin : str or tuple of two floats
        Hole location as a sheet writes it, or a place; by default the week's for this hole and round. [m]
    labels : sequence of str
        All holes in the order of the card; by default the hole's own card.
    before : int, optional
        Holes played before this one; by default as the card and the start of the round say, and none for a
        hole that belongs to no course.

    Raises
    ------
    RequestError
        If the round or the tee is not there, or the location is off the green.
    """
    played = week.round(number)
    written = played.setup(hole.label)
    if before is None:
        card = labels or hole.card
        before = played_before(played, hole.label, card) if card else 0
    line = line_from_tee(hole, written.tee, written.up_m)
    text, xy = "", None
    if not isinstance(pin, str):
        xy = pin
    elif text := pin or written.location:
        xy = pin_xy(hole, line, text, reference=week.front_reference)
    return Request(
        hole=hole,
        week=week,
        player=player,
        played=played,
        tee=written.tee,
        up_m=written.up_m,
        line=line,
        location=text.strip(),
        pin=xy,
        before=before,
    )


def line_from_tee(hole: Hole, name: str, up_m: float) -> FloatArray:
    """Line of play from the markers in use."""
    tee = hole.tees[0]
    if name:
        named = [t for t in hole.tees if t.name.casefold() == name.casefold()]
        if not named:
            there = ", ".join(t.name or "(unnamed)" for t in hole.tees)
            raise RequestError(f"hole {hole.label} has no tee {name!r}; its tees are {there}")
        tee = named[0]
    line = line_from(hole.line, tee.xy)
    if up_m:
        line[0] = point_at(line, 0.0, up_m)[0]
    return line
