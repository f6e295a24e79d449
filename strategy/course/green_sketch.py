"""One green in the caddie's words, as data; `strategy.course.maps.sketch` makes ground of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A general fall: share (0.02 = 2 %), and the side that is high."""

    share: float
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """A step: how far on it stands and how much higher the green is behind it. [m]"""

    on_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenSketch:
    """One green in words.

    Attributes
    ----------
    falls : tuple of Fall
        They add up.
    false_front_m : float
        How far on a ball may land and still come back; 0 for none. [m]
    run_offs : tuple of str
        Sides where the ground runs away.
    text : str
        In words, for the book.
    rebuilt : bool
        Whether the green is newer than the heights of the ground: the words then count on it all the same.
    """

    falls: tuple[Fall, ...] = ()
    false_front_m: float = 0.0
    tiers: tuple[Tier, ...] = ()
    run_offs: tuple[str, ...] = ()
    text: str = ""
    rebuilt: bool = False
