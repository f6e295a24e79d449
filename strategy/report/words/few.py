"""A hole in few words: one line a shot, 80 characters at most, fit to be copied by hand.

::

    4 R1     7-iron 181 (176): at the hole; water 166, room 15; miss left
    13 R1-3  driver 286: 6 right of the middle; not right bunkers 278
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from strategy.plan.document import Role
from strategy.report.words.facts import HoleFacts, ShotFacts
from strategy.report.words.same import shared
from strategy.report.words.usual import aim_words, number_words

WIDE: Final = 80


def few_hole(hole: HoleFacts) -> list[str]:
    """One line for each shot of a hole."""
    lines = []
    for group in shared(hole):
        lines += [few_shot(hole.label, shot) for shot in group.shots]
        for part in group.rounds:
            lines += [few_shot(hole.label, shot) for shot in part.shots]
    lines += [f"{hole.label} not planned"[:WIDE] for _ in hole.failed]
    return lines


def few_shot(label: str, shot: ShotFacts) -> str:
    """Where, club, number and aim; then trouble, the miss and the gust as far as there is room."""
    where = f"{label} R{_rounds(shot.rounds)}"
    front = shot.get("front")
    if shot.role is not Role.TEE and front is not None:
        where += f" {front.value} front"
    if (none := shot.get("no shot")) is not None:
        return f"{where}  no shot: {none.value}"[:WIDE]
    club = number_words(shot).replace(" to carry", "").replace(", playing ", " plays ")
    aim = aim_words(shot).removeprefix("finish ").removeprefix("start at ")
    line = f"{where}  {club}: {aim}"
    for shorter in (f"{where}  {club}: {aim.replace(' of the hole', '')}", f"{where}  {club}"):
        if len(line) > WIDE:
            line = shorter
    line = line[:WIDE]
    for words in _more(shot):
        if len(line) + len(words) + 2 <= WIDE:
            line += f"; {words}"
    return line


def _more(shot: ShotFacts) -> Iterator[str]:
    if (land := shot.get("land")) is not None:
        yield f"land {land.value} or more"
    for fact in shot.every("cleared")[:1]:
        rooms = [int(f.value) for f in shot.over("room", fact.of)]
        if rooms:
            yield f"{fact.of} {fact.value}, room {min(rooms)}"
    for fact in shot.every("open"):
        yield f"not {fact.of} {fact.value}"
    for fact in shot.every("beside"):
        yield f"not {fact.of} {fact.value}".strip()
    miss, dead, bad = (shot.get(kind) for kind in ("miss", "dead", "not"))
    if miss is not None:
        worst = dead or bad
        yield f"miss {miss.value}" + ("" if worst is None else f", not {worst.value}")
    if not shot.others:
        for kind, word in (("lull shot", "lull"), ("gust shot", "gust")):
            if (fact_ := shot.get(kind)) is not None:
                yield f"{word} {fact_.value}"


def _rounds(numbers: tuple[int, ...]) -> str:
    """Rounds in short: "1", "1-3", "1,3"."""
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]}-{numbers[-1]}"
    return ",".join(str(n) for n in numbers)
