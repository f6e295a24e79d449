"""Water by its crossings and groups as a whole, on squared paper: (right of the line, off the tee) in yd."""

from __future__ import annotations

import dataclasses

import pytest
import shapely

from strategy.codes import Surface
from strategy.course.model import Area
from strategy.course.named_features import name_features
from strategy.course.numbers import feature_numbers, hole_numbers
from strategy.course.playline import line_from
from strategy.units import YARD_M
from tests.plan.drawn import box, sand, straight, water


def crossing_numbers(hole):
    """Name, to reach and to carry of everything, from the tee, in whole yards."""
    rows = hole_numbers(hole).sources[0].features
    return {
        row.name: tuple(None if n is None else round(n.value_m / YARD_M) for n in (row.reach, row.carry))
        for row in rows
    }


def test_each_crossing_of_a_water_is_a_thing_of_its_own():
    """One lake that bends over the line twice: carried at 96, laid up short of at 235."""
    lake = shapely.union_all([box(-30, 26, 30, 96), box(30, 26, 50, 292), box(-30, 235, 50, 292)])
    hole = straight(Area(surface=Surface.RED, shape=lake, fid="w"))
    assert crossing_numbers(hole) == {"near cross water": (26, 96), "far cross water": (235, 292)}


def test_two_lakes_close_together_of_which_one_crosses_are_two():
    """The one beside the line from 26 on does not hide where the one across begins."""
    hole = straight(water(8, 26, 60, 230, fid="a"), water(-30, 235, 30, 292, fid="b"))
    assert crossing_numbers(hole) == {"right water": (27, 238), "cross water": (235, 292)}


def test_a_river_of_two_outlines_is_carried_once():
    """Too close for a ball to be laid up between: one thing."""
    hole = straight(water(-30, 200, 30, 206, fid="a"), water(-30, 206, 30, 212, fid="b"))
    assert crossing_numbers(hole) == {"water": (200, 212)}
    (thing,) = [t for t in name_features(hole) if t.kind == "water"]
    assert [area.fid for area in thing.areas] == ["a", "b"]


def test_both_halves_of_a_lake_that_is_crossed_twice_are_all_of_it():
    lake = shapely.union_all([box(-30, 100, 30, 120), box(30, 100, 50, 260), box(-30, 240, 50, 260)])
    halves = [t.shape for t in name_features(straight(Area(surface=Surface.RED, shape=lake, fid="w")))]
    assert len(halves) == 2
    assert shapely.union_all(halves).area == pytest.approx(lake.area)
    assert shapely.intersection(*halves).area == pytest.approx(0.0, abs=1e-6)


def test_to_carry_a_group_is_to_carry_the_last_of_it():
    """Two bunkers 8 yd apart of which the line crosses only the first: to carry is over both."""
    hole = straight(sand(-6, 255, 6, 263, fid="a"), sand(9, 270, 16, 280, fid="b"))
    (name, (near, far)), *_ = crossing_numbers(hole).items()
    assert name.endswith("bunkers")
    assert (near, far) == (255, round((280**2 + 16**2) ** 0.5))


def test_a_thing_has_one_number_from_a_place():
    hole = straight(water(-30, 235, 30, 292))
    (thing,) = [t for t in name_features(hole) if t.kind == "water"]
    (row,) = hole_numbers(hole).sources[0].features
    again = feature_numbers(hole, thing, line_from(hole.line, hole.tees[0].xy))
    assert dataclasses.asdict(again) == dataclasses.asdict(row)
