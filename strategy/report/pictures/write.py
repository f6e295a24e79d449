"""Pictures into the plan folder: one a hole, or one for every decision that is said.

Drawn over the processes of this machine from what the plan folder keeps: no hole is set up. What each picture
was drawn from stands in `pictures/made.json`, so that a rerun draws only what has changed, and a picture of
what the plan says no more is removed: it would mislead.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from strategy.compiled import code_digest
from strategy.errors import RequestError, StrategyError
from strategy.plan.document import LocationPlan, Plan
from strategy.plan.drawing.sheet import Sheet
from strategy.plan.jobs.digest import digest
from strategy.plan.jobs.pool import Done, Failed, cores, run
from strategy.plan.jobs.store import read_sheets, sheets_file
from strategy.report.pictures.chosen import SHOTS, PicturedDecision, PicturedShot, Pictures, chosen
from strategy.report.pictures.layout import LAYOUTS
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import picture_words
from strategy.writing import sweep, write_text

FOLDER: Final = "pictures"
MADE: Final = "made.json"
FEW: Final = 3  # below this a second process costs more than it saves


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawing:
    """One picture to draw, in whichever process.

    Attributes
    ----------
    shows : str
        Digest of what is drawn and said, whatever the size and the unit.
    key : str
        Digest of everything that the picture depends on.
    plan : Plan
        With its own hole alone.
    out : Path
        The plan folder.
    kept : str
        Digest of the sheets that it keeps of the location.
    """

    shows: str
    key: str
    file: Path
    plan: Plan
    chosen: PicturedDecision
    out: Path
    kept: str
    units: Units
    size: str


def write_pictures(
    plan: Plan,
    out: Path,
    *,
    pictures: Pictures = Pictures.FIRST,
    shots: Collection[PicturedShot] = SHOTS,
    size: str = "print",
    units: Units = Units.YARDS,
    progress: Callable[[int, int, str], None] | None = None,
    jobs: int | None = None,
) -> tuple[list[Path], list[str]]:
    """Draw the pictures of a plan that are not there yet.

    Parameters
    ----------
    plan : Plan
        As made or read back.
    out : Path
        Its folder, which keeps what the pictures show.
    pictures : Pictures
        The first of each hole, all, or none.
    shots : collection of PicturedShot
        Of all pictures only these.
    size : str
        A name of `LAYOUTS`.
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
    wanted = drawings(plan, out, chosen(plan, pictures, shots), units=units, size=size)
    if not wanted and not folder.is_dir():
        return [], []
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        return [], [f"all holes: {folder} cannot be made ({fault.strerror}). Name another with --out."]
    made = Made(folder)
    made.remove_old(plan, out, keep=wanted)
    todo = [d for d in wanted if not made.has(d)]
    workers = cores() if jobs is None else max(jobs, 1)
    failed: list[str] = []
    for number, done in enumerate(_drawn(todo, workers, folder), start=1):
        job = done.job
        reason = done.result.reason if isinstance(done.result, Failed) else done.result
        label = f"hole {job.chosen.hole.label}"
        if reason:
            failed.append(f"{label}{_which(job, wanted)}: {reason}")
            tried(partial(job.file.unlink, missing_ok=True))  # an older one would mislead
        else:
            made.note(job)
        if progress is not None:
            progress(number, len(todo), label)
    return [d.file for d in wanted if d.file.is_file()], failed


def _which(job: Drawing, wanted: Sequence[Drawing]) -> str:
    """Which picture of its hole, where there are several."""
    same = [d for d in wanted if d.chosen.hole is job.chosen.hole]
    return f", {job.chosen.words}" if len(same) > 1 else ""


