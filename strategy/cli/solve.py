"""`course-strategy solve`: one hole counted through to the cup, with a sheet of contours."""

from __future__ import annotations

from pathlib import Path

import click

from strategy.cli.common import UNITS
from strategy.cli.strays import say_strays


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
    say_strays(read, when)
    bench, _ = laid_out(read, who, when, hole, round=number)
    here = bench.today
    tee = when.round(here.round).setup(bench.hole.label).tee
    unit_m = Units(units).metres
    found = solved(bench.hole, here, tee=tee, credit=read.credit, seed=seed, threads=2, unit_m=unit_m)
    click.echo(solved_text(found))
    path = out or Path("plans") / f"solved-{hole}.png"

    def drawn() -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_solved(found, contour_map(bench.hole, here, found.field), path)

    # The text stands whatever becomes of the picture.
    if reason := tried(drawn):
        click.echo(f"not drawn: hole {bench.hole.label}: {reason}", err=True)
    else:
        click.echo(f"Contours: {path}")
