"""Broken course input: what is said of each, with file, place, value and mend."""

import json

import numpy as np
import pytest

from strategy.course import read_course
from strategy.course.readers.geojson import read_geojson
from strategy.errors import CourseError


def collection(*features):
    return {"type": "FeatureCollection", "features": list(features)}


def feature(kind, coordinates, **tags):
    return {
        "type": "Feature",
        "id": "way/7",
        "properties": tags,
        "geometry": {"type": kind, "coordinates": coordinates},
    }


LINE = [[2.0, 54.5], [2.0, 54.503]]
RING = [[2.0, 54.5], [2.001, 54.5], [2.001, 54.501], [2.0, 54.5]]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "the file is empty"),
        ("   \n", "the file is empty"),
        ("{", "line 1: is not JSON"),
        ('{"type": "FeatureCollection", "features": [', "a download may have been cut off"),
        ("<html></html>", "it looks like XML, but not OpenStreetMap's"),
        ("<osm version='0.6'></osm>", "holds nothing tagged golf=*"),
        ("<osm version='0.6'><node", "is damaged or cut off"),
        ("[1, 2]", "holds a list, not an object"),
        ("{}", "type: is None, not a GeoJSON FeatureCollection"),
        ('{"type": "Topology"}', "is 'Topology', not a GeoJSON FeatureCollection"),
        ('{"type": "FeatureCollection", "features": 3}', "features: is 3, not a list"),
        ('{"type": "FeatureCollection", "features": []}', "the collection is empty"),
        ('{"elements": []}', "the answer is empty"),
        ('{"type": "FeatureCollection", "features": [7]}', "feature 1: is not a GeoJSON Feature"),
        ("[" * 100_000, "is nested too deeply to be a course"),
    ],
)
def test_files_that_are_no_course(tmp_path, text, wrong):
    path = tmp_path / "links.geojson"
    path.write_text(text)
    with pytest.raises(CourseError) as caught:
        read_course(path)
    said = str(caught.value)
    assert said.startswith(str(path))
    assert wrong in said
    assert caught.value.mend


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        (feature("LineString", [[54.5, 182.0], [54.5, 181.0]], golf="hole"), "looks projected"),
        (
            feature("LineString", [[54.5, -122.4], [54.6, -122.4]], golf="hole"),
            "the order looks like latitude, longitude",
        ),
        (
            feature("LineString", [[431000.0, 6040000.0]] * 2, golf="hole"),
            "looks projected, in metres or feet",
        ),
        (feature("LineString", [[2.0]], golf="hole"), "fewer than two numbers"),
        (feature("LineString", [[2.0, 54.5]], golf="hole"), "the line has fewer than two points"),
        (
            feature("LineString", [["2.0", 54.5], [2.0, 54.6]], golf="hole"),
            "coordinate '2.0' is not a number",
        ),
        (feature("LineString", [[None, 54.5], [2.0, 54.6]], golf="hole"), "coordinate None is not a number"),
        (feature("LineString", [2.0, 54.5], golf="hole"), "coordinates are 2.0, not a list"),
        (feature("Circle", [2.0, 54.5], golf="green"), "geometry type 'Circle' is unknown"),
        (feature("Polygon", [RING[:2]], golf="green"), "an outline has 2 points"),
        (feature("Polygon", 5, golf="green"), "coordinates are 5, not a list"),
        ({"type": "Feature", "properties": [1], "geometry": None}, "properties are [1]"),
    ],
)
def test_features_that_cannot_be_meant(tmp_path, row, wrong):
    path = tmp_path / "links.geojson"
    path.write_text(json.dumps(collection(row)))
    with pytest.raises(CourseError) as caught:
        read_course(path)
    assert wrong in str(caught.value)
    assert "way/7" in str(caught.value) or "feature 1" in str(caught.value)


def test_infinity_in_the_file_is_no_number(tmp_path):
    path = tmp_path / "links.geojson"
    path.write_text(
        json.dumps(collection(feature("LineString", [[float("inf"), 54.5], [2.0, 54.6]], golf="hole")))
    )
    with pytest.raises(CourseError, match="coordinate inf is not a number"):
        read_course(path)


def test_greens_beside_the_holes_are_counted_with_the_mend(sketch, tmp_path, texts):
    sketch.hole("1")
    for k in range(17):
        sketch.disc(200 + 50 * k, 300, 14, golf="green")
    asked = "17 greens have no line of play (way/4, way/5, way/6 and 14 more) and count as fairway: "
    asked += "draw a line tagged golf=hole for each"
    assert asked in texts(read_course(sketch.write(tmp_path / "links.geojson")))


