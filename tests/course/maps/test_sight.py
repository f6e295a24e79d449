"""Lines of sight: a crest, a tree, a valley; against the line itself."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.course import read_course
from strategy.course.height_map import HeightMap
from strategy.course.maps.sight import CELL_M, EYE_M, Sight, sight_of
from strategy.course.maps.surface import grid
from strategy.course.origin import Origin
from strategy.course.playline import point_at
from strategy.demofiles import demo
from strategy.units import YARD_M
from tests.plan.drawn import straight, trees

TEE = (0.0, 0.0)


def on(profile, hole=None):
    """A hole due north on ground of these heights (depth, height) along it, and its sight. [m]"""
    hole = straight() if hole is None else hole
    corner, shape = grid(hole, CELL_M)
    depth = corner[1] + (np.arange(shape[0]) + 0.5) * CELL_M
    height = np.interp(depth, *np.array(profile, dtype=float).T)
    heights = np.repeat(height[:, None], shape[1], axis=1).astype(np.float32)
    ground = HeightMap(heights=heights, corner=corner, cell_m=CELL_M, origin=Origin.PUBLISHED, error_m=0.1)
    return sight_of(dataclasses.replace(hole, heights=ground))


def north(*depths):
    return np.array([(0.0, d) for d in depths], dtype=float)


def test_level_ground_hides_nothing():
    for sight in (sight_of(straight()), on([(0, 7), (400, 7)])):
        assert sight.sees(TEE, north(50, 200, 350)).all()


def test_a_crest_hides_the_landing_behind_it_and_not_what_stands_high():
    """Crest 4 m up at 180 m: the line from eyes at 1.6 m passes it and is 4.93 m up at 250 m."""
    crest = on([(0, 0), (100, 0), (180, 4), (230, 0), (400, 0)])
    assert crest.sees(TEE, north(150, 178, 250, 300)).tolist() == [True, True, False, False]
    up = EYE_M + (4.0 - EYE_M) * 250.0 / 180.0
    assert crest.sees(TEE, north(250, 250), [up - 0.15, up + 0.15]).tolist() == [False, True]
    # From the crest itself all of it lies open, and what is behind does not come into it.
    assert crest.sees((0.0, 182.0), north(60, 250, 300)).all()


def test_a_valley_hides_nothing_but_its_near_side():
    """The brow is 10 m ahead: what lies under the line from the eyes past it is hidden."""
    valley = on([(0, 0), (10, 0), (60, -12), (160, -12), (240, 0), (400, 0)])
    assert valley.sees(TEE, north(30, 60, 160, 200, 240)).tolist() == [False, False, True, True, True]


def test_trees_hide_what_is_behind_them_up_to_their_tops():
    wood = dataclasses.replace(trees(5, 150, 30, 170), height_m=12.0)
    sight = sight_of(straight(wood))
    behind = np.array([(15.0 * YARD_M, 300.0 * YARD_M)])
    assert not sight.sees(TEE, behind)[0]
    assert not sight.sees(TEE, behind, 12.0)[0]
    assert sight.sees(TEE, behind, 25.0)[0]
    assert sight.sees(TEE, behind * (-1.0, 1.0))[0]  # the other side is open
    assert sight.sees((15.0 * YARD_M, 175.0 * YARD_M), behind)[0]  # past the wood


def test_a_place_in_a_wood_is_not_hidden_by_the_tree_it_stands_at():
    wood = dataclasses.replace(trees(-20, 200, 20, 240), height_m=10.0)
    edge = north(200.0 * YARD_M)
    assert sight_of(straight(wood)).sees(TEE, edge, 0.5)[0]


@given(
    st.lists(st.floats(-6.0, 6.0), min_size=9, max_size=9),
    st.floats(60.0, 330.0),
    st.floats(0.0, 3.0),
)
def test_it_is_what_every_step_of_the_line_says(heights, depth, above):
    """The specification: no ground between rises over the straight line."""
    column = np.interp(np.arange(-59.0, 431.0, CELL_M), np.linspace(-60.0, 430.0, 9), heights)
    ground = HeightMap(
        heights=np.repeat(column[:, None], 2, axis=1).astype(np.float32),
        corner=(-2.0, -60.0),
        cell_m=CELL_M,
        origin=Origin.PUBLISHED,
        error_m=0.1,
    )
    sight = Sight(ground=ground, trees=None, corner=ground.corner)
    steps = np.arange(CELL_M, depth - 4.0, 0.5)
    start, end, *between = sight.ground.at(north(0.0, depth, *steps))
    line = start + EYE_M + (end + above - start - EYE_M) * steps / depth
    room = float(np.min(line - between, initial=1.0))
    if abs(room) > 0.1:  # nearer than that it is decided by where the steps fall
        assert bool(sight.sees(TEE, north(depth), above)[0]) is (room > 0.0)


def test_no_place_is_no_fault_and_places_off_the_map_are_looked_at():
    sight = on([(0, 0), (400, 0)], straight(trees(5, 150, 30, 170)))
    assert sight.sees(TEE, np.empty((0, 2))).shape == (0,)
    assert sight.sees(TEE, [(-3000.0, 100.0)], 30.0)[0]
    assert isinstance(sight, Sight)


@pytest.fixture(scope="module")
def course():
    return read_course(demo().course)


def test_the_crest_of_the_14th_hides_the_landing_and_the_post_on_it_is_seen(course):
    hole = course.hole("14")
    sight = sight_of(hole)
    landing = point_at(hole.line, np.zeros(3), np.array([240.0, 260.0, 280.0]) * YARD_M)
    for tee in hole.tees:
        assert not sight.sees(tee.xy, landing, 0.5).any()
    post = [(x, y) for name, x, y in hole.sight_marks if name == "post on the crest"]
    assert sight.sees(hole.tees[0].xy, post, 1.0).all()
    before = point_at(hole.line, 0.0, 150.0 * YARD_M)
    assert sight.sees(hole.tees[0].xy, before, 0.5).all()
    flat = sight_of(dataclasses.replace(hole, heights=None))
    assert flat.sees(hole.tees[0].xy, landing, 0.5).all()  # what hides it is the ground


def test_the_beeches_of_the_5th_hide_the_green_from_the_tee(course):
    flat = dataclasses.replace(course.hole("5"), heights=None)
    tee, corner, green = flat.line
    assert not sight_of(flat).sees(tee, green, 0.5)[0]
    assert sight_of(flat).sees(corner, green, 0.5)[0]
