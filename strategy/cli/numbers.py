"""`course-strategy numbers`: the distances of a hole from every tee and landmark, each with its origin."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import click

from strategy.cli.common import UNITS
from strategy.cli.unknown_holes import warn_of_unknown_holes

if TYPE_CHECKING:
    from strategy.arrays import FloatArray
    from strategy.course.model import Course, Hole, Landmark, Tee
    from strategy.week.model import Week


@click.command("numbers")
@click.argument("course")
@click.option("--hole", "labels", multiple=True, help="Hole, as the course calls it; all when left out.")
@click.option("--tee", "tees", multiple=True, help="Only from this tee or landmark.")
@click.option("--pin", default="", help='Hole location as a sheet writes it: "14 on, 5 from the left".')
@click.option("--week", "week_file", default="", help="Week file: markers in use and hole location.")
@click.option("--round", "number", default=1, show_default=True, help="Round of the week.")
@click.option("--player", "player_file", default="", help="Player file: fairway width where each shot lands.")
@click.option("--width", "at", multiple=True, type=float, help="Fairway width at this distance from the tee.")
@UNITS
def numbers(
    *,
    course: str,
    labels: tuple[str, ...],
    tees: tuple[str, ...],
    pin: str,
    week_file: str,
    number: int,
    player_file: str,
    at: tuple[float, ...],
    units: str,
) -> None:
    """Print what a caddie notes of a hole.

    To reach, to carry, run-outs, widths, front and back.

    COURSE is a folder with course.geojson, or an outline file. Measurements beside it count: see
    measurements.csv there. Demo courses stand in courses/ of the package.
    """
    from strategy.course import read_course
    from strategy.errors import RequestError
    from strategy.units import YARD_M

    for distance in at:
        if not 0.0 < distance < 1000.0:
            raise RequestError(f"--width {distance:g}: is no distance from a tee. Give one above 0.")
    if pin and week_file:
        raise RequestError("--pin and --week both say where the hole is cut. Give one of them.")
    if pin and len(labels) != 1:
        raise RequestError("--pin is the location of one hole. Name it with --hole.")
    read = read_course(course)
    week = _week(week_file)
    if week is not None:
        warn_of_unknown_holes(read, week)
    unit = 1.0 if units == "metres" else YARD_M
    widths = [("", distance * unit) for distance in at] + _carries(player_file)
    for position, hole in enumerate(_holes(read, labels)):
        view = _view(hole, tees, week, number)
        if position:
            click.echo()
        click.echo(_page(hole, view, pin=pin, widths=widths, metres=units == "metres"), nl=False)
    if read.credit:
        click.echo(f"\n{read.credit}")


def numbers_page(course: Course, week: Week, *, metres: bool = False) -> str:
    """The numbers of every hole as one page: from the tee of the first round and from each landmark."""
    first = week.rounds[0].number
    pages = [_page(hole, _view(hole, (), week, first), metres=metres) for hole in course.holes]
    return "\n".join([*pages, f"{course.credit}\n"] if course.credit else pages)


class _View(NamedTuple):
    """Where the numbers of a hole are counted from and to.

    Attributes
    ----------
    places : list or None
        Tees and landmarks the numbers are from; None for all of the hole.
    reference : str
        What "on" counts from ("line of play").
    location : str
        Hole location of the week; "" without a week.
    line : ndarray (n, 2) or None
        Line of play from the markers in use; None for the line as drawn. [m]
    stimp_ft : float or None
        Green speed of the week; None without a week. [ft]
    """

    places: list[Tee | Landmark] | None
    reference: str
    location: str
    line: FloatArray | None
    stimp_ft: float | None = None


def _page(
    hole: Hole, view: _View, *, pin: str = "", widths: list[tuple[str, float]] | None = None, metres: bool
) -> str:
    from strategy.course.numbers import default_widths, hole_numbers
    from strategy.report.words.numbers_text import numbers_text
    from strategy.units import YARD_M

    answer = hole_numbers(
        hole,
        sources=view.places,
        pin=pin or view.location,
        pin_line=view.line,
        widths=widths or default_widths(hole, 1.0 if metres else YARD_M),
        reference=view.reference,
        **({} if view.stimp_ft is None else {"stimp_ft": view.stimp_ft}),
    )
    return numbers_text(answer, metres=metres)


def _holes(course: Course, labels: tuple[str, ...]) -> list[Hole]:
    return [course.hole(label) for label in labels] if labels else list(course.holes)


def _week(file: str) -> Week | None:
    if not file:
        return None
    from strategy.week import read_week

    return read_week(file)


def _carries(file: str) -> list[tuple[str, float]]:
    """Name and carry of every shot from a tee of 150 m and more, the longest first. [m]"""
    if not file:
        return []
    from strategy.codes import Lie
    from strategy.player import read_player

    shots = [s for s in read_player(file).shots if Lie.TEE in s.lies and s.carry_m >= 150.0]
    return [(f"{s.club}, {s.name}", s.carry_m) for s in sorted(shots, key=lambda s: -s.carry_m)]


def _view(hole: Hole, tees: tuple[str, ...], week: Week | None, number: int) -> _View:
    """The tees and landmarks asked for, or the markers in use in a round of the week."""
    import dataclasses

    from strategy.course.edges import place_of
    from strategy.course.model import Tee

    places: list[Tee | Landmark] = [place_of(hole, name) for name in tees]
    if week is None:
        return _View(places or None, "line of play", "", None)
    from strategy.outcome.request import request
    from strategy.units import yards

    asked = request(hole, None, week, number)
    line = asked.line
    tee = place_of(hole, asked.tee or "tee")
    up = f", {yards(abs(asked.up_m)):.0f} yd {'up' if asked.up_m > 0.0 else 'back'}" if asked.up_m else ""
    name = f"{tee.name} tee in round {number}{up}"
    in_use = dataclasses.replace(tee, name=name, xy=(float(line[0, 0]), float(line[0, 1])))
    assert isinstance(in_use, Tee)
    return _View(
        places or [in_use, *hole.landmarks], week.front_reference, asked.location, line, week.stimp_ft
    )
