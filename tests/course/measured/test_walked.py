"""What the caddie walked: numbers move the ground, contradictions are questions, nothing else moves."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strategy.codes import Surface
from strategy.course import edges, read_course
from strategy.course.measured.warp import REACH_M, Warp
from strategy.course.model import FindingKind
from strategy.course.named_features import name_features
from strategy.course.origin import Origin
from strategy.course.playline import line_from
from strategy.errors import InputErrors
from strategy.units import YARD_M

HEADER = "hole,from,what,yards,how\n"


@pytest.fixture
def course_of(new_sketch, tmp_path):
    """One straight hole of 400 m with a bunker left (edges at 220 and 235) and one right (250, 262)."""

    def build(rows="", name="a"):
        sketch = new_sketch()
        sketch.hole("1", length=400)
        sketch.box(-16, 120, 16, 380, golf="fairway")
        sketch.box(-26, 220, -17, 235, golf="bunker")
        sketch.box(18, 250, 27, 262, golf="bunker")
        folder = tmp_path / name
        folder.mkdir(exist_ok=True)
        sketch.write(folder / "course.geojson")
        if rows:
            (folder / "measurements.csv").write_text(HEADER + rows, encoding="utf-8")
        return read_course(folder)

    return build


def number(course, kind, word):
    """To reach or carry the bunker on one side, from the tee. [yd]"""
    hole = course.holes[0]
    line = line_from(hole.line, hole.tees[0].xy)
    thing = next(t for t in name_features(hole) if word in t.name)
    return getattr(edges, kind)(thing, line).value_m / YARD_M


def questions(course):
    return [f.text for f in (*course.findings, *course.holes[0].findings) if f.kind == FindingKind.QUESTION]


def moved_outlines(before, after):
    """Pairs of outlines of the same feature, drawn and moved."""
    drawn = {a.fid: a for a in before.holes[0].areas}
    return [(drawn[a.fid], a) for a in after.holes[0].areas if a.fid in drawn]


@pytest.mark.parametrize("kind", ["reach", "carry"])
@pytest.mark.parametrize("more", [-6.0, 5.0])
def test_a_paced_number_wins_over_the_traced_one(course_of, kind, more):
    plain = course_of()
    told = number(plain, kind, "left") + more
    walked = course_of(f"1,tee,{kind} left bunker,{told:.1f},paced by J\n", "b")
    assert number(walked, kind, "left") == pytest.approx(told, abs=0.5)
    assert not questions(walked)
    (said,) = walked.holes[0].measurements
    assert said.origin == Origin.PACED


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(more=st.floats(-10, 10), kind=st.sampled_from(["reach", "carry"]))
def test_what_is_not_named_does_not_move_beyond_the_reach(course_of, more, kind):
    plain = course_of()
    edge = number(plain, kind, "left")
    walked = course_of(f"1,tee,{kind} left bunker,{edge + more:.2f},paced\n", "b")
    hole = plain.holes[0]
    line = line_from(hole.line, hole.tees[0].xy)
    left = next(t for t in name_features(hole) if "left" in t.name)
    place = np.asarray(getattr(edges, kind)(left, line).xy)
    reach = max(REACH_M, 2.4 * 15.0 * YARD_M)  # the stated reach for the longest pull that is believed
    for drawn, moved in moved_outlines(plain, walked):
        far = shapely.Point(place).buffer(reach + 1.0)
        assert shapely.difference(drawn.shape, far).symmetric_difference(
            shapely.difference(moved.shape, far)
        ).area == pytest.approx(0.0, abs=0.05)
        assert moved.shape.is_valid
    assert number(walked, "carry", "right") == pytest.approx(number(plain, "carry", "right"), abs=0.5)


def test_neighbours_stay_apart_and_valid(course_of):
    walked = course_of("1,tee,carry left bunker,266,paced\n1,tee,reach right bunker,268,laser\n")
    sand = [a.shape for a in walked.holes[0].areas if a.surface == Surface.BUNKER]
    grass = shapely.union_all([a.shape for a in walked.holes[0].areas if a.surface == Surface.FAIRWAY])
    assert len(sand) == 2
    assert shapely.disjoint(sand[0], sand[1])
    assert all(s.is_valid and not shapely.intersects(s, grass) for s in sand)


@pytest.mark.parametrize(
    ("rows", "word"),
    [
        ("1,tee,carry left bunker,257,paced\n1,tee,carry left bunker,266,paced by K\n", "apart"),
        ("1,tee,carry left bunker,290,paced\n", "yd"),
        ("1,tee,reach left bunker,256,paced\n1,tee,carry left bunker,246,paced\n", ""),
    ],
    ids=["two paced numbers 9 yd apart", "more than is plausible", "near edge beyond the far edge"],
)
def test_a_contradiction_is_a_question_and_moves_nothing(course_of, rows, word):
    plain, walked = course_of(), course_of(rows, "b")
    asked = questions(walked)
    assert asked
    assert any(word in text for text in asked)
    for drawn, moved in moved_outlines(plain, walked):
        assert drawn.shape.symmetric_difference(moved.shape).area == pytest.approx(0.0, abs=0.05)


def test_a_surveyed_number_settles_a_contradiction(course_of):
    walked = course_of("1,tee,carry left bunker,263,laser\n1,tee,carry left bunker,254,paced\n")
    assert number(walked, "carry", "left") == pytest.approx(263, abs=0.5)


def test_landmarks_have_front_numbers_and_numbers_are_taken_from_them(course_of):
    plain = course_of()
    hole = plain.holes[0]
    front = edges.front(hole.green, line_from(hole.line, hole.tees[0].xy)).value_m / YARD_M
    rows = f"1,landmark,sprinkler head,{front - 200:.1f},published\n"
    walked = course_of(rows, "b")
    place = edges.place_of(walked.holes[0], "sprinkler head")
    from_tee = np.hypot(*np.subtract(place.xy, walked.holes[0].tees[0].xy)) / YARD_M
    assert from_tee == pytest.approx(200, abs=1.0)


@pytest.mark.parametrize(
    ("rows", "line", "word"),
    [
        ("9,tee,front,380,paced\n", 2, "hole"),
        ("1,tee,carry the moon,380,paced\n", 2, "moon"),
        ("1,tee,front,many,paced\n", 2, "many"),
        ("1,tee,front,380,guessed\n", 2, "guessed"),
        ("1,nowhere,front,380,paced\n", 2, "nowhere"),
        ("1,tee,bounce,380,paced\n", 2, "bounce"),
        ("1,tee,front,5000,paced\n", 2, "5000"),
    ],
)
def test_faults_of_the_file_name_the_line_and_what_was_met(course_of, rows, line, word):
    with pytest.raises(InputErrors) as fault:
        course_of(rows)
    assert f"line {line}" in str(fault.value)
    assert word in str(fault.value)


def test_a_wrong_header_hides_no_fault_of_course_toml_and_points_to_a_sample(course_of, tmp_path):
    course_of("1,tee,front,380,paced\n")
    (tmp_path / "a" / "measurements.csv").write_text("hole,from,what,yard,how\n1,tee,front,380,paced\n")
    (tmp_path / "a" / "course.toml").write_text('[tree_heights]\n"way/99" = 12\n')
    with pytest.raises(InputErrors) as fault:
        read_course(tmp_path / "a")
    assert [Path(each.file).name for each in fault.value.faults] == ["course.toml", "measurements.csv"]
    named = re.search(r"(\S+) shows it", str(fault.value))[1]
    assert Path(named).read_text(encoding="utf-8").startswith("# measurements.csv")


def test_every_fault_is_named_at_once(course_of):
    with pytest.raises(InputErrors) as fault:
        course_of("1,tee,front,380,guessed\n1,tee,front,many,paced\n1,tee,bounce,3,paced\n")
    assert len(fault.value.faults) == 3


@given(
    st.lists(
        st.tuples(st.floats(-80, 80), st.floats(-80, 80), st.floats(-5, 5), st.floats(-5, 5)),
        min_size=1,
        max_size=4,
    )
)
def test_a_warp_meets_its_pulls_and_leaves_the_rest(pulls):
    places = np.array([p[:2] for p in pulls])
    gaps = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)) + np.eye(len(places)) * 1e9
    if gaps.min() < 8.0:
        return  # pulls at nearly one place may contradict each other: that is refused elsewhere
    moves = np.array([p[2:] for p in pulls])
    warp = Warp.through(places, moves)
    np.testing.assert_allclose(warp.shift(places), moves, atol=1e-6)
    far = places.max(axis=0) + warp.reach.max() + 1.0
    np.testing.assert_array_equal(warp.shift(far), [[0.0, 0.0]])
    assert not warp.folds().any() or gaps.min() < 2 * warp.reach.max()
