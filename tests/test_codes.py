"""The code lists: names and words of surfaces and lies."""

from __future__ import annotations

import pytest

from strategy.codes import LIE_WORDS, ROUGH_LIES, Lie
from strategy.player.defaults import LIE_WORDS as OF_A_FILE


@pytest.mark.parametrize("lie", [lie for lie in Lie if lie is not Lie.GREEN])
def test_every_lie_that_is_said_is_read_back_as_itself(lie):
    assert LIE_WORDS[lie.said] == (lie,)
    assert Lie.of_label(lie.label) is lie


def test_a_player_file_has_one_word_for_each_lie_and_one_for_any_rough():
    single = [lies for lies in OF_A_FILE.values() if len(lies) == 1]
    assert sorted(lie for lies in single for lie in lies) == sorted(set(Lie) - {Lie.GREEN})
    assert {word for word, lies in OF_A_FILE.items() if len(lies) > 1} == {"rough"}
    assert OF_A_FILE["rough"] == frozenset(ROUGH_LIES)
