"""Every kind of number moves its edge to what was walked, within half a yard, and leaves outlines whole."""

from __future__ import annotations

import pytest

from strategy.course import edges, read_course
from strategy.course.numbers import hole_numbers
from strategy.units import YARD_M


@pytest.mark.parametrize("more", [-4, 4])
@pytest.mark.parametrize("kind", ["front", "back", "depth", "width at 260", "run-out"])
def test_every_kind_of_number_is_met(sketch, tmp_path, kind, more):
    sketch.hole("1", length=400)
    sketch.box(-16, 120, 16, 340, golf="fairway")
    sketch.write(tmp_path / "course.geojson")

    def said():
        hole = read_course(tmp_path).holes[0]
        numbers = hole_numbers(hole, widths=[("", 260 * YARD_M)])
        tee = numbers.sources[0]
        value = {
            "front": tee.front,
            "back": tee.back,
            "depth": numbers.depth,
            "run-out": tee.run_out[0][1],
        }.get(kind)
        wide = tee.widths[0]
        found = (wide.width_m, wide.origin) if value is None else (value.value_m, value.origin)
        return hole, found

    _, (before, drawn) = said()
    told = before / YARD_M + more
    (tmp_path / "measurements.csv").write_text(f"hole,from,what,yards,how\n1,tee,{kind},{told:.2f},paced\n")
    hole, (after, origin) = said()
    assert after / YARD_M == pytest.approx(told, abs=0.5)
    assert (drawn, origin) == ("traced", "paced")
    assert all(a.shape.is_valid for a in hole.areas)
    assert hole.green.is_valid
    assert edges.fairway_of(hole).is_valid
