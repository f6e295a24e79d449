"""The command line. A command parses, calls one library function and prints; it computes nothing itself.

Heavy imports (numba, scipy, matplotlib, pyproj, shapely, pydantic) stand inside the commands, so that
`course-strategy --help` answers at once; tests/test_house.py holds this.
"""

from __future__ import annotations

import time
from contextlib import ExitStack
from pathlib import Path

import click

from strategy import __version__
from strategy.cli.common import JOBS, OUT, SEED, UNITS, Commands, plan_folder, sources, words_option
from strategy.cli.common import progress as _progress
from strategy.cli.course import check, import_
from strategy.cli.draw import draw
from strategy.cli.number import number
from strategy.cli.numbers import numbers, numbers_page
from strategy.cli.practice import fit, shots
from strategy.cli.solve import solve
from strategy.cli.unknown_holes import warn_of_unknown_holes
from strategy.columns import as_wide_as


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="course-strategy")
def main() -> None:
    """Plan a course before the first round: for every shot one committed answer."""


@main.command()
@sources
@OUT
@click.option("--hole", "holes", multiple=True, metavar="LABEL", help="Only this hole; repeat for more.")
@click.option("--round", "rounds", multiple=True, type=int, help="Only this round; repeat for more.")
@click.option("--anew", is_flag=True, help="Replace what is in the plan folder, also another player's plan.")
@click.option(
    "--pictures",
    type=click.Choice(["first", "all", "none"]),
    default="first",
    show_default=True,
    help="The tee shot of each hole in the first round, the shots of every round, or none.",
)
@words_option("usual")
@UNITS
@SEED
@JOBS
def plan(
    *, course: Path, player: Path, week: Path, out: Path | None, holes: tuple[str, ...],
    rounds: tuple[int, ...], anew: bool, pictures: str, words: str, units: str, seed: int,
    jobs: int | None,
) -> None:  # fmt: skip
    """Plan every hole of COURSE for PLAYER in WEEK.

    COURSE is a folder with course.geojson and course.toml, or an outline file; PLAYER and WEEK are TOML.

    For every hole and hole location: the tee shot, and the approach from the median leave and from both edges
    of the landing. Finished holes are kept in the plan folder: a second run does only what is missing or
    changed, also after Ctrl-C. The folder gets plan.json, plan.txt, numbers.txt (the numbers of every hole),
    holes/ and pictures/; with --hole or --round the part asked for is planned and printed, and plan.json
    stays as it is. Pictures of other shots and sizes: draw. A plan folder belongs to one course, player and
    week.
    """
    start = time.monotonic()
    from strategy.course import read_course
    from strategy.plan import plan_course
    from strategy.player import read_player
    from strategy.report.pictures.beside import drawn_beside
    from strategy.report.pictures.chosen import Pictures
    from strategy.report.pictures.write import pictured, write_pictures
    from strategy.report.words.depths import Depth, plan_words
    from strategy.report.words.lengths import Units
    from strategy.week import read_week
    from strategy.writing import write_text

    read = read_course(course), read_player(player), read_week(week)
    folder = plan_folder(out, course, player, week)
    which = Pictures(pictures)
    with _progress("planning") as progress, ExitStack() as stack:
        # With one process asked for, pictures wait until it has planned.
        beside = None if jobs == 1 else stack.enter_context(drawn_beside(folder, which, Units(units)))
        made = plan_course(
            *read, out=folder, progress=progress, seed=seed, jobs=jobs, holes=holes, rounds=rounds, anew=anew,
            on_hole=beside,
        )  # fmt: skip
    text = plan_words(made, Units(units), Depth(words))
    if not (holes or rounds):
        write_text(folder / "plan.json", made.to_json())
        with as_wide_as(None):
            write_text(folder / "plan.txt", plan_words(made, Units(units), Depth(words)))
            write_text(folder / "numbers.txt", numbers_page(read[0], read[2], metres=units == "metres"))
    click.echo(text)  # after the files are written: they stand even if the output is closed
    # Pictures come last: if one fails, the plan is already printed and kept.
    with _progress("drawing") as progress:
        drawn, failed = write_pictures(
            made, folder, pictures=which, units=Units(units), progress=progress, jobs=jobs
        )
    for reason in failed:
        click.echo(f"not drawn: {reason}", err=True)
    written = f"plan.json, plan.txt, numbers.txt, holes/ and {pictured(drawn)} in pictures/"
    if holes or rounds:
        written = "holes/ and pictures/; without --hole and --round also plan.json, plan.txt, numbers.txt"
    click.echo(f"In {folder}: {written}.")
    click.echo(f"{made.made} planned, {made.kept} kept as they were; {time.monotonic() - start:.0f} s.")


@main.command()
@sources
@click.option("--hole", required=True, metavar="LABEL", help="As the course calls it.")
@click.option(
    "--from", "origin", required=True, metavar="PLACE", help='tee, "142 front", or longitude,latitude.'
)
@click.option("--round", "number", type=int, help="Whose markers and hole location.  [default: the first]")
@click.option(
    "--pin", default="", metavar="LOCATION", help='Another hole location: "14 on, 5 from the left".'
)
@click.option(
    "--lie",
    default="",
    help="How the ball sits, as seen: fairway, good rough, poor rough, jumper, sand ... Not seen before the "
    'swing, one swing for all by the week\'s chances: "may jump" (good or a jumper), rough (any lie of it).',
)
@click.option(
    "--need",
    type=click.IntRange(min=1),
    metavar="N",
    help="Also the shot for N strokes or better from there.",
)
@words_option("all")
@UNITS
@SEED
def options(
    *, course: Path, player: Path, week: Path, hole: str, origin: str, number: int | None, pin: str, lie: str,
    need: int | None, words: str, units: str, seed: int,
) -> None:  # fmt: skip
    """Advise one shot: up to three answers, and a table of every shot compared.

    COURSE, PLAYER and WEEK as for plan.
    """
    from strategy.course import read_course
    from strategy.plan.ask import ask
    from strategy.player import read_player
    from strategy.report.words.depths import Depth, asked_words
    from strategy.report.words.lengths import Units
    from strategy.week import read_week

    read = read_course(course), read_player(player), read_week(week)
    warn_of_unknown_holes(read[0], read[2])
    asked = ask(
        *read, hole, origin, round=number, pin=pin, lie=lie, seed=seed, unit_m=Units(units).metres,
        need=need or 0,
    )  # fmt: skip
    click.echo(asked_words(asked, Units(units), Depth(words), credit=read[0].credit), nl=False)


main.add_command(check)
main.add_command(draw)
main.add_command(fit)
main.add_command(import_)
main.add_command(number)
main.add_command(numbers)
main.add_command(shots)
main.add_command(solve)
