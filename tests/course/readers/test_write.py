"""A table written as GeoJSON reads back without loss."""

import json

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strategy.course.model import Feature, FeatureTable
from strategy.course.readers.geojson import read_geojson
from strategy.course.readers.write import write_geojson

number = st.floats(-80.0, 80.0, allow_subnormal=False).map(lambda x: x + 0.0)
position = st.tuples(number, number)
high = st.tuples(number, number, st.floats(-400.0, 5000.0, allow_subnormal=False).map(lambda x: x + 0.0))
triangle = st.builds(
    lambda x, y, a, b: [(x, y), (x + a, y), (x + a, y + b), (x, y)],
    st.floats(-70.0, 70.0), st.floats(-70.0, 70.0), st.floats(0.01, 9.0), st.floats(0.01, 9.0),
)  # fmt: skip
polygon = triangle.map(shapely.Polygon)
holed = st.builds(
    lambda x, y: shapely.Polygon(
        [(x, y), (x + 4, y), (x + 4, y + 4), (x, y + 4), (x, y)],
        [[(x + 1, y + 1), (x + 2, y + 1), (x + 2, y + 2), (x + 1, y + 1)]],
    ),
    st.integers(-70, 70),
    st.integers(-70, 70),
)
geometry = st.one_of(
    position.map(shapely.Point),
    high.map(shapely.Point),
    st.lists(position, min_size=2, max_size=5).map(shapely.LineString),
    st.lists(high, min_size=2, max_size=5).map(shapely.LineString),
    polygon,
    holed,
    st.lists(position, min_size=1, max_size=3).map(shapely.MultiPoint),
    st.lists(st.lists(position, min_size=2, max_size=3), min_size=1, max_size=2).map(shapely.MultiLineString),
    st.lists(polygon, min_size=1, max_size=2).map(shapely.MultiPolygon),
)
text = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12)
key = st.one_of(
    st.sampled_from(
        [
            "golf",
            "Golf",
            "name",
            "NAME",
            "id",
            "fid",
            "geom",
            "tags",
            "other_tags",
            "ref",
            "dist:white",
            "par ",
        ]
    ),
    text.filter(lambda k: k and not k.startswith("@")),
)
fid = st.one_of(st.builds("way/{}".format, st.integers(-9, 10**12)), text.filter(bool))
table = st.builds(
    lambda rows, credit: FeatureTable(
        file="x",
        features=tuple(Feature(fid=f, tags=tags, geometry=shape) for f, tags, shape in rows),
        credit=credit,
    ),
    st.lists(
        st.tuples(fid, st.dictionaries(key, text, max_size=4), geometry),
        min_size=1, max_size=5, unique_by=lambda row: row[0],
    ),
    text.map(str.strip).filter(bool),
)  # fmt: skip


def assert_same(met, meant):
    assert [f.fid for f in met.features] == [f.fid for f in meant.features]
    assert met.credit == meant.credit
    for a, b in zip(met.features, meant.features, strict=True):
        assert dict(a.tags) == dict(b.tags)
        assert a.geometry.geom_type == b.geometry.geom_type
        assert a.geometry.has_z == b.geometry.has_z
        # To the last bit; a writer may only turn a ring, as RFC 7946 asks.
        assert shapely.equals_exact(shapely.normalize(a.geometry), shapely.normalize(b.geometry), 0.0)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(meant=table)
def test_geojson_and_back(tmp_path, meant):
    path = tmp_path / "a.geojson"
    write_geojson(meant, path)
    assert_same(read_geojson("x", json.loads(path.read_text(encoding="utf-8"))), meant)


@pytest.mark.parametrize(
    ("written", "read"), [(" ", ""), (" Drawn by hand ", "Drawn by hand"), ("\u00a0", "")]
)
def test_a_credit_line_reads_back_without_blanks_round_it(tmp_path, written, read):
    tree = Feature(fid="a", tags={}, geometry=shapely.Point(2.0, 54.5))
    meant = FeatureTable(file="x", features=(tree,), credit=written)
    write_geojson(meant, tmp_path / "a.geojson")
    document = json.loads((tmp_path / "a.geojson").read_text(encoding="utf-8"))
    assert read_geojson("x", document).credit == read
    assert ("attribution" in document) == bool(read)
    spaced = document | {"attribution": written}  # as another program may write it
    assert read_geojson("x", spaced).credit == read


def test_rings_are_wound_as_rfc_7946_asks(tmp_path):
    # Butler et al. 2016, 3.1.6: exterior counter-clockwise, holes clockwise.
    square = shapely.Polygon(
        [(0, 0), (0, 9), (9, 9), (9, 0)], [[(1, 1), (2, 1), (2, 2), (1, 2)]]
    )  # both the wrong way round
    meant = FeatureTable(file="x", features=(Feature(fid="a", tags={}, geometry=square),))
    write_geojson(meant, tmp_path / "a.geojson")
    rings = json.loads((tmp_path / "a.geojson").read_text())["features"][0]["geometry"]["coordinates"]
    assert [shapely.is_ccw(shapely.LinearRing(ring)) for ring in rings] == [True, False]
