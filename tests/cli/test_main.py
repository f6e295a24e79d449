"""The commands, run as a user runs them: what is written, what is printed, how faults end."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.demofiles import demo
from strategy.errors import RequestError

COURSE, PLAYER, WEEK = (str(path) for path in demo())
THREE = [COURSE, PLAYER, WEEK]


def run(*args, code=0):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == code, result.output
    return result


@pytest.mark.slow
def test_part_of_a_plan_is_printed_drawn_and_kept(tmp_path):
    out = tmp_path / "plan"
    part = ["plan", *THREE, "--hole", "4", "--round", "2", "--jobs", "1", "--out", out]
    first = run(*part, "--words", "all")
    assert "Hole 4, Mirror   par 3, 187 from the back tee" in first.stdout
    assert "to carry the water" in " ".join(first.stdout.split())
    assert "playing" in first.stdout  # the wind of the round is in the numbers
    assert "At the flag" in first.stdout
    assert "1 planned, 0 kept as they were;" in first.stdout
    assert "Rule 4.3" in first.stdout
    plain = re.compile(
        r"(planning|drawing): (starting|\d of \d(, hole 4)?)"
    )  # no bar where there is no terminal
    assert all(plain.fullmatch(line) for line in first.stderr.splitlines())
    picture = out / "pictures" / "04_round-2_tee.png"
    drawn = picture.stat().st_mtime_ns
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert sorted(p.name for p in out.iterdir()) == ["holes", "pictures"]
    second = run(*part)  # in the usual words
    assert "4  Mirror. Par 3, 187, green 27 deep." in second.stdout
    assert "8-iron, 181 to carry, 3 down, playing 162" in " ".join(second.stdout.split())
    assert "At the flag" not in second.stdout
    assert "0 planned, 1 kept as they were;" in second.stdout
    assert picture.stat().st_mtime_ns == drawn
    metres = run(*part, "--words", "all", "--units", "metres")
    assert "Hole 4, Mirror   par 3, 171 from the back tee" in metres.stdout
    assert "0 planned, 1 kept as they were;" in metres.stdout


@pytest.mark.slow
def test_a_whole_plan_writes_its_folder(tmp_path):
    """A course of one hole, so that the whole of it is quick."""
    folder = tmp_path / "short course"
    folder.mkdir()
    data = json.loads((Path(COURSE) / "course.geojson").read_text(encoding="utf-8"))
    lines = [f for f in data["features"] if f["properties"].get("golf") == "hole"]
    keep = [f for f in data["features"] if f not in lines or f["properties"]["ref"] == "7"]
    (folder / "course.geojson").write_text(json.dumps({**data, "features": keep}), encoding="utf-8")
    out = tmp_path / "plan"
    result = run("plan", folder, PLAYER, WEEK, "--jobs", "1", "--out", out, "--seed", "4")
    assert sorted(p.name for p in out.iterdir()) == [
        "holes",
        "numbers.txt",
        "pictures",
        "plan.json",
        "plan.txt",
    ]
    text = (out / "plan.txt").read_text(encoding="utf-8")
    assert text in result.stdout
    document = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert document["seed"] == 4
    assert [h["label"] for h in document["holes"]] == ["7"]
    assert {i["path"] for i in document["inputs"]} >= {PLAYER, WEEK}
    again = run("plan", folder, PLAYER, WEEK, "--jobs", "1", "--out", tmp_path / "other", "--seed", "4")
    assert "0 kept" in again.stdout
    assert (tmp_path / "other" / "plan.json").read_bytes() == (out / "plan.json").read_bytes()


def test_one_shot():
    result = run("options", *THREE, "--hole", "7", "--from", "tee", "--round", "1")
    lines = result.stdout.splitlines()
    assert lines[0].startswith("Hole 7, Falling Ground, par 3, round 1, hole ")
    assert lines[1].startswith("From 197 front, ")
    table = lines.index(next(line for line in lines if line.startswith("shot ")))
    assert 1 <= len([line for line in lines[3:table] if " to carry" in line and ": finish " in line]) <= 3
    rows = lines[table + 1 : lines.index("", table)]
    strokes = [float(found.group()) for row in rows if (found := re.search(r"\d\.\d{3}", row))]
    assert len(strokes) >= 3  # long counts go on in a row of their own
    assert strokes == sorted(strokes)


def test_every_wish_of_one_shot_reaches_what_answers_it(monkeypatch):
    heard = {}

    def listen(course, player, week, *args, **wishes):
        heard.update(wishes, hole=args[0], origin=args[1], who=player.name)
        raise RequestError("heard")

    monkeypatch.setattr("strategy.plan.ask.ask", listen)
    wishes = ["--hole", "7", "--from", "90 front", "--round", "3", "--pin", "9 on, centre", "--lie", "rough"]
    result = CliRunner().invoke(main, ["options", *map(str, THREE), *wishes, "--need", "3", "--seed", "5"])
    assert result.exit_code == 2
    assert heard == {
        "hole": "7",
        "origin": "90 front",
        "round": 3,
        "pin": "9 on, centre",
        "lie": "rough",
        "seed": 5,
        "unit_m": pytest.approx(0.9144),
        "need": 3,
        "who": "Rowan Tarrick",
    }


def test_one_shot_from_a_distance_with_another_hole_location():
    result = run(
        "options",
        *THREE,
        "--hole",
        "1",
        "--from",
        "142 front",
        "--pin",
        "8 on, 6 from the left",
        "--lie",
        "rough",
    )
    assert "hole 8 on, 6 from the left." in result.stdout
    assert "From 142 front, " in result.stdout
    assert ", rough not seen yet." in result.stdout


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["plan", "nowhere", PLAYER, WEEK], "nowhere"),
        (["plan", COURSE, "nobody.toml", WEEK], "nobody.toml"),
        (["plan", COURSE, PLAYER, "never.toml"], "never.toml"),
        (["plan", COURSE, WEEK, PLAYER], "demo.toml: is a week file (it has rounds, stimp), where a player"),
        (
            ["plan", PLAYER, COURSE, WEEK],
            "tour-left-fade.toml: is a player file, where a course was expected",
        ),
        (["plan", COURSE, WEEK, PLAYER], "a plan takes COURSE PLAYER WEEK in this order"),
        (["plan", *THREE, "--hole", "19"], "has no hole '19'; its holes are 1, 2, 3"),
        (["plan", *THREE, "--round", "9"], "has no round 9; its rounds are 1, 2, 3, 4"),
        (["plan", *THREE, "--hole", "4", "--out", WEEK], "cannot be made"),
        (["plan", *THREE, "--units", "feet"], "'feet' is not one of 'yards', 'metres'"),
        (["plan", *THREE, "--jobs", "0"], "0 is not in the range"),
        (["plan", COURSE], "Missing argument 'PLAYER'"),
        (["options", *THREE, "--from", "tee"], "Missing option '--hole'"),
        (["options", *THREE, "--hole", "7"], "Missing option '--from'"),
        (["options", *THREE, "--hole", "99", "--from", "tee"], "has no hole '99'"),
        (
            ["options", *THREE, "--hole", "7", "--from", "the ladies"],
            'write "tee", a distance as "142 front"',
        ),
        (["options", *THREE, "--hole", "7", "--from", "0 front"], "it is a putt"),
        (
            ["options", *THREE, "--hole", "4", "--from", "20 front"],
            "penalty area; give the place of the drop",
        ),
        (["options", *THREE, "--hole", "1", "--from", "tee", "--lie", "mud"], "lie 'mud' is unknown"),
        (["options", *THREE, "--hole", "1", "--from", "tee", "--pin", "99 on, centre"], "yd deep"),
        (["options", *THREE, "--hole", "1", "--from", "tee", "--round", "5"], "has no round 5"),
    ],
)
def test_faults_end_with_2_and_say_what_and_how_to_mend(args, said):
    result = run(*args, code=2)
    assert said in result.stderr
    assert len(result.stderr.splitlines()) == 1 or "Usage:" in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""


@pytest.fixture(scope="module")
def week_44(tmp_path_factory):
    """The demo week with a hole in it that the course does not have."""
    text = Path(WEEK).read_text(encoding="utf-8").replace("\n18 = {", "\n44 = {", 1)
    path = tmp_path_factory.mktemp("week") / "week.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "args",
    [
        ["options", COURSE, PLAYER, "WEEK", "--hole", "4", "--from", "20 yards"],
        ["numbers", COURSE, "--hole", "4", "--week", "WEEK"],
        ["number", PLAYER, "--course", COURSE, "--week", "WEEK", "--hole", "4", "--from", "20 yards"],
        ["solve", COURSE, PLAYER, "WEEK", "--hole", "99"],
    ],
)
def test_every_command_names_holes_of_the_week_that_are_not_there(week_44, args):
    """The places asked for are no places, so that the answer is quick."""
    result = CliRunner().invoke(main, [str(week_44) if a == "WEEK" else a for a in args])
    said = f"{week_44}: round 1, [rounds.holes]: there is no hole 44 on this course"
    assert said in result.stderr
