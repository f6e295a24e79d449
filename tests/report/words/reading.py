"""Reading sentences in tests: their numbers, and whether what they say stands in order."""

from __future__ import annotations

import re


def numbers(text):
    """The numbers of a text as they stand; those of a club's name ("7-iron", "3-wood") are left out.

    >>> numbers("7-iron, 156 to carry: costs 0.06, of 20: 3 short")
    ['156', '0.06', '20', '3']
    """
    return re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?![\w-]|\.\d)", text)


def in_order(text, *parts):
    """Whether all parts stand in a text, one after the other.

    >>> in_order("Miss short, not right", "short", "right"), in_order("short", "short", "short")
    (True, False)
    """
    at = 0
    for part in parts:
        at = text.find(part, at)
        if at < 0:
            return False
        at += len(part)
    return True