def test_a_course_without_a_hole_says_how_to_draw_one(tmp_path):
    path = tmp_path / "links.geojson"
    path.write_text(json.dumps(collection(feature("Polygon", [RING], golf="green"))))
    with pytest.raises(
        CourseError, match=r"1 green has no line of play, and no tee is drawn.*golf=hole for each"
    ):
        read_course(path)


def test_holes_in_two_countries_are_two_courses(tmp_path, new_sketch):
    from strategy.course.frame import Frame

    near, far = new_sketch(), new_sketch(Frame(9.0, 48.0))
    near.hole("1")
    far.hole("2")
    document = near.document()
    document["features"] += far.document()["features"]
    path = tmp_path / "links.geojson"
    path.write_text(json.dumps(document))
    with pytest.raises(CourseError, match=r"holds 2 courses: unnamed \(1 hole at 2\.00"):
        read_course(path)


def test_swapped_numbers_are_noticed_by_the_lengths(tmp_path, sketch):
    # All in the range of latitudes, so only the stretched east-west holes give it away.
    for k in range(4):
        sketch.line([(0, 100 * k), (320, 100 * k)], golf="hole", ref=k + 1, par="4")
    document = sketch.document()
    for row in document["features"]:
        row["geometry"]["coordinates"] = [p[::-1] for p in row["geometry"]["coordinates"]]
    path = tmp_path / "links.geojson"
    path.write_text(json.dumps(document))
    with pytest.raises(CourseError, match="the order looks like latitude, longitude"):
        read_course(path)


def test_a_path_that_is_not_there(tmp_path):
    with pytest.raises(CourseError, match="there is no such file or folder"):
        read_course(tmp_path / "nowhere")


def test_a_folder_without_outlines(tmp_path):
    with pytest.raises(CourseError, match=r"has no course\.geojson"):
        read_course(tmp_path)


def test_a_folder_with_two_candidates_names_both(tmp_path, sketch):
    sketch.hole("1")
    sketch.write(tmp_path / "north.geojson")
    sketch.write(tmp_path / "south.geojson")
    with pytest.raises(
        CourseError, match=r"2 files that could be the course: north\.geojson, south\.geojson"
    ):
        read_course(tmp_path)


def test_a_folder_with_one_outline_of_another_name(tmp_path, sketch):
    sketch.hole("1")
    sketch.write(tmp_path / "export.geojson")
    course = read_course(tmp_path)
    assert [hole.label for hole in course.holes] == ["1"]
    assert [*course.files] == [str(tmp_path / "export.geojson")]


def test_text_in_another_encoding(tmp_path):
    path = tmp_path / "links.geojson"
    path.write_bytes(json.dumps({"name": "Grün"}, ensure_ascii=False).encode("latin-1"))
    with pytest.raises(CourseError, match="is not UTF-8 text"):
        read_course(path)


def test_a_byte_order_mark_does_no_harm(tmp_path, sketch):
    sketch.hole("1")
    path = sketch.write(tmp_path / "links.geojson")
    plain = read_course(path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    marked = read_course(path)
    assert [h.label for h in marked.holes] == ["1"]
    np.testing.assert_array_equal(marked.holes[0].line, plain.holes[0].line)


def test_what_can_be_mended_is_mended_and_said():
    table = read_geojson(
        "x.geojson",
        collection(
            feature("Polygon", [RING[:3]], golf="green"),
            feature("LineString", LINE, golf="hole"),
            {"type": "Feature", "properties": {"golf": "tee"}, "geometry": None},
            {"type": "Feature", "properties": None, "geometry": {"type": "Polygon", "coordinates": []}},
        ),
    )
    said = "\n".join(f.text for f in table.findings)
    assert "way/7: an outline did not end where it starts; closed" in said
    assert "way/7: the identifier is used twice" in said
    assert "feature 3: has no geometry" in said
    assert "feature 4: its geometry is empty" in said
    assert [f.fid for f in table.features] == ["way/7", "way/7 (feature 2)"]


def test_nested_tags_and_numbers_become_text():
    row = {
        "type": "Feature",
        "id": 5,
        "properties": {"tags": {"golf": "hole", "par": 4}, "@id": "way/5", "x": None},
    }
    row["geometry"] = {"type": "LineString", "coordinates": LINE}
    (found,) = read_geojson("x", collection(row)).features
    assert found.tags == {"golf": "hole", "par": "4"}
    assert found.fid == "5"
