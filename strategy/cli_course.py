"""`course-strategy check` and `course-strategy import`: what stands on a course, and how it comes in."""

from __future__ import annotations

from pathlib import Path

import click

from strategy.cli_common import UNITS

_NAME = click.option(
    "--course",
    "name",
    metavar="NAME",
    help="Which course of the file: its name, outline, or longitude,latitude.",
)
_CRS = click.option(
    "--crs", metavar="EPSG:...", help="Coordinate system, when the file is in none of its own."
)


@click.command("check", short_help="Say what stands on a course, and what to do first.")
@click.argument("course", type=click.Path(path_type=Path))
@click.option("--hole", "holes", multiple=True, metavar="LABEL", help="Only this hole; repeat for more.")
@UNITS
@_NAME
@_CRS
def check(course: Path, holes: tuple[str, ...], units: str, name: str | None, crs: str | None) -> None:
    """Say what stands on COURSE, hole by hole, and what to draw or measure first.

    COURSE is a course folder, or any outline file: GeoJSON, Overpass JSON, OpenStreetMap XML or PBF,
    GeoPackage, packed or not.
    """
    from strategy.course.check import check_course
    from strategy.report.check_text import check_text

    click.echo(check_text(check_course(course, name, crs), holes=holes, metres=units == "metres"), nl=False)


@click.command("import", short_help="Bring any outline file into a course folder.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--to", "folder", required=True, type=click.Path(path_type=Path), help="Course folder, made if need be."
)
@_NAME
@_CRS
def import_(file: Path, folder: Path, name: str | None, crs: str | None) -> None:
    """Bring the course of FILE into a course folder: course.geojson and course.toml, with the credit line.

    Importing again brings what is new in FILE and keeps what was drawn, changed or written in the folder.
    Where both changed the same feature, yours stays and it is asked about.
    """
    from strategy.course.intake import import_course
    from strategy.report.check_text import import_text

    click.echo(import_text(import_course(file, folder, name, crs)), nl=False)
