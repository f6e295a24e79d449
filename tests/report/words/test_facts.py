"""Each fact said in few or usual is found in all and in plan.json with the same printed value."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from strategy import plan_course, read_course, read_player, read_week
from strategy.demofiles import demo
from strategy.plan.document import Role
from strategy.plan.quoted import Trouble
from strategy.report.words.depths import Depth, plan_words
from strategy.report.words.facts import hole_facts
from strategy.report.words.lengths import Units
from strategy.units import YARD_M
from tests.plan.hand import decision, hole, location, option, quoted, round_plan
from tests.report.words.facts_found import faults
from tests.report.words.test_plan_text import four, plan

ROOT = Path(__file__).resolve().parents[3]


def trouble(what, state="cleared", near=250, far=269, room=17, side="right", along=False, kind="sand"):
    return Trouble(
        what=what, kind=kind, side=side, state=state, along=along, origin="traced",
        reach_m=None if near is None else near * YARD_M, carry_m=None if far is None else far * YARD_M,
        room_m=None if room is None else room * YARD_M,
    )  # fmt: skip


def with_trouble(round_of, *things):
    one = round_of.locations[0]
    tee = dataclasses.replace(one.tee, trouble=tuple(things))
    return dataclasses.replace(round_of, locations=(dataclasses.replace(one, tee=tee),))


@pytest.fixture
def small():
    first = with_trouble(
        four(1, "14 on, 5 from the left", 14),
        trouble("near right bunker"),
        trouble("water", "open", near=256, room=None, side="left", along=True, kind="water"),
        trouble("left bunker", "open", near=302, room=None, side="left"),
    )
    return plan(hole(first, four(2, "20 on, centre", 20)))


@pytest.mark.parametrize("units", list(Units))
def test_every_fact_of_a_plan_by_hand_is_found(small, units):
    found, count = faults(small, units=units)
    assert found == []
    assert count > 50


def test_another_value_in_either_place_is_seen(small):
    document = json.loads(small.to_json())
    option_ = document["holes"][0]["rounds"][0]["locations"][0]["tee"]["options"][0]["option"]
    option_["carry_m"] += 1.0
    wrong, _ = faults(small, document)
    assert [text for text in wrong if "kind='carry'" in text]
    text = plan_words(small, Units.YARDS, Depth.ALL, holes=["7"])
    assert faults(small, long=text)[0] == []
    assert faults(small, long=text.replace("room 17", "room 18"))[0] != []
    assert faults(small, long=text.replace("145 middle", "146 middle"))[0] != []


def test_no_number_is_said_of_a_full_drive_but_its_carry():
    far = plan(hole(round_plan(1, location(decision(option("driver", 275, plays=287, quoted=quoted()))))))
    near = decision(option("5-wood", 217, plays=239, quoted=quoted("hole", room=None)), to_hole=216)
    short = plan(hole(round_plan(1, location(near))))
    kinds = [{fact.kind for fact in hole_facts(made, 0, Units.YARDS).all_facts()} for made in (far, short)]
    assert "playing" not in kinds[0]
    assert "playing" in kinds[1]


def test_a_stock_shot_is_called_by_its_club():
    tee = decision(option("driver, the fade", quoted=quoted()))
    made = plan(hole(round_plan(1, location(tee))))
    stock = dataclasses.replace(made, stock=("driver, the fade",))
    said = [hole_facts(p, 0, Units.YARDS).rounds[0].shots[0].get("shot").value for p in (made, stock)]
    assert said == ["driver, the fade", "driver"]


def test_only_the_middle_of_a_landing_is_said(small):
    roles = [shot.role for shot in hole_facts(small, 0, Units.YARDS).rounds[0].shots]
    assert roles == [Role.TEE, Role.MIDDLE]


@pytest.mark.slow
def test_every_fact_of_the_demo_plan_is_found(demo_plan):
    found, count = faults(demo_plan[0])
    assert found == []
    assert count > 2000


@pytest.mark.slow
def test_every_fact_of_a_real_course_is_found():
    """Three holes of a course traced from imagery, which lies beside the repository where there is one."""
    file = ROOT.parent / "shared" / "courses" / "tara_glen" / "tara_glen_course.geojson"
    if not file.exists():
        pytest.skip("no real course in ../shared/courses")
    course, player, week = read_course(file), read_player(demo().player), read_week(demo().week)
    labels = [hole.label for hole in course.holes[:3]]
    plan = plan_course(course, player, week, holes=labels, rounds=[1], jobs=1)
    found, count = faults(plan)
    assert found == []
    assert count > 60
