"""`course-strategy fit` and `shots`: from practice logs to the player file, and the shots as understood."""

from __future__ import annotations

from pathlib import Path

import click

from strategy.cli.common import UNITS


@click.command()
@click.argument("logs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--player", required=True, type=click.Path(path_type=Path), help="Player file: read, and written to."
)
@click.option("--out", type=click.Path(path_type=Path), help="Write to this player file instead.")
@click.option("--only-show", is_flag=True, help="Print what would be written, and write no player file.")
@click.option("--club", default="", help="Club of logs that do not name it.")
@click.option(
    "--where",
    type=click.Choice(["course", "range", "mat"]),
    default="range",
    show_default=True,
    help="Where balls were hit whose log does not say it; a range and a mat read too tight.",
)
@click.option(
    "--pictures", type=click.Path(path_type=Path), help="Folder for one picture a shot and the ladder."
)
@UNITS
def fit(
    *, logs: tuple[Path, ...], player: Path, out: Path | None, only_show: bool, club: str, where: str,
    pictures: Path | None, units: str,
) -> None:  # fmt: skip
    """Fit carries and scatter of every shot from practice LOGS into a player file.

    A log is a CSV file or an .xlsx workbook with one row a ball, from any radar or paced off: club, carry,
    and how far to the side ("12 R"), in any order. From 8 balls a shot. Other lines and comments of the
    player file stay as they are. courses/samples/practice.csv is a sample.
    """
    from strategy.player import read_player
    from strategy.player.fit.practice import fit_practice
    from strategy.player.fit.write import fitted_text
    from strategy.player.logs.read import read_practice_log
    from strategy.player.read import read_player_file
    from strategy.report.words.lengths import Units
    from strategy.report.words.practice_words import fit_words
    from strategy.writing import write_text

    file, _ = read_player_file(player)
    read = read_player(player)
    found = [read_practice_log(log, file, club=club, number=i) for i, log in enumerate(logs)]
    fitted = fit_practice(found, read, file, where=where)
    click.echo(fit_words(fitted, Units(units)), nl=False)
    text = fitted_text(player, fitted)  # after the words: they stand even if the file would not be valid
    if not only_show:
        write_text(out or player, text)
        click.echo(f"Written: {out or player}.")
    if pictures is not None:
        from strategy.report.pictures.practice import write_practice_pictures

        drawn = write_practice_pictures(fitted, pictures, Units(units))
        click.echo(f"In {pictures}: {', '.join(path.name for path in drawn)}.")


@click.command()
@click.argument("player", type=click.Path(path_type=Path))
@UNITS
def shots(*, player: Path, units: str) -> None:
    """Print every shot of PLAYER as understood: measured, stated, or assumed from what.

    For a what-if write tighter = 0.9 with a shot, or a table [tighter] with clubs: "7-iron" = 0.9.
    """
    from strategy.player import read_player
    from strategy.report.words.bag_words import bag_words
    from strategy.report.words.lengths import Units

    click.echo(bag_words(read_player(player), Units(units)), nl=False)
