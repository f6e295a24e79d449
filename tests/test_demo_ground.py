"""The ground of the demo course: what its notes say is there, and slopes as they are on courses.

Greens fall 1 to 3 per cent, tiers 5 to 8; a hole is cut where two or three feet round it are as level as
possible (The R&A, "Guidance on Running a Competition", ch. 4); water and tees are level. Slopes of fairways
are common practice.
"""

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.maps.heights import can_read_rasters, height_map
from strategy.course.maps.least_landing import least_landing
from strategy.course.maps.rolloff import roll_off
from strategy.course.maps.surface import surface_map
from strategy.course.measured.ground import FLAT
from strategy.course.origin import Origin
from strategy.course.pins import pin_xy
from strategy.course.playline import along_side, front_point, last_leg, line_length, point_at
from strategy.demofiles import demo
from strategy.units import YARD_M, yards
from strategy.week.read import read_week
from tests.loading import without_package

SHAPED = ("10", "12", "14")  # a run-off, a false front, a tier
REBUILT = "9"
LABELS = [str(n) for n in range(1, 19)]


@pytest.fixture(scope="module")
def course():
    return read_course(demo().course)


def height(hole, xy):
    """Heights of places. [yd]"""
    return yards(hole.heights.at(xy))


def slope(hole, xy, step=0.75):
    """Steepest slope at places, over a yard and a half."""
    east, north = (hole.heights.at(xy + d) - hole.heights.at(xy - d) for d in np.eye(2) * step)
    return np.hypot(east, north) / (2 * step)


def inside(shape, spacing=1.5, margin=0.0):
    """Places in a shape, evenly spread. [m]"""
    west, south, east, north = shape.bounds
    grid = np.stack(np.meshgrid(np.arange(west, east, spacing), np.arange(south, north, spacing)), axis=-1)
    places = grid.reshape(-1, 2)
    return places[shapely.contains_xy(shape.buffer(-margin), places)]


def on_line(hole, *depths):
    return point_at(hole.line, np.zeros(len(depths)), np.array(depths) * YARD_M)


def on_green(hole, *on):
    """Places so far on the green, along the last leg."""
    ahead, _ = last_leg(hole.line)
    return np.asarray(front_point(hole.green, hole.line)) + np.array(on)[:, None] * YARD_M * ahead


def test_every_hole_has_heights_of_the_file(course):
    assert can_read_rasters()
    assert {h.heights.source for h in course.holes} == {"ground.tif"}
    assert {h.heights.origin for h in course.holes} == {Origin.PUBLISHED}
    assert not [f for h in course.holes for f in h.findings if "height" in f.text]


def test_without_the_extra_the_course_is_read_flat_and_says_so(monkeypatch):
    without_package(monkeypatch, "rasterio")
    flat = read_course(demo().course)
    assert all(h.heights is None for h in flat.holes)
    assert [h.label for h in flat.holes if height_map(h) is not None] == [REBUILT]  # the words still count
    said = [f.text for f in flat.findings]
    assert (
        'ground.tif is not read: rasterio is not installed (pip install "course-strategy[heights]")' in said
    )
    assert FLAT in said


@pytest.mark.parametrize("label", LABELS)
def test_greens_and_fairways_fall_as_they_do_on_courses_and_tees_and_water_are_level(course, label):
    hole = course.hole(label)
    fall = slope(hole, inside(hole.green))
    assert 0.01 <= np.median(fall) <= 0.03
    assert np.mean(fall > 0.035) <= (0.35 if label in SHAPED else 0.03)
    assert fall.max() < 0.13
    for tee in hole.areas:
        if tee.surface == Surface.TEE and tee.shape.distance(shapely.Point(hole.line[0])) < 80:
            assert slope(hole, inside(tee.shape, 1.0, margin=1.0)).max() < 0.02
    for water in hole.areas:
        if water.surface.penalty_area and water.shape.distance(shapely.LineString(hole.line)) < 40:
            assert np.ptp(height(hole, inside(water.shape, margin=1.5))) < 0.2
    mown = [a.shape for a in hole.areas if a.surface == Surface.FAIRWAY]
    own = shapely.union_all(mown).intersection(shapely.LineString(hole.line).buffer(25))
    grass = slope(hole, inside(own, 3.0))
    assert np.median(grass) < 0.06
    assert np.quantile(grass, 0.9) < 0.12


def test_the_7th_is_twelve_down_as_its_note_says(course):
    hole = course.hole("7")
    down = height(hole, hole.line[:1]) - height(hole, hole.line[-1:])
    assert hole.par == 3
    assert 11.5 <= down[0] <= 12.5
    assert any("twelve down" in note for note in hole.notes)


def test_the_17th_is_approached_ten_up_as_its_note_says(course):
    hole = course.hole("17")
    drive, middle = on_line(hole, 275.0, yards(line_length(hole.line)))
    assert 9.0 <= height(hole, middle)[0] - height(hole, drive)[0] <= 11.0
    assert any("ten up" in note for note in hole.notes)


