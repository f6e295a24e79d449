"""Lidar rasters, greens in words, stands, and how walked numbers are printed."""

from __future__ import annotations

import numpy as np
import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.codes import Surface
from strategy.course import edges, read_course
from strategy.course.maps.heights import height_map
from strategy.course.measured.ground import FLAT
from strategy.course.model import FindingKind
from strategy.course.origin import Origin
from strategy.course.playline import front_point, last_leg, line_from
from strategy.errors import CourseError, InputErrors
from strategy.units import FOOT_M, YARD_M
from tests.loading import without_package


def utm(frame, xy):
    from pyproj import Transformer

    lonlat = frame.to_lonlat(xy)
    east, north = Transformer.from_crs("OGC:CRS84", "EPSG:32631", always_xy=True).transform(*lonlat.T)
    return np.column_stack((east, north))


@pytest.fixture
def raster_of(sketch, tmp_path):
    """A hole of 300 m beside a 2 m raster in UTM zone 31; heights rise 3 % to the north of that grid."""

    def build(notes, unit=1.0, crs="EPSG:32631", gap=None, units=None):
        import rasterio
        from rasterio.transform import from_origin

        sketch.hole("1", length=300)
        sketch.box(-15, 100, 15, 280, golf="fairway")
        sketch.write(tmp_path / "course.geojson")
        west, south = np.floor(utm(sketch.frame, [(-150, -150)])[0])
        north = south + 700.0
        rows = np.arange(350)[:, None]
        z = np.repeat(0.03 * (700.0 - (rows + 0.5) * 2.0) + 20.0, 200, axis=1) / unit
        if gap is not None:
            z[gap] = -9999.0
        profile = {"driver": "GTiff", "width": 200, "height": 350, "count": 1, "dtype": "float32"}
        place = from_origin(west, north, 2.0, 2.0)
        with rasterio.open(
            tmp_path / "lidar.tif", "w", crs=crs, transform=place, nodata=-9999.0, **profile
        ) as file:
            file.write(z.astype(np.float32), 1)
            if units:
                file.units = (units,)
        (tmp_path / "course.toml").write_text(f'[heights]\nfile = "lidar.tif"\n{notes}')
        return read_course(tmp_path)

    return build


def rise(course):
    hole = course.holes[0]
    ground = height_map(hole)
    return float((ground.at([hole.line[-1]]) - ground.at([hole.tees[0].xy]))[0])


def climb(course):
    """What 3 % of the raster's northing makes between tee and green. [m]"""
    hole = course.holes[0]
    places = utm(hole.frame, [hole.tees[0].xy, hole.line[-1]])
    return 0.03 * float(places[1, 1] - places[0, 1])


def test_a_raster_in_metres_and_one_in_feet_make_the_same_ground(raster_of):
    course = raster_of("")
    assert rise(course) == pytest.approx(climb(course), abs=0.01)
    assert climb(course) == pytest.approx(9.0, abs=0.1)
    course = raster_of('units = "feet"\n', unit=FOOT_M)
    assert rise(course) == pytest.approx(climb(course), abs=0.01)


def test_the_unit_of_the_band_is_read_from_the_file(raster_of):
    course = raster_of("", unit=FOOT_M, units="ft")
    assert rise(course) == pytest.approx(climb(course), abs=0.01)


def test_a_raster_without_coordinates_asks_for_them_and_takes_them(raster_of):
    with pytest.raises(CourseError, match=r"lidar.tif.*does not say its coordinates.*heights.crs"):
        raster_of("", crs=None)
    course = raster_of('crs = "EPSG:32631"\n', crs=None)
    assert rise(course) == pytest.approx(climb(course), abs=0.01)


def test_small_gaps_take_the_nearest_height_and_are_said(raster_of):
    course = raster_of("", gap=(slice(140, 146), slice(60, 90)))
    assert any(
        f.kind == FindingKind.REPAIRED and "nearest is taken" in f.text for f in course.holes[0].findings
    )
    assert np.isfinite(height_map(course.holes[0]).heights).all()


def test_a_raster_that_leaves_the_hole_out_is_not_used(raster_of):
    course = raster_of("", gap=(slice(0, 350), slice(0, 200)))
    assert height_map(course.holes[0]) is None
    assert any(
        f.kind == FindingKind.MISSING and "leaves out 100%" in f.text for f in course.holes[0].findings
    )


def test_a_green_in_words_gives_way_to_a_raster(raster_of):
    course = raster_of('[holes.1.green]\nfall = "2 % back to front"\n')
    assert height_map(course.holes[0]).origin == Origin.PUBLISHED
    assert any("green in words is not used" in f.text for f in course.holes[0].findings)


def test_what_is_no_raster_is_refused(raster_of, tmp_path):
    raster_of("")
    (tmp_path / "lidar.tif").write_text("no picture")
    with pytest.raises(CourseError, match=r"is no raster that can be read.*Give a GeoTIFF"):
        read_course(tmp_path)


def test_without_rasterio_the_ground_is_flat_and_the_mend_is_said(raster_of, tmp_path, monkeypatch):
    raster_of("")
    without_package(monkeypatch, "rasterio")
    course = read_course(tmp_path)
    said = {f.text: f.kind for f in course.findings}
    mend = 'lidar.tif is not read: rasterio is not installed (pip install "course-strategy[heights]")'
    assert said[mend] is FindingKind.MISSING
    assert said[FLAT] is FindingKind.ASSUMED
    assert height_map(course.holes[0]) is None
    assert not any(
        "lidar" in file for file in course.files
    )  # so that a plan made flat is not taken for one with heights
    # Tree heights decide which shots are possible: a canopy that cannot be read is not passed over.
    (tmp_path / "course.toml").write_text('[canopy]\nfile = "lidar.tif"\n')
    with pytest.raises(CourseError, match=r"rasterio, which is not installed.*course-strategy\[heights\]"):
        read_course(tmp_path)


