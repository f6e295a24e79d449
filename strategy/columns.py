"""How wide printed text is: as wide as the terminal it goes to, 96 columns in files and pipes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

FILED: Final = 96
LEAST: Final = 40
MOST: Final = 100

_columns: ContextVar[int] = ContextVar("columns", default=FILED)


def columns() -> int:
    """Columns of the text that is being made."""
    return _columns.get()


@contextmanager
def as_wide_as(terminal: int | None) -> Iterator[None]:
    """Make text for a terminal of so many columns; None is for a file or a pipe.

    >>> with as_wide_as(72):
    ...     columns()
    72
    >>> with as_wide_as(250):
    ...     columns()
    100
    """
    token = _columns.set(FILED if terminal is None else min(max(terminal, LEAST), MOST))
    try:
        yield
    finally:
        _columns.reset(token)
