"""Courses: readers, assembly into holes, local frame, surface map, pin sheet <-> coordinates."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strategy.course.assembly.assemble import read_course

__all__ = ["read_course"]


def __getattr__(name: str) -> Any:
    # Reading needs pydantic and pyproj; the models, which every room imports, do not.
    if name == "read_course":
        from strategy.course.assembly.assemble import read_course

        return read_course
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
