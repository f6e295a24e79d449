"""Shots round the green against published strokes, on a neutral green (`short_game_bench`).

M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2):146-165, 2012, Table 9: strokes
of the tour from 10 to 60 yd off fairway, rough and sand. Up-and-down shares of the tour at 15 and 25 yd as
quoted in the numerics note, section 9.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from strategy.ball.air import Air, air
from strategy.codes import Lie
from strategy.outcome.shot_table import shot_table
from strategy.outcome.table import ShotTable
from strategy.outcome.weather import Weather, table_in
from strategy.player import Player, read_player
from strategy.strokes.baseline import strokes_from
from strategy.units import YARD_M
from tests.published.short_game_bench import LIES, MARGIN_M, RADIUS_M, ROUGH, Green, measured

PLAYER = Path(__file__).parents[2] / "courses" / "players" / "tour-left-fade.toml"
UP_AND_DOWN = {"fairway": (0.69, 0.54), "rough": (0.51, 0.35), "sand": (0.51, 0.42)}

pytestmark = pytest.mark.slow


@cache
def tour_player() -> Player:
    return read_player(PLAYER)


def _published(lie: str, yd: float) -> float:
    lies = ROUGH if lie == "rough" else LIES[lie]
    return float(sum(chance * strokes_from(yd * YARD_M, one) for one, chance in lies.items()))


@pytest.mark.parametrize("lie", ["fairway", "rough", "sand"])
def test_strokes_and_up_and_downs_are_the_published_ones(lie: str) -> None:
    table = shot_table(tour_player(), stimp_ft=11.0)
    found = {yd: (q, u) for _, yd, q, u in measured(table, (10, 20, 30, 40, 50, 60, 15, 25), lies=(lie,))}
    for yd in (10, 20, 30, 40, 50, 60):
        assert found[yd][0] == pytest.approx(_published(lie, yd), abs=0.05), yd
    for yd, share in zip((15, 25), UP_AND_DOWN[lie], strict=True):
        assert found[yd][1] == pytest.approx(share, abs=0.04), yd


def _firm(green: float) -> ShotTable:
    player = tour_player()
    there = air(player.measured_temperature_c, player.measured_height_m)
    still = Air(density=float(there.density), viscosity=float(there.viscosity))
    return table_in(player, Weather(wind=None, air=still, stimp_ft=11.0, green=green, fairway=green))


def test_the_short_side_of_a_firm_green_costs_more_than_the_fat_side() -> None:
    out = RADIUS_M - 4 * YARD_M  # the hole is 4 yd from the edge
    green = Green(_firm(1.0), "rough")

    def strokes(from_centre: float) -> float:
        return float(green.strokes((out, 0.0), np.array([[from_centre, 0.0]]), "rough")[0][0])

    for yd in (25, 30, 35):
        assert strokes(out + yd * YARD_M) - strokes(out - yd * YARD_M) > 0.15
    # 10 yd off the near edge against 15 yd off the far one, which is 24 yd further from the hole
    near, far = strokes(RADIUS_M + 10 * YARD_M), strokes(-RADIUS_M - 15 * YARD_M)
    assert near - far > 0.05
    by_distance = [float(strokes_from(d * YARD_M, Lie.ROUGH_GOOD)) for d in (14.0, 37.7)]
    assert by_distance[0] < by_distance[1]  # the published average has it the other way round


def test_a_firm_green_makes_the_short_side_dearer() -> None:
    ball = np.array([[RADIUS_M + 6 * YARD_M, 0.0]])
    hole = (RADIUS_M - MARGIN_M, 0.0)
    firm, normal = (Green(_firm(f), "rough").strokes(hole, ball, "rough")[0][0] for f in (1.0, 0.0))
    assert firm - normal > 0.05
