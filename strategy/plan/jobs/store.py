"""What is already planned, on disk: `<plan folder>/holes/<label>.json`, written as each job is done.

A file holds the hole's parts, one for each hole location and set of markers, under the digest of everything
that went into it. What cannot be read is planned again. `holes/owner` says whose plan it is: a folder belongs
to one course, player and week. Two things more are kept of each part, in files named after its content:

- `holes/sheets/`: what its pictures show, so that they are drawn without setting the hole up again;
- `holes/values/`: the strokes to hole out that it was decided with, so that its decisions can be checked
  without solving the hole again.
"""

from __future__ import annotations

import gzip
import io
import json
import re
import shutil
import zlib
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.course.model import Course
from strategy.errors import RequestError
from strategy.plan.codec import from_data, to_data
from strategy.plan.document import VERSION, LocationPlan
from strategy.plan.drawing.sheet import SHEETS_VERSION, Sheet, Sheets
from strategy.plan.jobs.digest import digest
from strategy.player.model import Player
from strategy.week.model import Week
from strategy.writing import sweep, write_bytes, write_text

FOLDER: Final = "holes"
SHEETS: Final = "sheets"
VALUES: Final = "values"
OWNER: Final = f"{FOLDER}/owner"  # no hole has a file of that name: theirs end in .json
WHAT: Final = ("course", "player", "week")


@dataclass(frozen=True, slots=True)
class Source:
    """One of the three things that a plan is made from.

    Attributes
    ----------
    file : str
        Its first file, from the root; "" when it was not read from one.
    """

    name: str
    file: str

    @classmethod
    def of(cls, read: Course | Player | Week) -> Source:
        """The course, player or week as it was read."""
        first = next(iter(read.files), "")
        return cls(read.name, str(Path(first).resolve()) if first else "")

    def is_same(self, other: Source) -> bool:
        """Whether it is the same thing, which may have been renamed, or moved to another folder."""
        if self.file == other.file:
            return True
        return self.name == other.name and Path(self.file).name == Path(other.file).name


@dataclass(frozen=True, slots=True)
class Owner:
    """The course, player and week that a plan folder belongs to."""

    course: Source
    player: Source
    week: Source


class Store:
    """Parts of the holes of one plan folder.

    Parameters
    ----------
    out : Path or None
        The plan folder; None keeps nothing.
    owner : Owner, optional
        Whose plan it is.
    anew : bool
        Begin with an empty folder: what a plan has written there is removed.

    Raises
    ------
    RequestError
        If the folder cannot be made or written, or belongs to another course, player or week.
    """

    def __init__(self, out: Path | None, owner: Owner | None = None, *, anew: bool = False) -> None:
        self._folder = None if out is None else out / FOLDER
        self._parts: dict[str, dict[str, Any]] = {}
        if out is None or self._folder is None:
            return
        if anew:
            _remove(out)
        elif owner is not None:
            _refuse_another(out, owner)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise RequestError(
                f"{out}: the plan folder cannot be made ({fault.strerror}). Name another with --out."
            ) from fault
        for folder in (self._folder, self._folder / SHEETS, self._folder / VALUES):
            sweep(folder)
        if owner is not None:
            write_text(out / OWNER, json.dumps(asdict(owner), ensure_ascii=False, indent=1) + "\n")

    def get(self, label: str, key: str) -> LocationPlan | None:
        """A part that was planned before, with its sheets; None if there is none."""
        part = self._of(label).get(key)
        if part is None:
            return None
        try:
            plan = from_data(LocationPlan, part)
        except ValueError:
            return None
        return plan if self._folder is None or _has_sheets(self._folder, plan) else None

    def put(self, label: str, key: str, plan: LocationPlan, sheets: Sheets, values: FloatArray) -> None:
        """Keep a part, its sheets and the values behind it; they are on disk when this returns."""
        if self._folder is not None:
            _write_sheets(self._folder, plan, sheets)
            _write_values(self._folder, plan, values)
        parts = self._of(label)
        parts[key] = to_data(plan)
        self._write(label)

    def keep_only(self, label: str, keys: list[str]) -> None:
        """Forget the parts of a hole that no plan asks for any more, and put the rest in order."""
        parts = self._of(label)
        wanted = {key: parts[key] for key in keys if key in parts}
        if list(wanted) != list(parts):
            if self._folder is not None:
                kept = {digest(part) for part in wanted.values()}
                for part in parts.values():
                    if digest(part) not in kept:
                        _sheets_file(self._folder, part).unlink(missing_ok=True)
                        _values_file(self._folder, part).unlink(missing_ok=True)
            self._parts[label] = wanted
            self._write(label)

    def _of(self, label: str) -> dict[str, Any]:
        if label not in self._parts:
            self._parts[label] = self._read(label)
        return self._parts[label]

    def _read(self, label: str) -> dict[str, Any]:
        if self._folder is None:
            return {}
        try:
            data = json.loads((self._folder / file_name(label)).read_text(encoding="utf-8"))
            if data["version"] != VERSION or data["hole"] != label:
                return {}
            return dict(data["parts"])
        except (OSError, ValueError, KeyError, TypeError):
            return {}

    def _write(self, label: str) -> None:
        if self._folder is not None:
            data = {"version": VERSION, "hole": label, "parts": self._parts[label]}
            write_text(self._folder / file_name(label), json.dumps(data, ensure_ascii=False) + "\n")


