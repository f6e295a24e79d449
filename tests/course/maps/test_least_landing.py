"""Least landing: out of words, out of ground, as stated; and balls that land short of it come back."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.codes import Lie, Spot, Surface
from strategy.course import read_course
from strategy.course.green_sketch import Fall, GreenSketch, Tier
from strategy.course.maps.heights import height_map
from strategy.course.maps.least_landing import least_landing
from strategy.course.origin import Origin
from strategy.course.playline import front_point, last_leg
from strategy.demofiles import demo
from strategy.errors import CourseError, InputErrors
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import scrambles
from strategy.outcome.setup import today
from strategy.player import read_player
from strategy.units import YARD_M
from tests.plan.drawn import straight
from tests.worlds import a_week

FIVE = GreenSketch(false_front_m=5.0 * YARD_M)
FALLING = Fall(share=0.02, high="back")


def green(**words):
    return dataclasses.replace(straight(), sketch=GreenSketch(**words))


@pytest.mark.parametrize("yards", [3.0, 5.0, 8.0])
@pytest.mark.parametrize("stimp", [9.0, 11.0, 12.5])
def test_a_false_front_in_words_is_covered_by_landing_past_what_is_said(yards, stimp):
    """Said of balls that land on it; ground that does that goes on for 1.25 m (`course.maps.sketch`)."""
    hole = green(false_front_m=yards * YARD_M, falls=(FALLING,))
    found = least_landing(hole, stimp)
    assert 0.5 <= found.on_m / YARD_M - yards <= 2.2
    assert found.origin is Origin.ASSUMED
    front, (ahead, _) = np.asarray(front_point(hole.green, hole.line)), last_leg(hole.line)
    np.testing.assert_allclose(found.xy, front + found.on_m * ahead)


@pytest.mark.parametrize(
    "words",
    [
        {"falls": (FALLING,)},
        {"tiers": (Tier(on_m=14.0, high_m=0.6),)},
        {"run_offs": ("left", "back")},
        {"tiers": (Tier(on_m=9.0, high_m=1.2),)},  # its face sends balls back to the front of the green
    ],
)
def test_greens_whose_front_holds_have_none(words):
    assert least_landing(green(**words), 11.0) is None


def test_ground_that_is_not_known_has_none():
    assert least_landing(straight()) is None


def test_ground_that_runs_off_the_front_has_one():
    found = least_landing(green(run_offs=("front",)), 12.0)
    assert 1.5 <= found.on_m <= 3.0


def test_a_height_model_of_the_same_ground_gives_the_same_number():
    sketched = dataclasses.replace(straight(), sketch=FIVE)
    ground = dataclasses.replace(height_map(sketched), origin=Origin.PUBLISHED)
    modelled = dataclasses.replace(straight(), heights=ground)
    one, two = least_landing(sketched, 11.0), least_landing(modelled, 11.0)
    assert two.on_m == pytest.approx(one.on_m, abs=0.26)
    assert two.origin is Origin.PUBLISHED


def test_a_fast_green_holds_less():
    """8 % of ground before and on the front: above what 12 ft holds, below what 8 ft does."""
    hole = straight()
    flat = height_map(green(falls=(Fall(share=0.0, high="back"),)))
    front, (ahead, _) = np.asarray(front_point(hole.green, hole.line)), last_leg(hole.line)
    ny, nx = flat.heights.shape
    y = flat.corner[1] + (np.arange(ny) + 0.5) * flat.cell_m - front[1]
    assert abs(ahead[1] - 1.0) < 1e-9
    rise = np.repeat(0.08 * np.clip(y, -4.0, 6.0)[:, None], nx, axis=1)
    steep = dataclasses.replace(hole, heights=dataclasses.replace(flat, heights=rise.astype(np.float32)))
    assert least_landing(steep, 8.0) is None
    assert least_landing(steep, 12.0).on_m == pytest.approx(6.0, abs=0.6)


def test_what_is_stated_is_taken_whatever_the_ground_says():
    for hole in (straight(), dataclasses.replace(straight(), sketch=FIVE)):
        found = least_landing(dataclasses.replace(hole, least_landing_m=7.0), 11.0)
        assert (found.on_m, found.origin) == (7.0, Origin.PUBLISHED)


def test_it_is_read_from_course_toml_and_makes_no_green_of_its_own(sketch, tmp_path):
    sketch.hole("1", length=300)
    sketch.write(tmp_path / "course.geojson")
    notes = tmp_path / "course.toml"
    notes.write_text('units = "yards"\n[holes.1.green]\nleast_landing = 6\n')
    hole = read_course(tmp_path).holes[0]
    assert hole.least_landing_m == pytest.approx(6.0 * YARD_M)
    assert hole.sketch is None
    notes.write_text('units = "yards"\n[holes.1.green]\nleast_landing = "4 m"\nfalse_front = 5\n')
    hole = read_course(tmp_path).holes[0]
    assert (hole.least_landing_m, hole.sketch.false_front_m) == pytest.approx((4.0, 5.0 * YARD_M))
    for wrong in (0, 45):
        notes.write_text(f'units = "yards"\n[holes.1.green]\nleast_landing = {wrong}\n')
        with pytest.raises((CourseError, InputErrors), match=r"holes\.1\.green\.least_landing.*is 4?[05]"):
            read_course(tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("stimp", [9.5, 12.0])
@pytest.mark.parametrize(("club", "share"), [("lob wedge", 0.85), ("9-iron", 0.85), ("6-iron", 0.5)])
def test_balls_that_land_short_of_it_come_back_and_those_past_it_stay(club, share, stimp):
    """Of 150 balls or more. A 6-iron comes in flatter and runs on up: only most of its balls come back."""
    week = dataclasses.replace(a_week(), as_stated=False, stimp_ft=stimp)
    hole = green(false_front_m=5.0 * YARD_M, falls=(FALLING,))
    here = today(hole, read_player(demo().player), week)
    least = here.least_landing
    front, (ahead, _) = np.asarray(front_point(hole.green, here.line)), last_leg(hole.line)
    shot = here.shots.clubs.index(club)
    carry = float(here.shots.at(shot, int(Lie.FAIRWAY), 0.0).carry)
    start = front + ahead * (least.on_m - carry)
    spot = Spot(float(start[0]), float(start[1]), Lie.FAIRWAY)
    ends = [finishes(here, spot, Choice(shot, 0.0, carry), p) for p in scrambles(2048, 3, 2)]
    landing, rest = (np.vstack([getattr(e, name) for e in ends]) for name in ("landing", "rest"))
    past = (landing - front) @ ahead - least.on_m
    beside = np.abs((landing - front) @ np.array([ahead[1], -ahead[0]])) < 4.0
    back = (here.surface_at(rest) != Surface.GREEN) & ((rest - front) @ ahead < 0.5 * least.on_m)
    green_ = beside & (here.surface_at(landing) == Surface.GREEN)
    short = green_ & (past > -4.0) & (past < -1.0)
    on = green_ & (past > 1.0) & (past < 4.0)
    assert min(short.sum(), on.sum()) > 150
    assert back[short].mean() > share
    assert back[on].mean() < 0.1
