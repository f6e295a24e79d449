"""Pin-sheet text to coordinates and back; likely hole locations."""

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from strategy.codes import Surface
from strategy.course.model import Area
from strategy.course.pins import edge_distance, green_numbers, margin_warning, parse_pin, pin_text, pin_xy
from strategy.course.propose import propose_pins
from strategy.errors import RequestError
from strategy.units import YARD_M, metres
from tests.course.holes import a_hole


def make(green, areas=(), **given):
    return a_hole(green, (Area(surface=Surface.GREEN, shape=green, fid="g"), *areas), label="7", **given)


def yd(*values):
    return tuple(metres(v) for v in values)


# 24 yd wide and 30 yd deep, front edge at y = 300 m - 15 yd.
SQUARE = shapely.box(-12 * YARD_M, 300 - 15 * YARD_M, 12 * YARD_M, 300 + 15 * YARD_M)
BOX = make(SQUARE)
FRONT = 300 - 15 * YARD_M
ROUND = make(shapely.Point(0, 300).buffer(15 * YARD_M, quad_segs=64))


@pytest.mark.parametrize(
    ("text", "on", "across"),
    [
        ("14 on, 5 from the left", 14, -7),
        ("22 on 4 R", 22, 8),
        ("22 on, 4R", 22, 8),
        ("18 on, centre", 18, 0),
        ("18 on CTR", 18, 0),
        ("18 on, center.", 18, 0),
        ("14 paces on, 5 paces from left edge", 14, -7),
        ("14 yards on, 5 yd in from the right", 14, 7),
        ("14, 5 L", 14, -7),
        ("14/5L", 14, -7),
        ("0 on, 0 from the left", 0, -12),
    ],
)
def test_ways_of_writing_a_hole_location(text, on, across):
    assert pin_xy(BOX, BOX.line, text) == pytest.approx((across * YARD_M, FRONT + on * YARD_M), abs=1e-9)


def test_metres_count_for_both_numbers_unless_the_second_says_otherwise():
    assert parse_pin("10 m on, 4 from the left") == (10.0, 4.0, "left")
    assert parse_pin("10 metres on, 4 paces from the right") == (10.0, 4 * YARD_M, "right")


@pytest.mark.parametrize(
    "text", ["", "back left", "14 on", "on 14, 5 L", "14 on, 5", "fourteen on, 5 L", "14 on, 5 up"]
)
def test_text_that_cannot_be_read_shows_how_to_write_it(text):
    with pytest.raises(
        RequestError, match=r'hole 7: .* cannot be read; write it like "14 on, 5 from the left"'
    ):
        pin_xy(BOX, BOX.line, text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("31 on, centre", "the green is 30 yd deep from its front reference; give a number on from 0 to 30"),
        ("-1 on, centre", "give a number on from 0 to 30"),
        ("14 on, 25 from the left", "not on the green, which is 24 yd wide at 14 on"),
        ("14 on, -2 from the left", "-2 from the edge is off the green"),
    ],
)
def test_a_place_off_the_green_is_refused_with_its_size(text, said):
    with pytest.raises(RequestError, match=said):
        pin_xy(BOX, BOX.line, text)


def test_a_gap_in_a_horseshoe_green_is_said():
    horseshoe = SQUARE.difference(shapely.box(-3, FRONT + 10, 3, 400))
    hole = make(horseshoe)
    with pytest.raises(RequestError, match="with ground that is not green between"):
        pin_xy(hole, hole.line, "20 on, centre")
    assert pin_xy(hole, hole.line, "20 on, 4 R")[0] == pytest.approx(8 * YARD_M)


def test_the_front_reference_shifts_the_number():
    green = shapely.Polygon([yd(-15, 300), yd(15, 315), yd(15, 340), yd(-15, 325)])
    hole = make(green, line=np.array([[0.0, 0.0], yd(0, 320)]))
    line = hole.line
    by_line = pin_xy(hole, line, "12 on, centre")
    by_front = pin_xy(hole, line, "12 on, centre", "front-most")
    by_dot = pin_xy(hole, line, "12 on, centre", "dot", yd(0, 309))
    assert [p[1] / YARD_M for p in (by_line, by_front, by_dot)] == pytest.approx([319.5, 312, 321])
    assert pin_text(hole, line, by_line) == "12 on, centre"
    assert pin_text(hole, line, by_front, "front-most") == "12 on, centre"


def test_sides_follow_the_last_leg_of_the_line():
    # Played from the south and west into the same green, "left" is west, then north.
    line = np.array([[-200.0, 0.0], [-200.0, 300.0], [0.0, 300.0]])
    hole = make(ROUND.green, line=line)
    x, y = pin_xy(hole, line, "15 on, 5 from the left")
    assert (x, y) == pytest.approx((0, 300 + 10 * YARD_M), abs=0.02)


def test_the_mirror_image_green_has_the_mirror_image_location():
    shape = shapely.Polygon([yd(-9, 314), yd(4, 312), yd(12, 330), yd(3, 345), yd(-11, 338)])
    flipped = shapely.transform(shape, lambda p: p * [-1, 1])
    line = np.array([[0.0, 0.0], yd(0, 330)])
    x, y = pin_xy(make(shape, line=line), line, "17 on, 6 from the left")
    assert pin_xy(make(flipped, line=line), line, "17 on, 6 from the right") == pytest.approx(
        (-x, y), abs=1e-9
    )


