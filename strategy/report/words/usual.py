"""A hole in usual words: what a caddie reads in thirty seconds. Written from the facts alone.

::

    4  Mirror. Par 3, 187 yards, green 27 deep: 174 front, 187 middle, 201 back.
      Round 1. Wind 6 across from 4 o'clock. Hole 186. 7-iron, 181 to carry, playing 176: at the hole.
        Water: 166 to carry, room 15. Miss left; short is dead.

Sentences hold at most four numbers and 140 characters; `scripts/words` measures it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from strategy.course.edges import the_tee
from strategy.plan.document import Role
from strategy.report.words.facts import HoleFacts, PlanFact, RoundFacts, ShotFacts
from strategy.report.words.head_words import rounds_words
from strategy.report.words.lines import numbers_in, wrapped
from strategy.report.words.same import Shared, at_the_hole, shared
from strategy.report.words.shot_words import capital

DOUBTFUL: Final = 7  # weeks of ten in which an answer stays best, at most, to be called in doubt
MOST_NUMBERS: Final = 4  # of a sentence
AT_THE_HOLE: Final = 1  # whole yards or metres either way
_GREEN: Final = ("front", "middle", "back")


def usual_hole(hole: HoleFacts) -> list[str]:
    """The lines of one hole."""
    return [line for indent, text in usual_parts(hole) for line in wrapped(text, indent, hang="  ")]


def usual_parts(hole: HoleFacts) -> Iterator[tuple[str, str]]:
    """Paragraphs of one hole, each with its indent."""
    groups = shared(hole)
    green = same_green(hole)
    yield "", head_words(hole, green)
    for reason in hole.failed:
        yield "  ", f"Not planned: {reason}."
    for group in groups:
        yield from _group(group, alone=len(groups) == 1, green=bool(green))


def _group(group: Shared, *, alone: bool, green: bool) -> Iterator[tuple[str, str]]:
    if group.shots:
        tee, *then = group.shots
        when = "" if alone else f" ({rounds_words(tee.rounds).lower()})"
        words = [f"Tee{when}: {shot_words(tee, leaves=False)}"]
        words += [f"Then {shot_words(shot)}" for shot in then]
        yield "  ", " ".join(words)
    for part in group.rounds:
        yield "  ", " ".join(words for words in _round(part, group, green=green) if words)


def _round(part: RoundFacts, group: Shared, *, green: bool) -> Iterator[str]:
    yield f"{rounds_words(part.rounds)}. {wind_sentence(part)}".strip()
    if group.shots:
        tee = group.shots[0]
        yield leaves_sentence((tee.facts, *tee.others)[group.rounds.index(part)])
    for shot in part.shots:
        if shot.role is Role.TEE:
            if at_the_hole(shot):
                yield tee_green_words(shot, whole=not green)
        else:
            yield from_words(shot)
        yield turned_words(shot)
        yield shot_words(shot)


# --- the head ----------------------------------------------------------------------------------------


def same_green(hole: HoleFacts) -> tuple[PlanFact, ...]:
    """Front, middle and back from the tee, of a hole whose tee shot plays at the green from one place."""
    tees = [part.shots[0] for part in hole.rounds]
    if not tees or not all(at_the_hole(tee) for tee in tees):
        return ()
    found = [tuple(fact for kind in _GREEN if (fact := tee.get(kind)) is not None) for tee in tees]
    values = {tuple(fact.value for fact in facts) for facts in found}
    return found[0] if len(values) == 1 else ()


def head_words(hole: HoleFacts, green: Sequence[PlanFact] = ()) -> str:
    """What all rounds share: "4  Mirror. Par 3, 187, green 27 deep: 174 front, 187 middle, 201 back."."""
    par, deep = hole.every("par")[0], hole.every("deep")[0]
    title = f"{hole.label}  {hole.name}." if hole.name else f"{hole.label} "
    begin, end = f"Par {par.value}, {lengths_words(hole.every('length'))}", f", green {deep.value} deep."
    height = "".join(f", {up_words(rise)}" for rise in hole.every("height"))
    if numbers_in(f"{begin}{height}{end}") > MOST_NUMBERS:
        height = ""  # shots say it too
    words = f"{title} {begin}{height}{end}"
    return f"{words} {capital(', '.join(f'{f.value} {f.kind}' for f in green))}." if green else words


def up_words(rise: PlanFact) -> str:
    """A height: "8 up", "12 down"."""
    return f"{abs(int(rise.value))} {'up' if int(rise.value) > 0 else 'down'}"


def lengths_words(lengths: Sequence[PlanFact]) -> str:
    """The length from the markers in use: "187", "296 to 318", "415 from the back tee, ..."."""
    parts = []
    for tee in dict.fromkeys(fact.of for fact in lengths):
        values = sorted((int(f.value) for f in lengths if f.of == tee), reverse=True)
        told = f"{values[0]}" if len(values) == 1 else f"{values[-1]} to {values[0]}"
        parts.append(told if len({f.of for f in lengths}) == 1 else f"{told} from {the_tee(tee)}")
    return ", ".join(parts)


# --- one shot ----------------------------------------------------------------------------------------


def wind_sentence(part: RoundFacts) -> str:
    """Wind by the clock: "Wind 6 across from 4 o'clock, gusts 10."; "" where none is forecast."""
    wind, hour, way, gust = (part.get(kind) for kind in ("wind", "hour", "way", "gust"))
    if wind is None:
        return ""
    if hour is None or way is None:
        return "Calm."
    gusts = "" if gust is None else f", gusts {gust.value}"
    return f"Wind {wind.value} {way.value} from {hour.value} o'clock{gusts}."


def turned_words(shot: ShotFacts) -> str:
    """The wind of an approach that faces another way: "Wind now helping from 5 o'clock."."""
    hour, way = shot.get("hour"), shot.get("way")
    return "" if hour is None or way is None else f"Wind now {way.value} from {hour.value} o'clock."


def tee_green_words(shot: ShotFacts, *, whole: bool) -> str:
    """Front, middle, back and hole from the tee; the hole alone where the head has the others."""
    kinds = (*_GREEN,) if whole else ()
    parts = [f"{f.value} {f.kind}" for kind in kinds if (f := shot.get(kind)) is not None]
    hole = shot.get("hole")
    if hole is not None:
        parts.append(f"hole {hole.value}")
    return f"{capital(', '.join(parts))}."


def from_words(shot: ShotFacts) -> str:
    """Where an approach is played from: "From 125 front, 138 middle, 152 back, hole 141."."""
    words = tee_green_words(shot, whole=at_the_hole(shot)) if at_the_hole(shot) else front_words(shot)
    lie = shot.get("lie")
    return f"From {words[0].lower()}{words[1:-1]}{'' if lie is None else f', {lie.value}'}."


def front_words(shot: ShotFacts) -> str:
    """The front alone, of a shot that stays short of the green."""
    front = shot.get("front")
    return "" if front is None else f"{front.value} front."


def shot_words(shot: ShotFacts, *, leaves: bool = True) -> str:
    """Club, number, aim; trouble and its room; gusts; the miss; one alternative; what it leaves."""
    none = shot.get("no shot")
    if none is not None:
        return f"No shot: {none.value}."
    words = [answer_words(shot), *more_words(shot, leaves=leaves)]
    return " ".join(words)


def more_words(shot: ShotFacts, *, leaves: bool = True) -> list[str]:
    """What is said behind club, number and aim, a sentence each."""
    words = [*ground_sentences(shot), *trouble_sentences(shot), gust_sentence(shot), miss_sentence(shot)]
    words += [drop_sentence(shot), other_sentence(shot), sure_sentence(shot)]
    if leaves:
        words.append(leaves_sentence(shot.facts))
    return [w for w in words if w]


def answer_words(shot: ShotFacts) -> str:
    """Club, number and aim: one sentence, or two where it would have too many numbers."""
    number, aim = capital(number_words(shot)), aim_words(shot)
    before = rounds_words(shot.rounds) if shot.others else ""  # "Tee (rounds 1 and 2): "
    many = numbers_in(f"{before} {number} {aim}") > MOST_NUMBERS
    return f"{number}. {capital(aim)}." if many else f"{number}: {aim}."


def number_words(shot: ShotFacts) -> str:
    """Club and number: "7-iron, 181 to carry, playing 176"; in several rounds "281 to 286 to carry"."""
    label = shot.get("shot")
    carries = [int(f.value) for f in shot.over("carry")]
    low, high = min(carries), max(carries)
    carry = f"{low} to carry" if low == high else f"{low} to {high} to carry"
    parts = ["" if label is None else str(label.value), carry]
    if not shot.others:
        rise, plays = shot.get("rise"), shot.get("playing")
        if rise is not None:
            parts.append(up_words(rise))
        if plays is not None:
            parts.append(f"playing {plays.value}")
    return ", ".join(parts)


def aim_words(shot: ShotFacts) -> str:
    """One aim: at something that is seen, or so many off the middle or the hole."""
    start, side, past = (shot.get(kind) for kind in ("start", "side", "past"))
    if start is not None:
        return f"start at {start.value}"
    if side is None or past is None:
        return "at the hole"
    across, along = int(side.value), int(past.value)
    over = f"{abs(across)} {'right' if across > 0 else 'left'} of"
    if side.of != "hole":
        middle = "the middle" if side.of == "fairway" else "the line of play"
        return f"finish {over} {middle}" if across else f"at {middle}"
    if max(abs(across), abs(along)) <= AT_THE_HOLE:
        return "at the hole"
    deep = f"{abs(along)} {'past' if along > 0 else 'short'}"
    if not across:
        return f"finish {deep}{'' if along > 0 else ' of'} the hole"
    return f"finish {over} the hole" + (f", {deep}" if along else "")


def ground_sentences(shot: ShotFacts) -> Iterator[str]:
    """What the ground does: a landing that is not seen, the cover of a false front, a slope underfoot."""
    if shot.get("hidden") is not None:
        yield "Landing out of sight."
    if (land := shot.get("land")) is not None:
        yield f"False front: land {land.value} or more."
    if shot.others:
        return
    if (aim := shot.get("stance aim")) is not None:
        by = int(aim.value)
        yield f"Ball {aim.of} the feet: aim {abs(by)} {'left' if by > 0 else 'right'} for it."
    if (number := shot.get("stance number")) is not None:
        by = int(number.value)
        yield f"{capital(number.of)} lie: {abs(by)} {'more' if by > 0 else 'less'}, in the number."


def trouble_sentences(shot: ShotFacts) -> Iterator[str]:
    """What is cleared and by how much, what is not, and what is out of reach."""
    for fact in shot.every("cleared"):
        rooms = [int(f.value) for f in shot.over("room", fact.of)]
        if rooms and len({f.value for f in shot.over("cleared", fact.of)}) == 1:
            more = " or more" if len(set(rooms)) > 1 else ""
            yield f"{capital(fact.of)}: {fact.value} to carry, room {min(rooms)}{more}."
    open_ones = [f"{f.of} from {f.value}" for f in shot.every("open")]
    open_ones += [f"{_short(f.of)} {f.value}".strip() for f in shot.every("beside")]
    if open_ones:
        yield f"Not cleared: {', '.join(open_ones[:4])}."
    elif (beyond := shot.get("beyond")) is not None and shot.stroke == 1 and not shot.others:
        yield f"{capital(beyond.of)} at {beyond.value}: out of reach."


def _short(name: str) -> str:
    return "out" if name == "out of bounds" else name


def gust_sentence(shot: ShotFacts) -> str:
    """Gusts in one clause: "Lull 4-iron, gust 3-wood.", "Gusts 180 to 172: play 176."."""
    if shot.others:
        return ""
    lull, gust = shot.get("lull shot"), shot.get("gust shot")
    parts = [] if lull is None else [f"lull {lull.value}"]
    parts += [] if gust is None else [f"gust {gust.value}"]
    if parts:
        return f"{capital(', '.join(parts))}."
    low, high, settled = (shot.get(kind) for kind in ("lull", "in gusts", "commit"))
    if low is None or high is None or settled is None:
        return ""
    plays = shot.get("playing")
    same = plays is not None and plays.value == settled.value  # then it was said
    return f"Gusts {low.value} to {high.value}{'' if same else f': play {settled.value}'}."


def miss_sentence(shot: ShotFacts) -> str:
    """One miss, and what is dead: "Miss left; short is dead."."""
    miss, dead, bad = (shot.get(kind) for kind in ("miss", "dead", "not"))
    if miss is None:
        return ""
    if dead is not None:
        return f"Miss {miss.value}; {dead.value} is {dead.of or 'dead'}."
    if bad is None:
        return f"Miss {miss.value}."
    return f"Miss {miss.value}, not {bad.value}{f' ({bad.of})' if bad.of else ''}."


def sure_sentence(shot: ShotFacts) -> str:
    """How sure the answer is, where it is not: "Sure in 6 of 10: hangs on the wind."."""
    sure, hangs_on = shot.get("sure"), shot.get("hangs on")
    if sure is None or hangs_on is None or shot.others or int(sure.value) > DOUBTFUL:
        return ""
    return f"Sure in {sure.value} of 10: hangs on the {hangs_on.value}."


def drop_sentence(shot: ShotFacts) -> str:
    """A drop that is better than the shot."""
    drop = shot.get("drop")
    return "" if drop is None else f"Better unplayable: drop {drop.value} away."


def other_sentence(shot: ShotFacts) -> str:
    """One alternative; of several rounds only what is even in all of them."""
    even = shot.over("even")
    if even and len({f.value for f in even}) == 1:
        return f"{capital(str(even[0].value))} is even."
    costs = shot.over("costs")
    if costs and len({f.of for f in costs}) == 1:
        least = min(costs, key=lambda f: float(f.value))
        more = " or more" if len({f.value for f in costs}) > 1 else ""
        return f"{capital(least.of)} costs {least.value}{more}."
    return ""


def leaves_sentence(facts: Sequence[PlanFact]) -> str:
    """What is left to the front and the clubs that follow: "Leaves 150 to 188 front: 9-iron to 153, ..."."""
    by = {fact.kind: fact for fact in facts}
    low, high = by.get("leaves from"), by.get("leaves to")
    if low is None or high is None:
        return ""
    span = f"{low.value} to {high.value}" if low.value != high.value else f"{low.value}"
    clubs = then_words(facts)
    if not clubs:
        return f"Leaves {span} front."
    words = f"{', '.join(clubs[:-1])}, then {clubs[-1]}" if len(clubs) > 1 else clubs[0]
    if len(clubs) <= 3:  # two of them have a distance: with the leaves, four numbers
        return f"Leaves {span} front: {words}."
    return f"Leaves {span} front. {capital(words)}."


def then_words(facts: Sequence[PlanFact]) -> list[str]:
    """Clubs that follow a tee shot, each with the distance to the front that it is played to."""
    found: list[tuple[str, str]] = []
    for fact in facts:
        if fact.kind not in ("then", "then to"):
            continue
        to = f" to {fact.value}" if fact.kind == "then to" else ""
        if found and found[-1][0] == fact.of:
            found.pop()
        found.append((fact.of, to))
    return [f"{label}{to}" for label, to in found]
