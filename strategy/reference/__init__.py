"""Published tables, carried as CSV files, each with its source beside it (``<name>.source.txt``).

Nothing is computed here: a table is given as it was printed. Where a table has a column that says how a
row was confirmed, the column is kept.

>>> names()[:2]
('amateur_anchors', 'checks')
>>> numbers("tour_strokes", "fairway")[:3]
array([2.18, 2.4 , 2.52])
>>> source("tour_putts").splitlines()[0]
'Expected putts, touring professionals, for every foot from 1 to 100.'
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType

import numpy as np

from strategy.arrays import FloatArray


@cache
def names() -> tuple[str, ...]:
    """Names of the tables there are, in alphabetical order."""
    files = (entry.name for entry in resources.files(__name__).iterdir())
    return tuple(sorted(name.removesuffix(".csv") for name in files if name.endswith(".csv")))


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Rows of a table as printed: text by column name.

    Raises
    ------
    KeyError
        If there is no such table; the message lists those there are.
    """
    if name not in names():
        raise KeyError(f"no reference table {name!r}; there are {', '.join(names())}")
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(io.StringIO(text)))


@cache
def numbers(name: str, column: str) -> FloatArray:
    """A column of numbers, read-only; an empty cell is nan.

    Raises
    ------
    KeyError
        If there is no such table or column.
    ValueError
        If the column holds text.
    """
    table = rows(name)
    if column not in table[0]:
        raise KeyError(f"reference table {name!r} has no column {column!r}; it has {', '.join(table[0])}")
    values = np.array([float(row[column]) if row[column] else np.nan for row in table])
    values.setflags(write=False)
    return values


@cache
def source(name: str) -> str:
    """Where a table comes from, in words; the text beside the file.

    Raises
    ------
    KeyError
        If there is no such table.
    """
    if name not in names():
        raise KeyError(f"no reference table {name!r}; there are {', '.join(names())}")
    return resources.files(__name__).joinpath(f"{name}.source.txt").read_text(encoding="utf-8")
