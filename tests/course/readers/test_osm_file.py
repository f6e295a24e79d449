"""OpenStreetMap XML and PBF: in any order, damaged, or among much else, the same course as in other forms."""

import re

import numpy as np
import pytest
import shapely

from strategy.course import read_course
from strategy.course.readers.osm_file import read_osm, sniff_osm
from strategy.course.readers.source import read_table
from strategy.errors import CourseError
from tests.course import osm_forms


@pytest.fixture
def drawn(sketch):
    for k in range(3):
        sketch.hole(str(k + 1), x=90.0 * k, name=f"Hole {k + 1}")
    sketch.disc(20, 200, 8, golf="bunker")
    sketch.line([(-40, -100), (-40, 500)], golf="out_of_bounds")
    sketch.node(30, 100, natural="tree")
    return sketch


def table_of(rows):
    return read_table("x.osm", osm_forms.xml(rows))


def said(table):
    return "\n".join(f.text for f in table.findings)


@pytest.mark.parametrize("form", ["osm", "pbf"])
def test_the_forms_give_the_same_holes_as_geojson(drawn, tmp_path, form):
    first = read_course(drawn.write(tmp_path / "a.geojson"))
    path = tmp_path / f"b.{form}"
    if form == "pbf":
        osm_forms.pbf(osm_forms.elements(drawn), path)
    else:
        path.write_bytes(osm_forms.xml(osm_forms.elements(drawn)))
    other = read_course(path)
    assert [h.label for h in other.holes] == ["1", "2", "3"]
    assert "OpenStreetMap contributors" in other.credit
    for a, b in zip(first.holes, other.holes, strict=True):
        np.testing.assert_allclose(a.line, b.line, rtol=0, atol=0.02)  # 7 decimals: a centimetre
        assert (a.name, a.par) == (b.name, b.par)
        assert {(x.fid, x.surface) for x in a.areas} == {(x.fid, x.surface) for x in b.areas}
        assert shapely.symmetric_difference(a.green, b.green).area < 2.0  # of 600 m²


@pytest.mark.parametrize("form", ["osm", "pbf"])
def test_elements_in_any_order(drawn, tmp_path, form):
    # Relations before ways before nodes, numbers falling: whole readers drop everything then.
    rows = osm_forms.elements(
        drawn,
        [{"id": 7, "members": [{"ref": 1}], "tags": {"type": "multipolygon", "natural": "water"}}],
    )
    order = {"relation": 0, "way": 1, "node": 2}
    turned = sorted(rows, key=lambda row: (order[row["type"]], -row["id"]))
    if form == "pbf":
        raw = osm_forms.pbf(turned, tmp_path / "x.osm.pbf").read_bytes()
    else:
        raw = osm_forms.xml(turned)
    straight = table_of(rows)
    table = read_table("x", raw)
    assert {f.fid for f in table.features} == {f.fid for f in straight.features}
    for feature in table.features:
        other = next(f for f in straight.features if f.fid == feature.fid)
        assert shapely.equals_exact(feature.geometry, other.geometry, 1e-6)


def test_negative_numbers_as_editors_write_them(drawn):
    rows = osm_forms.elements(drawn)
    for row in rows:
        row["id"] = -row["id"]
        if "nodes" in row:
            row["nodes"] = [-n for n in row["nodes"]]
    table = table_of(rows)
    assert len(table.features) == len(drawn.rows)
    assert all(f.fid.split("/")[1].startswith("-") for f in table.features)


def test_deleted_elements_are_left_out(drawn):
    raw = osm_forms.xml(osm_forms.elements(drawn)).replace(
        b"<way id='2'>",
        b"<way id='2' version='3' visible='false' timestamp='2031-01-01T00:00:00Z' changeset='1'>",
    )
    assert "way/2" not in {f.fid for f in read_osm("x", raw, "osm").features}


def test_missing_nodes_are_said_and_a_ring_that_lost_its_corner_is_closed(sketch):
    sketch.hole("1")
    green = sketch.rows[-1][0]
    rows = osm_forms.elements(sketch)
    corner = next(r for r in rows if r["type"] == "way" and r["tags"] == {"golf": "green"})["nodes"][0]
    table = table_of([r for r in rows if not (r["type"] == "node" and r["id"] == corner)])
    ring = next(f for f in table.features if f.fid == green)
    assert ring.geometry.geom_type == "Polygon"
    assert f"{green}: 2 of its 49 points are not in the file" in said(table)


def test_half_the_nodes_missing_is_one_headline(sketch):
    for k in range(9):
        sketch.hole(str(k + 1), x=100.0 * k)
        sketch.disc(100.0 * k + 25, 200, 9, golf="bunker")
    rows = osm_forms.elements(sketch)
    kept = [r for r in rows if r["type"] != "node" or r["id"] % 2]
    table = table_of(kept)
    assert len(table.findings) == 1
    gone = len(rows) - len(kept)
    assert re.fullmatch(
        r"(\d+) of the (\d+) points of 36 features are not in the file \(way/1, way/2, way/3 and 33 more\): "
        r"their outlines are wrong, \d+ are left out\. Extract the course again with whole ways",
        table.findings[0].text,
    )
    assert gone <= int(table.findings[0].text.split()[0]) <= 2 * gone  # a ring counts its first corner twice


def test_missing_members_are_said(sketch):
    sketch.hole("1")
    sketch.disc(30, 200, 9, natural="water")
    rows = osm_forms.elements(
        sketch,
        [
            {
                "id": 5,
                "members": [{"ref": 4}, {"ref": 99, "role": "inner"}],
                "tags": {"type": "multipolygon", "golf": "bunker"},
            }
        ],
    )
    table = table_of(rows)
    assert "relation/5: its member way/99 is not in the file" in said(table)
    assert "relation/5" in {f.fid for f in table.features}


