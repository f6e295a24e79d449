"""One hole set up for one player and one round: what of the files reaches it."""

from __future__ import annotations

import dataclasses

from strategy.outcome.setup import today
from tests.worlds import a_player, a_shot, a_week, case


def test_the_doubtful_swing_of_the_player_is_there_and_widens_no_committed_swing():
    hole, _, pin = case("C")
    player = a_player(a_shot("wedge", 95, 3, 5))
    plain = today(hole, player, a_week(), pin=pin)
    doubting = today(hole, dataclasses.replace(player, doubtful_swing=1.4), a_week(), pin=pin)
    assert (plain.doubtful_swing, doubting.doubtful_swing) == (1.0, 1.4)
    assert (doubting.shots.covariance == plain.shots.covariance).all()
