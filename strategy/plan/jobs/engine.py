"""`plan_course`: a course planned hole by hole over the processes of this machine.

A job is one hole in one round, from one set of markers, to one hole location: every round has its own
weather. Where shots are taken as stated, rounds that share markers and location are one job. Each job is on
disk as soon as it is done, with the sheets of its pictures; a rerun does only what is missing or changed.
Jobs of one hole follow one another, so that a worker sets a hole up once.
"""

from __future__ import annotations

import dataclasses
import importlib.metadata
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from strategy import __version__
from strategy.arrays import FloatArray
from strategy.compiled import code_digest
from strategy.course.model import Course, Finding, Hole
from strategy.course.pins import green_numbers, parse_pin
from strategy.course.playline import line_length
from strategy.course.propose import propose_pins
from strategy.errors import StrategyError
from strategy.outcome.request import Request, line_from_tee, request
from strategy.plan.advice.decision import Bench, bench_of, plan_location
from strategy.plan.cautions import assumed, cautions, strays
from strategy.plan.codec import rounded
from strategy.plan.document import (
    UNITS,
    VERSION,
    Cut,
    HolePlan,
    Input,
    LocationPlan,
    Note,
    Plan,
    RoundPlan,
    Wind,
)
from strategy.plan.drawing.sheet import SHEETS_VERSION, Sheets, location_sheets
from strategy.plan.jobs.digest import digest
from strategy.plan.jobs.pool import Done, Failed, cores, run
from strategy.plan.jobs.store import Owner, Source, Store
from strategy.plan.scores import round_scores
from strategy.player.model import Player
from strategy.units import YARD_M
from strategy.week.model import Week
from strategy.week.wind import played_before, wind_for

Progress = Callable[[int, int, str], None]

PROPOSED: Final = 4  # likely hole locations planned where the sheet is not out
LIBRARIES: Final = ("numpy", "scipy", "shapely", "numba", "pyproj")
FEW_JOBS: Final = 4  # below this a second process costs more than it saves


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Job:
    """One hole, one set of markers, one hole location."""

    key: str
    setup: str  # equal for jobs that share a bench
    asked: Request
    cut: Cut
    seed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _RoundsAlike:
    """Rounds of one hole that share markers and hole locations."""

    rounds: tuple[int, ...]
    tee: str
    up_m: float
    length_m: float
    rise_m: float
    cuts: tuple[Cut, ...]


def plan_course(
    course: Course,
    player: Player,
    week: Week,
    out: str | Path | None = None,
    progress: Progress | None = None,
    seed: int = 1,
    jobs: int | None = None,
    *,
    holes: Iterable[str] = (),
    rounds: Iterable[int] = (),
    anew: bool = False,
    on_hole: Callable[[Plan], None] | None = None,
) -> Plan:
    """Plan every hole of a course for every round and hole location of a week.

    Parameters
    ----------
    course, player, week : Course, Player, Week
        As read.
    out : path, optional
        Plan folder: finished holes are kept there and not done again; plan.json is written by the caller.
    progress : callable, optional
        Called with (done, all, what) as jobs finish; jobs of an earlier run count as done at the start.
    seed : int
        The same inputs and seed give the same plan.
    jobs : int, optional
        Processes; as many as there are cores by default, 1 plans in this process.
    holes, rounds : iterables, optional
        Only these; all by default.
    anew : bool
        Replace what is in the plan folder, also another player's plan.
    on_hole : callable, optional
        Called with a plan of one hole, as it stands in the whole plan, as soon as all its jobs are done.

    Returns
    -------
    Plan
        `made` counts the jobs that were done now, `kept` those that were done before.

    Raises
    ------
    RequestError
        For a hole or round that is not there, a folder that cannot be written, or one that holds the plan of
        another course, player or week.
    """
    chosen = tuple(course.hole(label) for label in holes) or course.holes
    numbers = tuple(week.round(n).number for n in rounds) or tuple(r.number for r in week.rounds)
    labels = tuple(h.label for h in course.holes)
    owner = Owner(*(Source.of(read) for read in (course, player, week)))
    store = Store(None if out is None else Path(out), owner, anew=anew)
    plans: dict[str, LocationPlan] = {}
    trouble: dict[str, list[Note]] = {h.label: [] for h in chosen}
    groups: dict[str, tuple[_RoundsAlike, ...]] = {}
    wanted: dict[str, list[Job]] = {}
    for hole in chosen:
        groups[hole.label], mine = _jobs(hole, player, week, numbers, labels, seed, trouble[hole.label])
        wanted[hole.label] = mine
        for job in mine:
            if (kept_plan := store.get(hole.label, job.key)) is not None:
                plans[job.key] = kept_plan
    todo = [job for mine in wanted.values() for job in mine if job.key not in plans]
    kept, total = len(plans), len(plans) + len(todo)
    if progress is not None:
        progress(kept, total, "")
    workers = cores() if jobs is None else max(jobs, 1)
    left = Counter(job.asked.hole.label for job in todo)

    @cache
    def shared() -> Plan:
        """What the plans of all holes share: worked out once, and not before the first is told."""
        return Plan(
            version=VERSION,
            program=__version__,
            libraries={name: importlib.metadata.version(name) for name in LIBRARIES},
            units=UNITS,
            seed=seed,
            inputs=tuple(
                Input(path=path, sha256=sha)
                for source in (course, player, week)
                for path, sha in source.files.items()
            ),
            course=course.name,
            credit=course.credit,
            player=player.name,
            right_handed=player.right_handed,
            level=float(player.level),
            week=week.name,
            strokes_to_go="hole",
            cautions=cautions(course, week, player),
            assumptions=assumed(player),
            findings=(
                *(_note(f) for f in course.findings),
                *_starts(week, numbers, labels),
                *(Note(kind="question", text=text) for text in strays(week, numbers, labels)),
            ),
            holes=(),
            round_scores=(),
            stock=tuple(shot.label for shot in player.shots if shot.stock),
            kept=kept,
            made=total - kept,
        )

    def document(some: Sequence[Hole]) -> Plan:
        planned = tuple(
            _hole(h, week, labels, groups[h.label], wanted[h.label], plans, trouble[h.label]) for h in some
        )
        return rounded(
            dataclasses.replace(shared(), holes=planned, round_scores=round_scores(planned, numbers))
        )

    def told(hole: Hole) -> None:
        if on_hole is not None and not left[hole.label]:
            on_hole(document([hole]))

    for hole in chosen:
        told(hole)
    for number, done in enumerate(_work(todo, workers), start=1):
        job, result = done.job, done.result
        if isinstance(result, Failed):
            trouble[job.asked.hole.label].append(Note(kind="failed", text=f"{job.cut.text}: {result.reason}"))
        else:
            plans[job.key] = result.plan
            store.put(job.asked.hole.label, job.key, result.plan, result.sheets, result.values)
        left[job.asked.hole.label] -= 1
        told(job.asked.hole)
        if progress is not None:
            progress(kept + number, total, f"hole {job.asked.hole.label}")
    if numbers == tuple(r.number for r in week.rounds):  # a part of the rounds says nothing of the rest
        for label, mine in wanted.items():
            store.keep_only(label, [job.key for job in mine])
    return document(chosen)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Planned:
    """A finished job: the plan, its sheets, and the values of the whole hole it was made with (N,)."""

    plan: LocationPlan
    sheets: Sheets
    values: FloatArray


