"""The picture of a hole: its structure and that everything on it can be read. No picture is compared."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.colors import to_rgb

from scripts.invented import a_player, a_shot
from strategy.codes import Surface
from strategy.course.model import Area
from strategy.course.playline import along_side
from strategy.decide import cost_field, options
from strategy.outcome.setup import today
from strategy.plan.drawing.outlines import HazardNumber, PlayFrame
from strategy.plan.drawing.sheet import WindAlong, hole_sheet
from strategy.plan.quoted import Finish
from strategy.report.pictures.fonts import LEFT_OUT, LEFT_OUT_WORDS, has_letters, lettered
from strategy.report.pictures.labels import Room, box_at, stacked
from strategy.report.pictures.layout import CARRY, LAYOUTS, PHONE, PRINT
from strategy.report.pictures.picture import picture, write_picture
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import (
    OSM_CREDIT,
    PictureWords,
    RulerAnswer,
    credit_words,
    even_words,
    hazard_words,
    wind_words,
)
from strategy.strokes.baseline import Baseline
from strategy.units import INCH_M, MPH_MPS, YARD_M
from tests.report.pictures.laid import axes, by_gid, covered, crossed, extent, off_the_page, on_signs, texts
from tests.worlds import a_week, case

CLUB, AIM = "Driver, the fade, 281", "start at the left edge of the far bunker"
SENTENCES = (
    "Far bunker: 281 to carry, room 12.",
    "Lull 3-wood.",
    "Miss left, not right.",
)
COUNTS = "Of 20: 12 fairway, 6 rough, 1 sand, 1 wet."
ARROWS = {"down": "\N{DOWNWARDS ARROW}", "up": "\N{UPWARDS ARROW}"}


def sheet_of(name, *shots, areas=(), out=None):
    hole, _, pin = case(name)
    frame = PlayFrame((hole.line[0, 0], hole.line[0, 1]), 0.0)

    def at(box):
        return shapely.transform(shapely.box(*(v * YARD_M for v in box)), frame.to_course)

    hole = dataclasses.replace(
        hole,
        areas=(*hole.areas, *(Area(surface=s, shape=at(b), fid=str(b)) for s, b in areas)),
        out_of_bounds=None if out is None else at(out),
    )
    today_ = today(hole, a_player(*shots), a_week(), pin=pin)
    to_go = Baseline(today_)
    field = cost_field(today_, to_go)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    side = float(along_side(today_.line, np.asarray(found[0].aim))[0, 0])
    finish = Finish(of="line", side_m=side, past_m=0.0, origin="traced")
    return hole_sheet(hole, field, today_.tee_spot, found, finish)


BAGS = {
    "landing": (("driver", "the fade"), ("3-wood",), ("2-iron",)),
    "water": (("4-iron",), ("5-iron",)),
    "wedge": (("wedge",),),
}
WORDS = PictureWords(
    label="7",
    name="The Elbow",
    title="par 4 · 392 yd",
    below="Round 1 · back tee, markers 22 up · hole 14 on, 5 from the left",
    wind="wind 9 into, from 11 o'clock, gusts 14",
    club=CLUB,
    aim=AIM,
    sentences=SENTENCES,
    counts=COUNTS,
    answers=(),
    from_tee=True,
    about="Case · Rowan Tarrick",
    credit="Invented",
)


def words_for(sheet, **changes):
    """What is written on the picture of a sheet: an answer for each of its aims."""
    shots = next(bag for bag in BAGS.values() if len(bag) == len(sheet.aims))
    answers = tuple(RulerAnswer(shot=shot, number=str(281 - 20 * k)) for k, shot in enumerate(shots))
    return dataclasses.replace(WORDS, answers=answers, **changes)


def draw(sheet, units=Units.YARDS, layout=PRINT, **changes):
    return picture(sheet, words_for(sheet, **changes), units, layout)


@pytest.fixture(scope="module")
def sheets():
    woods = (
        a_shot("driver", 285, 17, 13, run=14, bend=18, name="the fade"),
        a_shot("3-wood", 258, 15, 10.5, run=12, bend=12),
        a_shot("2-iron", 235, 10, 9, run=10),
    )
    trouble = (
        (Surface.BUNKER, (-22, 270, -12, 280)),
        (Surface.BUNKER, (12, 285, 24, 297)),
        (Surface.BUNKER, (14, 255, 24, 266)),
        (Surface.RED, (-60, 280, -30, 420)),
        (Surface.TREES, (28, 200, 42, 330)),
        (Surface.FIRST_CUT, (-18, 180, 18, 400)),
    )
    return {
        "landing": sheet_of("E", *woods, areas=trouble, out=(45, -20, 200, 600)),
        "water": sheet_of(
            "A", a_shot("4-iron", 205, 9, 8, dial=0.15), a_shot("5-iron", 190, 8, 7, dial=0.05)
        ),
        "wedge": sheet_of("C", a_shot("wedge", 95, 3, 5, dial=0.15)),
    }


@pytest.fixture(scope="module")
def every(sheets):
    figures = {
        (name, size): draw(sheet, layout=layout)
        for name, sheet in sheets.items()
        for size, layout in LAYOUTS.items()
    }
    for figure in figures.values():
        figure.canvas.draw()
    return figures


@pytest.fixture(scope="module")
def drawn(sheets, every):
    return {name: every[name, "print"] for name in sheets}


@pytest.fixture(params=["landing", "water", "wedge"])
def one(request, sheets, drawn):
    return sheets[request.param], drawn[request.param]


@pytest.fixture(params=[f"{name} {size}" for name in ("landing", "water", "wedge") for size in LAYOUTS])
def sized(request, sheets, every):
    name, size = request.param.split()
    return sheets[name], every[name, size]


def test_no_text_covers_another(sized):
    assert covered(sized[1]) == []


def test_every_text_is_on_the_page(sized):
    assert off_the_page(sized[1]) == []


def test_no_label_crosses_the_outline_of_a_hazard(sized):
    sheet, figure = sized
    on = axes(figure, "map").transData
    hazards = [
        shapely.Polygon(on.transform(p.rings[0])).exterior
        for p in sheet.pieces
        if p.surface in (Surface.BUNKER, Surface.RED, Surface.YELLOW, Surface.OUT, Surface.TREES)
    ]
    top = axes(figure, "map").get_window_extent()
    labels = [t for t in texts(figure, "label", "contour-number") if extent(figure, t).bounds[1] > top.y0]
    assert labels
    for text in labels:
        box = extent(figure, text)
        assert not any(shapely.intersects(h, box) for h in hazards), text.get_text()


def test_no_label_covers_the_outline_of_the_spread(sized):
    sheet, figure = sized
    ring = shapely.LinearRing(axes(figure, "map").transData.transform(sheet.outline))
    for text in texts(figure, "label", "contour-number"):
        assert not shapely.intersects(ring, extent(figure, text)), text.get_text()


def test_leaders_cross_no_text_no_aim_and_no_other_leader(sized):
    assert crossed(sized[1]) == []


def test_no_label_lies_on_an_aim_the_hole_or_the_flight(sized):
    assert on_signs(*sized) == []


def test_a_label_laid_over_another_would_be_seen(sheets):
    figure = draw(sheets["landing"])
    (label, other, *_) = texts(figure, "label")
    label.set_position(other.get_position())
    assert covered(figure) != []
    aim = axes(figure, "map").transData.transform(sheets["landing"].aim)
    label.set_position(figure.transFigure.inverted().transform(aim))
    assert on_signs(sheets["landing"], figure) != []
    (leader, *_) = by_gid(figure, "leader")
    leader.set_data(zip((0.0, 0.0), (1.0, 1.0), strict=True))
    assert crossed(figure) != []
    label.set_position((0.99, 0.5))
    assert off_the_page(figure) != []


def test_strip_squeezed_ground_and_map_are_aligned(one):
    _, figure = one
    limits = {gid: axes(figure, gid).get_xlim() for gid in ("map", "foot", "strip")}
    assert limits["map"] == limits["foot"] == limits["strip"]
    boxes = [axes(figure, gid).get_position() for gid in ("map", "foot", "strip")]
    for box in boxes[1:]:
        assert box.x0 == pytest.approx(boxes[0].x0, abs=1e-9)
        assert box.x1 == pytest.approx(boxes[0].x1, abs=1e-9)
    assert boxes[0].y0 > boxes[1].y1 > boxes[1].y0 > boxes[2].y1


def test_the_map_is_drawn_to_equal_scale(sized):
    _, figure = sized
    on = axes(figure, "map").transData
    origin, right, ahead = on.transform([(0, 0), (10, 0), (0, 10)])
    assert np.hypot(*(right - origin)) == pytest.approx(np.hypot(*(ahead - origin)), rel=1e-6)


def test_flight_and_start_line_meet_at_the_ball_on_the_page(one):
    _, figure = one
    foot = axes(figure, "foot")
    at = {gid: next(a for a in by_gid(foot, gid)) for gid in ("flight", "start", "ball")}
    ends = [np.column_stack(a.get_data())[0] for a in at.values()]
    low, high = foot.get_ylim()
    assert low < 0.0 < high
    for end in ends:
        np.testing.assert_allclose(end, 0.0, atol=1e-9)


def test_the_answer_is_there_in_full_and_large_enough(sized):
    _, figure = sized
    said = texts(figure, "answer")
    assert " ".join(t.get_text() for t in said) == f"{CLUB} {AIM}"
    rest = texts(figure, "answer-more", "counts")
    assert " ".join(t.get_text() for t in rest) == " ".join((*SENTENCES, COUNTS))
    (large,) = {t.get_fontsize() for t in said}
    assert {t.get_fontsize() for t in rest} == {0.5 * large}
    assert large >= 18.0
    for text in texts(figure, "answer", "answer-more", "counts", "decision", "even-name", "label"):
        assert text.get_fontsize() >= 9.0


def test_club_and_number_stand_in_bold_above_the_aim(one):
    said = texts(one[1], "answer")
    assert [t.get_fontweight() for t in said[:2]] == ["bold", "normal"]
    assert said[0].get_text() == CLUB


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_a_long_answer_still_fits(sheets, layout):
    long = tuple(s + " It is the number that carries the near bunker." for s in SENTENCES)
    aim = "start at the right edge of the second of the far left greenside bunkers"
    figure = draw(sheets["landing"], layout=layout, sentences=long, aim=aim)
    figure.canvas.draw()
    assert " ".join(t.get_text() for t in texts(figure, "answer-more")) == " ".join(long)
    assert min(t.get_fontsize() for t in texts(figure, "answer", "answer-more")) >= 9.0
    assert covered(figure) == []
    lowest = min(extent(figure, t).bounds[1] for t in texts(figure, "counts"))
    assert lowest > axes(figure, "map").get_window_extent().y1


def test_rules_and_credit_are_on_every_page(one):
    sheet, figure = one
    foot = " ".join(t.get_text() for t in texts(figure, "foot"))
    assert "Prepared before the round (Rule 4.3)." in foot
    assert "Invented hole." in foot
    assert "OpenStreetMap" not in foot
    assert ("not for use during a round" in foot) == sheet.green_shown


def test_the_map_credit_is_in_full_where_the_data_ask_for_it(sheets):
    credit = "(c) OpenStreetMap contributors, ODbL 1.0"
    figure = draw(sheets["wedge"], credit=credit)
    assert OSM_CREDIT in " ".join(t.get_text() for t in texts(figure, "foot"))
    demo = "Outlines invented for this demonstration; tags as OpenStreetMap uses them"
    assert credit_words(demo) == "Invented hole."
    assert credit_words("Drawn by the club") == "Drawn by the club"


def test_a_line_of_cost_has_one_number_and_the_foot_says_which_is_which(sized):
    sheet, figure = sized
    there = {f"{c.level:.2f}" for c in sheet.contours}
    numbers = [t.get_text() for t in texts(figure, "contour-number")]
    assert there
    assert len(numbers) == len(set(numbers)) > 1
    assert set(numbers) <= there
    foot = " ".join(t.get_text() for t in texts(figure, "foot"))
    assert "(0.02 solid, 0.05 long dashes, 0.10 dashes, 0.20 dots)" in foot


def test_lines_of_cost_are_lighter_than_the_answer(one):
    """Thinner than the outline and the aim, and nearer in grey to the ground they lie on."""
    _, figure = one
    lines = figure.findobj(lambda a: str(a.get_gid()).startswith("cost-"))
    (outline,), (aim,) = by_gid(figure, "outline"), by_gid(figure, "aim")
    assert lines
    for line in lines:
        assert line.get_linewidth() < 0.5 * outline.get_linewidth()
        assert line.get_linewidth() < 0.5 * aim.get_markeredgewidth()
        assert grey(line.get_color()) > max(grey(outline.get_color()), grey(aim.get_color())) + 0.15


def grey(colour):
    """Luminance, ITU-R BT.601."""
    return float(np.dot(to_rgb(colour), [0.299, 0.587, 0.114]))


def test_contours_differ_by_more_than_colour(drawn):
    figure = drawn["landing"]
    looks = {}
    for level in ("0.02", "0.05", "0.10", "0.20"):
        line = by_gid(figure, f"cost-{level}")[0]
        looks[level] = (line.get_linewidth(), str(line._dash_pattern), line.get_color())
    assert len({look[:2] for look in looks.values()}) == 4
    assert len({look[2] for look in looks.values()}) == 1


def test_ground_differs_by_more_than_colour(drawn):
    """Each hazard has its texture; mown ground its own edge."""
    figure = drawn["landing"]
    for gid in ("texture-water", "texture-sand", "texture-out", "texture-trees"):
        assert by_gid(axes(figure, "map"), gid), gid
    edges = {
        name: (
            by_gid(figure, f"ground-{name}")[0].get_linestyle(),
            by_gid(figure, f"ground-{name}")[0].get_linewidth(),
        )
        for name in ("first_cut", "fairway", "out", "trees")
    }
    assert len(set(map(str, edges.values()))) == 4
    (band,) = by_gid(figure, "even")
    assert band.get_hatch()


def test_tints_keep_apart_in_grey(drawn):
    """Lines on the ground stand out from it when printed grey: luminance of ITU-R BT.601."""
    figure = drawn["landing"]
    for name in ("red", "bunker", "trees", "out", "fairway"):
        patch = by_gid(figure, f"ground-{name}")[0]
        assert grey(patch.get_facecolor()) - grey(patch.get_edgecolor()) > 0.25, name


def test_one_outline_with_ticks_and_no_cloud(one):
    sheet, figure = one
    (ring,) = by_gid(figure, "outline")
    np.testing.assert_array_equal(np.column_stack(ring.get_data())[:-1], sheet.outline)
    (ticks,) = by_gid(figure, "ticks")
    np.testing.assert_array_equal(ticks.get_segments(), sheet.ticks)
    assert not [a for ax in figure.axes for a in (*ax.images, *ax.tables)]


def test_decisions_stand_beside_the_left_ruler(one):
    sheet, figure = one
    said = texts(figure, "decision")
    left = axes(figure, "map").get_window_extent().x0
    for text, answer in zip(said, words_for(sheet).answers, strict=True):
        assert text.get_text().replace("\n", " ").rstrip("".join(ARROWS.values()) + " ") == " ".join(
            (*answer.shot, answer.number)
        )
        assert extent(figure, text).bounds[2] < left
    assert said[0].get_fontweight() == "bold"


def test_a_decision_off_the_map_points_to_where_it_finishes(sheets):
    sheet = sheets["landing"]
    low, high = sheet.window[2:]
    marks = []
    for depth in (low - 5.0, 0.5 * (low + high), high + 5.0):
        figure = draw(dataclasses.replace(sheet, aims=((sheet.aim[0], depth),)))
        (text,) = texts(figure, "decision")
        marks.append([mark for mark in ("down", "up") if ARROWS[mark] in text.get_text()])
    assert marks == [["down"], [], ["up"]]


def test_play_and_north_are_marked(drawn):
    for figure in drawn.values():
        assert {"play", "N"} <= {t.get_text() for t in texts(figure)}
        assert by_gid(figure, "arrow-play")
        assert by_gid(figure, "arrow-N")


def test_north_turns_with_the_hole(sheets):
    def north(heading):
        figure = draw(dataclasses.replace(sheets["wedge"], heading=heading))
        (tail, head) = by_gid(figure, "arrow-N")[0]._posA_posB
        return np.sign(np.round((np.asarray(head) - tail) * PRINT.inches, 6))

    np.testing.assert_array_equal(north(0.0), [0, 1])
    np.testing.assert_array_equal(north(90.0), [-1, 0])  # playing east, north is at the left
    np.testing.assert_array_equal(north(180.0), [0, -1])


def test_wind_in_words_says_that_it_does_not_count_yet():
    speed, gust, into, right = (mph * MPH_MPS for mph in (9.2, 14.1, 8.0, -4.6))
    wind = WindAlong(speed_mps=speed, gust_mps=gust, into_mps=into, from_right_mps=right, clock=11)
    assert wind_words(wind, counts=False) == "wind 9 into, from 11 o'clock, gusts 14 (not in the numbers yet)"
    assert "numbers" not in wind_words(wind, counts=True)
    helping = dataclasses.replace(wind, into_mps=-into, gust_mps=speed, clock=7)
    assert wind_words(helping, counts=True) == "wind 9 helping, from 7 o'clock"
    assert wind_words(None, counts=False) == "wind: calm, or none given"


def test_hazard_numbers_in_words_with_their_origin():
    both = HazardNumber(
        what="the left bunker",
        water=False,
        reach_m=264.6 * YARD_M,
        carry_m=281.2 * YARD_M,
        reach_origin="paced",
        carry_origin="paced",
        outline=np.zeros((1, 2)),
        squeezed=False,
    )

    def said(number, units=Units.YARDS):
        return hazard_words(number, units)

    assert said(both) == [("reach 265", "paced"), ("carry 281", "paced")]
    assert said(dataclasses.replace(both, reach_m=None)) == [("carry 281", "paced")]
    assert said(dataclasses.replace(both, reach_m=None, carry_m=None)) == []
    own = said(dataclasses.replace(both, own_line=True))
    assert own[1] == ("carry 281", "paced, on the line of the shot")
    assert said(both, Units.METRES) == [("reach 242", "paced"), ("carry 257", "paced")]
    # Only one edge was walked: each number keeps its own origin.
    one = said(dataclasses.replace(both, reach_origin="traced"))
    assert one == [("reach 265", "traced"), ("carry 281", "paced")]


def test_where_numbers_come_from_is_one_footnote(sheets):
    sheet = sheets["landing"]
    assert len(sheet.numbers) > 2
    figure = draw(sheet)
    assert not [t for t in texts(figure) if t.get_text() == "traced"]
    assert "Reach and carry: traced." in " ".join(texts_of(figure, "foot"))
    first, *others = sheet.numbers
    walked = dataclasses.replace(first, reach_origin="paced", carry_origin="paced")
    figure = draw(dataclasses.replace(sheet, numbers=(walked, *others)))
    assert "Reach and carry: traced; * paced." in " ".join(texts_of(figure, "foot"))
    starred = [t for t in texts_of(figure, "label") if t.endswith("*")]
    assert len(starred) == len(hazard_words(walked, Units.YARDS))


def test_other_aims_are_named(sheets, every):
    """By their clubs alone; where two are of one club, with the shot too."""
    for size in LAYOUTS:
        labels = [t.get_text() for t in texts(every["water", size], "label")]
        assert "5-iron" in labels


def test_a_sheet_in_metres_says_so(sheets):
    """The same ground in both units; numbers on the map and its rulers are those of the unit."""
    sheet = sheets["water"]
    figures = {units: draw(sheet, units) for units in Units}
    for units, figure in figures.items():
        assert f"{units} on" in texts_of(figure, None)
        assert even_words(sheet, units) in texts_of(figure, "even-name")
        (water,) = [t for t in texts_of(figure, "label") if t.startswith("reach ")]
        assert water == f"reach {units.whole(sheet.numbers[0].reach_m)}"
    assert len({axes(figure, "map").get_ylim() for figure in figures.values()}) == 1


def test_the_file_is_written_whole_and_nothing_else_is_left(sheets, tmp_path):
    from PIL import Image

    path = tmp_path / "07.png"
    write_picture(sheets["water"], words_for(sheets["water"]), path)
    assert [p.name for p in tmp_path.iterdir()] == ["07.png"]
    with Image.open(path) as image:
        assert image.size == (935, 1530)
        assert image.info["dpi"] == pytest.approx((PRINT.dpi, PRINT.dpi), abs=0.1)
    first = path.read_bytes()
    write_picture(sheets["water"], words_for(sheets["water"]), path)
    assert path.read_bytes() == first


@given(
    st.lists(st.tuples(st.floats(0, 300), st.floats(5, 40)), min_size=1, max_size=4),
)
@settings(max_examples=60)
def test_ruler_labels_never_touch(wanted):
    at = [w for w, _ in wanted]
    heights = [h for _, h in wanted]
    placed = stacked(at, heights, 0.0, 300.0)
    spans = sorted((p - 0.5 * h, p + 0.5 * h) for p, h in zip(placed, heights, strict=True))
    for below, above in itertools.pairwise(spans):
        assert above[0] >= below[1] - 1e-6
    assert spans[0][0] >= -1e-6
    assert spans[-1][1] <= 300.0 + 1e-6


def test_room_prefers_near_and_keeps_off_what_is_hard():
    feature = shapely.box(90, 90, 110, 110)
    wall = shapely.box(112, 0, 200, 200)
    room = Room(hard=[feature, wall])
    frame = (0.0, 0.0, 200.0, 200.0)
    size = (30.0, 10.0)
    first = room.beside(feature, size, frame)
    box = box_at(first.at, size)
    assert shapely.disjoint(box, feature)
    assert shapely.disjoint(box, wall)
    assert shapely.distance(box, feature) < 8
    assert first.leader is None
    assert shapely.disjoint(box, box_at(room.beside(feature, size, frame).at, size))


def test_leaders_keep_off_signs_labels_and_one_another():
    frame, size = (0.0, 0.0, 300.0, 300.0), (60.0, 12.0)
    features = [shapely.Point(140.0 + 9.0 * k, 150.0).buffer(3.0) for k in range(3)]
    around = shapely.box(100, 120, 200, 180)
    room = Room(hard=[around], signs=[shapely.Point(150, 190).buffer(8.0)])
    places = [room.beside(f, size, frame, led=True) for f in features]
    leaders = [p.leader for p in places]
    boxes = [box_at(p.at, size) for p in places]
    assert all(leader is not None for leader in leaders)
    for k, leader in enumerate(leaders):
        assert not shapely.crosses(room.signs[0], leader)
        others = [b for j, b in enumerate((*boxes, *leaders)) if j % 3 != k]
        assert not any(shapely.intersects(leader, other) for other in others)
    again = Room(hard=[around], signs=room.signs)
    assert [again.beside(f, size, frame, led=True).at for f in features] == [p.at for p in places]


def test_no_room_is_said():
    feature = shapely.box(40, 40, 60, 60)
    room = Room(hard=[shapely.box(0, 0, 100, 100)])
    assert room.beside(feature, (30.0, 10.0), (0.0, 0.0, 100.0, 100.0)) is None
    line = np.array([[10.0, 10.0], [90.0, 90.0]])
    assert room.along(line, (20.0, 8.0), (0.0, 0.0, 100.0, 100.0)) is None


def test_what_finds_no_room_on_the_map_is_said_at_the_foot(sheets):
    sheet = sheets["landing"]
    low, high, short, far = sheet.window
    ring = np.array([(low, short), (high, short), (high, far), (low, far), (low, short)])
    everywhere = dataclasses.replace(sheet.pieces[-1], surface=Surface.TREES, rings=(ring,))
    figure = draw(dataclasses.replace(sheet, pieces=(*sheet.pieces, everywhere)))
    foot = " ".join(t.get_text() for t in texts(figure, "foot"))
    assert "Also: " in foot
    assert sheet.numbers[0].what in foot.split("Also: ")[1]


SCRIPTS = ("الحفرة الأولى", "หลุมหนึ่ง", "一番ホール", "पहला छेद", "⛳ Hole $1 to $2")


@pytest.mark.parametrize("name", SCRIPTS)
def test_names_in_any_script_are_drawn_or_left_out_without_a_warning(sheets, name):
    """Warnings are errors here: a letter that a font lacks would be one."""
    sheet = sheets["landing"]
    at = sheet.aim[0] + 12.0 * YARD_M, sheet.aim[1] - 40.0 * YARD_M
    named = dataclasses.replace(sheet, marks=((name, *at),))
    aim = f"start at the {name}, 281 to carry it"
    figure = draw(named, name=name, label=name, about=f"{name} · {name}", aim=aim)
    figure.canvas.draw()
    assert len(by_gid(figure, "mark")) == 1
    shown = [t.get_text() for t in texts(figure)]
    assert has_letters(name) == any(lettered(name) in t for t in texts_of(figure, "title"))
    if not has_letters(name):
        assert f"start at the {lettered(name)}, 281 to carry it" in " ".join(texts_of(figure, "answer"))
        assert LEFT_OUT in lettered(name)
        assert LEFT_OUT_WORDS in " ".join(texts_of(figure, "foot"))
        assert not any(name in text for text in shown)
    assert off_the_page(figure) == []


def texts_of(figure, gid):
    return [t.get_text() for t in (texts(figure, gid) if gid else texts(figure))]


LONG_CREDIT = (
    "Outlines traced by the greenkeepers in spring from the aerial survey of the county, sheets 14 and 15, "
    "by kind permission; heights from the national model, licence 2.0, changed; all errors are ours."
)


@pytest.mark.parametrize("credit", ["(c) OpenStreetMap contributors, ODbL 1.0", LONG_CREDIT])
@pytest.mark.parametrize("which", ["landing", "water", "wedge"])
def test_the_credit_is_whole_and_on_the_page(sheets, which, credit):
    sheet = sheets[which]
    figure = draw(sheet, credit=credit, about="A Course of a Rather Long Name " * 3)
    figure.canvas.draw()
    foot = " ".join(texts_of(figure, "foot"))
    assert credit_words(credit) in foot
    assert off_the_page(figure) == []
    assert covered(figure) == []


def test_a_long_hole_name_is_on_the_page(sheets):
    sheet = sheets["wedge"]
    figure = draw(sheet, name="The Second of the Three Holes beside the Old Water Mill", label="Quarry A")
    figure.canvas.draw()
    assert off_the_page(figure) == []
    assert covered(figure) == []


def test_the_head_is_what_is_to_be_written(sheets):
    figure = draw(sheets["landing"])
    assert texts_of(figure, "title") == [f"{WORDS.name} · {WORDS.title}", WORDS.below]
    assert texts_of(figure, "wind") == [WORDS.wind]
    assert "off the tee" in texts_of(figure, None)
    assert "from the ball" in texts_of(draw(sheets["landing"], from_tee=False), None)


# The R&A and USGA, Rule 4.3a, clarification on green-reading materials (2019): a page of 4.25 x 7 in at most,
# and a green at 3/8 in to 5 yd, 1:480, or smaller.
RULE_PAGE_IN, RULE_SCALE = (4.25, 7.0), 480.0


def green_scale(figure, sheet):
    """How much larger a green is than its image, measured in inches of the file on its longest side."""
    (patch, *_) = by_gid(axes(figure, "map"), "ground-green")
    path = patch.get_path()
    on_page = patch.get_transform().transform_path(path).get_extents()
    ground = path.get_extents()
    return max(ground.width, ground.height) / (max(on_page.width, on_page.height) / figure.dpi * INCH_M)


def test_what_is_carried_keeps_to_the_limits_of_page_and_green(sheets, every, tmp_path):
    from PIL import Image

    for name in ("water", "wedge"):
        figure = every[name, "carry"]
        assert green_scale(figure, sheets[name]) >= RULE_SCALE
        foot = " ".join(texts_of(figure, "foot"))
        assert f"Green 1:{green_scale(figure, sheets[name]):.0f} on 4.25 x 7 in" in foot
        assert "Local Rule G-11" in foot
        path = tmp_path / f"{name}.png"
        write_picture(sheets[name], words_for(sheets[name]), path, layout=CARRY)
        with Image.open(path) as image:
            inches = np.array(image.size) / image.info["dpi"]
        assert (inches <= np.array(RULE_PAGE_IN) + 0.005).all()


def test_a_green_that_would_be_too_large_to_carry_is_drawn_smaller(sheets):
    """A short window, as of a chip at a tiny green: the map keeps the scale of the Rules."""
    sheet = sheets["wedge"]
    low, high, short, far = sheet.window
    side, depth = sheet.aim
    share = 25.0 * YARD_M / (far - short)
    near = tuple(
        c + share * (e - c) for c, e in zip((side, side, depth, depth), (low, high, short, far), strict=True)
    )
    figure = draw(dataclasses.replace(sheet, window=near), layout=CARRY)
    assert green_scale(figure, sheet) >= RULE_SCALE
    assert green_scale(draw(dataclasses.replace(sheet, window=near)), sheet) < RULE_SCALE


def test_a_page_for_a_phone_is_as_wide_as_its_screen(every):
    for name in ("landing", "water", "wedge"):
        figure = every[name, "phone"]
        assert figure.get_size_inches()[0] * 72.0 == pytest.approx(390.0)
        assert min(t.get_fontsize() for t in texts(figure, "answer-more", "label", "decision")) >= 12.0
    assert PHONE.dpi == 144  # two dots a pixel
