"""The real course beside the repository: read in both forms, and every known defect reported."""

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.maps.surface import surface_map
from strategy.course.playline import line_length


@pytest.fixture
def courses(tara):
    return [read_course(path) for path in tara]


def test_both_forms_give_the_same_holes(courses):
    one, other = courses
    assert one.frame == other.frame
    assert [h.label for h in one.holes] == [h.label for h in other.holes]
    for a, b in zip(one.holes, other.holes, strict=True):
        assert (a.name, a.par) == (b.name, b.par)
        assert [(t.name, t.fid) for t in a.tees] == [(t.name, t.fid) for t in b.tees]
        # The forms wind some rings the other way, which moves a centroid's last bit.
        np.testing.assert_allclose([t.xy for t in a.tees], [t.xy for t in b.tees], rtol=0, atol=1e-9)
        np.testing.assert_allclose(a.line, b.line, rtol=0, atol=1e-9)
        assert shapely.equals(a.green, b.green)
        assert {(x.fid, x.surface, x.colour_known) for x in a.areas} == {
            (x.fid, x.surface, x.colour_known) for x in b.areas
        }
        assert sorted(f.text for f in a.findings) == sorted(f.text for f in b.findings)
        np.testing.assert_array_equal(surface_map(a).codes, surface_map(b).codes)


def test_nine_holes_par_36_in_order_and_16_keeps_its_label(courses, texts):
    course = courses[0]
    assert [h.label for h in course.holes] == ["1", "2", "3", "4", "5", "6", "8", "9", "16"]
    assert sum(h.par for h in course.holes) == 36
    assert not any(h.par_assumed for h in course.holes)
    assert "9 holes, but 7 is missing and there is a hole 16" in texts(course)
    assert "outside 1 to 9" in texts(course.hole("16"))


def test_four_lines_that_start_behind_their_tee_start_at_it(courses):
    behind = {
        hole.label: int(finding.text.split(" starts ")[1].split()[0])
        for hole in courses[0].holes
        for finding in hole.findings
        if "behind the tee" in finding.text
    }
    # SOURCE.txt: "hole lines start 11-42 m behind four tees".
    assert len(behind) == 4
    assert min(behind.values()) == 11
    assert max(behind.values()) == 42
    for hole in courses[0].holes:
        assert tuple(hole.line[0]) == hole.tees[0].xy


def test_every_hole_has_its_own_tee_and_green(courses):
    holes = courses[0].holes
    assert len({hole.tees[0].fid for hole in holes}) == 9
    assert all(len(hole.tees) == 1 for hole in holes)
    greens = [next(a.fid for a in hole.areas if a.surface == Surface.GREEN) for hole in holes]
    assert len(set(greens)) == 9
    for hole in holes:
        assert hole.green.contains(shapely.Point(hole.line[-1]))
        low, high = {3: (90, 240), 4: (230, 450), 5: (430, 650)}[hole.par]
        assert low < line_length(hole.line) < high


def test_every_other_defect_is_reported(courses, texts):
    course = courses[0]
    assert "the hole has no name" in texts(course.hole("8"))
    unreffed = [h.label for h in course.holes if "has no ref of this hole" in texts(h)]
    assert unreffed == ["4", "5", "9", "16"]
    assert "is drawn inside fairway" in texts(course.hole("9"))
    assert "way/488340504 has no colour: red is assumed" in texts(course.hole("9"))
    pond = next(a for a in course.hole("9").areas if a.fid == "way/488340504")
    assert pond.surface == Surface.RED
    assert not pond.colour_known
    whole = texts(course)
    for said in (
        "golf=clubhouse: not used",
        "miniature_golf: not used",
        "no out of bounds",
        "no rough",
        "ditch",
    ):
        assert said in whole
    assert all(hole.out_of_bounds is None and not hole.rough_known for hole in course.holes)


def test_credit_and_hashes_are_kept(courses, tara):
    for course, path in zip(courses, tara, strict=True):
        assert "OpenStreetMap" in course.credit
        assert list(course.files) == [str(path)]
        assert all(len(digest) == 64 for digest in course.files.values())