def plan_job(job: Job) -> Planned:
    """Plan one job; run in a worker process. The hole that was set up last is used again where it fits."""
    bench = _bench.get(job.setup)
    if bench is None:
        bench = bench_of(job.asked.at(job.cut.xy))
        _bench.clear()
        _bench[job.setup] = bench
    field, whole = bench.lay_out(job.cut.xy, seed=job.seed)
    plan = rounded(plan_location(bench, field, job.cut, seed=job.seed))
    reference = job.asked.week.front_reference
    sheets = location_sheets(job.asked.hole, field, plan, reference=reference, seed=job.seed)
    return Planned(plan=plan, sheets=sheets, values=whole.values)


_bench: dict[str, Bench] = {}


def _work(todo: list[Job], workers: int) -> Iterator[Done[Job, Planned]]:
    """All jobs; the first in this process, so that workers find the kernels compiled on disk."""
    first = 1 if workers > 1 and len(todo) >= FEW_JOBS else len(todo)
    yield from run(plan_job, todo[:first], 1)
    yield from run(plan_job, todo[first:], workers)


# --- from the week to jobs ---------------------------------------------------------------------------


def _jobs(
    hole: Hole,
    player: Player,
    week: Week,
    numbers: Sequence[int],
    labels: tuple[str, ...],
    seed: int,
    trouble: list[Note],
) -> tuple[tuple[_RoundsAlike, ...], list[Job]]:
    """Groups of rounds of one hole and the jobs behind them, in the same order."""
    same: dict[tuple[str, float, str, int], list[int]] = {}
    for number in numbers:
        written = week.round(number).setup(hole.label)
        # Every round has its own wind and air; only shots as stated are the same in all of them.
        weather = 0 if week.as_stated else number
        same.setdefault((written.tee, written.up_m, written.location, weather), []).append(number)
    groups: list[_RoundsAlike] = []
    jobs: list[Job] = []
    for (tee, up_m, _, _), rounds in same.items():
        try:
            asked = request(hole, player, week, rounds[0], labels=labels)
            cuts = _cuts(asked)
        except StrategyError as fault:
            text = f"{_rounds(rounds)}: {fault}"
            trouble.append(Note(kind="failed", text=text))
            continue
        name = tee or hole.tees[0].name
        groups.append(
            _RoundsAlike(
                rounds=tuple(rounds),
                tee=name,
                up_m=up_m,
                length_m=line_length(asked.line),
                rise_m=_rise(hole, asked.line),
                cuts=cuts,
            )
        )
        played = None if week.as_stated else dataclasses.replace(asked.played, holes={}, date="")
        people = (_for_numbers(hole), _for_numbers(player), _for_numbers(week))
        setup = digest(code_digest(), *people, played, labels, tee, up_m)
        jobs += [
            Job(
                key=digest(VERSION, SHEETS_VERSION, setup, cut, seed),
                setup=setup,
                asked=asked,
                cut=cut,
                seed=seed,
            )
            for cut in cuts
        ]
    return tuple(groups), jobs


