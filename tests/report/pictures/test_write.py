"""Pictures into the plan folder: whatever becomes of them, the plan is printed, kept and ends well."""

from __future__ import annotations

import dataclasses
import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

import strategy.plan.jobs.engine
import strategy.report.pictures.picture
import strategy.report.pictures.solved
from strategy.cli.main import main
from strategy.demofiles import demo
from strategy.errors import RequestError
from strategy.outcome.today import HoleToday
from strategy.plan import read_plan
from strategy.report.pictures.chosen import Pictures
from strategy.report.pictures.write import write_pictures

NAME = "07_round-1_location-1_tee.png"  # its hole location is not known: four likely ones are planned
COURSE, PLAYER, WEEK = (str(path) for path in demo())


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture(scope="module")
def one_hole(tmp_path_factory):
    """The 7th alone, and one round, so that the whole plan of it is quick."""
    folder = tmp_path_factory.mktemp("course")
    data = json.loads((Path(COURSE) / "course.geojson").read_text(encoding="utf-8"))
    lines = [f for f in data["features"] if f["properties"].get("golf") == "hole"]
    keep = [f for f in data["features"] if f not in lines or f["properties"]["ref"] == "7"]
    (folder / "course.geojson").write_text(json.dumps({**data, "features": keep}), encoding="utf-8")
    week = folder / "week.toml"
    week.write_text('name = "Week"\n[[rounds]]\nnumber = 1\n', encoding="utf-8")
    return folder, week


@pytest.fixture(scope="module")
def planned(one_hole, tmp_path_factory):
    """The plan folder of it, with its picture, and the command that made it but for --out."""
    course, week = one_hole
    command, out = ("plan", course, PLAYER, week, "--jobs", "1"), tmp_path_factory.mktemp("planned") / "plan"
    whole = run(*command, "--out", out)
    assert whole.exit_code == 0, whole.output
    assert "4 planned, 0 kept" in whole.stdout
    assert (out / "pictures" / NAME).is_file()
    return out, command


@pytest.fixture
def copied(planned, tmp_path):
    """A plan folder of one's own, and the command whose jobs it keeps."""
    folder, command = planned
    out = Path(shutil.copytree(folder, tmp_path / "plan"))
    return out, (*command, "--out", out)


@pytest.mark.slow
def test_a_picture_that_fails_costs_neither_text_nor_json(copied, monkeypatch):
    def breaks(*_, **__):
        raise ValueError("zero-size array to reduction operation")

    out, command = copied
    monkeypatch.setattr(strategy.report.pictures.picture, "draw_map", breaks)
    (out / "pictures" / "made.json").unlink()  # it has to be drawn again
    (out / "plan.json").unlink()
    broken = run(*command)
    assert broken.exit_code == 0, broken.output
    assert "not drawn: hole 7: a fault of the program (ValueError: zero-size array" in broken.stderr
    assert "Hole 7" in broken.stdout
    assert "0 pictures in pictures/" in broken.stdout
    assert json.loads((out / "plan.json").read_text(encoding="utf-8"))["holes"][0]["label"] == "7"
    assert not (out / "pictures" / NAME).exists()  # the old one shows another plan


@pytest.mark.slow
def test_drawing_sets_nothing_up(copied, monkeypatch):
    """A plan that is read back is drawn from its folder alone, to the byte."""
    out, _ = copied
    picture, before = out / "pictures" / NAME, (out / "pictures" / NAME).read_bytes()

    def no_hole(*_, **__):
        raise AssertionError("a hole is set up")

    monkeypatch.setattr(HoleToday, "__init__", no_hole)
    picture.unlink()
    plan = read_plan(out)
    assert write_pictures(plan, out, jobs=1) == ([picture], [])
    assert picture.read_bytes() == before
    shutil.rmtree(out / "holes" / "sheets")
    files, failed = write_pictures(plan, out, jobs=1)
    assert files == []
    assert re.fullmatch(r"hole 7: .*cannot be read \(.*\)\. Plan the hole again\.", failed[0])


@pytest.mark.slow
def test_all_first_or_no_pictures(copied):
    out, command = copied
    folder = out / "pictures"
    shutil.rmtree(folder)
    none = run(*command, "--pictures", "none")
    assert none.exit_code == 0, none.output
    assert not folder.exists()
    assert "0 pictures in pictures/" in none.stdout
    every = run(*command, "--pictures", "all")
    assert "4 pictures in pictures/" in every.stdout
    there = sorted(p.name for p in folder.glob("*.png"))
    assert there == [f"07_round-1_location-{k}_tee.png" for k in (1, 2, 3, 4)]
    first = (folder / NAME).stat().st_mtime_ns
    assert "1 picture in pictures/" in run(*command).stdout
    assert (folder / NAME).stat().st_mtime_ns == first  # it was there already


