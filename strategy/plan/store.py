"""What is already planned, on disk: `<plan folder>/holes/<label>.json`, written as each job is done.

A file holds the hole's parts, one for each hole location and set of markers, under the digest of everything
that went into it. What cannot be read is planned again. Beside it, in `values/`, stand the values of the
whole hole behind each part, so that a picture need not solve it again.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from strategy.errors import RequestError
from strategy.plan.codec import from_data, to_data
from strategy.plan.digest import digest
from strategy.plan.document import VERSION, LocationPlan

FOLDER: Final = "holes"
VALUES: Final = "values"
FloatArray = NDArray[np.float64]


class Store:
    """Parts of the holes of one plan folder.

    Parameters
    ----------
    out : Path or None
        The plan folder; None keeps nothing.
    """

    def __init__(self, out: Path | None) -> None:
        self._folder = None if out is None else out / FOLDER
        self._parts: dict[str, dict[str, Any]] = {}
        if self._folder is not None:
            try:
                self._folder.mkdir(parents=True, exist_ok=True)
            except OSError as fault:
                raise RequestError(
                    f"{out}: the plan folder cannot be made ({fault.strerror}). Name another with --out."
                ) from fault

    def get(self, label: str, key: str) -> LocationPlan | None:
        """A part that is there already, or None."""
        found = self._of(label).get(key)
        if found is None:
            return None
        try:
            return from_data(LocationPlan, found)
        except ValueError:
            return None

    def put(self, label: str, key: str, plan: LocationPlan, value: FloatArray) -> None:
        """Keep a part and the values behind it; they are on disk when this returns."""
        if self._folder is not None:
            write_values(self._folder, plan, value)
        parts = self._of(label)
        parts[key] = to_data(plan)
        self._write(label)

    def keep_only(self, label: str, keys: list[str]) -> None:
        """Forget the parts of a hole that no plan asks for any more, and put the rest in order."""
        parts = self._of(label)
        wanted = {key: parts[key] for key in keys if key in parts}
        if list(wanted) != list(parts):
            if self._folder is not None:
                kept = {_values_name(part) for part in wanted.values()}
                for part in parts.values():
                    if _values_name(part) not in kept:
                        (self._folder / VALUES / _values_name(part)).unlink(missing_ok=True)
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


def kept_values(out: Path, plan: LocationPlan) -> FloatArray | None:
    """Values of the whole hole behind a part of a plan folder; None where they are not there."""
    try:
        value = np.load(out / FOLDER / VALUES / _values_name(to_data(plan)), allow_pickle=False)
    except (OSError, ValueError, EOFError):
        return None
    return np.asarray(value, dtype=np.float64)


def write_values(folder: Path, plan: LocationPlan, value: FloatArray) -> None:
    """Write values beside the part they belong to, in single precision, under a temporary name first."""

    def write(part: Path) -> None:
        part.parent.mkdir(exist_ok=True)
        with part.open("wb") as out:
            np.save(out, value.astype(np.float32))

    _replaced(folder / VALUES / _values_name(to_data(plan)), write)


def _values_name(part: Any) -> str:
    return f"{digest(part)[:16]}.npy"


def file_name(label: str, suffix: str = ".json") -> str:
    """File name of a hole: numbers with two digits, so that they sort; other labels made safe.

    >>> file_name("7"), file_name("16"), file_name("The Quarry / A", ".png")
    ('07.json', '16.json', 'The_Quarry_A.png')
    """
    safe = re.sub(r"[^\w-]+", "_", label).strip("_") or "hole"
    return (safe.zfill(2) if safe.isdecimal() else safe) + suffix


def write_text(file: Path, text: str) -> None:
    """Write a text file under a temporary name beside it, then rename.

    Raises
    ------
    RequestError
        If it cannot be written.
    """
    _replaced(file, lambda part: part.write_text(text, encoding="utf-8"))


def _replaced(file: Path, write: Callable[[Path], object]) -> None:
    """Have a file written under a temporary name beside it, then rename it."""
    try:
        temporary = file.with_name(f".{file.name}.{os.getpid()}.part")
        write(temporary)
        temporary.replace(file)
    except OSError as fault:
        raise RequestError(f"{file}: cannot be written ({fault.strerror}). Name another place.") from fault
