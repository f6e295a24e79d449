"""The sheet of a picture: every number on it against the hole it was taken from."""

from __future__ import annotations

import dataclasses
import gzip
import json
import pickle

import numpy as np
import pytest
import shapely

from scripts.invented import a_player, a_shot, of_demo
from strategy.codes import Lie, Spot, Surface
from strategy.course.model import Area, Measurement
from strategy.course.origin import Origin
from strategy.decide import cost_at, cost_field, options
from strategy.decide.aims import Aims, finish_of
from strategy.decide.option import EVEN
from strategy.decide.options import judge
from strategy.errors import RequestError
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import make_points, scrambles
from strategy.outcome.setup import today
from strategy.plan.advice.landmarks import surroundings_of
from strategy.plan.advice.quotes import quote
from strategy.plan.codec import from_data, to_data
from strategy.plan.drawing.costs import LEVELS, even_of
from strategy.plan.drawing.outlines import PlayFrame
from strategy.plan.drawing.rulers import left_ticks, right_ticks
from strategy.plan.drawing.sheet import Sheet, hole_sheet, spreads
from strategy.plan.quoted import Finish
from strategy.strokes.baseline import Baseline
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import WindHour
from tests.worlds import a_week, an_option, case

WOODS = (
    a_shot("driver", 285, 17, 13, run=14, bend=18, name="the fade"),
    a_shot("3-wood", 258, 15, 10.5, run=12, bend=12),
    a_shot("2-iron", 235, 10, 9, run=10),
)


ON_THE_LINE = Finish(of="line", side_m=0.0, past_m=0.0, origin="traced")


def sheet_of(hole, field, spot, found, finish=ON_THE_LINE):
    return hole_sheet(hole, field, spot, found, finish)


def laid_out(hole, pin, *shots, wind=None):
    today_ = today(hole, a_player(*shots), a_week(), pin=pin).with_wind(wind)
    to_go = Baseline(today_)
    return today_, cost_field(today_, to_go), to_go


def tee_shot():
    """Case E with a bunker left at 280 to 292, a pond over the line at 150 to 165, out of bounds right."""
    hole, _, pin = case("E")
    axes = PlayFrame((hole.line[0, 0], hole.line[0, 1]), 0.0)

    def at(*box):
        return shapely.transform(shapely.box(*(v * YARD_M for v in box)), axes.to_course)

    out = at(45, -20, 200, 600)
    areas = (
        *hole.areas,
        Area(surface=Surface.BUNKER, shape=at(-22, 280, -12, 292), fid="b", origin=Origin.PACED),
        Area(surface=Surface.BUNKER, shape=at(-90, 100, -85, 110), fid="far away"),
        Area(surface=Surface.RED, shape=at(-30, 150, 30, 165), fid="w"),
        Area(surface=Surface.OUT, shape=out, fid="o"),
    )
    mark = axes.to_course(np.array([[-12.0, 280.0]]) * YARD_M)[0]
    walked = Measurement(
        source="tee", what="reach left bunker", value_m=float(np.hypot(12, 280)) * YARD_M,
        origin=Origin.PACED, line=1, marks=((float(mark[0]), float(mark[1])),),
    )  # fmt: skip
    return dataclasses.replace(hole, areas=areas, out_of_bounds=out, measurements=(walked,)), pin


@pytest.fixture(scope="module")
def landing():
    hole, pin = tee_shot()
    wind = WindHour(hour=10, speed_mps=10 * MPH_MPS, gust_mps=15 * MPH_MPS, blows_from=300.0)
    today_, field, to_go = laid_out(hole, pin, *WOODS, wind=wind)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    return sheet_of(hole, field, today_.tee_spot, found), found, today_, field


@pytest.fixture(scope="module")
def approach():
    hole, _, pin = case("A")
    shot = a_shot("4-iron", 205, 9, 8, dial=0.15)
    today_, field, to_go = laid_out(hole, pin, shot)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    finish = quote(surroundings_of(hole, today_.line), field, today_.tee_spot, found[0], seed=1).finish
    return sheet_of(hole, field, today_.tee_spot, found, finish), found, today_, field


@pytest.fixture(params=["landing", "approach"])
def either(request):
    return request.getfixturevalue(request.param)


