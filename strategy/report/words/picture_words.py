"""What is written on a picture: the head, the answer, labels of the map and its rulers, the foot.

Facts come from the plan document and the sheet; how a decision is said stands in `decision_words`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from strategy.course.edges import tee_words
from strategy.decide.option import Option
from strategy.plan.document import Decision, HolePlan, LocationPlan, Plan, Role, RoundPlan
from strategy.plan.drawing.outlines import HazardNumber
from strategy.plan.drawing.sheet import Sheet, WindAlong
from strategy.report.words.decision_words import Fact, answer, say
from strategy.report.words.head_words import markers_words
from strategy.report.words.lengths import Units
from strategy.units import MPH_MPS

OSM_CREDIT: Final = "Map data © OpenStreetMap contributors, ODbL, openstreetmap.org/copyright."
# The R&A and USGA, Rule 4.3a, clarification on green-reading materials: 3/8 inch to 5 yards or smaller, on a
# page of 4.25 x 7 in or smaller. This page is larger whatever the scale.
GREEN_SCALE: Final = 480


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerAnswer:
    """An answer as it stands beside the left ruler: club and shot, and the number below them."""

    shot: tuple[str, ...]
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureWords:
    """What is written on the picture of one decision, but for the numbers on its map.

    Attributes
    ----------
    label, name : str
        Of the hole; the name is left out where no font has its letters.
    title, below : str
        The first line of the head, behind the name, and the second one.
    wind : str
        The third one.
    sentences : tuple of str
        The answer.
    counts : str
        Where twenty balls go, and what they leave.
    answers : tuple of RulerAnswer
        Beside the left ruler, in the order of `Sheet.aims`.
    from_tee : bool
        Distances are counted off the tee.
    about : str
        Course and player.
    credit : str
        Of the data.
    """

    label: str
    name: str
    title: str
    below: str
    wind: str
    sentences: tuple[str, ...]
    counts: str
    answers: tuple[RulerAnswer, ...]
    from_tee: bool
    about: str
    credit: str


def picture_words(
    plan: Plan,
    hole: HolePlan,
    markers: RoundPlan,
    location: LocationPlan,
    decision: Decision,
    sheet: Sheet,
    units: Units,
) -> PictureWords:
    """What is written on the picture of a decision of a plan."""
    from_tee = decision.role is Role.TEE
    if from_tee:
        where = f"{units.whole(markers.length_m)} {units.short}"
        tee = ", ".join(filter(None, (tee_words(markers.tee), markers_words(markers.up_m, units))))
    else:
        where, tee = f"from {units.whole(decision.green.front_m)} front, {decision.spot.lie.said}", ""
    below = (rounds_words(markers.rounds), tee, f"hole {location.cut.text}" if location.cut.text else "")
    return PictureWords(
        label=hole.label,
        name=hole.name,
        title=f"par {hole.par} · {where}",
        below=" · ".join(filter(None, below)),
        wind=wind_words(sheet.wind, counts=sheet.wind_counts),
        sentences=(answer(decision, units), *say(decision, units, (Fact.SHORT_SIDE,))),
        counts=" ".join(say(decision, units, (Fact.COUNTS, Fact.LEAVES))),
        answers=tuple(ruler_answer(planned.option, units) for planned in decision.answers),
        from_tee=from_tee,
        about=" · ".join(filter(None, (plan.course, plan.player))),
        credit=plan.credit,
    )


def rounds_words(rounds: Sequence[int]) -> str:
    """Rounds in words.

    >>> rounds_words((2,)), rounds_words((1, 3)), rounds_words((1, 2, 3))
    ('Round 2', 'Rounds 1 and 3', 'Rounds 1, 2 and 3')
    """
    *others, last = map(str, rounds)
    return f"Rounds {', '.join(others)} and {last}" if others else f"Round {last}"


def ruler_answer(option: Option, units: Units) -> RulerAnswer:
    """An option as it stands beside the left ruler."""
    shot = "" if option.label == option.club else option.shot
    return RulerAnswer(shot=tuple(filter(None, (option.club, shot))), number=f"{units.whole(option.carry_m)}")


def wind_words(wind: WindAlong | None, *, counts: bool) -> str:
    """Wind as a caddie says it.

    >>> wind = WindAlong(speed_mps=4.1, gust_mps=6.3, into_mps=3.6, from_right_mps=-2.1, clock=11)
    >>> wind_words(wind, counts=False)
    "wind 9 into, from 11 o'clock, gusts 14 (not in the numbers yet)"
    """
    if wind is None:
        return "wind: calm, or none given"
    main, cross = abs(wind.into_mps), abs(wind.from_right_mps)
    way = ("into" if wind.into_mps > 0.0 else "helping") if main > cross else "across"
    speed, gust = wind.speed_mps / MPH_MPS, wind.gust_mps / MPH_MPS
    gusts = f", gusts {gust:.0f}" if gust > speed + 0.5 else ""
    note = "" if counts else " (not in the numbers yet)"
    return f"wind {speed:.0f} {way}, from {wind.clock} o'clock{gusts}{note}"


def hazard_words(number: HazardNumber, units: Units) -> list[tuple[str, bool]]:
    """Lines of a hazard's label, each with whether it is an origin: numbers over where they come from."""
    line = ", on this line" if number.own_line else ""
    lines: list[tuple[str, bool]] = []
    for word, value, origin in (
        ("reach", number.reach_m, number.reach_origin),
        ("carry", number.carry_m, number.carry_origin),
    ):
        if value is None:
            continue
        if lines and lines[-1] == (origin + line, True):
            lines.pop()  # both from the same: said once, below
        lines += [(f"{word} {units.whole(value)}", False), (origin + line, True)]
    return lines


def strip_origin(sheet: Sheet) -> str:
    """What the strip counts left and right from: "middle" of the fairway, "line", "hole"."""
    return {"fairway": "middle"}.get(sheet.zero[0], sheet.zero[0])


def even_words(sheet: Sheet, units: Units) -> str:
    """Where the shot may finish as well: "even: 6 to 16 left of the middle"."""
    low, high = (units.whole(side - sheet.zero[1]) for side in sheet.even)
    return f"even: {between(low, high)} of the {strip_origin(sheet)}"


def between(low: int, high: int) -> str:
    """A stretch from side to side, right positive.

    >>> between(-16, -6), between(-9, 12), between(3, 3)
    ('6 to 16 left', '9 left to 12 right', '3 right')
    """
    if low == high:
        return "0" if low == 0 else f"{abs(low)} {'left' if low < 0 else 'right'}"
    if low < 0 < high:
        return f"{-low} left to {high} right"
    return f"{min(abs(low), abs(high))} to {max(abs(low), abs(high))} {'left' if low < 0 else 'right'}"


def credit_words(credit: str) -> str:
    """Credit line of a picture: OpenStreetMap's full address where the data come from there."""
    if "openstreetmap contributors" in credit.casefold():
        return OSM_CREDIT
    return "Invented hole." if "invented" in credit.casefold() else credit


def use_words(scale: float) -> str:
    """Whether a page that maps a green 1 to so much may be carried: size and scale have a limit."""
    large = f"scale 1:{scale:.0f}" if scale < GREEN_SCALE else "page over 4.25 x 7 in"
    return f"Maps a green ({large}): not for use during a round."
