"""scripts/heights: which answers the heights of the demo course change."""

from __future__ import annotations

import dataclasses

import pytest

from scripts.invented import level
from strategy import plan_course
from tests.loading import script
from tests.plan.hand import decision, hole, location, option, quoted, round_plan, start
from tests.report.words.test_plan_text import plan


@pytest.fixture(scope="module")
def heights():
    return script("heights")


def planned(*options_):
    return plan(hole(*(round_plan(n, location(decision(o))) for n, o in enumerate(options_, start=1))))


def test_each_kind_of_change_is_told_and_small_ones_are_not(heights):
    def iron(carry, past=0.0, plays=None):
        return option("7-iron", carry, plays=plays, quoted=quoted("hole", past=past, full=False))

    def drive(name, carry=285.0):
        return option("driver", carry, quoted=quoted(begin=start(name, "left edge")))

    one = planned(
        iron(170), iron(170), iron(170), iron(170, plays=165), drive("the green"), drive("the green")
    )
    other = planned(
        option("8-iron", 170, quoted=quoted("hole")), iron(172, past=1), iron(173), iron(170),
        drive("the green", 287), drive("the left bunker"),
    )  # fmt: skip
    found = list(heights.rows(one, other))
    assert [row.change for row in found] == ["shot", "", "number", "number", "", "aim"]
    told = "\n".join(heights.table(found))
    assert "tee shots: 6, of them 1 another shot, 2 another number, 1 another aim, 2 the same" in told
    assert "later: 0" in told


@pytest.mark.slow
def test_twelve_yards_down_is_another_number_in_every_round(heights, demo_plan, tmp_path):
    """The 7th of the demo course on its ground and on flat ground, in all four rounds."""
    made, course, player, week = demo_plan
    flat = plan_course(level(course), player, week, out=tmp_path, holes=["7"], jobs=1)
    seventh = dataclasses.replace(made, holes=tuple(h for h in made.holes if h.label == "7"))
    found = list(heights.rows(seventh, flat))
    assert len(found) == 4
    assert all(row.change in ("shot", "number") for row in found)
    assert all("12 down" in row.heights and "down" not in row.flat for row in found)
