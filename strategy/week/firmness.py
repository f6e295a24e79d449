"""Reads how firm the ground is from a caddie's words: "7-iron released 4 paces", "driver ran 18".

::

    [hole 7:] CLUB [, SHOT] released | ran | rolled | spun back | stopped  NUMBER [paces]  [on the green]
    [hole 7:] CLUB [, SHOT] from rough came out  85 %

"released", "spun back" and "stopped" are about greens, "ran" and "rolled" about fairways, unless the text
names the ground. A sighting on one hole counts for that hole only. `strategy.outcome.sightings` uses the
sightings.
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
_FROM_ROUGH: Final = re.compile(
    r"(?P<club>.+?)\s+from (?:the )?rough\s+(?:came out|went|carried|flew)\s+(?P<number>\d+(?:\.\d+)?)\s*"
    r"(?:%|per cent)",
    re.IGNORECASE,
)
_HOLE: Final = re.compile(r"hole\s+(?P<hole>\w+)\s*[:,]\s*(?P<rest>.+)", re.IGNORECASE)
_SAMPLE: Final = 'Write "7-iron released 4 paces", "driver ran 18" or "9-iron from rough came out 85 %"'


def parse_sighting(text: str) -> Sighting:
    """Read one sighting.

    Raises
    ------
    PydanticCustomError
        If the text cannot be read, or its number is not plausible.

    Examples
    --------
    >>> sighting = parse_sighting("hole 7: driver ran 18")
    >>> sighting.club, sighting.hole, sighting.surface.label, round(sighting.run_m, 2)
    ('driver', '7', 'fairway', 16.46)
    >>> parse_sighting("9-iron from rough came out 85 %").carry_share
    0.85
    """
    words = " ".join(text.split())
    on_hole = _HOLE.fullmatch(words)
    hole, rest = (on_hole["hole"], on_hole["rest"]) if on_hole else ("", words)
    from_rough = _FROM_ROUGH.fullmatch(rest)
    if from_rough:
        percent = within(float(from_rough["number"]), 30.0, 130.0, "%", "Write what it carried, as 85 %")
        return Sighting(
            text=text, club=from_rough["club"], hole=hole, surface=Surface.ROUGH, carry_share=percent / 100.0
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
    usual = Surface.FAIRWAY if verb.startswith(("ran", "rolled")) else Surface.GREEN
    ground = _GROUND[run["ground"].casefold()] if run["ground"] else None
    return Sighting(
        text=text,
        club=run["club"].strip(" ,"),
        hole=hole,
        surface=ground or usual,
        run_m=sign * number * _UNITS[unit],
    )
