"""What several commands say beside their answer, on standard error."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from strategy.course.model import Course
    from strategy.week.model import Week


def say_strays(course: Course, week: Week) -> None:
    """Name what the week says of holes that the course does not have: a slip would go unseen."""
    from strategy.plan.cautions import strays

    labels = tuple(hole.label for hole in course.holes)
    for text in strays(week, tuple(played.number for played in week.rounds), labels):
        click.echo(f"{', '.join(week.files)}: {text}", err=True)
