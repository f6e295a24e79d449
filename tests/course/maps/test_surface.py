"""The surface map agrees with shapely further than a cell from any edge, and precedence holds."""

import dataclasses
import pickle

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.maps.surface import BLOCK, rasterize, surface_map
from strategy.course.model import Area
from tests.course.holes import a_hole

CELL = 0.5


def hole_with(areas, green=None, mapped=None, out=None):
    green = green if green is not None else shapely.Point(0, 60).buffer(4)
    mapped = mapped if mapped is not None else shapely.box(-40, -20, 40, 80)
    return a_hole(green, areas, length_m=60.0, par=3, mapped=mapped, out_of_bounds=out)


def area(surface, shape, fid="a", known=True):
    return Area(surface=surface, shape=shape, fid=fid, colour_known=known)


def centres(m):
    ny, nx = m.codes.shape
    x = m.corner[0] + (np.arange(nx) + 0.5) * m.cell_m
    y = m.corner[1] + (np.arange(ny) + 0.5) * m.cell_m
    return np.meshgrid(x, y)


@st.composite
def outlines(draw):
    """A star-shaped outline, perhaps with a hole in it, perhaps concave, anywhere near the map."""
    n = draw(st.integers(3, 14))
    x, y = draw(st.floats(-45, 45)), draw(st.floats(-25, 85))
    size = draw(st.floats(0.3, 40))
    share = np.array(draw(st.lists(st.floats(0.3, 1.0), min_size=n, max_size=n)))
    turn = draw(st.floats(0, 6.3)) + np.linspace(0, 2 * np.pi, n, endpoint=False)
    ring = np.column_stack((x + size * share * np.cos(turn), y + size * share * np.sin(turn)))
    inner = [np.array([x, y]) + 0.5 * (ring - [x, y])] if draw(st.booleans()) else []
    return shapely.make_valid(shapely.Polygon(ring, inner))


@given(
    st.lists(st.tuples(st.sampled_from([s for s in Surface if s < Surface.OUT]), outlines()), max_size=7),
    outlines(),
)
def test_codes_agree_with_the_exact_answer_beyond_one_cell_from_any_edge(drawn, out):
    hole = hole_with([area(s, shape) for s, shape in drawn], out=out)
    m = surface_map(hole, CELL)
    x, y = centres(m)
    # The specification, written out plainly: the first in the order that contains the centre wins.
    order = [Surface.GREEN, Surface.BUNKER, Surface.YELLOW, Surface.RED, Surface.TEE, Surface.FAIRWAY]
    order += [Surface.FIRST_CUT, Surface.TREES, Surface.ROUGH]
    exact = np.full(x.shape, Surface.ROUGH, dtype=np.uint8)
    for surface in reversed(order):
        for one in hole.areas:
            if one.surface == surface:
                exact[shapely.contains_xy(one.shape, x, y)] = surface
    exact[shapely.contains_xy(hole.green, x, y)] = Surface.GREEN
    exact[~shapely.contains_xy(hole.mapped, x, y)] = Surface.OFF_MAP
    exact[shapely.contains_xy(out, x, y)] = Surface.OUT
    edges = [shape.boundary for _, shape in drawn] + [hole.green.boundary, hole.mapped.boundary, out.boundary]
    differ = m.codes != exact
    assert np.all(shapely.distance(shapely.union_all(edges), shapely.points(x[differ], y[differ])) <= CELL)


@given(outlines())
def test_a_cell_takes_the_surface_at_its_centre(shape):
    # Stronger than the promise: all centres agree, save those on the outline to within rounding.
    size = (240, 220)
    rows, cols, mask = rasterize(shape, (-55.0, -35.0), CELL, size)
    got = np.zeros(size, dtype=bool)
    got[rows, cols] = mask
    x, y = np.meshgrid(-55.0 + (np.arange(220) + 0.5) * CELL, -35.0 + (np.arange(240) + 0.5) * CELL)
    differ = got != shapely.contains_xy(shape, x, y)
    assert np.all(shapely.distance(shape.boundary, shapely.points(x[differ], y[differ])) < 1e-9)


@pytest.mark.parametrize(
    ("over", "under"),
    [
        (Surface.GREEN, Surface.BUNKER),
        (Surface.BUNKER, Surface.RED),
        (Surface.YELLOW, Surface.TEE),
        (Surface.RED, Surface.TEE),
        (Surface.TEE, Surface.FAIRWAY),
        (Surface.FAIRWAY, Surface.FIRST_CUT),
        (Surface.FIRST_CUT, Surface.TREES),
        (Surface.TREES, Surface.ROUGH),
    ],
)
def test_precedence(over, under):
    square = shapely.box(-5, 20, 5, 30)
    for pair in ([over, under], [under, over]):
        m = surface_map(hole_with([area(s, square) for s in pair]))
        assert m.at([0, 25])[0] == over


