"""The week: air, wind by the hour, green speed, firmness, tees and hole locations, by round."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from strategy.week.model import Round, Setup, Sighting, Week, WindHour
from strategy.week.wind import holes_before, hour_of, waves, wind_at, wind_for

if TYPE_CHECKING:
    from strategy.week.firmness import parse_sighting
    from strategy.week.read import read_week

__all__ = [
    "Round",
    "Setup",
    "Sighting",
    "Week",
    "WindHour",
    "holes_before",
    "hour_of",
    "parse_sighting",
    "read_week",
    "waves",
    "wind_at",
    "wind_for",
]


def __getattr__(name: str) -> Any:
    # Reading needs pydantic. The model, which every room imports, does not.
    if name == "read_week":
        from strategy.week.read import read_week

        return read_week
    if name == "parse_sighting":
        from strategy.week.firmness import parse_sighting

        return parse_sighting
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
