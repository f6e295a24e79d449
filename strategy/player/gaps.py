"""Finds carries and lies that the player's own shots do not cover. Assumed shots are played there only.

A shot that the file states covers the carries that it is dialled to, from the lies that the file states for
it. If the file states no lies, it covers clean lies, because a stated carry is one from a clean lie. A shot
whose carry is assumed covers nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from strategy.codes import Lie
from strategy.player.model import Shot
from strategy.units import YARD_M

_CLEAN: Final = frozenset({Lie.TEE, Lie.FAIRWAY})
# A narrower gap is not filled. The shots beside it are then at most 2 yd off (engineering choice).
LEAST_GAP_M: Final = 4.0 * YARD_M


@dataclass(frozen=True, slots=True)
class Gap:
    """Carries and lies of an assumed shot that no stated shot covers.

    Attributes
    ----------
    name : str
        Name of the shot in this gap: "long pitch", "long pitch under the half".
    club : str or None
        Club of the stated shot that is next to the gap; None for the club of the assumed shot.
    least_m, carry_m : float
        Shortest and full carry. [m]
    lies : frozenset of Lie
        The lies.
    """

    name: str
    club: str | None
    least_m: float
    carry_m: float
    lies: frozenset[Lie]


def gaps(name: str, least_m: float, carry_m: float, lies: frozenset[Lie], own: Sequence[Shot]) -> list[Gap]:
    """Carries and lies of an assumed shot that a player's own shots do not cover.

    Parameters
    ----------
    name : str
        Name of the assumed shot.
    least_m, carry_m : float
        Its shortest and full carry. [m]
    lies : frozenset of Lie
        Lies that it is played from.
    own : sequence of Shot
        The shots that the file states.
    """
    near = sorted(
        (s for s in own if s.carry_least_m < carry_m and s.carry_m > least_m),
        key=lambda s: (s.carry_least_m, s.carry_m),
    )
    lies_of: dict[tuple[int, ...], set[Lie]] = {}  # lies by the stated shots that are played from them
    for lie in sorted(lies):
        covering = tuple(i for i, s in enumerate(near) if lie in _covered_lies(s))
        lies_of.setdefault(covering, set()).add(lie)
    result: list[Gap] = []
    for covering, same_lies in lies_of.items():
        for gap in _gaps_between(name, least_m, carry_m, frozenset(same_lies), [near[i] for i in covering]):
            is_name_taken = any((gap.name, gap.club) == (g.name, g.club) for g in result)
            words = " or ".join(lie.label for lie in sorted(same_lies))
            result.append(replace(gap, name=f"{gap.name}, from {words}") if is_name_taken else gap)
    return result


def _gaps_between(
    name: str, least_m: float, carry_m: float, lies: frozenset[Lie], shots: Iterable[Shot]
) -> Iterator[Gap]:
    """Gaps below, between and above shots, which are sorted by their shortest carry."""
    last = None
    covered_m = least_m
    for shot in shots:
        if shot.carry_least_m - covered_m >= LEAST_GAP_M:
            yield Gap(f"{name} under {_shot_words(shot)}", shot.club, covered_m, shot.carry_least_m, lies)
        covered_m = max(covered_m, shot.carry_m)
        last = shot
    if last is None:
        yield Gap(name, None, least_m, carry_m, lies)
    elif carry_m - covered_m >= LEAST_GAP_M:
        yield Gap(f"{name} over {_shot_words(last)}", None, covered_m, carry_m, lies)


def _covered_lies(shot: Shot) -> frozenset[Lie]:
    """The lies from which a stated shot covers its carries."""
    if "carry" in shot.assumed:
        return frozenset()
    return shot.lies & _CLEAN if "lies" in shot.assumed else shot.lies


def _shot_words(shot: Shot) -> str:
    name = shot.name.removeprefix("the ")
    return f"the {'full shot' if name == 'stock' else name}"
