"""Lines of text for the terminal and for files."""

from __future__ import annotations

import textwrap
from typing import Final

WIDTH: Final = 96


def wrapped(text: str, indent: str = "", hang: str = "") -> list[str]:
    """A text in lines of at most 96 columns; those after the first stand in by `hang` more."""
    return textwrap.wrap(
        text,
        width=WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + hang,
        break_long_words=False,
        break_on_hyphens=False,
    )
