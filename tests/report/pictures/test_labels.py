"""Labels of a picture, judged by the boxes in which matplotlib lays them; and the search for room."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from strategy.codes import Surface
from strategy.report.pictures.labels import Room, box_at, stacked
from strategy.report.pictures.layout import LAYOUTS
from tests.report.pictures.laid import axes, by_gid, covered, crossed, extent, off_the_page, on_signs, texts
from tests.report.pictures.pages import draw


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


def test_other_aims_are_named(sheets, every):
    """By their clubs alone; where two are of one club, with the shot too."""
    for size in LAYOUTS:
        labels = [t.get_text() for t in texts(every["water", size], "label")]
        assert "5-iron" in labels


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
