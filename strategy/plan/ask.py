"""One shot: from the tee, from so far to the front, or from a place on the ground."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.codes import LIE_WORDS, Lie, Spot, Surface
from strategy.course.model import Course, Hole
from strategy.course.pins import pin_text
from strategy.course.playline import from_front
from strategy.errors import RequestError
from strategy.outcome.request import request
from strategy.outcome.today import HoleToday
from strategy.plan.advice.decision import Bench, bench_of, decide
from strategy.plan.advice.jump import may_lie
from strategy.plan.cautions import TABLE_ONLY, counted
from strategy.plan.codec import rounded
from strategy.plan.document import Decision, Role
from strategy.player.model import Player
from strategy.strokes.baseline import putts
from strategy.units import FOOT_M, YARD_M, yards
from strategy.week.model import Week

FORMS: Final = 'write "tee", a distance as "142 front", or longitude,latitude as "2.00123,54.50087"'
_FRONT: Final = re.compile(
    r"\s*(?P<n>\d+(?:\.\d+)?)\s*(?P<unit>yards?|yds?|yd|y|metres?|meters?|m)?\s*(?:to\s+(?:the\s+)?)?front\s*",
    re.IGNORECASE,
)
_LONLAT: Final = re.compile(r"\s*(?P<lon>-?\d+(?:\.\d+)?)\s*[,; ]\s*(?P<lat>-?\d+(?:\.\d+)?)\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What something was asked of.

    Attributes
    ----------
    location : str
        Hole location as a pin sheet prints it.
    given : bool
        The location was given, here or by the week; False = the middle of the green.
    """

    hole: str
    name: str
    par: int
    round: int
    location: str
    given: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedShot(Question):
    """One decision and what it was asked of.

    Attributes
    ----------
    assumptions : tuple of str
        What the numbers take for granted.
    counted : str
        How far the player's own next shots are counted.
    """

    assumptions: tuple[str, ...]
    decision: Decision
    counted: str = TABLE_ONLY


def ask(
    course: Course,
    player: Player,
    week: Week,
    hole: str,
    origin: str,
    *,
    round: int | None = None,  # noqa: A002  "round" is the word
    pin: str = "",
    lie: str = "",
    seed: int = 1,
    unit_m: float = YARD_M,
    need: int = 0,
) -> AskedShot:
    """Decide one shot.

    Parameters
    ----------
    course, player, week : Course, Player, Week
        As read.
    hole : str
        Label.
    origin : str
        "tee", "142 front", or "lon,lat".
    round : int, optional
        Of which the markers, and the hole location unless `pin` gives one, are used; the first by default.
    pin : str
        Hole location as on a sheet.
    lie : str
        How the ball sits; by default what the ground gives most often. "rough" is any lie of this week's
        rough, not seen yet, and "may jump" one that looks good and may be a jumper: one swing for all.
    seed : int
        Seed of all points.
    unit_m : float
        Unit of a distance to the front that names none. [m]
    need : int
        Strokes still allowed from there, to be told the shot with the greatest chance of it; 0 = not asked.

    Raises
    ------
    RequestError
        For a hole, round, lie or place that is not there, a ball in water, out of bounds or on the green.
    """
    bench, given = laid_out(course, player, week, hole, round=round, pin=pin)
    spot = place(bench, origin, lie, unit_m)
    field, _ = bench.lay_out(bench.today.hole, seed=seed)
    mix = unseen_lies(bench.today, lie)
    if mix and need:
        raise RequestError(
            f"the shot for {need} or better hangs on the lie: say with --lie how the ball lies"
        )
    if mix:
        spot = spot._replace(lie=next(iter(mix)))
    stroke = 1 if spot.lie == Lie.TEE else 2
    decision = decide(bench, field, spot, Role.ASKED, stroke, seed=seed, need=need, mix=mix)
    if not decision.options:
        raise RequestError(f"{decision.note}. Say how the ball lies with --lie.")
    return AskedShot(
        hole=bench.hole.label,
        name=bench.hole.name,
        par=bench.hole.par,
        round=bench.today.round,
        location=location(bench),
        given=given,
        assumptions=bench.today.assumptions,
        decision=rounded(decision),
        counted=counted(player),
    )


def laid_out(
    course: Course,
    player: Player,
    week: Week,
    hole: str,
    *,
    round: int | None = None,  # noqa: A002
    pin: str = "",
) -> tuple[Bench, bool]:
    """One hole set up as it was asked for, and whether its location was given; parameters of `ask`."""
    chosen = course.hole(hole)
    number = week.rounds[0].number if round is None else week.round(round).number
    asked = request(chosen, player, week, number, pin=pin, labels=tuple(h.label for h in course.holes))
    if asked.pin is not None:
        return bench_of(asked), True
    x, y = asked.line[-1]
    return bench_of(asked.at((float(x), float(y)))), False