def test_the_fairway_of_the_13th_falls_to_the_right_as_its_note_says(course):
    hole = course.hole("13")
    for depth in (240.0, 270.0, 300.0):
        left, right = (height(hole, point_at(hole.line, s * YARD_M, depth * YARD_M))[0] for s in (-12, 12))
        assert 0.04 <= (left - right) / 24.0 <= 0.065
    assert any("falls to the right, 5 %" in note for note in hole.notes)


def test_the_14th_has_a_crest_and_a_tier_as_its_notes_say(course):
    hole = course.hole("14")
    tee, crest, landing = height(hole, on_line(hole, 0.0, 206.0, 265.0))
    assert crest - tee > 3.0
    assert crest - landing > 3.5
    depth = np.arange(2.0, 27.0, 0.5)
    profile = height(hole, on_green(hole, *depth))
    rise = np.interp(20.5, depth, profile) - np.interp(11.5, depth, profile)
    assert 0.4 <= rise <= 0.6  # half a yard, what the green falls anyway with it
    face = slope(hole, on_green(hole, 14.0, 16.0, 18.0))
    assert np.all((face >= 0.05) & (face <= 0.08))
    assert slope(hole, on_green(hole, 6.0, 8.0, 24.0)).max() < 0.02
    assert any("tier across the green at 16 on" in note for note in hole.notes)


@pytest.mark.parametrize("stimp", [10.0, 11.5, 12.5])
def test_the_12th_sends_back_what_lands_on_its_first_five_paces_as_its_note_says(course, stimp):
    hole = course.hole("12")
    found = least_landing(hole, stimp)
    assert 4.0 <= yards(found.on_m) <= 5.6
    assert found.origin is Origin.PUBLISHED
    assert any("lands in the first 5 paces comes back" in note for note in hole.notes)


def test_no_other_green_has_a_false_front(course):
    assert [h.label for h in course.holes if least_landing(h, 12.5) is not None] == ["12"]


def test_the_10th_runs_away_to_the_back_right_as_its_note_says(course):
    hole = course.hole("10")
    ground = surface_map(hole)
    to = roll_off(height_map(hole).heights, ground.codes, ground.cell_m, 11.5)
    ahead, right = last_leg(hole.line)
    middle, ring = hole.line[-1], hole.green.exterior
    off = []
    for side, depth in ((1.0, 1.0), (-1.0, -1.0)):
        way = (side * right + depth * ahead) / np.sqrt(2.0)
        edge = shapely.get_coordinates(ring.intersection(shapely.LineString([middle, middle + 60 * way])))[0]
        col, row = np.floor((edge - 1.0 * way - ground.corner) / ground.cell_m).astype(int)
        rest = to[row * ground.codes.shape[1] + col]
        off.append(ground.codes.ravel()[rest] != Surface.GREEN)
    assert off == [True, False]
    low = height(hole, [middle + 8 * (right + ahead), middle - 8 * (right + ahead)])
    assert low[0] < low[1]


def test_the_9th_is_in_words_newer_than_the_file(course):
    hole = course.hole(REBUILT)
    assert hole.sketch.rebuilt
    found = height_map(hole)
    assert found.origin is Origin.ASSUMED
    assert "rebuilt" in found.source
    flown = hole.heights.on_grid(found.corner, found.heights.shape, found.cell_m)
    apart = np.abs(found.heights - flown.heights)
    away = inside(hole.green.buffer(60), 4.0)
    away = away[shapely.distance(hole.green, shapely.points(away)) > 20.0]
    col, row = np.floor((away - found.corner) / found.cell_m).astype(int).T
    assert apart.max() > 0.2
    assert apart[row, col].max() < 1e-4  # the words count on the green and its surround alone


def test_no_hole_is_cut_on_a_slope(course):
    week = read_week(demo().week)
    turn = np.radians(np.arange(0.0, 360.0, 45.0))
    round_it = 2.0 * YARD_M * np.vstack((np.zeros(2), np.column_stack((np.sin(turn), np.cos(turn)))))
    for one in week.rounds:
        for hole in course.holes:
            xy = pin_xy(hole, hole.line, one.setup(hole.label).location, week.front_reference)
            if hole.label != REBUILT:
                assert slope(hole, np.asarray(xy) + round_it, 0.3).max() < 0.045, (one.number, hole.label)


def test_the_burn_lies_below_the_fairway_it_crosses(course):
    hole = course.hole("11")
    wet = shapely.union_all([a.shape for a in hole.areas if a.surface == Surface.YELLOW])
    bed = on_line(hole, *np.arange(280.0, 320.0, 0.5))
    bed = bed[shapely.contains_xy(wet.buffer(-0.5), bed)]
    before, after = on_line(hole, 285.0, 325.0)
    assert len(bed)
    assert height(hole, bed).max() < min(height(hole, before)[0], height(hole, after)[0]) - 0.3
    assert along_side(hole.line, bed)[:, 1].min() > 270 * YARD_M
