"""What sentences quote, on a straight hole drawn in yards: names, finish, start line, carries, room."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from scripts.invented import a_player, a_shot
from strategy.codes import Lie, Spot
from strategy.course.height_map import HeightMap
from strategy.course.maps.surface import grid
from strategy.course.named_features import name_features
from strategy.course.origin import Origin
from strategy.decide import cost_at, cost_field, options
from strategy.decide.aims import Aims
from strategy.decide.options import PRICED, judge, judged_options, prices
from strategy.outcome.play import well_struck
from strategy.outcome.setup import today
from strategy.plan.advice.landmarks import SNAP_COST, aim_at_landmark, surroundings_of
from strategy.plan.advice.quotes import quote, short_side
from strategy.plan.quoted import VisibleMark
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M
from tests.plan.drawn import sand, straight, trees, water
from tests.worlds import a_week

DRIVER = a_shot("driver", 280, 15, 12, run=15)
FADE = a_shot("driver", 280, 15, 12, run=15, bend=12, name="the fade")  # right-handed: bends right


def tee_shot(hole, shot, week=None):
    """The best option off the tee, and as it is quoted: its aim moved to a landmark, judged there."""
    here = today(hole, a_player(shot), week or a_week(), pin=(0.0, 400 * YARD_M))
    to_go = Baseline(here)
    field = cost_field(here, to_go)
    best = options(here, here.tee_spot, to_go, laid_out=field)[0]
    around, spot = surroundings_of(hole, here.line), here.tee_spot
    choice, sighted = aim_at_landmark(around, field, spot, best.choice, best.strokes, seed=1)
    (moved,) = judged_options(field, spot, Aims.of([choice]), guess=best.strokes)
    return field, best, moved, quote(around, field, spot, moved, sighted, seed=1)


FLOWN = dataclasses.replace(a_week(), as_stated=False)  # calm, in the air the carries were measured in


def on_a_slope(hole, slope):
    """The same hole on ground that rises evenly from the tee on, all of it known."""
    corner, shape = grid(hole, 5.0)
    depth = corner[1] + (np.arange(shape[0]) + 0.5) * 5.0
    heights = np.repeat((slope * depth)[:, None], shape[1], axis=1).astype(np.float32)
    ground = HeightMap(heights=heights, corner=corner, cell_m=5.0, origin=Origin.PUBLISHED, error_m=0.1)
    return dataclasses.replace(hole, heights=ground)


def names(hole):
    return sorted(t.name for t in name_features(hole))


# --- names -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("areas", "expected"),
    [
        ((sand(-25, 270, -18, 280),), ["the left bunker"]),
        (
            (sand(-25, 230, -18, 240), sand(-25, 270, -18, 280)),
            ["the far left bunker", "the near left bunker"],
        ),
        ((sand(-25, 270, -18, 278), sand(-26, 282, -19, 290)), ["the left bunkers"]),
        ((sand(-25, 270, -18, 280), sand(18, 240, 25, 250)), ["the left bunker", "the right bunker"]),
        ((sand(-12, 270, 12, 280),), ["the cross bunker"]),
        (
            tuple(sand(18, d, 24, d + 8) for d in (160, 200, 240, 280)),
            [f"the {w} right bunker" for w in ("first", "last", "second", "third")],
        ),
        ((sand(16, 395, 22, 405),), ["the right greenside bunker"]),
        ((sand(-4, 376, 4, 382),), ["the front bunker"]),
        (
            (sand(-20, 378, -10, 384), sand(-20, 390, -15, 394)),
            ["the front left bunker", "the left greenside bunker"],
        ),
        ((water(-30, 180, 30, 220),), ["the water"]),
        ((water(20, 180, 60, 220), water(-60, 180, -20, 220)), ["the left water", "the right water"]),
        ((trees(-60, 200, -30, 350), trees(30, 200, 60, 350)), ["the left trees", "the right trees"]),
        ((sand(75, 200, 85, 210),), []),  # another hole's
    ],
)  # fmt: skip
def test_names_go_by_side_and_order_along_the_hole(areas, expected):
    assert names(straight(*areas)) == expected


def test_bunkers_on_both_sides_of_the_line_are_two_groups_however_close():
    assert names(straight(sand(-8, 270, -5.5, 280), sand(5.5, 270, 8, 280))) == [
        "the left bunker",
        "the right bunker",
    ]


# --- finish ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fairway", [(-15, 15), (-5, 25)])
def test_a_tee_shot_is_told_from_the_middle_of_the_fairway_where_it_finishes(fairway):
    _, _, moved, quoted = tee_shot(straight(fairway=fairway), DRIVER)
    assert quoted.finish.of == "fairway"
    right_of_line = moved.aim[0] / YARD_M
    assert quoted.finish.side_m / YARD_M == pytest.approx(right_of_line - sum(fairway) / 2, abs=1e-6)
    # Rough both sides alike and a hole straight ahead: the middle costs least.
    assert abs(quoted.finish.side_m) < 6 * YARD_M


def test_without_fairway_a_tee_shot_is_told_from_the_line_of_play():
    _, _, moved, quoted = tee_shot(straight(fairway=None), DRIVER)
    assert quoted.finish.of == "line"
    assert quoted.finish.side_m == pytest.approx(moved.aim[0], abs=1e-6)


def test_an_approach_is_told_by_the_hole_as_seen_from_the_ball():
    hole = straight()
    here = today(hole, a_player(a_shot("8-iron", 155, 5, 5.4, dial=0.08)), a_week(), pin=(4.0, 400 * YARD_M))
    field = cost_field(here, Baseline(here))
    spot = Spot(-60.0, 300 * YARD_M, Lie.FAIRWAY)
    best = options(here, spot, Baseline(here), laid_out=field)[0]
    around = surroundings_of(hole, here.line)
    assert aim_at_landmark(around, field, spot, best.choice, best.strokes, seed=1) == (best.choice, None)
    quoted = quote(around, field, spot, best, seed=1)
    assert quoted.finish.of == "hole"
    assert quoted.start is None
    out = np.subtract(here.hole, (spot.x, spot.y))
    ahead = out / np.hypot(*out)
    side, past = quoted.finish.side_m, quoted.finish.past_m
    again = np.asarray(here.hole) + past * ahead + side * np.array([ahead[1], -ahead[0]])
    assert again == pytest.approx(best.aim, abs=1e-6)


# --- start line --------------------------------------------------------------------------------------


def test_a_fade_starts_left_of_where_it_finishes_by_its_bend():
    hole = straight(fairway=None)
    _, _, _, quoted = tee_shot(dataclasses.replace(hole, areas=()), FADE)
    assert quoted.start is not None
    # The slope of b (u^2 - u) is -b / carry at the ball and +b / carry at the landing, where the run goes on:
    # abreast of the finish the start line is b (finish + run) / carry to the left.
    assert quoted.start.side_m / YARD_M == pytest.approx(-12 * (295 + 15) / 280, abs=0.1)


def test_the_start_snaps_to_a_mark_where_that_is_cheap_and_the_ball_then_starts_there():
    _, best, _, _ = tee_shot(straight(), DRIVER)
    bearing = best.start_line + 0.6
    x, y = (900 * math.sin(math.radians(bearing)), 900 * math.cos(math.radians(bearing)))
    field, best, moved, quoted = tee_shot(straight(marks=[("chimney", x, y)]), DRIVER)
    assert quoted.start.landmark == VisibleMark(name="the chimney", part="", origin="published")
    assert moved.start_line == pytest.approx(math.degrees(math.atan2(x, y)), abs=1e-6)
    # What the sentence claims is what the judge says: under 0.01, within its error.
    cost, half = cost_at(field, field.today.tee_spot, best.index, moved.aim, best)
    assert quoted.start.cost < 0.01
    assert cost - half < 0.01
    assert moved.aim_lonlat != best.aim_lonlat


def test_what_the_sentence_says_is_judged_at_the_aim_it_says():
    """The strokes of an option that was moved to a mark are those of its own aim, not of the old one."""
    _, best, _, _ = tee_shot(straight(), DRIVER)
    bearing = math.radians(best.start_line + 1.1)
    mark = ("chimney", 900 * math.sin(bearing), 900 * math.cos(bearing))
    field, best, moved, quoted = tee_shot(straight(marks=[mark]), DRIVER)
    assert quoted.start.landmark.name == "the chimney"
    assert moved.heading != best.heading
    spot = field.today.tee_spot
    again = judge(field, spot, Aims.of([best.choice, moved.choice]), seed=17, guess=best.strokes)
    assert moved.strokes == pytest.approx(again.strokes[1], abs=1e-5)  # V settles a little differently
    cost = again.strokes[1] - again.strokes[0]
    assert abs(cost) > 1e-4
    # The price was counted on other points: within four of its standard errors, and of judging's.
    price, error = prices(field, spot, best.choice, Aims.of([moved.choice]), best.strokes)
    assert price[0] == pytest.approx(cost, abs=4.0 * float(np.hypot(error[0], 0.001)))
    assert quoted.start.cost == pytest.approx(price[0], abs=1e-9)
    assert 0.0 < quoted.start.cost < SNAP_COST


def test_prices_tell_a_hundredth_apart():
    field, best, _, _ = tee_shot(straight(sand(8, 270, 20, 300)), DRIVER)
    aims = Aims(
        shot=np.full(9, best.index),
        heading=best.heading + np.linspace(-4, 4, 9),
        carry=np.full(9, best.carry_m),
    )
    price, error = prices(field, field.today.tee_spot, best.choice, aims, best.strokes)
    assert (price[4], error[4]) == (0.0, 0.0)
    near = price < 2.0 * SNAP_COST
    assert near.sum() >= 2
    assert error[near].max() < 0.002
    more, finer = prices(
        field, field.today.tee_spot, best.choice, aims, best.strokes, seed=2, size=4 * PRICED
    )
    assert np.abs(price - more)[near].max() < 4.0 * np.hypot(error, finer)[near].max()


def test_a_mark_that_costs_is_not_taken():
    _, best, _, _ = tee_shot(straight(), DRIVER)
    bearing = math.radians(best.start_line + 5.0)  # 26 yd off at the finish
    mark = ("chimney", 900 * math.sin(bearing), 900 * math.cos(bearing))
    _, _, _, quoted = tee_shot(straight(marks=[mark]), DRIVER)
    assert quoted.start.landmark is None or quoted.start.landmark.name != "the chimney"


def test_a_mark_comes_before_the_edge_of_a_bunker():
    bunker = sand(-1, 330, 3, 340)
    _, _, _, without = tee_shot(straight(bunker), DRIVER)
    _, _, _, with_mark = tee_shot(straight(bunker, marks=[("tower", 1, 900)]), DRIVER)
    assert "bunker" in without.start.landmark.name
    assert with_mark.start.landmark.name == "the tower"


def test_room_ends_where_one_hundredth_of_a_stroke_is_lost():
    hole = straight(marks=())
    field, _, moved, quoted = tee_shot(dataclasses.replace(hole, areas=hole.areas[:1]), DRIVER)
    spot, (left, right) = field.today.tee_spot, quoted.room_m
    distance = math.hypot(*moved.aim)
    for side in (-left, right):
        a = math.atan2(moved.aim[0], moved.aim[1]) + side / distance
        place = (distance * math.sin(a), distance * math.cos(a))
        cost, half = cost_at(field, spot, moved.index, place, moved)
        assert cost == pytest.approx(0.01, abs=0.004 + half)


# --- carries -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("area", "kind", "near", "far"),
    [
        (sand(-3, 255, 3, 265), "carry", 255, 265),  # flown
        (sand(-3, 300, 3, 310), "reach", 300, 310),  # beyond the carry, within the run and a little
        (sand(12, 270, 20, 290), "beside", 270.27, 290.69),  # at the landing: corner to corner, as walked
        (water(10, 200, 40, 330), "along", None, None),
    ],
)
def test_numbers_of_sand_and_water_from_the_ball(area, kind, near, far):
    _, _, moved, quoted = tee_shot(straight(area), DRIVER)
    (reach,) = quoted.reaches
    assert reach.kind == kind
    assert reach.origin == "traced"
    if near is not None:
        assert abs(moved.aim[0]) < 6 * YARD_M
        assert reach.reach_m / YARD_M == pytest.approx(near, abs=0.4)
        assert reach.carry_m / YARD_M == pytest.approx(far, abs=0.8)


@pytest.mark.parametrize(
    "area",
    [sand(-3, 200, 3, 210), sand(-3, 330, 3, 340), sand(45, 270, 52, 290)],
    ids=["short", "far", "wide"],
)
def test_what_is_out_of_play_is_not_quoted(area):
    _, _, _, quoted = tee_shot(straight(area), DRIVER)
    assert quoted.reaches == ()


def test_a_paced_bunker_says_so():
    _, _, _, quoted = tee_shot(straight(sand(-3, 255, 3, 265, origin=Origin.PACED)), DRIVER)
    assert quoted.reaches[0].origin == "paced"


# --- the short side ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pin", "aim", "side"),
    [
        ((9, 400), (12, 400), "right"),
        ((9, 400), (4, 400), ""),  # the fat side
        ((9, 400), (9.5, 400), ""),  # half a yard is nothing
        ((-9, 400), (-12, 400), "left"),
        ((0, 391), (0, 387), "front"),
        ((0, 391), (0, 394), ""),
        ((0, 409), (0, 413), "back"),
        ((0, 400), (6, 400), ""),  # cut in the middle: no short side
    ],
)
def test_the_short_side_is_towards_the_near_edge(pin, aim, side):
    spot = Spot(0.0, 250 * YARD_M, Lie.FAIRWAY)
    where = [tuple(v * YARD_M for v in p) for p in (pin, aim)]
    assert short_side(straight(), spot, *where) == side


# --- over ground that rises or falls -----------------------------------------------------------------


@pytest.mark.parametrize(("slope", "over"), [(0.05, False), (0.0, True), (-0.05, True)])
def test_a_carry_and_what_it_is_compared_with_are_on_the_same_ground(slope, over):
    # A driver of 280 lands near 263 on ground that rises by 5 %, and past 300 where it falls as much.
    hole = on_a_slope(straight(sand(14, 262, 22, 274)), slope)
    field, best, _, quoted = tee_shot(hole, DRIVER, FLOWN)
    landing = well_struck(field.today, field.today.tee_spot, best.choice)[0]
    assert best.carry_m == pytest.approx(float(np.hypot(*landing)), abs=1e-6)
    assert best.rise_m == pytest.approx(slope * float(landing[1]), abs=0.1)
    assert best.longer_m == pytest.approx(best.carry_m - best.choice.carry, abs=1e-9)
    assert best.plays_m == pytest.approx(best.choice.carry, abs=1.0)  # calm, off a tee: only the height
    assert quoted.run_m == pytest.approx(float(np.hypot(*best.aim)) - best.carry_m, abs=0.1)
    assert quoted.full == (best.choice.carry > 279.5 * YARD_M)
    if slope:
        assert np.sign(best.carry_m - best.plays_m) == -np.sign(slope)
        assert abs(best.longer_m) > 12 * YARD_M
    kinds = {r.what: r.kind for r in quoted.reaches}
    assert (kinds["the right bunker"] == "carry") is over


def test_on_level_ground_a_number_is_what_it_was():
    plain, level = (tee_shot(h, DRIVER, FLOWN)[1] for h in (straight(), on_a_slope(straight(), 0.0)))
    assert (plain.carry_m, plain.longer_m, plain.rise_m) == (plain.choice.carry, 0.0, 0.0)
    assert level.carry_m == pytest.approx(plain.carry_m, abs=1e-6)
