"""A warning that several commands print: the week names holes that the course does not have."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from strategy.course.model import Course
    from strategy.week.model import Week


def warn_of_unknown_holes(course: Course, week: Week) -> None:
    """Print what the week says of holes that the course does not have, since it is likely a slip.

    The warning goes to standard error, beside the answer.
    """
    from strategy.plan.cautions import strays

    labels = tuple(hole.label for hole in course.holes)
    for text in strays(week, tuple(played.number for played in week.rounds), labels):
        click.echo(f"{', '.join(week.files)}: {text}", err=True)