def test_it_is_kept_exactly_and_small(either):
    """As a plan folder writes it: every number reads back as it was, and a picture is drawn the same."""
    sheet = either[0]
    text = json.dumps(to_data(sheet))
    assert len(gzip.compress(text.encode(), mtime=0)) < 30_000
    back = from_data(Sheet, json.loads(text))
    assert json.dumps(to_data(back)) == text
    assert back.window == sheet.window
    np.testing.assert_array_equal(back.ticks, sheet.ticks)
    for one, other in zip(back.pieces, sheet.pieces, strict=True):
        assert one.surface is other.surface
        for ring, own in zip(one.rings, other.rings, strict=True):
            np.testing.assert_array_equal(ring, own)
    assert pickle.loads(pickle.dumps(sheet)).aims == sheet.aims


def test_the_frame_goes_there_and_back():
    frame = PlayFrame((12.0, -7.0), 37.0)
    places = np.array([[0.0, 0.0], [3.0, 120.0], [-40.0, 250.0]])
    np.testing.assert_allclose(frame.to_sheet(frame.to_course(places)), places, atol=1e-9)
    ahead = np.array([12.0 + 100 * np.sin(np.radians(37)), -7.0 + 100 * np.cos(np.radians(37))])
    np.testing.assert_allclose(frame.to_sheet(ahead[None])[0], [0.0, 100.0], atol=1e-9)
    assert PlayFrame((0.0, 0.0), 90.0).point((0.0, -YARD_M)) == pytest.approx((YARD_M, 0.0))


def test_the_outline_holds_two_of_three_balls(either):
    sheet, found, today_, _ = either
    best = found[0]
    frame = PlayFrame((today_.tee[0], today_.tee[1]), sheet.heading)
    shape = shapely.Polygon(sheet.outline)
    # Other scrambles than those it was made from.
    choice = best.choice
    ends = [finishes(today_, today_.tee_spot, choice, p) for p in scrambles(512, 77, 8)]
    rest = frame.to_sheet(np.vstack([e.rest for e in ends]))
    weight = np.concatenate([e.weight for e in ends])
    inside = shapely.contains_xy(shape, rest[:, 0], rest[:, 1])
    assert weight[inside].sum() / weight.sum() == pytest.approx(2 / 3, abs=0.01)


@pytest.mark.parametrize(
    ("name", "share", "ground"),
    [("chip", 0.4, Surface.GREEN), ("pitch", 0.5, Surface.GREEN), ("stock", 0.9, Surface.FAIRWAY)],
)
def test_the_outline_is_that_of_the_balls_of_play_dialled(name, share, ground):
    """Its half width every way round, against the covariance of where `finishes` says well-struck balls rest.

    A twentieth allows for 2,048 balls (s.e. 1.6 % of an s.d.) and for the depth that bends round the ball.
    """
    here = of_demo("1")
    flat = dataclasses.replace(
        here, surface=np.full_like(here.surface, ground), height=None, rolls_to=None, canopy=None
    )
    table = flat.shots
    shot = max(
        (i for i in range(table.shots) if table.names[i] == name and table.allowed[i, Lie.FAIRWAY]),
        key=lambda i: float(table.carry[i, Lie.FAIRWAY].mean()),
    )
    spot, heading = Spot(*flat.tee, Lie.FAIRWAY), 11.3  # between two headings of the table
    choice = Choice(shot, heading, share * float(table.at(shot, Lie.FAIRWAY, heading).carry))
    aim = finish_of(flat, spot, choice)
    option = an_option(index=shot, heading=heading, carry_m=choice.carry, aim=aim)
    axes = PlayFrame((spot.x, spot.y), 40.0)
    (ring,), radius = spreads(flat, spot, [option], axes, 1)
    points = make_points(2048, 3)
    ends = finishes(flat, spot, choice, points)
    core = axes.to_sheet(ends.rest[:2048])
    for degrees in range(0, 180, 15):
        way = np.array([np.sin(np.radians(degrees)), np.cos(np.radians(degrees))])
        assert (ring @ way).max() == pytest.approx(float((core @ way).std()), rel=0.05)
    shape = shapely.Polygon(ring * radius + axes.point(aim))
    rest = axes.to_sheet(ends.rest)
    assert ends.weight[shapely.contains_xy(shape, rest[:, 0], rest[:, 1])].sum() == pytest.approx(
        2 / 3, abs=0.02
    )


def test_start_line_and_flight_leave_the_ball_together(either):
    sheet, found, _, _ = either
    np.testing.assert_allclose(sheet.start[0], 0.0, atol=1e-9)
    np.testing.assert_allclose(sheet.flight[0], 0.0, atol=1e-9)
    early = sheet.flight[1] / np.hypot(*sheet.flight[1])
    away = sheet.start[1] / np.hypot(*sheet.start[1])
    assert np.degrees(np.arccos(min(early @ away, 1.0))) < 0.3
    assert np.hypot(*sheet.flight[-1]) == pytest.approx(found[0].carry_m, abs=1e-6)


