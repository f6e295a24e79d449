"""What all commands share: options, progress with an estimate of the time left, and how a command ends."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import click

from strategy.columns import as_wide_as
from strategy.errors import StrategyError

LINE_EVERY_S: Final = 10.0  # where the output is no terminal
_FAULT: Final = 2
_STOPPED: Final = 130  # 128 and the number of SIGINT, as shells have it

# Errors of a disk, a folder or a limit of the machine. Any other is a fault of ours and keeps its traceback.
_OUTSIDE: Final = frozenset(
    {
        errno.EACCES, errno.EDQUOT, errno.EEXIST, errno.EFBIG, errno.EIO, errno.EISDIR, errno.EMFILE,
        errno.ENFILE, errno.ENOMEM, errno.ENOSPC, errno.ENOTDIR, errno.EPERM, errno.EROFS,
    }
)  # fmt: skip


UNITS = click.option(
    "--units",
    type=click.Choice(["yards", "metres"]),
    default="yards",
    show_default=True,
    help="Of distances, read and printed.",
)


SEED = click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, help="The same seed, the same plan."
)
OUT = click.option("--out", type=click.Path(path_type=Path), help="Plan folder.  [default: plans/C-P-W]")
JOBS = click.option("--jobs", type=click.IntRange(min=1), help="Processes.  [default: one a core]")
_SOURCES = (
    click.argument("course", type=click.Path(path_type=Path)),
    click.argument("player", type=click.Path(path_type=Path)),
    click.argument("week", type=click.Path(path_type=Path)),
)


def sources(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command its arguments COURSE, PLAYER and WEEK."""
    for argument in reversed(_SOURCES):
        command = argument(command)
    return command


def plan_folder(out: Path | None, course: Path, player: Path, week: Path) -> Path:
    """The folder that was named, or the one a plan of these is kept in by default."""
    return out or Path("plans") / "-".join(p.resolve().stem for p in (course, player, week))


def words_option(default: str) -> Callable[[Any], Any]:
    """The option --words: how much a command prints."""
    return click.option(
        "--words",
        type=click.Choice(["few", "usual", "all"]),
        default=default,
        show_default=True,
        help="How much is said: one line a shot, what is read in half a minute a hole, or everything.",
    )


class Stopped(Exception):  # noqa: N818  (it is no error)
    """Ctrl-C was pressed. The message says which results are kept."""


class Commands(click.Group):
    """A group of commands that end with one plain message where the user can mend the fault.

    The exit code is then 2. A full disk, a folder that takes no file, and a closed pipe end in the same way.
    Ctrl-C says what is kept and ends with 130, as in a shell. Every other exception keeps its traceback.
    """

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command. Whatever ends it early becomes a message on standard error."""
        try:
            with as_wide_as(terminal_width()):
                result = super().invoke(ctx)
            sys.stdout.flush()  # so that a full disk is noticed here, not while Python ends
        except (StrategyError, Stopped, KeyboardInterrupt, OSError) as fault:
            message, code = _ending(fault)
        else:
            return result
        # After the except clause: the exception keeps pools and half-written files alive until it is freed.
        with contextlib.suppress(OSError):
            click.echo(message, err=True)
        return ctx.exit(code)


def terminal_width() -> int | None:
    """Columns of the terminal that standard output goes to. None for a file or a pipe."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def _ending(fault: BaseException) -> tuple[str, int]:
    """The message for a fault, and the exit code. A fault of our own is raised again."""
    if isinstance(fault, StrategyError):
        return str(fault), _FAULT
    if isinstance(fault, Stopped | KeyboardInterrupt):
        return str(fault) or "Stopped.", _STOPPED
    if isinstance(fault, BrokenPipeError):
        _discard_output()
        return "The reader of the output has gone: the rest is not printed.", _FAULT
    if isinstance(fault, OSError) and fault.errno in _OUTSIDE:
        from strategy.writing import unwritten

        if fault.filename is None:
            _discard_output()
        return f"{fault.filename or 'The output'}: {unwritten(fault)}", _FAULT
    raise fault


