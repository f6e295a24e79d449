"""The picture of a hole: its structure and that everything on it can be read. No picture is compared."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from strategy.plan.drawing.outlines import HazardNumber
from strategy.plan.drawing.sheet import WindAlong
from strategy.report.pictures.fonts import LEFT_OUT, LEFT_OUT_WORDS, has_letters, lettered
from strategy.report.pictures.layout import LAYOUTS, PRINT
from strategy.report.pictures.picture import write_picture
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import (
    OSM_CREDIT,
    credit_words,
    even_words,
    hazard_words,
    wind_words,
)
from strategy.units import MPH_MPS, YARD_M
from tests.report.pictures.laid import axes, by_gid, covered, extent, off_the_page, texts
from tests.report.pictures.pages import AIM, CLUB, COUNTS, SENTENCES, WORDS, draw, texts_of, words_for

ARROWS = {"down": "\N{DOWNWARDS ARROW}", "up": "\N{UPWARDS ARROW}"}


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
