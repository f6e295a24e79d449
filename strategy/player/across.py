"""Faults of a player file that concern several entries: shots given twice, carries that are out of order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, Final, TypeGuard

from strategy.player import defaults
from strategy.player.file import CARRY_YD
from strategy.tomlfile import PlacedFault
from strategy.units import YARD_M

# Names of swings, from short to long.
_SWINGS: Final = ("quarter", "third", "half", "two thirds", "three quarter", "three quarters", "full")


def across(document: Mapping[str, Any]) -> Iterator[PlacedFault]:
    """Find faults over several entries: shots given twice, too many clubs, carries that are out of order."""
    entries = document.get("shots")
    shots = [e if isinstance(e, Mapping) else {} for e in entries] if isinstance(entries, list) else []
    wedges = document.get("wedges")
    swings_of = {
        club: swings
        for club, swings in (wedges.items() if isinstance(wedges, Mapping) else ())
        if isinstance(swings, Mapping)
    }
    entry_of: dict[tuple[str, str], str] = {}  # the entry that has a club and shot first
    for i, entry in enumerate(shots):
        club, shot = entry.get("club"), entry.get("shot", "stock")
        if not (isinstance(club, str) and isinstance(shot, str)):
            continue
        key = (club.casefold(), shot.casefold())
        if key in entry_of:
            wrong = f'{club}, "{shot}" stands twice, first as {entry_of[key]}'
            yield PlacedFault(("shots", i, "shot"), wrong, _OWN_NAME)
        entry_of.setdefault(key, f"shots[{i + 1}]")
    yield from _without_carry(shots)
    clubs = {club: None for club, _ in entry_of} | dict.fromkeys(club.casefold() for club in swings_of)
    if len(clubs) > defaults.MOST_CLUBS:
        wrong = f"{len(clubs)} clubs ({', '.join(clubs)}); with the putter that is more than 14"
        yield PlacedFault(
            ("shots",), wrong, "Leave out what stays at home, or spell each club one way (Rule 4.1b)"
        )
    yield from _irons_out_of_order(shots)
    if document.get("units") == "metres":
        yield from _carries_in_yards(shots)
    for club, swings in swings_of.items():
        yield from _swings_out_of_order(club, swings, shots, entry_of)


# The published tour average of a driver is 275 yards (launch_tour.csv). An average carry above this is a
# mistake: the file is in yards (engineering choice). [m]
_LONGEST_CARRY_M: Final = 285.0


def _carries_in_yards(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find the longest carry of a file in metres, if it is possible in yards only."""
    far = {i: c for i, e in enumerate(shots) if _is_number(c := e.get("carry")) and c > _LONGEST_CARRY_M}
    if far and max(far.values()) <= CARRY_YD[1] * YARD_M:  # the validator of `Carry` reports a longer one
        i = max(far, key=lambda k: far[k])
        wrong = f"is {far[i]:g} under metres, {far[i] / YARD_M:.0f} yards: no tour player carries it that far"
        yield PlacedFault(("shots", i, "carry"), wrong, 'Write units = "yards" if the file is in yards')


_OWN_NAME: Final = "Give each shot of a club its own name, or remove one"


def _without_carry(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find shots without a carry whose club has no shot with a carry."""
    with_carry = {
        club.casefold()
        for entry in shots
        if isinstance(club := entry.get("club"), str) and entry.get("carry") is not None
    }
    for i, entry in enumerate(shots):
        club = entry.get("club")
        if isinstance(club, str) and entry.get("carry") is None and club.casefold() not in with_carry:
            mend = "State the carry; only a variation of a club that has one may leave it out"
            yield PlacedFault(("shots", i, "carry"), "is missing", mend)


def _irons_out_of_order(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find irons that carry farther than the next longer iron."""
    stock: dict[int, tuple[float, int]] = {}  # carry and position by number of the iron
    for i, entry in enumerate(shots):
        club, carry = entry.get("club"), entry.get("carry")
        number = defaults.iron_number(club) if isinstance(club, str) else None
        if number is not None and number not in stock and _is_number(carry) and carry <= CARRY_YD[1]:
            stock[number] = (float(carry), i)
    for (longer, (far, _)), (shorter, (near, i)) in pairwise(sorted(stock.items())):
        if near > far:
            wrong = f"{near:g} is further than the {longer}-iron's {far:g}"
            yield PlacedFault(
                ("shots", i, "carry"), wrong, f"Are the {longer}-iron and the {shorter}-iron swapped?"
            )


def _swings_out_of_order(
    club: str,
    swings: Mapping[str, Any],
    shots: list[Mapping[str, Any]],
    entry_of: Mapping[tuple[str, str], str],
) -> Iterator[PlacedFault]:
    """Find swings of a wedge that are given twice, or that carry farther than a longer swing."""
    same = [e for e in shots if isinstance(e.get("club"), str) and e["club"].casefold() == club.casefold()]
    full = next((carry for e in same if _is_number(carry := e.get("carry"))), None)
    by_length: list[tuple[int, str, float]] = []
    for swing, carry in swings.items():
        place = ("wedges", club, swing)
        entry = entry_of.get((club.casefold(), swing.casefold()))
        if entry:
            yield PlacedFault(place, f"stands among the shots too, as {entry}", _OWN_NAME)
        if not _is_number(carry):
            continue
        if full is not None and carry > full:
            yield PlacedFault(
                place, f"{carry:g} is further than the full {club}'s {full:g}", "Correct one of the two"
            )
        if swing.casefold() in _SWINGS:
            by_length.append((_SWINGS.index(swing.casefold()), swing, float(carry)))
    for (_, shorter, shorter_carry), (_, longer, longer_carry) in pairwise(sorted(by_length)):
        if shorter_carry >= longer_carry:
            wrong = f"{longer_carry:g} is no further than the {shorter}'s {shorter_carry:g}"
            yield PlacedFault(("wedges", club, longer), wrong, "Are the two swapped?")


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
