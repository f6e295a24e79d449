"""The week: air, wind by the hour, green speed, firmness, tees and hole locations, by round."""

from strategy.week.firmness import parse_sighting
from strategy.week.model import Round, Setup, Sighting, Week, WindHour
from strategy.week.read import read_week
from strategy.week.wind import holes_before, hour_of, waves, wind_at, wind_for

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
