"""A course planned: jobs, processes, progress, the plan document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strategy.plan.document import Plan, read_plan
    from strategy.plan.jobs.engine import plan_course

__all__ = ["Plan", "plan_course", "read_plan"]


def __getattr__(name: str) -> Any:
    # Planning needs the kernels; reading a plan does not.
    if name == "plan_course":
        from strategy.plan.jobs.engine import plan_course

        return plan_course
    if name in ("Plan", "read_plan"):
        from strategy.plan import document

        return getattr(document, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
