"""`course-strategy solve`: one hole counted through to the cup, with a sheet of contours."""

from __future__ import annotations

from pathlib import Path

import click

from strategy.cli.common import UNITS
from strategy.cli.unknown_holes import warn_of_unknown_holes


@click.command()
@click.argument("course", type=click.Path(path_type=Path))
@click.argument("player", type=click.Path(path_type=Path))
@click.argument("week", type=click.Path(path_type=Path))
@click.option("--hole", required=True, metavar="LABEL", help="As the course calls it.")
@click.option("--round", "number", type=int, help="Whose markers and hole location.  [default: the first]")
@click.option("--out", type=click.Path(path_type=Path), help="Picture.  [default: plans/solved-LABEL.png]")
@UNITS
@click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, help="The same seed, the same answer."
)
def solve(
    course: Path, player: Path, week: Path, hole: str, number: int | None, out: Path | None,
    units: str, seed: int,
) -> None:  # fmt: skip
    """Count one hole through to the cup.

    Every following shot is this player's own best.

    Prints the tee options both ways (counted through, and by the published table), the strokes along the
    line of play, and draws their contours.
    """
    from strategy.course import read_course
    from strategy.plan.ask import laid_out
    from strategy.plan.solved import contour_map, solved
    from strategy.player import read_player
    from strategy.report.pictures.solved import write_solved
    from strategy.report.pictures.write import tried
    from strategy.report.words.lengths import Units
    from strategy.report.words.solved_text import solved_text
    from strategy.week import read_week

    read, who, when = read_course(course), read_player(player), read_week(week)
    warn_of_unknown_holes(read, when)
    bench, _ = laid_out(read, who, when, hole, round=number)
    here = bench.today
    tee = when.round(here.round).setup(bench.hole.label).tee
    unit_m = Units(units).metres
    answer = solved(bench.hole, here, tee=tee, credit=read.credit, seed=seed, threads=2, unit_m=unit_m)
    click.echo(solved_text(answer))
    path = out or Path("plans") / f"solved-{hole}.png"

    def draw() -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_solved(answer, contour_map(bench.hole, here, answer.field), path)

    # If the picture fails, the text is already printed.
    if reason := tried(draw):
        click.echo(f"not drawn: hole {bench.hole.label}: {reason}", err=True)
    else:
        click.echo(f"Contours: {path}")
