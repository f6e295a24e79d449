"""Lengths in the course frame against geodesics: within 1 cm in 250 m wherever a course may lie.

Reference: C. F. F. Karney, "Algorithms for geodesics", Journal of Geodesy 87 (2013) 43-55, as `pyproj.Geod`
solves it on the WGS 84 ellipsoid.
"""

import json

import numpy as np
import pytest
from pyproj import Geod

from strategy.course import read_course
from strategy.course.frame import Frame
from strategy.course.playline import line_length

GEOD = Geod(ellps="WGS84")
PLACES = [(10.0, 60.0), (37.5, 0.0), (179.9995, -17.0), (-179.9995, 52.0), (0.0, -45.0)]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("off_m", [0.0, 1000.0, 2000.0])
def test_250_m_in_every_direction(place, off_m):
    frame = Frame(*place)
    for bearing in range(0, 360, 15):
        lon0, lat0, _ = GEOD.fwd(*place, bearing, off_m)
        for heading in range(0, 360, 45):
            lon1, lat1, _ = GEOD.fwd(lon0, lat0, heading, 250.0)
            met = float(np.hypot(*np.diff(frame.to_xy([(lon0, lat0), (lon1, lat1)]), axis=0)[0]))
            assert met == pytest.approx(250.0, abs=0.01)


@pytest.mark.parametrize("place", PLACES)
def test_a_hole_as_read_from_a_file(tmp_path, place):
    lon, lat = place
    far = GEOD.fwd(lon, lat, 70.0, 250.0)[:2]
    tee, green = (
        [[list(GEOD.fwd(x, y, b, 8.0)[:2]) for b in range(0, -361, -30)] for _ in range(1)]
        for x, y in ((lon, lat), far)
    )
    rows = [
        ("LineString", [[lon, lat], list(far)], {"golf": "hole", "ref": "1", "par": "4"}),
        ("Polygon", tee, {"golf": "tee"}),
        ("Polygon", green, {"golf": "green"}),
    ]
    document = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "id": n, "properties": tags, "geometry": {"type": kind, "coordinates": at}}
            for n, (kind, at, tags) in enumerate(rows)
        ],
    }
    path = tmp_path / "links.geojson"
    path.write_text(json.dumps(document))
    assert line_length(read_course(path).hole("1").line) == pytest.approx(250.0, abs=0.01)
