"""Shots that a player file need not state: round the green, and out of trees."""

from __future__ import annotations

from pathlib import Path

import pytest

from strategy.codes import Lie
from strategy.errors import InputErrors
from strategy.player import Player, Shot, read_player
from strategy.reference.spread import landing_scatter
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


def _half(tmp_path: Path, lines: str, wedges: str = "") -> Player:
    shot = f'[[shots]]\nclub = "lob wedge"\nshot = "half"\ncarry = 60\n{lines}\n{wedges}'
    return player(tmp_path, shots=shot)


def _assumed_at(who: Player, yd: float, lie: Lie) -> list[Shot]:
    """Assumed shots round the green that can be dialled to a carry."""
    at = yd * YARD_M
    return [
        s
        for s in who.shots
        if s.short and lie in s.lies and s.carry_least_m < at - 1e-9 and at + 1e-9 < s.carry_m
    ]


def test_no_assumed_shot_is_played_where_the_player_states_one(tmp_path: Path) -> None:
    who = _half(tmp_path, "side = 4\ndepth = 7\nballs = 30")
    for yd in (57.5, 58, 59, 60):
        assert not _assumed_at(who, yd, Lie.FAIRWAY)
        assert not _assumed_at(who, yd, Lie.TEE)
        # from which lies it is played is not stated: those that are not clean keep the assumed shot
        rough = [s.label for s in _assumed_at(who, yd, Lie.ROUGH_POOR)]
        assert rough == ["pitching wedge, long pitch"]
    # between the player's own shots it is theirs taken down, with the same club
    (under,) = _assumed_at(who, 50, Lie.FAIRWAY)
    assert under.label == "lob wedge, long pitch under the half"
    assert under.carry_m / YARD_M == pytest.approx(57)
    rough = _half(tmp_path, 'side = 4\ndepth = 7\nlies = ["fairway", "rough"]')
    assert not _assumed_at(rough, 58, Lie.ROUGH_POOR)
    sand = _half(tmp_path, 'side = 4\ndepth = 7\nlies = ["sand"]')
    assert not _assumed_at(sand, 58, Lie.SAND)
    assert _assumed_at(sand, 58, Lie.FAIRWAY)
    assert len({s.label for s in rough.shots}) == len(rough.shots)


def test_a_carry_alone_is_a_shot_stated_but_not_a_carry_that_is_assumed(tmp_path: Path) -> None:
    assert not _assumed_at(player(tmp_path, shots='[wedges]\n"lob wedge" = { half = 55 }'), 54, Lie.FAIRWAY)
    named = player(tmp_path, shots='[[shots]]\nclub = "58"\ncarry = 61\n[[shots]]\nclub = "58"\nshot = "low"')
    low = next(s for s in named.practised if s.label == "58, low")
    assert "carry" in low.assumed
    assert _assumed_at(named, low.carry_m / YARD_M - 0.5, Lie.FAIRWAY)


def test_what_is_not_stated_can_still_be_dialled_to_within_two_yards(tmp_path: Path) -> None:
    partial = '[wedges]\n"lob wedge" = { quarter = 38, half = 52 }\n"pitching wedge" = { quarter = 42 }'
    who = player(tmp_path, shots=partial)
    for lie in (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH_GOOD):
        reach = [(s.carry_least_m / YARD_M, s.carry_m / YARD_M) for s in who.shots if lie in s.lies]
        for yd in range(3, 61):
            assert any(low - 2 <= yd <= high + 2 for low, high in reach), (lie, yd)
    assert len({s.label for s in who.shots}) == len(who.shots)


def test_assumed_pitches_and_lobs_follow_the_player_s_own_wedges(tmp_path: Path) -> None:
    def depth(who: Player, name: str) -> float:
        return next(s.spread.depth_m for s in who.shots if s.name == name)

    alone = player(tmp_path)
    wide, tight = _half(tmp_path, "side = 4\ndepth = 7"), _half(tmp_path, "side = 2\ndepth = 3")
    long = next(s for s in wide.shots if s.name == "long pitch")
    at_60 = long.spread.depth_m * (60 * YARD_M / long.carry_m) ** long.shrink
    assert at_60 / YARD_M == pytest.approx(7)  # where it is known, the assumed shot is the known one
    share = depth(wide, "long pitch") / depth(alone, "long pitch")
    assert share > 1.4
    for name in ("pitch", "lob", "long lob"):
        assert depth(wide, name) == pytest.approx(share * depth(alone, name))
        assert depth(tight, name) < depth(alone, name)
    for name in ("chip", "bunker shot"):  # other swings, with other clubs or out of other ground
        assert depth(wide, name) == depth(alone, name)
    # what the file says of the short game itself stands, and a wedge known by its carry alone says nothing
    said = player(
        tmp_path,
        "[short_game]\npitch = 0.9",
        '[[shots]]\nclub = "lob wedge"\nshot = "half"\ncarry = 60\nside = 4\ndepth = 7',
    )
    assert depth(said, "pitch") == pytest.approx(0.9 * depth(alone, "pitch"))
    assert depth(said, "lob") == pytest.approx(share * depth(alone, "lob"))
    assert depth(_half(tmp_path, ""), "pitch") == depth(alone, "pitch")


def test_between_two_known_wedges_scatter_lies_between(tmp_path: Path) -> None:
    shots = "".join(
        f'[[shots]]\nclub = "lob wedge"\nshot = "{name}"\ncarry = {carry}\nside = 2\ndepth = {depth}\n'
        for name, carry, depth in (("half", 60, 8), ("quarter", 40, 3))
    )
    who = player(tmp_path, shots=shots)
    (under,) = _assumed_at(who, 50, Lie.FAIRWAY)
    at_50 = under.spread.depth_m * (50 * YARD_M / under.carry_m) ** under.shrink / YARD_M
    assert 3 < at_50 < 8


def test_a_wedge_longer_than_the_short_game_counts_against_its_level(tmp_path: Path) -> None:
    def depth(who: Player) -> float:
        return next(s.spread.depth_m for s in who.shots if s.name == "pitch")

    carry = 90 * YARD_M
    side, usual = (v / YARD_M for v in landing_scatter(carry, 70.0))
    text = BAG.format(more="", shots="", level=70)
    wide = text.replace("carry = 90", f"carry = 90\nside = {side}\ndepth = {1.3 * usual}")
    path = tmp_path / "wide.toml"
    path.write_text(wide, encoding="utf-8")
    assert depth(read_player(path)) == pytest.approx(1.3 * depth(player(tmp_path)))


def test_a_stated_chip_out_stands_for_the_assumed_one(tmp_path: Path) -> None:
    own = '[[shots]]\nclub = "7-iron"\nshot = "out"\ncarry = 50\nheight = "low"\nlies = ["recovery"]'
    who = player(tmp_path, shots=own)
    out = {s.name: s for s in who.shots if s.name.startswith("chip-out") and s.club == "7-iron"}
    assert out["chip-out"].lies == {Lie.ROUGH_POOR}
    assert out["chip-out under the out"].lies == {Lie.RECOVERY}
    assert out["chip-out under the out"].carry_m / YARD_M == pytest.approx(0.95 * 50)
    assert out["chip-out over the out"].carry_least_m / YARD_M == pytest.approx(50)
