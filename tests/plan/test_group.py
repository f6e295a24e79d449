"""Tee shots and lay-ups that are the same answer are said once."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.plan.document import Role
from strategy.plan.group import same_answer, shared_lay_up, tee_groups
from strategy.units import YARD_M
from tests.plan.hand import decision, hole, location, option, quoted, round_plan


def shifted(side, *, label="driver", room=(5.0, 5.0)):
    best = option(label=label, aim=(side * YARD_M, 300 * YARD_M), quoted=quoted(room=room))
    return decision(best)


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (shifted(4), True),
        (shifted(-5.9), True),  # a yard beyond the room is no other answer
        (shifted(7), False),
        (shifted(4, label="3-wood"), False),
        (shifted(4, room=(1.0, 1.0)), False),  # good for the one, not for the other
    ],
)
def test_the_same_shot_within_the_room_of_both_is_one_answer(other, same):
    assert same_answer(shifted(0), other) is same
    assert same_answer(other, shifted(0)) is same


def test_shots_counted_from_the_hole_are_never_one_answer():
    by_hole = decision(option(quoted=quoted(of="hole", room=None)))
    assert not same_answer(by_hole, by_hole)


def test_equal_tee_shots_are_grouped_and_others_stand_apart():
    plans = [
        round_plan(n, location(tee=shifted(side), text=f"{n} on, centre"))
        for n, side in ((1, 0), (2, 3), (3, 20), (4, -2))
    ]
    groups = tee_groups(hole(*plans))
    assert [[p.rounds[0] for p, _ in g.where] for g in groups] == [[1, 2, 4], [3]]
    assert [[p.rounds[0] for p, _ in g.where] for g in tee_groups(hole(*plans), (2, 3))] == [[2], [3]]


def test_other_markers_are_another_group():
    near = dataclasses.replace(round_plan(2, location(tee=shifted(0))), up_m=20.0)
    groups = tee_groups(hole(round_plan(1, location(tee=shifted(0))), near))
    assert [[(p.rounds, p.up_m) for p, _ in g.where] for g in groups] == [[((1,), 0.0)], [((2,), 20.0)]]


def test_a_lay_up_is_shared_only_when_every_location_has_it():
    def lays_up(side):
        tee = shifted(0)
        best = option(
            label="5-iron",
            aim=(side * YARD_M, 480 * YARD_M),
            quoted=quoted(room=(3.0, 3.0)),
            leaves=(90, 110),
        )
        second = dataclasses.replace(decision(best), role=Role.MIDDLE, stroke=2)
        return location(tee=tee, approaches=(second,))

    def group(*sides):
        (found,) = tee_groups(hole(*(round_plan(n, lays_up(s)) for n, s in enumerate(sides, start=1))))
        return shared_lay_up(found)

    shared = group(0, 2)
    assert shared is not None
    assert np.allclose(shared.first.aim, (0.0, 480 * YARD_M))
    assert group(0, 9) is None
    assert group(0) is None
