"""One picture a hole into the plan folder: the tee shot of the first round and hole location planned.

Drawn over the processes of this machine. What each picture was drawn from stands in `pictures/made.json`, so
that a rerun draws only what has changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from strategy.course.model import Course, Hole
from strategy.errors import RequestError
from strategy.plan.codec import to_data
from strategy.plan.digest import code_digest, digest
from strategy.plan.document import HolePlan, LocationPlan, Plan
from strategy.plan.hole import as_option, set_up, spot_of
from strategy.plan.pool import Failed, cores, run
from strategy.plan.store import file_name, kept_values, write_text
from strategy.player.model import Player
from strategy.report.sentences import Units, answer, counts_words, leaves_words, short_side_words
from strategy.week.model import Week

FOLDER: Final = "pictures"
MADE: Final = "made.json"
FEW: Final = 3  # below this a second process costs more than it saves


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawing:
    """One picture to draw, in whichever process."""

    key: str
    file: Path
    hole: Hole
    player: Player
    week: Week
    round: int
    labels: tuple[str, ...]
    location: LocationPlan
    sentences: tuple[str, ...]
    counts: str
    course: str
    credit: str
    units: Units
    seed: int


def write_pictures(
    plan: Plan,
    course: Course,
    player: Player,
    week: Week,
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
        Of this course, player and week.
    out : Path
        The plan folder.
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
        What could not be drawn, in words.

    Raises
    ------
    RequestError
        If the folder cannot be written.
    """
    folder = out / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise RequestError(
            f"{folder}: cannot be made ({fault.strerror}). Name another with --out."
        ) from fault
    drawings = list(_drawings(plan, course, player, week, folder, units))
    made = _made(folder / MADE)
    todo = [d for d in drawings if made.get(d.file.name) != d.key or not d.file.is_file()]
    workers = cores() if jobs is None else max(jobs, 1)
    failed = []
    for number, done in enumerate(run(draw, todo, workers if len(todo) >= FEW else 1), start=1):
        if isinstance(done.result, Failed):
            failed.append(f"hole {done.job.hole.label}: {done.result.reason}")
        else:
            made[done.job.file.name] = done.job.key
            write_text(folder / MADE, json.dumps(made, indent=1, sort_keys=True) + "\n")
        if progress is not None:
            progress(number, len(todo), f"hole {done.job.hole.label}")
    return [d.file for d in drawings if d.file.is_file()], failed


def draw(job: Drawing) -> None:
    """Draw one picture; run in a worker process."""
    from strategy.plan.sheet import hole_sheet
    from strategy.report.picture import write_picture

    bench = set_up(job.hole, job.player, job.week, job.round, job.labels, job.location.xy)
    tee = job.location.tee
    said = tee.options[0].said
    value = kept_values(job.file.parents[1], job.location)
    board, _ = bench.lay_out(job.location.xy, seed=job.seed, value=value)
    sheet = hole_sheet(
        job.hole,
        board.today,
        board,
        spot_of(tee.place),
        [as_option(o) for o in tee.said],
        course=job.course,
        player=job.player.name,
        credit=job.credit,
        reference=job.week.front_reference,
        finish=None if said is None else (said.finish.of, said.finish.side_m),
        unit_m=job.units.metres,
        seed=job.seed,
    )
    write_picture(sheet, job.sentences, job.file, counts=job.counts)


def _drawings(
    plan: Plan, course: Course, player: Player, week: Week, folder: Path, units: Units
) -> Iterator[Drawing]:
    labels = tuple(h.label for h in course.holes)
    for hole in plan.holes:
        first = _first(hole)
        if first is None:
            continue
        number, location = first
        tee = location.tee
        best = tee.options[0]
        sentences = _sentences(location, units)
        counts = " ".join(w for w in (counts_words(best.counts), leaves_words(best, units)) if w)
        own = course.hole(hole.label)
        yield Drawing(
            key=digest(
                code_digest(), code_digest("report"), own, to_data(location), sentences, counts, number,
                plan.course, plan.credit, plan.player, [to_data(file) for file in plan.inputs], plan.seed,
                units,
            ),
            file=folder / file_name(hole.label, ".png"),
            hole=own,
            player=player,
            week=week,
            round=number,
            labels=labels,
            location=location,
            sentences=sentences,
            counts=counts,
            course=plan.course,
            credit=plan.credit,
            units=units,
            seed=plan.seed,
        )  # fmt: skip


def _first(hole: HolePlan) -> tuple[int, LocationPlan] | None:
    for plan in hole.rounds:
        for location in plan.locations:
            if location.tee.options:
                return plan.rounds[0], location
    return None


def _sentences(location: LocationPlan, units: Units) -> tuple[str, ...]:
    warning = short_side_words(location.tee)
    return (answer(location.tee, units), *([warning] if warning else ()))


def _made(file: Path) -> dict[str, str]:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(k): str(v) for k, v in found.items()} if isinstance(found, dict) else {}


def pictured(files: Sequence[Path]) -> str:
    """How many pictures there are, in words."""
    return "1 picture" if len(files) == 1 else f"{len(files)} pictures"
