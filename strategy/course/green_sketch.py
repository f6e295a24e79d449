"""A green as the caddie describes it in words. `strategy.course.maps.sketch` turns it into heights."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A general fall of a green: its slope as a share (0.02 = 2 %), and the side that is high."""

    share: float
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """A step in a green: how far on it is, and how much higher the green is behind it. [m]"""

    on_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenSketch:
    """One green in words.

    Attributes
    ----------
    falls : tuple of Fall
        General falls; their slopes add up.
    false_front_m : float
        A ball that lands less far on than this comes back off the green; 0 for no false front. [m]
    tiers : tuple of Tier
    run_offs : tuple of str
        Sides ("left", "right", "front", "back") where a ball runs off the green.
    text : str
        The sketch in words.
    rebuilt : bool
        Whether the green is newer than the heights of the ground: the words then count on it all the same.
    """

    falls: tuple[Fall, ...] = ()
    false_front_m: float = 0.0
    tiers: tuple[Tier, ...] = ()
    run_offs: tuple[str, ...] = ()
    text: str = ""
    rebuilt: bool = False
