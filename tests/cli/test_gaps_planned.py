"""A course with gaps, planned to the end by the commands a user types: import, check, plan."""

import json
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.demofiles import demo

BARE, TEELESS = "5", "7"  # a par 4 without fairway and first cut; a hole without a tee


def run(*args):
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    assert result.exit_code == 0, result.output
    return result


def with_gaps(path):
    """The demo course without the mown ground of one hole and without the tees of another."""
    outlines = json.loads((demo().course / "course.geojson").read_text(encoding="utf-8"))
    before = len(outlines["features"])
    gone = (f"fairway-{BARE}-", f"first-cut-{BARE}-", f"tee-{TEELESS}-")
    outlines["features"] = [f for f in outlines["features"] if not f["id"].startswith(gone)]
    assert before - len(outlines["features"]) == 6  # a fairway, its first cut, four tees
    path.write_text(json.dumps(outlines), encoding="utf-8")
    return path


def one_round(path):
    """The first round of the demo week."""
    text = Path(demo().week).read_text(encoding="utf-8")
    path.write_text("[[rounds]]".join(text.split("[[rounds]]")[:2]), encoding="utf-8")
    assert len(tomllib.loads(path.read_text(encoding="utf-8"))["rounds"]) == 1
    return path


@pytest.mark.slow
def test_eighteen_holes_with_gaps_are_planned_to_the_end(tmp_path):
    folder, out = tmp_path / "links", tmp_path / "plan"
    brought = run("import", with_gaps(tmp_path / "export.geojson"), "--to", folder)
    assert f"Next: course-strategy check {folder}" in brought.stdout
    checked = run("check", folder).stdout
    assert f"draw the tees, or place the markers under [[tees]] (hole {TEELESS})" in " ".join(checked.split())
    assert f"draw the fairway (hole {BARE})" in checked
    planned = run("plan", folder, demo().player, one_round(tmp_path / "week.toml"), "--out", out)
    assert "not drawn" not in planned.stderr  # progress is told there too
    pictures = sorted((out / "pictures").glob("*.png"))
    assert [p.name for p in pictures] == [f"{n:02}_round-1_tee.png" for n in range(1, 19)]
    assert all(p.read_bytes().startswith(b"\x89PNG") for p in pictures)
    assert "Not planned" not in planned.stdout
    assert "18 planned, 0 kept as they were" in planned.stdout
    holes = {h["label"]: h for h in json.loads((out / "plan.json").read_text(encoding="utf-8"))["holes"]}
    assert list(holes) == [str(n) for n in range(1, 19)]
    assert all(h["rounds"] and not any(f["kind"] == "failed" for f in h["findings"]) for h in holes.values())
    bare = " ".join(f["text"] for f in holes[BARE]["findings"])
    assert "no fairway is drawn" in bare
    assert "no tee is drawn" in " ".join(f["text"] for f in holes[TEELESS]["findings"])