def test_a_fade_starts_left_of_where_it_finishes(landing):
    sheet = landing[0]
    assert sheet.start[-1, 0] < sheet.flight[-1, 0] - 10.0 * YARD_M


def test_the_window_keeps_its_shape_and_shows_the_answer(either):
    sheet = either[0]
    low, high, short, far = sheet.window
    assert (far - short) / (high - low) == pytest.approx(3.95 / 3.3, abs=1e-9)
    assert low < sheet.outline[:, 0].min()
    assert sheet.outline[:, 0].max() < high
    assert short < sheet.outline[:, 1].min()
    assert sheet.outline[:, 1].max() < far
    assert low < 0.0 < high  # the ball's own side, for the squeezed ground


def test_rulers_count_from_the_ball_and_to_the_front(landing):
    sheet, _, _, _ = landing
    assert not sheet.at_green
    for unit in (YARD_M, 1.0):
        left, right = left_ticks(sheet, unit), right_ticks(sheet, unit)
        assert all(depth == pytest.approx(value * unit, abs=1e-6) for depth, value in left)
        inside = [v for v in range(0, 600, 20) if sheet.window[2] < v * unit < sheet.window[3]]
        assert [value for _, value in left] == inside
        # The hole is straight: from the ball and to the front add up.
        for depth, value in right:
            assert depth + value * unit == pytest.approx(sheet.front[1], abs=0.2)
        numbers = [value for _, value in right]
        assert numbers == list(range(numbers[0], numbers[-1] - 1, -20))
        assert sheet.window[3] - sheet.window[2] - 40.0 * unit < right[-1][0] - right[0][0]


@pytest.mark.parametrize(("short_yd", "at_green"), [(30, True), (40, False)])
def test_the_picture_is_at_the_green_where_the_sentence_is(approach, short_yd, at_green):
    _, found, today_, field = approach
    hole, _, _ = case("A")
    spot = today_.tee_spot
    aim = (today_.hole[0], today_.hole[1] - short_yd * YARD_M)
    option = dataclasses.replace(found[0], aim=aim)
    around = surroundings_of(hole, today_.line)
    assert (quote(around, field, spot, option, seed=1).finish.of == "hole") == at_green
    assert sheet_of(hole, field, spot, [option]).at_green == at_green


def test_at_the_green_the_right_ruler_counts_paces_on(approach):
    sheet = approach[0]
    assert sheet.at_green
    assert sheet.green_shown
    on = {value: depth for depth, value in right_ticks(sheet, YARD_M)}
    green = shapely.union_all(
        [shapely.Polygon(p.rings[0]) for p in sheet.pieces if p.surface == Surface.GREEN]
    )
    assert on[0] == pytest.approx(shapely.bounds(green)[1], abs=0.5)
    assert on[20] - on[10] == pytest.approx(10.0 * YARD_M, abs=1e-6)
    # Smaller than 1:480 when the map is drawn 302 points high.
    assert (sheet.window[3] - sheet.window[2]) / YARD_M * 36 / (302 / 72) >= 480


def test_contours_are_where_the_cost_is(either):
    """A place on a line costs what the line says, worked out afresh by another way at fresh points."""
    sheet, found, today_, field = either
    frame = PlayFrame((today_.tee[0], today_.tee[1]), sheet.heading)
    spot, best = today_.tee_spot, found[0]
    # The line keeps the run of its own aim, and goes on where the shot does not carry: what it would cost.
    own = np.subtract(best.aim, spot[:2])
    run = np.hypot(*own) - best.carry_m
    turn = best.heading - np.degrees(np.arctan2(own[0], own[1]))
    assert {c.level for c in sheet.contours} == set(LEVELS)
    checked = 0
    for contour in sheet.contours:
        for place in frame.to_course(contour.line[::9]):
            out = place - spot[:2]
            heading = np.degrees(np.arctan2(out[0], out[1])) + turn
            choice = Choice(best.index, float(heading), float(np.hypot(*out) - run))
            chosen = Aims.of([best.choice, choice])
            judged = judge(field, spot, chosen, seed=59, guess=best.strokes, value=best.strokes)
            cost = float(judged.strokes[1] - judged.strokes[0])
            assert cost == pytest.approx(contour.level, abs=0.012 + 0.08 * contour.level)
            checked += 1
    assert checked >= 4


