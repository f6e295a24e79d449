"""Pictures drawn while a plan is made: the same files, and what fails is said as it is without."""

from __future__ import annotations

import pytest

import strategy.report.pictures.write
from strategy.course import read_course
from strategy.demofiles import demo
from strategy.plan.jobs.engine import plan_course
from strategy.player import read_player
from strategy.report.pictures.beside import drawn_beside
from strategy.report.pictures.chosen import Pictures
from strategy.report.pictures.write import FOLDER, MADE, write_pictures
from strategy.report.words.lengths import Units
from strategy.week import read_week


@pytest.fixture(scope="module")
def world():
    files = demo()
    return read_course(files.course), read_player(files.player), read_week(files.week)


@pytest.fixture(scope="module")
def made_beside(world, tmp_path_factory):
    """Two holes of one round planned in this process, their pictures drawn beside; the plans told of."""
    out, told = tmp_path_factory.mktemp("beside"), []
    with drawn_beside(out, Pictures.ALL, Units.YARDS) as send:

        def both(plan):
            told.append(plan)
            send(plan)

        plan = plan_course(*world, out, holes=["4", "13"], rounds=[1], jobs=1, on_hole=both)
    return plan, out, told


@pytest.mark.slow
def test_each_hole_is_told_as_it_stands_in_the_plan(made_beside, world):
    plan, out, told = made_beside
    assert [one.holes for one in told] == [(hole,) for hole in plan.holes]
    again = []
    plan_course(*world, out, holes=["4", "13"], rounds=[1], jobs=1, on_hole=again.append)
    assert [one.holes for one in again] == [one.holes for one in told]  # kept holes are told of too


@pytest.mark.slow
def test_pictures_drawn_beside_are_those_drawn_behind_to_the_byte(made_beside, tmp_path, monkeypatch):
    plan, out, _ = made_beside
    folder = out / FOLDER
    beside = {file.name: file.read_bytes() for file in folder.glob("*.png")}
    assert beside
    files, failed = write_pictures(plan, out, pictures=Pictures.ALL, jobs=1)
    assert (len(files), failed) == (3, [])
    behind = folder.rename(tmp_path / "first")
    drawn, failed = write_pictures(plan, out, pictures=Pictures.ALL, jobs=1)
    assert (drawn, failed) == (files, [])
    for file in drawn:
        assert file.read_bytes() == beside.get(file.name, (behind / file.name).read_bytes())
    assert (folder / MADE).read_bytes() == (behind / MADE).read_bytes()

    def nothing(job):
        raise AssertionError("it is there already")

    monkeypatch.setattr(strategy.report.pictures.write, "draw", nothing)
    assert write_pictures(plan, out, pictures=Pictures.ALL, jobs=1) == (files, [])


@pytest.mark.slow
def test_a_fault_is_said_by_hole_as_it_is_without(made_beside, tmp_path):
    """A folder that takes no pictures: nothing is raised while planning, and the reason comes at the end."""
    plan, *_ = made_beside
    (tmp_path / FOLDER).write_text("a file where the folder should be", encoding="utf-8")
    with drawn_beside(tmp_path, Pictures.ALL, Units.YARDS) as send:
        send(plan)
    files, (reason,) = write_pictures(plan, tmp_path, pictures=Pictures.ALL, jobs=1)
    assert files == []
    assert reason.startswith("all holes: ")
