"""Out of bounds: the side away from the hole's line, or as course.toml says."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.assembly.boundary import ground_out_of_bounds
from strategy.course.maps.surface import surface_map

LINE = shapely.LineString([(0, 0), (0, 400)])
WINDOW = shapely.box(-100, -100, 100, 500)


def out(boundary, x, y, side=None, line=LINE):
    ground = ground_out_of_bounds(boundary, line, WINDOW, side)
    return bool(shapely.contains_xy(ground, x, y))


def test_a_fence_along_the_right_is_out_beyond_it():
    fence = shapely.LineString([(30, -200), (30, 700)])
    assert out(fence, 31, 200)
    assert out(fence, 99, -90)
    assert not out(fence, 29, 200)
    assert not out(fence, -90, 200)


def test_direction_of_drawing_does_not_matter_without_a_side():
    fence = shapely.LineString([(30, 700), (30, -200)])
    assert out(fence, 31, 200)
    assert not out(fence, 29, 200)


def test_nothing_is_out_opposite_the_undrawn_part():
    fence = shapely.LineString([(30, 100), (30, 300)])
    assert out(fence, 60, 200)
    assert not out(fence, 60, 90)
    assert not out(fence, 60, 310)


def test_a_fence_with_a_corner_away_from_the_hole():
    fence = shapely.LineString([(30, -200), (30, 250), (70, 250), (70, 700)])
    assert out(fence, 50, 240)
    assert not out(fence, 50, 260)
    assert out(fence, 80, 260)


def test_a_corner_behind_the_green_closes_both_ways():
    fence = shapely.LineString([(40, 100), (40, 430), (-150, 430)])
    assert out(fence, 50, 300)
    assert out(fence, 0, 440)
    assert out(fence, 60, 460)
    assert not out(fence, -30, 420)


def test_fences_on_both_sides():
    fences = shapely.MultiLineString([[(30, -200), (30, 700)], [(-25, -200), (-25, 700)]])
    assert out(fences, 31, 10)
    assert out(fences, -26, 10)
    assert not out(fences, 0, 10)


def test_an_outline_round_the_hole_is_out_outside_and_another_inside():
    grounds = shapely.box(-50, -50, 50, 450)
    assert out(grounds, 60, 200)
    assert not out(grounds, 40, 200)
    range_ = shapely.box(30, 100, 60, 200)
    assert out(range_, 40, 150)
    assert not out(range_, 25, 150)
    assert not out(range_, 70, 150)


def test_a_closed_line_is_an_outline():
    assert out(shapely.LineString([(-50, -50), (50, -50), (50, 450), (-50, 450), (-50, -50)]), 60, 200)


def test_a_line_that_the_hole_crosses_needs_a_side():
    dogleg = shapely.LineString([(0, 0), (0, 200), (80, 300)])
    fence = shapely.LineString([(30, -200), (30, 700)])
    assert ground_out_of_bounds(fence, dogleg, WINDOW) is None
    assert out(fence, 60, 100, "right", dogleg)
    assert not out(fence, 20, 100, "right", dogleg)
    assert out(fence, 20, 100, "left", dogleg)


@pytest.mark.parametrize("turned", [False, True])
def test_a_stated_side_follows_the_drawn_direction(turned):
    points = [(30, -200), (30, 200), (35, 700)]
    fence = shapely.LineString(points[::-1] if turned else points)
    assert out(fence, 40, 100, "left" if turned else "right")
    assert not out(fence, 20, 100, "left" if turned else "right")
    assert out(fence, 20, 100, "right" if turned else "left")


def test_the_hole_is_out_beyond_the_line_and_the_flank_of_a_mapped_course(sketch, tmp_path, texts):
    sketch.hole("1")
    sketch.line([(25, -100), (25, 500)], golf="out_of_bounds")
    course = read_course(sketch.write(tmp_path / "a.geojson"))
    hole = course.hole("1")
    at = course.frame.to_xy(sketch.frame.to_lonlat([(24.4, 200), (25.6, 200), (55, 200)]))
    assert [Surface(c) for c in surface_map(hole).at(at)] == [Surface.ROUGH, Surface.OUT, Surface.OUT]
    assert "out of bounds counts where it is drawn" in texts(course)


def test_a_hole_far_from_the_drawn_boundary_has_empty_not_unknown_ground(sketch, tmp_path):
    sketch.hole("1")
    sketch.hole("2", x=600)
    sketch.line([(25, -100), (25, 500)], golf="out_of_bounds")
    course = read_course(sketch.write(tmp_path / "a.geojson"))
    assert course.hole("2").out_of_bounds.area == 0.0  # None would be unknown
    assert course.hole("1").out_of_bounds.area > 1000.0


def test_internal_out_of_bounds_counts_only_on_the_stated_hole(sketch, tmp_path):
    folder = tmp_path / "links"
    folder.mkdir()
    sketch.hole("1")
    sketch.hole("2", x=60)
    fence = sketch.line([(30, -100), (30, 500)], golf="out_of_bounds")
    sketch.write(folder / "course.geojson")
    (folder / "course.toml").write_text(f'[[out_of_bounds]]\nfeature = "{fence}"\nholes = [1]\n')
    course = read_course(folder)
    assert course.hole("1").out_of_bounds.area > 1000
    assert course.hole("2").out_of_bounds.is_empty


def test_a_line_across_the_hole_is_asked_about(sketch, tmp_path, texts):
    sketch.hole("1")
    sketch.line([(-100, 150), (100, 160)], golf="out_of_bounds")
    course = read_course(sketch.write(tmp_path / "a.geojson"))
    assert "crosses the out-of-bounds line" in texts(course.hole("1"))
    assert course.hole("1").out_of_bounds.is_empty


def test_course_toml_may_call_a_wall_the_boundary(sketch, tmp_path):
    folder = tmp_path / "links"
    folder.mkdir()
    sketch.hole("1")
    wall = sketch.line([(25, -100), (25, 500)], barrier="wall")
    sketch.write(folder / "course.geojson")
    (folder / "course.toml").write_text(f'[[out_of_bounds]]\nfeature = "{wall}"\n')
    assert read_course(folder).hole("1").out_of_bounds.area > 1000


@given(
    st.lists(st.floats(15, 90), min_size=2, max_size=9),
    st.floats(10, 150),
    st.floats(200, 390),
    st.sampled_from([-1, 1]),
    st.booleans(),
)
def test_any_wandering_fence_is_out_exactly_behind_it(offsets, first, last, side, turned):
    # Beside a straight hole "behind" needs no geometry: further out than the fence at the same depth.
    depth = np.linspace(first, last, len(offsets))
    points = list(zip(side * np.array(offsets), depth, strict=True))
    ground = ground_out_of_bounds(shapely.LineString(points[::-1] if turned else points), LINE, WINDOW)
    x, y = np.meshgrid(np.linspace(-99.3, 99.3, 60), np.linspace(-90.7, 490.7, 70))
    margin = side * x - np.interp(y, depth, offsets)
    expected = (margin > 0) & (y > first) & (y < last)
    clear = (np.abs(margin) > 0.1) & (np.abs(y - first) > 0.1) & (np.abs(y - last) > 0.1)
    np.testing.assert_array_equal(shapely.contains_xy(ground, x, y)[clear], expected[clear])
