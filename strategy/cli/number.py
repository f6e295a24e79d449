"""`course-strategy number`: the number a shot is playing, from plain numbers or from a place on a course."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

import click

from strategy.cli.common import UNITS
from strategy.cli.unknown_holes import warn_of_unknown_holes
from strategy.errors import RequestError

if TYPE_CHECKING:
    from strategy.player.model import Player
    from strategy.report.words.lengths import Units

T = TypeVar("T")
_PLAIN: Final = (
    "front",
    "on",
    "wind",
    "up",
    "down",
    "temperature",
    "height",
    "pressure",
    "firmness",
    "stimp",
)
_COURSE: Final = ("course", "week", "hole", "origin", "number", "pin")
_WORDS: Final = {"origin": "from", "number": "round"}


@click.command("number")
@click.argument("player", type=click.Path(path_type=Path))
@click.option("--front", metavar="N", help="To the front of the green.")
@click.option("--on", metavar="N", help="From the front to the hole.  [default: 0]")
@click.option(
    "--wind", metavar="WORDS", help='"12 mph from the left", "8 mph into", "10 mph from 2 o\'clock".'
)
@click.option("--up", metavar="N", help="How far the green is above the ball; ft and m too.")
@click.option("--down", metavar="N", help="How far it is below.")
@click.option("--temperature", metavar="T", help='"90 F" or "32 C".  [default: as the carries were measured]')
@click.option("--height", metavar="H", help='Of the course above sea: "5000 ft".  [default: the same]')
@click.option("--pressure", metavar="P", help='At the course itself: "1009 hPa".  [default: of that height]')
@click.option("--firmness", multiple=True, metavar="SEEN", help='"7-iron released 4 paces"; repeat for more.')
@click.option("--stimp", type=float, metavar="FT", help="Green speed.  [default: 11]")
@click.option("--course", type=click.Path(path_type=Path), help="Course, with --week, --hole and --from.")
@click.option(
    "--week", type=click.Path(path_type=Path), help="Week file: wind, air, firmness, hole location."
)
@click.option("--hole", metavar="LABEL", help="As the course calls it.")
@click.option("--from", "origin", metavar="PLACE", help='tee, "142 front", or longitude,latitude.')
@click.option("--round", "number", type=int, help="Of the week.  [default: the first]")
@click.option("--pin", metavar="LOCATION", help='Another hole location: "14 on, 5 from the left".')
@click.option("--lie", default="", help="How the ball sits: fairway, rough, poor rough, jumper, sand ...")
@UNITS
def number(player: Path, lie: str, units: str, **given: object) -> None:
    """Print the number a shot is playing, cause by cause.

    Front and on make the hole number; less the run this shot will have; then wind, height, air and lie. Then
    the shots that fit it.

    From plain numbers: number PLAYER --front 142 --on 11 --wind "12 mph from the left".

    From a course: number PLAYER --course C --week W --hole 7 --from "142 front".
    """
    on_course = [k for k in _COURSE if given[k]]
    plain = [k for k in _PLAIN if given[k] not in (None, ())]
    if on_course and plain:
        raise RequestError(
            f"{_options(plain)}: plain numbers, but with {_options(on_course)} they come from course "
            "and week. Give the one or the other."
        )
    missing = [k for k in ("course", "week", "hole", "origin") if not given[k]] if on_course else []
    if missing:
        raise RequestError(
            f"{_options(on_course)}: of a course, but {_options(missing)} not given. Add that too."
        )
    if not on_course and given["front"] is None:
        raise RequestError(
            "nothing to work from. Give --front and --on, or --course, --week, --hole and --from."
        )
    from strategy.player import read_player
    from strategy.report.words.lengths import Units

    who = read_player(player)
    answer = _from_course if on_course else _from_plain
    click.echo(answer(who, lie, Units(units), given), nl=False)


def _options(keys: list[str]) -> str:
    names = [f"--{_WORDS.get(k, k)}" for k in keys]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _from_course(player: Player, lie: str, units: Units, given: dict[str, object]) -> str:
    from strategy.course import read_course
    from strategy.plan.number_on_course import number_on_course
    from strategy.report.words.number_text import asked_text
    from strategy.week import read_week

    course, week = read_course(str(given["course"])), read_week(str(given["week"]))
    warn_of_unknown_holes(course, week)
    which = given["number"]
    asked = number_on_course(
        course,
        player,
        week,
        str(given["hole"]),
        str(given["origin"]),
        round=which if isinstance(which, int) else None,
        pin=str(given["pin"] or ""),
        lie=lie,
        unit_m=units.metres,
    )
    return asked_text(asked, player.name, units, credit=course.credit)


def _from_plain(player: Player, lie: str, units: Units, given: dict[str, object]) -> str:
    from strategy import quantity
    from strategy.codes import Lie
    from strategy.plan.ask import lie_of
    from strategy.plan.number import the_number
    from strategy.plan.plain_day import plain_day, taken_for_granted
    from strategy.report.words.number_text import plain_text
    from strategy.week.firmness import parse_sighting
    from strategy.week.relative import parse_relative_wind

    def read(key: str, reader: Callable[[str], T], otherwise: T) -> T:
        return otherwise if given[key] is None else _read(key, reader, str(given[key]))

    front = read("front", lambda t: quantity.to_front(t, units.metres), 0.0)
    on = read("on", lambda t: quantity.on(t, front, units.metres), 0.0)
    if given["up"] is not None and given["down"] is not None:
        raise RequestError("--up and --down: the green is above the ball or below it. Give one of them.")
    up = read("up", lambda t: quantity.rise(t, units.metres), 0.0)
    down = read("down", lambda t: quantity.rise(t, units.metres), 0.0)
    speed, wind_from = read("wind", parse_relative_wind, (0.0, 0.0))
    seen = given["firmness"]
    firmness = tuple(str(s) for s in seen) if isinstance(seen, tuple) else ()
    stated = lie_of(lie)
    day = plain_day(
        player,
        speed_mps=speed,
        wind_from=wind_from,
        temperature_c=read("temperature", quantity.temperature, None),
        height_m=read("height", quantity.height, None),
        pressure_hpa=read("pressure", quantity.pressure, None),
        stimp_ft=read("stimp", lambda t: quantity.stimp(float(t)), None),
        sightings=tuple(_read("firmness", parse_sighting, text) for text in firmness),
    )
    unsaid = {k for k in _PLAIN if given[k] in (None, ())} | ({"lie"} if stated is None else set())
    answer = the_number(
        player,
        day,
        front_m=front,
        on_m=on,
        lie=Lie.FAIRWAY if stated is None else stated,
        rise_m=up - down,
        assumptions=taken_for_granted(player, day, unsaid),
    )
    return plain_text(answer, player.name, units)


def _read(key: str, reader: Callable[[str], T], text: str) -> T:
    """The value of an option. A fault of its text is raised as a `RequestError` that names the option."""
    from pydantic_core import PydanticCustomError

    try:
        return reader(text)
    except PydanticCustomError as fault:
        context = fault.context or {}
        parts = [str(p) for p in (context.get("wrong", fault), context.get("mend", "")) if p]
        raise RequestError(f"--{key}: " + " ".join(p if p[-1] in "?." else f"{p}." for p in parts)) from None