def _discard_output() -> None:
    """Send the rest of standard output nowhere: as it ends Python would try it again, and complain."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class Pace:
    """How many of a number of jobs are done, and how long the rest will take.

    The estimate leaves the first job out, because that one also starts processes and compiles.

    Parameters
    ----------
    what : str
        Name of the work ("planning").
    clock : callable
        Gives the time. [s]
    """

    def __init__(self, what: str, clock: Callable[[], float] = time.monotonic) -> None:
        self.what, self.where = what, ""
        self.done = self.total = 0
        self.on_change: Callable[[], object] = lambda: None
        self._clock = clock
        self._start = clock()
        self._ends: list[tuple[int, float]] = []

    def __call__(self, done: int, total: int, where: str) -> None:
        """Note that `done` of `total` jobs are done, the last of them at `where` ("hole 4")."""
        self.done, self.total, self.where = done, total, where
        self._ends.append((done, self._clock()))
        self.on_change()

    def left_s(self) -> float | None:
        """Estimate of the time left. None while no job is done. [s]"""
        if len(self._ends) < 2 or not 0 < self.done < self.total:
            return None
        begun, last = self._ends[0], self._ends[-1]
        if last[0] > self._ends[1][0]:
            begun = self._ends[1]
        each = (last[1] - begun[1]) / max(last[0] - begun[0], 1)
        return max(each * (self.total - self.done) - (self._clock() - last[1]), 0.0)

    def left(self) -> str:
        """The time left in words. "" while no job is done.

        >>> times = iter([0.0, 0.0, 20.0, 30.0, 32.0])
        >>> pace = Pace("planning", lambda: next(times))
        >>> for done in range(3):
        ...     pace(done, 12, "hole 4")
        >>> pace.left()
        'about 2 min left'
        """
        left = self.left_s()
        if left is None:
            return ""
        return (
            f"about {max(round(left, -1), 10):.0f} s left"
            if left < 90.0
            else f"about {left / 60.0:.0f} min left"
        )

    def line(self) -> str:
        """One plain line: the work, how many jobs are done, and the time left."""
        count = f"{self.done} of {self.total}" if self.total else "starting"
        return ", ".join(part for part in (f"{self.what}: {count}", self.where, self.left()) if part)


@contextmanager
def progress(what: str) -> Iterator[Pace]:
    """Show the progress of jobs on standard error: a bar on a terminal, else a plain line every ten seconds.

    Raises
    ------
    Stopped
        On Ctrl-C. The message says how many jobs are kept, and that the same command does the rest.
    """
    pace = Pace(what)
    try:
        with _bar(pace) if sys.stderr.isatty() else _lines(pace):
            yield pace
    except KeyboardInterrupt:
        raise Stopped(_stopped_message(pace)) from None


def _stopped_message(pace: Pace) -> str:
    ctx = click.get_current_context(silent=True)
    is_anew = ctx is not None and ctx.params.get("anew")
    same = "The same command without --anew" if is_anew else "The same command"
    verb = "is" if pace.done == 1 else "are"
    count = f"{pace.done} of {pace.total} {verb}" if pace.total else "what was there is"
    return f"Stopped while {pace.what}: {count} done and kept. {same} goes on with the rest."


@contextmanager
def _lines(pace: Pace) -> Iterator[None]:
    finished = threading.Event()

    def print_lines() -> None:
        while not finished.wait(LINE_EVERY_S):
            with contextlib.suppress(OSError, ValueError):  # standard error may be closed
                click.echo(pace.line(), err=True)

    printer = threading.Thread(target=print_lines, daemon=True)
    printer.start()
    try:
        yield
    finally:
        finished.set()
        printer.join()


@contextmanager
def _bar(pace: Pace) -> Iterator[None]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, ProgressColumn, Task
    from rich.text import Text

    class Line(ProgressColumn):
        """The line, made anew at every refresh, so that the time left counts down between two jobs."""

        def render(self, task: Task) -> Text:  # noqa: ARG002
            return Text(pace.line())

    with Progress(BarColumn(20), Line(), console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(pace.what, total=None)
        pace.on_change = lambda: bar.update(task, completed=pace.done, total=pace.total)
        yield
