"""Lengths as they are said: whole yards or metres."""

from __future__ import annotations

from enum import StrEnum

from strategy.units import YARD_M


class Units(StrEnum):
    """What lengths are said in."""

    YARDS = "yards"
    METRES = "metres"

    @property
    def metres(self) -> float:
        """Length of one. [m]"""
        return YARD_M if self is Units.YARDS else 1.0

    @property
    def short(self) -> str:
        """The sign of the unit."""
        return "yd" if self is Units.YARDS else "m"

    def whole(self, metres: float) -> int:
        """A length as the nearest whole number; halves go away from 0."""
        value = metres / self.metres
        size = int(abs(value) + 0.5)
        return size if value >= 0.0 else -size
