"""Edges of a hole on squared paper: a right-angled turn, and a first leg that meets no fairway past it."""

from __future__ import annotations

import pytest

from strategy.course import edges, read_course
from strategy.course.numbers import hole_numbers


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
    on = edges.straight_on(edges.fairway_of(hole), edges.line_from(hole, hole.tees[0].xy))
    assert on is not None
    assert on.value_m == pytest.approx(275, abs=0.1)
    assert on.push == pytest.approx((0.0, 1.0), abs=1e-3)


def test_a_fairway_that_stops_short_of_the_turn_is_not_run_through(dogleg):
    hole = dogleg(200)
    line = edges.line_from(hole, hole.tees[0].xy)
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
    assert tee.line_m == pytest.approx(390, abs=0.2)
