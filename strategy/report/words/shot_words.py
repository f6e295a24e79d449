"""One option in words: club, shot, number, where it finishes and starts, what it carries.

::

    Driver, the fade, finish 6 right of the middle, start at the left edge of the far left bunker, 281 to
    carry it.
    7-iron, 156 to carry: finish 4 left of the hole, 3 past.
"""

from __future__ import annotations

from strategy.decide.option import Option
from strategy.plan.document import Decision, PlannedOption, Role
from strategy.plan.quoted import Finish, Quoted, Reach, Start, VisibleMark
from strategy.report.words.lengths import Units


def spoken(label: str) -> str:
    """A shot as it is said: a club that is called by a bare number gets an article.

    >>> spoken("7-iron"), spoken("56, half")
    ('7-iron', 'the 56, half')
    """
    return f"the {label}" if label.partition(",")[0].strip().isdecimal() else label


def capital(text: str) -> str:
    """The same with its first letter large; names that begin with a number stay.

    >>> capital("driver, the fade"), capital("7-iron")
    ('Driver, the fade', '7-iron')
    """
    return text[:1].upper() + text[1:]


def option_sentence(planned: PlannedOption, decision: Decision, units: Units = Units.YARDS) -> str:
    """Club, shot, number, aim of one option, as a sentence."""
    option, quoted = planned.option, planned.quoted
    if quoted is None:
        return f"{capital(spoken(option.label))}, {carry_words(option, units)}."
    at_green = quoted.finish.of == "hole"
    numbered = at_green or decision.role is not Role.TEE or not quoted.full or height_words(option, units)
    opening = capital(spoken(option.label))
    if numbered:
        opening += f", {carry_words(option, units)}"
    clauses = [f"finish {finish_words(quoted.finish, units)}"]
    if quoted.start is not None and (words := start_words(quoted.start, quoted.finish, units)):
        clauses.append(words)
    clauses += reach_words(quoted, units)
    return f"{opening}{':' if numbered else ','} {', '.join(clauses)}."


def finish_words(finish: Finish, units: Units) -> str:
    """Where the ball finishes: "6 right of the middle", "4 left of the hole, 3 past", "at the hole"."""
    side, past = units.whole(finish.side_m), units.whole(finish.past_m)
    across = "" if side == 0 else f"{abs(side)} {'right' if side > 0 else 'left'}"
    along = "" if past == 0 else f"{abs(past)} {'past' if past > 0 else 'short'}"
    match finish.of:
        case "hole":
            if across:
                return f"{across} of the hole" + (f", {along}" if along else "")
            return "at the hole" if not along else f"{along} {'the' if past > 0 else 'of the'} hole"
        case "fairway":
            return f"{across} of the middle" if across else "in the middle"
        case _:
            return f"{across} of the line" if across else "on the line"


def start_words(start: Start, finish: Finish, units: Units) -> str:
    """Where the ball starts: at a landmark, or so many off the middle or the hole, abreast of the finish.

    "" when it starts where it finishes and nothing marks that.
    """
    if start.landmark is not None:
        return f"start at {landmark_words(start.landmark)}"
    if not units.whole(start.side_m):
        return ""
    of = {"hole": "the hole", "fairway": "the middle"}.get(finish.of, "the line")
    side = units.whole(finish.side_m) + units.whole(start.side_m)
    return f"start {abs(side)} {'right' if side > 0 else 'left'} of {of}" if side else f"start at {of}"


def landmark_words(landmark: VisibleMark) -> str:
    """A landmark: "the left edge of the far left bunker", "the chimney"."""
    return f"the {landmark.part} of {landmark.name}" if landmark.part else landmark.name


def reach_words(quoted: Quoted, units: Units) -> list[str]:
    """Numbers of sand and water: first those of the thing the ball starts at, two at most."""
    words = []
    landmark = None if quoted.start is None else quoted.start.landmark
    for reach in quoted.reaches[:2]:
        own = landmark is not None and landmark.name == reach.what
        words.append(_reach(reach, units, own=own))
    return words


def _reach(reach: Reach, units: Units, *, own: bool) -> str:
    """One thing's numbers; of the thing just named as "it" or "them"."""
    again = "them" if reach.what.endswith("s") else "it"
    what = again if own else reach.what
    line = " on that line" if reach.own_line else ""
    to_reach = None if reach.reach_m is None else f"{units.whole(reach.reach_m)} to reach"
    to_carry = None if reach.carry_m is None else f"{units.whole(reach.carry_m)} to carry"
    match reach.kind:
        case "carry":
            return f"{to_carry} {what}{line}"
        case "reach":
            return f"{to_reach} {what}{line}"
        case "along":
            return f"and {again} all along" if own else f"{what} all along"
        case _:
            return f"{to_reach} {what} and {to_carry} {again}{line}"


def carry_words(option: Option, units: Units) -> str:
    """The number over the ground: "156 to carry", "156 to carry, playing 164", "156 to carry, 5 up"."""
    plays, carry = playing(option, units), f"{units.whole(option.carry_m)} to carry"
    words = (carry, height_words(option, units), "" if plays is None else f"playing {plays}")
    return ", ".join(filter(None, words))


def playing(option: Option, units: Units) -> int | None:
    """The player's own number behind a carry, where wind, height, air or lie take three or more off or on."""
    if option.plays_m is None:
        return None
    own = units.whole(option.plays_m)
    return own if abs(own - units.whole(option.carry_m)) >= 3 else None


def height_words(option: Option, units: Units) -> str:
    """How far above or below the ball it lands, from two on: "5 up", "12 down"; "" otherwise."""
    rise = units.whole(option.rise_m)
    return f"{abs(rise)} {'up' if rise > 0 else 'down'}" if abs(rise) >= 2 else ""
