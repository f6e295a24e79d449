"""Scatter factors for what-ifs, mishits of one shot, and where a scatter comes from."""

import pytest

from strategy.errors import InputErrors
from strategy.player import read_player

HEAD = 'name = "P"\nhand = "right"\nlevel = 75\n'
SHOTS = """
[[shots]]
club = "7-iron"
carry = 160
side = 5
depth = 6
balls = 40
where = "range"
{shot}
[[shots]]
club = "7-iron"
shot = "the draw"
carry = 164
shape = "draw"
[[shots]]
club = "9-iron"
carry = 136
"""


@pytest.fixture
def player(tmp_path):
    def read(shot="", more=""):
        path = tmp_path / "p.toml"
        path.write_text(HEAD + SHOTS.format(shot=shot) + more)
        return {s.label: s for s in read_player(path).practised}

    return read


def sides(shots):
    return {label: shot.spread.side_m for label, shot in shots.items()}


def test_a_factor_of_a_shot_changes_that_shot_only(player):
    before, after = sides(player()), sides(player("tighter = 0.9"))
    assert after["7-iron"] == pytest.approx(0.9 * before["7-iron"])
    assert after["7-iron, the draw"] == before["7-iron, the draw"]
    assert after["9-iron"] == before["9-iron"]


def test_a_factor_of_a_club_changes_all_its_shots(player):
    before, after = sides(player()), sides(player(more='[tighter]\n"7-Iron" = 0.8\n"9-iron, stock" = 1.1\n'))
    assert after["7-iron"] == pytest.approx(0.8 * before["7-iron"])
    assert after["7-iron, the draw"] == pytest.approx(0.8 * before["7-iron, the draw"])
    assert after["9-iron"] == pytest.approx(1.1 * before["9-iron"])


def test_a_factor_is_said(player):
    shot = player("tighter = 0.9")["7-iron"]
    assert shot.scatter_origin == "measured, 40 balls on the range, times 1.15, times 0.9 (tighter)"
    assert any("what if" in note for note in shot.notes)


def test_an_unknown_club_under_tighter_is_a_fault(player):
    with pytest.raises(InputErrors, match=r"tighter.8-iron: is no club or shot of this file. Did you mean"):
        player(more='[tighter]\n"8-iron" = 0.9\n')


def test_mishits_of_one_shot(player):
    shots = player("mishits = 0.1", "[mishits]\nshare = 0.06\n")
    assert shots["7-iron"].spread.mishit_share == 0.1
    assert shots["9-iron"].spread.mishit_share == 0.06
    assert shots["7-iron"].mishits_origin == "measured"
    assert shots["9-iron"].mishits_origin == "stated for all shots"


def test_origins_of_scatter(player):
    shots = player()
    assert shots["9-iron"].scatter_origin == "published for level 75"
    assert shots["7-iron, the draw"].scatter_origin == "1.15 times that of the stock shot"
