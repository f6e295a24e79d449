"""scripts/words: how long the words of a plan are, and whether that is little enough."""

from __future__ import annotations

import dataclasses

import pytest

from tests.loading import script
from tests.plan.hand import decision, hole, location, option, quoted, round_plan
from tests.report.words.test_facts import trouble
from tests.report.words.test_plan_text import four, plan


@pytest.fixture(scope="module")
def words():
    return script("words")


def written(made, folder):
    (folder / "plan.json").write_text(made.to_json(), encoding="utf-8")
    return [str(folder)]


def test_numbers_are_counted_without_the_names_of_clubs(words):
    assert words.numbers_in("7-iron, 181 to carry, playing 176: costs 0.15.") == 3
    assert words.sentences("3-wood costs 0.15. Miss left.") == ["3-wood costs 0.15.", "Miss left."]


def test_it_measures_and_passes_what_is_short(words, tmp_path, capsys):
    assert words.main(written(plan(hole(four(1, "a", 14), four(2, "b", 20))), tmp_path)) == 0
    assert "characters of a hole and round" in capsys.readouterr().out


def test_a_sentence_that_is_too_long_fails(words, tmp_path, capsys):
    things = [
        trouble(f"{n}. right bunker of the far side of the hole", "open", near=270 + n, room=None)
        for n in range(4)
    ]
    tee = decision(option(quoted=quoted()))
    one = dataclasses.replace(tee, trouble=tuple(things))
    assert words.main(written(plan(hole(round_plan(1, location(one)))), tmp_path)) == 1
    assert "usual, hole 7: Not cleared" in capsys.readouterr().out


@pytest.mark.slow
def test_the_demo_plan_is_short_enough(words, demo_plan, tmp_path, capsys):
    assert words.main(written(demo_plan[0], tmp_path)) == 0, capsys.readouterr().out
