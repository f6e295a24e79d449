"""The score of a round from the scores of its holes, by hand; the scores and needs of planned holes."""

from __future__ import annotations

import json

import pytest

from strategy.plan.document import Plan
from strategy.plan.scores import round_scores
from tests.plan.hand import decision, hole, location, option, quoted, round_plan


def scored(scores, **given):
    tee = decision(option(quoted=quoted(), score_chances=scores))
    return location(tee, **given)


def test_a_round_adds_up_its_holes_at_their_first_location():
    one = hole(round_plan(1, scored({3: 0.5, 4: 0.5}), scored({9: 1.0})), label="1")
    two = hole(round_plan(1, scored({4: 0.25, 5: 0.75}, origin="proposed")), label="2")
    (found,) = round_scores([one, two], [1, 2])
    assert (found.round, found.holes, found.par, found.likely) == (1, 2, 8, 1)
    assert found.chances == {"7": 0.125, "8": 0.5, "9": 0.375}
    assert sum(found.chances.values()) == pytest.approx(1.0, abs=1e-12)
    assert found.mean == pytest.approx(3.5 + 4.75)
    assert found.tails == (7, 8, 9)


def test_one_in_ten_means_one_in_ten():
    even = dict.fromkeys(range(1, 21), 0.05)
    (found,) = round_scores([hole(round_plan(1, scored(even)))], [1])
    assert found.tails == (2, 10, 19)


def test_rounds_without_scores_are_left_out():
    assert round_scores([hole(round_plan(1, location()))], [1]) == ()
    assert round_scores([], [1]) == ()


@pytest.mark.slow
def test_a_plan_keeps_the_scores_of_holes_and_rounds(made):
    both = made[0]
    for planned in both.holes:
        for plan in planned.rounds:
            tee = plan.locations[0].tee
            scores = tee.first.score_chances
            assert sum(scores.values()) == pytest.approx(1.0, abs=1e-9)
            mean = sum(score * chance for score, chance in scores.items())
            # values settled to 0.002, chances kept to 1e-4
            assert mean == pytest.approx(tee.first.strokes, abs=0.003)
            assert sum(tee.score_counts.values()) == 20
            assert all(one.worth_saying for one in tee.needs)
    assert [one.round for one in both.round_scores] == [1, 2]
    first = both.round_scores[0]
    parts = [h.rounds[0].locations[0].tee.first.score_chances for h in both.holes]
    assert (first.holes, first.par, first.likely) == (2, 7, 0)
    assert first.mean == pytest.approx(
        sum(s * chance for scores in parts for s, chance in scores.items()), abs=1e-4
    )
    assert sum(first.chances.values()) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.slow
def test_they_stand_in_plan_json_and_plans_from_before_are_read_without_them(made):
    text = made[0].to_json()
    assert Plan.from_json(text).round_scores == made[0].round_scores

    data = json.loads(text)
    del data["round_scores"]
    for planned in data["holes"]:
        for plan in planned["rounds"]:
            for one in plan["locations"]:
                del one["tee"]["needs"]
    before = Plan.from_json(json.dumps(data))
    assert before.round_scores == ()
    assert before.holes[0].rounds[0].locations[0].tee.needs == ()
