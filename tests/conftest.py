"""Hypothesis profiles. `dev` looks for new examples at every run; `ci` repeats the same ones.

Neither has a deadline: the first call of a kernel compiles it, and no test depends on timing.
"""

from __future__ import annotations

import fcntl
import os

import pytest
from hypothesis import settings

settings.register_profile("dev", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI", "false") == "true" else "dev")


@pytest.fixture(scope="session")
def demo_folder(demo_plan, tmp_path_factory, worker_id):
    """The plan folder of `demo_plan`: the values of each hole as solved stand there."""
    base = tmp_path_factory.getbasetemp()
    return (base if worker_id == "master" else base.parent) / "demo-plan" / "plan"


@pytest.fixture(scope="session")
def demo_plan(tmp_path_factory, worker_id):
    """The whole demo course planned for the demo player and week: (plan, course, player, week).

    It takes about two minutes, so it is made once: test workers share a folder, the first one plans while
    the others wait for its lock, and these then read what it kept. Tests that use it are marked slow.
    """
    from strategy import plan_course, read_course, read_player, read_week
    from strategy.demofiles import demo

    files = demo()
    read = read_course(files.course), read_player(files.player), read_week(files.week)
    base = tmp_path_factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / "demo-plan"
    folder.mkdir(exist_ok=True)
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        plan = plan_course(*read, out=folder / "plan")
    return (plan, *read)
