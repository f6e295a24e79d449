"""Lines of text for the terminal and for files."""

from __future__ import annotations

import re
import textwrap
from typing import Final

from strategy.columns import columns

_NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w-])")


def wrapped(text: str, indent: str = "", hang: str = "") -> list[str]:
    """A text in lines no wider than `columns()`; those after the first stand in by `hang` more."""
    return textwrap.wrap(
        text,
        width=columns(),
        initial_indent=indent,
        subsequent_indent=indent + hang,
        break_long_words=False,
        break_on_hyphens=False,
    )


def numbers_in(text: str) -> int:
    """How many numbers a text has; the digit in the name of a club is none.

    >>> numbers_in("7-iron, 181 to carry, playing 176: costs 0.15.")
    3
    """
    return len(_NUMBER.findall(text))
