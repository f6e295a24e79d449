"""Heights: a model, heights in the outlines, or a green in words; one of them, never mixed."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.course import read_course
from strategy.course.height_map import HeightMap
from strategy.course.maps.heights import height_map
from strategy.course.model import FindingKind
from strategy.course.origin import Origin
from strategy.errors import CourseError
from strategy.units import FOOT_M, YARD_M


def plane(xy, east=0.02, north=-0.01, level=30.0):
    return level + np.asarray(xy)[..., 0] * east + np.asarray(xy)[..., 1] * north


@pytest.fixture
def folder_of(sketch, tmp_path):
    """A straight hole of 300 m due north, with course.toml and, if asked for, heights."""

    def build(notes="", z=None, model=False):
        sketch.hole("1", length=300)
        sketch.box(-15, 100, 15, 280, golf="fairway")
        document = sketch.document()
        if z is not None:
            for feature in document["features"]:
                _with_z(feature["geometry"], sketch.frame, z)
        (tmp_path / "course.geojson").write_text(json.dumps(document))
        if model:
            _geotiff(tmp_path / "ground.tif", sketch.frame)
        (tmp_path / "course.toml").write_text(notes)
        return tmp_path

    return build


def _with_z(geometry, frame, z):
    def high(p):
        return [*p[:2], float(z(frame.to_xy([p[:2]]))[0])]

    at = geometry["coordinates"]
    if geometry["type"] == "LineString":
        geometry["coordinates"] = [high(p) for p in at]
    else:
        geometry["coordinates"] = [[high(p) for p in ring] for ring in at]


def _geotiff(path, frame, cell=2e-5):
    """A model in longitude and latitude whose heights are a plane of the course frame."""
    import rasterio
    from rasterio.transform import from_origin

    west, north = 1.99, 54.51
    columns, rows = 1000, 1000
    lon = west + (np.arange(columns) + 0.5) * cell
    lat = north - (np.arange(rows) + 0.5) * cell
    gx, gy = np.meshgrid(lon, lat)
    z = plane(frame.to_xy(np.column_stack((gx.ravel(), gy.ravel())))).reshape(gx.shape)
    profile = {"driver": "GTiff", "width": columns, "height": rows, "count": 1, "dtype": "float32"}
    with rasterio.open(
        path, "w", crs="EPSG:4326", transform=from_origin(west, north, cell, cell), **profile
    ) as file:
        file.write(z.astype(np.float32), 1)


def test_without_heights_the_ground_is_flat_and_that_is_said(folder_of, texts):
    course = read_course(folder_of())
    assert height_map(course.holes[0]) is None
    assert "flat" in texts(course)


def test_a_height_model_gives_the_ground_with_its_origin_and_error(folder_of):
    course = read_course(folder_of('[heights]\nfile = "ground.tif"\nerror = 0.05\n', model=True))
    ground = height_map(course.holes[0])
    assert (ground.origin, ground.error_m) == (Origin.PUBLISHED, 0.05)
    hole = course.holes[0]
    tee, green = np.array([hole.tees[0].xy]), np.array([hole.line[-1]])
    # 300 m north on a plane that falls 1 % to the north.
    assert (ground.at(green) - ground.at(tee))[0] == pytest.approx(-3.0, abs=0.05)
    # 2 m east and 2 m north of the hole: 2 % up, 1 % down.
    step = np.eye(2)
    rise = ground.at(green + step) - ground.at(green - step)
    np.testing.assert_allclose(rise / 2.0, [0.02, -0.01], atol=1e-3)


def test_heights_in_the_outlines_are_used_where_there_is_no_model(folder_of):
    course = read_course(folder_of(z=plane))
    ground = height_map(course.holes[0])
    hole = course.holes[0]
    rise = (ground.at([hole.line[-1]]) - ground.at([hole.tees[0].xy]))[0]
    assert ground.origin == Origin.TRACED
    assert rise == pytest.approx(-3.0, abs=0.3)


def test_two_height_systems_are_never_mixed(folder_of, texts):
    course = read_course(
        folder_of('[heights]\nfile = "ground.tif"\n', z=lambda p: plane(p) + 47.0, model=True)
    )
    assert height_map(course.holes[0]).origin == Origin.PUBLISHED
    assert "never mixed" in texts(course)
    assert np.ptp(height_map(course.holes[0]).heights) < 20.0


def test_heights_that_are_all_the_same_are_no_heights(folder_of):
    course = read_course(folder_of(z=lambda p: np.zeros(len(p))))
    assert height_map(course.holes[0]) is None
    assert any(f.kind == FindingKind.IGNORED and "taken for no height" in f.text for f in course.findings)


def test_a_missing_model_is_said_with_its_mend(folder_of):
    with pytest.raises(CourseError, match=r"there is no such file. Correct heights.file"):
        read_course(folder_of('[heights]\nfile = "elsewhere.tif"\n'))


def test_a_green_in_words_falls_steps_and_runs_off_as_it_says(folder_of):
    notes = (
        'units = "yards"\n[holes.1.green]\nfall = "2 % back to front"\nfalse_front = 5\n'
        'tier = { on = 18, high = "2 ft" }\nrun_offs = ["left"]\n'
    )
    course = read_course(folder_of(notes))
    hole = course.holes[0]
    ground = height_map(hole)
    assert ground.origin == Origin.ASSUMED
    x, middle = hole.line[-1]
    front = middle - 14.0  # the green is a disc of 14 m

    def on(yards, side=0.0):
        return float(ground.at([(x + side, front + yards * YARD_M)])[0])

    # Between the false front and the tier 2 %; over the tier 2 ft more.
    assert on(14) - on(8) == pytest.approx(0.02 * 6 * YARD_M, abs=0.02)
    assert on(23) - on(13) == pytest.approx(0.02 * 10 * YARD_M + 2 * FOOT_M, abs=0.03)
    # The false front is steeper than the rest, as far as it is said and a little on.
    assert (on(5) - on(2)) / (3 * YARD_M) == pytest.approx(0.17, abs=0.02)
    # Past the left edge the ground falls away; past the right edge it does not.
    level = float(ground.at([(x + 12.0, middle)])[0])
    assert ground.at([(x - 20.0, middle)])[0] < level - 0.5
    assert ground.at([(x + 20.0, middle)])[0] == pytest.approx(level, abs=0.1)


@given(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), st.floats(0.3, 3.0), st.floats(-5, 5), st.floats(-5, 5))
def test_resampling_a_plane_is_exact(east, north, cell, dx, dy):
    y, x = np.mgrid[0:40, 0:50]
    centres = np.stack((x + 0.5, y + 0.5), axis=-1)
    ground = HeightMap(
        heights=plane(centres, east, north).astype(np.float32),
        corner=(0.0, 0.0), cell_m=1.0, origin=Origin.PUBLISHED, error_m=0.1,
    )  # fmt: skip
    other = ground.on_grid((12.0 + dx, 12.0 + dy), (5, 6), cell)
    rows, columns = np.mgrid[0:5, 0:6]
    places = np.stack((12.0 + dx + (columns + 0.5) * cell, 12.0 + dy + (rows + 0.5) * cell), axis=-1)
    np.testing.assert_allclose(other.heights, plane(places, east, north), atol=2e-4)
