"""`njit` for the kernels of this package, with compiled code kept in a folder that cannot be stale.

numba's own cache checks only the file a kernel stands in. It does not check the constants and kernels that
the kernel takes from other files, and after a change there it would give the old answers. So the folder of
compiled code is named after the whole source::

    $XDG_CACHE_HOME/course-strategy/numba/<code_digest()>/      ~/.cache without XDG_CACHE_HOME
    <temporary folder>/course-strategy-<user>/numba/<...>/      where that cannot be written

A `NUMBA_CACHE_DIR` that the user has set is used as it is. Where no folder can be written, kernels are
compiled for this process alone. Every kernel takes `njit` from here (tests/test_house.py).
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

KEPT: Final = 5  # folders of other versions that are kept, so that switching back compiles nothing
IN_USE_S: Final = 86_400.0  # a folder used within a day may belong to a running process

# Rooms that change no number: pages, reports and commands.
_NOT_NUMBERS: Final = frozenset({"report", "page", "__main__.py", "demofiles.py", "demo"})


@cache
def code_digest(*rooms: str) -> str:
    """Digest of the source and tables that numbers come from, or of the rooms named: 32 hexadecimal digits.

    About 10 ms, once a process.
    """
    total = hashlib.sha256()
    package = Path(__file__).resolve().parent
    for file in sorted(package.rglob("*")):
        inside = file.relative_to(package)
        if inside.suffix in (".py", ".csv") and _counts(inside.parts[0], rooms):
            total.update(inside.as_posix().encode())
            total.update(hashlib.sha256(file.read_bytes()).digest())
    return total.hexdigest()[:32]


def _counts(top: str, rooms: tuple[str, ...]) -> bool:
    return top in rooms if rooms else top not in _NOT_NUMBERS and not top.startswith("cli")


def njit(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """`numba.njit`; with `cache=True` its compiled code is kept in `cache_folder`."""
    import numba

    config: Any = numba.config

    def compiled(function: Callable[..., Any]) -> Any:
        asked = config.CACHE_DIR
        folder = cache_folder(asked) if options.get("cache") else None
        if folder is None:
            return numba.njit(**{**options, "cache": False})(function)
        # Set only while the kernel is made: other code of this process keeps its own folder.
        config.CACHE_DIR = str(folder)
        try:
            kernel = numba.njit(**options)(function)
        finally:
            config.CACHE_DIR = asked
        _forgive(kernel)
        return kernel

    return compiled


def _forgive(kernel: Any) -> None:
    """Let a kernel that cannot write or read its compiled code compile again, rather than fail.

    The disk may fill up while code is written. And the user's own folder may hold code of a version whose
    arguments had other types, which this version cannot read.
    """
    store = kernel._cache
    save, load = store.save_overload, store.load_overload

    def save_overload(signature: Any, compiled: Any) -> None:
        with contextlib.suppress(OSError):
            save(signature, compiled)

    def load_overload(signature: Any, context: Any) -> Any:
        try:
            return load(signature, context)
        except (AttributeError, ImportError, EOFError, pickle.UnpicklingError):
            with contextlib.suppress(OSError):
                store._cache_file.flush()
            return None

    store.save_overload, store.load_overload = save_overload, load_overload


@cache
def cache_folder(asked: str = "") -> Path | None:
    """The folder of compiled code, made if need be; None where no folder can be written.

    Parameters
    ----------
    asked : str
        The user's own folder, used as it is if it can be written; "" for none.
    """
    if asked and _usable(Path(asked)):
        return Path(asked)
    for base in _bases():
        folder = base / "numba" / code_digest()
        if _usable(folder):
            _prune(folder.parent, folder)
            return folder
    return None


def _bases() -> Iterator[Path]:
    stated = os.environ.get("XDG_CACHE_HOME", "")
    with contextlib.suppress(RuntimeError):  # a user without a home folder
        # A relative path there is invalid and to be ignored (XDG Base Directory Specification 0.8).
        yield (Path(stated) if Path(stated).is_absolute() else Path.home() / ".cache") / "course-strategy"
    user = os.getuid() if hasattr(os, "getuid") else "user"
    shared = Path(tempfile.gettempdir()) / f"course-strategy-{user}"
    if _own(shared):
        yield shared


def _own(folder: Path) -> bool:
    """Whether a folder in a place that users share is this user's alone, because code in it is run."""
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        status = folder.lstat()
    except OSError:
        return False
    mine = not hasattr(os, "getuid") or status.st_uid == os.getuid()
    return stat.S_ISDIR(status.st_mode) and mine and not status.st_mode & 0o022


def _usable(folder: Path) -> bool:
    """Make a folder, mark it as used now, and try to write a file into it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        os.utime(folder)
        with tempfile.TemporaryFile(dir=folder) as probe:
            probe.write(b"\0" * 4096)
    except OSError:
        return False
    return True


def _prune(parent: Path, current: Path) -> None:
    """Remove folders of other versions, except the last few used and any used within a day."""
    with contextlib.suppress(OSError):
        others = [(entry.stat().st_mtime, entry.path) for entry in os.scandir(parent)]
        others = sorted((used, path) for used, path in others if path != str(current))
        for used, path in others[:-KEPT]:
            if time.time() - used > IN_USE_S:
                shutil.rmtree(path, ignore_errors=True)
