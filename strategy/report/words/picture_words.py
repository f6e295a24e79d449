"""What is written on a picture: the head, the answer, labels of the map and its rulers, the foot.

Facts come from the plan document and the sheet; how a decision is said stands in `decision_words`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from strategy.course.edges import tee_words
from strategy.decide.option import Option
from strategy.plan.document import Decision, HolePlan, LocationPlan, Plan, Role, RoundPlan
from strategy.plan.drawing.outlines import HazardNumber
from strategy.plan.drawing.sheet import Sheet, WindAlong
from strategy.report.words.decision_words import Fact, say
from strategy.report.words.facts import asked_facts
from strategy.report.words.head_words import markers_words, rounds_words
from strategy.report.words.lengths import Units
from strategy.report.words.same import at_the_hole
from strategy.report.words.shot_words import capital
from strategy.report.words.usual import aim_words, more_words, number_words, tee_green_words
from strategy.units import MPH_MPS

OSM_CREDIT: Final = "Map data © OpenStreetMap contributors, ODbL, openstreetmap.org/copyright."
# The R&A and USGA, Rule 4.3a, clarification on green-reading materials: 3/8 inch to 5 yards or smaller, on a
# page of 4.25 x 7 in or smaller. This page is larger whatever the scale.
GREEN_SCALE: Final = 480


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerAnswer:
    """An answer beside the left ruler: club and shot, and the number below them."""

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
    club, aim : str
        The answer: club and number, and where the ball goes.
    sentences : tuple of str
        What is said besides: trouble and its room, gusts, the miss, an alternative.
    counts : str
        Where twenty balls go.
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
    club: str
    aim: str
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
        where, tee = f"shot {decision.stroke}, {decision.spot.lie.said}", ""
    shot = asked_facts(decision, units, markers.rounds, plan.stock)
    greens = [tee_green_words(shot, whole=True)] if at_the_hole(shot) else []
    if not (greens or from_tee):
        where = f"from {units.whole(decision.green.front_m)} front, {decision.spot.lie.said}"
    below = (rounds_words(markers.rounds), tee, f"hole {location.cut.text}" if location.cut.text else "")
    return PictureWords(
        label=hole.label,
        name=hole.name,
        title=f"par {hole.par} · {where}",
        below=" · ".join(filter(None, below)),
        wind=wind_words(sheet.wind, counts=sheet.wind_counts),
        club=capital(number_words(shot).replace(" to carry", "").replace("playing ", "playing\u00a0")),
        aim=aim_words(shot),
        sentences=(*greens, *more_words(shot), *say(decision, units, (Fact.SHORT_SIDE,))),
        counts=" ".join(say(decision, units, (Fact.COUNTS,))),
        answers=tuple(ruler_answer(planned.option, units) for planned in decision.answers),
        from_tee=from_tee,
        about=" · ".join(filter(None, (plan.course, plan.player))),
        credit=plan.credit,
    )


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


def hazard_words(number: HazardNumber, units: Units) -> list[tuple[str, str]]:
    """Lines of a hazard's label, each with where its number comes from: ("carry 281", "traced")."""
    line = ", on the line of the shot" if number.own_line else ""
    numbers = (
        ("reach", number.reach_m, number.reach_origin),
        ("carry", number.carry_m, number.carry_origin),
    )
    return [
        (f"{word} {units.whole(value)}", origin + line)
        for word, value, origin in numbers
        if value is not None
    ]


MARKS: Final = "*†‡§"


def origin_marks(origins: Sequence[str]) -> dict[str, str]:
    """A mark for each origin but the most common one, which a footnote gives for all the rest.

    >>> origin_marks(["traced", "paced", "traced"])
    {'traced': '', 'paced': '*'}
    """
    count = Counter(origins)
    order = sorted(count, key=lambda origin: (-count[origin], list(count).index(origin)))
    return {origin: "" if k == 0 else MARKS[min(k, len(MARKS)) - 1] for k, origin in enumerate(order)}


def origins_note(marks: Mapping[str, str]) -> str:
    """The footnote for the numbers on the map: "Reach and carry are traced; * paced."; "" without numbers."""
    if not marks:
        return ""
    first, *others = marks
    return "; ".join([f"Reach and carry: {first}", *(f"{marks[o]} {o}" for o in others)]) + "."


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


def use_words(scale: float, *, carried: bool) -> str:
    """Whether a page that maps a green 1 to so much may be carried: size and scale have a limit."""
    if scale < GREEN_SCALE or not carried:
        large = f"scale 1:{scale:.0f}" if scale < GREEN_SCALE else "page over 4.25 x 7 in"
        return f"Maps a green ({large}): not for use during a round."
    return (
        f"Green 1:{scale:.0f} on 4.25 x 7 in, printed at full size: within Rule 4.3a. Where Local Rule G-11 "
        "holds it is not to be carried."
    )
