"""Jobs over processes: a dead worker costs a repeat, never the batch."""

from __future__ import annotations

import os

import pytest

from strategy.errors import RequestError
from strategy.plan.jobs.pool import TRIES, Beside, Failed, run


def double(job):
    number, _ = job
    return 2 * number


def dies_once(job):
    """The process dies at the first try of job 3; a file remembers that it was tried."""
    number, folder = job
    flag = folder / "tried"
    if number == 3 and not flag.exists():
        flag.touch()
        os._exit(1)
    return 2 * number


def always_dies(job):
    number, _ = job
    if number == 3:
        os._exit(1)
    return 2 * number


def refuses_three(job):
    number, _ = job
    if number == 3:
        raise RequestError("three is not planned")
    return 2 * number


def breaks_at_three(job):
    number, _ = job
    return 1 // (number - 3)


def results(function, folder, workers):
    jobs = [(n, folder) for n in range(6)]
    return {done.job[0]: done.result for done in run(function, jobs, workers)}


def test_in_this_process(tmp_path):
    assert results(double, tmp_path, 1) == {n: 2 * n for n in range(6)}


def test_a_users_fault_fails_one_job_and_the_rest_goes_on(tmp_path):
    found = results(refuses_three, tmp_path, 1)
    assert found.pop(3) == Failed("three is not planned")
    assert found == {n: 2 * n for n in range(6) if n != 3}


def test_a_fault_of_ours_is_raised(tmp_path):
    with pytest.raises(ZeroDivisionError):
        results(breaks_at_three, tmp_path, 1)


@pytest.mark.slow
def test_a_worker_that_dies_is_replaced_and_every_job_is_done(tmp_path):
    assert results(dies_once, tmp_path, 2) == {n: 2 * n for n in range(6)}
    assert (tmp_path / "tried").exists()


@pytest.mark.slow
def test_a_job_that_always_kills_its_worker_is_given_up_alone(tmp_path):
    found = results(always_dies, tmp_path, 2)
    assert found.pop(3) == Failed(f"the process that worked on it ended {TRIES} times")
    assert found == {n: 2 * n for n in range(6) if n != 3}


@pytest.mark.slow
def test_errors_cross_from_other_processes(tmp_path):
    assert results(refuses_three, tmp_path, 2)[3] == Failed("three is not planned")
    with pytest.raises(ZeroDivisionError):
        results(breaks_at_three, tmp_path, 2)


@pytest.mark.slow
def test_work_beside_everything_else_is_told_once_and_what_dies_is_dropped(tmp_path):
    """One process: jobs behind the one that kills it are dropped too, and sending more does no harm."""
    beside = Beside(refuses_three)
    with beside.open():
        for n in (2, 3):
            beside.send((n, tmp_path))
        found = {done.job[0]: done.result for done in beside.finished(wait=True)}
        assert found == {2: 4, 3: Failed("three is not planned")}
        assert list(beside.finished(wait=True)) == []
    dying = Beside(always_dies)
    with dying.open():
        dying.send((3, tmp_path))
        assert list(dying.finished(wait=True)) == []
        dying.send((1, tmp_path))
        assert list(dying.finished(last=True)) == []


@pytest.mark.slow
def test_what_has_not_begun_is_given_up_at_the_end(tmp_path):
    beside = Beside(double)
    with beside.open():
        for n in range(60):
            beside.send((n, tmp_path))
        told = [done.job[0] for done in beside.finished(last=True)]
    assert told == sorted(told)
    assert len(told) < 60
