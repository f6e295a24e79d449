"""Numbers of a hole worked by hand on squared paper: one straight hole of 400 m due north."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.course import read_course
from strategy.course.numbers import hole_numbers
from strategy.units import YARD_M


@pytest.fixture
def folder(sketch, tmp_path):
    sketch.hole("1", length=400)
    sketch.box(-16, 120, 16, 340, golf="fairway")
    sketch.box(-26, 220, -12, 235, golf="bunker")
    sketch.box(-60, 345, 60, 360, golf="lateral_water_hazard", natural="water")
    sketch.write(tmp_path / "course.geojson")
    return tmp_path


@pytest.fixture
def numbers(folder):
    return hole_numbers(read_course(folder).holes[0], widths=[("", 250 * YARD_M)])


def test_to_reach_and_to_carry_each_thing_from_the_tee(numbers):
    tee = numbers.sources[0]
    found = {t.name: (t.reach, t.carry) for t in tee.features}
    sand = next(v for k, v in found.items() if "bunker" in k)
    water = next(v for k, v in found.items() if "water" in k)
    # As the crow flies: to the nearest corner of the sand, (-12, 220), and its furthest, (-26, 235).
    assert sand[0].value_m / YARD_M == pytest.approx((220**2 + 12**2) ** 0.5 / YARD_M, abs=1.5)
    assert sand[1].value_m / YARD_M == pytest.approx(235 / YARD_M, abs=2.5)
    assert water[0].value_m == pytest.approx(345, abs=1.0)
    assert water[1].value_m == pytest.approx(360, abs=1.0)
    assert sand[0].origin == "traced"


def test_green_front_middle_back_and_depth(numbers):
    tee = numbers.sources[0]
    assert tee.front.value_m == pytest.approx(386, abs=0.5)
    assert tee.middle.value_m == pytest.approx(400, abs=0.5)
    assert tee.back.value_m == pytest.approx(414, abs=0.5)
    assert numbers.depth.value_m == pytest.approx(28, abs=0.5)


def test_fairway_width_where_asked_and_run_out(numbers):
    tee = numbers.sources[0]
    (width,) = tee.widths
    # At 250 yd (229 m) the bunker, painted over the fairway, leaves 12 m left of the line and 16 m right.
    assert (width.left_m, width.right_m) == pytest.approx((12, 16), abs=0.5)
    assert width.width_m == pytest.approx(28, abs=0.5)
    (name, run_out), *_ = tee.run_out
    assert name == "run-out"
    assert run_out.value_m == pytest.approx(340, abs=1.0)


def test_the_command_prints_yards_and_metres_when_asked(folder):
    run = CliRunner().invoke(main, ["numbers", str(folder), "--hole", "1"])
    assert run.exit_code == 0, run.output
    assert "traced" in run.output
    assert "to carry" in run.output
    assert max(map(len, run.output.splitlines())) <= 80
    metres = CliRunner().invoke(main, ["numbers", str(folder), "--hole", "1", "--units", "metres"])
    assert metres.exit_code == 0, metres.output
    assert "386" in metres.output


def test_an_unknown_hole_is_said(folder):
    run = CliRunner().invoke(main, ["numbers", str(folder), "--hole", "7"])
    assert run.exit_code == 2
    assert "no hole '7'" in run.output


def test_the_cover_of_a_false_front_stands_under_the_front(folder):
    (folder / "course.toml").write_text('units = "yards"\n[holes.1.green]\nfalse_front = 5\n')
    found = hole_numbers(read_course(folder).holes[0], stimp_ft=11.0)
    tee = found.sources[0]
    assert found.least_landing.origin == tee.least_landing.origin == "assumed"
    assert tee.least_landing.value_m == pytest.approx(
        tee.front.value_m + found.least_landing.value_m, abs=0.01
    )
    run = CliRunner().invoke(main, ["numbers", str(folder), "--hole", "1"])
    assert run.exit_code == 0, run.output
    on, land = (round(n.value_m / YARD_M) for n in (found.least_landing, tee.least_landing))
    assert f"False front: land {on} on or more (assumed)" in run.output
    row = next(line for line in run.output.splitlines() if "past the false front" in line)
    assert row.split()[-2:] == [str(land), "assumed"]
    (folder / "course.toml").write_text('units = "yards"\n[holes.1.green]\nfall = "2 % back to front"\n')
    assert hole_numbers(read_course(folder).holes[0]).least_landing is None
