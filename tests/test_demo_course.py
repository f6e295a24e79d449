"""The demo course is what its script writes, reads cleanly, and has every feature it was drawn for.

Lengths and widths in yards; sizes and distances typical of a tournament course are common practice.
"""

import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.maps.surface import surface_map
from strategy.course.model import FindingKind
from strategy.course.pins import edge_distance, margin_warning, pin_xy
from strategy.course.playline import along_side, front_point, line_length, point_at
from strategy.units import YARD_M, yards
from strategy.week.read import read_week

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "courses" / "fennhallow"
WEEK = ROOT / "courses" / "weeks" / "demo.toml"
SCRIPT = ROOT / "scripts" / "make_demo_course"


@pytest.fixture(scope="module")
def course():
    return read_course(FOLDER)


def shapes(hole, surface):
    return [a.shape for a in hole.areas if a.surface == surface]


def union(hole, *surfaces):
    return shapely.union_all([s for surface in surfaces for s in shapes(hole, surface)])


def across(hole, depth_yd, *surfaces):
    """Left and right end of the ground under the line of play at a depth. [yd right of the line]"""
    side = np.arange(-60.0, 60.0, 0.05)
    p = point_at(hole.line, side * YARD_M, np.full(len(side), depth_yd * YARD_M))
    inside = shapely.contains_xy(union(hole, *surfaces), p)
    middle = np.flatnonzero(inside & (np.abs(side) < 15))
    left = right = middle[len(middle) // 2]
    while inside[left - 1]:
        left -= 1
    while inside[right + 1]:
        right += 1
    return side[left], side[right]


def depths_under_line(hole, ground):
    """Depths in yards at which the line of play lies over some ground."""
    depth = np.arange(0.0, yards(line_length(hole.line)), 0.5)
    p = point_at(hole.line, np.zeros(len(depth)), depth * YARD_M)
    return depth[shapely.contains_xy(ground, p)]


@pytest.mark.slow
def test_the_committed_files_are_what_the_script_writes(tmp_path):
    """Places and heights to a centimetre (the last figure may turn with the machine), else to the letter."""
    subprocess.run([sys.executable, str(SCRIPT), str(tmp_path)], check=True, cwd=tmp_path)
    written, kept = ((f / "course.geojson").read_text() for f in (tmp_path, FOLDER))
    a, b = json.loads(written)["features"], json.loads(kept)["features"]
    assert [(f["id"], f["properties"]) for f in a] == [(f["id"], f["properties"]) for f in b]
    for one, other in zip(a, b, strict=True):
        p, q = (
            shapely.get_coordinates(shapely.from_geojson(json.dumps(f["geometry"]))) for f in (one, other)
        )
        np.testing.assert_allclose(p, q, rtol=0, atol=1.5e-7, err_msg=one["id"])
    assert (tmp_path / "course.toml").read_text() == (FOLDER / "course.toml").read_text()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["course.geojson", "course.toml", "ground.tif"]
    import rasterio

    heights = []
    for folder in (tmp_path, FOLDER):
        with rasterio.open(folder / "ground.tif") as file:
            heights.append((file.transform, file.crs, file.read(1) * file.scales[0]))
    assert heights[0][:2] == heights[1][:2]
    np.testing.assert_allclose(heights[0][2], heights[1][2], rtol=0, atol=0.0101)


def test_outlines_are_rfc_7946():
    """RFC 7946, 3.1.6: closed rings, the outer one counter-clockwise; longitude first; in the open sea."""
    for feature in json.loads((FOLDER / "course.geojson").read_text())["features"]:
        shape = shapely.from_geojson(json.dumps(feature["geometry"]))
        assert shape.is_valid, feature["id"]
        lon, lat = shapely.get_coordinates(shape).T
        assert np.all(np.abs(lon - 3.4) < 0.03)
        assert np.all(np.abs(lat - 55.9) < 0.02)
        if shape.geom_type == "Polygon":
            assert shapely.is_ccw(shape.exterior), feature["id"]


def test_eighteen_holes_of_tournament_length(course):
    assert [h.label for h in course.holes] == [str(n) for n in range(1, 19)]
    assert sum(h.par for h in course.holes) == 71
    assert 6900 <= sum(yards(line_length(h.line)) for h in course.holes) <= 7300
    for hole in course.holes:
        low, high = {3: (150, 240), 4: (310, 500), 5: (530, 610)}[hole.par]
        assert low <= yards(line_length(hole.line)) <= high
        assert [t.name for t in hole.tees] == ["back", "blue", "white", "forward"]


def test_nothing_is_missing(course):
    said = [*course.findings, *(f for h in course.holes for f in h.findings)]
    assert [f.text for f in said if f.kind != FindingKind.ASSUMED] == []
    assert [(f.hole, f.text) for f in said] == [
        ("9", "the green in words, for it was rebuilt since; ground.tif has the ground around it")
    ]
    assert all(h.rough_known and h.out_of_bounds is not None and h.name for h in course.holes)


@pytest.mark.parametrize("number", range(18))
def test_greens_fairways_and_cuts_have_real_sizes(course, number):
    hole = course.holes[number]
    assert 4950 <= hole.green.area / 0.3048**2 <= 6700
    if hole.par > 3:
        depth = {6: 200, 8: 210}.get(number + 1, 250)  # where drives finish; before the corner of the 8th
        left, right = across(hole, depth, Surface.FAIRWAY)
        assert 26 <= right - left <= 36
        low, high = across(hole, depth, Surface.FAIRWAY, Surface.FIRST_CUT)
        both = (high - low - (right - left)) * YARD_M
        assert 3.9 <= both <= 5.0  # 2 m each side, wider where the edge runs aslant
    assert (
        sum(s.distance(hole.green) < 10 for s in shapes(hole, Surface.BUNKER))
        + len([s for s in shapes(hole, Surface.RED) if s.distance(hole.green) < 10])
        >= 2
    )


def test_holes_keep_out_of_each_others_way(course):
    """No fairway, green or tee of one hole over another's; no wood over anything mown; lines do not cross."""
    features = json.loads((FOLDER / "course.geojson").read_text())["features"]
    by_hole = {}
    for feature in features:
        found = re.fullmatch(r"(fairway|green|tee|bunker)-(\d+)(-.*)?", feature["id"])
        if found:
            shape = course.frame.project(shapely.from_geojson(json.dumps(feature["geometry"])))
            by_hole.setdefault(int(found[2]), []).append(shape)
    ground = {n: shapely.union_all(s) for n, s in by_hole.items()}
    for n, mine in ground.items():
        for m in range(n + 1, 19):
            assert mine.distance(ground[m]) > 20
            assert not shapely.LineString(course.holes[n - 1].line).crosses(ground[m])
    woods = shapely.union_all(
        [
            course.frame.project(shapely.from_geojson(json.dumps(f["geometry"])))
            for f in features
            if f["properties"].get("natural") in ("wood", "tree")
        ]
    )
    assert woods.distance(shapely.union_all(list(ground.values()))) > 5
    assert not any(shapely.intersects(woods, s) for h in course.holes for s in shapes(h, Surface.RED))


def test_fairway_bunkers_stand_where_drives_finish(course):
    far = [
        yards(along_side(h.line, shapely.get_coordinates(s.centroid))[0][1])
        for h in course.holes
        if h.par > 3
        for s in shapes(h, Surface.BUNKER)
        if s.distance(shapely.LineString(h.line)) < 30 and s.distance(h.green) > 60
    ]
    assert len(far) >= 20
    assert sum(260 <= d <= 320 for d in far) >= 12


def test_4_is_a_par_3_over_water(course):
    hole = course.hole("4")
    wet = depths_under_line(hole, union(hole, Surface.YELLOW))
    front = yards(along_side(hole.line, front_point(hole.green, hole.line))[0][1])
    assert hole.par == 3
    assert len(wet) > 120
    assert 2 <= front - wet.max() <= 12
    assert hole.drop_zones


def test_8_is_a_dogleg_with_a_corner_to_cut(course):
    hole = course.hole("8")
    a, b = np.diff(hole.line, axis=0)
    turn = np.degrees(np.arctan2(a[0] * b[1] - a[1] * b[0], a @ b))  # positive to the left
    assert 40 <= turn <= 75
    straight = yards(float(np.hypot(*(hole.line[-1] - hole.line[0]))))
    assert yards(line_length(hole.line)) - straight > 40
    cut = shapely.LineString([hole.line[0], hole.line[-1]])
    sand = [
        s
        for s in shapes(hole, Surface.BUNKER)
        if along_side(hole.line, shapely.get_coordinates(s.centroid))[0][0] < 0
    ]
    assert (
        sum(
            200 <= yards(along_side(hole.line, shapely.get_coordinates(s.centroid))[0][1]) <= 310
            for s in sand
        )
        == 3
    )
    assert cut.intersection(union(hole, Surface.TREES)).length > 20 * YARD_M


def test_6_is_a_drivable_par_4(course):
    hole = course.hole("6")
    front = np.asarray(front_point(hole.green, hole.line))
    assert hole.par == 4
    assert 270 <= yards(float(np.hypot(*(front - hole.line[0])))) <= 305
    assert union(hole, Surface.RED).distance(hole.green) < 8


def test_2_is_a_reachable_par_5_with_a_cross_bunker(course):
    hole = course.hole("2")
    assert hole.par == 5
    assert yards(line_length(hole.line)) <= 550
    sand = union(hole, Surface.BUNKER)
    front = along_side(hole.line, front_point(hole.green, hole.line))[0][1]
    cross = depths_under_line(hole, sand)
    assert len(cross) > 0
    assert 60 <= yards(front) - cross.min() <= 95
    sides = [
        along_side(hole.line, shapely.get_coordinates(s)) / YARD_M
        for s in shapely.get_parts(sand)
        if 40 < yards(front - along_side(hole.line, shapely.get_coordinates(s.centroid))[0][1]) < 110
    ]
    reach = np.vstack(sides)[:, 0]
    assert reach.min() < -15 < 15 < reach.max()  # from side to side of the fairway


@pytest.mark.parametrize(("label", "sign", "low", "high"), [("3", 1, 20, 28), ("13", -1, 25, 34)])
def test_out_of_bounds_is_tight_on_one_side(course, label, sign, low, high):
    hole = course.hole(label)
    for depth in (200, 250, 300):
        side = np.arange(5.0, 80.0, 0.25)
        p = point_at(hole.line, sign * side * YARD_M, np.full(len(side), depth * YARD_M))
        assert low <= side[shapely.contains_xy(hole.out_of_bounds, p)].min() <= high
        q = point_at(hole.line, -sign * side[side < 55] * YARD_M, np.full((side < 55).sum(), depth * YARD_M))
        assert not shapely.contains_xy(hole.out_of_bounds, q).any()


def test_the_practice_ground_is_internal_out_of_bounds(course):
    hole = course.hole("18")
    inside = course.frame.to_xy([[3.4 + 0.0028, 55.9 - 0.0026]])
    assert shapely.contains_xy(hole.out_of_bounds, inside).all()
    assert not shapely.intersects(hole.out_of_bounds, shapely.LineString(hole.line))


def test_5_has_a_tree_lined_tee_shot(course):
    hole = course.hole("5")
    trees = union(hole, Surface.TREES)
    for depth in (140, 180, 220, 260):
        side = np.arange(0.0, 60.0, 0.5)
        for sign in (-1, 1):
            p = point_at(hole.line, sign * side * YARD_M, np.full(len(side), depth * YARD_M))
            assert 15 <= side[shapely.contains_xy(trees, p)].min() <= 34


def test_10_has_an_angled_green(course):
    hole = course.hole("10")
    box = shapely.minimum_rotated_rectangle(hole.green)
    edge = np.diff(shapely.get_coordinates(box), axis=0)[:2]
    length = np.hypot(*edge.T)
    long_axis, last = edge[np.argmax(length)], hole.line[-1] - hole.line[-2]
    angle = np.degrees(np.arccos(abs(long_axis @ last) / length.max() / np.hypot(*last)))
    assert length.max() / length.min() > 1.35
    assert 30 <= angle <= 60


def test_the_surface_map_shows_every_surface_somewhere(course):
    seen = set()
    for label in ("4", "5", "18"):
        seen |= set(np.unique(surface_map(course.hole(label), cell_m=1.0).codes).tolist())
    assert seen == {int(s) for s in Surface}


@pytest.fixture(scope="module")
def week():
    return read_week(WEEK)


def test_the_weeks_hole_locations_are_what_the_script_prints():
    run = subprocess.run(
        [sys.executable, str(SCRIPT), "--locations"], check=True, capture_output=True, text=True
    )
    printed = [
        tomllib.loads(part) for part in run.stdout.split("# round ")[1:] for part in [part.split("\n", 1)[1]]
    ]
    written = tomllib.loads(WEEK.read_text())["rounds"]
    assert [table["rounds"]["holes"] for table in printed] == [r["holes"] for r in written]


def test_every_hole_location_is_on_its_green_and_keeps_the_margin(course, week):
    """At least four paces from any edge (The R&A, "Guidance on Running a Competition", ch. 4)."""
    count = 0
    for one in week.rounds:
        for hole in course.holes:
            xy = pin_xy(hole, hole.line, one.setup(hole.label).location, week.front_reference)
            assert margin_warning(hole, xy, week.margin_paces) == ""
            count += 1
    assert count == 72


def test_every_round_has_six_tough_locations_and_each_hole_four_different_ones(course, week):
    """Six hard, six medium, six easy a round (common practice); hard = within six paces of the edge."""
    places = {h.label: [] for h in course.holes}
    for one in week.rounds:
        paces, near_trouble = [], []
        for hole in course.holes:
            xy = pin_xy(hole, hole.line, one.setup(hole.label).location)
            places[hole.label].append(xy)
            paces.append(yards(edge_distance(hole, xy)))
            sand = union(hole, Surface.BUNKER, Surface.RED, Surface.YELLOW)
            near_trouble.append(yards(sand.distance(shapely.Point(xy))))
        paces, near_trouble = np.array(paces), np.array(near_trouble)
        assert np.sum(paces <= 5.5) == 6
        assert np.sum(paces >= 8.0) >= 5
        assert np.median(near_trouble[paces <= 5.5]) < np.median(near_trouble[paces >= 8.0])
    for four in places.values():
        apart = [np.hypot(*(np.array(a) - b)) for i, a in enumerate(four) for b in four[:i]]
        assert min(apart) > 3.0


def test_tough_locations_are_tucked_behind_bunkers(course, week):
    """On the straight way in, sand within 15 yd of the hole; in the week at least six times."""
    tucked = 0
    for one in week.rounds:
        for hole in course.holes:
            hole_xy = np.array(pin_xy(hole, hole.line, one.setup(hole.label).location))
            start = hole.line[-2] if hole.par > 3 else hole.line[0]
            way = (hole_xy - start) / np.hypot(*(hole_xy - start))
            last = shapely.LineString([hole_xy - way * 15 * YARD_M, hole_xy]).buffer(1.5)
            tucked += bool(last.intersects(union(hole, Surface.BUNKER)))
    assert tucked >= 6
