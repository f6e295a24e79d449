"""Decisions: options from one spot, with cost, error, counts and leaves; one module of kernels."""

from strategy.decide.cost_field import CostField, cost_field
from strategy.decide.option import Leave, Option, OptionError, Word
from strategy.decide.options import cost_at, costs_over, options
from strategy.decide.solver.whole_hole import WholeHole, solve

__all__ = [
    "CostField",
    "Leave",
    "Option",
    "OptionError",
    "WholeHole",
    "Word",
    "cost_at",
    "cost_field",
    "costs_over",
    "options",
    "solve",
]
