"""Where the demo world is: beside the package in a checkout, inside it when installed from a wheel.

::

    <demo folder>/<course>/course.geojson, course.toml
    <demo folder>/players/*.toml
    <demo folder>/weeks/*.toml
    <demo folder>/samples/           one commented sample of every file that stands beside the outlines

`python -m strategy.demofiles` prints course, player and week, one a line.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NamedTuple

from strategy.errors import RequestError, StrategyError


class Demo(NamedTuple):
    """The three arguments of the demo plan.

    Attributes
    ----------
    course : Path
        Folder of the demo course.
    player, week : Path
        The tour player's file, and the week's.
    """

    course: Path
    player: Path
    week: Path


def demo_folder() -> Path:
    """Folder of the demo courses, players and weeks.

    Raises
    ------
    RequestError
        When neither place has them, as when the package was copied without its data.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "demo", package.parent / "courses"):
        if folder.is_dir():
            return folder
    raise RequestError(f"{package}: no demo files beside the package. Install course-strategy again.")


def demo(folder: Path | None = None) -> Demo:
    """Course, tour player and week of the demo: the first of each by name.

    Parameters
    ----------
    folder : Path, optional
        Where to look; `demo_folder()` by default.

    Raises
    ------
    RequestError
        When one of the three is missing.
    """
    folder = demo_folder() if folder is None else folder
    return Demo(
        course=_first(folder, "*/course.geojson").parent,
        player=_first(folder, "players/*tour*.toml"),
        week=_first(folder, "weeks/*.toml"),
    )


def sample(name: str) -> Path:
    """Path of the commented sample of a kind of file ("course.toml"), relative to the working folder.

    Raises
    ------
    RequestError
        As `demo_folder`.
    """
    path = demo_folder() / "samples" / name
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def _first(folder: Path, pattern: str) -> Path:
    files = sorted(folder.glob(pattern))
    if not files:
        raise RequestError(f"{folder}: no file {pattern} among the demo files. Restore it, or name your own.")
    return files[0]


if __name__ == "__main__":
    try:
        print(*demo(), sep="\n")
    except StrategyError as fault:
        sys.exit(str(fault))
