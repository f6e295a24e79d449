"""The printed plan: few lines, the same answer once, cautions first and last."""

from __future__ import annotations

import dataclasses

from strategy.codes import Lie
from strategy.columns import FILED as WIDTH
from strategy.decide.commit import Commitment
from strategy.decide.option import Word
from strategy.plan.ask import AskedShot
from strategy.plan.cautions import CARD, RULE, TABLE_ONLY
from strategy.plan.document import (
    UNITS,
    VERSION,
    Note,
    Plan,
    Role,
)
from strategy.plan.quoted import Needed, RoundScores
from strategy.report.words.lengths import Units
from strategy.report.words.plan_text import asked_text, plan_text
from strategy.units import YARD_M
from tests.plan.hand import decision, hole, location, option, quoted, round_plan


def plan(*holes, **given):
    parts = {
        "version": VERSION, "program": "0", "libraries": {}, "units": UNITS, "seed": 1, "inputs": (),
        "course": "Fennhallow", "credit": "Outlines © OpenStreetMap contributors", "player": "Rowan Tarrick",
        "right_handed": False, "level": 70.0, "week": "The demo week", "strokes_to_go": "baseline",
        "cautions": (CARD, RULE, TABLE_ONLY), "assumptions": (), "findings": (), "holes": holes,
    }  # fmt: skip
    return Plan(**{**parts, **given})


def approach(label, carry, role=Role.MIDDLE, lie=Lie.FAIRWAY, front=130):
    best = option(label, carry, quoted=quoted("hole", 2, -1, room=None), counts={"green": 18, "short": 2})
    other = option("wedge", carry - 12, cost=0.07, word=Word.SMALL, quoted=quoted("hole", room=None))
    return decision(best, other, role=role, lie=lie, front=front)


def four(n, text, on):
    shots = (
        approach("9-iron", 142),
        approach("8-iron", 150, Role.LEFT, Lie.ROUGH_GOOD, 133),
        approach("9-iron", 144, Role.RIGHT, Lie.FAIRWAY, 131),
    )
    drive = decision(option("driver", quoted=quoted(), leaves=(120, 160)))
    return round_plan(n, location(drive, shots, text=text, on=on), wind=(9, 225))


def test_one_hole_line_by_line():
    text = plan_text(plan(hole(four(1, "14 on, 5 from the left", 14), four(2, "20 on, centre", 20))))
    assert text.splitlines()[:28] == [
        "Fennhallow: plan for Rowan Tarrick, The demo week",
        "Distances in yards.",
        "",
        "The Committee's hard card and local rules come first. Lightning, crowds and play around people:",
        "the officials decide.",
        "",
        "Hole 7, The Elbow   par 4, 415 from the back tee, green 30 deep, 28 wide",
        "  Tee: Driver, finish in the middle. Of 20: 20 fairway. Leaves 120 to 160 front.",
        "  Round 1, 14 on, 5 from the left; 9 mph from the SW; across from 8 o'clock, gusts 20; 4.00 on",
        "  average:",
        "    Driver, 285 to carry; 400 front, 415 middle, 430 back, hole 415. At the middle. Leaves 120",
        "    to 160 front.",
        "    From 130 front, 14 on, fairway. 9-iron, 142 to carry: finish 2 right of the hole, 1 short.",
        "    Wedge costs 0.07 (small). Of 20: 18 green, 2 short. 130 front, 145 middle, 160 back, hole",
        "    415.",
        "      Left edge (133 front, good rough): 8-iron, 150, 2 right of the hole, 1 short. Right edge",
        "      (131 front, fairway): 9-iron, 144, 2 right of the hole, 1 short.",
        "  Round 2, 20 on, centre; 9 mph from the SW; across from 8 o'clock, gusts 20; 4.00 on average:",
        "    Driver, 285 to carry; 400 front, 415 middle, 430 back, hole 415. At the middle. Leaves 120",
        "    to 160 front.",
        "    From 130 front, 20 on, fairway. 9-iron, 142 to carry: finish 2 right of the hole, 1 short.",
        "    Wedge costs 0.07 (small). Of 20: 18 green, 2 short. 130 front, 145 middle, 160 back, hole",
        "    415.",
        "      Left edge (133 front, good rough): 8-iron, 150, 2 right of the hole, 1 short. Right edge",
        "      (131 front, fairway): 9-iron, 144, 2 right of the hole, 1 short.",
        "",
        "Before you trust it",
        "  Made before the round. During it Rule 4.3 lets no device recommend a line or a club, and where",
    ]
    assert text.endswith("\nOutlines © OpenStreetMap contributors\n")


