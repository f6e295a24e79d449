"""Two or three demo holes, a small bag and a week: plans that take a second."""

from __future__ import annotations

import dataclasses

import pytest

from scripts.invented import a_player, a_shot
from strategy.course import read_course
from strategy.demofiles import demo
from strategy.plan import plan_course
from strategy.week.model import Round, Setup, Week, WindHour


@pytest.fixture(scope="session")
def demo_course():
    return read_course(demo().course)


@pytest.fixture(scope="session")
def course(demo_course):
    """A par 4 with a fence right, and a par 3 over water."""
    holes = tuple(h for h in demo_course.holes if h.label in ("3", "4"))
    return dataclasses.replace(demo_course, holes=holes)


@pytest.fixture(scope="session")
def player():
    return a_player(
        a_shot("driver", 285, 17, 13, run=15, bend=-12),
        a_shot("3-wood", 255, 13, 11, run=12),
        a_shot("6-iron", 180, 6.3, 6.3, run=4, dial=0.06),
        a_shot("8-iron", 155, 5.0, 5.4, run=3, dial=0.08),
        a_shot("wedge", 110, 3.4, 4.4, run=1, dial=0.3),
    )


@pytest.fixture(scope="session")
def week():
    """Round 1 with sheet, round 2 with another location on the 4th, and wind."""
    wind = (WindHour(hour=9.0, speed_mps=5.0, blows_from=225.0, gust_mps=7.0),)
    first = {"3": Setup(location="14 on, 5 from the left"), "4": Setup(location="12 on, centre")}
    second = {"3": Setup(location="14 on, 5 from the left"), "4": Setup(location="10 on, 6 from the right")}
    return Week(
        name="test week",
        rounds=(
            Round(number=1, start_hole="3", holes=first, wind=wind),
            Round(number=2, start_hole="3", holes=second, wind=wind),
        ),
    )


@pytest.fixture(scope="session")
def made(course, player, week, tmp_path_factory):
    """The plan of both holes and rounds, its folder, and what was told of its progress."""
    out = tmp_path_factory.mktemp("plan")
    seen = []
    plan = plan_course(course, player, week, out=out, jobs=1, progress=lambda *a: seen.append(a))
    return plan, out, seen
