"""Lines of text for the terminal and for files."""

from __future__ import annotations

import textwrap

from strategy.columns import columns


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