def test_contours_end_where_the_shot_cannot_go(landing):
    sheet = landing[0]
    away = np.hypot(*np.vstack([c.line for c in sheet.contours]).T) / YARD_M
    assert away.max() < 285 + 14 + 1.5 * 13 + 0.5
    assert away.min() > 285 + 14 - 2.5 * 13 - 0.5


def test_the_strip_is_nought_at_the_aim_and_even_round_it(either):
    sheet, found, _, _ = either
    own = np.interp(sheet.aim[0], sheet.strip_side, sheet.strip_cost)
    assert own == pytest.approx(found[0].cost, abs=0.004)
    low, high = sheet.even
    assert low < sheet.aim[0] < high
    inside = (sheet.strip_side > low) & (sheet.strip_side < high)
    assert sheet.strip_cost[inside].max() < EVEN
    for end in (low, high):
        if sheet.window[0] < end < sheet.window[1]:
            assert np.interp(end, sheet.strip_side, sheet.strip_cost) == pytest.approx(EVEN, abs=1e-6)


def test_the_strip_costs_what_another_line_costs(approach):
    sheet, found, today_, field = approach
    frame = PlayFrame((today_.tee[0], today_.tee[1]), sheet.heading)
    away = np.hypot(*sheet.aim)
    for side in (-8.0 * YARD_M, 5.0 * YARD_M):
        place = frame.to_course(np.array([[side, np.sqrt(away**2 - side**2)]]))[0]
        cost, _ = cost_at(field, today_.tee_spot, 0, (place[0], place[1]), found[0], seed=9)
        assert np.interp(side, sheet.strip_side, sheet.strip_cost) == pytest.approx(cost, abs=0.006)


def test_even_is_the_stretch_round_the_aim_only():
    side = np.linspace(-10, 10, 21)
    cost = np.where(np.abs(side) <= 2, 0.0, 0.04)
    cost[-2:] = 0.0  # a second even place, apart from it
    assert even_of(side, cost, 0.0) == pytest.approx((-2.5, 2.5))
    assert even_of(side, np.zeros(21), 0.0) == (-10.0, 10.0)
    assert even_of(side, np.full(21, 0.5), 3.0) == (3.0, 3.0)


def test_numbers_of_what_is_in_play_with_their_origin(landing):
    sheet = landing[0]
    by = {(n.what, n.squeezed): n for n in sheet.numbers}
    assert set(by) == {("the left bunker", False), ("the water", True)}
    sand, pond = by["the left bunker", False], by["the water", True]
    assert sand.carry_m / YARD_M == pytest.approx(np.hypot(22, 292), abs=0.5)
    assert sand.reach_m / YARD_M == pytest.approx(np.hypot(12, 280), abs=0.5)
    # The near edge was paced; the far edge is as it was traced.
    assert (sand.reach_origin, sand.carry_origin) == ("paced", "traced")
    # The pond is flown over: carried on the shot's own line, and no number to its near edge.
    assert pond.reach_m is None
    assert pond.carry_m / YARD_M == pytest.approx(165, abs=2.5)
    assert pond.carry_origin == "traced"


def test_water_that_is_mostly_short_of_the_map_is_labelled_by_what_is_on_it():
    """Its larger part lies between the ball and the map, the smaller one beside the landing."""
    hole, pin = tee_shot()
    frame = PlayFrame((hole.line[0, 0], hole.line[0, 1]), 0.0)
    parts = [
        shapely.transform(shapely.box(*(v * YARD_M for v in b)), frame.to_course)
        for b in ((-60, 90, -40, 200), (-32, 270, -24, 290))
    ]
    pond = Area(surface=Surface.RED, shape=shapely.MultiPolygon(parts), fid="p")
    hole = dataclasses.replace(hole, areas=(*hole.areas[:1], pond))
    today_, field, to_go = laid_out(hole, pin, *WOODS)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    sheet = sheet_of(hole, field, today_.tee_spot, found)
    (water,) = [n for n in sheet.numbers if n.water]
    assert not water.squeezed
    assert water.outline[:, 1].min() / YARD_M == pytest.approx(270, abs=0.5)


