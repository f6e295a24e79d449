"""One picture a hole into the plan folder: the tee shot of the first round and hole location planned.

Drawn over the processes of this machine. What each picture was drawn from stands in `pictures/made.json`, so
that a rerun draws only what has changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from strategy.compiled import code_digest
from strategy.course.edges import tee_words
from strategy.course.model import Course, Hole
from strategy.errors import StrategyError
from strategy.plan.advice.decision import set_up
from strategy.plan.codec import to_data
from strategy.plan.document import HolePlan, LocationPlan, Plan, RoundPlan
from strategy.plan.jobs.digest import digest
from strategy.plan.jobs.pool import Done, Failed, cores, run
from strategy.plan.jobs.store import file_name, kept_values
from strategy.player.model import Player
from strategy.report.words.next_words import leaves_words
from strategy.report.words.plan_text import markers_words
from strategy.report.words.sentences import Units, answer, counts_words, short_side_words
from strategy.week.model import Week
from strategy.writing import sweep, write_text

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
    tee: str
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
        What could not be drawn and why, by hole. Nothing is raised: a plan stands without its pictures.
    """
    folder = out / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        return [], [f"all holes: {folder} cannot be made ({fault.strerror}). Name another with --out."]
    drawings = [_drawing(plan, hole, course, player, week, folder, units) for hole in plan.holes]
    wanted = [d for d in drawings if d is not None]
    failed = []
    made = _made(folder / MADE)
    todo = [d for d in wanted if made.get(d.file.name) != d.key or not d.file.is_file()]
    workers = cores() if jobs is None else max(jobs, 1)
    for number, done in enumerate(_drawn(todo, workers, folder), start=1):
        reason = done.result.reason if isinstance(done.result, Failed) else done.result
        if reason:
            failed.append(f"hole {done.job.hole.label}: {reason}")
            tried(partial(done.job.file.unlink, missing_ok=True))  # an older one would mislead
        else:
            made[done.job.file.name] = done.job.key
            # Without the list the next run draws again what stands there already, and nothing else.
            tried(lambda: write_text(folder / MADE, json.dumps(made, indent=1, sort_keys=True) + "\n"))
        if progress is not None:
            progress(number, len(todo), f"hole {done.job.hole.label}")
    return [d.file for d in wanted if d.file.is_file()], failed


def _drawn(todo: Sequence[Drawing], workers: int, folder: Path) -> Iterator[Done[Drawing, str]]:
    """Draw over processes; of one that was ended while it drew nothing half written is left."""
    try:
        yield from run(draw, todo, workers if len(todo) >= FEW else 1)
    finally:
        sweep(folder)


def tried(drawing: Callable[[], object]) -> str:
    """Do something for a picture; "", or why it failed, in words: no picture may cost the plan its text."""
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
    from strategy.plan.drawing.sheet import hole_sheet
    from strategy.report.pictures.picture import write_picture

    bench = set_up(job.hole, job.player, job.week, job.round, job.labels, job.location.cut.xy)
    tee = job.location.tee
    quoted = tee.options[0].quoted
    value = kept_values(job.file.parents[1], job.location)
    field, _ = bench.lay_out(job.location.cut.xy, seed=job.seed, value=value)
    sheet = hole_sheet(
        job.hole,
        field.today,
        field,
        tee.spot,
        [planned.option for planned in tee.answers],
        tee=job.tee,
        course=job.course,
        player=job.player.name,
        credit=job.credit,
        reference=job.week.front_reference,
        location=job.location.cut.text,
        finish=None if quoted is None else (quoted.finish.of, quoted.finish.side_m),
        unit_m=job.units.metres,
        seed=job.seed,
    )
    write_picture(sheet, job.sentences, job.file, counts=job.counts)


def _drawing(
    plan: Plan, hole: HolePlan, course: Course, player: Player, week: Week, folder: Path, units: Units
) -> Drawing | None:
    """The picture of a hole; None where nothing is there to draw."""
    first = _first(hole)
    if first is None:
        return None
    markers, location = first
    tee = ", ".join(filter(None, (tee_words(markers.tee), markers_words(markers.up_m, units))))
    best = location.tee.first
    sentences = _sentences(location, units)
    counts = " ".join(w for w in (counts_words(best.counts), leaves_words(best, units)) if w)
    own = course.hole(hole.label)
    return Drawing(
        key=digest(
            code_digest(), code_digest("report"), own, to_data(location), sentences, counts,
            markers.rounds[0], tee, plan.course, plan.credit, plan.player,
            [to_data(file) for file in plan.inputs],
            plan.seed, units,
        ),
        file=folder / file_name(hole.label, ".png"),
        hole=own,
        player=player,
        week=week,
        round=markers.rounds[0],
        tee=tee,
        labels=tuple(h.label for h in course.holes),
        location=location,
        sentences=sentences,
        counts=counts,
        course=plan.course,
        credit=plan.credit,
        units=units,
        seed=plan.seed,
    )  # fmt: skip


def _first(hole: HolePlan) -> tuple[RoundPlan, LocationPlan] | None:
    for plan in hole.rounds:
        for location in plan.locations:
            if location.tee.options:
                return plan, location
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
