"""Which option is said first: stock, then taste, among even ones; the clearer way where trees decide."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_player, a_shot, squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field
from strategy.decide.aims import Aims
from strategy.decide.option import EVEN
from strategy.decide.options import judged_options
from strategy.outcome.play import Choice
from strategy.outcome.today import Canopy
from strategy.plan.advice.order import CLEARER, FEWER, by_taste, clearer_first, counts_as_stock, in_order
from strategy.strokes.baseline import Baseline
from tests.worlds import an_option


def option(index, cost, *, name="stock", tree_share=0.0):
    return an_option(index, shot=name, strokes=4.0 + cost, cost=cost, tree_share=tree_share)


def fairway(x, y):
    return np.full(x.shape, int(Surface.FAIRWAY))


FOUND = tuple(option(i, c) for i, c in enumerate((0.0, 0.004, 0.012, 0.05)))


def bag(*not_stock, likes=(), dislikes=()):
    shots = [dataclasses.replace(a_shot(f"c{i}", 100, 3, 4), stock=i not in not_stock) for i in range(4)]
    return dataclasses.replace(a_player(*shots), likes=likes, dislikes=dislikes)


def order(found, player):
    return "".join(o.label[1] for o in by_taste(found, player))


@pytest.mark.parametrize(
    ("likes", "dislikes", "expected"),
    [
        ((), (), "0123"),
        (("s2",), (), "2013"),
        (("C2",), (), "2013"),  # the club, whatever its letters
        ((), ("s0",), "1203"),
        (("s3",), (), "0123"),  # what costs more never moves up
        (("s2",), ("s0", "s1"), "2013"),
    ],
)
def test_taste_chooses_among_answers_within_two_hundredths(likes, dislikes, expected):
    assert order(FOUND, bag(likes=likes, dislikes=dislikes)) == expected
    assert FOUND[2].cost < EVEN <= FOUND[3].cost


@pytest.mark.parametrize(
    ("not_stock", "likes", "expected"),
    [
        ((0,), (), "1203"),
        ((0, 1), (), "2013"),
        ((0, 1, 2), (), "0123"),  # s3 is stock, but not even
        ((0,), ("s0",), "1203"),  # stock before what is liked
        ((0,), ("s2",), "2103"),
    ],
)
def test_among_even_answers_stock_shots_come_first_then_taste(not_stock, likes, expected):
    assert order(FOUND, bag(*not_stock, likes=likes)) == expected


@pytest.mark.parametrize(
    ("player", "why"),
    [
        (bag(), ""),
        (bag(0), "stock"),
        (bag(likes=("s1",)), "liked"),
        (bag(dislikes=("s0",)), "disliked"),
        (bag(3), ""),
    ],
)
def test_a_dearer_first_answer_says_why(player, why):
    today_ = squared(260, 200, fairway, a_shot("iron", 165, 6, 6), hole=(5.0, 150.0))
    field = cost_field(today_, Baseline(today_))
    found = in_order(field, Spot(0.0, 0.0, Lie.FAIRWAY), FOUND, player, 1)
    assert found.why == why
    assert (found.options[0].cost > 0.0) == bool(why)
    assert sorted(o.index for o in found.options) == [0, 1, 2, 3]


def test_a_shorter_swing_of_the_stock_shape_counts_as_stock_and_another_flight_does_not():
    stock = a_shot("wedge", 100, 3, 4, bend=4)
    others = (
        a_shot("wedge", 80, 3, 4, name="half"),  # nothing said of its flight
        a_shot("wedge", 80, 3, 4, bend=3, name="soft"),
        a_shot("wedge", 80, 3, 4, bend=-3, name="draw"),
        dataclasses.replace(a_shot("wedge", 80, 3, 4, name="low"), height="low"),
        a_shot("wedge", 99, 3, 4, name="hard"),  # no shorter swing
    )
    pitch = dataclasses.replace(a_shot("wedge", 30, 3, 4, name="pitch"), stock=False, short=True)
    shots = (stock, *(dataclasses.replace(s, stock=False) for s in others), pitch)
    player = a_player(*shots)
    counted = {shots[i].name for i in range(len(shots)) if counts_as_stock(player, i)}
    assert counted == {"stock", "half", "soft", "pitch"}


# --- trees ---------------------------------------------------------------------------------------------

SPOT = Spot(0.0, 0.0, Lie.RECOVERY)
IRON, CHIP = Choice(0, 0.0, 140.0), Choice(1, 60.0, 25.0)  # through a crown 8 m deep; out sideways


def wood(x, y):
    inside = (np.abs(x) < 9.0) & (y > -5.0) & (y < 16.0)
    return np.where(inside, int(Surface.TREES), int(Surface.FAIRWAY))


def among_trees(crown_m):
    """A wall of branches 8 m deep ahead of the ball, nothing beside it: what comes through is `crown_m`."""
    shots = (a_shot("iron", 153, 6, 6), a_shot("chip", 27, 2, 2))
    today_ = squared(260, 200, wood, *shots, hole=(0.0, 150.0))
    centres = today_.centres()
    wall = (np.abs(centres[..., 1] - 10.0) < 4.0) & (np.abs(centres[..., 0]) < 7.0)
    top = np.where(wall, 60.0, 0.0)
    canopy = Canopy.of(top, 0.0 * top, today_.cell_m, crown_m=crown_m)
    return dataclasses.replace(today_, canopy=canopy)


def judged(crown_m):
    """Both ways out on a hole laid out afresh, cheapest first."""
    today_ = among_trees(crown_m)
    field = cost_field(today_, Baseline(today_))
    return field, judged_options(field, SPOT, Aims.of([IRON, CHIP]), guess=3.5)


def iron_costs(found):
    by = {o.club: o.strokes for o in found}
    return by["iron"] - by["chip"]


def test_where_the_choice_turns_on_how_many_come_through_the_chip_comes_first_and_says_so():
    seen = set()
    for crown_m in (2.0, 5.0, 7.0, 9.0, 11.0, 14.0, 18.0, 24.0, 60.0):
        field, found = judged(crown_m)
        tree_share = {o.club: o.tree_share for o in found}
        assert tree_share["iron"] == pytest.approx(1.0 - np.exp(-8.0 / crown_m), abs=0.04)
        fewer, taken, more = (iron_costs(judged(crown_m * f)[1]) for f in (FEWER, 1.0, 1.0 / FEWER))
        first, turns = clearer_first(field, SPOT, found, 1)
        if tree_share["iron"] - tree_share["chip"] < CLEARER:
            expected = "told"
            assert turns is None
        elif taken < 0.0 < fewer:
            expected = "fewer"
            assert (first.club, turns.label) == ("chip", "iron")
            assert turns.costs == pytest.approx(taken, abs=1e-6)
            assert turns.other_costs == pytest.approx(fewer, abs=0.02)
            assert turns.other_clears < turns.clears == pytest.approx(1.0 - tree_share["iron"])
        elif more < 0.0 < taken:
            expected = "more"
            assert (first.club, turns.label) == ("chip", "iron")
            assert turns.other_costs == pytest.approx(more, abs=0.02)
            assert turns.other_clears > turns.clears
        else:
            expected = "iron" if taken < 0.0 else "chip"
            assert (first.club, turns) == (expected, None)
        seen.add(expected)
    assert seen >= {"chip", "more", "fewer", "iron"}


def test_the_order_puts_the_chip_first_at_its_cost():
    field, found = next(
        (field, found)
        for field, found in map(judged, np.arange(5.0, 30.0, 1.0))
        if -0.1 < iron_costs(found) < -0.01
    )
    player = a_player(a_shot("iron", 153, 6, 6), a_shot("chip", 27, 2, 2))
    ordered = in_order(field, SPOT, found, player, 1)
    assert [o.club for o in ordered.options] == ["chip", "iron"]
    assert ordered.why == "trees"
    assert ordered.options[0].cost == pytest.approx(-iron_costs(found))
    assert ordered.options[1].cost == 0.0
    # From a tee, and without trees, the cheapest stays first.
    tee = in_order(field, SPOT._replace(lie=Lie.TEE), found, player, 1)
    assert (tee.options[0].club, tee.why, tee.through) == ("iron", "", None)
