"""What a place on a course is playing: `strategy.plan.number` asked of a hole, a round and a place."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from strategy.codes import Surface
from strategy.course.model import Course
from strategy.course.pins import green_numbers, parse_pin
from strategy.outcome.play import Choice, stance_of
from strategy.plan.ask import Question, laid_out, location, place
from strategy.plan.number import PlayingNumber, the_number
from strategy.player.model import Player
from strategy.units import YARD_M
from strategy.week.model import Week


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedNumber(Question):
    """A number on a course, and what it was asked of."""

    number: PlayingNumber


def number_on_course(
    course: Course,
    player: Player,
    week: Week,
    hole: str,
    origin: str,
    *,
    round: int | None = None,  # noqa: A002  "round" is the word
    pin: str = "",
    lie: str = "",
    unit_m: float = YARD_M,
) -> AskedNumber:
    """What a place on a course is playing; parameters and errors as of `strategy.plan.ask.ask`."""
    bench, given = laid_out(course, player, week, hole, round=round, pin=pin)
    here = bench.today
    spot = place(bench, origin, lie, unit_m)
    at, flag = np.array([spot.x, spot.y]), np.array(here.hole)
    away = float(np.hypot(*(flag - at)))
    along = (flag - at) / max(away, 1e-9)
    day = here.day
    sheet = location(bench)
    numbers = green_numbers(bench.hole, here.line, (spot.x, spot.y), reference=week.front_reference)
    on = parse_pin(sheet)[0]
    # The sheet gives whole paces: on the line, front and on are the hole number, as a caddie adds them.
    number = numbers.front_m + on
    to_hole = number if abs(away - number) < YARD_M else away
    assumptions = [a for a in (day.said if day else ()) if "fairways" not in a]
    if here.height is None:
        assumptions.append("no heights known, so ball and hole level")
    elif bench.hole.heights is None:
        assumptions.append("heights known of the green alone: the ground short of it level with its edge")
    if day is None:
        assumptions.append("every shot as the player states it, whatever the wind and the air")
    low, high = here.height_at(np.stack((at, flag)))
    heading = float(np.degrees(np.arctan2(along[0], along[1]))) % 360.0
    found = the_number(
        player,
        day,
        front_m=numbers.front_m,
        on_m=on,
        hole_m=to_hole,
        lie=spot.lie,
        heading=heading,
        rise_m=float(high - low),
        lands_on=lambda d: Surface(int(here.surface_at(at + d * along)[0])),
        assumptions=tuple(assumptions),
        shots=here.shots,
        from_slope=here.shots_from(spot),
        least_m=here.least_landing_from(spot),
    )
    stroke = Choice(found.fits[0].shot, heading, found.hole_m + found.land_short_m)
    return AskedNumber(
        hole=here.label,
        name=bench.hole.name,
        par=here.par,
        round=here.round,
        location=sheet,
        given=given,
        number=dataclasses.replace(found, stance=stance_of(here, spot, stroke)),
    )