def test_out_of_bounds_wins_over_everything_and_unmapped_ground_is_off_the_map():
    out = shapely.box(2, -100, 200, 200)
    m = surface_map(hole_with([area(Surface.BUNKER, shapely.box(-5, 20, 5, 30))], out=out))
    assert [Surface(c) for c in m.at([(1.7, 25), (2.3, 25), (-39.7, 0), (-41, 0), (-300, 0)])] == [
        Surface.BUNKER,
        Surface.OUT,
        Surface.ROUGH,
        Surface.OFF_MAP,
        Surface.OFF_MAP,
    ]


def test_rows_grow_north_and_the_corner_is_south_west():
    m = surface_map(hole_with([]))
    ny, nx = m.codes.shape
    assert m.codes[int((60 - m.corner[1]) / CELL), int((0 - m.corner[0]) / CELL)] == Surface.GREEN
    assert m.corner[0] <= -40
    assert m.corner[1] <= -20
    # 100 m by 80 m, a cell all round, and up to whole blocks on either side.
    assert 200 < ny <= 210
    assert 160 < nx <= 170
    assert (ny % BLOCK, nx % BLOCK) == (0, 0)


def test_touching_penalty_areas_have_their_own_numbers_and_bunkers_in_water_have_none():
    left, right = shapely.box(-10, 20, 0, 30), shapely.box(0, 20, 10, 30)
    sand = shapely.box(4, 24, 6, 26)
    hole = hole_with([area(Surface.BUNKER, sand), area(Surface.RED, left), area(Surface.YELLOW, right)])
    m = surface_map(hole)

    def number(x, y):
        return m.area[int((y - m.corner[1]) / CELL), int((x - m.corner[0]) / CELL)]

    assert (number(-5, 25), number(5, 22), number(5, 25), number(0, 60)) == (0, 1, -1, -1)


def test_a_centre_on_the_edge_of_a_penalty_area_is_in_it():
    # Rules of Golf 2023, Rule 17.1a: a ball is in the area when any part touches or is above its edge.
    water = shapely.box(-10.25, 20.25, 10.25, 30.25)  # all four edges run through cell centres
    m = surface_map(hole_with([area(Surface.RED, water)]))
    at = [(-10.25, 25.25), (10.25, 25.25), (0.25, 20.25), (0.25, 30.25), (10.25, 30.25)]
    assert set(m.at(at)) == {Surface.RED}


def test_a_known_colour_lies_over_an_assumed_one():
    square = shapely.box(-5, 20, 5, 30)
    areas = [area(Surface.RED, square, "known"), area(Surface.RED, square, "assumed", known=False)]
    m = surface_map(hole_with(areas))
    assert m.area[int((25 - m.corner[1]) / CELL), int((0 - m.corner[0]) / CELL)] == 0


def test_the_mirror_image_hole_has_the_mirror_image_map():
    shape = shapely.Polygon([(3, 20), (21, 24), (17, 41), (6.3, 33)])
    one = surface_map(hole_with([area(Surface.RED, shape)]))
    flipped = shapely.transform(shape, lambda p: p * [-1, 1])
    other = surface_map(hole_with([area(Surface.RED, flipped)]))
    np.testing.assert_array_equal(one.codes[:, ::-1], other.codes)
    assert other.corner == one.corner


@pytest.mark.parametrize("cell", [0.0, -1.0, float("nan")])
def test_a_cell_has_a_size(cell):
    with pytest.raises(ValueError, match="cell_m"):
        surface_map(hole_with([]), cell)


def test_islands_survive_and_the_map_can_be_pickled(sketch, tmp_path):
    sketch.hole("1")
    course = read_course(sketch.write(tmp_path / "a.geojson"))
    hole = course.hole("1")
    lake = shapely.Polygon(shapely.box(-30, 100, 30, 200).exterior, [shapely.box(-10, 140, 10, 160).exterior])
    x0, y0 = hole.line[0]
    lake = shapely.transform(lake, lambda p: p + np.array([x0, y0]))
    m = surface_map(dataclasses.replace(hole, areas=(*hole.areas, area(Surface.YELLOW, lake))))
    assert m.at([(x0, y0 + 150), (x0 + 20, y0 + 150)]).tolist() == [Surface.ROUGH, Surface.YELLOW]
    np.testing.assert_array_equal(pickle.loads(pickle.dumps(m)).codes, m.codes)
