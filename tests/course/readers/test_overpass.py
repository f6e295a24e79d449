"""Overpass JSON in both forms, multipolygon relations, and what an extract leaves out."""

import json

import numpy as np
import pytest
import shapely

from strategy.course import read_course
from strategy.course.maps.surface import surface_map
from strategy.course.readers.overpass import read_overpass
from strategy.errors import CourseError


def way(ident, points, tags=None, **more):
    row = {"type": "way", "id": ident, "geometry": [{"lat": y, "lon": x} for x, y in points], **more}
    return row | ({"tags": tags} if tags else {})


def square(ident, west, south, size, tags=None):
    east, north = west + size, south + size
    return way(ident, [(west, south), (east, south), (east, north), (west, north), (west, south)], tags)


def relation(ident, members, tags):
    rows = [{"type": "way", "ref": ref, "role": role} for ref, role in members]
    return {"type": "relation", "id": ident, "members": rows, "tags": {"type": "multipolygon", **tags}}


def read(*elements, **more):
    return read_overpass("x.json", {"elements": list(elements), **more})


def said(table):
    return "\n".join(f.text for f in table.findings)


def test_three_forms_give_the_same_holes(sketch, tmp_path):
    for k in range(3):
        sketch.hole(str(k + 1), x=90.0 * k, name=f"Hole {k + 1}")
    sketch.disc(20, 200, 8, golf="bunker")
    sketch.line([(-40, -100), (-40, 500)], golf="out_of_bounds")
    sketch.node(30, 100, natural="tree")
    courses = [read_course(sketch.write(tmp_path / "a.geojson"))]
    for form in ("geom", "body"):
        path = tmp_path / f"{form}.json"
        path.write_text(json.dumps(sketch.overpass(form)))
        courses.append(read_course(path))
    first = courses[0]
    for other in courses[1:]:
        assert [h.label for h in other.holes] == [h.label for h in first.holes]
        assert other.frame == first.frame
        for a, b in zip(first.holes, other.holes, strict=True):
            np.testing.assert_allclose(a.line, b.line, rtol=0, atol=1e-9)
            np.testing.assert_array_equal(surface_map(a).codes, surface_map(b).codes)
            assert [f.text for f in a.findings] == [f.text for f in b.findings]


def test_closed_ways_are_areas_unless_their_tags_are_lines():
    table = read(
        square(1, 0, 0, 0.001, {"golf": "green"}),
        square(2, 0, 0, 0.001, {"golf": "hole"}),
        square(3, 0, 0, 0.001, {"barrier": "fence"}),
        square(4, 0, 0, 0.001, {"golf": "bunker", "barrier": "wall"}),
    )
    assert [f.geometry.geom_type for f in table.features] == [
        "Polygon",
        "LineString",
        "LineString",
        "Polygon",
    ]


def test_elements_without_tags_are_only_building_stones():
    table = read(
        square(1, 0, 0, 1),
        square(2, 0, 0, 1, {"source": "survey"}),
        {"type": "node", "id": 3, "lat": 1, "lon": 1},
    )
    assert table.features == ()


def test_the_same_element_twice_is_one():
    table = read({"type": "way", "id": 1, "nodes": [], "tags": {"golf": "green"}}, square(1, 0, 0, 1))
    assert [f.fid for f in table.features] == ["way/1"]
    assert table.features[0].geometry.area == 1


def test_a_multipolygon_of_two_half_rings_with_a_hole_and_an_island():
    table = read(
        way(1, [(0, 0), (10, 0), (10, 10)]),
        way(2, [(0, 0), (0, 10), (10, 10)]),  # drawn the other way round
        square(3, 2, 2, 6),
        square(4, 4, 4, 2),
        relation(9, [(1, "outer"), (2, "outer"), (3, "inner"), (4, "outer")], {"natural": "water"}),
    )
    (lake,) = table.features
    assert lake.fid == "relation/9"
    assert lake.geometry.area == pytest.approx(100 - 36 + 4)
    assert shapely.contains_xy(lake.geometry, 5, 5)
    assert not shapely.contains_xy(lake.geometry, 3, 3)


