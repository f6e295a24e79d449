"""Parts of a plan made by hand, in yards, for sentences and grouping."""

from __future__ import annotations

import dataclasses

from strategy.codes import Lie, Spot
from strategy.course.pins import GreenNumbers
from strategy.decide.option import Leave, Option, OptionError, Word
from strategy.plan.document import (
    Cut,
    Decision,
    HolePlan,
    LocationPlan,
    PlannedOption,
    Role,
    RoundPlan,
    Wind,
)
from strategy.plan.quoted import Finish, Quoted, Reach, Start, VisibleMark
from strategy.units import MPH_MPS, YARD_M

Y = YARD_M


def reach(what, kind, near, far, *, own_line=False):
    numbers = {"reach_m": near * Y, "carry_m": far * Y, "origin": "traced"}
    return Reach(what=what, kind=kind, own_line=own_line, **numbers)


def start(name="", part="", side=0.0):
    landmark = VisibleMark(name=name, part=part, origin="traced") if name else None
    return Start(landmark=landmark, side_m=side * Y, cost=0.0)


def quoted(of="fairway", side=0.0, past=0.0, *, begin=None, reaches=(), full=True, room=(5.0, 5.0)):
    return Quoted(
        finish=Finish(of=of, side_m=side * Y, past_m=past * Y, origin="traced"),
        start=begin,
        reaches=tuple(reaches),
        full=full,
        run_m=0.0,
        room_m=None if room is None else (room[0] * Y, room[1] * Y),
        depth_room_m=None if room is None else (0.0, 0.0),
    )


def option(
    label="driver",
    carry=285.0,
    *,
    cost=0.0,
    word=Word.EVEN,
    counts=None,
    aim=(0.0, 300 * Y),
    quoted=None,
    leaves=None,
    plays=None,
    rise=0.0,
    lonlat=(2.0, 54.5),
    **given,
):
    """An option as planned; its parts that no sentence quotes are plain."""
    club, _, shot = label.partition(", ")
    ball = Spot(0.0, 300 * Y, Lie.FAIRWAY)
    leave = None
    if leaves is not None:
        ends = (leaves[0] * Y, leaves[1] * Y)
        leave = Leave(middle=ball, left=ball, right=ball, to_front_m=ends)
    judged = Option(
        club=club,
        shot=shot,
        label=label,
        index=0,
        carry_m=carry * Y,
        heading=0.0,
        aim=aim,
        aim_lonlat=lonlat,
        start_line=0.0,
        strokes=4.0 + cost,
        error=OptionError(sampling=0.001),
        cost=cost,
        cost_error=0.004,
        word=word,
        counts={"fairway": 20} if counts is None else counts,
        chances={"fairway": 1.0},
        leave=leave,
        plays_m=None if plays is None else plays * Y,
        rise_m=rise * Y,
        **given,
    )
    return PlannedOption(option=judged, quoted=quoted, balls=0, origins={"carry": "stated"})


def changed(planned, **changes):
    """A planned option with other fields of its option."""
    return dataclasses.replace(planned, option=dataclasses.replace(planned.option, **changes))


def green(front):
    """A green 30 deep and 28 wide, seen from so far to its front."""
    far = {"front_m": front * Y, "middle_m": (front + 15) * Y, "back_m": (front + 30) * Y}
    return GreenNumbers(**far, depth_m=30 * Y, width_m=28 * Y)


def decision(
    *options,
    role=Role.TEE,
    lie=Lie.TEE,
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
        spot=Spot(0.0, 0.0, lie),
        to_hole_m=to_hole * Y,
        green=green(front),
        options=options,
        at_flag=at_flag,
        short_side=short_side,
        note=note,
        jump=jump,
        by_table=by_table,
        next_shots=then,
        misses=missed,
        needs=needs,
    )


def location(tee=None, approaches=(), text="14 on, 5 from the left", on=14.0, *, warning="", **cut):
    return LocationPlan(
        cut=Cut(**{"text": text, "on_m": on * Y, "xy": (0.0, 400 * Y), "origin": "published", **cut}),
        warning=warning,
        assumptions=(),
        tee=decision(option(quoted=quoted())) if tee is None else tee,
        approaches=tuple(approaches),
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
        green=green(400.0),
        rounds=tuple(rounds),
        findings=tuple(findings),
        assumptions=tuple(assumptions),
    )
