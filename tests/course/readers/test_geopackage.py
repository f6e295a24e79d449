"""GeoPackage: whatever its layers are called, in any system; and what is refused."""

import numpy as np
import pyogrio.raw
import pytest
import shapely
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.course import read_course
from strategy.course.readers.geopackage import read_geopackage
from strategy.errors import CourseError
from tests.course.geopackages import put


def shapes_of(sketch, project=None):
    """Geometry and tags of a sketch, in longitude and latitude or projected."""
    from strategy.course.readers.geojson import read_geojson

    table = read_geojson("x", sketch.document())
    return [
        (f.geometry if project is None else shapely.transform(f.geometry, project), dict(f.tags))
        for f in table.features
    ]


def said(table):
    return "\n".join(f.text for f in table.findings)


def test_one_layer_with_a_column_a_tag(sketch, tmp_path):
    sketch.hole("1")
    sketch.hole("2", x=120)
    path = put(tmp_path / "course.gpkg", "everything", shapes_of(sketch))
    course = read_course(path)
    assert [h.label for h in course.holes] == ["1", "2"]
    assert [h.par for h in course.holes] == [4, 4]


@pytest.mark.parametrize(("written", "read"), [(None, ""), (" ", ""), (" Drawn by hand ", "Drawn by hand")])
def test_the_credit_line_is_the_attribution_of_a_layer(tmp_path, written, read):
    rows = [(shapely.Point(2, 54.5), {"golf": "tee"})]
    path = put(tmp_path / "a.gpkg", "tees", rows, credit=written)
    assert read_geopackage("x", path.read_bytes()).credit == read


def test_an_identifier_that_is_used_twice_is_kept_apart(tmp_path):
    rows = [(shapely.Point(2, 54.5), {"@id": "node/1", "golf": "tee"})] * 2
    table = read_geopackage("x", put(tmp_path / "a.gpkg", "tees", rows).read_bytes())
    assert [f.fid for f in table.features] == ["node/1", "node/1 (2)"]


def test_tags_packed_in_one_column_as_hstore_or_json(sketch, tmp_path):
    sketch.hole("1", name='The "Quarry" \\ pit')
    rows = shapes_of(sketch)
    for name in ("other_tags", "tags"):
        packed = []
        for shape, tags in rows:
            quoted = [
                "=>".join('"' + t.replace("\\", "\\\\").replace('"', '\\"') + '"' for t in pair)
                for pair in tags.items()
            ]
            import json

            text = ",".join(quoted) if name == "other_tags" else json.dumps(tags)
            packed.append((shape, {name: text}))
        path = put(tmp_path / f"{name}.gpkg", "all", packed)
        table = read_geopackage("x", path.read_bytes())
        assert [f.tags for f in table.features] == [tags for _, tags in rows]


def test_layers_named_by_what_they_hold(sketch, tmp_path):
    sketch.hole("1")
    sketch.disc(20, 200, 8, golf="bunker")
    line, tee, green, bunker = (shape for shape, _ in shapes_of(sketch))
    path = tmp_path / "course.gpkg"
    put(path, "Greens", [(green, {"note": "big"})])
    put(path, "Tee boxes", [(tee, {"note": "back"})])
    put(path, "bunkers_2031", [(bunker, {"note": "deep"})])
    put(path, "centreline", [(line, {"Ref": "1", "PAR": "4"})])
    table = read_geopackage("x", path.read_bytes())
    assert [f.tags.get("golf") for f in table.features] == ["green", "tee", "bunker", "hole"]
    assert table.features[3].tags["ref"] == "1"
    assert "layer Greens: 1 feature called 'green' without tags: golf=green is taken" in said(table)
    assert read_course(path).hole("1").par == 4


def test_one_layer_with_a_column_that_says_what_is_drawn(sketch, tmp_path):
    sketch.hole("1")
    words = ["hole", "Tee", "GREEN"]
    rows = [(shape, {"type": w, "ref": "1"}) for (shape, _), w in zip(shapes_of(sketch), words, strict=True)]
    table = read_geopackage("x", put(tmp_path / "a.gpkg", "survey", rows).read_bytes())
    assert [f.tags["golf"] for f in table.features] == ["hole", "tee", "green"]


