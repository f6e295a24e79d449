"""Parts of a plan made by hand, in yards, for sentences and grouping."""

from __future__ import annotations

from strategy.decide.option import Word
from strategy.plan.document import (
    Decision,
    HolePlan,
    Landing,
    LocationPlan,
    Place,
    PlannedOption,
    Role,
    RoundPlan,
    Wind,
)
from strategy.plan.quoted import (
    Finish,
    Reach,
    Said,
    Start,
)
from strategy.units import MPH_MPS, YARD_M

Y = YARD_M


def reach(what, kind, near, far, origin="traced"):
    return Reach(what=what, kind=kind, reach_m=near * Y, carry_m=far * Y, origin=origin)


def start(at="", side=0.0, cost=0.0):
    return Start(at=at, side_m=side * Y, cost=cost, origin="traced")


def said(
    of="fairway", side=0.0, past=0.0, *, begin=None, reaches=(), full=True, room=(5.0, 5.0), leaves=None
):
    return Said(
        finish=Finish(of=of, side_m=side * Y, past_m=past * Y, origin="traced"),
        start=begin,
        reaches=tuple(reaches),
        full=full,
        run_m=0.0,
        room_m=None if room is None else (room[0] * Y, room[1] * Y),
        depth_room_m=None if room is None else (0.0, 0.0),
        leaves_m=None if leaves is None else (leaves[0] * Y, leaves[1] * Y),
    )


def option(
    label="driver",
    carry=285.0,
    *,
    cost=0.0,
    word=Word.EVEN,
    counts=None,
    aim=(0.0, 300 * Y),
    said=None,
    landing=True,
    plays=None,
    rise=0.0,
):
    """An option as planned; its parts that no sentence quotes are plain."""
    club, _, shot = label.partition(", ")
    ball = Place(x=0.0, y=300 * Y, lie="fairway")
    return PlannedOption(
        club=club,
        shot=shot,
        label=label,
        index=0,
        carry_m=carry * Y,
        heading=0.0,
        aim=aim,
        aim_lonlat=(2.0, 54.5),
        start_line=0.0,
        strokes=4.0 + cost,
        sampling=0.001,
        few_balls=0.0,
        cost=cost,
        cost_error=0.004,
        word=word,
        counts={"fairway": 20} if counts is None else counts,
        chances={"fairway": 1.0},
        balls=0,
        origins={"carry": "stated"},
        landing=Landing(middle=ball, left=ball, right=ball) if landing else None,
        said=said,
        plays_m=None if plays is None else plays * Y,
        rise_m=rise * Y,
    )


def decision(
    *options,
    role=Role.TEE,
    lie="tee",
    front=400.0,
    to_hole=415.0,
    at_flag=None,
    short_side="",
    note="",
    jump=None,
    by_table=None,
    then=(),
    missed=(),
    needs=(),
):
    return Decision(
        role=role,
        stroke=1 if role is Role.TEE else 2,
        place=Place(x=0.0, y=0.0, lie=lie),
        to_hole_m=to_hole * Y,
        front_m=front * Y,
        middle_m=(front + 15) * Y,
        back_m=(front + 30) * Y,
        options=options,
        at_flag=at_flag,
        short_side=short_side,
        note=note,
        jump=jump,
        by_table=by_table,
        next=then,
        misses=missed,
        needs=needs,
    )


def location(tee=None, approaches=(), text="14 on, 5 from the left", on=14.0, **given):
    rest = {"origin": "published", "name": "", "why": "", "warning": "", "assumptions": (), **given}
    return LocationPlan(
        text=text,
        on_m=on * Y,
        xy=(0.0, 400 * Y),
        tee=decision(option(said=said())) if tee is None else tee,
        approaches=tuple(approaches),
        **rest,
    )


def round_plan(number, *locations, tee="back", up=0.0, wind=None):
    numbers = (number,) if isinstance(number, int) else tuple(number)
    winds = (
        ()
        if wind is None
        else (Wind(round=numbers[0], speed_mps=wind[0] * MPH_MPS, gust_mps=9.0, blows_from=wind[1]),)
    )
    return RoundPlan(
        rounds=numbers, tee=tee, up_m=up * Y, length_m=415 * Y, winds=winds, locations=tuple(locations)
    )


def hole(*rounds, label="7", findings=(), assumptions=(), notes=(), name="The Elbow"):
    return HolePlan(
        label=label,
        name=name,
        par=4,
        par_assumed=False,
        notes=tuple(notes),
        green_depth_m=30 * Y,
        green_width_m=28 * Y,
        rounds=tuple(rounds),
        findings=tuple(findings),
        assumptions=tuple(assumptions),
    )