def test_a_hole_without_fairway_is_drawn():
    hole, pin = tee_shot()
    bare = dataclasses.replace(
        hole, areas=tuple(a for a in hole.areas if a.surface != Surface.FAIRWAY), rough_known=False
    )
    today_, field, to_go = laid_out(bare, pin, *WOODS)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    sheet = sheet_of(bare, field, today_.tee_spot, found)
    assert not any(p.surface == Surface.FAIRWAY for p in sheet.pieces)
    assert [n.what for n in sheet.numbers if not n.water] == ["the left bunker"]


def test_the_picture_and_the_sentence_quote_the_same_numbers(landing):
    sheet, found, today_, field = landing
    hole, _ = tee_shot()
    said = quote(surroundings_of(hole, today_.line), field, today_.tee_spot, found[0], seed=1)
    on_sheet = [n for n in sheet.numbers if not n.water]
    (sand,) = [r for r in said.reaches if r.what.endswith("bunker")]
    assert (on_sheet[0].carry_m, on_sheet[0].reach_m) == (sand.carry_m, sand.reach_m)


def test_water_beside_the_hole_is_reached_not_carried(approach):
    (water,) = [n for n in approach[0].numbers if n.water]
    assert water.carry_m is None
    assert water.reach_m is not None


def test_out_of_bounds_is_painted_last_and_clipped(landing):
    sheet = landing[0]
    assert sheet.out_known
    out = [p for p in sheet.pieces if p.surface == Surface.OUT]
    assert len(out) == 1
    assert sheet.pieces[-1] is out[0]
    assert out[0].rings[0][:, 0].min() / YARD_M == pytest.approx(45.0, abs=0.2)
    for piece in sheet.pieces:
        ring = piece.rings[0]
        assert ring[:, 0].min() >= sheet.window[0] - 1e-6
        assert ring[:, 0].max() <= sheet.window[1] + 1e-6
        assert ring[:, 1].max() <= sheet.window[3] + 1e-6


def test_wind_is_seen_along_the_shot(landing):
    wind = landing[0].wind
    assert (wind.speed_mps, wind.gust_mps) == (10 * MPH_MPS, 15 * MPH_MPS)
    # From 300 degrees on a hole that runs north: ahead and from the left.
    assert wind.into_mps / MPH_MPS == pytest.approx(10 * np.cos(np.radians(60)), abs=0.1)
    assert wind.from_right_mps / MPH_MPS == pytest.approx(-10 * np.sin(np.radians(60)), abs=0.1)
    assert wind.clock == 10
    assert not landing[0].wind_counts


def test_aims_stand_in_the_order_of_the_answers_and_never_more_than_three(landing):
    sheet, found, today_, field = landing
    frame = PlayFrame((today_.tee[0], today_.tee[1]), sheet.heading)
    np.testing.assert_allclose(frame.to_course(np.array(sheet.aims)), [o.aim for o in found[:3]], atol=1e-6)
    assert sheet.aim == sheet.aims[0]
    four = (*found, found[0])
    assert len(four) > 3
    assert sheet_of(tee_shot()[0], field, today_.tee_spot, four).aims == sheet.aims


def test_the_strip_counts_from_where_the_sentence_does(landing, approach):
    assert landing[0].zero == ("line", landing[0].aim[0])
    name, side = approach[0].zero
    assert name == "hole"
    assert side == pytest.approx(approach[0].hole_at[0], abs=0.5)
    sheet, found, today_, field = landing
    hole, _ = tee_shot()
    finish = dataclasses.replace(ON_THE_LINE, of="fairway", side_m=6.0 * YARD_M)
    again = sheet_of(hole, field, today_.tee_spot, found, finish)
    assert again.zero == ("fairway", pytest.approx(sheet.aim[0] - 6.0 * YARD_M))


def test_from_the_fairway_the_green_is_played_at():
    hole, pin = tee_shot()
    today_, field, to_go = laid_out(hole, pin, *WOODS, a_shot("wedge", 130, 4.4, 5, dial=0.1))
    x, y = today_.line[-1]
    spot = Spot(float(x), float(y) - 130 * YARD_M, Lie.FAIRWAY)
    sheet = sheet_of(hole, field, spot, options(today_, spot, to_go, laid_out=field))
    assert sheet.at_green
    assert np.hypot(*sheet.front) < np.hypot(*sheet.hole_at) < 150 * YARD_M
    assert np.hypot(*sheet.hole_at) == pytest.approx(np.hypot(*np.subtract(pin, spot[:2])))


def test_nothing_to_draw_is_said(landing):
    _, _, today_, field = landing
    hole, _ = tee_shot()
    with pytest.raises(RequestError, match="no option to draw"):
        sheet_of(hole, field, today_.tee_spot, ())
