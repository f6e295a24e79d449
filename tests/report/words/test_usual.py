"""A hole in usual and in few words, the card, and the clock of the wind."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.decide.commit import Commitment
from strategy.decide.misses import Miss
from strategy.decide.option import Word
from strategy.outcome.stance import Stance
from strategy.plan.ask import AskedShot
from strategy.plan.document import Role
from strategy.plan.quoted import RoundScores
from strategy.report.words.card import card_text
from strategy.report.words.clock import clock, way
from strategy.report.words.depths import Depth, asked_words, plan_words
from strategy.report.words.facts import hole_facts
from strategy.report.words.few import WIDE, few_hole
from strategy.report.words.lengths import Units
from strategy.report.words.plan_text import asked_text
from strategy.report.words.usual import usual_hole
from strategy.units import YARD_M
from tests.plan.hand import changed, decision, hole, location, option, quoted, round_plan, start
from tests.report.words.test_facts import trouble
from tests.report.words.test_plan_text import approach, four, plan


def usual(made, **given_):
    return " ".join(" ".join(usual_hole(hole_facts(made, 0, Units.YARDS, **given_))).split())


def par_three(number, *, carry=181, past=0.0, more=(), **fields):
    tee = decision(
        option("7-iron", carry, plays=176, quoted=quoted("hole", past=past, room=None, full=False)), *more,
        front=174, to_hole=186,
    )  # fmt: skip
    tee = dataclasses.replace(tee, **fields)
    return round_plan(number, location(tee), wind=(6, 120))


def miss(where, strokes, ground=""):
    return Miss(where=where, share=0.1, strokes=strokes, ground=ground)


def test_a_short_hole_as_a_caddie_says_it():
    made = plan(
        hole(
            par_three(
                1,
                trouble=(trouble("water", near=66, far=166, room=15, side="", kind="water"),),
                misses=(miss("left", 3.0), miss("short", 3.9)),
                more=(option("8-iron", 179, cost=0.01),),
            )
        )
    )
    assert usual(made) == (
        "7 The Elbow. Par 4, 415, green 30 deep. 174 front, 189 middle, 204 back. "
        "Round 1. Wind 6 across from 4 o'clock, gusts 20. Hole 186. "
        "7-iron, 181 to carry, playing 176: at the hole. Water: 166 to carry, room 15. "
        "Miss left; short is dead. 8-iron is even."
    )


def test_tee_shots_that_are_the_same_are_said_once_with_what_differs():
    drives = [
        decision(
            option("driver", carry, quoted=quoted(begin=start("the green", 0.0)), leaves=(120 + n, 160)),
        )
        for n, carry in enumerate((281, 286, 284))
    ]
    drives = [
        dataclasses.replace(d, trouble=(trouble("right bunker", far=269, room=room),))
        for d, room in zip(drives, (12, 17, 15), strict=True)
    ]
    wood = decision(option("3-wood", 255, quoted=quoted(side=6), leaves=(140, 180)))
    rounds = [round_plan(n + 1, location(tee)) for n, tee in enumerate((*drives, wood))]
    text = usual(plan(hole(*rounds)))
    assert text.count("Driver") == 1
    assert "Tee (rounds 1-3): Driver, 281 to 286 to carry: start at the green." in text
    assert "Right bunker: 269 to carry, room 12 or more." in text
    assert "Round 2. Leaves 121 to 160 front." in text
    assert "Round 4. 3-wood, 255 to carry: finish 6 right of the middle. Leaves 140 to 180 front." in text


def test_what_is_not_cleared_is_named_and_what_is_out_of_reach():
    def text(*things):
        tee = dataclasses.replace(decision(option(quoted=quoted())), trouble=things)
        return usual(plan(hole(round_plan(1, location(tee)))))

    bunker = trouble("right bunkers", "open", near=278, room=None)
    out = trouble(
        "out of bounds", "open", near=None, far=None, room=None, side="left", along=True, kind="out"
    )
    assert "Not cleared: right bunkers from 278, out all along the left." in text(bunker, out)
    beyond = trouble("left bunker", "beyond", near=293, room=None)
    assert "Left bunker at 293: out of reach." in text(beyond)
    assert "out of reach" not in text(bunker, beyond)


@pytest.mark.parametrize(("carry", "said"), [(160, True), (168, True), (169, False), (150, True)])
def test_the_cover_of_a_false_front_is_said_of_a_shot_that_lands_near_it(carry, said):
    text = usual(plan(hole(par_three(1, carry=carry, least_landing_m=159 * YARD_M))))
    assert ("False front: land 159 or more." in text) is said
    assert "False front" not in usual(plan(hole(par_three(1, carry=carry))))


def test_the_cover_of_a_false_front_is_said_in_few_words_where_there_is_room():
    made = plan(hole(par_three(1, carry=160, least_landing_m=159 * YARD_M)))
    (line,) = few_hole(hole_facts(made, 0, Units.YARDS))
    assert line == "7 R1  7-iron, 160 plays 176: at the hole; land 159 or more"


@pytest.mark.parametrize(
    ("stance", "words"),
    [
        ({"right": 0.05, "above": False, "side_m": 6.4}, "Ball below the feet: aim 7 left for it."),
        ({"right": 0.05, "above": True, "side_m": -2.0}, "Ball above the feet: aim 2 right for it."),
        ({"ahead": 0.06, "number_m": 3.7}, "Uphill lie: 4 more, in the number."),
        ({"ahead": -0.06, "number_m": -3.0}, "Downhill lie: 3 less, in the number."),
        ({"ahead": 0.02, "right": 0.01, "side_m": 1.6, "number_m": 2.4}, ""),
    ],
)
def test_a_stance_is_said_where_it_moves_the_aim_by_two_or_the_number_by_three(stance, words):
    level = {"ahead": 0.0, "right": 0.0, "above": False, "side_m": 0.0, "number_m": 0.0}
    on = approach("9-iron", 142)
    turned = changed(on.options[0], stance=Stance(**{**level, **stance}))
    tee = decision(option(quoted=quoted(), leaves=(120, 160)))
    shot = dataclasses.replace(on, options=(turned, *on.options[1:]))
    text = usual(plan(hole(round_plan(1, location(tee, (shot,))))))
    assert words in text
    assert ("for it." in text or "in the number." in text) is bool(words)


def test_a_landing_out_of_sight_is_said_and_tells_tee_shots_apart():
    def drive(**fields):
        return location(dataclasses.replace(decision(option(quoted=quoted())), **fields))

    rounds = [round_plan(1, drive(out_of_sight=True)), round_plan(2, drive(out_of_sight=True))]
    assert usual(plan(hole(*rounds))).count("Landing out of sight.") == 1
    seen = usual(plan(hole(rounds[0], round_plan(2, drive()))))
    assert seen.count("Driver, 285 to carry") == 2
    assert seen.count("Landing out of sight.") == 1


def test_a_green_that_lies_lower_is_said_in_the_head():
    def head(*rises):
        made = hole(
            *(dataclasses.replace(par_three(n), rise_m=r * YARD_M) for n, r in enumerate(rises, start=1))
        )
        return usual(plan(made)).partition("green")[0]

    assert head(-12.0, -12.2) == "7 The Elbow. Par 4, 415, 12 down, "
    assert head(9.6) == "7 The Elbow. Par 4, 415, 10 up, "
    moved = dataclasses.replace(par_three(2), rise_m=-12.0 * YARD_M, length_m=400 * YARD_M)
    two = hole(dataclasses.replace(par_three(1), rise_m=-12.0 * YARD_M), moved)
    assert "Par 4, 400 to 415, green 30 deep." in usual(plan(two))  # with the height it had five numbers
    assert head(2.4) == head(-12.0, -9.0) == "7 The Elbow. Par 4, 415, "


def test_a_sentence_that_would_have_five_numbers_is_two():
    tee = changed(
        option("7-iron", 181, plays=176, quoted=quoted("hole", side=4, past=-2, full=False)), rise_m=4.6
    )
    made = plan(hole(round_plan(1, location(decision(tee, front=174, to_hole=186)))))
    assert "7-iron, 181 to carry, 5 up, playing 176. Finish 4 right of the hole, 2 short." in usual(made)


@pytest.mark.parametrize(
    ("numbers", "others", "settled", "words"),
    [
        ((180, 176, 172), ("4-iron", "", "3-wood"), 176, "Lull 4-iron, gust 3-wood."),
        ((180, 176, 172), ("", "", ""), 174, "Gusts 180 to 172: play 174."),
        ((180, 176, 172), ("", "", ""), 176, "Gusts 180 to 172."),
        ((178, 176, 174), ("", "", ""), 176, ""),
    ],
)
def test_gusts_are_one_clause(numbers, others, settled, words):
    held = Commitment(
        winds_mps=(2.0, 4.0, 6.0), numbers_m=tuple(n * YARD_M for n in numbers),
        committed_m=settled * YARD_M, sides_m=(0.0, 0.0), over=(None, 0.0, None), cost_lull=0.02,
        cost_gust=0.04, others=others,
    )  # fmt: skip
    text = usual(plan(hole(par_three(1, commit=held))))
    assert words in text
    assert ("ull" in text or "Gusts" in text) == bool(words)


def test_a_cost_is_said_where_it_is_real_and_another_club():
    def text(other):
        tee = decision(option("driver", quoted=quoted()), other)
        return usual(plan(hole(round_plan(1, location(tee)))))

    assert "3-wood costs 0.15." in text(option("3-wood", cost=0.15, word=Word.REAL))
    assert "0.06" not in text(option("3-wood", cost=0.06, word=Word.SMALL))
    assert "0.15" not in text(option("driver, the low one", cost=0.15, word=Word.REAL))


def test_the_wind_of_a_dogleg_is_said_again_where_it_turns():
    tee = decision(option(quoted=quoted(), leaves=(120, 160)))
    on = approach("9-iron", 142)
    turned = dataclasses.replace(on.options[0], option=dataclasses.replace(on.first, aim=(300 * YARD_M, 0.0)))
    straight, dogleg = (
        usual(plan(hole(round_plan(1, location(tee, (shot,)), wind=(9, 0)))))
        for shot in (on, dataclasses.replace(on, options=(turned, *on.options[1:])))
    )
    assert "Wind 9 into from 12 o'clock" in straight
    assert "Wind now" not in straight
    assert "Wind now across from 9 o'clock." in dogleg


def test_few_is_one_line_a_shot_that_is_never_too_wide():
    long = "a club of a very long name, " + "and a shot of a longer one " * 3
    made = plan(hole(four(1, "a", 14), par_three(2), round_plan(3, location(decision(option(long))))))
    lines = few_hole(hole_facts(made, 0, Units.YARDS))
    assert max(map(len, lines)) <= WIDE
    assert [line.split()[1] for line in lines] == ["R1", "R1", "R2", "R3"]
    assert lines[2].startswith("7 R2  7-iron, 181 plays 176: at the hole")


@given(st.floats(0.0, 360.0), st.floats(0.0, 360.0))
def test_a_mirrored_wind_has_the_mirrored_hour(wind, facing):
    hour, mirrored = clock(wind, facing), clock(-wind, -facing)
    if abs(((wind - facing) / 30.0) % 1.0 - 0.5) > 1e-6:  # halfway between two hours either one is right
        assert (hour + mirrored) % 12 == 0
        assert way(hour) == way(mirrored)
    assert 1 <= hour <= 12


def scored(label, chances):
    best = option(quoted=quoted(), score_chances=chances)
    return hole(round_plan(1, location(decision(best)), wind=(9, 225)), label=label)


def test_the_card_has_a_line_a_hole_and_names_where_most_is_at_stake():
    sure, open_ = {4: 1.0}, {3: 0.5, 5: 0.5}
    total = RoundScores(
        round=1, holes=3, par=12, likely=0, mean=12.0, tails=(11, 12, 13), chances={"12": 1.0}
    )
    holes = [scored("1", sure), scored("2", open_), scored("3", {3: 0.2, 4: 0.6, 5: 0.2})]
    made = plan(*holes, round_scores=(total,))
    lines = card_text(made)
    assert lines[0].split() == ["par", "length", "off", "the", "tee", "leaves", "then", "R1"]
    assert [line.split()[:3] for line in lines[1:4]] == [[n, "4", "415"] for n in "123"]
    assert all(re.search(r"driver 285 .* 4\.00$", line) for line in lines[1:4])
    text = " ".join(" ".join(lines).split())
    assert "1 14 on, 5 L" in text
    assert "12.0 on average" in text
    assert "Most is at stake on 2 and 3." in text
    usual_text, all_text = (plan_words(made, Units.YARDS, depth) for depth in (Depth.USUAL, Depth.ALL))
    assert lines[1] in usual_text
    assert lines[1] in all_text
    assert lines[1] not in plan_words(made, Units.YARDS, Depth.FEW)


def test_one_shot_that_is_asked_for_is_said_in_every_depth():
    asked = AskedShot(
        hole="7", name="The Elbow", par=4, round=1, location="14 on, 5 from the left", given=True,
        assumptions=(), decision=dataclasses.replace(approach("9-iron", 142), role=Role.ASKED),
    )  # fmt: skip
    few, usual_, all_ = (asked_words(asked, Units.YARDS, depth) for depth in Depth)
    assert few == "7 R1 130 front  9-iron, 142: 2 right of the hole, 1 short\n"
    assert "From 130 front, 145 middle, 160 back, hole 415. 9-iron, 142 to carry: finish 2 right" in usual_
    assert all_ == asked_text(asked)
