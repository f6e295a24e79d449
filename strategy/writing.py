"""Writes files whole or not at all: under a temporary name beside the target, then renamed.

The temporary folder `.writing-<process>-...` beside the target is removed whatever fails. Only a process that
is killed leaves it behind; `sweep` removes the folders of processes that no longer run.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from strategy.errors import RequestError

_PREFIX: Final = ".writing-"
_FULL: Final = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})


@contextmanager
def replacing(file: Path) -> Iterator[Path]:
    """A path to write to, of the same name, that takes the place of `file` at the end.

    The folder of the file is made if need be.

    Raises
    ------
    RequestError
        If the file cannot be written: the disk is full, the folder takes no file, or a file has its name.
    """
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        prefix = f"{_PREFIX}{os.getpid()}-"
        with tempfile.TemporaryDirectory(prefix=prefix, dir=file.parent) as folder:
            work = Path(folder) / file.name
            yield work
            work.replace(file)
    except OSError as fault:
        raise RequestError(f"{file}: {unwritten(fault)}") from fault


def write_text(file: Path, text: str) -> None:
    """Write a text file in UTF-8; see `replacing`."""
    with replacing(file) as work:
        work.write_text(text, encoding="utf-8", newline="\n")


def write_bytes(file: Path, data: bytes) -> None:
    """Write a file; see `replacing`. Use it for libraries too: many do not report a full disk themselves."""
    with replacing(file) as work:
        work.write_bytes(data)


def unwritten(fault: OSError) -> str:
    """Why a file cannot be written, and what to do, in words."""
    if fault.errno in _FULL:
        return "cannot be written: the disk is full. Make room, then give the same command again."
    return f"cannot be written ({fault.strerror}). Name another place."


def sweep(folder: Path) -> None:
    """Remove the temporary folders that killed processes have left in a folder."""
    for left in folder.glob(f"{_PREFIX}*-*"):
        process = left.name.removeprefix(_PREFIX).partition("-")[0]
        if process.isdecimal() and not _runs(int(process)):
            shutil.rmtree(left, ignore_errors=True)


def _runs(process: int) -> bool:
    """Whether a process of this machine runs. Where that cannot be asked, True."""
    if os.name == "posix":
        with contextlib.suppress(PermissionError):
            try:
                os.kill(process, 0)
            except ProcessLookupError:
                return False
    return True
