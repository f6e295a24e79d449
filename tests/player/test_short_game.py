"""Shots that a player file need not state: round the green, and out of trees."""

from __future__ import annotations

from pathlib import Path

import pytest

from strategy.codes import Lie
from strategy.errors import InputErrors
from strategy.player import Player, read_player
from strategy.units import YARD_M

BAG = """
name = "Somebody"
hand = "right"
level = {level}
{more}
[[shots]]
club = "5-iron"
carry = 195
[[shots]]
club = "7-iron"
carry = 170
[[shots]]
club = "9-iron"
carry = 145
[[shots]]
club = "pitching wedge"
carry = 132
[[shots]]
club = "lob wedge"
carry = 90
{shots}
"""


def player(tmp_path: Path, more: str = "", shots: str = "", level: float = 70) -> Player:
    path = tmp_path / "player.toml"
    path.write_text(BAG.format(more=more, shots=shots, level=level), encoding="utf-8")
    return read_player(path)


def test_the_bag_plays_every_shot_round_the_green_with_a_club_it_has(tmp_path: Path) -> None:
    who = player(tmp_path)
    short = {s.name: s for s in who.shots if s.short}
    assert list(short) == [
        *("long pitch", "long lob", "pitch", "chip", "lob"),
        *("long bunker shot", "bunker shot"),
    ]
    assert short["chip"].club == "9-iron"
    assert short["lob"].club == short["bunker shot"].club == "lob wedge"
    assert {s.club for s in short.values()} <= {s.club for s in who.practised}
    assert len({s.label for s in who.shots}) == len(who.shots)
    assert short["bunker shot"].lies == {Lie.SAND}
    assert all(Lie.SAND not in s.lies for s in short.values() if "bunker" not in s.name)
    assert all({"shot", "scatter", "run"} <= set(s.assumed) and not s.stock for s in short.values())
    # what the file states comes first, so that its shots keep their places
    assert who.shots[: len(who.practised)] == who.practised
    assert len(who.practised) == 5


def test_every_distance_from_3_yards_on_can_be_dialled(tmp_path: Path) -> None:
    short = [s for s in player(tmp_path).shots if s.short]
    for lie in (Lie.FAIRWAY, Lie.ROUGH_POOR, Lie.SAND):
        reach = [(s.carry_least_m / YARD_M, s.carry_m / YARD_M) for s in short if lie in s.lies]
        for yd in range(3, 55):
            gaps = 4.0 if lie == Lie.SAND else 0.0  # what a bunker shot runs on lies between its two carries
            assert any(low - gaps <= yd <= high for low, high in reach), (lie, yd)


def test_scatter_is_the_level_s_or_the_player_s_own(tmp_path: Path) -> None:
    def side(who: Player, name: str) -> float:
        return next(s.spread.side_m for s in who.shots if s.name == name)

    tour, ninety = player(tmp_path), player(tmp_path, level=90)
    assert side(ninety, "pitch") == pytest.approx(1.85 * side(tour, "pitch"))
    own = player(tmp_path, "[short_game]\nscatter = 0.9\nchip = 1.2\nwithout = ['lob']")
    assert side(own, "pitch") == pytest.approx(0.9 * side(tour, "pitch"))
    assert side(own, "chip") == pytest.approx(1.2 * side(tour, "chip"))
    assert not any("lob" in s.name for s in own.shots)
    assert next(s.assumed for s in own.shots if s.name == "chip") == ("shot", "run")


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("without = ['chip', 'pitch']", "without chip and pitch"),
        ("without = ['putt']", "without"),
        ("scatter = 90", "per cent"),
    ],
)
def test_a_short_game_that_cannot_be_meant_is_refused(tmp_path: Path, table: str, message: str) -> None:
    with pytest.raises(InputErrors, match=message):
        player(tmp_path, f"[short_game]\n{table}")


def test_out_of_trees_there_is_a_punch_unless_the_player_has_a_low_shot(tmp_path: Path) -> None:
    low = [s for s in player(tmp_path).shots if s.name in ("punch", "chip-out")]
    assert [(s.name, s.club) for s in low] == [
        ("punch", "5-iron"),
        ("punch", "7-iron"),
        ("chip-out", "7-iron"),
        ("chip-out", "9-iron"),
    ]
    assert all(s.lies == {Lie.ROUGH_POOR, Lie.RECOVERY} and not s.short for s in low)
    assert max(s.apex_m for s in low if s.name == "chip-out") < 2.6
    own = player(tmp_path, shots='[[shots]]\nclub = "7-iron"\nshot = "low"\ncarry = 150\nheight = "low"')
    assert [s.name for s in own.shots if s.name in ("punch", "chip-out")] == ["chip-out", "chip-out"]


def test_one_iron_for_both_is_one_shot_dialled_all_the_way(tmp_path: Path) -> None:
    path = tmp_path / "player.toml"
    path.write_text('name = "A"\nhand = "left"\n[[shots]]\nclub = "7-iron"\ncarry = 150\n', encoding="utf-8")
    who = read_player(path)
    punch = next(s for s in who.shots if s.name == "punch")
    assert [s.name for s in who.shots].count("punch") == 1
    assert punch.carry_m / YARD_M == pytest.approx(0.92 * 150)
    assert punch.carry_least_m / YARD_M == pytest.approx(60)
    assert {s.club for s in who.shots} == {"7-iron"}  # and it does for the short game too
