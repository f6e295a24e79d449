"""Numbers that the long text adds to its sentences, from the facts that the short texts are made of."""

from __future__ import annotations

from typing import Final

from strategy.plan.document import Decision, LocationPlan, RoundPlan
from strategy.report.words.facts import ShotFacts, turned_facts, wind_facts
from strategy.report.words.shot_words import capital
from strategy.report.words.usual import (
    aim_words,
    drop_sentence,
    gust_sentence,
    leaves_sentence,
    miss_sentence,
    number_words,
    other_sentence,
)

_GREEN: Final = ("front", "middle", "back")


def figures_words(shot: ShotFacts, *, aim: bool = False, said: str = "") -> str:
    """Carry, the green from the ball, and all trouble.

    ::

        7-iron, 181 to carry; 174 front, 187 middle, 201 back, hole 186. Water: 166 to carry, room 15.

    With `aim` also where it is aimed and the rest: of a shot that was said for several rounds at once.
    The carry is left out where the sentence before, `said`, has it.
    """
    parts = [f"{f.value} {f.kind}" for kind in _GREEN if (f := shot.get(kind)) is not None]
    hole = shot.get("hole")
    if hole is not None:
        parts.append(f"hole {hole.value}")
    green = ", ".join(parts)
    if shot.get("shot") is None:
        return f"{capital(green)}."
    number = capital(number_words(shot))
    words = [f"{capital(green)}." if number in said else f"{number}; {green}."]
    if aim:
        words.append(f"{capital(aim_words(shot))}.")
    words += trouble_words(shot)
    if aim:
        words += [gust_sentence(shot), miss_sentence(shot), drop_sentence(shot), other_sentence(shot)]
        words.append(leaves_sentence(shot.facts))
    return " ".join(w for w in words if w)


def trouble_words(shot: ShotFacts) -> list[str]:
    """All trouble of one shot: what it clears, what not, what is out of reach."""
    words = []
    for fact in shot.every("cleared"):
        room = shot.get("room", fact.of)
        told = "" if room is None else f", room {room.value}"
        words.append(f"{capital(fact.of)}: {fact.value} to carry{told}.")
    open_ones = [f"{f.of} from {f.value}" for f in shot.every("open")]
    open_ones += [f"{f.of} {f.value}".strip() for f in shot.every("beside")]
    if open_ones:
        words.append(f"Not cleared: {', '.join(open_ones)}.")
    words += [f"{capital(f.of)} at {f.value}: out of reach." for f in shot.every("beyond")]
    return words


def clock_words(plan: RoundPlan, location: LocationPlan) -> str:
    """The wind off the tee by the clock: "across from 4 o'clock, gusts 10"; "" where there is none."""
    facts = {f.kind: f.value for f in wind_facts(plan, location.tee)}
    if "hour" not in facts:
        return ""
    gusts = f", gusts {facts['gust']}" if "gust" in facts else ""
    return f"{facts['way']} from {facts['hour']} o'clock{gusts}"


def turned_wind(plan: RoundPlan, location: LocationPlan, decision: Decision) -> str:
    """The wind of a shot that faces another way than the tee shot: "Wind now helping from 5 o'clock."."""
    facts = {f.kind: f.value for f in turned_facts(plan, location.tee, decision)}
    return f"Wind now {facts['way']} from {facts['hour']} o'clock." if facts else ""
