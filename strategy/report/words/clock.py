"""Wind by the clock of a player who faces the shot: 12 o'clock is into, 6 helps, 3 is from the right."""

from __future__ import annotations

from typing import Final

import numpy as np

from strategy.plan.document import Decision

_HOUR: Final = 30.0  # degrees


def bearing(decision: Decision) -> float:
    """Where the first option's ball finishes, from where it is played. [°]"""
    east, north = np.subtract(decision.first.aim, (decision.spot.x, decision.spot.y))
    return float(np.degrees(np.arctan2(east, north)) % 360.0)


def clock(blows_from: float, facing: float) -> int:
    """The hour a wind comes from.

    Parameters
    ----------
    blows_from, facing : float
        Where the wind blows from and where the player looks. [°]

    >>> clock(0.0, 0.0), clock(90.0, 0.0), clock(180.0, 0.0), clock(350.0, 110.0)
    (12, 3, 6, 8)
    """
    return round((blows_from - facing) % 360.0 / _HOUR) % 12 or 12


def way(hour: int) -> str:
    """What a wind from there does.

    >>> [way(hour) for hour in (12, 1, 2, 4, 5, 7, 8, 11)]
    ['into', 'into', 'across', 'across', 'helping', 'helping', 'across', 'into']
    """
    if hour in (11, 12, 1):
        return "into"
    return "helping" if hour in (5, 6, 7) else "across"