def location(bench: Bench) -> str:
    """The hole location of a bench as its sheet gives it, else as a sheet would print it."""
    if bench.sheet:
        return bench.sheet
    here = bench.today
    return pin_text(bench.hole, here.line, here.hole, reference=bench.week.front_reference)


def place(bench: Bench, origin: str, lie: str, unit_m: float = YARD_M) -> Spot:
    """Where a shot is played from, as the user wrote it; see `ask`."""
    hole, here = bench.hole, bench.today
    stated = lie_of(lie)
    if origin.strip().casefold() == "tee":
        return Spot(*here.tee, Lie.TEE if stated is None else stated)
    if (match := _FRONT.fullmatch(origin)) is not None:
        unit = {"y": YARD_M, "m": 1.0, "": unit_m}[(match["unit"] or "").lower()[:1]]
        x, y = from_front(hole.green, here.line, float(match["n"]) * unit, bench.week.front_reference)
        _refuse(hole, here, (x, y), origin)
        return Spot(x, y, Lie.FAIRWAY if stated is None else stated)
    if (match := _LONLAT.fullmatch(origin)) is not None:
        return _on_ground(hole, here, origin, float(match["lon"]), float(match["lat"]), stated)
    raise RequestError(f"hole {hole.label}: {origin!r} is no place to play from; {FORMS}")


def _on_ground(hole: Hole, here: HoleToday, origin: str, lon: float, lat: float, stated: Lie | None) -> Spot:
    if not (-180.0 <= lon <= 180.0 and -90.0 <= lat <= 90.0):
        raise RequestError(f"hole {hole.label}: {origin!r} is no longitude,latitude in degrees; {FORMS}")
    x, y = (float(v) for v in here.frame.to_xy((lon, lat))[0])
    if int(here.surface_at((x, y))[0]) == Surface.OFF_MAP:
        away = _far(here, (x, y))
        raise RequestError(
            f"hole {hole.label}: {origin!r} lies beyond the mapped ground, {away} from the hole: "
            f"a ball there is lost.{_swapped(here, lon, lat)}"
        )
    _refuse(hole, here, (x, y), origin)
    surface = int(here.surface_at((x, y))[0])
    return Spot(x, y, Lie(int(np.argmax(here.lie_chance[surface]))) if stated is None else stated)


def _far(here: HoleToday, xy: tuple[float, float]) -> str:
    away = yards(float(np.hypot(xy[0] - here.hole[0], xy[1] - here.hole[1])))
    return f"{away:.0f} yd" if away < 5_000.0 else "miles"


def _swapped(here: HoleToday, lon: float, lat: float) -> str:
    """A hint where the two numbers the other way round would lie on the hole."""
    if abs(lon) > 90.0:
        return ""
    swapped = here.frame.to_xy((lat, lon))[0]
    if not np.isfinite(swapped).all() or int(here.surface_at(swapped)[0]) == Surface.OFF_MAP:
        return ""
    return " Are the two numbers swapped? Longitude comes first"


def _refuse(hole: Hole, here: HoleToday, xy: tuple[float, float], origin: str) -> None:
    """No shot is decided from water, from out of bounds, or on the green."""
    surface = Surface(int(here.surface_at(xy)[0]))
    name = f"hole {hole.label}: {origin!r}"
    if surface.penalty_area:
        colour = "yellow" if surface is Surface.YELLOW else "red"
        raise RequestError(f"{name} lies in a {colour} penalty area; give the place of the drop")
    if surface is Surface.OUT:
        raise RequestError(f"{name} is out of bounds; play again from where the stroke was played")
    if surface is Surface.OFF_MAP:
        raise RequestError(f"{name} lies beyond the mapped ground: a ball there is lost")
    if surface is Surface.GREEN:
        away = float(np.hypot(xy[0] - here.hole[0], xy[1] - here.hole[1]))
        raise RequestError(
            f"{name} is on the green, {away / FOOT_M:.0f} ft from the hole: it is a putt, "
            f"{float(putts(away, here.level)):.2f} on average"
        )


def lie_of(text: str) -> Lie | None:
    """A lie as it is said; None = not said."""
    if not text:
        return None
    lies = LIE_WORDS.get(text.strip().casefold())
    if lies is None:
        raise RequestError(f"lie {text!r} is unknown; use one of: {', '.join(LIE_WORDS)}")
    return lies[0]


def unseen_lies(here: HoleToday, text: str) -> dict[Lie, float] | None:
    """Chances of the lies that the words leave open; None where they say one lie, or the week has only one.

    Raises
    ------
    RequestError
        For a ball that may jump in a week without jumpers.
    """
    lies = LIE_WORDS.get(text.strip().casefold(), ())
    if len(lies) < 2:
        return None
    mix = may_lie(here, lies)
    if Lie.ROUGH_POOR not in lies and Lie.JUMPER not in mix:
        raise RequestError(
            f"hole {here.label}: no ball jumps this week ([rough] jumper is 0); "
            'give --lie "good rough" or "poor rough"'
        )
    return mix if len(mix) > 1 else None
