"""What a plan says of itself: the Committee and the Rules first, then what its numbers leave out."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Final

from strategy.ball.air import Air, air
from strategy.codes import Lie, Surface
from strategy.course.model import Course, short_list
from strategy.outcome.weather import Weather
from strategy.player.model import Player
from strategy.strokes.putting import Putting
from strategy.units import FOOT_M, YARD_M
from strategy.week.model import Week

CARD: Final = (
    "The Committee's hard card and local rules come first. Lightning, crowds and play around people: the "
    "officials decide."
)
RULE: Final = (
    "Made before the round. During it Rule 4.3 lets no device recommend a line or a club, and where Model "
    "Local Rule G-11 is in force it limits what may be carried: the Committee's word counts."
)
TO_THE_CUP: Final = (
    "What follows counts your own next shots down to the cup. Shots round the green and putts are those of "
    "your level, unless your file says how yours differ."
)
TABLE_ONLY: Final = (
    "What follows counts your own next shots down to 60 to 90 yards from the hole; nearer, distance "
    "and lie alone. That makes the short side of a green look as good as the fat side: where a plan "
    "finishes there, trust your eye."
)
HIGHER_M: Final = 5.0 * YARD_M
USUAL_M: Final = 150.0 * YARD_M
PUTT_M: Final = 20.0 * FOOT_M
FALL: Final = 0.03


def counted(player: Player) -> str:
    """How far the player's own next shots are counted."""
    return TO_THE_CUP if any(s.short for s in player.shots) else TABLE_ONLY


def cautions(course: Course, week: Week, player: Player) -> tuple[str, ...]:
    """What binds before the plan, then what its numbers leave out, and what is not known."""
    lines = [
        CARD,
        RULE,
        "Distances traced from imagery are good to 2 or 3 paces: pace off what matters.",
        counted(player),
        *_trees(course),
        *_heights(course, week, player),
    ]
    if any(w.speed_mps > 0.0 for r in week.rounds for w in r.wind):
        lines.append(
            "Wind is read and shown; it is not in the numbers."
            if week.as_stated
            else "Wind is in the numbers as forecast; at the stroke it is taken to be off by a stated share. "
            '"Playing" is the player\'s own number for the carry that is asked for.'
        )
    if any(a.surface.penalty_area and not a.colour_known for hole in course.holes for a in hole.areas):
        lines.append("Penalty areas without a colour are taken for red.")
    lines.append("Beyond the mapped ground, 60 m round each hole, a ball is lost.")
    return tuple(lines)


def _trees(course: Course) -> list[str]:
    bare = sum(not any(a.surface == Surface.TREES for a in hole.areas) for hole in course.holes)
    lines = []
    if bare < len(course.holes):
        lines.append(
            "Trees stop a ball by their outlines, heights and branches, and let some through: the share is "
            "taken, not known. What is not drawn stops nothing."
        )
    if bare:
        where = "any hole" if bare == len(course.holes) else f"{bare} of {len(course.holes)} holes"
        lines.append(f"No trees are drawn on {where}: if trees stand there, the plan is too bold.")
    return lines


def _heights(course: Course, week: Week, player: Player) -> list[str]:
    """What it costs not to know the ground: numbers and putts, for this player."""
    flat = sum(hole.heights is None for hole in course.holes)
    if not flat:
        return []
    where = "The heights of the ground are" if flat == len(course.holes) else f"Heights on {flat} holes are"
    iron, longer = _longer(player)
    model = Putting(week.stimp_ft, player.level)
    putt = float(model.expected(PUTT_M, FALL, 0.0) - model.expected(PUTT_M, FALL, 180.0))
    article = "an" if iron.startswith("8") else "a"
    number = f"with {article} {iron} a green 5 yards higher plays {longer / YARD_M:.0f} longer"
    putts = f"on a green that falls 3 % that hides {putt:.2f} of a putt from 20 ft"
    return [
        f"{where} not known and taken for flat: {number}, and above the hole counts as below it; {putts}."
    ]


def _longer(player: Player) -> tuple[str, float]:
    """A club, and how much longer a green `HIGHER_M` above the ball is playing with it, as `number` says. [m]

    The stock shot that carries nearest to 150 yards off the fairway.
    """
    from strategy.plan.number import the_number

    stock = [s for s in player.shots if s.stock and not s.short and Lie.FAIRWAY in s.lies]
    iron = min(stock or player.shots, key=lambda s: (s.short, abs(s.carry_m - USUAL_M)))
    measured = air(player.measured_temperature_c, player.measured_height_m)
    day = Weather(wind=None, air=Air(float(measured.density), float(measured.viscosity)))
    alone = dataclasses.replace(player, shots=(dataclasses.replace(iron, lies=frozenset({Lie.FAIRWAY})),))
    number = the_number(alone, day, front_m=iron.carry_m, on_m=0.0, rise_m=HIGHER_M)
    return iron.club, number.height_m


def assumed(player: Player) -> tuple[str, ...]:
    """What the player's file leaves to defaults, one line for each thing."""
    lines = []
    every = len(player.practised)
    stated = sum(not s.spread.balls for s in player.practised)
    if stated:
        which = "every shot" if stated == every else f"{stated} of {every} shots"
        lines.append(
            f"The scatter of {which} is stated or published, not measured: its own error is not in the costs."
        )
    if run := sum("run" in s.assumed for s in player.practised):
        lines.append(f"The run of {run} of {every} shots is a default.")
    if turf := [s for s in player.practised if "carry off turf" in s.assumed]:
        clubs = ", ".join(dict.fromkeys(s.club for s in turf))
        shorter = 100.0 * (1.0 - turf[0].turf.carry)
        lines.append(f"Off turf {clubs} taken {shorter:.0f} % shorter than off a tee; state your own number.")
    # What a shot has to say comes as a clause ("carry assumed: ...; state your own number").
    lines += [note[:1].upper() + note[1:].rstrip(".") + "." for s in player.practised for note in s.notes]
    return tuple(lines)


def strays(week: Week, numbers: Sequence[int], labels: Sequence[str]) -> tuple[str, ...]:
    """What a week says of holes that the course does not have; one line for each place in it.

    Parameters
    ----------
    numbers : sequence of int
        Rounds that are planned.
    labels : sequence of str
        Holes of the course.
    """
    holes = {label.casefold() for label in labels}
    named: dict[str, list[str]] = {"shelter": list(week.shelter)}
    named |= {f"round {n}, [rounds.holes]": list(week.round(n).holes) for n in numbers}
    texts = [
        f"{where}: there is no hole {short_list(gone)} on this course; what is said of it counts nowhere"
        for where, names in named.items()
        if (gone := [label for label in names if label not in labels])
    ]
    sightings = [*week.sightings, *(one for n in numbers for one in week.round(n).sightings)]
    texts += [
        f'firmness: "{one.text}" counts nowhere: there is no such hole'
        for one in dict.fromkeys(sightings)
        if one.hole and one.hole.casefold() not in holes
    ]
    return tuple(texts)
