import re
from pathlib import Path

import numpy as np
import pytest

from strategy.demofiles import demo
from strategy.errors import LogError, PlayerError
from strategy.player.logs.read import read_practice_log
from strategy.player.read import read_player_file
from strategy.units import YARD_M
from tests.player.logs.messy import all_logs, balls

LOGS = all_logs()


@pytest.fixture(scope="module")
def file():
    return read_player_file(demo().player)[0]


@pytest.fixture
def own(tmp_path):
    """A function that reads a log with a small player file of its own."""

    def read(log, more="", hand="right", shots='[[shots]]\nclub = "7-iron"\ncarry = 170\n', name="log.csv"):
        player = tmp_path / "player.toml"
        player.write_text(f'name = "P"\nhand = "{hand}"\n{more}\n{shots}')
        (tmp_path / name).write_text(log, encoding="utf-8")
        return read_practice_log(tmp_path / name, read_player_file(player)[0])

    return read


def test_there_are_sixty_messy_logs():
    assert len(LOGS) >= 60
    assert len({log.name for log in LOGS}) == len(LOGS)


@pytest.mark.parametrize("log", LOGS, ids=lambda log: log.name)
def test_a_messy_log_is_read_right_or_refused(log, file, tmp_path):
    path = tmp_path / f"balls{log.suffix}"
    path.write_bytes(log.data)
    if log.refused:
        with pytest.raises(LogError, match=re.escape(log.refused)) as refused:
            read_practice_log(path, file)
        assert refused.value.mend
        return
    read = read_practice_log(path, file)
    assert list(read.balls.club) == log.clubs
    assert read.balls.carry_m / YARD_M == pytest.approx(np.array(log.carry_yd), abs=log.within)
    assert read.balls.side_m / YARD_M == pytest.approx(np.array(log.side_yd), abs=log.within)
    assert {line for one in read.left_out for line in one.lines} == log.left_out


def test_every_row_is_a_ball_or_named(file, tmp_path):
    """Lines of balls and of rows that are left out make up the whole file, blank rows and comments apart."""
    lines = ["Club,Carry,Side"]
    rng = np.random.default_rng(7)
    junk = ("7 Iron,,", "Average,1,1", "Club,Carry,Side", "x,y,z", "9i,bad,1", "PW,130,900")
    for club, carry, side in balls(50, 200):
        lines.append(f"{club},{carry},{side}")
        if rng.random() < 0.3:
            lines.append(str(rng.choice(junk)))
    path = tmp_path / "log.csv"
    path.write_text("\n".join(lines))
    read = read_practice_log(path, file)
    said = [*read.balls.line, *(line for one in read.left_out for line in one.lines)]
    assert sorted(said) == list(range(2, len(lines) + 1))
    assert all(one.mend or "average" in one.why or "headings" in one.why for one in read.left_out)


@pytest.mark.parametrize(
    ("cell", "hand", "yards"),
    [
        ("R 12", "right", 12), ("12L", "left", -12), ("-3.5", "left", -3.5), ("+4", "right", 4),
        ("8 pull", "right", -8), ("8 pull", "left", 8), ("5 slice", "right", 5), ("5 slice", "left", -5),
        ("straight", "right", 0), ("3,5 R", "right", 3.5), ("4 m R", "right", 4 / 0.9144),
    ],
)  # fmt: skip
def test_sides(own, cell, hand, yards):
    read = own(f'club,carry,side\n7i,170,"{cell}"\n', hand=hand)
    assert read.balls.side_m[0] / YARD_M == pytest.approx(yards)


def test_odd_names_are_in_the_player_file(own):
    log = "Was,Wohin,Wie weit,XX\ni-sieben,3,160,junk\n"
    more = '[logs]\ncolumns = { Wohin = "side", "Wie weit" = "carry", Was = "club" }\n'
    more += 'clubs = { "i-sieben" = "7-iron" }\nunits = "metres"\nplus = "left"\n'
    read = own(log, more)
    assert (read.balls.club[0], read.balls.carry_m[0], read.balls.side_m[0]) == ("7-iron", 160.0, -3.0)
    assert read.unused == ("XX",)


def test_an_unknown_meaning_is_a_fault_of_the_player_file(own):
    with pytest.raises(Exception, match=r'"cary" is no meaning of a column. Did you mean "carry"') as fault:
        own("club,carry,side\n7i,170,1\n", '[logs]\ncolumns = { a = "cary" }\n')
    assert all(isinstance(one, PlayerError) for one in fault.value.faults)


