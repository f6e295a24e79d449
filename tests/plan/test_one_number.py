"""One number, one value: every number that appears twice on the demo course, from wherever it is printed.

Collected from the sentences of the plan, the pictures, `numbers` and `check`. A number is known by its hole,
the place it is from, the thing and the edge; over water a shot's own line is another number, marked as such.
"""

from __future__ import annotations

from collections import defaultdict

import pytest

from strategy.course.check import check_course
from strategy.course.edges import normalize_name
from strategy.course.model import Landmark
from strategy.course.numbers import hole_numbers
from strategy.course.origin import Origin
from strategy.decide import cost_field
from strategy.demofiles import demo
from strategy.outcome.request import line_from_tee
from strategy.outcome.setup import today
from strategy.plan.drawing.sheet import hole_sheet
from strategy.report.words.lengths import Units
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M

pytestmark = pytest.mark.slow

DRAWN = ("4", "6", "8", "9", "13", "15", "18")  # lakes, cross bunkers, groups, a dogleg
APART_M = 3.0 * YARD_M


def whole(metres):
    return Units.YARDS.whole(metres)


def place(xy):
    """A place as a key: to the nearest 10 cm."""
    return tuple(round(float(v), 1) for v in xy)


class Collected:
    """Values by number, each with where it is printed."""

    def __init__(self):
        self.values = defaultdict(lambda: defaultdict(set))
        self.own_lines = []

    def add(self, source, key, value):
        if value is not None:
            self.values[key][source].add(whole(value))

    def add_thing(self, source, where, thing):
        for edge in ("reach", "carry"):
            value = getattr(thing, edge)
            self.add(
                source, (*where, normalize_name(thing.name), edge), None if value is None else value.value_m
            )

    def twice(self):
        return {key: found for key, found in self.values.items() if len(found) > 1}


@pytest.fixture(scope="module")
def collected(demo_plan):
    return collect(*demo_plan)


def collect(plan, course, player, week):
    """Every number of a plan of the demo course, and of what `numbers` and `check` say of it."""
    found = Collected()
    for planned in plan.holes:
        hole = course.hole(planned.label)
        found.add("plan", (hole.label, "green depth"), planned.green.depth_m)
        found.add("plan", (hole.label, "green width"), planned.green.width_m)
        spots = {}
        for part in planned.rounds:
            setup = week.round(part.rounds[0]).setup(hole.label)
            line = line_from_tee(hole, setup.tee, setup.up_m)
            found.add("plan", (hole.label, "length", place(line[0])), part.length_m)
            for location in part.locations:
                for decision in (location.tee, *location.approaches):
                    spot = decision.spot
                    spots[place(spot[:2])] = spot[:2]
                    if decision.least_landing_m is not None:
                        key = (hole.label, place(spot[:2]), "least landing")
                        found.add("plan", key, decision.least_landing_m)
                    for planned_option in decision.answers:
                        for reach in planned_option.quoted.reaches:
                            add_reach(found, hole, spot, reach)
            if hole.label in DRAWN:
                draw(found, hole, player, week, part)
        landmarks = [
            Landmark(name=str(k), xy=xy, origin=Origin.TRACED) for k, xy in enumerate(spots.values())
        ]
        said = hole_numbers(
            hole,
            sources=[hole.tees[0], *landmarks],
            reference=week.front_reference,
            stimp_ft=week.stimp_ft,
        )
        found.add("numbers", (hole.label, "green depth"), said.depth.value_m)
        found.add("numbers", (hole.label, "green width"), said.width.value_m)
        found.add("numbers", (hole.label, "length", place(hole.tees[0].xy)), said.sources[0].length.value_m)
        for source, xy in zip(said.sources, [hole.tees[0].xy, *spots.values()], strict=True):
            for thing in source.features:
                found.add_thing("numbers", (hole.label, place(xy)), thing)
            if source.least_landing is not None:
                found.add("numbers", (hole.label, place(xy), "least landing"), source.least_landing.value_m)
    for one in check_course(demo().course).holes:
        hole = course.hole(one.label)
        found.add("check", (one.label, "green depth"), one.green_m[0])
        found.add("check", (one.label, "green width"), one.green_m[1])
        found.add("check", (one.label, "length", place(hole.tees[0].xy)), one.length_m)
        for walk in one.walk:
            edge, _, name = walk.what.partition(" ")
            if walk.what == "depth":
                found.add("check, to pace", (one.label, "green depth"), walk.traced_m)
            elif name:
                key = (one.label, place(hole.tees[0].xy), name, edge)
                found.add("check, to pace", key, walk.traced_m)
    return found


def add_reach(found, hole, spot, reach):
    where = (hole.label, place(spot[:2]))
    for edge, value in (("reach", reach.reach_m), ("carry", reach.carry_m)):
        key = (*where, normalize_name(reach.what), edge)
        if reach.own_line:
            found.own_lines.append((key, value))
        else:
            found.add("sentence", key, value)


def draw(found, hole, player, week, part):
    """The picture of the tee shot of a round."""
    location = part.locations[0]
    tee = location.tee
    here = today(hole, player, week, part.rounds[0], pin=location.cut.xy)
    field = cost_field(here, Baseline(here))
    options, finish = [o.option for o in tee.answers], tee.options[0].quoted.finish
    sheet = hole_sheet(hole, field, tee.spot, options, finish)
    where = (hole.label, place(here.tee))
    for number in sheet.numbers:
        for edge, value in (("reach", number.reach_m), ("carry", number.carry_m)):
            key = (*where, normalize_name(number.what), edge)
            if value is not None and number.own_line:
                found.own_lines.append((key, value))
            elif value is not None:
                found.add("picture", key, value)


def test_every_number_that_appears_twice_has_one_value(collected):
    twice = collected.twice()
    different = {key: dict(found) for key, found in twice.items() if len(set().union(*found.values())) != 1}
    assert different == {}
    # Enough of them, and from everywhere: greens, lengths, sand and water, from tees and from fairways.
    assert len(twice) > 150
    pairs = {source for found in twice.values() for source in found}
    assert pairs == {"plan", "sentence", "picture", "numbers", "check", "check, to pace"}


def test_a_number_of_the_shots_own_line_is_marked_because_it_differs(collected):
    for key, value in collected.own_lines:
        noted = collected.values.get(key, {}).get("numbers")
        if value is not None and noted and key[-1] == "carry":
            assert abs(whole(value) - max(noted)) >= 3 - 1, key


def test_the_demo_course_has_a_lake_that_is_carried_from_the_tee(collected):
    """The 4th is played over water: the sentence, the picture and the list say the same."""
    found = [
        (key, sources)
        for key, sources in collected.values.items()
        if key[0] == "4" and key[-1] == "carry" and "water" in key[2]
    ]
    assert any({"sentence", "numbers", "picture"} <= set(sources) for _, sources in found)