def test_no_line_is_wider_than_the_page():
    text = plan_text(
        plan(hole(four(1, "14 on, 5 from the left", 14)), findings=(Note(kind="missing", text="x " * 90),))
    )
    assert max(len(line) for line in text.splitlines()) <= WIDTH


def test_two_tee_shots_name_their_rounds():
    other = location(decision(option("3-wood", quoted=quoted())))
    text = plan_text(plan(hole(four(1, "a", 14), round_plan(2, other), four(3, "b", 20))))
    assert "  Tee (rounds 1 and 3): Driver, finish" in text
    assert "  Tee (round 2): 3-wood, finish" in text


def test_every_length_says_its_tee_and_where_the_markers_stand():
    back, up = round_plan(1, location()), round_plan(2, location(), up=22)
    shorter = dataclasses.replace(up, length_m=393 * YARD_M)
    forward = dataclasses.replace(round_plan(3, location(), tee="forward"), length_m=370 * YARD_M)
    numbered = dataclasses.replace(round_plan(4, location(), tee="tee 2", up=-5), length_m=402 * YARD_M)

    def title(*rounds):
        return next(line for line in plan_text(plan(hole(*rounds))).splitlines() if "The Elbow" in line)

    assert "par 4, 415 from the back tee, green" in title(back)
    assert "par 4, 393 from the back tee, markers 22 up, green" in title(shorter)
    assert "par 4, 393 to 415 from the back tee, green" in title(back, shorter)
    assert "par 4, 415 from the back tee, 370 from the forward tee, green" in title(back, forward)
    assert "402 from tee 2, markers 5 back" in title(numbered)


def test_filters():
    made = plan(hole(four(1, "a", 14), four(2, "b", 20)), hole(four(1, "c", 14), label="8", name=""))
    text = plan_text(made, holes=["8"], rounds=[1])
    assert "Hole 8   par 4" in text
    assert "Hole 7" not in text
    assert "Round 2" not in plan_text(made, rounds=[1])


def test_proposed_locations_say_so_and_the_margin_is_named():
    warned = location(
        name="front left",
        why="sand 5 left",
        origin="proposed",
        warning="3.1 paces from the edge of the green; the guidance is 4 or more",
    )
    text = plan_text(plan(hole(round_plan((1, 2), warned))))
    assert (
        "Rounds 1 and 2, 14 on, 5 from the left; likely, front left, sand 5 left; 3.1 paces from the edge"
        in " ".join(text.split())
    )


def test_what_holds_everywhere_is_said_once_and_the_rest_at_its_hole():
    one = hole(four(1, "a", 14), assumptions=["out of bounds unknown", "par 4 is taken from the length"])
    two = hole(four(1, "b", 14), label="8", assumptions=["out of bounds unknown"])
    text = plan_text(plan(one, two))
    assert text.count("ut of bounds unknown") == 1
    assert "  Taken for granted: Par 4 is taken from the length." in text


def test_failures_stand_at_the_hole_and_findings_at_the_end():
    broken = hole(
        findings=[Note(kind="failed", text="round 2: off the green"), Note(kind="missing", text="no name")]
    )
    text = plan_text(plan(broken))
    assert "  Not planned: round 2: off the green\n" in text
    assert "What reading the course found\n  Hole 7: No name.\n" in text


def test_a_course_without_credit_says_so():
    assert plan_text(plan(hole(four(1, "a", 14)), credit="")).endswith("names no source for its outlines.\n")


def test_metres_reach_every_number():
    text = plan_text(plan(hole(four(1, "14 on, 5 from the left", 14))), Units.METRES)
    assert "379 from the back tee, green 27 deep, 26 wide" in text
    assert (
        "From 119 front, 13 on, fairway. 9-iron, 130 to carry: finish 2 right of the hole, 1 short." in text
    )


