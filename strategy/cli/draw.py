"""`course-strategy draw`: pictures of shots of a plan, in the size that is wanted."""

from __future__ import annotations

from pathlib import Path

import click

from strategy.cli.common import JOBS, OUT, SEED, UNITS, plan_folder, progress, sources


@click.command()
@sources
@click.option("--hole", "holes", multiple=True, metavar="LABEL", help="Repeat for more.  [default: all]")
@click.option(
    "--round", "rounds", multiple=True, type=int, help="Repeat for more.  [default: the first of the week]"
)
@click.option(
    "--shot",
    "shots",
    multiple=True,
    type=click.Choice(["tee", "approach"]),
    help="The tee shot, or what follows it.  [default: both]",
)
@click.option(
    "--size",
    type=click.Choice(["print", "phone", "carry"]),
    default="print",
    show_default=True,
    help="5.5 x 9 in; 390 px wide for a screen; or 4.25 x 7 in with greens smaller than 1:480, which may be "
    "carried in a round (Rule 4.3a).",
)
@OUT
@UNITS
@SEED
@JOBS
def draw(
    *, course: Path, player: Path, week: Path, holes: tuple[str, ...], rounds: tuple[int, ...],
    shots: tuple[str, ...], size: str, out: Path | None, units: str, seed: int, jobs: int | None,
) -> None:  # fmt: skip
    """Draw shots of a plan of COURSE for PLAYER in WEEK.

    The pictures stand in pictures/ of the plan folder. What is kept there is drawn as it is; a hole and round
    that is not planned yet, or was planned from other files, is planned first.
    """
    from strategy.course import read_course
    from strategy.plan import plan_course
    from strategy.player import read_player
    from strategy.report.pictures.chosen import SHOTS, PicturedShot, Pictures
    from strategy.report.pictures.write import write_pictures
    from strategy.report.words.lengths import Units
    from strategy.week import read_week

    read = read_course(course), read_player(player), read_week(week)
    folder = plan_folder(out, course, player, week)
    numbers = rounds or (read[2].rounds[0].number,)
    told = False

    with progress("planning") as pace:

        def noted(done: int, total: int, where: str) -> None:
            nonlocal told
            if done < total and not told:
                missing = "1 hole location is" if total - done == 1 else f"{total - done} hole locations are"
                click.echo(
                    f"In {folder} {missing} not planned from these files yet: planned first.", err=True
                )
                told = True
            pace(done, total, where)

        made = plan_course(
            *read, out=folder, progress=noted, seed=seed, jobs=jobs, holes=holes, rounds=numbers
        )
    which = tuple(PicturedShot(s) for s in shots) or SHOTS
    with progress("drawing") as pace:
        drawn, failed = write_pictures(
            made, folder, pictures=Pictures.ALL, shots=which, size=size, units=Units(units), progress=pace,
            jobs=jobs,
        )  # fmt: skip
    for reason in failed:
        click.echo(f"not drawn: {reason}", err=True)
    for file in drawn:
        click.echo(str(file))
    if not drawn and not failed:
        click.echo("There is no such shot in the plan: nothing is drawn.", err=True)
