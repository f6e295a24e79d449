"""The course frame is PROJ's own transformation between the two coordinate systems, to the last digit."""

import numpy as np
import pytest
from pyproj import Transformer

from strategy.course.frame import Frame


@pytest.mark.parametrize(("lon", "lat"), [(-2.7654321, 56.3412345), (179.9991, -12.5), (0.0, 0.0)])
def test_the_steps_written_out_are_those_that_proj_finds(lon, lat):
    local = f"+proj=tmerc +lat_0={lat!r} +lon_0={lon!r} +k=1 +x_0=0 +y_0=0 +ellps=WGS84 +units=m +no_defs"
    named = Transformer.from_crs("OGC:CRS84", local, always_xy=True)
    points = np.array([lon, lat]) + np.random.default_rng(1).uniform(-0.02, 0.02, (50, 2))
    xy = Frame(lon, lat).to_xy(points)
    np.testing.assert_array_equal(xy, np.column_stack(named.transform(*points.T)))
    back = np.column_stack(named.transform(*xy.T, direction="INVERSE"))
    np.testing.assert_array_equal(Frame(lon, lat).to_lonlat(xy), back)
