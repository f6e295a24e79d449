"""For all: whatever is left of a good file is put together, and no hole takes another's green."""

import random

import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from strategy.course.assembly.assemble import assemble
from strategy.course.assembly.match import match_greens
from strategy.course.model import FeatureTable
from strategy.course.readers.geojson import read_geojson
from strategy.course.readers.notes import CourseNotes
from strategy.course.readers.source import CourseSource, read_table
from strategy.errors import CourseError
from tests.course import osm_forms
from tests.course.conftest import Sketch


def good():
    """Four holes with everything that can be drawn."""
    drawn = Sketch()
    drawn.box(-100, -100, 600, 600, leisure="golf_course", name="Sandholm")
    for k in range(3):
        drawn.hole(str(k + 1), x=130.0 * k, name=f"Hole {k + 1}", dist="350")
        drawn.box(130.0 * k - 15, 100, 130.0 * k + 15, 320, golf="fairway")
        drawn.disc(130.0 * k + 22, 220, 7, golf="bunker")
    drawn.hole("4", x=420, length=150, par="3")
    drawn.disc(60, 200, 12, natural="water")
    drawn.disc(60, 200, 14, golf="lateral_water_hazard")
    drawn.line([(-60, -100), (-60, 500)], golf="out_of_bounds")
    drawn.box(-50, 100, -40, 300, natural="wood")
    drawn.node(30, 100, natural="tree")
    drawn.line([(0, 60), (400, 60)], waterway="stream")
    drawn.box(470, 0, 560, 250, golf="driving_range")
    drawn.node(0, 352, golf="pin")
    return drawn


TABLE = read_geojson("good", good().document())
ROWS = osm_forms.elements(good())


def put_together(table):
    source = CourseSource(
        table=table, notes=CourseNotes(), notes_file="course.toml", fallback_name="x", files={"x": "0"}
    )
    return assemble(source)


def test_the_good_file_is_good():
    assert [h.label for h in put_together(TABLE).holes] == ["1", "2", "3", "4"]


@settings(max_examples=60)
@given(seed=st.integers(0, 2**32), share=st.floats(0.05, 1.0))
def test_any_part_in_any_order_is_put_together_or_plainly_refused(seed, share):
    pick = random.Random(seed)
    rows = pick.sample(TABLE.features, max(1, round(share * len(TABLE.features))))
    lines = {f.tags["ref"] for f in rows if f.tags.get("golf") == "hole"}
    try:
        course = put_together(FeatureTable(file="part", features=tuple(rows)))
    except CourseError:
        assert not lines
    else:
        assert {h.label for h in course.holes} == lines or not lines
        assert all(hole.green.area > 0 and len(hole.line) >= 2 and hole.tees for hole in course.holes)


@settings(max_examples=25)
@given(seed=st.integers(0, 2**32), lost=st.floats(0.0, 0.6))
def test_any_part_of_the_elements_of_a_file_is_read_or_plainly_refused(seed, lost):
    pick = random.Random(seed)
    rows = [row for row in ROWS if pick.random() >= lost]
    pick.shuffle(rows)
    try:
        table = read_table("part.osm", osm_forms.xml(rows))
        course = put_together(table)
    except CourseError:
        return  # no golf, or no hole, is left
    assert course.holes
    for hole in course.holes:
        assert shapely.is_valid(hole.green)
        assert hole.green.area > 0.0
        assert all(shapely.is_valid(area.shape) for area in hole.areas)


@settings(max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])
@given(
    ends=st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=1, max_size=6),
    middles=st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=1, max_size=7, unique=True),
)
def test_no_hole_takes_a_green_that_another_line_ends_in(ends, middles):
    # Greens of 9 m radius on a grid of 25 m, lines that end anywhere among them.
    greens = [shapely.Point(25 * x, 25 * y).buffer(9) for x, y in middles]
    lines = [shapely.LineString([(5 * x, -400), (5 * x, 5 * y)]) for x, y in ends]
    own, _ = match_greens(lines, greens)
    tips = [shapely.Point(line.coords[-1]) for line in lines]
    for i, mine in enumerate(own):
        if mine is None:
            continue
        for j in range(len(lines)):
            if j != i and greens[mine].contains(tips[j]):
                assert greens[mine].distance(tips[i]) <= 3.0  # both end in it: shared, and asked about


@settings(max_examples=25)
@given(short=st.lists(st.integers(0, 120), min_size=3, max_size=3), aside=st.integers(-50, 50))
def test_no_hole_of_a_course_takes_a_green_that_another_line_ends_in(short, aside):
    drawn = Sketch()
    for k, less in enumerate(short):
        x = 60.0 * k
        drawn.line([(x, 0), (x + (aside if less > 20 else 0), 350 - less)], golf="hole", ref=k + 1, par="4")
        drawn.box(x - 4, -4, x + 4, 4, golf="tee")
        drawn.disc(x, 350, 14, golf="green")
    course = put_together(read_geojson("x", drawn.document()))
    assume(len(course.holes) == 3)
    for hole, less in zip(course.holes, short, strict=True):
        for other in course.holes:
            if other is hole or less <= 14:
                continue
            x = 60.0 * (int(other.label) - 1)
            if short[int(other.label) - 1] <= 14:  # that line ends in its own green
                tip = course.frame.to_xy(drawn.frame.to_lonlat([(x, 350)]))[0]
                assert not hole.green.contains(shapely.Point(tip))


def test_a_course_without_any_golf_is_refused():
    with pytest.raises(CourseError):
        put_together(FeatureTable(file="x", features=()))
