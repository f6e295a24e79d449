"""Short words on a picture: wind, numbers of hazards, stretches, credit, use on the course."""

from __future__ import annotations

from typing import Final

from strategy.plan.drawing.outlines import HazardNumber
from strategy.plan.drawing.sheet import Sheet, WindFacts
from strategy.report.pictures.fonts import LEFT_OUT
from strategy.report.pictures.page import MAP
from strategy.units import INCH_M

OSM_CREDIT: Final = "Map data © OpenStreetMap contributors, ODbL, openstreetmap.org/copyright."
LEFT_OUT_WORDS: Final = (
    f"{LEFT_OUT} and names that are missing: no font here has their letters; see the text."
)
# The R&A and USGA, Rule 4.3a, clarification on green-reading materials: 3/8 inch to 5 yards or smaller, on a
# page of 4.25 x 7 in or smaller. This page is larger whatever the scale.
GREEN_SCALE: Final = 480
POINT_M: Final = INCH_M / 72.0


def wind_words(wind: WindFacts | None, *, counts: bool) -> str:
    """Wind as a caddie says it.

    >>> wind_words(WindFacts(speed=9.2, gust=14.1, into=8.0, from_right=-4.6, clock=11), counts=False)
    "wind 9 into, from 11 o'clock, gusts 14 (not in the numbers yet)"
    """
    if wind is None:
        return "wind: calm, or none given"
    main, cross = abs(wind.into), abs(wind.from_right)
    way = ("into" if wind.into > 0.0 else "helping") if main > cross else "across"
    gusts = f", gusts {wind.gust:.0f}" if wind.gust > wind.speed + 0.5 else ""
    note = "" if counts else " (not in the numbers yet)"
    return f"wind {wind.speed:.0f} {way}, from {wind.clock} o'clock{gusts}{note}"


def hazard_words(number: HazardNumber) -> list[tuple[str, bool]]:
    """Lines of a hazard's label, each with whether it is an origin: numbers over where they come from."""
    line = ", on this line" if number.own_line else ""
    lines: list[tuple[str, bool]] = []
    for word, value, origin in (
        ("reach", number.reach, number.reach_origin),
        ("carry", number.carry, number.carry_origin),
    ):
        if value is None:
            continue
        if lines and lines[-1] == (origin + line, True):
            lines.pop()  # both from the same: said once, below
        lines += [(f"{word} {value:.0f}", False), (origin + line, True)]
    return lines


def unit_words(unit_m: float) -> tuple[str, str]:
    """Short and long name of a unit of length.

    >>> unit_words(0.9144), unit_words(1.0)
    (('yd', 'yards'), ('m', 'metres'))
    """
    return ("m", "metres") if unit_m == 1.0 else ("yd", "yards")


def credit_words(credit: str) -> str:
    """Credit line of a picture: OpenStreetMap's full address where the data come from there."""
    if "openstreetmap contributors" in credit.casefold():
        return OSM_CREDIT
    return "Invented hole." if "invented" in credit.casefold() else credit


def use_words(sheet: Sheet) -> str:
    """Whether the page may be carried: a page that maps a green has a greatest size and scale."""
    if not sheet.green_shown:
        return ""
    scale = (sheet.window[3] - sheet.window[2]) * sheet.unit_m / ((MAP[1] - MAP[0]) * POINT_M)
    large = f"scale 1:{scale:.0f}" if scale < GREEN_SCALE else "page over 4.25 x 7 in"
    return f"Maps a green ({large}): not for use during a round."


def between(low: float, high: float) -> str:
    """A stretch from side to side in whole yards.

    >>> between(-16.2, -6.3), between(-9.0, 12.0), between(3.2, 3.4)
    ('6 to 16 left', '9 left to 12 right', '3 right')
    """
    a, b = round(low), round(high)
    if a == b:
        return "0" if a == 0 else f"{abs(a)} {'left' if a < 0 else 'right'}"
    if a < 0 < b:
        return f"{-a} left to {b} right"
    return f"{min(abs(a), abs(b))} to {max(abs(a), abs(b))} {'left' if a < 0 else 'right'}"
