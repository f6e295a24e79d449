"""One picture a hole into the plan folder: the tee shot of the first round and hole location planned.

Drawn over the processes of this machine from what the plan folder keeps: no hole is set up. What each picture
was drawn from stands in `pictures/made.json`, so that a rerun draws only what has changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from strategy.compiled import code_digest
from strategy.errors import StrategyError
from strategy.plan.document import HolePlan, LocationPlan, Plan, RoundPlan
from strategy.plan.drawing.sheet import Sheet
from strategy.plan.jobs.digest import digest
from strategy.plan.jobs.pool import Done, Failed, cores, run
from strategy.plan.jobs.store import file_name, read_sheets
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import PictureWords, picture_words
from strategy.writing import sweep, write_text

FOLDER: Final = "pictures"
MADE: Final = "made.json"
FEW: Final = 3  # below this a second process costs more than it saves


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawing:
    """One picture to draw, in whichever process."""

    key: str
    file: Path
    sheet: Sheet
    words: PictureWords
    units: Units


def write_pictures(
    plan: Plan,
    out: Path,
    *,
    units: Units = Units.YARDS,
    progress: Callable[[int, int, str], None] | None = None,
    jobs: int | None = None,
) -> tuple[list[Path], list[str]]:
    """Draw one picture for every hole of a plan that has something to draw.

    Parameters
    ----------
    plan : Plan
        As made or read back.
    out : Path
        Its folder, which keeps what the pictures show.
    units : Units
        Of the sentences and the pictures.
    progress : callable, optional
        Called with (done, all, what).
    jobs : int, optional
        Processes; as many as there are cores by default.

    Returns
    -------
    files : list of Path
        In the order of the holes, old and new.
    failed : list of str
        What could not be drawn and why, by hole. Nothing is raised: a plan stands without its pictures.
    """
    folder = out / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        return [], [f"all holes: {folder} cannot be made ({fault.strerror}). Name another with --out."]
    wanted: list[Drawing] = []
    failed: list[str] = []
    for hole in plan.holes:
        try:
            drawing = _drawing(plan, hole, out, units)
        except StrategyError as fault:
            failed.append(f"hole {hole.label}: {fault}")
        else:
            wanted += [] if drawing is None else [drawing]
    made = _made(folder / MADE)
    todo = [d for d in wanted if made.get(d.file.name) != d.key or not d.file.is_file()]
    workers = cores() if jobs is None else max(jobs, 1)
    for number, done in enumerate(_drawn(todo, workers, folder), start=1):
        label = done.job.words.label
        reason = done.result.reason if isinstance(done.result, Failed) else done.result
        if reason:
            failed.append(f"hole {label}: {reason}")
            tried(partial(done.job.file.unlink, missing_ok=True))  # an older one would mislead
        else:
            made[done.job.file.name] = done.job.key
            # Where the list cannot be written, the next run only draws once more what is drawn already.
            tried(lambda: write_text(folder / MADE, json.dumps(made, indent=1, sort_keys=True) + "\n"))
        if progress is not None:
            progress(number, len(todo), f"hole {label}")
    return [d.file for d in wanted if d.file.is_file()], failed


def _drawn(todo: Sequence[Drawing], workers: int, folder: Path) -> Iterator[Done[Drawing, str]]:
    """Draw over processes; of a process that is ended early no half-written file is left."""
    try:
        yield from run(draw, todo, workers if len(todo) >= FEW else 1)
    finally:
        sweep(folder)


def tried(drawing: Callable[[], object]) -> str:
    """Do something for a picture. Gives "", or why it failed: a plan stands without its pictures."""
    try:
        drawing()
    except StrategyError as fault:
        return str(fault)
    except Exception as fault:  # whatever it is, the text beside the picture is complete
        return f"a fault of the program ({type(fault).__name__}: {fault}); the text does not depend on it"
    return ""


def draw(job: Drawing) -> str:
    """Draw one picture; run in a worker process. Gives "", or why it could not be drawn."""
    return tried(lambda: _draw(job))


def _draw(job: Drawing) -> None:
    from strategy.report.pictures.picture import write_picture

    write_picture(job.sheet, job.words, job.file, job.units)


def _drawing(plan: Plan, hole: HolePlan, out: Path, units: Units) -> Drawing | None:
    """The picture of a hole; None where nothing is there to draw."""
    first = _first(hole)
    if first is None:
        return None
    markers, location = first
    sheet = read_sheets(out, location)[0]
    if sheet is None:
        return None
    words = picture_words(plan, hole, markers, location, location.tee, sheet, units)
    return Drawing(
        key=digest(code_digest("report", "plan", "codes.py", "units.py"), sheet, words, units),
        file=out / FOLDER / file_name(hole.label, ".png"),
        sheet=sheet,
        words=words,
        units=units,
    )


def _first(hole: HolePlan) -> tuple[RoundPlan, LocationPlan] | None:
    for plan in hole.rounds:
        for location in plan.locations:
            if location.tee.options:
                return plan, location
    return None


def _made(file: Path) -> dict[str, str]:
    try:
        keys = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(k): str(v) for k, v in keys.items()} if isinstance(keys, dict) else {}


def pictured(files: Sequence[Path]) -> str:
    """How many pictures there are, in words."""
    return "1 picture" if len(files) == 1 else f"{len(files)} pictures"
