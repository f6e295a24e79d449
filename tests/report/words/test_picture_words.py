"""What is written on a picture: of the tee shot and of an approach, in yards and metres."""

from __future__ import annotations

import dataclasses

from strategy.codes import Lie
from strategy.plan.document import UNITS, VERSION, Plan, Role
from strategy.plan.drawing.sheet import Sheet, WindAlong
from strategy.report.words.fact_words import counts_words
from strategy.report.words.facts import asked_facts
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import (
    RulerAnswer,
    even_words,
    origin_marks,
    origins_note,
    picture_words,
    use_words,
)
from strategy.report.words.usual import shot_words
from strategy.units import MPH_MPS, YARD_M
from tests.plan.hand import decision, hole, location, option, quoted, round_plan

TEE = decision(
    option("driver, the fade", 281, quoted=quoted(side=6), leaves=(113, 153), counts={"fairway": 20}),
    option("3-wood", 258, cost=0.15, quoted=quoted()),
)
NEXT = decision(
    option("9-iron", 142, quoted=quoted("hole", 2, -1)), role=Role.MIDDLE, lie=Lie.ROUGH_GOOD, front=130
)
LOCATION = location(TEE, (NEXT,))
MARKERS = round_plan((2, 3), LOCATION, up=22)
HOLE = hole(MARKERS)
PLAN = Plan(
    version=VERSION, program="0.1", libraries={}, units=UNITS, seed=1, inputs=(), course="The Links",
    credit="c", player="Ann", right_handed=True, level=70.0, week="W", strokes_to_go="hole",
    cautions=("a",), assumptions=(), findings=(), holes=(HOLE,),
)  # fmt: skip

NO_BREAK = "\N{NO-BREAK SPACE}"


def sheet(**changes):
    """A sheet of which only what is written counts."""
    empty = dict.fromkeys((f.name for f in dataclasses.fields(Sheet)), ())
    wind = WindAlong(
        speed_mps=9 * MPH_MPS, gust_mps=9 * MPH_MPS, into_mps=0.0, from_right_mps=9 * MPH_MPS, clock=3
    )
    return Sheet(**{**empty, "wind": wind, "wind_counts": True, "zero": ("fairway", -2 * YARD_M), **changes})


def words(shot, units=Units.YARDS):
    return picture_words(PLAN, HOLE, MARKERS, LOCATION, shot, sheet(), units)


def test_a_tee_shot_says_its_length_and_its_markers():
    said = words(TEE)
    assert (said.label, said.name, said.from_tee) == ("7", "The Elbow", True)
    assert said.title == "par 4 · 415 yd"
    assert said.below == "Rounds 2 and 3 · back tee, markers 22 up · hole 14 on, 5 from the left"
    assert said.wind == "wind 9 across, from 3 o'clock"
    assert said.answers == (
        RulerAnswer(shot=("driver", "the fade"), number="281"),
        RulerAnswer(shot=("3-wood",), number="258"),
    )
    assert (said.about, said.credit) == ("The Links · Ann", "c")


def test_an_approach_says_which_shot_it_is_and_how_far_the_green_is():
    said = words(NEXT)
    assert said.title == "par 4 · shot 2, good rough"
    assert said.below == "Rounds 2 and 3 · hole 14 on, 5 from the left"
    assert said.sentences[0].startswith("130 front, ")
    assert not said.from_tee


def test_a_shot_that_stays_short_says_its_front():
    short = decision(
        option("5-iron", 190, quoted=quoted(side=2)), role=Role.MIDDLE, lie=Lie.ROUGH_GOOD, front=260
    )
    assert words(short).title == "par 4 · from 260 front, good rough"


def test_the_answer_is_that_of_the_text():
    """Club, number and aim are those of the usual words; all else they say follows in the same words."""
    for units in Units:
        said = words(TEE, units)
        shot = asked_facts(TEE, units, (2, 3), PLAN.stock)
        spoken = f"{said.club.replace(NO_BREAK, ' ')}: {said.aim}. {' '.join(said.sentences)}"
        assert spoken == shot_words(shot).replace(" to carry", "")
        assert said.counts == counts_words({"fairway": 20})
    assert words(TEE).club == "Driver, the fade, 281"
    assert words(TEE).aim == "finish 6 right of the middle"
    assert words(TEE).sentences[-1].startswith("Leaves 113 to 153 front")
    assert words(TEE, Units.METRES).club == "Driver, the fade, 257"
    assert words(TEE, Units.METRES).title == "par 4 · 379 m"
    near = dataclasses.replace(NEXT, short_side="left")
    assert words(near).sentences[-1].startswith("That is on the left, the short side")


def test_what_is_even_is_counted_from_where_the_sentence_counts():
    """The middle of the fairway lies 2 left of the axis."""
    drawn = sheet(even=(-8.2 * YARD_M, 1.4 * YARD_M))
    assert even_words(drawn, Units.YARDS) == "even: 6 left to 3 right of the middle"
    assert even_words(sheet(even=(2 * YARD_M, 5 * YARD_M), zero=("hole", 0.0)), Units.YARDS) == (
        "even: 2 to 5 right of the hole"
    )


def test_a_map_of_a_green_is_to_carry_only_where_page_and_scale_keep_to_the_rule():
    """The R&A and USGA, Rule 4.3a, clarification on green-reading materials: 4.25 x 7 in, 1:480."""
    assert use_words(476.6, carried=True) == "Maps a green (scale 1:477): not for use during a round."
    large = "Maps a green (page over 4.25 x 7 in): not for use during a round."
    assert use_words(480.0, carried=False) == large
    assert use_words(480.0, carried=True).startswith("Green 1:480 on 4.25 x 7 in")


def test_each_number_keeps_its_origin_and_the_most_common_one_has_no_mark():
    marks = origin_marks(["paced", "traced", "traced", "surveyed"])
    assert marks == {"traced": "", "paced": "*", "surveyed": "†"}
    assert origins_note(marks) == "Reach and carry: traced; * paced; † surveyed."
    assert origins_note(origin_marks([])) == ""
