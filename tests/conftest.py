"""What all tests share: hypothesis profiles, the order of the tests, and the demo plan.

The profile `dev` looks for new examples at every run; `ci` repeats the same ones. Neither has a deadline: the
first call of a kernel compiles it, and no test depends on timing.
"""

from __future__ import annotations

import fcntl
import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("dev", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI", "false") == "true" else "dev")

ROOT = Path(__file__).resolve().parents[1]
# Rooms whose tests need the compiled kernels of `decide`.
COMPILED = frozenset({"cli", "decide", "plan", "report"})


def pytest_collection_modifyitems(items):
    """Order the tests so that test workers seldom compile or solve the same thing.

    `scripts/test` gives each worker one part of this list, and a worker that is done takes tests from the end
    of another's part. So one worker compiles the kernels while the other runs tests that need none, and finds
    them compiled. Modules stay together, since their fixtures are made once a module. Among the compiled
    rooms those with slow tests come first, so that a worker is not left alone with them.
    """
    slow = {item.path for item in items if item.get_closest_marker("slow")}

    def place(item):
        compiled = not COMPILED.isdisjoint(item.path.relative_to(ROOT).parts[:2])
        return compiled, compiled and item.path not in slow

    items.sort(key=place)


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
