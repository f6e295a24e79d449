"""Which club, shot, number and aim costs this player the fewest strokes on this course this week.

The public names are found when they are first asked for, so that `import strategy` costs nothing:

>>> import strategy
>>> "read_course" in dir(strategy)
True
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strategy.codes import Lie, Spot, Surface
    from strategy.course import read_course
    from strategy.course.model import Course, Hole
    from strategy.decide import options
    from strategy.decide.option import Option
    from strategy.decide.solver.whole_hole import WholeHole
    from strategy.errors import (
        CourseError,
        InputError,
        InputErrors,
        LogError,
        PhysicsError,
        PlayerError,
        RequestError,
        StrategyError,
        WeekError,
    )
    from strategy.outcome import play, today
    from strategy.outcome.play import Choice, Outcomes
    from strategy.outcome.table import ShotTable
    from strategy.outcome.today import HoleToday
    from strategy.plan import plan_course
    from strategy.plan.advice.values import solve
    from strategy.plan.document import Decision, Plan, read_plan
    from strategy.player import read_player
    from strategy.player.model import Player, Shot
    from strategy.strokes.baseline import Baseline
    from strategy.strokes.protocol import StrokesToGo
    from strategy.week import read_week
    from strategy.week.model import Week

__version__ = "0.1.0"

# Where each public name lives: what is read and asked, the types that gives, and what may be wrong.
_HOME = {
    "Baseline": "strategy.strokes.baseline",
    "Choice": "strategy.outcome.play",
    "Course": "strategy.course.model",
    "CourseError": "strategy.errors",
    "Decision": "strategy.plan.document",
    "Hole": "strategy.course.model",
    "HoleToday": "strategy.outcome.today",
    "InputError": "strategy.errors",
    "InputErrors": "strategy.errors",
    "Lie": "strategy.codes",
    "LogError": "strategy.errors",
    "Option": "strategy.decide.option",
    "Outcomes": "strategy.outcome.play",
    "PhysicsError": "strategy.errors",
    "Plan": "strategy.plan.document",
    "Player": "strategy.player.model",
    "PlayerError": "strategy.errors",
    "RequestError": "strategy.errors",
    "Shot": "strategy.player.model",
    "ShotTable": "strategy.outcome.table",
    "Spot": "strategy.codes",
    "StrategyError": "strategy.errors",
    "StrokesToGo": "strategy.strokes.protocol",
    "Surface": "strategy.codes",
    "Week": "strategy.week.model",
    "WeekError": "strategy.errors",
    "WholeHole": "strategy.decide.solver.whole_hole",
    "options": "strategy.decide.options",
    "plan_course": "strategy.plan",
    "play": "strategy.outcome.play",
    "read_course": "strategy.course",
    "read_plan": "strategy.plan.document",
    "read_player": "strategy.player",
    "read_week": "strategy.week",
    "solve": "strategy.plan.advice.values",
    "today": "strategy.outcome",
}

__all__ = [
    "Baseline",
    "Choice",
    "Course",
    "CourseError",
    "Decision",
    "Hole",
    "HoleToday",
    "InputError",
    "InputErrors",
    "Lie",
    "LogError",
    "Option",
    "Outcomes",
    "PhysicsError",
    "Plan",
    "Player",
    "PlayerError",
    "RequestError",
    "Shot",
    "ShotTable",
    "Spot",
    "StrategyError",
    "StrokesToGo",
    "Surface",
    "Week",
    "WeekError",
    "WholeHole",
    "__version__",
    "options",
    "plan_course",
    "play",
    "read_course",
    "read_plan",
    "read_player",
    "read_week",
    "solve",
    "today",
]


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