def test_outer_rings_that_touch_in_a_point():
    table = read(
        square(1, 0, 0, 2), square(2, 2, 2, 2), relation(9, [(1, "outer"), (2, "outer")], {"natural": "wood"})
    )
    assert table.features[0].geometry.area == pytest.approx(8)


def test_member_geometry_written_out_in_the_relation():
    inside = {"type": "way", "ref": 1, "role": "outer", "geometry": square(1, 0, 0, 2)["geometry"]}
    row = {
        "type": "relation",
        "id": 9,
        "members": [inside],
        "tags": {"type": "multipolygon", "golf": "fairway"},
    }
    assert read(row).features[0].geometry.area == pytest.approx(4)


def test_an_unclosed_ring_is_left_out_and_said():
    table = read(
        square(1, 0, 0, 4),
        way(2, [(1, 1), (2, 1), (2, 2)]),
        relation(9, [(1, "outer"), (2, "inner")], {"natural": "water"}),
    )
    assert table.features[0].geometry.area == pytest.approx(16)
    assert "relation/9: 1 inner ring is not closed; left out" in said(table)


def test_a_relation_with_no_closed_ring_or_missing_members_is_said():
    table = read(
        way(1, [(0, 0), (1, 0), (1, 1)]), relation(9, [(1, "outer"), (7, "outer")], {"natural": "water"})
    )
    assert table.features == ()
    assert "its member way/7 is not in the file" in said(table)
    assert "no outer ring could be closed" in said(table)


def test_a_relation_that_is_no_area_is_ignored_and_said():
    row = {"type": "relation", "id": 9, "members": [], "tags": {"type": "site", "golf": "course"}}
    assert "a relation of type 'site' has no outline" in said(read(row))


def test_missing_nodes_and_cut_geometry_are_said():
    body = {"type": "way", "id": 1, "nodes": [1, 2, 3], "tags": {"golf": "hole"}}
    nodes = [{"type": "node", "id": n, "lat": 54.0 + n / 1000, "lon": 2.0} for n in (1, 2)]
    table = read(body, *nodes)
    assert "way/1: 1 of its 3 points are not in the file" in said(table)
    assert len(table.features[0].geometry.coords) == 2
    cut = way(2, [(0, 0), (0, 1)], {"golf": "hole"})
    cut["geometry"].insert(1, None)
    assert "way/2: 1 of its 3 points are not in the file" in said(read(cut))


def test_ways_without_any_geometry_are_said_with_the_mend():
    table = read({"type": "way", "id": 1, "nodes": [5, 6], "tags": {"golf": "hole"}})
    assert table.features == ()
    assert "ask Overpass for `out geom` or `out body; >;`" in said(table)


def test_a_remark_of_overpass_is_passed_on():
    table = read(square(1, 0, 0, 1, {"golf": "green"}), remark="runtime error: Query timed out")
    assert "Query timed out" in said(table)


@pytest.mark.parametrize(
    ("elements", "wrong"),
    [
        ([], "the answer is empty"),
        ("none", "is 'none', not a list"),
        ([{"type": "area", "id": 1}], "element 1: type 'area' with id 1"),
        ([{"type": "way"}], "element 1: type 'way' with id None"),
        (["way"], "element 1: type None"),
        (
            [{"type": "node", "id": 1, "lat": 600000.0, "lon": 5.0, "tags": {"golf": "pin"}}],
            "looks projected",
        ),
        (
            [{"type": "node", "id": 1, "lat": "54", "lon": 5.0, "tags": {"golf": "pin"}}],
            "'54' is not a number",
        ),
        ([{"type": "way", "id": 1, "geometry": [[1, 2]], "tags": {"golf": "hole"}}], "no list of lat, lon"),
        ([{"type": "way", "id": 1, "tags": ["golf"]}], "tags are"),
    ],
)
def test_a_damaged_answer_is_refused(elements, wrong):
    with pytest.raises(CourseError, match=r"x\.json") as caught:
        read_overpass("x.json", {"elements": elements})
    assert wrong in str(caught.value)
    assert caught.value.mend