def test_an_old_relation_takes_the_tags_of_its_outline(sketch):
    sketch.hole("1")
    outer = sketch.disc(30, 200, 12, golf="bunker")
    inner = sketch.disc(30, 200, 4)
    members = [{"ref": int(outer[4:])}, {"ref": int(inner[4:]), "role": "inner"}]
    table = table_of(
        osm_forms.elements(sketch, [{"id": 5, "members": members, "tags": {"type": "multipolygon"}}])
    )
    (bunker,) = [f for f in table.features if f.tags.get("golf") == "bunker"]
    assert bunker.fid == "relation/5"
    assert len(bunker.geometry.interiors) == 1
    assert f"those of its outline {outer} count" in said(table)


def test_a_member_twice_is_one(sketch):
    sketch.hole("1")
    sketch.disc(30, 200, 9)
    members = [{"ref": 4}, {"ref": 4}]
    row = {"id": 5, "members": members, "tags": {"type": "multipolygon", "golf": "bunker"}}
    table = table_of(osm_forms.elements(sketch, [row]))
    assert any(f.fid == "relation/5" and f.geometry.area > 0 for f in table.features)


def test_a_ring_of_a_relation_that_crosses_itself_falls_into_its_loops(sketch):
    sketch.hole("1")
    bow = sketch.line([(20, 200), (40, 220), (40, 200), (20, 220), (20, 200)])
    row = {
        "id": 5,
        "members": [{"ref": int(bow[4:])}],
        "tags": {"type": "multipolygon", "golf": "bunker"},
    }
    (bunker,) = [f for f in table_of(osm_forms.elements(sketch, [row])).features if f.fid == "relation/5"]
    frame = sketch.frame
    assert bunker.geometry.is_valid
    assert frame.project(bunker.geometry).area == pytest.approx(200.0, rel=1e-3)


def test_what_lies_far_from_golf_is_never_taken_in(drawn, tmp_path):
    # A town 30 km off and a wood that begins beside the course and ends far away.
    for k in range(200):
        drawn.box(30_000 + 30 * k, 0, 30_020 + 30 * k, 20, building="yes")
    drawn.area([(60, 100), (60, 200), (9000, 200), (9000, 100)], natural="wood")
    table = table_of(osm_forms.elements(drawn))
    assert not any("building" in f.tags for f in table.features)
    (wood,) = [f for f in table.features if f.tags.get("natural") == "wood"]
    assert drawn.frame.project(wood.geometry).area == pytest.approx(894_000, rel=1e-3)


def test_golf_at_both_edges_of_the_map(new_sketch):
    from strategy.course.frame import Frame

    drawn = new_sketch(Frame(179.9999, -17.0))
    drawn.line([(-150, 0), (150, 0)], golf="hole", ref="1", par="4")
    drawn.disc(150, 0, 14, golf="green")
    drawn.disc(-40, 0, 5, golf="bunker")
    features = table_of(osm_forms.elements(drawn)).features
    assert sorted(f.tags["golf"] for f in features) == ["bunker", "green", "hole"]


@pytest.mark.parametrize("keep", [0.3, 0.6, 0.95])
@pytest.mark.parametrize("form", ["osm", "pbf"])
def test_a_file_that_is_cut_off_is_refused(drawn, tmp_path, form, keep):
    if form == "pbf":
        raw = osm_forms.pbf(osm_forms.elements(drawn), tmp_path / "x.osm.pbf").read_bytes()
    else:
        raw = osm_forms.xml(osm_forms.elements(drawn))
    path = tmp_path / "cut"
    path.write_bytes(raw[: int(keep * len(raw))])
    with pytest.raises(CourseError, match="damaged or cut off"):
        read_course(path)


@pytest.mark.parametrize(
    ("raw", "wrong"),
    [
        (b"<osm version='0.6'/>", "holds nothing tagged golf"),
        (b"<osm version='0.6'><node id='x' lat='1' lon='2'/></osm>", "damaged or cut off"),
        (b"<osm version='0.6'><node id='1' lat='north' lon='2'/></osm>", "damaged or cut off"),
        (b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18", "damaged or cut off"),
    ],
)
def test_a_damaged_or_empty_file_is_refused(raw, wrong):
    with pytest.raises(CourseError, match=wrong):
        read_osm("x", raw, sniff_osm(raw) or "none")


@pytest.mark.parametrize("code", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
@pytest.mark.parametrize("declared", [True, False])
def test_xml_in_other_encodings_is_read(sketch, code, declared):
    sketch.hole("1", name="Grün")
    text = osm_forms.xml(osm_forms.elements(sketch)).decode()
    head = "<?xml version='1.0' encoding='UTF-16'?>" if declared else "<?xml version='1.0'?>"
    raw = text.replace("<?xml version='1.0' encoding='UTF-8'?>", head).encode(code)
    (hole,) = [f for f in read_table("x.osm", raw).features if f.tags.get("golf") == "hole"]
    assert hole.tags["name"] == "Grün"


def test_forms_are_told_apart_by_content():
    assert sniff_osm(b"\xef\xbb\xbf<?xml version='1.0'?>\n<osm/>") == "osm"
    assert sniff_osm(b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18\x88") == "pbf"
    assert sniff_osm(b"<gpx></gpx>") is None
    assert sniff_osm(b"") is None
