"""The week: air, wind by hour and round, green speed, tees and hole locations as written."""

from strategy.week.firmness import Sighting, sighting
from strategy.week.model import Round, Setup, Week, WindHour
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
    "read_week",
    "sighting",
    "waves",
    "wind_at",
    "wind_for",
]
