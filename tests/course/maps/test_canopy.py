"""Trees as a map: heights by each way and which comes first, branches, overhang, and what is said of it."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from scripts.invented import a_player, a_shot
from strategy.cli.main import main
from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.assembly.intake import import_course
from strategy.course.check import check_course
from strategy.course.maps.canopy import canopy_map
from strategy.course.maps.surface import surface_map
from strategy.course.readers.notes import read_notes
from strategy.demofiles import sample
from strategy.errors import CourseError, InputErrors
from strategy.outcome.setup import today
from strategy.units import FOOT_M, YARD_M
from tests.worlds import a_week

# Woods right of the line, one a box of 20 m from 100 m on: (name, tags).
WOODS = {
    "plain": {"natural": "wood"},
    "tagged": {"natural": "wood", "height": "40 ft"},
    "both": {"natural": "wood", "height": "10"},
    "scrub": {"natural": "scrub"},
}


@pytest.fixture
def links(sketch, tmp_path):
    """A straight hole of 300 m with woods in a row; gives a function that reads it with a course.toml."""
    sketch.hole("5", length=300)
    sketch.box(-15, 90, 15, 280, golf="fairway")
    for k, (name, tags) in enumerate(WOODS.items()):
        sketch.box(20, 100 + 40 * k, 40, 120 + 40 * k, name, **tags)
    sketch.write(tmp_path / "course.geojson")

    def read(notes="", raster=None):
        (tmp_path / "course.toml").write_text(notes, encoding="utf-8")
        if raster is not None:
            _raster(tmp_path / "canopy.tif", sketch.frame, raster)
        return read_course(tmp_path)

    return read


def _raster(path, frame, height):
    """A canopy model of 1 m or so in longitude and latitude; `height(x, y)` in the course frame."""
    import rasterio
    from rasterio.transform import from_origin

    cell, west, north, columns, rows = 1e-5, 1.996, 54.506, 800, 1200
    lon, lat = np.meshgrid(west + (np.arange(columns) + 0.5) * cell, north - (np.arange(rows) + 0.5) * cell)
    xy = frame.to_xy(np.column_stack((lon.ravel(), lat.ravel())))
    z = np.asarray(height(xy[:, 0], xy[:, 1]), dtype=np.float32).reshape(lon.shape)
    profile = {"driver": "GTiff", "width": columns, "height": rows, "count": 1, "dtype": "float32"}
    with rasterio.open(
        path, "w", crs="EPSG:4326", transform=from_origin(west, north, cell, cell), nodata=-9999, **profile
    ) as file:
        file.write(z, 1)


def middle(sketch, hole, name):
    """Middle of a wood in the frame of the course."""
    k = list(WOODS).index(name)
    return hole.frame.to_xy(sketch.frame.to_lonlat([(30.0, 110.0 + 40.0 * k)]))[0]


def at(hole, xy):
    """(top, base) over a point. [m]"""
    ground = surface_map(hole)
    trees = canopy_map(hole, ground)
    assert trees.top.shape == trees.base.shape == ground.codes.shape
    assert trees.top.dtype == trees.base.dtype == np.float32
    col, row = np.floor((np.asarray(xy) - ground.corner) / ground.cell_m).astype(int)
    return float(trees.top[row, col]), float(trees.base[row, col])


def tops(sketch, course):
    hole = course.holes[0]
    return {name: at(hole, middle(sketch, hole, name))[0] for name in WOODS}


def said(course):
    return {a.fid: a.height_source for a in course.holes[0].areas if a.surface == Surface.TREES}


def test_where_nothing_is_said_trees_are_medium_and_scrub_low(links, sketch):
    course = links()
    assert tops(sketch, course) == pytest.approx({"plain": 14, "tagged": 40 * FOOT_M, "both": 10, "scrub": 3})
    assert said(course) == {"plain": "assumed", "tagged": "given", "both": "given", "scrub": "assumed"}


def test_the_caddies_word_for_a_feature_beats_its_tag_and_the_tag_beats_the_default(links, sketch):
    course = links('units = "metres"\n[tree_heights]\ndefault = 11\n"both" = "tall"\n')
    # No default counts for scrub: it would stand 11 m high.
    assert tops(sketch, course) == pytest.approx({"plain": 11, "tagged": 12.192, "both": 22, "scrub": 3})
    assert said(course) == {"plain": "given", "tagged": "given", "both": "class", "scrub": "assumed"}


@pytest.mark.parametrize(
    ("word", "metres"),
    [('"low"', 8), ('"Medium"', 14), ('"tall"', 22), ("20", 20 * YARD_M), ('"60 ft"', 18.288), ('"9 m"', 9)],
)
def test_a_default_in_each_way_of_writing(links, sketch, word, metres):
    course = links(f"[tree_heights]\ndefault = {word}\n")
    assert tops(sketch, course)["plain"] == pytest.approx(metres)


def test_a_raster_beats_all_else_and_under_2_m_of_it_is_no_tree(links, sketch, texts):
    def height(x, y):
        # 17 m over the first wood, grass over the second, nothing known of the third, 5 m over the scrub
        return np.select([y < 130, y < 170, y < 210], [17.0, 1.5, -9999.0], 5.0)

    course = links('[tree_heights]\n"plain" = 9\n"both" = "tall"\n[canopy]\nfile = "canopy.tif"\n', height)
    assert tops(sketch, course) == pytest.approx({"plain": 17, "tagged": 0, "both": 22, "scrub": 5}, abs=0.01)
    assert said(course) == {"plain": "measured", "tagged": "measured", "both": "class", "scrub": "measured"}
    hole = course.holes[0]
    assert "tagged: canopy.tif shows no tree of 2 m there" in texts(hole)
    assert "assumed 14 m" not in texts(hole)
    assert any(file.endswith("canopy.tif") for file in course.files)


def test_a_raster_in_feet_and_one_without_data_at_all(links, sketch, texts):
    course = links('[canopy]\nfile = "canopy.tif"\nunits = "feet"\n', lambda x, y: np.full_like(x, 50.0))
    assert tops(sketch, course)["plain"] == pytest.approx(50 * FOOT_M, abs=0.01)
    bare = links('[canopy]\nfile = "canopy.tif"\n', lambda x, y: np.full_like(x, -9999.0))
    assert tops(sketch, bare)["plain"] == pytest.approx(14)
    assert "canopy.tif leaves out woods or trees of the hole" in texts(bare.holes[0])


@pytest.mark.parametrize(
    ("notes", "name", "base"),
    [
        ("", "plain", 0.15 * 14),
        ('[tree_heights]\n"plain" = "4 m"\n', "plain", 1.0),
        ('[tree_heights]\n"plain" = "40 m"\n', "plain", 4.0),
        ("", "scrub", 0.0),
        ("[tree_branches]\ndefault = 3\n", "plain", 3 * YARD_M),
        ("[tree_branches]\ndefault = 3\n", "scrub", 0.0),
        ('[tree_branches]\ndefault = 3\n"plain" = "6 ft"\n', "plain", 6 * FOOT_M),
        ('[tree_branches]\n"scrub" = "0.5 m"\n', "scrub", 0.5),
        (
            '[tree_branches]\ndefault = 12\n[tree_heights]\n"plain" = 5\n',
            "plain",
            1.0,
        ),  # no tree has them above its top
    ],
)
def test_where_the_branches_begin(links, sketch, notes, name, base):
    hole = links(notes).holes[0]
    assert at(hole, middle(sketch, hole, name))[1] == pytest.approx(base, rel=1e-6)


def test_crowns_hang_over_whatever_is_under_them(sketch, tmp_path):
    """The highest top and the lowest branches count where woods overlap; fairway and sand lie below."""
    sketch.hole("1", length=300)
    sketch.box(-15, 90, 15, 280, golf="fairway")
    sketch.box(10, 150, 30, 200, "high", natural="wood", height="20")
    sketch.box(0, 180, 20, 220, "low", natural="wood", height="8")
    sketch.disc(12, 160, 4, golf="bunker")
    sketch.write(tmp_path / "course.geojson")
    hole = read_course(tmp_path).holes[0]
    ground = surface_map(hole)

    def over(x, y):
        xy = hole.frame.to_xy(sketch.frame.to_lonlat([(x, y)]))[0]
        return Surface(int(ground.at(xy)[0])), at(hole, xy)

    assert over(12, 160) == (Surface.BUNKER, pytest.approx((20.0, 3.0)))
    assert over(5, 210) == (Surface.FAIRWAY, pytest.approx((8.0, 1.2)))
    assert over(15, 190)[1] == pytest.approx((20.0, 1.2))
    assert over(25, 190) == (Surface.TREES, pytest.approx((20.0, 3.0)))
    assert over(-5, 160) == (Surface.FAIRWAY, (0.0, 0.0))


def test_single_trees_rows_and_hedges_have_their_width(sketch, tmp_path):
    sketch.hole("1", length=300)
    sketch.node(20, 150, natural="tree", height="12")
    sketch.node(-20, 150, natural="tree", height="12", diameter_crown="10")
    sketch.line([(30, 200), (30, 240)], natural="tree_row")
    sketch.line([(-30, 200), (-30, 240)], barrier="hedge")
    sketch.write(tmp_path / "course.geojson")
    hole = read_course(tmp_path).holes[0]

    def top(x, y):
        return at(hole, hole.frame.to_xy(sketch.frame.to_lonlat([(x, y)]))[0])[0]

    assert (top(23.4, 150), top(24.6, 150)) == (12, 0)
    assert (top(-24.4, 150), top(-25.6, 150)) == (12, 0)
    assert (top(33.4, 220), top(34.6, 220)) == (14, 0)
    assert (top(-30.6, 220), top(-31.4, 220)) == (3, 0)


def test_without_trees_there_is_no_map_and_that_is_said(sketch, tmp_path):
    sketch.hole("1", length=300)
    sketch.write(tmp_path / "course.geojson")
    hole = read_course(tmp_path).holes[0]
    assert canopy_map(hole, surface_map(hole)) is None
    set_up = today(hole, a_player(a_shot("wedge", 95, 3, 5)), a_week())
    assert set_up.canopy is None
    assert "no trees drawn: none stop a ball" in set_up.assumptions


def test_the_day_has_the_trees_the_ways_through_them_and_what_is_assumed(links):
    player = a_player(a_shot("wedge", 95, 3, 5))
    hole = links("[trees]\nthrough = 0.25\nstems = 80\n").holes[0]
    set_up = today(hole, player, a_week())
    assert set_up.canopy.crown_m == pytest.approx(8.0 / -math.log(0.25))
    assert set_up.canopy.stems_m == pytest.approx(80 * YARD_M)
    assert set_up.canopy.top.shape == tuple(-(-n // 4) for n in set_up.surface.shape)  # cells of 2 m
    assert "tree heights assumed: medium, 15 yd" in set_up.assumptions
    assert "heights of scrub and hedges assumed: 3 yd" in set_up.assumptions
    told = today(links('[tree_heights]\ndefault = 9\n"scrub" = 2\n').holes[0], player, a_week())
    assert not [text for text in told.assumptions if "heights" in text]
    assert (told.canopy.crown_m, told.canopy.stems_m) == (6.0, 70.0)
    again = today(dataclasses.replace(hole, name="renamed"), player, a_week())
    assert (again.canopy.top == set_up.canopy.top).all()


@pytest.mark.parametrize(
    ("notes", "wrong"),
    [
        ('[tree_heights]\n"plain" = "tal"\n', 'tree_heights.plain: is "tal". Is "tall" meant? Write that'),
        ('[tree_heights]\n"plain" = "high"\n', 'Is "tall" meant?'),
        ('[tree_heights]\n"plain" = "oaks"\n', 'Write "low", "medium" or "tall", a number, or "60 ft"'),
        ("[tree_heights]\ndefault = 0\n", "tree_heights.default: is 0. A tree has a height"),
        ("[tree_heights]\ndefault = true\n", "tree_heights.default: is true"),
        ("[tree_heights]\ndefault = 90\n", 'is 90, 82 m. It looks like feet: write "90 ft" (27 m)'),
        (
            '[tree_heights]\ndefault = "90 m"\n',
            'is "90 m", 90 m. Give the height in yards, between 1',
        ),
        ("[tree_branches]\ndefault = -1\n", "tree_branches.default: is -1"),
        ("[tree_branches]\ndefault = 40\n", 'It looks like feet: write "40 ft" (12 m)'),
        (
            '[tree_heights]\n"plain" = 9\n[tree_branches]\n"plain" = 9\n',
            "tree_branches.plain: is 9, and the trees are 9 high under [tree_heights]. Branches",
        ),
        ("[trees]\nthrough = 25\n", "trees.through: is 25. It looks like per cent: write 0.25"),
        ("[trees]\nthrough = 0\n", "trees.through: is 0. Give a chance between 0.01 and 0.95"),
        ("[trees]\nthrough = nan\n", "trees.through: is nan"),
        ("[trees]\nstems = 2\n", "trees.stems: is 2, 2 m. Give the way under the branches in yards"),
        ("[trees]\nleaves = 2\n", "trees.leaves: is no key of this table"),
        ('[canopy]\nfile = "none.tif"\n', "there is no such file. Correct canopy.file in course.toml"),
    ],
)
def test_faults_are_named_with_a_guess(links, notes, wrong):
    with pytest.raises((CourseError, InputErrors)) as caught:
        links(notes)
    assert wrong in str(caught.value)


def test_branches_of_a_feature_that_is_not_there_are_a_fault(links):
    with pytest.raises(InputErrors, match=r'tree_branches."way/77": there is no feature \'way/77\''):
        links('[tree_branches]\n"way/77" = 2\n')


def test_check_says_which_heights_are_known(links, tmp_path):
    links('units = "metres"\n[tree_heights]\n"both" = "tall"\n')
    hole = check_course(tmp_path).holes[0]
    assert hole.trees == (("given", 1), ("by class", 1), ("assumed", 2))
    assert dict(hole.contents)["woods or trees"] == 4
    run = CliRunner().invoke(main, ["check", str(tmp_path)])
    words = " ".join(run.stdout.split())
    assert "trees heights 1 given, 1 by class, 2 assumed" in words
    assert "tree heights on 5: assumed 14 m (1 of 4); which shots clear them is a guess" in words
    assert "heights of scrub and hedges on 5: assumed 3 m (1 of 4)" in words


def test_comments_and_tree_keys_survive_an_import(links, sketch, tmp_path):
    links()
    folder = tmp_path / "brought"
    import_course(sketch.write(tmp_path / "other.geojson"), folder, "other")
    new = (folder / "course.toml").read_text()
    for key in ("[tree_heights]", "[tree_branches]", "[trees]", "[canopy]"):
        assert f"# {key}" in new
    mine = '# walked in May\n[tree_heights]\n"plain" = "tall"  # the beeches\n[trees]\nthrough = 0.2\n'
    (folder / "course.toml").write_text(mine)
    import_course(tmp_path / "other.geojson", folder, "other")
    assert mine in (folder / "course.toml").read_text()


def test_the_sample_says_how_balls_fare():
    notes = read_notes(sample("course.toml"))
    assert notes.heights_m == pytest.approx({"default": 14, "wood-5-1": 24 * YARD_M})
    assert notes.branches_m == pytest.approx({"default": 2 * YARD_M, "wood-5-1": 4 * YARD_M})
    assert notes.crown_m == pytest.approx(5.77, abs=0.005)
    assert notes.stems_m == pytest.approx(64.0, abs=0.01)


@given(through=st.floats(0.01, 0.95), across=st.floats(0.5, 40.0))
def test_the_way_through_a_crown_gives_back_the_chance(tmp_path_factory, through, across):
    """Half the crown leaves the square root of the chance: an exponential way and nothing else does."""
    path = tmp_path_factory.mktemp("trees") / "course.toml"
    path.write_text(f"[trees]\nthrough = {through!r}\n")
    way = read_notes(path).crown_m
    assert math.exp(-across / way) == pytest.approx(through ** (across / 8.0), rel=1e-9)
