"""Lengths as the outlines state them: `dist` of a hole, and `dist:white` and the like by tee.

`dist` is in metres unless it names a unit (OpenStreetMap wiki, Key:dist); a number without a unit that is
1.09 times too long is in yards.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from strategy.units import FOOT_M, LENGTHS_M

CLOSE: Final = 0.06
_UNITS: Final = {**LENGTHS_M, "'": FOOT_M}
_LENGTH: Final = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z']*)")


@dataclass(frozen=True, slots=True)
class StatedLength:
    """One stated length.

    Attributes
    ----------
    tee : str
        As the key names it ("white"); "" for the hole as such.
    text : str
        As written.
    value_m : float or None
        None when it cannot be read. [m]
    unit : bool
        It names its unit.
    """

    tee: str
    text: str
    value_m: float | None
    unit: bool


def stated_lengths(tags: Mapping[str, str]) -> tuple[StatedLength, ...]:
    """Every length that a hole's tags state, `dist` first.

    >>> [(s.tee, s.value_m) for s in stated_lengths({"dist:red": "300", "dist": "350 yd", "par": "4"})]
    [('', 320.04), ('red', 300.0)]
    """
    found = []
    for key in sorted(k for k in tags if k == "dist" or k.startswith("dist:")):
        text = tags[key].strip()
        value, unit = parse_length(text)
        found.append(StatedLength(key.partition(":")[2], text, value, unit))
    return tuple(found)


def parse_length(text: str) -> tuple[float | None, bool]:
    """A length in metres and whether it names its unit; of a list the first.

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


def judge(stated: StatedLength, length_m: float) -> str:
    """What a stated length says against the length along the line of play; "" when they agree.

    >>> judge(StatedLength("", "383", 383.0, False), 350.0)
    'dist=383 is 9 % longer than the line: is it in yards?'
    >>> judge(StatedLength("", "350", 350.0, False), 350.0)
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
    if stated.value_m is None or stated.unit:
        return False
    return CLOSE < stated.value_m / length_m - 1.0 < 0.13
