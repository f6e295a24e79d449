"""Defaults for what a player file need not state: run, bend, height, lies and the effects of lies.

Everything here is an engineering choice unless its source is named. `Shot.assumed` lists the defaults that a
shot uses. Defaults of scatter are in `strategy.reference.spread`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import Enum
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from strategy import codes
from strategy.codes import Lie
from strategy.player.model import LieEffect
from strategy.units import YARD_M


class Kind(Enum):
    """The kind of a club, which decides its lies and how it is dialled down."""

    DRIVER = "driver"
    WOOD = "wood"
    HYBRID = "hybrid"
    LONG_IRON = "long iron"
    IRON = "iron"
    WEDGE = "wedge"
    PUTTER = "putter"


MOST_CLUBS: Final = 13  # without the putter; Rule 4.1b allows fourteen clubs
RANGE_FACTOR: Final = 1.15  # scatter on a course over scatter on a range or a mat
UNSTATED_FACTOR: Final = 1.15  # scatter of a second shape over that of the stock shot (engineering choice)

_LONGEST_LONG_IRON: Final = 4  # irons with this number and lower are long irons
_NUMBERED: Final = re.compile(r"(\d{1,2})\s*-?\s*(?:(i|iron)|(w|wood)|(h|hy|hybrid|rescue|utility))\b")
_WEDGE: Final = re.compile(
    r"\bwedge\b|^(?:pw|gw|aw|sw|lw)\b|^[4-6]\d(?:\.\d)?\s*(?:°|deg\b|degrees\b)?\s*(?:wedge)?$"
)

# Common practice: a driver from a tee; woods where the ball sits up; long irons not from poor rough or sand;
# wedges from anywhere. None of these shots is played on a green.
_FROM_GRASS: Final = frozenset({Lie.TEE, Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD})
_ANYWHERE: Final = frozenset(Lie) - {Lie.GREEN}
LIES: Final[Mapping[Kind, frozenset[Lie]]] = MappingProxyType(
    {
        Kind.DRIVER: frozenset({Lie.TEE}),
        Kind.WOOD: _FROM_GRASS,
        Kind.HYBRID: _FROM_GRASS | {Lie.JUMPER},
        Kind.LONG_IRON: _ANYWHERE - {Lie.ROUGH_POOR, Lie.SAND},
        Kind.IRON: _ANYWHERE,
        Kind.WEDGE: _ANYWHERE,
    }
)

# A wedge with a shorter carry is no shot from sand, because the ball is splashed out there. By Broadie's
# Table 9 (Interfaces 42(2), 2012) a tour player needs 0.45 strokes more from sand than off the fairway at 60
# yd, far more than with a pitch.
LEAST_FROM_SAND_M: Final = 80.0 * YARD_M

_NOT_IN_FILES: Final = ("may jump", "bunker", "trees")
# The words for lies in a player file: one word for each lie that it can state.
LIE_WORDS: Final[Mapping[str, frozenset[Lie]]] = MappingProxyType(
    {word: frozenset(lies) for word, lies in codes.LIE_WORDS.items() if word not in _NOT_IN_FILES}
)

# Rough: with 50, 35 and 15 % good, poor and jumper lies these multipliers raise the median leave of a tour
# player by the 4.3 points of N. James and G. Rees, Int. J. Sports Science and Coaching 3(S1), 2008
# (abstract). How they are divided between the three lies is an engineering choice. A jumper keeps 60 % of its
# spin. A shot with a launch angle under 12 degrees hits the lip; a tour 5-iron just clears it. From 20 to 70
# yd sand leaves twice as much as fairway: A. Cochran and J. Stobbs, 1968 (15.8 against 7.8 %; one stored
# summary). Recovery is the effect of the lie only, a little better than poor rough, because trees stop a ball
# on its way. The other numbers are engineering choices.
LIE_EFFECTS: Final[Mapping[Lie, LieEffect]] = MappingProxyType(
    {
        Lie.TEE: LieEffect(),
        Lie.FAIRWAY: LieEffect(),
        Lie.FIRST_CUT: LieEffect(carry=0.985, scatter=1.15, run=1.05),
        Lie.ROUGH_GOOD: LieEffect(carry=0.96, scatter=1.65, run=1.15),
        Lie.ROUGH_POOR: LieEffect(carry=0.85, scatter=2.6, run=1.0),
        Lie.JUMPER: LieEffect(carry=1.05, scatter=2.05, run=1.8, spin=0.6),
        Lie.SAND: LieEffect(carry=0.94, scatter=2.0, run=0.8, lip_deg=12.0),
        Lie.RECOVERY: LieEffect(carry=0.9, scatter=1.8, run=1.0),
    }
)

# A wood off turf, relative to a tee (engineering choice).
WOOD_OFF_TURF: Final = LieEffect(carry=0.98, scatter=1.05)

# Run by carry, in yards. Common practice: 15 for a driver on an ordinary fairway, 4 to 5 for a 7-iron on a
# green, 1 for a wedge. On first cut it is 0.6 of that on fairway, in rough a quarter.
_RUN_FAIRWAY: Final = (
    *((0.0, 1.0), (60.0, 2.0), (100.0, 2.5), (136.0, 4.0)),
    *((172.0, 6.5), (200.0, 9.0), (230.0, 12.0), (285.0, 15.0)),
)
_RUN_GREEN: Final = (
    *((0.0, 1.0), (100.0, 1.0), (136.0, 2.0), (172.0, 4.5)),
    *((200.0, 7.0), (230.0, 10.0), (285.0, 13.0)),
)
_RUN_FIRST_CUT: Final = 0.6
_RUN_ROUGH: Final = 0.25

# Greatest height by carry, in yards. Full shots of a tour reach 26 to 32 with every club, those of a women's
# tour 23 to 27 (strategy/reference/launch_tour.csv). Partial shots reach less (engineering choice).
_APEX: Final = ((0, 0.0), (40, 10.0), (80, 20.0), (110, 25.0), (140, 28.0), (170, 30.0), (300, 31.0))

_HEIGHT: Final = {"low": 0.6, "normal": 1.0, "high": 1.2}
_HEIGHT_RUN: Final = {"low": 1.6, "normal": 1.0, "high": 0.7}


def kind_of(club: str, carry_m: float) -> Kind:
    """The kind of a club by its name, or by its carry [m] when the name does not show it.

    Examples
    --------
    >>> [kind_of(c, 150).value for c in ("driver", "3w", "4 hybrid", "3-iron", "7i", "sand wedge", "58°")]
    ['driver', 'wood', 'hybrid', 'long iron', 'iron', 'wedge', 'wedge']
    >>> kind_of("the old blade", 95).value
    'wedge'
    """
    name = club.casefold().strip()
    if "putter" in name:
        return Kind.PUTTER
    if "driver" in name:
        return Kind.DRIVER
    if _WEDGE.search(name):
        return Kind.WEDGE
    numbered = _NUMBERED.search(name)
    if numbered and numbered[2]:
        return Kind.LONG_IRON if int(numbered[1]) <= _LONGEST_LONG_IRON else Kind.IRON
    if (numbered and numbered[4]) or "hybrid" in name:
        return Kind.HYBRID
    if (numbered and numbered[3]) or "wood" in name:
        return Kind.WOOD
    carry = carry_m / YARD_M
    for most, kind in ((130, Kind.WEDGE), (200, Kind.IRON), (215, Kind.LONG_IRON)):
        if carry <= most:
            return kind
    return Kind.WOOD


def lies_for(kind: Kind, carry_m: float) -> frozenset[Lie]:
    """Lies that a shot is played from when the file states none; the carry is in [m]."""
    lies = LIES[kind]
    return lies - {Lie.SAND} if kind is Kind.WEDGE and carry_m < LEAST_FROM_SAND_M else lies


def iron_number(club: str) -> int | None:
    """The number of an iron; None for other clubs.

    >>> iron_number("7-iron"), iron_number("7i"), iron_number("7-wood")
    (7, 7, None)
    """
    numbered = _NUMBERED.search(club.casefold().strip())
    return int(numbered[1]) if numbered and numbered[2] else None


def least_carry(kind: Kind, carry_m: float) -> float:
    """Shortest carry that a shot is dialled down to: irons and wedges by 5 %, woods not at all. [m]"""
    return carry_m * (0.95 if kind in (Kind.LONG_IRON, Kind.IRON, Kind.WEDGE) else 1.0)


def runs(carry_m: float, height: str = "normal") -> dict[str, float]:
    """Run by the surface that a shot lands on; a low shot runs more. [m]

    >>> {where: round(run / 0.9144, 1) for where, run in runs(172 * 0.9144).items()}
    {'fairway': 6.5, 'first cut': 3.9, 'rough': 1.6, 'green': 4.5}
    """
    fairway = _interpolate(_RUN_FAIRWAY, carry_m) * _HEIGHT_RUN[height]
    green = _interpolate(_RUN_GREEN, carry_m) * _HEIGHT_RUN[height]
    return {
        "fairway": fairway,
        "first cut": fairway * _RUN_FIRST_CUT,
        "rough": fairway * _RUN_ROUGH,
        "green": green,
    }


def run_sd(run_m: float) -> float:
    """Standard deviation of a run: 1 yd plus 30 % of the run. [m]"""
    return YARD_M + 0.3 * abs(run_m)


def apex(carry_m: float, height: str = "normal") -> float:
    """Greatest height of a shot. [m]"""
    return _interpolate(_APEX, carry_m) * _HEIGHT[height]


def curve(carry_m: float) -> float:
    """How far a draw or a fade bends, without a sign: 11.5 yd at 285 yd, as the square of the carry. [m]

    The bend is the distance between the landing and the start line at that carry.
    """
    return 11.5 * YARD_M * (carry_m / YARD_M / 285.0) ** 2


def _interpolate(table: tuple[tuple[float, float], ...], carry_m: float) -> float:
    """Interpolate a table in yards; constant beyond its end. [m]"""
    carry = carry_m / YARD_M
    for (x0, y0), (x1, y1) in pairwise(table):
        if carry <= x1:
            return (y0 + (y1 - y0) * (carry - x0) / (x1 - x0)) * YARD_M
    return table[-1][1] * YARD_M
