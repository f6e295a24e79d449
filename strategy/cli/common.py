"""What all commands share: how a fault and Ctrl-C end, progress with an estimate of what is left."""

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
from typing import Any, Final

import click

from strategy.columns import as_wide_as
from strategy.errors import StrategyError

LINE_EVERY_S: Final = 10.0  # where the output is no terminal
_FAULT: Final = 2
_STOPPED: Final = 130  # 128 and the number of SIGINT, as shells have it

# What a disk, a folder or a limit of the machine says; anything else is a fault of ours.
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


def words_option(default: str) -> Callable[[Any], Any]:
    """How much is said: --words."""
    return click.option(
        "--words",
        type=click.Choice(["few", "usual", "all"]),
        default=default,
        show_default=True,
        help="How much is said: one line a shot, what is read in half a minute a hole, or everything.",
    )


class Stopped(Exception):  # noqa: N818  (it is no error)
    """Ctrl-C, with what is kept."""


class Commands(click.Group):
    """A group in which a fault the user can mend is one plain message, and the exit code 2.

    So do a disk that is full, a folder that takes no file, and a reader of the output that has gone. Ctrl-C
    says what is kept and ends with 130, as in a shell.
    """

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; what ends it early becomes a message on standard error."""
        try:
            with as_wide_as(terminal_width()):
                found = super().invoke(ctx)
            sys.stdout.flush()  # a disk that is full says so here, not while Python ends
        except (StrategyError, Stopped, KeyboardInterrupt, OSError) as fault:
            said, code = _ending(fault)
        else:
            return found
        # Not inside: the fault holds what was running, pools and half-written files, until it is let go.
        with contextlib.suppress(OSError):
            click.echo(said, err=True)
        return ctx.exit(code)


def terminal_width() -> int | None:
    """Columns of the terminal that standard output goes to; None where it goes elsewhere."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def _ending(fault: BaseException) -> tuple[str, int]:
    """What a fault is in words, with the exit code; one of ours is raised again."""
    if isinstance(fault, StrategyError):
        return str(fault), _FAULT
    if isinstance(fault, Stopped | KeyboardInterrupt):
        return str(fault) or "Stopped.", _STOPPED
    if isinstance(fault, BrokenPipeError):
        _let_go_of_output()
        return "The reader of the output has gone: the rest is not printed.", _FAULT
    if isinstance(fault, OSError) and fault.errno in _OUTSIDE:
        from strategy.writing import unwritten

        if fault.filename is None:
            _let_go_of_output()
        return f"{fault.filename or 'The output'}: {unwritten(fault)}", _FAULT
    raise fault


def _let_go_of_output() -> None:
    """What is still to be printed goes nowhere: Python would try it again at its end, and complain."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class Pace:
    """How far a number of jobs is, and how long the rest will take.

    Jobs run at the pace of those done since the first: that one also starts processes and compiles.

    Parameters
    ----------
    what : str
        "planning".
    clock : callable
        Seconds.
    """

    def __init__(self, what: str, clock: Callable[[], float] = time.monotonic) -> None:
        self.what, self.where = what, ""
        self.done = self.total = 0
        self.told: Callable[[], object] = lambda: None  # called after every change
        self._clock = clock
        self._start = clock()
        self._ends: list[tuple[int, float]] = []

    def __call__(self, done: int, total: int, where: str) -> None:
        """Note that so many of all are done."""
        self.done, self.total, self.where = done, total, where
        self._ends.append((done, self._clock()))
        self.told()

    def left_s(self) -> float | None:
        """Estimate of what is left; None while nothing is done. [s]"""
        if len(self._ends) < 2 or not 0 < self.done < self.total:
            return None
        begun, last = self._ends[0], self._ends[-1]
        if last[0] > self._ends[1][0]:
            begun = self._ends[1]
        each = (last[1] - begun[1]) / max(last[0] - begun[0], 1)
        return max(each * (self.total - self.done) - (self._clock() - last[1]), 0.0)

    def left(self) -> str:
        """The same in words, "" while nothing is known.

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
        """One plain line: what, how many, how long the rest takes."""
        count = f"{self.done} of {self.total}" if self.total else "starting"
        return ", ".join(part for part in (f"{self.what}: {count}", self.where, self.left()) if part)


@contextmanager
def progress(what: str) -> Iterator[Pace]:
    """Progress of jobs on standard error: a bar on a terminal, else a plain line every ten seconds.

    Raises
    ------
    Stopped
        On Ctrl-C: how many jobs are kept, and that the same command goes on with the rest.
    """
    pace = Pace(what)
    try:
        with _bar(pace) if sys.stderr.isatty() else _lines(pace):
            yield pace
    except KeyboardInterrupt:
        raise Stopped(_kept(pace)) from None


def _kept(pace: Pace) -> str:
    ctx = click.get_current_context(silent=True)
    again = ctx is not None and ctx.params.get("anew")
    same = "The same command without --anew" if again else "The same command"
    verb = "is" if pace.done == 1 else "are"
    count = f"{pace.done} of {pace.total} {verb}" if pace.total else "what was there is"
    return f"Stopped while {pace.what}: {count} done and kept. {same} goes on with the rest."


@contextmanager
def _lines(pace: Pace) -> Iterator[None]:
    over = threading.Event()

    def tell() -> None:
        while not over.wait(LINE_EVERY_S):
            with contextlib.suppress(OSError, ValueError):  # nobody reads it any more
                click.echo(pace.line(), err=True)

    teller = threading.Thread(target=tell, daemon=True)
    teller.start()
    try:
        yield
    finally:
        over.set()
        teller.join()


@contextmanager
def _bar(pace: Pace) -> Iterator[None]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, ProgressColumn, Task
    from rich.text import Text

    class Line(ProgressColumn):
        """Read at every refresh, so that what is left counts down between two jobs."""

        def render(self, task: Task) -> Text:  # noqa: ARG002
            return Text(pace.line())

    with Progress(BarColumn(20), Line(), console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(pace.what, total=None)
        pace.told = lambda: bar.update(task, completed=pace.done, total=pace.total)
        yield
