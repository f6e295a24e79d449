"""Lengths of holes that the tags of the outlines state: `dist`, and by tee `dist:white` and the like.

`dist` is in metres unless it names a unit (OpenStreetMap wiki, Key:dist). A number without a unit that is
1.09 times as long as the line of play is taken for yards.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from strategy.units import FOOT_M, LENGTHS_M

CLOSE: Final = 0.06  # a stated length agrees with the line of play when it differs by no more than this share
_UNITS: Final = {**LENGTHS_M, "'": FOOT_M}
_LENGTH: Final = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z']*)")


@dataclass(frozen=True, slots=True)
class StatedLength:
    """One stated length.

    Attributes
    ----------
    tee : str
        The tee that the key names ("white"); "" when it names none.
    text : str
        The value as written.
    value_m : float or None
        The length; None when it cannot be read. [m]
    has_unit : bool
        Whether the value names its unit.
    """

    tee: str
    text: str
    value_m: float | None
    has_unit: bool


def stated_lengths(tags: Mapping[str, str]) -> tuple[StatedLength, ...]:
    """Every length that a hole's tags state, `dist` first.

    >>> [(s.tee, s.value_m) for s in stated_lengths({"dist:red": "300", "dist": "350 yd", "par": "4"})]
    [('', 320.04), ('red', 300.0)]
    """
    lengths = []
    for key in sorted(k for k in tags if k == "dist" or k.startswith("dist:")):
        text = tags[key].strip()
        value, has_unit = parse_length(text)
        lengths.append(StatedLength(key.partition(":")[2], text, value, has_unit))
    return tuple(lengths)


def parse_length(text: str) -> tuple[float | None, bool]:
    """A length in metres, and whether it names its unit; the first of a list of lengths.

    >>> parse_length("403"), parse_length("386 yd"), parse_length("about 400")
    ((403.0, False), (352.9584, True), (None, False))
    """
    match = _LENGTH.fullmatch(text.split(";", maxsplit=1)[0].strip().lower())
    if match is None or (match[2] and match[2] not in _UNITS):
        return None, False
    value = float(match[1].replace(",", "."))
    if not math.isfinite(value) or value <= 0.0:
        return None, False
    return round(value * _UNITS.get(match[2], 1.0), 6), bool(match[2])


def compare_length(stated: StatedLength, length_m: float) -> str:
    """Compare a stated length with the length along the line of play; "" when they agree.

    >>> compare_length(StatedLength("", "383", 383.0, False), 350.0)
    'dist=383 is 9 % longer than the line: is it in yards?'
    >>> compare_length(StatedLength("", "350", 350.0, False), 350.0)
    ''
    """
    key = "dist" + (f":{stated.tee}" if stated.tee else "")
    if stated.value_m is None:
        return f"{key}={stated.text} cannot be read as a length"
    if looks_yards(stated, length_m):
        percent = 100.0 * (stated.value_m / length_m - 1.0)
        return f"{key}={stated.text} is {percent:.0f} % longer than the line: is it in yards?"
    if abs(stated.value_m / length_m - 1.0) > CLOSE:
        return f"{key}={stated.text} against {length_m:.0f} m along the line of play"
    return ""


def looks_yards(stated: StatedLength, length_m: float) -> bool:
    """Whether a number without a unit fits the line in yards and not in metres."""
    if stated.value_m is None or stated.has_unit:
        return False
    return CLOSE < stated.value_m / length_m - 1.0 < 0.13