@pytest.mark.slow
def test_draw_takes_what_is_kept(copied, monkeypatch):
    out, (_, *sources) = copied

    def no_hole(*_, **__):
        raise AssertionError("a hole is set up")

    monkeypatch.setattr(strategy.plan.jobs.engine, "bench_of", no_hole)
    before = (out / "plan.json").read_bytes()
    done = run("draw", *sources, "--size", "carry", "--shot", "tee")
    assert done.exit_code == 0, done.output
    drawn = [Path(line) for line in done.stdout.splitlines()]
    assert [p.name for p in drawn] == [f"07_round-1_location-{k}_tee_carry.png" for k in (1, 2, 3, 4)]
    assert all(p.is_file() for p in drawn)
    assert "planned first" not in done.stderr
    assert (out / "plan.json").read_bytes() == before
    approach = run("draw", *sources, "--shot", "approach")  # of a par 3
    assert (approach.exit_code, approach.stdout) == (0, "")
    assert "no such shot" in approach.stderr


@pytest.mark.slow
def test_draw_says_what_it_waits_for(copied, monkeypatch):
    out, (_, *sources) = copied
    shutil.rmtree(out / "holes")

    def stops(job):
        raise RequestError("stopped here")

    monkeypatch.setattr(strategy.plan.jobs.engine, "plan_job", stops)
    done = run("draw", *sources, "--hole", "7", "--round", "1")
    assert f"In {out} 4 hole locations are not planned from these files yet: planned first." in done.stderr
    assert "no such shot" in done.stderr


@pytest.mark.slow
def test_a_picture_of_what_the_plan_says_no_more_is_removed(copied):
    out, _ = copied
    plan = read_plan(out)
    files, failed = write_pictures(plan, out, pictures=Pictures.ALL, size="carry", jobs=1)
    assert (len(files), failed) == (4, [])
    (hole,) = plan.holes
    (markers,) = hole.rounds
    first, *others = markers.locations
    another = dataclasses.replace(first, tee=dataclasses.replace(first.tee, short_side="left"))
    changed = dataclasses.replace(markers, locations=(another, *others))
    now = dataclasses.replace(plan, holes=(dataclasses.replace(hole, rounds=(changed,)),))
    write_pictures(now, out, pictures=Pictures.NONE, jobs=1)
    assert [f.is_file() for f in files] == [False, True, True, True]


@pytest.mark.slow
def test_pictures_under_the_names_they_had_before_are_removed(copied):
    out, _ = copied
    folder = out / "pictures"
    (folder / "07.png").touch()
    (folder / "mine.png").touch()
    (folder / "made.json").write_text('{"07.png": "0123"}\n', encoding="utf-8")
    files, failed = write_pictures(read_plan(out), out, jobs=1)
    assert ([f.name for f in files], failed) == ([NAME], [])
    assert sorted(f.name for f in folder.glob("*.png")) == [NAME, "mine.png"]


@pytest.mark.slow
def test_a_folder_that_takes_no_pictures_costs_nothing_else(copied):
    out, command = copied
    shutil.rmtree(out / "pictures")
    (out / "pictures").write_text("a file where the folder should be", encoding="utf-8")
    for name in ("plan.json", "plan.txt"):
        (out / name).unlink()
    done = run(*command)
    assert done.exit_code == 0, done.output
    assert "not drawn: all holes: " in done.stderr
    assert (out / "plan.json").is_file()
    assert (out / "plan.txt").is_file()


@pytest.mark.slow
def test_solve_prints_its_text_whatever_becomes_of_the_picture(one_hole, tmp_path, monkeypatch):
    def breaks(*_, **__):
        raise IndexError("no level")

    course, week = one_hole
    monkeypatch.setattr(strategy.report.pictures.solved, "write_solved", breaks)
    done = run("solve", course, PLAYER, week, "--hole", "7", "--out", tmp_path / "seven.png")
    assert done.exit_code == 0, done.output
    assert "Every following shot this player's own best" in done.stdout
    assert "not drawn: hole 7: a fault of the program (IndexError: no level)" in done.stderr
