"""Carries and lies that a player's own shots leave open: only there is an assumed shot played.

A shot that the file states covers the carries it is dialled to, from the lies the file says it is played
from. Where the file says no lies, those are the clean ones: a carry is that from a clean lie. A carry that
is itself assumed covers nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from strategy.codes import Lie
from strategy.player.model import Shot
from strategy.units import YARD_M

_CLEAN: Final = frozenset({Lie.TEE, Lie.FAIRWAY})
# A narrower gap is left to the shots beside it, which are then 2 yd off at most. Engineering choice.
LEAST_GAP_M: Final = 4.0 * YARD_M


@dataclass(frozen=True, slots=True)
class Gap:
    """A part of the carries and lies of an assumed shot that no stated shot covers.

    Attributes
    ----------
    name : str
        What the shot is called there: "long pitch", "long pitch under the half".
    club : str or None
        Club of the stated shot it is taken down from; None = the assumed shot's own.
    least_m, carry_m : float
        Shortest and full carry. [m]
    lies : frozenset of Lie
    """

    name: str
    club: str | None
    least_m: float
    carry_m: float
    lies: frozenset[Lie]


def gaps(name: str, least_m: float, carry_m: float, lies: frozenset[Lie], own: Sequence[Shot]) -> list[Gap]:
    """What an assumed shot is left with beside a player's own shots.

    Parameters
    ----------
    name : str
        What it is called where no shot of the player's is near.
    least_m, carry_m : float
        Its shortest and full carry. [m]
    lies : frozenset of Lie
        Lies it is played from.
    own : sequence of Shot
        Shots that the file states.
    """
    near = sorted(
        (s for s in own if s.carry_least_m < carry_m and s.carry_m > least_m),
        key=lambda s: (s.carry_least_m, s.carry_m),
    )
    by_shots: dict[tuple[int, ...], set[Lie]] = {}  # lies from which the same of them are played
    for lie in sorted(lies):
        theirs = tuple(i for i, s in enumerate(near) if lie in _stated_lies(s))
        by_shots.setdefault(theirs, set()).add(lie)
    found: list[Gap] = []
    for which, there in by_shots.items():
        beside = [near[i] for i in which]
        for gap in _between(name, least_m, carry_m, frozenset(there), beside):
            twin = any((gap.name, gap.club) == (g.name, g.club) for g in found)
            words = " or ".join(lie.label for lie in sorted(there))
            found.append(replace(gap, name=f"{gap.name}, from {words}") if twin else gap)
    return found


def _between(
    name: str, least_m: float, carry_m: float, lies: frozenset[Lie], shots: Iterable[Shot]
) -> Iterator[Gap]:
    """Gaps below, between and above shots that are sorted by their shortest carry."""
    below = None
    low = least_m
    for shot in shots:
        if shot.carry_least_m - low >= LEAST_GAP_M:
            yield Gap(f"{name} under {_called(shot)}", shot.club, low, shot.carry_least_m, lies)
        low = max(low, shot.carry_m)
        below = shot
    if below is None:
        yield Gap(name, None, least_m, carry_m, lies)
    elif carry_m - low >= LEAST_GAP_M:
        yield Gap(f"{name} over {_called(below)}", None, low, carry_m, lies)


def _stated_lies(shot: Shot) -> frozenset[Lie]:
    if "carry" in shot.assumed:
        return frozenset()
    return shot.lies & _CLEAN if "lies" in shot.assumed else shot.lies


def _called(shot: Shot) -> str:
    name = shot.name.removeprefix("the ")
    return f"the {'full shot' if name == 'stock' else name}"
