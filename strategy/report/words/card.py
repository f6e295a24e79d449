"""The course on a card: a line a hole, hole locations, wind by the hour, totals, where most is at stake."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from strategy.plan.document import HolePlan, LocationPlan, Plan, Role, RoundPlan
from strategy.plan.scores import at_stake
from strategy.report.words.facts import hole_facts
from strategy.report.words.head_words import round_words, rounds_words, wind_words
from strategy.report.words.lengths import Units
from strategy.report.words.lines import wrapped

_TEE: Final = 27  # columns
_THEN: Final = 26


def card_text(plan: Plan, units: Units = Units.YARDS, rounds: Sequence[int] = ()) -> list[str]:
    """The lines of the card.

    ::

           par length  off the tee                leaves  then                         R1   R2   R3   R4
        1  4   431     driver 268-300             93-163  sand wedge/8-iron          3.93 4.15 4.01 3.91
    """
    numbers = [n for n in _rounds(plan) if not rounds or n in rounds]
    lines = [_row(("", "par", "length", "off the tee", "leaves", "then"), [f"R{n}" for n in numbers])]
    for k, hole in enumerate(plan.holes):
        there = _there(hole, numbers)
        if any(location.tee.options for _, location in there.values()):
            lines.append(_hole(plan, k, units, there, numbers))
    lines += ["", "Hole locations"]
    lines += [
        f"  {hole.label:<4}{_locations(_there(hole, numbers), numbers)}".rstrip() for hole in plan.holes
    ]
    lines.append("")
    for n in numbers:
        lines += wrapped(" ".join(_round(plan, n)), hang="  ")
    return lines


def _rounds(plan: Plan) -> list[int]:
    return sorted({n for hole in plan.holes for part in hole.rounds for n in part.rounds})


def _there(hole: HolePlan, numbers: Sequence[int]) -> dict[int, tuple[RoundPlan, LocationPlan]]:
    """The first location of each round of a hole."""
    return {
        n: (part, part.locations[0])
        for part in hole.rounds
        if part.locations
        for n in part.rounds
        if n in numbers
    }


def _row(words: Sequence[str], scores: Sequence[str]) -> str:
    label, par, length, tee, leaves, then = words
    start = f"{label:<3}{par:<4}{length:<8}"
    rest = f"{tee:<{_TEE}}{leaves:<8}{then:<{_THEN}}" if leaves or then else f"{tee:<{_TEE + 8 + _THEN}}"
    return (start + rest + "".join(f" {score:>4}" for score in scores)).rstrip()


def _hole(
    plan: Plan,
    position: int,
    units: Units,
    there: dict[int, tuple[RoundPlan, LocationPlan]],
    numbers: Sequence[int],
) -> str:
    facts = hole_facts(plan, position, units, tuple(numbers))
    tees = [part.shots[0] for part in facts.rounds if part.shots[0].get("shot") is not None]
    clubs: dict[str, list[int]] = {}
    for tee in tees:
        shot, carry = tee.get("shot"), tee.get("carry")
        if shot is not None and carry is not None:
            clubs.setdefault(str(shot.value), []).append(int(carry.value))
    off = ", ".join(f"{club} {_span(carries)}" for club, carries in clubs.items())
    room = _TEE if any(tee.get("leaves from") is not None for tee in tees) else _TEE + 8 + _THEN
    if len(off) >= room:
        off = ", ".join(f"{club.partition(',')[0]} {_span(carries)}" for club, carries in clubs.items())
    if len(off) >= room:
        off = f"{off[: room - 5]} ..."
    ends = [int(f.value) for tee in tees for kind in ("leaves from", "leaves to") for f in tee.every(kind)]
    follow = [
        (int(front.value), str(shot.value).partition(",")[0])
        for part in facts.rounds
        for s in part.shots
        if s.role is Role.MIDDLE
        and (front := s.get("front")) is not None
        and (shot := s.get("shot")) is not None
    ]
    names = list(dict.fromkeys(name for _, name in sorted(follow)))
    then = names[0] if len(names) == 1 else f"{names[0]}/{names[-1]}"[:_THEN] if names else ""
    words = (
        facts.label,
        str(plan.holes[position].par),
        _span([int(f.value) for f in facts.every("length")]),
        off,
        _span(ends) if ends else "",
        then,
    )
    scores = []
    for n in numbers:
        located = there.get(n)
        known = located is not None and located[1].tee.options
        scores.append(f"{located[1].tee.first.strokes:.2f}" if located is not None and known else "")
    return _row(words, scores)


def _span(values: Sequence[int]) -> str:
    low, high = min(values), max(values)
    return f"{low}" if low == high else f"{low}-{high}"


def _locations(there: dict[int, tuple[RoundPlan, LocationPlan]], numbers: Sequence[int]) -> str:
    """Hole locations in short: "17 on 13 R"."""
    return "".join(f"{_short(there[n][1].cut.text) if n in there else '':<14}" for n in numbers)


def _short(text: str) -> str:
    """A location in short.

    >>> _short("17 on, 13 from the right"), _short("20 on, centre")
    ('17 on, 13 R', '20 on, C')
    """
    short = text.replace(" from the right", " R").replace(" from the left", " L")
    return short.replace("centre", "C")


def _round(plan: Plan, number: int) -> Iterator[str]:
    scores = next((s for s in plan.round_scores if s.round == number), None)
    yield f"{rounds_words((number,))}." if scores is None else round_words(scores)
    most = at_stake(plan.holes, number)
    if len(most) == 2 and len(plan.holes) > len(most):
        yield f"Most is at stake on {most[0]} and {most[1]}."
    if words := _by_hour(plan, number):
        yield f"Wind in mph: {words}."


def _by_hour(plan: Plan, number: int) -> str:
    """The wind of a round by the hour: "8:00 5 WSW, 9:00 7 SW"."""
    winds = [w for hole in plan.holes for part in hole.rounds for w in part.winds if w.round == number]
    hours: dict[int, str] = {}
    for wind in sorted((w for w in winds if w.hour is not None), key=lambda w: w.hour or 0.0):
        words = wind_words(wind.speed_mps, wind.blows_from).replace(" mph from the ", " ")
        hours.setdefault(int(wind.hour or 0.0), words)
    told: list[str] = []
    for hour, words in hours.items():
        if not told or not told[-1].endswith(f" {words}"):
            told.append(f"{hour}:00 {words}")
    return ", ".join(told)
