"""Firmness as it was seen, in a caddie's words: "7-iron released 4 paces", "driver ran 18".

::

    [hole 7:] CLUB [, SHOT] released | ran | rolled | spun back | stopped  NUMBER [paces]  [on the green]
    [hole 7:] CLUB [, SHOT] from rough came out  85 %

"released", "spun back" and "stopped" are said of greens, "ran" and "rolled" of fairways, unless the ground is
named. What was seen on one hole counts for that hole alone. What a ball out of the rough says of the lies
there: `strategy.outcome.sightings`.
"""

from __future__ import annotations

import re
from typing import Final

from strategy.codes import Surface
from strategy.tomlfile import fault, within
from strategy.units import LENGTHS_M, PACES_M
from strategy.week.model import Sighting

_UNITS: Final = {**PACES_M, **LENGTHS_M}
_GROUND: Final = {
    "green": Surface.GREEN,
    "fairway": Surface.FAIRWAY,
    "first cut": Surface.FIRST_CUT,
    "rough": Surface.ROUGH,
}
_RUN: Final = re.compile(
    r"(?P<club>.+?)\s+(?P<verb>released|ran(?: on)?|rolled(?: out)?|spun back|came back|stopped(?: dead)?)"
    rf"(?:\s+(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>{'|'.join(_UNITS)})?)?"
    r"(?:\s+on (?:the |a )?(?P<ground>green|fairway|first cut|rough))?",
    re.IGNORECASE,
)
_OUT: Final = re.compile(
    r"(?P<club>.+?)\s+from (?:the )?rough\s+(?:came out|went|carried|flew)\s+(?P<number>\d+(?:\.\d+)?)\s*"
    r"(?:%|per cent)",
    re.IGNORECASE,
)
_HOLE: Final = re.compile(r"hole\s+(?P<hole>\w+)\s*[:,]\s*(?P<rest>.+)", re.IGNORECASE)
_SAMPLE: Final = 'Write "7-iron released 4 paces", "driver ran 18" or "9-iron from rough came out 85 %"'


def parse_sighting(text: str) -> Sighting:
    """Read one.

    Raises
    ------
    PydanticCustomError
        The fault of a validator, when it cannot be read or cannot be meant.

    Examples
    --------
    >>> seen = parse_sighting("hole 7: driver ran 18")
    >>> seen.club, seen.hole, seen.surface.label, round(seen.run_m, 2)
    ('driver', '7', 'fairway', 16.46)
    >>> parse_sighting("9-iron from rough came out 85 %").carry_share
    0.85
    """
    words = " ".join(text.split())
    placed = _HOLE.fullmatch(words)
    hole, rest = (placed["hole"], placed["rest"]) if placed else ("", words)
    out = _OUT.fullmatch(rest)
    if out:
        percent = within(float(out["number"]), 30.0, 130.0, "%", "Write what it carried, as 85 %")
        return Sighting(
            text=text, club=out["club"], hole=hole, surface=Surface.ROUGH, carry_share=percent / 100.0
        )
    run = _RUN.fullmatch(rest)
    if not run:
        raise fault(f'is "{text}", which says no run', _SAMPLE)
    verb = run["verb"].casefold()
    if run["number"] is None and not verb.startswith("stopped"):
        raise fault(f'is "{text}", without how far', _SAMPLE)
    unit = (run["unit"] or "pace").casefold()
    number = within(float(run["number"] or 0.0), 0.0, 90.0, unit, "Write how far it went on", [])
    sign = -1.0 if "back" in verb else 1.0
    fairway = verb.startswith(("ran", "rolled"))
    ground = _GROUND[run["ground"].casefold()] if run["ground"] else None
    return Sighting(
        text=text,
        club=run["club"].strip(" ,"),
        hole=hole,
        surface=ground or (Surface.FAIRWAY if fairway else Surface.GREEN),
        run_m=sign * number * _UNITS[unit],
    )
