"""What a plan says of itself: the Committee and the Rules first, then what its numbers leave out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from strategy.course.model import Course
from strategy.player.model import Player
from strategy.week.firmness import sighting
from strategy.week.model import Week

CARD: Final = (
    "The Committee's hard card and local rules come first. Lightning, crowds and play around people: the "
    "officials decide."
)
RULE: Final = (
    "Made before the round. During it Rule 4.3 lets no device recommend a line or a club, and where Model "
    "Local Rule G-11 is in force it limits what may be carried: the Committee's word counts."
)
TABLE_ONLY: Final = (
    "What follows counts your own next shots down to 60 to 90 yards from the hole; nearer, distance "
    "and lie alone. That makes the short side of a green look as good as the fat side: where a plan "
    "finishes there, trust your eye."
)


def cautions(course: Course, week: Week) -> tuple[str, ...]:
    """What binds before the plan, then what its numbers leave out."""
    said = [
        CARD,
        RULE,
        "Distances traced from imagery are good to 2 or 3 yards: pace what matters.",
        TABLE_ONLY,
        "Trees do not stop a ball in these numbers: one that finishes among them counts as a recovery.",
        "Birdies and bogeys: the short game here neither holes out nor fluffs, real scores spread wider.",
    ]
    if any(w.speed_mps > 0.0 for r in week.rounds for w in r.wind):
        said.append(
            "Wind is read and shown; it is not in the numbers."
            if week.as_stated
            else "Wind is in the numbers as forecast; at the stroke it is taken to be off by a stated share. "
            '"Playing" is the player\'s own number for the carry that is asked for.'
        )
    if any(a.surface.penalty_area and not a.colour_known for hole in course.holes for a in hole.areas):
        said.append("Penalty areas without a colour are taken for red.")
    said.append("Beyond the mapped ground, 60 m round each hole, a ball is lost.")
    return tuple(said)


def assumed(player: Player) -> tuple[str, ...]:
    """What the player's file leaves to defaults, one line for each thing."""
    said = []
    every = len(player.practised)
    stated = sum(not s.spread.balls for s in player.practised)
    if stated:
        which = "every shot" if stated == every else f"{stated} of {every} shots"
        said.append(
            f"The scatter of {which} is stated or published, not measured: its own error is not in the costs."
        )
    if run := sum("run" in s.assumed for s in player.practised):
        said.append(f"The run of {run} of {every} shots is a default.")
    if turf := [s for s in player.practised if "carry off turf" in s.assumed]:
        clubs = ", ".join(dict.fromkeys(s.club for s in turf))
        shorter = 100.0 * (1.0 - turf[0].turf.carry)
        said.append(f"Off turf {clubs} taken {shorter:.0f} % shorter than off a tee; state your own number.")
    # What a shot has to say comes as a clause ("carry assumed: ...; state your own number").
    said += [note[:1].upper() + note[1:].rstrip(".") + "." for s in player.practised for note in s.notes]
    return tuple(said)


def stray_sightings(week: Week, numbers: Sequence[int], labels: Sequence[str]) -> tuple[str, ...]:
    """What was seen on a hole that the course does not have, and so counts nowhere; one line for each.

    Parameters
    ----------
    numbers : sequence of int
        Rounds that are planned.
    labels : sequence of str
        Holes of the course.
    """
    there = {label.casefold() for label in labels}
    written = [*week.firmness_seen, *(text for n in numbers for text in week.round(n).firmness_seen)]
    return tuple(
        f'firmness: "{text}" counts nowhere: there is no such hole'
        for text in dict.fromkeys(written)
        if (hole := sighting(text).hole) and hole.casefold() not in there
    )