def test_one_shot_with_its_table():
    third = option("8-iron", 155, cost=0.2, word=Word.REAL, counts={"long": 20}, quoted=None)
    base = approach("9-iron", 142)
    asked = AskedShot(
        hole="7",
        name="The Elbow",
        par=4,
        round=1,
        location="14 on, 5 from the left",
        given=True,
        assumptions=("wind is not yet in the numbers",),
        decision=dataclasses.replace(base, role=Role.ASKED, options=(*base.options, third)),
    )
    assert asked_text(asked, credit="Outlines © OpenStreetMap contributors").splitlines() == [
        "Hole 7, The Elbow, par 4, round 1, hole 14 on, 5 from the left.",
        "From 130 front, 415 to the hole, fairway. Distances in yards.",
        "",
        "9-iron, 142 to carry: finish 2 right of the hole, 1 short.",
        "Wedge, 130 to carry: finish at the hole: costs 0.07 (small).",
        "8-iron, 155 to carry: costs 0.20 (real).",
        "",
        "shot    carry  strokes   cost         of 20",
        "9-iron    142    4.000                18 green, 2 short",
        "wedge     130    4.070   0.070 small  20 fairway",
        "8-iron    155    4.200   0.200 real   20 long",
        "",
        "What follows counts your own next shots down to 60 to 90 yards from the hole; nearer, distance",
        "and lie alone. That makes the short side of a green look as good as the fat side: where a plan",
        "finishes there, trust your eye.",
        "Wind is not yet in the numbers.",
        "The Committee's hard card and local rules come first. Lightning, crowds and play around people:",
        "the officials decide.",
        "Made before the round. During it Rule 4.3 lets no device recommend a line or a club, and where",
        "Model Local Rule G-11 is in force it limits what may be carried: the Committee's word counts.",
        "Outlines © OpenStreetMap contributors",
    ]


def test_the_number_to_settle_on_follows_the_answer_in_the_plan_and_in_one_shot():
    held = Commitment(
        winds_mps=(2.0, 4.0, 6.0),
        numbers_m=(139 * YARD_M, 142 * YARD_M, 146 * YARD_M),
        committed_m=142 * YARD_M,
        sides_m=(0.0, 0.0),
        over=(None, 0.0, None),
        cost_lull=0.02,
        cost_gust=0.04,
    )
    said_so = "In the lull it plays 139, in gusts 146: commit to 142; a gust then costs 0.04, a lull 0.02."
    shot = dataclasses.replace(approach("9-iron", 142), commit=held)
    one = location(decision(option("driver", quoted=quoted(), leaves=(120, 160))), (shot,))
    told = " ".join(plan_text(plan(hole(round_plan(1, one)))).split())
    assert f"Wedge costs 0.07 (small). {said_so} Of 20: 18 green, 2 short." in told
    asked = AskedShot(
        hole="7", name="", par=4, round=1, location="14 on, centre", given=True, assumptions=(), decision=shot
    )
    lines = asked_text(asked).splitlines()
    assert lines[lines.index("Wedge, 130 to carry: finish at the hole: costs 0.07 (small).") + 1] == said_so


def test_the_round_stands_before_the_holes_and_a_need_with_its_location():
    needed = Needed(
        n=4, label="3-wood", carry_m=230.0, side_m=0.0, plan_chance=0.4, chance=0.41, best_chance=0.46,
        price=0.08, worth_saying=True,
    )  # fmt: skip
    tee = decision(option(quoted=quoted()), needs=(needed,))
    scores = RoundScores(round=1, holes=1, par=4, likely=0, mean=4.1, tails=(3, 4, 5), chances={})
    whole = plan(hole(round_plan(1, location(tee))), round_scores=(scores,))
    text = plan_text(whole)
    assert text.index("Round 1 under this plan, 1 hole, par 4: 4.1 on average") < text.index("Hole 7")
    said_of_it = "For 4 or better: 3-wood instead, chance 46 % against 41 %, costs 0.08."
    assert said_of_it in text
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "under this plan" not in plan_text(whole, holes=["7"])
    assert "under this plan" not in plan_text(whole, rounds=[2])


def test_the_table_has_room_for_what_is_not_told_apart_and_the_cost_of_a_first_that_is_dearer():
    first = option("9-iron", 142, cost=0.004, quoted=quoted("hole", room=None))
    second = option("wedge", 130, quoted=quoted("hole", room=None))
    third = option("8-iron", 155, cost=0.133, word=Word.UNTOLD, counts={"long": 20})
    asked = AskedShot(
        hole="7", name="", par=4, round=1, location="14 on", given=True, assumptions=(),
        decision=dataclasses.replace(decision(first, second, third, role=Role.ASKED), why_first="liked"),
    )  # fmt: skip
    text = asked_text(asked)
    assert "9-iron, 142 to carry: finish at the hole. Costs 0.004 more than wedge: you like it.\n" in text
    assert "Wedge, 130 to carry: finish at the hole: saves 0.004.\n" in text
    assert [line for line in text.splitlines() if line.endswith(("of 20", "fairway", "long"))] == [
        "shot    carry  strokes   cost                  of 20",
        "9-iron    142    4.004   0.004 even            20 fairway",
        "wedge     130    4.000                         20 fairway",
        "8-iron    155    4.133   0.133 not told apart  20 long",
    ]