def test_numbers_become_text(tmp_path):
    points = np.array([shapely.Point(2, 54.5)] * 2, dtype=object)
    data = {
        "golf": np.array(["tee", "tee"], dtype=object),
        "par": np.array([4.0, np.nan]),
        "width": np.array([2.5, np.nan]),
        "ref": np.array([7, 8]),
    }
    path = tmp_path / "a.gpkg"
    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb(points),
        field_data=list(data.values()),
        fields=list(data),
        layer="t",
        driver="GPKG",
        geometry_type="Point",
        crs="OGC:CRS84",
    )
    first, second = read_geopackage("x", path.read_bytes()).features
    assert first.tags == {"golf": "tee", "par": "4", "width": "2.5", "ref": "7"}
    assert second.tags == {"golf": "tee", "ref": "8"}


@pytest.mark.parametrize("crs", ["EPSG:32631", "EPSG:3857", "EPSG:4258"])
def test_a_layer_in_another_system_is_turned(sketch, tmp_path, crs):
    from pyproj import Transformer

    there = Transformer.from_crs("OGC:CRS84", crs, always_xy=True)

    def project(p):
        return np.column_stack(there.transform(p[:, 0], p[:, 1]))

    sketch.hole("1")
    plain = read_geopackage("x", put(tmp_path / "a.gpkg", "a", shapes_of(sketch)).read_bytes())
    other = read_geopackage("x", put(tmp_path / "b.gpkg", "a", shapes_of(sketch, project), crs).read_bytes())
    for a, b in zip(plain.features, other.features, strict=True):
        np.testing.assert_allclose(
            shapely.get_coordinates(a.geometry), shapely.get_coordinates(b.geometry), atol=1e-8
        )


def test_a_layer_without_a_system_needs_one_declared(sketch, tmp_path):
    sketch.hole("1")
    with pytest.warns(UserWarning, match="crs"):
        path = put(tmp_path / "a.gpkg", "a", shapes_of(sketch), crs=None)
    with pytest.raises(CourseError, match=r"layer a: states no coordinate system.*--crs EPSG"):
        read_geopackage("x", path.read_bytes())
    assert len(read_geopackage("x", path.read_bytes(), "EPSG:4326").features) == 3


def test_identifiers_of_openstreetmap_exports(tmp_path):
    point = shapely.Point(2, 54.5)
    cases = [
        ("points", {"osm_id": "5"}, "node/5"),
        ("lines", {"osm_id": "6"}, "way/6"),
        ("multipolygons", {"osm_id": "7"}, "relation/7"),
        ("multipolygons", {"osm_way_id": "8"}, "way/8"),
        ("any", {"full_id": "w9", "osm_type": "way"}, "way/9"),
        ("any", {"osm_id": "10", "osm_type": "relation"}, "relation/10"),
        ("any", {"id": "mine", "golf": "tee"}, "mine"),
        ("any", {"golf": "tee"}, "any/1"),
    ]
    for number, (layer, columns, fid) in enumerate(cases):
        path = put(tmp_path / f"{number}.gpkg", layer, [(point, columns)])
        table = read_geopackage("x", path.read_bytes())
        assert table.features[0].fid == fid
        assert table.features[0].tags.keys() <= {"golf"}
        assert ("OpenStreetMap" in table.credit) == (fid[:3] in ("nod", "way", "rel"))


def test_what_is_left_out_is_said_and_nothing_drawn_is_refused(tmp_path):
    path = tmp_path / "a.gpkg"
    put(path, "greens", [(None, {"golf": "green"}), (shapely.Point(2, 54.5), {"golf": "green"})])
    table = read_geopackage("x", path.read_bytes())
    assert "greens/1: has no geometry" in said(table)
    put(tmp_path / "b.gpkg", "greens", [(None, {"golf": "green"})])
    with pytest.raises(CourseError, match=r"nothing is drawn in its layers \(greens\)"):
        read_geopackage("x", (tmp_path / "b.gpkg").read_bytes())


@pytest.mark.parametrize("keep", [40, 1000, 60_000])
def test_a_damaged_file_is_refused(sketch, tmp_path, keep):
    sketch.hole("1")
    raw = put(tmp_path / "a.gpkg", "a", shapes_of(sketch)).read_bytes()
    path = tmp_path / "cut.gpkg"
    path.write_bytes(raw[:keep])
    with pytest.raises(CourseError, match="damaged or no GeoPackage"):
        read_course(path)


@pytest.fixture
def silent(sketch, tmp_path):
    """A hole in three layers whose names say nothing, and a bunker in a fourth."""
    sketch.hole("1", par="4")
    sketch.disc(20, 200, 8, golf="bunker")
    path = tmp_path / "course.gpkg"
    for name, (shape, tags) in zip(("Layer 1", "Layer 2", "poly_b", "c"), shapes_of(sketch), strict=True):
        put(path, name, [(shape, {k: v for k, v in tags.items() if k != "golf"} | {"note": "x"})])
    return path


