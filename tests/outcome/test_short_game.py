"""Rows of shots round the green: landing, run, slope, lies, the day."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from strategy.ball.air import Air, air
from strategy.ball.launch import Known, infer
from strategy.codes import Lie, Surface
from strategy.errors import PlayerError
from strategy.outcome import short_game
from strategy.outcome.shot_table import shot_table
from strategy.outcome.table import ShotTable
from strategy.outcome.weather import Weather, table_in
from strategy.player import Player, read_player
from strategy.units import YARD_M
from strategy.week.model import WindHour

PLAYERS = Path(__file__).parents[2] / "courses" / "players"


@cache
def player() -> Player:
    return read_player(PLAYERS / "scratch-right-draw.toml")


@cache
def day(green: float = 0.0, wind: float = 0.0) -> ShotTable:
    there = air(player().measured_temperature_c, player().measured_height_m)
    blows = WindHour(hour=10.0, speed_mps=wind, gust_mps=wind, blows_from=0.0) if wind else None
    still = Air(density=float(there.density), viscosity=float(there.viscosity))
    return table_in(player(), Weather(wind=blows, air=still, stimp_ft=11.0, green=green))


def row(name: str) -> int:
    return next(i for i, s in enumerate(player().shots) if s.name == name)


SHORT = [i for i, s in enumerate(player().shots) if s.short]


def test_the_table_says_which_shots_are_short_and_how_they_shrink() -> None:
    table = day()
    assert np.flatnonzero(table.short).tolist() == SHORT
    assert table.shrink.tolist() == [s.shrink for s in player().shots]
    assert (table.shrink[~table.short] == 1.0).all()


def test_a_calm_day_is_the_table_as_stated() -> None:
    stated, calm = shot_table(player(), stimp_ft=11.0), day()
    for name in ("carry", "least", "covariance", "run", "run_sd", "rise", "mishit_share"):
        one, other = getattr(stated, name)[SHORT, :, 0], getattr(calm, name)[SHORT, :, 0]
        played = stated.allowed[SHORT]
        np.testing.assert_allclose(one[played], other[played], rtol=0.02, atol=0.03, err_msg=name)


def test_a_lob_stops_a_chip_runs_and_grass_on_the_face_lets_both_run() -> None:
    run, carry = day().run[..., 0, Surface.GREEN], day().carry[..., 0]
    share = run / carry
    assert share[row("lob"), Lie.FAIRWAY] < share[row("pitch"), Lie.FAIRWAY] + 0.02
    assert share[row("pitch"), Lie.FAIRWAY] < 0.3
    assert 0.7 < share[row("chip"), Lie.FAIRWAY] < 1.2
    for name in ("chip", "pitch", "lob"):
        assert run[row(name), Lie.ROUGH_POOR] > 1.2 * run[row(name), Lie.FAIRWAY]


def test_firm_greens_run_and_rough_holds() -> None:
    normal, firm = day(), day(green=1.0)
    at = (SHORT, slice(None), 0)
    played = normal.allowed[SHORT]
    green = firm.run[(*at, Surface.GREEN)] / normal.run[(*at, Surface.GREEN)]
    assert (green[played] > 1.2).all()
    rough, fairway = normal.run[(*at, Surface.ROUGH)], normal.run[(*at, Surface.FAIRWAY)]
    assert (rough[played] < 0.3 * fairway[played]).all()
    assert (normal.run[(*at, Surface.BUNKER)] == 0.0).all()


def test_lies_widen_round_the_green_by_effects_of_their_own() -> None:
    sd = np.sqrt(day().covariance[row("pitch"), :, 0, 1, 1]) / player().shots[row("pitch")].spread.depth_m
    for lie in (Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER):
        assert sd[lie] == pytest.approx(player().short_effects[lie].scatter)
    assert sd[Lie.FAIRWAY] < sd[Lie.FIRST_CUT] < sd[Lie.ROUGH_GOOD] < sd[Lie.JUMPER] < sd[Lie.ROUGH_POOR]


def test_a_head_wind_shortens_a_lob_more_than_a_chip_and_leaves_the_shortest_dial() -> None:
    # A low slow ball with backspin is even held up by it: the law of the flight, not measured so low.
    into, calm = day(wind=8.0), day()  # row 0 of the headings is straight into it
    lost = 1.0 - into.carry[:, Lie.FAIRWAY, 0] / calm.carry[:, Lie.FAIRWAY, 0]
    assert -0.1 < lost[row("chip")] < lost[row("lob")] < 0.35
    assert lost[row("lob")] > 0.05
    np.testing.assert_allclose(into.least[SHORT][:, Lie.FAIRWAY, 0], calm.least[SHORT][:, Lie.FAIRWAY, 0])


def test_a_seven_iron_on_three_per_cent() -> None:
    # physics facts, section 4: 10.6 yd down and 2.9 up 3 %, so that a slope s is worth exp(-21.6 s)
    calm = infer([Known(club="7-iron", carry_m=178 * YARD_M)]).calm
    level = short_game.runs(calm)
    fall = short_game.falls(calm, level)[3, 0]
    assert fall == pytest.approx(np.log(10.6 / 2.9) / 0.06, abs=2.5)
    for slope in (-0.03, -0.015, 0.015, 0.03):
        there = short_game.runs(calm, slope=slope)[3, 0]
        assert level[3, 0] * np.exp(-fall * slope) == pytest.approx(there, rel=0.15)


def test_slopes_change_every_run_downhill_more_than_nothing_and_within_bounds() -> None:
    fall = day().fall[:, Lie.FAIRWAY, 0]
    for surface in (Surface.FAIRWAY, Surface.GREEN):
        assert (fall[:, surface] > 0.0).all()
        assert (fall[:, surface] <= short_game.MOST_FALL).all()
    assert (fall[:, Surface.BUNKER] == 0.0).all()


def test_a_lip_nothing_long_clears_still_leaves_one_long_shot() -> None:
    steep = replace(
        player(),
        lie_effects={
            **player().lie_effects,
            Lie.SAND: replace(player().lie_effects[Lie.SAND], lip_deg=46.0),
        },
    )
    allowed = table_in(steep, Weather(wind=None, air=air_of())).allowed[:, Lie.SAND]
    assert allowed[~day().short].sum() == 1
    assert allowed[row("bunker shot")]
    assert not allowed[row("long bunker shot")]


def air_of() -> Air:
    there = air(player().measured_temperature_c, player().measured_height_m)
    return Air(density=float(there.density), viscosity=float(there.viscosity))


def bag(tmp_path: Path, club: str, carry: float, lines: str = "") -> Player:
    path = tmp_path / "player.toml"
    head = 'name = "A"\nhand = "right"\n[[shots]]\nclub = "7-iron"\ncarry = 150\n'
    path.write_text(f'{head}[[shots]]\nclub = "{club}"\ncarry = {carry}\n{lines}\n', encoding="utf-8")
    return read_player(path)


@pytest.mark.parametrize("club", ["L", "the old blade", "wedge of my father"])
def test_a_wedge_under_any_name_plays_the_short_game(tmp_path: Path, club: str) -> None:
    named, known = (table_in(bag(tmp_path, c, 85), Weather(wind=None, air=air_of())) for c in (club, "60"))
    short = np.flatnonzero(named.short)
    assert len(short) == 7
    assert {named.clubs[s] for s in short if "chip" not in named.names[s]} == {club}
    for name in ("carry", "run", "apex", "fall"):
        one, other = getattr(named, name)[short], getattr(known, name)[short]
        np.testing.assert_allclose(one, other, rtol=2e-3, atol=0.02, err_msg=name)


def test_a_bag_of_one_wood_without_a_number_plays_the_short_game(tmp_path: Path) -> None:
    path = tmp_path / "player.toml"
    path.write_text('name = "A"\nhand = "right"\n[[shots]]\nclub = "wood"\ncarry = 200\n', encoding="utf-8")
    table = table_in(read_player(path), Weather(wind=None, air=air_of()))
    assert set(table.clubs) == {"wood"}
    assert table.short.sum() == 7
    assert np.isfinite(table.run[table.short]).all()


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            'shape = "draw"\ncurve = 70',
            "shots (old blade, stock).curve: a curve of 64.0 m (70 yd) is more than a ball does",
        ),
        (
            "launch = 60\nspin = 9000",
            "shots (old blade, stock).carry: no strike of this club carries 301.8 m (330 yd). The model gets",
        ),
    ],
)
def test_a_shot_no_ball_flies_is_named_by_file_and_key(tmp_path: Path, lines: str, said: str) -> None:
    who = bag(tmp_path, "old blade", 330 if "launch" in lines else 100, lines)
    with pytest.raises(PlayerError) as caught:
        table_in(who, Weather(wind=None, air=air_of()))
    assert str(caught.value).startswith(f"{tmp_path / 'player.toml'}: {said}")