def test_a_raster_that_counts_in_steps_of_its_own_is_read_in_them(raster_of, tmp_path):
    """GDAL's scale and offset: centimetres above 10 m, in whole numbers."""
    import rasterio

    course = raster_of("")
    with rasterio.open(tmp_path / "lidar.tif") as file:
        z, profile = file.read(1), file.profile
    profile.update(dtype="int16", nodata=-32768)
    with rasterio.open(tmp_path / "lidar.tif", "w", **profile) as file:
        file.write(np.round((z - 10.0) * 100.0).astype(np.int16), 1)
        file.scales, file.offsets = (0.01,), (10.0,)
    again = read_course(tmp_path)
    one, two = (height_map(c.holes[0]).heights for c in (course, again))
    np.testing.assert_allclose(two, one, atol=0.006)


def test_a_green_rebuilt_since_the_raster_counts_in_words_and_the_ground_around_it_by_the_raster(raster_of):
    words = '[holes.1.green]\nfall = "3 % front to back"\ntier = { on = 10, high = "1 ft" }\n'
    plain, rebuilt = raster_of(words), raster_of(words + "rebuilt = true\n")
    hole = rebuilt.holes[0]
    assert any("rebuilt since" in f.text for f in hole.findings)
    before, after = height_map(plain.holes[0]), height_map(hole)
    front = np.asarray(front_point(hole.green, hole.line))
    ahead, _ = last_leg(hole.line)
    back = front + 20.0 * ahead
    # Off the front of the green the ground is the raster's own height; on it, it falls as the words say.
    assert float(after.at([front])[0]) == pytest.approx(float(before.at([front])[0]), abs=0.05)
    rise = float(after.at([back])[0] - after.at([front])[0])
    assert rise == pytest.approx(-0.03 * 20.0 + FOOT_M, abs=0.06)
    far = front - 40.0 * ahead
    assert float(after.at([far])[0]) == pytest.approx(float(before.at([far])[0]), abs=1e-3)
    # Nowhere a step: the words fade into the ground.
    steep = np.hypot(*np.gradient(after.heights, after.cell_m))
    assert steep.max() < 0.25
    assert after.origin is Origin.ASSUMED


@pytest.mark.parametrize(
    ("green", "word"),
    [
        ('fall = "downhill"', "is 'downhill'"),
        ('fall = "2 % back to left"', "is '2 % back to left'"),
        ('fall = "40 % back to front"', "is 40%"),
        ("false_front = 90", "is 90"),
        ('tier = { on = 10, high = "20 ft" }', "is 6.1 m high"),
    ],
)
def test_faults_of_a_green_in_words(sketch, tmp_path, green, word):
    sketch.hole("1")
    sketch.write(tmp_path / "course.geojson")
    (tmp_path / "course.toml").write_text(f'units = "yards"\n[holes.1.green]\n{green}\n')
    with pytest.raises((CourseError, InputErrors)) as fault:
        read_course(tmp_path)
    assert "holes.1.green" in str(fault.value)
    assert word in str(fault.value)


def test_a_stand_by_the_green_is_ground_of_its_own_and_said(sketch, tmp_path, texts):
    sketch.hole("1", length=300)
    sketch.box(-15, 100, 15, 280, golf="fairway")
    stand = sketch.box(10, 250, 25, 270, building="grandstand")
    sketch.write(tmp_path / "course.geojson")
    course = read_course(tmp_path)
    hole = course.holes[0]
    (found,) = hole.obstructions
    assert found.shape.area == pytest.approx(300, rel=0.01)
    fairway = sum(a.shape.area for a in hole.areas if a.surface == Surface.FAIRWAY)
    assert fairway == pytest.approx(30 * 180 - 5 * 20, rel=0.01)
    assert "1 temporary obstructions (grandstand)" in texts(course)
    (tmp_path / "course.toml").write_text(f'[[obstructions]]\nname = "stand C"\nfeature = "{stand}"\n')
    assert [o.name for o in read_course(tmp_path).holes[0].obstructions] == ["stand C"]


def test_a_walked_number_prints_its_origin_and_a_contradiction_its_question(sketch, tmp_path):
    sketch.hole("1", length=400)
    sketch.box(-16, 120, 16, 380, golf="fairway")
    sketch.box(-26, 220, -17, 235, golf="bunker")
    sketch.write(tmp_path / "course.geojson")
    hole = read_course(tmp_path).holes[0]
    line = line_from(hole.line, hole.tees[0].xy)
    front = round(edges.front(hole.green, line).value_m / YARD_M)
    (tmp_path / "measurements.csv").write_text(
        "hole,from,what,yards,how\n"
        "1,tee,carry left bunker,262,paced by J\n"
        f"1,tee,front,{front + 4},paced\n1,tee,front,{front - 5},paced by K\n"
    )
    run = CliRunner().invoke(main, ["numbers", str(tmp_path), "--hole", "1"])
    assert run.exit_code == 0, run.output
    (bunker,) = [row for row in run.output.splitlines() if "left bunker" in row and "Questions" not in row][
        :1
    ]
    assert bunker.endswith("262 paced")
    assert "240 traced" in bunker or "241 traced" in bunker
    asked = " ".join(run.output.partition("Questions from the walk")[2].split())
    assert "lines 3 and 4 stand 9 yd apart; none is used" in asked
    assert f"{front} traced" in run.output
