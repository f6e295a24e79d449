"""`course-strategy check` lists what is drawn on a course; `course-strategy import` brings a course in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from strategy.cli.common import UNITS

_NAME = click.option(
    "--course",
    "name",
    metavar="NAME",
    help="Which course of the file: its name, outline, or longitude,latitude.",
)
_CRS = click.option("--crs", metavar="EPSG:...", help="Coordinate system, where the file names none.")


class _LayerKind(click.ParamType[tuple[str, str]]):
    """What a layer holds, as the user states it: "NAME=bunker"."""

    name = "layer"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        layer, _, kind = (part.strip() for part in str(value).rpartition("="))
        if not (layer and kind):
            self.fail(f"{value!r} does not say what the layer holds. Write NAME=bunker.", param, ctx)
        return layer, kind


_LAYERS = click.option(
    "--layer",
    "layers",
    multiple=True,
    metavar="NAME=WHAT",
    type=_LayerKind(),
    help='What a layer of a GeoPackage holds: "Layer 3=bunker", or nothing; repeat for more.',
)


@click.command("check", short_help="Say what stands on a course, and what to do first.")
@click.argument("course", type=click.Path(path_type=Path))
@click.option("--hole", "holes", multiple=True, metavar="LABEL", help="Only this hole; repeat for more.")
@UNITS
@click.option("--all", "everything", is_flag=True, help="Also what was not used: schools, other courses.")
@_NAME
@_CRS
@_LAYERS
def check(
    course: Path, holes: tuple[str, ...], units: str, everything: bool, name: str | None, crs: str | None,
    layers: tuple[tuple[str, str], ...],
) -> None:  # fmt: skip
    """Say what stands on COURSE, hole by hole, and what to draw or measure first.

    COURSE is a course folder, or any outline file: GeoJSON, Overpass JSON, OpenStreetMap XML or PBF,
    GeoPackage, packed or not.
    """
    from strategy.course.check import check_course
    from strategy.report.words.check_text import check_text

    checked = check_course(course, name, crs, dict(layers))
    click.echo(check_text(checked, holes=holes, metres=units == "metres", everything=everything), nl=False)


@click.command("import", short_help="Bring any outline file into a course folder.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--to", "folder", required=True, type=click.Path(path_type=Path), help="Course folder, made if need be."
)
@_NAME
@_CRS
@_LAYERS
def import_(file: Path, folder: Path, name: str | None, crs: str | None, layers: dict[str, str]) -> None:
    """Bring the course of FILE into a course folder: course.geojson and course.toml, with the credit line.

    Importing again brings what is new in FILE and keeps what was drawn, changed or written in the folder.
    Where both changed the same feature, yours stays and it is asked about.
    """
    from strategy.course.assembly.intake import import_course
    from strategy.report.words.check_text import import_text

    click.echo(import_text(import_course(file, folder, name, crs, dict(layers))), nl=False)
