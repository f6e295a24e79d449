"""Depth along the line of play and side right of it."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from strategy.course.playline import along_side, from_front, front_point, heading_at, line_length, point_at
from strategy.errors import RequestError
from strategy.units import metres

STRAIGHT = np.array([[0.0, 0.0], [0.0, 400.0]])
DOGLEG = np.array([[0.0, 0.0], [0.0, 200.0], [150.0, 350.0]])
GREEN = shapely.Point(0, 400).buffer(15, quad_segs=64)


def test_right_is_positive_and_ends_go_on_straight():
    assert along_side(STRAIGHT, [(5, 100), (-5, 100), (3, -20), (3, 450)]).tolist() == [
        [5, 100],
        [-5, 100],
        [3, -20],
        [3, 450],
    ]


@pytest.mark.parametrize(
    ("line", "heading"), [([[0, 0], [0, 1]], 0), ([[0, 0], [1, 0]], 90), ([[0, 0], [-1, 0]], 270)]
)
def test_headings_are_clockwise_from_north(line, heading):
    assert heading_at(line, 0.5) == heading


def test_heading_changes_at_the_corner():
    assert heading_at(DOGLEG, 199) == 0
    assert heading_at(DOGLEG, 201) == pytest.approx(45)


def test_outside_of_a_corner_the_side_is_the_distance_to_it():
    side, depth = along_side(DOGLEG, (-3, 203))[0]
    assert depth == pytest.approx(200)
    assert side == pytest.approx(-np.hypot(3, 3))


def test_outside_of_a_hairpin_keeps_its_sign():
    hairpin = np.array([[0.0, 0.0], [0.0, 100.0], [10.0, 0.0]])
    assert along_side(hairpin, (1, 110))[0, 0] < 0


@given(st.floats(-30, 500), st.floats(-20, 20))
def test_there_and_back_on_a_straight_line(depth, side):
    got = along_side(STRAIGHT, point_at(STRAIGHT, side, depth))[0]
    assert got == pytest.approx((side, depth), abs=1e-9)


@given(st.one_of(st.floats(-30, 170), st.floats(230, 450)), st.floats(-20, 20))
def test_there_and_back_on_a_dogleg_away_from_its_corner(depth, side):
    got = along_side(DOGLEG, point_at(DOGLEG, side, depth))[0]
    assert got == pytest.approx((side, depth), abs=1e-9)


@given(st.floats(0, 360), st.floats(-50, 50), st.floats(-50, 450))
def test_turning_everything_changes_nothing(angle, x, y):
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    turn = np.array([[c, -s], [s, c]])
    p = np.array([[x, y]])
    assert along_side(DOGLEG @ turn.T, p @ turn.T)[0] == pytest.approx(along_side(DOGLEG, p)[0], abs=1e-7)


def test_repeated_vertices_do_no_harm_and_a_point_is_no_line():
    doubled = np.array([[0.0, 0.0], [0.0, 0.0], [0.0, 100.0], [0.0, 100.0]])
    assert along_side(doubled, (2, 50)).tolist() == [[2, 50]]
    assert line_length(doubled) == 100
    with pytest.raises(ValueError, match="two different points"):
        along_side([[1.0, 1.0], [1.0, 1.0]], (0, 0))


def test_front_references_differ_on_an_angled_green():
    # A green whose front runs away to the right: 20 m deep on the line, its front-most point left.
    green = shapely.Polygon([(-15, 380), (15, 395), (15, 415), (-15, 400)])
    line = np.array([[0.0, 0.0], [0.0, 397.5]])
    assert front_point(green, line) == pytest.approx((0, 387.5))
    assert front_point(green, line, "front-most") == pytest.approx((-15, 380))
    assert front_point(green, line, "dot", (1.0, 388.0)) == (1.0, 388.0)


def test_front_of_a_green_that_the_line_misses_is_its_front_most_point():
    assert front_point(GREEN, [[40, 0], [40, 400]]) == pytest.approx((0, 385), abs=0.01)


@pytest.mark.parametrize(
    ("reference", "said"), [("dot", "no front dot is marked"), ("flag", "'flag' is unknown")]
)
def test_a_reference_that_cannot_be_used_is_said(reference, said):
    with pytest.raises(RequestError, match=said):
        front_point(GREEN, STRAIGHT, reference)


def test_142_front_lies_back_along_the_line():
    assert from_front(GREEN, STRAIGHT, metres(142)) == pytest.approx((0, 385 - metres(142)), abs=0.01)


def test_a_number_from_behind_the_tee_is_refused():
    with pytest.raises(
        RequestError, match="500 yd from the front is behind the tee: the front is 421 yd from it"
    ):
        from_front(GREEN, STRAIGHT, metres(500))
