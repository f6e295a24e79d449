"""Greens and tees without a line of play: holes proposed where only one fits, else how to draw them."""

import pytest
import shapely

from strategy.course import read_course
from strategy.course.playline import line_length
from strategy.errors import CourseError


@pytest.fixture
def read(tmp_path):
    return lambda drawn: read_course(drawn.write(tmp_path / "links.geojson"))


def test_a_tee_and_a_green_of_the_same_ref(sketch, read, texts):
    # Crossing holes: by distance alone they would be paired wrongly.
    sketch.box(-4, -4, 4, 4, golf="tee", ref="1")
    sketch.box(96, -4, 104, 4, golf="tee", ref="2")
    sketch.disc(100, 300, 14, golf="green", ref="1")
    sketch.disc(0, 300, 14, golf="green", ref="2")
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1", "2"]
    for hole in course.holes:
        assert line_length(hole.line) == pytest.approx((300**2 + 100**2) ** 0.5, abs=0.1)
        assert hole.par_assumed
    assert "no line of play is drawn: proposed from tee way/1 to green way/3; is it one hole?" in texts(
        course
    )


def test_holes_are_told_by_their_fairways(sketch, read, texts):
    for k in range(3):
        x = 120.0 * k
        sketch.box(x - 4, -4, x + 4, 4, golf="tee")
        sketch.box(x - 4, 30, x + 4, 36, golf="tee", tee="white")
        sketch.box(x - 15, 100, x + 15, 330, golf="fairway")
        sketch.disc(x, 350, 14, golf="green")
    course = read(sketch)
    assert len(course.holes) == 3
    assert all(line_length(h.line) == pytest.approx(350, abs=0.1) for h in course.holes)
    assert all(len(h.tees) == 2 for h in course.holes)
    assert texts(course).count("is it one hole?") == 3


def test_a_dogleg_turns_on_its_fairway(sketch, read):
    fairway = [(-20, 130), (20, 130), (20, 180), (200, 180), (200, 220), (-20, 220)]
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.area(fairway, golf="fairway")
    sketch.disc(225, 200, 14, golf="green")
    course = read(sketch)
    (hole,) = course.holes
    start, turn, end = sketch.frame.to_xy(course.frame.to_lonlat(hole.line))
    assert start == pytest.approx((0.0, 0.0), abs=0.1)
    assert shapely.Polygon(fairway).covers(shapely.Point(turn))
    assert end == pytest.approx((225.0, 200.0), abs=0.1)


def test_what_does_not_fit_alone_is_not_made_up(sketch, read):
    # Two tees between two greens, all alike: nobody can tell.
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.box(-4, 96, 4, 104, golf="tee")
    sketch.disc(200, 0, 14, golf="green")
    sketch.disc(200, 100, 14, golf="green")
    with pytest.raises(
        CourseError,
        match=r"2 greens have no line of play, and of its 2 tees none .* Draw a line tagged golf=hole",
    ):
        read(sketch)


def test_greens_alone_say_how_to_draw_the_lines(sketch, read):
    sketch.disc(200, 0, 14, golf="green")
    with pytest.raises(CourseError, match=r"1 green has no line of play.* Draw a line tagged golf=hole"):
        read(sketch)


def test_greens_that_are_left_over_are_said(sketch, read, texts):
    sketch.box(-4, -4, 4, 4, golf="tee", ref="1")
    sketch.disc(0, 300, 14, golf="green", ref="1")
    sketch.disc(700, 700, 14, golf="green")
    assert "1 green has no tee that clearly belongs to it" in texts(read(sketch))
