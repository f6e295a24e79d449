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
    from strategy.course import read_course
    from strategy.decide import options
    from strategy.outcome import today
    from strategy.plan import plan_course
    from strategy.plan.advice.values import solve
    from strategy.player import read_player
    from strategy.week import read_week

__version__ = "0.1.0"

_HOME = {
    "options": "strategy.decide.options",
    "plan_course": "strategy.plan",
    "read_course": "strategy.course",
    "read_player": "strategy.player",
    "read_week": "strategy.week",
    "solve": "strategy.plan.advice.values",
    "today": "strategy.outcome",
}

__all__ = [
    "__version__",
    "options",
    "plan_course",
    "read_course",
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
