"""Independent jobs over processes of this machine, each result handed on as soon as it is there.

Processes are spawned, never forked (a fork after numba has run kills the child), and use one numba thread
each. A worker that dies takes its batch with it: what was in flight is repeated job by job, each in a process
of its own, so that only the job that kills its worker is given up (after three deaths, and said so), and a
new pool goes on with the rest.

Source of the pattern: `concurrent.futures` marks every pending future broken when one worker dies.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import active_children, get_context
from typing import Final, Generic, TypeVar

from strategy.errors import StrategyError

J = TypeVar("J")
R = TypeVar("R")

TRIES: Final = 3
IN_FLIGHT: Final = 2  # jobs sent for each worker: enough to keep it busy, few to lose


@dataclass(frozen=True)
class Failed:
    """Why a job has no result, in words for the user."""

    reason: str


@dataclass(frozen=True)
class Done(Generic[J, R]):
    """A job with its result, or why there is none."""

    job: J
    result: R | Failed


def cores() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def run(function: Callable[[J], R], jobs: Sequence[J], workers: int) -> Iterator[Done[J, R]]:
    """Run a function over jobs, yielding each as it is done, in no order.

    Parameters
    ----------
    function : callable
        Found by its name in its module; picklable job to picklable result. A `StrategyError` becomes
        `Failed`; any other exception is raised here.
    jobs : sequence
        Independent of one another.
    workers : int
        Processes; 1 runs in this one.
    """
    if workers <= 1 or len(jobs) <= 1:
        for job in jobs:
            yield Done(job, _caught(function, job))
        return
    waiting = list(jobs)[::-1]  # taken from the end
    while waiting:
        flying: dict[Future[R | Failed], J] = {}
        try:
            with _pool(min(workers, len(waiting))) as pool:
                while waiting or flying:
                    while waiting and len(flying) < IN_FLIGHT * workers:
                        flying[_submit(pool, function, waiting[-1])] = waiting[-1]
                        waiting.pop()  # only now: a pool found broken while submitting loses nothing
                    finished, _ = wait(flying, return_when=FIRST_COMPLETED)
                    for future in finished:
                        result = future.result()  # a broken pool raises before the job is taken off
                        yield Done(flying.pop(future), result)
        except BrokenProcessPool:
            for job in flying.values():
                yield Done(job, _alone(function, job))


class Beside(Generic[J, R]):
    """Work that one process of its own does beside everything else: whatever is not done is not missed.

    Parameters
    ----------
    function : callable
        As for `run`.
    """

    def __init__(self, function: Callable[[J], R]) -> None:
        self._function = function
        self._sent: dict[Future[R | Failed], J] = {}
        self._pool: ProcessPoolExecutor | None = None

    @contextmanager
    def open(self) -> Iterator[Beside[J, R]]:
        """Take jobs until this ends; what has not begun by then is given up."""
        with _pool(1) as self._pool:
            yield self
        self._pool = None

    def send(self, job: J) -> None:
        """Send a job; it is dropped where the process has died."""
        if self._pool is not None:
            try:
                self._sent[_submit(self._pool, self._function, job)] = job
            except BrokenProcessPool:
                self._pool = None

    def finished(self, *, wait: bool = False, last: bool = False) -> Iterator[Done[J, R]]:
        """Jobs that are done and were not told before.

        Parameters
        ----------
        wait : bool
            Wait for all that were sent.
        last : bool
            Wait for what is being worked on, and give the rest up.
        """
        if last:
            for future in self._sent:
                future.cancel()
        for future in [f for f in self._sent if wait or last or f.done()]:
            job = self._sent.pop(future)
            try:
                yield Done(job, future.result())
            except (BrokenProcessPool, CancelledError):
                continue


def _alone(function: Callable[[J], R], job: J) -> R | Failed:
    """A job that was in flight when a worker died, in a process of its own: is it the culprit?"""
    for _ in range(TRIES - 1):
        try:
            with _pool(1) as pool:
                return _submit(pool, function, job).result()
        except BrokenProcessPool:
            continue
    return Failed(f"the process that worked on it ended {TRIES} times")


def _caught(function: Callable[[J], R], job: J) -> R | Failed:
    try:
        return function(job)
    except StrategyError as fault:
        return Failed(str(fault))


@contextmanager
def _pool(workers: int) -> Iterator[ProcessPoolExecutor]:
    """A pool of spawned processes with one numba thread each.

    Left early, by an exception, Ctrl-C or a caller who wants no more, its processes are ended at once.
    """
    before = os.environ.get("NUMBA_NUM_THREADS")
    os.environ["NUMBA_NUM_THREADS"] = "1"  # read by numba when a child first imports it
    others = set(active_children())
    pool = ProcessPoolExecutor(max_workers=workers, mp_context=get_context("spawn"))
    try:
        yield pool
    except BaseException:
        for process in set(active_children()) - others:
            process.terminate()
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
        if before is None:
            os.environ.pop("NUMBA_NUM_THREADS", None)
        else:
            os.environ["NUMBA_NUM_THREADS"] = before


def _submit(pool: ProcessPoolExecutor, function: Callable[[J], R], job: J) -> Future[R | Failed]:
    """Send a job. A process that is started for it never hears of Ctrl-C: this one says what it means."""
    with _no_interrupt():
        return pool.submit(_caught, function, job)


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back for a moment; a process started meanwhile holds it back for good (POSIX)."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