@st.composite
def greens(draw):
    """Ellipses of all usual sizes, turned, with the line of play from any direction."""
    width, depth = draw(st.floats(14, 40)), draw(st.floats(16, 45))
    turn, heading = draw(st.floats(0, 180)), draw(st.floats(0, 360))
    disc = shapely.Point(0, 0).buffer(1, quad_segs=24)
    from shapely.affinity import rotate, scale

    green = rotate(scale(disc, width * YARD_M / 2, depth * YARD_M / 2), turn)
    h = np.radians(heading)
    line = np.array([[-300 * np.sin(h), -300 * np.cos(h)], [0.0, 0.0]])
    return make(green, line=line)


@given(greens(), st.floats(0, 1), st.floats(0, 6.3), st.sampled_from(["line of play", "front-most"]))
def test_text_read_back_lands_within_half_a_pace_each_way(hole, r, angle, reference):
    west, south, east, north = hole.green.bounds
    xy = (0.5 * r * (east - west) * np.cos(angle), 0.5 * r * (north - south) * np.sin(angle))
    assume(hole.green.contains(shapely.Point(xy)) and edge_distance(hole, xy) > YARD_M)
    text = pin_text(hole, hole.line, xy, reference)
    back = pin_xy(hole, hole.line, text, reference)
    assert np.hypot(back[0] - xy[0], back[1] - xy[1]) <= np.sqrt(0.5) * YARD_M + 1e-6
    assert pin_text(hole, hole.line, back, reference) == text


def test_a_place_off_the_green_has_no_text():
    with pytest.raises(RequestError, match=r"3\.0 yd off the green"):
        pin_text(BOX, BOX.line, yd(15, 328))


def test_inside_the_margin_is_warned_of_and_never_refused():
    # The R&A, Guidance on Running a Competition, ch. 4: at least four paces from any edge.
    near = pin_xy(BOX, BOX.line, "14 on, 3 from the left")
    assert margin_warning(BOX, near) == "3.0 paces from the edge of the green; the guidance is 4 or more"
    assert margin_warning(BOX, pin_xy(BOX, BOX.line, "14 on, 4 from the left")) == ""
    assert margin_warning(BOX, pin_xy(BOX, BOX.line, "14 on, 4 from the left"), 5.0) != ""


def test_green_numbers():
    n = green_numbers(BOX, BOX.line, (0.0, 0.0))
    front = 300 / YARD_M - 15
    got = [v / YARD_M for v in (n.front_m, n.middle_m, n.back_m, n.depth_m, n.width_m)]
    assert got == pytest.approx([front, front + 15, front + 30, 30, 24])


@pytest.mark.parametrize(
    ("from_left", "warned"), [("3.4", True), ("3.9", True), ("4.0", False), ("4.1", False)]
)
def test_the_margin_is_met_to_the_tenth_of_a_pace(from_left, warned):
    place = pin_xy(BOX, BOX.line, f"14 on, {from_left} from the left")
    said = margin_warning(BOX, place)
    assert said == (
        f"{from_left} paces from the edge of the green; the guidance is 4 or more" if warned else ""
    )


def test_proposed_pins_keep_the_margin_and_say_where_they_are():
    water = Area(surface=Surface.RED, shape=shapely.box(14 * YARD_M, 280, 40, 320), fid="w")
    sand = Area(surface=Surface.BUNKER, shape=shapely.box(-8 * YARD_M, FRONT - 8, 0, FRONT - 3), fid="b")
    hole = make(SQUARE, [water, sand])
    pins = propose_pins(hole, hole.line)
    assert len(pins) == 6
    assert {p.tough for p in pins} == {True, False}
    for pin in pins:
        assert edge_distance(hole, pin.xy) >= 4 * YARD_M - 1e-9
        assert pin_xy(hole, hole.line, pin.text) == pytest.approx(pin.xy, abs=1e-9)
        assert margin_warning(hole, pin.xy) == ""
        assert bool(pin.why) == pin.tough
    reasons = " / ".join(p.why for p in pins if p.tough)
    assert "water 6 right" in reasons
    assert "sand 7 short" in reasons  # 4 paces on, and 3 m of apron
    assert all("right" in p.name for p in pins if p.why.startswith("water"))
    gaps = [np.hypot(a.xy[0] - b.xy[0], a.xy[1] - b.xy[1]) for a in pins for b in pins if a is not b]
    assert min(gaps) >= 5.0


def test_a_green_without_room_for_the_margin_still_gets_one():
    tiny = make(shapely.Point(0, 300).buffer(3))
    (pin, *_) = propose_pins(tiny, tiny.line)
    assert 0 < edge_distance(tiny, pin.xy) < 4 * YARD_M
    assert pin_xy(tiny, tiny.line, pin.text) == pytest.approx(pin.xy, abs=1e-9)


@given(greens(), st.integers(1, 8))
def test_any_green_gets_proposals_that_read_back(hole, count):
    pins = propose_pins(hole, hole.line, count=count)
    assert 1 <= len(pins) <= count
    for pin in pins:
        assert pin_xy(hole, hole.line, pin.text) == pytest.approx(pin.xy, abs=1e-9)
