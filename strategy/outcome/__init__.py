"""Conditions meet spreads: one hole set up, the shot table, `play` and the list of legal drops."""

from strategy.outcome.play import Choice, Outcomes, play
from strategy.outcome.points import Points, make_points, scrambles
from strategy.outcome.setup import lie_chances, today
from strategy.outcome.table import ShotTable
from strategy.outcome.today import HoleToday

__all__ = [
    "Choice",
    "HoleToday",
    "Outcomes",
    "Points",
    "ShotTable",
    "lie_chances",
    "make_points",
    "play",
    "scrambles",
    "today",
]
