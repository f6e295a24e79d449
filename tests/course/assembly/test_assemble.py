"""Assembly: one small drawn course for every defect that a real one has shown, and for the usual faults."""

import numpy as np
import pytest
import shapely

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.assembly.hole import infer_par
from strategy.course.maps.surface import surface_map
from strategy.course.model import FindingKind
from strategy.course.playline import line_length
from strategy.units import metres, yards


@pytest.fixture
def read(tmp_path):
    return lambda drawn: read_course(drawn.write(tmp_path / "links.geojson"))


def ground(hole, course, sketch, x, y):
    """Surface at sketch coordinates; the course frame has its own centre."""
    return Surface(surface_map(hole).at(course.frame.to_xy(sketch.frame.to_lonlat([(x, y)])))[0])


def kinds(hole, surface):
    return {a.fid for a in hole.areas if a.surface == surface}


def test_a_plain_hole(sketch, read):
    sketch.hole("1", length=metres(400), name="Out")
    course = read(sketch)
    hole = course.hole("1")
    assert (hole.label, hole.par, hole.name, hole.par_assumed) == ("1", 4, "Out", False)
    assert yards(line_length(hole.line)) == pytest.approx(400, abs=0.01)
    assert [t.name for t in hole.tees] == ["back"]
    assert course.name == "links"
    assert hole.frame == course.frame


def test_labels_stay_as_written_and_order_is_numeric_first(sketch, read, texts):
    for k, ref in enumerate(["10", "A", "2", "1"]):
        sketch.hole(ref, x=200.0 * k)
    assert [h.label for h in read(sketch).holes] == ["1", "2", "10", "A"]


def test_a_gap_in_the_numbers_is_asked_about(sketch, read, texts):
    for k, ref in enumerate(["1", "16", "3"]):
        sketch.hole(ref, x=200.0 * k)
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1", "3", "16"]
    assert "3 holes, but 2 is missing and there is a hole 16" in texts(course)
    assert "hole 16 lies outside 1 to 3" in texts(course.hole("16"))


def test_a_back_nine_alone_is_no_gap(sketch, read, texts):
    for k in range(3):
        sketch.hole(str(10 + k), x=200.0 * k)
    assert "missing and there is" not in texts(read(sketch))


def test_a_second_hole_with_the_same_ref_keeps_both(sketch, read, texts):
    sketch.hole("1")
    sketch.hole("1", x=200)
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1", "1 (2)"]
    assert "a second line of play is called '1'" in texts(course.hole("1 (2)"))


def test_a_hole_without_ref_or_name_is_reported(sketch, read, texts):
    sketch.hole(None)
    hole = read(sketch).holes[0]
    assert hole.label == "line 1"
    assert "the hole has no ref" in texts(hole)
    assert "the hole has no name" in texts(hole)


