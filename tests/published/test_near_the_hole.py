"""The solved ground near the hole against published strokes, and the short side against the fat one.

M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2):146-165, 2012, Table 9: strokes
of the tour from 10 to 60 yd off fairway, rough and sand; up-and-down shares at 15 and 25 yd as quoted there
(one copy; facts, scoring, section 5). A player with the tour's default scatter, on a neutral round green of
12.2 m, averaged over hole locations 4 paces or more inside its edge and over balls all round
(`short_game_bench`). The short side: sanity case I of the numerics note (section 15), common practice.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from strategy.ball.air import Air, air
from strategy.codes import Lie, Spot, Surface
from strategy.course.frame import Frame
from strategy.decide import WholeHole, options, solve
from strategy.decide.solver.rounds import score_chances
from strategy.outcome.setup import lie_chances
from strategy.outcome.shot_table import shot_table
from strategy.outcome.table import ShotTable
from strategy.outcome.today import HoleToday
from strategy.outcome.weather import Weather, table_in
from strategy.strokes.baseline import strokes_from
from strategy.units import YARD_M
from tests.published.short_game_bench import LIES, RADIUS_M, places
from tests.published.test_short_game import UP_AND_DOWN
from tests.published.test_short_game import tour_player as player

pytestmark = pytest.mark.slow

CELL_M, HALF_M = 0.5, 90.0
ROUGH_CHANCES = (0.5, 0.35, 0.15)


def disc(hole: tuple[float, float], ground: Surface, table: ShotTable) -> HoleToday:
    """A flat round green in the middle of one kind of ground; stimpmeter 11."""
    x = -HALF_M + (np.arange(int(2 * HALF_M / CELL_M)) + 0.5) * CELL_M
    away = np.hypot(*np.meshgrid(x, x))
    surface = np.where(away < RADIUS_M, int(Surface.GREEN), int(ground)).astype(np.uint8)
    turn = np.linspace(0.0, 2.0 * np.pi, 60)
    return HoleToday(
        label="1",
        par=4,
        round=1,
        frame=Frame(2.0, 54.5),
        surface=surface,
        area=np.full(surface.shape, -1, dtype=np.int16),
        corner=(-HALF_M, -HALF_M),
        cell_m=CELL_M,
        lie_chance=lie_chances(ROUGH_CHANCES),
        tee=(0.0, -85.0),
        hole=hole,
        line=np.array([[0.0, -85.0], [0.0, 0.0]]),
        green=RADIUS_M * np.column_stack((np.cos(turn), np.sin(turn))),
        shots=table,
        longest_club_m=1.1557,
        right_handed=True,
        level=70.0,
        stimp_ft=11.0,
    )


@cache
def solved(hole: tuple[float, float], ground: Surface, firmness: float | None = None) -> WholeHole:
    if firmness is None:
        return solve(disc(hole, ground, shot_table(player(), stimp_ft=11.0)))
    there = air(player().measured_temperature_c, player().measured_height_m)
    still = Air(density=float(there.density), viscosity=float(there.viscosity))
    day = Weather(wind=None, air=still, stimp_ft=11.0, green=firmness, fairway=firmness)
    return solve(disc(hole, ground, table_in(player(), day)))


def ground_of(lie: str) -> Surface:
    return Surface.FAIRWAY if lie == "fairway" else Surface.ROUGH


def played(whole: WholeHole, ball: tuple[float, float], lie: str) -> tuple[float, float]:
    """Strokes and up-and-down share from a ball: a one-step lookahead from each of its lies."""
    strokes = saved = 0.0
    for one, chance in LIES[lie].items():
        spot = Spot(*ball, Lie(one))
        best = options(whole.today, spot, whole, keep=1)[0]
        strokes += chance * best.strokes
        chances = score_chances(whole, spot, best.choice, best.strokes, most=8, size=256)
        saved += chance * float(chances[:3].sum())
    return strokes, saved


def averaged(lie: str, yd: float, *, turns: int = 4) -> tuple[float, float]:
    total = np.zeros(2)
    for place in places(yd * YARD_M, rings=2, turns=turns):
        total += place.weight * np.array(played(solved(place.hole, ground_of(lie)), place.ball, lie))
    return float(total[0]), float(total[1])


@pytest.mark.parametrize("lie", ["fairway", "rough", "sand"])
@pytest.mark.parametrize("yd", [10, 20, 30, 40, 50, 60])
def test_strokes_are_those_of_table_9(lie: str, yd: int) -> None:
    lies = LIES[lie]
    published = sum(chance * float(strokes_from(yd * YARD_M, one)) for one, chance in lies.items())
    assert averaged(lie, yd)[0] == pytest.approx(published, abs=0.05)


@pytest.mark.parametrize("lie", ["fairway", "rough", "sand"])
def test_up_and_downs_are_the_published_ones(lie: str) -> None:
    for yd, share in zip((15, 25), UP_AND_DOWN[lie], strict=True):
        assert averaged(lie, yd)[1] == pytest.approx(share, abs=0.04)


OUT_M = RADIUS_M - 4 * YARD_M  # the hole is 4 yd from the right edge


def from_side(away_yd: float, side: int) -> float:
    """Strokes from rough, so far from the hole on the short side (1) or across the green (-1); firm."""
    whole = solved((OUT_M, 0.0), Surface.ROUGH, 1.0)
    return played(whole, (OUT_M + side * away_yd * YARD_M, 0.0), "rough")[0]


@pytest.mark.parametrize("away_yd", [25, 30, 35])
def test_at_equal_distance_the_short_side_of_a_firm_green_costs_more(away_yd: float) -> None:
    assert from_side(away_yd, 1) - from_side(away_yd, -1) >= 0.15


def test_case_i_10_off_the_near_edge_costs_more_than_15_off_the_far_one() -> None:
    """From the edges of the green: 14 yd from the hole against 37; a table by distance has it backwards."""
    wide = 2.0 * RADIUS_M / YARD_M
    assert from_side(4.0 + 10.0, 1) > from_side(wide - 4.0 + 15.0, -1)
    near, far = (strokes_from(d * YARD_M, Lie.ROUGH_GOOD) for d in (14.0, wide + 11.0))
    assert near < far