def _refuse_another(out: Path, owner: Owner) -> None:
    """Two players' plans in one folder would overwrite each other."""
    try:
        data = json.loads((out / OWNER).read_text(encoding="utf-8"))
        before = Owner(**{what: Source(**data[what]) for what in WHAT})
    except (OSError, ValueError, KeyError, TypeError):
        return  # nothing is planned there, or for whom is not known
    for what in WHAT:
        held, asked = getattr(before, what), getattr(owner, what)
        if not held.is_same(asked):
            known = f"{held.name} ({held.file})" if held.name == asked.name else held.name
            raise RequestError(
                f"{out}: holds the plan of another {what}, {known}. Name another folder with --out, "
                "or replace that plan with --anew."
            )


def _remove(out: Path) -> None:
    """Remove what a plan has written, and nothing else that lies there."""
    try:
        for name in (FOLDER, "pictures"):
            if (out / name).is_dir():
                shutil.rmtree(out / name)
        for name in ("plan.json", "plan.txt", "numbers.txt"):
            (out / name).unlink(missing_ok=True)
    except OSError as fault:
        raise RequestError(
            f"{out}: cannot be replaced ({fault.strerror}). Name another with --out."
        ) from fault


def read_sheets(out: Path, plan: LocationPlan) -> tuple[Sheet | None, ...]:
    """What the pictures of a hole location show, as a plan folder keeps it: one for each of its decisions.

    Raises
    ------
    RequestError
        If it is not there, or was written by another version.
    """
    file = sheets_file(out, plan)
    again = "Plan the hole again"
    try:
        data = json.loads(gzip.decompress(file.read_bytes()))
        version = data["version"]
        if version == SHEETS_VERSION:
            return from_data(Sheets, data).sheets
    except (OSError, ValueError, EOFError, KeyError, TypeError, zlib.error) as fault:
        raise RequestError(f"{file}: what the picture shows cannot be read ({fault}). {again}.") from fault
    raise RequestError(f"{file}: version: is {version!r}, this program reads {SHEETS_VERSION}. {again}.")


def sheets_file(out: Path, plan: LocationPlan) -> Path:
    """Where a plan folder keeps what the pictures of a hole location show."""
    return _sheets_file(out / FOLDER, to_data(plan))


def _has_sheets(folder: Path, plan: LocationPlan) -> bool:
    try:
        read_sheets(folder.parent, plan)
    except RequestError:
        return False
    return True


def _write_sheets(folder: Path, plan: LocationPlan, sheets: Sheets) -> None:
    text = json.dumps(to_data(sheets), ensure_ascii=False, separators=(",", ":"))
    write_bytes(_sheets_file(folder, to_data(plan)), gzip.compress(text.encode(), mtime=0))


def _sheets_file(folder: Path, part: Any) -> Path:
    return folder / SHEETS / f"{digest(part)[:16]}.json.gz"


def read_values(out: Path, plan: LocationPlan) -> FloatArray | None:
    """Values of the whole hole behind a part of a plan folder; None where they are not there."""
    try:
        values = np.load(_values_file(out / FOLDER, to_data(plan)), allow_pickle=False)
    except (OSError, ValueError, EOFError):
        return None
    return np.asarray(values, dtype=np.float64)


def _write_values(folder: Path, plan: LocationPlan, values: FloatArray) -> None:
    """Write values beside the part they belong to, in single precision."""
    data = io.BytesIO()
    np.save(data, values.astype(np.float32))
    write_bytes(_values_file(folder, to_data(plan)), data.getvalue())


def _values_file(folder: Path, part: Any) -> Path:
    return folder / VALUES / f"{digest(part)[:16]}.npy"


def file_name(label: str, suffix: str = ".json") -> str:
    """File name of a hole: numbers with two digits, so that they sort; other labels made safe.

    >>> file_name("7"), file_name("16"), file_name("The Quarry / A", ".png")
    ('07.json', '16.json', 'The_Quarry_A.png')
    """
    safe = re.sub(r"[^\w-]+", "_", label).strip("_") or "hole"
    return (safe.zfill(2) if safe.isdecimal() else safe) + suffix