SAID = {"Layer 1": "Hole", "Layer 2": "tees", "poly_b": "green", "c": "bunker"}


def test_layers_that_say_nothing_are_all_asked_about_and_nothing_is_guessed(silent):
    with pytest.raises(CourseError) as caught:
        read_course(silent)
    said = str(caught.value)
    assert (
        "its layers do not say what they hold: Layer 1 (1 line of about 350 m); Layer 2 (1 area of about 64"
        in said
    )
    assert 'Say it for each: --layer "Layer 1=green"' in said
    assert "first cut, rough, bunker" in said


def test_what_the_user_says_of_layers_counts(silent, tmp_path):
    course = read_course(silent, layers=SAID)
    assert [h.label for h in course.holes] == ["1"]
    assert {a.surface.label for a in course.holes[0].areas} >= {"green", "sand"}
    (tmp_path / "course.toml").write_text(
        "[layers]\n" + "".join(f'"{layer}" = "{what}"\n' for layer, what in SAID.items())
    )
    assert [h.label for h in read_course(tmp_path).holes] == ["1"]


def test_one_layer_that_says_nothing_among_others_is_a_question(silent, texts):
    some = {layer: what for layer, what in SAID.items() if layer != "c"}
    course = read_course(silent, layers=some)
    asked = "question: layer c: 1 area of about 2"
    assert asked in texts(course)
    assert 'Say it: --layer "c=bunker"' in texts(course)
    assert not any(a.surface.label == "sand" for a in course.holes[0].areas)
    quiet = read_course(silent, layers=some | {"c": "nothing"})
    assert "layer c" not in texts(quiet)
    assert not any(a.surface.label == "sand" for a in quiet.holes[0].areas)


def test_tags_beat_what_is_said_of_their_layer(sketch, tmp_path):
    sketch.hole("1")
    sketch.disc(20, 200, 8, golf="bunker")
    rows = [(shape, tags if k < 3 else {"ref": "x"}) for k, (shape, tags) in enumerate(shapes_of(sketch))]
    path = put(tmp_path / "a.gpkg", "all", rows)
    table = read_geopackage("x", path.read_bytes(), layers={"all": "bunker"})
    assert [f.tags["golf"] for f in table.features] == ["hole", "tee", "green", "bunker"]


@pytest.mark.parametrize(
    ("layers", "said"),
    [
        ({"Layer 9": "green"}, "layer Layer 9: there is no such layer. Did you mean"),
        ({"zzz": "green"}, "there is no such layer. Its layers are Layer 1, Layer 2, poly_b, c"),
        ({"c": "bunkr"}, "layer c: is said to hold 'bunkr', which is not known. Did you mean \"bunker\"?"),
        ({"c": "zzz"}, "is said to hold 'zzz', which is not known. Write hole, green"),
    ],
)
def test_what_is_said_of_layers_may_be_wrong(silent, layers, said):
    with pytest.raises(CourseError) as caught:
        read_course(silent, layers=SAID | layers)
    assert said in str(caught.value)


def test_the_commands_take_what_is_said_of_layers(silent, sketch, tmp_path):
    said = [word for layer, what in SAID.items() for word in ("--layer", f"{layer}={what}")]
    checked = CliRunner().invoke(main, ["check", str(silent), *said])
    assert checked.exit_code == 0, checked.output
    assert "1 bunker" in checked.stdout
    brought = CliRunner().invoke(main, ["import", str(silent), "--to", str(tmp_path / "links"), *said])
    assert brought.exit_code == 0, brought.output
    assert len(read_course(tmp_path / "links").holes) == 1
    partly = CliRunner().invoke(main, ["import", str(silent), "--to", str(tmp_path / "more"), *said[:-2]])
    assert "layer c: 1 area" in " ".join(partly.stdout.split())
    wrong = CliRunner().invoke(main, ["check", str(silent), "--layer", "c"])
    assert wrong.exit_code == 2
    assert "'c' does not say what the layer holds. Write NAME=bunker." in wrong.stderr
    plain = sketch.write(tmp_path / "a.geojson")
    none = CliRunner().invoke(main, ["check", str(plain), "--layer", "c=bunker"])
    assert none.exit_code == 2
    assert "holds no layers, and 'c' is said to hold 'bunker'. Leave --layer out" in none.stderr
