"""Shots that are the same in several rounds, put together from their facts, so that each is said once."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from strategy.report.words.facts import HoleFacts, PlanFact, RoundFacts, ShotFacts

_NEAR: Final = 2  # whole yards or metres: aims nearer to one another are one
_AS_THEY_ARE: Final = ("start", "hidden", "open", "beside", "no shot", "drop")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """Rounds with the same tee shot.

    Attributes
    ----------
    shots : tuple of ShotFacts
        The tee shot, and a lay-up that is the same in all of them; empty for one round, and where the tee
        shot plays at the hole.
    rounds : tuple of RoundFacts
        With the shots that are left to say.
    """

    shots: tuple[ShotFacts, ...]
    rounds: tuple[RoundFacts, ...]


def shared(hole: HoleFacts) -> tuple[Shared, ...]:
    """The rounds of a hole by their tee shots, in order."""
    groups: list[list[RoundFacts]] = []
    for part in hole.rounds:
        for group in groups:
            if not at_the_hole(part.shots[0]) and same_shot(group[0].shots[0], part.shots[0]):
                group.append(part)
                break
        else:
            groups.append([part])
    return tuple(_shared(group) for group in groups)


def _shared(group: Sequence[RoundFacts]) -> Shared:
    if len(group) == 1 or at_the_hole(group[0].shots[0]):
        return Shared(shots=(), rounds=tuple(group))
    count = 0
    for same in zip(*(part.shots for part in group), strict=False):
        if count and (at_the_hole(same[0]) or not all(same_shot(same[0], other) for other in same[1:])):
            break
        count += 1
    shots = tuple(_merged([part.shots[k] for part in group]) for k in range(count))
    rest = tuple(dataclasses.replace(part, shots=part.shots[count:]) for part in group)
    return Shared(shots=shots, rounds=rest)


def _merged(shots: Sequence[ShotFacts]) -> ShotFacts:
    rounds = tuple(sorted(n for shot in shots for n in shot.rounds))
    others = tuple(shot.facts for shot in shots[1:])
    return dataclasses.replace(shots[0], rounds=rounds, others=others)


def at_the_hole(shot: ShotFacts) -> bool:
    """Whether a shot is told by the hole, which moves from round to round."""
    side = shot.get("side")
    return side is not None and side.of == "hole"


def same_shot(one: ShotFacts, other: ShotFacts) -> bool:
    """Whether the same club, aim and trouble are said of two shots."""
    if at_the_hole(one) or at_the_hole(other) or one.stroke != other.stroke:
        return False
    if _words(one, "shot") != _words(other, "shot"):
        return False
    if any(_words(one, kind) != _words(other, kind) for kind in _AS_THEY_ARE):
        return False
    if one.get("start") is not None:
        return True
    sides = one.get("side"), other.get("side")
    if None in sides:
        return sides == (None, None)
    first, second = (fact for fact in sides if fact is not None)
    return first.of == second.of and abs(_number(first) - _number(second)) <= _NEAR


def _words(shot: ShotFacts, kind: str) -> list[tuple[object, str]]:
    return [(fact.value, fact.of) for fact in shot.every(kind)]


def _number(fact: PlanFact) -> float:
    return float(fact.value)