def test_a_line_behind_the_tee_starts_at_the_tee(sketch, read, texts):
    sketch.line([(0, -30), (0, -12), (20, 200), (20, 400)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(20, 400, 14, golf="green")
    hole = read(sketch).hole("1")
    assert "starts 26 m behind the tee" in texts(hole)
    assert tuple(hole.line[0]) == hole.tees[0].xy
    assert len(hole.line) == 3  # both points behind the tee are gone, the corner stays


def test_a_line_that_starts_ahead_of_the_back_tee_is_drawn_back(sketch, read, texts):
    sketch.line([(0, 40), (0, 400)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.box(-4, 36, 4, 44, golf="tee", tee="yellow")
    sketch.disc(0, 400, 14, golf="green")
    hole = read(sketch).hole("1")
    assert [t.name for t in hole.tees] == ["back", "yellow"]
    assert line_length(hole.line) == pytest.approx(400, abs=0.01)
    assert "ahead of the back tee" in texts(hole)


def test_a_line_from_green_to_tee_is_turned(sketch, read, texts):
    sketch.line([(0, 400), (0, 0)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 400, 14, golf="green")
    hole = read(sketch).hole("1")
    assert "turned round" in texts(hole)
    assert hole.line[-1, 1] > hole.line[0, 1]


def test_a_line_that_starts_on_the_last_green_is_not_turned(sketch, read, texts):
    # The walk from hole 1's green is drawn into hole 2's line.
    sketch.hole("1", x=0, length=350)
    sketch.line([(0, 350), (60, 380), (400, 380)], golf="hole", ref="2", par="4")
    sketch.box(56, 376, 64, 384, golf="tee")
    sketch.disc(400, 380, 14, golf="green")
    hole = read(sketch).hole("2")
    assert "turned" not in texts(hole)
    assert "behind the tee" in texts(hole)


def test_a_line_that_ends_short_is_drawn_on(sketch, read, texts):
    sketch.line([(0, 0), (0, 360)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 400, 14, golf="green")
    hole = read(sketch).hole("1")
    assert "stops 26 m short of the green" in texts(hole)
    assert hole.green.contains(shapely.Point(hole.line[-1]))
    assert line_length(hole.line) == pytest.approx(400, abs=0.1)


def test_a_hole_never_takes_a_green_another_line_ends_in(sketch, read, texts):
    # Hole 1's line stops 60 m short of its green, 30 m from the green of hole 2.
    sketch.line([(0, 0), (0, 340)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    own = sketch.disc(0, 414, 14, golf="green")
    sketch.hole("2", x=44, y=-10, length=350)
    hole = read(sketch).hole("1")
    assert kinds(hole, Surface.GREEN) == {own}
    assert "the green of 2 is nearer" in texts(hole)


def test_the_neighbours_green_and_tee_count_as_fairway(sketch, read):
    sketch.hole("1")
    sketch.hole("2", x=50)
    course = read(sketch)
    hole = course.hole("1")
    assert ground(hole, course, sketch, 0, 350) == Surface.GREEN
    assert ground(hole, course, sketch, 50, 350) == Surface.FAIRWAY
    assert ground(hole, course, sketch, 0, 0) == Surface.TEE
    assert ground(hole, course, sketch, 50, 0) == Surface.FAIRWAY


def test_tees_without_ref_go_where_they_belong_together(sketch, read):
    # Line 1 starts 40 m behind its tee, right beside the tee of hole 2, which starts at its own.
    sketch.line([(0, -40), (0, 350)], golf="hole", ref="1", par="4")
    first = sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 350, 14, golf="green")
    sketch.line([(14, -40), (400, -40)], golf="hole", ref="2", par="4")
    second = sketch.box(9, -44, 19, -36, golf="tee")
    sketch.disc(400, -40, 14, golf="green")
    course = read(sketch)
    assert [t.fid for t in course.hole("1").tees] == [first]
    assert [t.fid for t in course.hole("2").tees] == [second]


def test_a_missing_tee_and_green_are_assumed_and_said(sketch, read, texts):
    sketch.line([(0, 0), (0, 300)], golf="hole", ref="1", par="4")
    course = read(sketch)
    hole = course.hole("1")
    assert "no tee is drawn" in texts(hole)
    assert "no green is drawn" in texts(hole)
    assert ground(hole, course, sketch, 0, 300) == Surface.GREEN
    assert yards(np.sqrt(hole.green.area / np.pi) * 2) == pytest.approx(29, abs=0.3)


@pytest.mark.parametrize(
    ("length", "par"), [(120, 3), (249, 3), (251, 4), (469, 4), (471, 5), (689, 5), (700, 6)]
)
def test_par_inferred_from_length(length, par):
    # Rules of Handicapping, Appendix F (World Handicap System): men's ranges; overlaps split in the middle.
    assert infer_par(metres(length)) == par


@pytest.mark.parametrize("tag", [None, "four", "9"])
def test_a_missing_or_odd_par_is_inferred_and_marked(sketch, read, texts, tag):
    sketch.hole("1", length=metres(520), par=tag)
    hole = read(sketch).hole("1")
    assert hole.par == 5
    assert hole.par_assumed
    assert "par 5 is taken from the length of 520 yd" in texts(hole)


def test_a_par_that_does_not_fit_is_asked_about(sketch, read, texts):
    sketch.hole("1", length=metres(430), par="3")
    hole = read(sketch).hole("1")
    assert hole.par == 3
    assert "par 3 at 430 yd: is the line of play right?" in texts(hole)


def test_dist_in_yards_is_noticed(sketch, read, texts):
    sketch.hole("1", length=350, dist=round(yards(350)))
    assert "is it in yards?" in texts(read(sketch).hole("1"))


def test_plain_water_and_ditches_are_red_without_a_known_colour(sketch, read, texts):
    sketch.hole("1")
    pond = sketch.disc(30, 200, 10, natural="water")
    ditch = sketch.line([(-40, 250), (40, 250)], barrier="ditch")
    course = read(sketch)
    hole = course.hole("1")
    for fid in (pond, ditch):
        area = next(a for a in hole.areas if a.fid == fid)
        assert (area.surface, area.colour_known) == (Surface.RED, False)
    assert f"{pond} has no colour: red is assumed" in texts(hole)
    assert "ditch drawn as a line: a penalty area 2 m wide" in texts(course)
    assert ground(hole, course, sketch, 0, 250.4) == Surface.RED


@pytest.mark.parametrize(
    ("tags", "surface"),
    [({"golf": "water_hazard"}, Surface.YELLOW), ({"golf": "lateral_water_hazard"}, Surface.RED)],
)
def test_tagged_water_has_its_colour_and_swallows_the_plain_water_in_it(sketch, read, texts, tags, surface):
    sketch.hole("1")
    drawn = sketch.disc(30, 200, 12, natural="water", **tags)
    sketch.disc(30, 200, 10, natural="water")
    hole = read(sketch).hole("1")
    assert [(a.fid, a.surface, a.colour_known) for a in hole.areas if a.surface.penalty_area] == [
        (drawn, surface, True)
    ]
    assert "one area, not two" in texts(hole)


def test_a_culvert_is_no_water(sketch, read):
    sketch.hole("1")
    sketch.line([(-40, 250), (40, 250)], waterway="stream", tunnel="culvert")
    assert not any(a.surface.penalty_area for a in read(sketch).hole("1").areas)


def test_sand_without_a_golf_tag_is_a_likely_bunker_but_a_beach_is_not(sketch, read, texts):
    sketch.hole("1")
    pit = sketch.disc(20, 330, 5, natural="sand")
    sketch.box(100, 0, 200, 400, natural="sand")
    course = read(sketch)
    assert kinds(course.hole("1"), Surface.BUNKER) == {pit}
    assert "is taken for a bunker; is it one?" in texts(course)
    assert "a beach or a dune" in texts(course)


def test_a_bunker_inside_a_fairway_is_sand_and_said(sketch, read, texts):
    sketch.hole("1")
    fairway = sketch.box(-15, 100, 15, 320, golf="fairway")
    bunker = sketch.disc(5, 220, 6, golf="bunker")
    course = read(sketch)
    hole = course.hole("1")
    assert f"bunker {bunker} is drawn inside fairway {fairway}" in texts(hole)
    assert ground(hole, course, sketch, 5, 220) == Surface.BUNKER
    assert ground(hole, course, sketch, -8, 220) == Surface.FAIRWAY


def test_trees_of_all_kinds(sketch, read, texts):
    sketch.hole("1")
    wood = sketch.box(20, 100, 40, 150, natural="wood")
    scrub = sketch.box(-40, 100, -20, 150, natural="scrub")
    row = sketch.line([(25, 200), (25, 260)], natural="tree_row")
    tree = sketch.node(-25, 200, natural="tree", diameter_crown="10", height="40 ft")
    course = read(sketch)
    hole = course.hole("1")
    assert kinds(hole, Surface.TREES) == {wood, scrub, row, tree}
    heights = {a.fid: a.height_m for a in hole.areas if a.surface == Surface.TREES}
    assert heights == {wood: None, scrub: None, row: None, tree: pytest.approx(12.192)}
    assert "woods and trees drawn: 4, without a height: 3" in texts(course)
    assert ground(hole, course, sketch, 28.5, 230) == Surface.TREES  # 4 m canopy
    assert ground(hole, course, sketch, -29.5, 200) == Surface.TREES  # 5 m from the tag
    assert f"1 trees or rows without a crown width ({row}): 4 m to each side is taken" in texts(course)


def test_what_is_not_golf_is_ignored_and_said_once_a_kind(sketch, read, texts):
    sketch.hole("1")
    sketch.disc(60, 50, 10, golf="clubhouse", building="yes")
    sketch.disc(60, 90, 10, leisure="miniature_golf")
    sketch.box(-500, -100, 500, 600, leisure="golf_course", name="Sandholm")
    for k in range(5):
        sketch.line([(50, 10 * k), (60, 10 * k)], highway="path")
    course = read(sketch)
    assert course.name == "Sandholm"
    said = texts(course)
    assert "golf=clubhouse: not used" in said
    assert "leisure=miniature_golf: not used" in said
    assert "not the boundary of play" in said
    assert said.count("highway=path: not used") == 1
    assert "and 2 more" in said
    assert course.hole("1").out_of_bounds is None


def test_a_crossed_outline_is_mended_and_said(sketch, read, texts):
    sketch.hole("1")
    bow = sketch.area([(10, 100), (30, 120), (30, 100), (10, 120)], golf="bunker")
    course = read(sketch)
    assert f"{bow}: the outline was not valid (self-intersection)" in texts(course)
    area = next(a for a in course.hole("1").areas if a.fid == bow)
    assert area.shape.is_valid
    assert area.shape.area == pytest.approx(200, rel=0.01)


def test_a_green_drawn_as_a_point_is_said(sketch, read, texts):
    sketch.hole("1")
    sketch.node(40, 40, golf="bunker")
    assert "golf=bunker drawn as Point: it has no outline" in texts(read(sketch))


def test_mapped_reaches_60_m_round_line_and_features(sketch, read):
    sketch.hole("1")
    sketch.disc(40, 200, 10, golf="bunker")
    course = read(sketch)
    hole = course.hole("1")
    assert ground(hole, course, sketch, -59, 200) == Surface.ROUGH
    assert ground(hole, course, sketch, -61, 200) == Surface.OFF_MAP
    assert ground(hole, course, sketch, 108, 200) == Surface.ROUGH  # 60 m beyond the bunker's far edge
    assert ground(hole, course, sketch, 112, 200) == Surface.OFF_MAP
    assert ground(hole, course, sketch, 0, 422) == Surface.ROUGH  # green 14 + 60
    assert ground(hole, course, sketch, 0, 426) == Surface.OFF_MAP


def test_rough_is_known_only_where_it_is_drawn(sketch, read, texts):
    sketch.hole("1")
    assert "no rough is drawn" in texts(read(sketch))
    sketch.box(-60, 0, 60, 400, golf="rough")
    sketch.box(-20, 90, 20, 320, golf="rough", rough="first_cut")
    course = read(sketch)
    assert course.hole("1").rough_known
    assert ground(course.hole("1"), course, sketch, 18, 200) == Surface.FIRST_CUT


def test_a_stray_feature_far_away_is_left_out(sketch, read, texts):
    for k in range(4):
        sketch.hole(str(k + 1), x=150.0 * k)
    stray = sketch.disc(0, 30_000, 10, golf="bunker")
    course = read(sketch)
    assert f"{stray}: lies more than 12 km from the holes" in texts(course)


def test_a_course_across_the_antimeridian(new_sketch, read):
    from strategy.course.frame import Frame

    drawn = new_sketch(Frame(179.9999, -17.0))
    drawn.line([(-150, 0), (150, 0)], golf="hole", ref="1", par="4")
    drawn.box(-154, -4, -146, 4, golf="tee")
    drawn.disc(150, 0, 14, golf="green")
    hole = read(drawn).hole("1")
    assert line_length(hole.line) == pytest.approx(300, abs=0.01)


def test_findings_have_a_kind_and_holes_their_label(sketch, read):
    sketch.hole("1")
    course = read(sketch)
    assert all(isinstance(f.kind, FindingKind) for f in course.findings)
    assert {f.hole for f in course.hole("1").findings} <= {"1"}


def test_a_par_3_is_straight_however_it_is_drawn(sketch, read, texts):
    sketch.line([(0, 0), (20, 80), (0, 160)], golf="hole", ref="1", par="3")
    sketch.box(-4, -4, 4, 4, golf="tee")
    sketch.disc(0, 160, 14, golf="green")
    hole = read(sketch).hole("1")
    assert len(hole.line) == 2
    assert "the line of play of a par 3 bends by 20 m; it now runs straight" in texts(hole)


def test_a_tee_tagged_as_fairway_is_offered_as_the_tee_of_a_hole_without_one(sketch, read, texts):
    sketch.line([(0, 0), (0, 300)], golf="hole", ref="1", par="4")
    sketch.disc(0, 300, 14, golf="green")
    sketch.box(-20, 120, 20, 280, golf="fairway")
    sketch.box(40, 0, 52, 14, golf="fairway")  # another hole's, further off
    tee = sketch.box(-6, 10, 6, 40, golf="fairway")
    hole = read(sketch).hole("1")
    assert (
        f"{tee}, tagged fairway, lies where the tee would be: is it the tee? Tag it golf=tee and ref=1"
    ) in texts(hole)
    (asked,) = [f for f in hole.findings if "would be" in f.text]
    assert (asked.kind, asked.feature) == (FindingKind.QUESTION, tee)


def test_a_fairway_as_such_is_not_offered_as_a_tee(sketch, read, texts):
    """It begins near the start of the line, but is far larger than a tee; or it lies too far off."""
    sketch.line([(0, 0), (0, 300)], golf="hole", ref="1", par="4")
    sketch.disc(0, 300, 14, golf="green")
    sketch.box(-20, 30, 20, 280, golf="fairway")
    sketch.box(-6, 80, 6, 110, golf="fairway")
    assert "would be" not in texts(read(sketch).hole("1"))


def test_a_hole_with_a_tee_is_offered_no_other(sketch, read, texts):
    sketch.hole("1", length=300)
    sketch.box(-6, 10, 6, 40, golf="fairway")
    assert "would be" not in texts(read(sketch).hole("1"))
