"""What the slope under the player does, in words."""

from __future__ import annotations

from typing import Final

from strategy.outcome.stance import Stance
from strategy.report.words.lengths import Units
from strategy.units import YARD_M

SAID_SIDE_M: Final = 2.0 * YARD_M  # a stance that moves the aim by less is not said
SAID_NUMBER_M: Final = 3.0 * YARD_M  # nor one that moves the number by less
_SEEN: Final = 0.015  # a gentler slope is not called uphill, nor the ball above the feet


def stance_words(stance: Stance | None, units: Units) -> str:
    """What a stance does to an answer, where it moves the aim by 2 yd or the number by 3; else "".

    ::

        Ball below the feet: it goes 6 left, aim 6 right for it. Uphill lie: 4 more, in the number.
    """
    if stance is None:
        return ""
    said = [aside_words(stance, units)]
    if moves_number(stance):
        lie = "Uphill" if stance.ahead > 0.0 else "Downhill"
        more = "more" if stance.number_m > 0.0 else "less"
        said.append(f"{lie} lie: {abs(units.whole(stance.number_m))} {more}, in the number.")
    return " ".join(filter(None, said))


def aside_words(stance: Stance, units: Units) -> str:
    """Which way the ball goes and where to aim for it, where that is 2 yd or more; else ""."""
    if not moves_aim(stance):
        return ""
    goes, aim = ("right", "left") if stance.side_m > 0.0 else ("left", "right")
    by = abs(units.whole(stance.side_m))
    return f"Ball {feet(stance)} the feet: it goes {by} {goes}, aim {by} {aim} for it."


def moves_aim(stance: Stance) -> bool:
    """Whether a stance moves the aim by so much that it is said."""
    return abs(stance.side_m) >= SAID_SIDE_M


def moves_number(stance: Stance) -> bool:
    """Whether a stance moves the number by so much that it is said."""
    return abs(stance.number_m) >= SAID_NUMBER_M


def lie_of_the_ground(stance: Stance) -> str:
    """How the ball lies on the slope: "uphill, above the feet"; "nearly level" on a gentle one."""
    along = "" if abs(stance.ahead) < _SEEN else "uphill" if stance.ahead > 0.0 else "downhill"
    across = "" if abs(stance.right) < _SEEN else f"{feet(stance)} the feet"
    return ", ".join(filter(None, (along, across))) or "nearly level"


def feet(stance: Stance) -> str:
    """Whether the ball lies "above" or "below" the feet."""
    return "above" if stance.above else "below"
