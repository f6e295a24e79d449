"""Defects of real data that the plain assembly tests leave out: a small drawn case and its finding each."""

import json

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.maps.surface import surface_map
from strategy.course.playline import line_length
from strategy.course.readers.source import read_table
from strategy.errors import CourseError
from tests.course import osm_forms


@pytest.fixture
def read(tmp_path):
    return lambda drawn: read_course(drawn.write(tmp_path / "links.geojson"))


def ground(hole, course, sketch, x, y):
    return Surface(surface_map(hole).at(course.frame.to_xy(sketch.frame.to_lonlat([(x, y)])))[0])


def kinds(hole, surface):
    return {a.fid for a in hole.areas if a.surface == surface}


# --- lines of play -----------------------------------------------------------------------------


def test_a_line_of_two_points_beside_its_fairway_is_asked_about(sketch, read, texts):
    sketch.line([(0, 0), (200, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(200, 350, 14, golf="green")
    sketch.area([(-20, 120), (20, 120), (20, 320), (180, 345), (180, 365), (-20, 340)], golf="fairway")
    assert "runs mostly beside the fairway: draw its turns" in texts(read(sketch).hole("1"))


def test_a_line_of_two_points_over_its_fairway_is_fine(sketch, read, texts):
    sketch.hole("1", length=400)
    sketch.box(-18, 120, 18, 380, golf="fairway")
    said = texts(read(sketch).hole("1"))
    assert "draw its turns" not in said
    assert "no fairway" not in said


def test_a_hole_without_a_fairway_is_said_but_not_of_a_par_3(sketch, read, texts):
    sketch.hole("1")
    sketch.hole("2", x=200, length=150, par="3")
    course = read(sketch)
    assert "no fairway is drawn" in texts(course.hole("1"))
    assert "no fairway is drawn" not in texts(course.hole("2"))


def test_a_line_that_crosses_itself_is_asked_about(sketch, read, texts):
    sketch.line([(0, 0), (0, 200), (50, 200), (-50, 100), (0, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 350, 14, golf="green")
    course = read(sketch)
    assert "the line of play crosses itself" in texts(course)
    assert [h.label for h in course.holes] == ["1"]


def test_a_hole_drawn_as_an_area_gets_a_line_from_its_tee_to_its_green(sketch, read, texts):
    area = sketch.box(-40, -20, 40, 380, golf="hole", ref="7", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.box(-4, 36, 4, 44, golf="tee", tee="white")
    sketch.disc(0, 350, 14, golf="green")
    course = read(sketch)
    assert f"{area}: the hole is drawn as an area; a straight line of play is taken in it" in texts(course)
    assert line_length(course.hole("7").line) == pytest.approx(350, abs=0.01)


def test_a_hole_drawn_as_an_area_with_two_greens_is_left_out(sketch, read, texts):
    sketch.hole("1", x=300)
    sketch.box(-40, -20, 40, 380, golf="hole", ref="7")
    sketch.disc(0, 350, 14, golf="green")
    sketch.disc(0, 300, 14, golf="green")
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1"]
    assert "a hole drawn as an area with 2 greens and 0 tees in it; draw its line of play" in texts(course)


def test_a_file_with_no_ref_par_or_name_at_all(sketch, read, texts):
    for k in range(3):
        sketch.hole(None, x=150.0 * k, par=None)
    course = read(sketch)
    assert [h.label for h in course.holes] == ["line 1", "line 2", "line 3"]
    assert all(h.par == 4 and h.par_assumed for h in course.holes)
    assert all("the hole has no ref" in texts(h) for h in course.holes)


# --- lists of values ---------------------------------------------------------------------------


def test_one_line_for_two_holes_is_two_holes(sketch, read, texts):
    # Nine holes played twice, from tees of their own: ref=1;10.
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1;10", par="4;5")
    first = sketch.box(-4, -4, 4, 4, golf="tee", ref="1")
    second = sketch.box(-4, 36, 4, 44, golf="tee", ref="10")
    sketch.disc(0, 350, 14, golf="green")
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1", "10"]
    assert [[t.fid for t in h.tees] for h in course.holes] == [[first], [second]]
    assert [line_length(h.line) for h in course.holes] == pytest.approx([350, 310], abs=0.01)
    assert "ref=1;10: one line of play for 2 holes" in texts(course.hole("10"))
    assert "par=4;5: 4 is taken" in texts(course.hole("1"))


def test_a_tee_of_two_holes_and_of_two_colours(sketch, read):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.line([(10, 0), (300, 10)], golf="hole", ref="10", par="4")
    tee = sketch.box(-4, -4, 14, 4, golf="tee", ref="1;10", tee="gold;white")
    sketch.disc(0, 350, 14, golf="green")
    sketch.disc(300, 10, 14, golf="green")
    for hole in read(sketch).holes:
        assert [(t.fid, t.name) for t in hole.tees] == [(tee, "gold"), (tee, "white")]
        assert hole.tees[0].xy == hole.tees[1].xy


def test_of_several_golf_values_the_first_that_is_known_counts(sketch, read, texts):
    sketch.hole("1")
    both = sketch.box(-15, 100, 15, 320, golf="grass;fairway")
    course = read(sketch)
    assert kinds(course.hole("1"), Surface.FAIRWAY) == {both}
    assert "golf=grass;fairway: taken for golf=fairway" in texts(course)


# --- greens, tees and sizes --------------------------------------------------------------------


def test_a_green_drawn_as_a_point(sketch, read, texts):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    point = sketch.node(0, 352, golf="green")
    course = read(sketch)
    hole = course.hole("1")
    assert f"{point}: the green is drawn as a point: a round one 29 yd across" in texts(course)
    green = next(a for a in hole.areas if a.surface == Surface.GREEN)
    assert (green.fid, green.origin.value) == (point, "assumed")
    assert hole.green.area == pytest.approx(np.pi * 13.3**2, rel=0.01)


@pytest.mark.parametrize(("width", "length"), [(30, 340), (90, 90)])
def test_an_absurd_green_is_no_green(sketch, read, texts, width, length):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    big = sketch.box(-width / 2, 20, width / 2, 20 + length, golf="green")
    course = read(sketch)
    assert f"{big}: a green {length} m long" in texts(course)
    assert "no green is drawn at the end of the line" in texts(course.hole("1"))
    assert ground(course.hole("1"), course, sketch, 0, 60) == Surface.FAIRWAY


def test_small_and_large_outlines_are_asked_about(sketch, read, texts):
    sketch.hole("1")
    crumb = sketch.box(20, 200, 29.1, 210, golf="fairway")
    dot = sketch.box(30, 330, 35, 335, golf="green")
    waste = sketch.box(30, 60, 150, 160, golf="bunker")
    said = texts(read(sketch))
    assert f"{crumb}: golf=fairway of 91 m²: is it a fairway" in said
    assert f"{dot}: a green of 25 m²" in said
    assert f"{waste}: golf=bunker of 12000 m²: is all of it a bunker?" in said


def test_an_absurd_tee_is_no_tee(sketch, read, texts):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.disc(0, 350, 14, golf="green")
    long = sketch.box(-10, -4, 10, 200, golf="tee")
    course = read(sketch)
    assert f"{long}: a tee 204 m long" in texts(course)
    assert "no tee is drawn" in texts(course.hole("1"))


def test_a_green_cut_out_of_its_fairway_with_a_tag_of_its_own(sketch, tmp_path, texts):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    outer = sketch.box(-25, 100, 25, 380)
    green = sketch.disc(0, 350, 14, golf="green")
    members = [{"ref": int(outer[4:])}, {"ref": int(green[4:]), "role": "inner"}]
    rows = osm_forms.elements(
        sketch, [{"id": 9, "members": members, "tags": {"type": "multipolygon", "golf": "fairway"}}]
    )
    path = tmp_path / "links.osm"
    path.write_bytes(osm_forms.xml(rows))
    course = read_course(path)
    hole = course.hole("1")
    assert kinds(hole, Surface.GREEN) == {green}
    assert ground(hole, course, sketch, 0, 350) == Surface.GREEN
    assert ground(hole, course, sketch, 0, 330) == Surface.FAIRWAY


def test_a_bunker_with_an_island_of_rough(sketch, tmp_path):
    sketch.hole("1")
    outer = sketch.disc(30, 200, 15)
    island = sketch.disc(30, 200, 5, golf="rough")
    members = [{"ref": int(outer[4:])}, {"ref": int(island[4:]), "role": "inner"}]
    rows = osm_forms.elements(
        sketch, [{"id": 9, "members": members, "tags": {"type": "multipolygon", "golf": "bunker"}}]
    )
    path = tmp_path / "links.osm"
    path.write_bytes(osm_forms.xml(rows))
    course = read_course(path)
    assert ground(course.hole("1"), course, sketch, 30, 200) == Surface.ROUGH
    assert ground(course.hole("1"), course, sketch, 40, 200) == Surface.BUNKER


# --- practice ground and the like --------------------------------------------------------------


def test_greens_and_tees_of_a_practice_ground_are_no_holes(sketch, read, texts):
    # The range lies beside the 1st: its target green is nearer to the line's end than any other.
    sketch.line([(0, 0), (0, 340)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    own = sketch.disc(0, 372, 14, golf="green")
    sketch.box(12, 100, 120, 380, golf="driving_range")
    target = sketch.disc(30, 340, 10, golf="green")
    sketch.box(20, 101, 40, 106, golf="tee")
    course = read(sketch)
    hole = course.hole("1")
    assert kinds(hole, Surface.GREEN) == {own}
    assert len(hole.tees) == 1
    assert ground(hole, course, sketch, 30, 340) == Surface.FAIRWAY
    assert f"golf=green on a practice ground: no hole's: not used ({target})" in texts(course)


def test_a_green_on_the_practice_ground_that_a_line_ends_in_is_its_green(sketch, read):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    green = sketch.disc(0, 350, 14, golf="green")
    sketch.box(-40, 300, 40, 420, golf="driving_range")
    assert kinds(read(sketch).hole("1"), Surface.GREEN) == {green}


def test_a_putting_green_marked_practice_is_no_holes(sketch, read, texts):
    sketch.line([(0, 0), (0, 330)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(12, 350, 9, golf="green", practice="yes")
    own = sketch.disc(-10, 372, 14, golf="green")
    assert kinds(read(sketch).hole("1"), Surface.GREEN) == {own}


def test_pins_ranges_houses_paths_and_miniature_golf_are_left_out(sketch, read, texts):
    sketch.hole("1")
    sketch.node(0, 352, golf="pin")
    sketch.box(60, 0, 90, 200, golf="driving_range")
    sketch.box(60, -60, 90, -30, golf="clubhouse", building="yes")
    sketch.line([(10, 0), (10, 300)], golf="cartpath", highway="service")
    sketch.line([(12, 0), (12, 300)], highway="path")
    sketch.box(-120, -60, -60, 0, leisure="miniature_golf")
    sketch.line([(-110, -50), (-70, -10)], golf="hole", ref="1", par="2")
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1"]
    said = texts(course)
    for kind in (
        "golf=pin",
        "golf=driving_range",
        "golf=clubhouse",
        "golf=cartpath",
        "highway=path",
        "leisure=miniature_golf",
        "golf=hole on a practice ground or miniature golf course",
    ):
        assert f"{kind}: not used" in said


# --- rings -------------------------------------------------------------------------------------


def test_an_island_cut_out_by_a_slit(sketch, read, texts):
    # OpenStreetMap's "lollipop": in along a slit, round the island, out along the same slit.
    sketch.hole("1")
    sketch.area(
        [(20, 180), (60, 180), (60, 200), (50, 200), (50, 190), (35, 190), (35, 210), (50, 210), (50, 200),
         (60, 200), (60, 220), (20, 220)],
        golf="bunker",
    )  # fmt: skip
    course = read(sketch)
    assert ground(course.hole("1"), course, sketch, 25, 200) == Surface.BUNKER
    assert ground(course.hole("1"), course, sketch, 42, 200) == Surface.ROUGH
    assert "the outline was not valid" in texts(course)


def test_a_ring_that_crosses_itself(sketch, read, texts):
    sketch.hole("1")
    sketch.area([(20, 180), (60, 220), (60, 180), (20, 220)], golf="bunker")
    course = read(sketch)
    assert ground(course.hole("1"), course, sketch, 55, 200) == Surface.BUNKER
    assert ground(course.hole("1"), course, sketch, 40, 185) == Surface.ROUGH
    assert "mended to 800 m²" in texts(course)


def test_a_loop_with_a_tail_counts_as_its_loop(sketch, read, texts):
    sketch.hole("1")
    sketch.line(
        [(20, 150), (30, 190), (50, 190), (50, 210), (30, 210), (30, 190)], fid="way/50", golf="bunker"
    )
    course = read(sketch)
    assert "way/50: the outline is a loop with a tail; the loop counts" in texts(course)
    assert ground(course.hole("1"), course, sketch, 40, 200) == Surface.BUNKER


def test_an_outline_that_nearly_closes_is_closed_and_one_that_does_not_is_left_out(sketch, read, texts):
    sketch.hole("1")
    sketch.line([(30, 190), (50, 190), (50, 210), (30, 210), (30, 192)], fid="way/50", golf="bunker")
    sketch.line([(30, 90), (50, 90), (50, 110)], fid="way/51", golf="bunker")
    course = read(sketch)
    assert "way/50: the outline did not end where it starts; closed over 2.0 m" in texts(course)
    assert "way/51: golf=bunker drawn as LineString: it has no outline" in texts(course)


# --- water -------------------------------------------------------------------------------------


def test_water_drawn_twice_in_two_colours_is_asked_about(sketch, read, texts):
    sketch.hole("1")
    one = sketch.disc(30, 200, 12, golf="water_hazard", natural="water")
    two = sketch.disc(30, 200, 11, golf="lateral_water_hazard")
    assert f"penalty areas {one} and {two} lie over each other, one yellow, one red" in texts(
        read(sketch).hole("1")
    )


def test_water_among_other_values(sketch, read):
    sketch.hole("1")
    pond = sketch.disc(30, 200, 10, natural="wetland;water")
    assert kinds(read(sketch).hole("1"), Surface.RED) == {pond}


# --- other coordinate systems ------------------------------------------------------------------


def projected(sketch, crs):
    from pyproj import Transformer

    there = Transformer.from_crs("OGC:CRS84", crs, always_xy=True)
    document = sketch.document()
    for row in document["features"]:
        geometry = row["geometry"]
        paths = geometry["coordinates"]
        for path in paths if geometry["type"] == "Polygon" else [paths]:
            path[:] = [list(there.transform(*p)) for p in path]
    return document


@pytest.mark.parametrize("crs", ["EPSG:32631", "EPSG:3857"])
def test_geojson_in_a_declared_system(sketch, tmp_path, crs):
    sketch.hole("1", length=360)
    path = tmp_path / "course.geojson"
    path.write_text(json.dumps(projected(sketch, crs)))
    with pytest.raises(CourseError, match=r"looks projected.*--crs EPSG"):
        read_course(path)
    assert line_length(read_course(path, crs=crs).hole("1").line) == pytest.approx(360, abs=1e-4)
    (tmp_path / "course.toml").write_text(f'crs = "{crs}"\n')
    assert line_length(read_course(tmp_path).hole("1").line) == pytest.approx(360, abs=1e-4)


@pytest.mark.parametrize(
    ("crs", "wrong"),
    [
        ("EPSG:99999", "no coordinate system known here"),
        ("nonsense", "no coordinate system known here"),
        ("EPSG:5773", "no system of places on the ground"),
        ("EPSG:27700", "its coordinates give no longitude and latitude"),
    ],
)
def test_a_system_that_cannot_be_is_refused(sketch, crs, wrong):
    sketch.hole("1")
    document = projected(sketch, "EPSG:3857")
    for row in document["features"]:
        row["geometry"] = {"type": "Point", "coordinates": [1e12, -1e12]}
    with pytest.raises(CourseError, match=wrong):
        read_table("x", json.dumps(document).encode(), crs)


def test_heights_stay_only_where_every_point_has_one(sketch):
    sketch.line([(0, 0), (0, 300)], golf="hole", ref="1")
    sketch.line([(0, 0), (0, 300)], golf="hole", ref="2")
    document = sketch.document()
    document["features"][0]["geometry"]["coordinates"] = [[2.0, 54.5, 10.0], [2.0, 54.503, 12.0]]
    document["features"][1]["geometry"]["coordinates"] = [[2.0, 54.5, 10.0], [2.0, 54.503]]
    first, second = read_table("x", json.dumps(document).encode()).features
    np.testing.assert_array_equal(shapely.get_coordinates(first.geometry, include_z=True)[:, 2], [10, 12])
    assert not second.geometry.has_z
