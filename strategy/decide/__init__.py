"""Decisions: options from one spot, with cost, error, counts and leaves; one module of kernels."""

from strategy.decide.cost_field import Ground, ground
from strategy.decide.option import Leave, Option, OptionError, Word
from strategy.decide.options import cost_at, costs_over, options
from strategy.decide.solver.whole_hole import WholeHole, solve

__all__ = [
    "Ground",
    "Leave",
    "Option",
    "OptionError",
    "WholeHole",
    "Word",
    "cost_at",
    "costs_over",
    "ground",
    "options",
    "solve",
]