def _for_numbers(value: Hole | Player | Week) -> Hole | Player | Week:
    """The same without what no number depends on: names, notes, findings, file paths.

    A week is left without its rounds: the round that counts goes into the digest by itself.
    """
    if isinstance(value, Hole):
        return dataclasses.replace(value, name="", notes=(), findings=())
    if isinstance(value, Player):
        return dataclasses.replace(value, name="", files={})
    return dataclasses.replace(value, name="", rounds=(), files={})


def _cuts(asked: Request) -> tuple[Cut, ...]:
    """The hole location the sheet gives, or likely ones where there is none."""
    hole, line, week = asked.hole, asked.line, asked.week
    reference = week.front_reference
    if asked.pin is not None:
        # In the words of the sheet: a player reads both.
        on_m = parse_pin(asked.location, hole.label)[0]
        return (Cut(text=asked.location, on_m=on_m, xy=asked.pin, origin="published"),)
    # Tough ones matter most; one plain one stands for the rest.
    likely = propose_pins(hole, line, margin_m=week.margin_paces * YARD_M, count=6, reference=reference)
    tough = [p for p in likely if p.tough][: PROPOSED - 1]
    plain = [p for p in likely if not p.tough][: PROPOSED - len(tough)]
    return tuple(
        Cut(
            text=p.text,
            on_m=parse_pin(p.text, hole.label)[0],
            xy=p.xy,
            origin="proposed",
            name=p.name,
            why=p.why,
        )
        for p in (*plain, *tough)
    )


def _rise(hole: Hole, line: FloatArray) -> float:
    """How much the middle of the green lies above the markers; 0 where no heights are known. [m]"""
    if hole.heights is None:
        return 0.0
    tee, green = hole.heights.at(line[[0, -1]])
    return float(green - tee)


def _rounds(numbers: Sequence[int]) -> str:
    word = "round" if len(numbers) == 1 else "rounds"
    return f"{word} {', '.join(str(n) for n in numbers)}"


# --- from results to the document --------------------------------------------------------------------


def _hole(
    hole: Hole,
    week: Week,
    labels: tuple[str, ...],
    groups: Sequence[_RoundsAlike],
    jobs: Sequence[Job],
    planned: Mapping[str, LocationPlan],
    trouble: Sequence[Note],
) -> HolePlan:
    keys = iter(job.key for job in jobs)
    rounds: list[RoundPlan] = []
    assumptions: list[str] = []
    for group in groups:
        plans = [planned[key] for key in [next(keys) for _ in group.cuts] if key in planned]
        # Assumptions about the wind stand among the cautions of the plan.
        assumptions += [t for plan in plans for t in plan.assumptions if not t.startswith("wind ")]
        if any(cut.origin == "proposed" for cut in group.cuts):
            assumptions.append(f"no hole location given for {_rounds(group.rounds)}: likely ones are planned")
        winds = [_wind(week, number, hole.label, labels) for number in group.rounds]
        rounds.append(
            RoundPlan(
                rounds=group.rounds,
                tee=group.tee,
                up_m=float(group.up_m),
                length_m=group.length_m,
                rise_m=group.rise_m,
                winds=tuple(w for w in winds if w is not None),
                locations=tuple(plans),
            )
        )
    line = line_from_tee(hole, "", 0.0)
    numbers = green_numbers(
        hole, line, (float(line[0, 0]), float(line[0, 1])), reference=week.front_reference
    )
    if hole.par_assumed:
        assumptions.append(f"par {hole.par} is taken from the length")
    return HolePlan(
        label=hole.label,
        name=hole.name,
        par=hole.par,
        par_assumed=hole.par_assumed,
        notes=hole.notes,
        green=numbers,
        rounds=tuple(rounds),
        findings=(*(_note(f) for f in hole.findings), *trouble),
        assumptions=tuple(dict.fromkeys(assumptions)),
    )


def _wind(week: Week, number: int, label: str, labels: Sequence[str]) -> Wind | None:
    played = week.round(number)
    wind = wind_for(played, played_before(played, label, labels))
    if wind is None:
        return None
    return Wind(
        round=number,
        speed_mps=float(wind.speed_mps),
        gust_mps=float(wind.gust_mps),
        blows_from=float(wind.blows_from),
        hour=float(wind.hour),
    )


def _starts(week: Week, numbers: Sequence[int], labels: Sequence[str]) -> Iterator[Note]:
    """Rounds that begin at a hole this course does not have."""
    for number in numbers:
        start = week.round(number).start_hole
        if start not in labels:
            text = (
                f"round {number} starts at hole {start}, which is not there: the order of the card is taken"
            )
            yield Note(kind="assumed", text=text)


def _note(finding: Finding) -> Note:
    return Note(kind=str(finding.kind), text=finding.text)