def drawings(
    plan: Plan,
    out: Path,
    which: Sequence[PicturedDecision],
    *,
    units: Units = Units.YARDS,
    size: str = "print",
) -> list[Drawing]:
    """The pictures to draw of some decisions; parameters of `write_pictures`."""
    code = code_digest("report", "plan", "codes.py", "units.py")
    kept: dict[int, str] = {}
    found = []
    for one in which:
        if id(one.location) not in kept:
            kept[id(one.location)] = _content(sheets_file(out, one.location))
        # Words are made in the process that draws; they follow from these, and from the sheet.
        said = (
            plan.course, plan.player, plan.credit, plan.stock,
            dataclasses.replace(one.hole, rounds=()), dataclasses.replace(one.markers, locations=()),
            one.location.cut, one.decision, one.position,
        )  # fmt: skip
        shows = digest(code, kept[id(one.location)], *said)
        found.append(
            Drawing(
                shows=shows,
                key=digest(shows, units, LAYOUTS[size]),
                file=out / FOLDER / one.file(size),
                plan=dataclasses.replace(plan, holes=(), findings=(), inputs=()),
                chosen=one,
                out=out,
                kept=kept[id(one.location)],
                units=units,
                size=size,
            )
        )
    return found


def _content(file: Path) -> str:
    """Digest of a file; "" for one that cannot be read, which is said when it is drawn."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return ""


class Made:
    """What the pictures of a folder were drawn from: name of the file to `shows` and `key`."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / MADE
        self.list: dict[str, tuple[str, str]] = {}
        self.unnamed: list[str] = []  # under names that pictures had before
        try:
            data = json.loads(self.file.read_text(encoding="utf-8"))
            for name, entry in data.items():
                if isinstance(entry, str):
                    self.unnamed.append(str(name))
                else:
                    self.list[str(name)] = (str(entry[0]), str(entry[1]))
        except (OSError, ValueError, AttributeError, LookupError, TypeError):
            pass  # everything is drawn again

    def has(self, job: Drawing) -> bool:
        """Whether a picture is there as it would be drawn."""
        return self.list.get(job.file.name, ("", ""))[1] == job.key and job.file.is_file()

    def note(self, job: Drawing) -> None:
        """Note a picture that has been drawn."""
        self.list[job.file.name] = (job.shows, job.key)
        self._write()

    def remove_old(self, plan: Plan, out: Path, *, keep: Sequence[Drawing]) -> None:
        """Remove pictures of these holes and rounds that show what the plan says no more."""
        for name in self.unnamed:
            tried(partial((self.file.parent / Path(name).name).unlink, missing_ok=True))
        others = set(self.list) - {d.file.name for d in keep}
        if not others:
            return
        now = {
            drawing.chosen.file(size): drawing.shows
            for drawing in drawings(plan, out, chosen(plan, Pictures.ALL))
            for size in LAYOUTS
        }
        old = [name for name in others & set(now) if self.list[name][0] != now[name]]
        for name in old:
            tried(partial((self.file.parent / name).unlink, missing_ok=True))
            del self.list[name]
        if old:
            self._write()

    def _write(self) -> None:
        # Where the list cannot be written, the next run only draws once more what is drawn already.
        tried(lambda: write_text(self.file, json.dumps(self.list, indent=1, sort_keys=True) + "\n"))


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

    one = job.chosen
    sheet = _sheets(job.out, job.kept, one.location)[one.position]
    if sheet is None:
        raise RequestError("nothing is kept to draw. Plan the hole again.")
    words = picture_words(job.plan, one.hole, one.markers, one.location, one.decision, sheet, job.units)
    write_picture(sheet, words, job.file, job.units, LAYOUTS[job.size])


_last: dict[tuple[Path, str], tuple[Sheet | None, ...]] = {}


def _sheets(out: Path, kept: str, location: LocationPlan) -> tuple[Sheet | None, ...]:
    """The sheets of a location, read once for its pictures, which are drawn one after the other."""
    if not kept or (out, kept) not in _last:
        sheets = read_sheets(out, location)
        _last.clear()
        _last[out, kept] = sheets
    return _last[out, kept]


def pictured(files: Sequence[Path]) -> str:
    """How many pictures there are, in words."""
    return "1 picture" if len(files) == 1 else f"{len(files)} pictures"