TWO = (
    '[[shots]]\nclub = "7-iron"\ncarry = 170\nshape = "draw"\n'
    '[[shots]]\nclub = "7-iron"\nshot = "the held one"\ncarry = 164\nshape = "fade"\n'
)


@pytest.mark.parametrize(
    ("row", "shot"),
    [
        ("7i,the held one,,170,1", "the held one"),
        ("7i,held one,,170,1", "the held one"),
        ('"7-iron, the held one",,,170,1', "the held one"),
        ("7i fade,,,170,1", "the held one"),
        ("7i,,fade,170,1", "the held one"),
        ("7i,,draw,170,1", "stock"),
        ("7i,stock,,170,1", "stock"),
        ("7i,,,170,1", "stock"),
        ("7i,knock down,,170,1", "knock down"),
    ],
)
def test_shots_are_found_by_name_and_shape(own, row, shot):
    read = own(f"club,shot,shape,carry,side\n{row}\n", shots=TWO)
    assert (read.balls.club[0], read.balls.shot[0]) == ("7-iron", shot)


def test_a_misspelt_shot_is_asked_about(own):
    with pytest.raises(LogError, match='Did you mean "the held one"'):
        own("club,shot,carry,side\n7i,teh hled one,170,1\n", shots=TWO)


def test_how_a_ball_flew_does_not_sort_it(own):
    """Sorted by what came out, each pile would be tighter than the shot is."""
    read = own("club,shape,carry,side\n7i,draw,170,1\n7i,slice,160,20\n7i,fade,168,4\n", shots=TWO)
    assert list(read.balls.shot) == ["stock"] * 3
    assert any("how each ball flew" in one for one in read.assumed)


def test_the_name_of_the_file_or_a_remark_names_the_club(own):
    assert own("carry,side\n170,1\n", name="may 7-iron.csv").balls.club[0] == "7-iron"
    assert own("Club: 7 iron\ncarry,side\n170,1\n").balls.club[0] == "7-iron"


def test_wind_and_place(own):
    read = own(
        "club,carry,side,wind,place\n"
        "7i,170,1,10 mph into,range mat\n7i,170,1,4 m/s from the left,grass range\n7i,170,1,calm,course\n"
        "7i,170,1,,\n7i,170,1,breezy,\n"
    ).balls
    assert read.along_mps[:3] == pytest.approx([-4.4704, 0.0, 0.0])
    assert read.across_mps[:3] == pytest.approx([0.0, 4.0, 0.0])
    assert np.isnan(read.along_mps[3:]).all()
    assert list(read.place) == [2, 1, 0, -1, -1]


def test_days_make_sessions_and_hours_do_not(own):
    read = own(
        "club,carry,side,date\n7i,170,1,2031-05-03 10:00\n"
        "7i,170,1,2031-05-03 10:01\n7i,170,1,2031-05-04 09:00\n"
    )
    assert len(set(read.balls.session)) == 2


def test_lines_are_counted_through_cells_of_several_lines(own):
    read = own('club,carry,side,remark\n7i,170,1,"one\ntwo\nthree"\n7i,168,2,\n7i,,,\n')
    assert list(read.balls.line) == [2, 5]
    assert read.left_out[0].lines == (6,)


def test_no_file_is_named(file, tmp_path):
    with pytest.raises(LogError, match="no such file"):
        read_practice_log(Path(tmp_path / "none.csv"), file)


@pytest.mark.parametrize("data", [b"PK\x03\x04 cut off", None])
def test_a_damaged_workbook_is_refused(data, file, tmp_path):
    path = tmp_path / "log.xlsx"
    whole = next(log.data for log in LOGS if log.name == "workbook")
    path.write_bytes(data or whole[: len(whole) // 2])
    with pytest.raises(LogError, match="no workbook that can be read"):
        read_practice_log(path, file)


def test_balls_of_another_player_are_left_out(own):
    log = "player,club,carry,side\nP,7i,170,1\nQ,7i,150,9\np,7i,171,2\n"
    read = own(log)
    assert list(read.balls.line) == [2, 4]
    assert (read.left_out[0].why, read.left_out[0].lines) == ("a ball of Q", (3,))
    with pytest.raises(LogError, match="has balls of Q, R, and none of P"):
        own("player,club,carry,side\nR,7i,170,1\nQ,7i,150,9\n".replace("R,7i,170,1\nQ", "Q,7i,170,1\nR"))
    assert len(own("player,club,carry,side\nmy coach,7i,170,1\n").balls) == 1
