"""Edges of a hole on squared paper: a right-angled turn, and a first leg that meets no fairway past it."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.course import edges, read_course
from strategy.course.numbers import hole_numbers
from strategy.course.playline import line_from


@pytest.fixture
def dogleg(new_sketch, tmp_path):
    """240 m north, then 150 m east; the fairway of the first leg runs on past the turn or stops short."""

    def build(ends):
        sketch = new_sketch()
        sketch.line([(0, 0), (0, 240), (150, 240)], golf="hole", ref="1", par="4")
        sketch.box(-4, -4, 4, 4, golf="tee")
        sketch.disc(150, 240, 14, golf="green")
        sketch.box(-20, 120, 20, ends, golf="fairway")
        folder = tmp_path / f"to{ends}"
        folder.mkdir()
        sketch.write(folder / "course.geojson")
        return read_course(folder).holes[0]

    return build


def test_the_first_leg_is_drawn_on_past_the_turn(dogleg):
    hole = dogleg(275)
    on = edges.straight_on(edges.fairway_of(hole), line_from(hole.line, hole.tees[0].xy))
    assert on is not None
    assert on.value_m == pytest.approx(275, abs=0.1)
    assert on.direction == pytest.approx((0.0, 1.0), abs=1e-3)


def test_a_fairway_that_stops_short_of_the_turn_is_not_run_through(dogleg):
    hole = dogleg(200)
    line = line_from(hole.line, hole.tees[0].xy)
    assert edges.straight_on(edges.fairway_of(hole), line) is None
    (end,) = edges.run_outs(edges.fairway_of(hole), hole.green, line)
    assert end.value_m == pytest.approx(200, abs=0.1)


def test_a_turning_hole_without_fairway_has_its_numbers(new_sketch, tmp_path):
    sketch = new_sketch()
    sketch.line([(0, 0), (0, 240), (150, 240)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(150, 240, 14, golf="green")
    sketch.write(tmp_path / "course.geojson")
    tee = hole_numbers(read_course(tmp_path).holes[0], widths=[("", 200.0)]).sources[0]
    assert (tee.run_out, tee.widths) == ((), ())
    # As the crow flies to the front, 14 m short of (150, 240) on the last leg.
    assert tee.front.value_m == pytest.approx((136**2 + 240**2) ** 0.5, abs=0.2)
    assert tee.length.value_m == pytest.approx(390, abs=0.2)


@pytest.mark.parametrize(("left", "there"), [(-30, True), (10, True), (24, True), (26, False), (50, False)])
def test_a_fairway_counts_where_it_lies_within_25_m_of_the_line(new_sketch, tmp_path, left, there):
    sketch = new_sketch()
    sketch.line([(0, 0), (0, 400)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 400, 14, golf="green")
    sketch.box(left, 150, left + 30, 300, golf="fairway")
    sketch.write(tmp_path / "course.geojson")
    hole = read_course(tmp_path).holes[0]
    found = edges.width(edges.fairway_of(hole), line_from(hole.line, hole.tees[0].xy), 220.0)
    assert (found is not None) is there
    if found is not None:
        assert [edge.value_m for edge in found] == pytest.approx([left, left + 30], abs=0.1)


@pytest.mark.parametrize("width", ["-5", "0", "nan", "5000"])
def test_a_width_at_no_distance_is_refused(sketch, tmp_path, width):
    sketch.hole("1")
    sketch.write(tmp_path / "course.geojson")
    run = CliRunner().invoke(main, ["numbers", str(tmp_path), f"--width={width}"])
    assert run.exit_code == 2
    assert f"--width {width}: is no distance" in run.output


def test_a_long_name_is_not_cut(sketch, tmp_path):
    name = "the second of the three old sprinkler heads left"
    sketch.hole("1")
    sketch.write(tmp_path / "course.geojson")
    (tmp_path / "measurements.csv").write_text(f"hole,from,what,yards,how\n1,landmark,{name},120,published\n")
    run = CliRunner().invoke(main, ["numbers", str(tmp_path)])
    assert run.exit_code == 0, run.output
    assert f"From {name}\n" in run.output
    assert max(map(len, run.output.splitlines())) <= 80


def test_the_markers_of_the_week_are_named_and_count():
    root = Path(__file__).resolve().parents[2] / "courses"
    given = ["numbers", str(root / "fennhallow"), "--hole", "4"]
    run = CliRunner().invoke(main, [*given, "--week", str(root / "weeks" / "demo.toml"), "--round", "2"])
    assert run.exit_code == 0, run.output
    (title,) = [row for row in run.output.splitlines() if row.startswith("From the back tee in round 2")]
    assert " 2 tee" not in title
    assert "front on the hole's line (cover)" in run.output
    assert "Hole location 10 on, 5 from the right" in run.output
