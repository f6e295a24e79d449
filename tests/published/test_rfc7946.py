"""GeoJSON against its standard.

Source: H. Butler, M. Daly, A. Doyle, S. Gillies, S. Hagen, T. Schaub, "The GeoJSON Format", RFC 7946,
IETF, August 2016. Section numbers beside each check.
The example geometries of appendix A are from memory of the published text.
"""

import pytest
import shapely

from strategy.course.readers.geojson import read_geojson
from strategy.errors import CourseError

# Appendix A.1 to A.7 (from memory).
APPENDIX = [
    ({"type": "Point", "coordinates": [100.0, 0.0]}, "POINT (100 0)"),
    ({"type": "LineString", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}, "LINESTRING (100 0, 101 1)"),
    (
        {
            "type": "Polygon",
            "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]],
        },
        "POLYGON ((100 0, 101 0, 101 1, 100 1, 100 0))",
    ),
    (
        {
            "type": "Polygon",
            "coordinates": [
                [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
                [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]],
            ],
        },
        (
            "POLYGON ((100 0, 101 0, 101 1, 100 1, 100 0), "
            "(100.8 0.8, 100.8 0.2, 100.2 0.2, 100.2 0.8, 100.8 0.8))"
        ),
    ),
    ({"type": "MultiPoint", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}, "MULTIPOINT ((100 0), (101 1))"),
    (
        {
            "type": "MultiLineString",
            "coordinates": [[[100.0, 0.0], [101.0, 1.0]], [[102.0, 2.0], [103.0, 3.0]]],
        },
        "MULTILINESTRING ((100 0, 101 1), (102 2, 103 3))",
    ),
    (
        {
            "type": "MultiPolygon",
            "coordinates": [
                [[[102.0, 2.0], [103.0, 2.0], [103.0, 3.0], [102.0, 3.0], [102.0, 2.0]]],
                [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]],
            ],
        },
        "MULTIPOLYGON (((102 2, 103 2, 103 3, 102 3, 102 2)), ((100 0, 101 0, 101 1, 100 1, 100 0)))",
    ),
    (
        {
            "type": "GeometryCollection",
            "geometries": [
                {"type": "Point", "coordinates": [100.0, 0.0]},
                {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]},
            ],
        },
        "GEOMETRYCOLLECTION (POINT (100 0), LINESTRING (101 0, 102 1))",
    ),
]


def read(geometry, **member):
    row = {"type": "Feature", "properties": {}, "geometry": geometry}
    return read_geojson("x.geojson", {"type": "FeatureCollection", "features": [row], **member})


@pytest.mark.parametrize(
    ("geometry", "wkt"), APPENDIX, ids=lambda v: v["type"] if isinstance(v, dict) else ""
)
def test_appendix_a_geometries(geometry, wkt):
    (feature,) = read(geometry).features
    assert shapely.equals_exact(feature.geometry, shapely.from_wkt(wkt))


def test_longitude_comes_first_and_a_height_may_follow():
    # 3.1.1: longitude, latitude, and optionally altitude.
    (feature,) = read({"type": "Point", "coordinates": [2.5, 54.0, 31.0]}).features
    assert (feature.geometry.x, feature.geometry.y, feature.geometry.has_z) == (2.5, 54.0, True)
    assert feature.geometry.z == 31.0


@pytest.mark.parametrize("turned", [False, True])
def test_the_winding_of_a_ring_is_no_reason_to_refuse_it(turned):
    # 3.1.6: parsers should not reject polygons that do not follow the right-hand rule.
    ring = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 0.0]]
    (feature,) = read({"type": "Polygon", "coordinates": [ring[::-1] if turned else ring]}).features
    assert feature.geometry.area == 0.5


def test_an_unlocated_feature_has_a_null_geometry():
    # 3.2: a feature that is unlocated has a null geometry; it is left out and said, not refused.
    table = read(None)
    assert table.features == ()
    assert "has no geometry" in table.findings[0].text


def test_an_empty_coordinates_array_may_count_as_null():
    # 3.1: GeoJSON processors may interpret geometries with empty coordinates arrays as null objects.
    assert read({"type": "Polygon", "coordinates": []}).features == ()


def test_foreign_members_are_ignored():
    # 6.1: implementations may ignore foreign members.
    point = {"type": "Point", "coordinates": [1, 2]}
    table = read({**point, "note": "x"}, generator="y", bbox=[0, 0, 1, 1])
    assert table == read(point)
    assert table.features[0].geometry.equals(shapely.Point(1, 2))


@pytest.mark.parametrize(
    ("name", "welcome"),
    [
        ("urn:ogc:def:crs:OGC::CRS84", True),
        ("urn:ogc:def:crs:OGC:1.3:CRS84", True),
        ("EPSG:4326", True),
        ("urn:ogc:def:crs:EPSG::27700", False),
        ("EPSG:3857", False),
    ],
)
def test_only_wgs84_is_read(name, welcome):
    # 4: the coordinate reference system is WGS 84; the crs member of older files has been removed.
    crs = {"type": "name", "properties": {"name": name}}
    point = {"type": "Point", "coordinates": [1.0, 2.0]}
    if welcome:
        (feature,) = read(point, crs=crs).features
        assert feature.geometry.equals(shapely.Point(1.0, 2.0))
    else:
        with pytest.raises(CourseError, match="Export in WGS 84"):
            read(point, crs=crs)


def test_a_ring_has_four_positions_and_ends_where_it_starts():
    # 3.1.6: four or more positions, first and last equivalent; an open one is closed and said.
    table = read({"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1]]]})
    assert table.features[0].geometry.equals(shapely.Polygon([(0, 0), (1, 0), (1, 1)]))
    assert "closed" in table.findings[0].text
