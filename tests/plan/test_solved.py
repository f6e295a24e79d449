"""A hole solved backwards, gathered and drawn: case E with a driver, a wood and two irons."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from scripts.invented import a_player, a_shot
from strategy.errors import RequestError
from strategy.outcome.setup import today
from strategy.plan.solved import LEVEL, contour_map, solved
from strategy.report.pictures.solved import solved_picture, write_solved
from strategy.report.words.picture_words import OSM_CREDIT
from strategy.report.words.solved_text import solved_text
from strategy.units import YARD_M
from strategy.week.model import WindHour
from tests.worlds import a_week, case, driver_and_wood


@pytest.fixture(scope="module")
def case_e():
    hole, _, pin = case("E")
    shots = (
        *driver_and_wood(),
        a_shot("5-iron", 195, 8, 8, run=6, dial=0.1),
        a_shot("8-iron", 160, 6, 6, run=3, dial=0.15),
        a_shot("wedge", 110, 4, 5, run=1, dial=0.3),
    )
    here = today(hole, a_player(*shots), a_week(), pin=pin)
    found = solved(hole, here)
    return found, contour_map(hole, here, found.field)


def test_strokes_fall_towards_the_hole_on_plain_ground(case_e):
    # Not from row to row: five clubs leave gaps, and 20 yards nearer may be an awkward number.
    fairway = [r.whole for r in case_e[0].rows if r.ground == "fairway"][::3]
    assert len(fairway) >= 4
    assert fairway == sorted(fairway, reverse=True)


def test_contours_are_whole_steps_and_lie_in_the_window(case_e):
    drawn = case_e[1]
    low, high, short, far = drawn.window
    assert len(drawn.contours) >= 8
    for level, line in drawn.contours:
        assert level / LEVEL == pytest.approx(round(level / LEVEL), abs=1e-6)
        assert (line >= (low - 3, short - 3)).all()
        assert (line <= (high + 3, far + 3)).all()


def test_both_answers_are_said_and_agree_on_the_driver(case_e):
    found = case_e[0]
    assert found.whole[0].club == found.one_stroke[0].club == "driver"
    said = solved_text(found)
    assert " yards from the back tee\n" in said
    assert "Both say driver" in said
    assert "to carry" in said
    assert max(map(len, said.splitlines())) <= 110
    assert not any(math.isnan(r.whole) for r in found.rows)


def test_the_sheet_of_contours_is_a_picture_with_numbers(case_e, tmp_path):
    from PIL import Image

    path = tmp_path / "e.png"
    write_solved(*case_e, path)
    assert np.asarray(Image.open(path)).std() > 10
    numbers = [t.get_text() for t in solved_picture(*case_e).axes[0].texts]
    assert len(set(numbers)) >= 5
    assert all(float(n) > 1.0 for n in numbers)


@pytest.mark.parametrize("length", [420.0, 7.0])
@pytest.mark.parametrize(
    "name", ["Mill", "一番ホール", "The Second of the Three Holes beside the Old Water Mill"]
)
def test_every_text_of_the_sheet_is_on_the_page(case_e, name, length):
    from matplotlib.text import Text

    found = dataclasses.replace(
        case_e[0],
        name=name,
        length=length,
        label="Quarry A",
        credit="(c) OpenStreetMap contributors, ODbL 1.0",
    )
    figure = solved_picture(found, case_e[1])
    figure.canvas.draw()
    width, height = figure.canvas.get_width_height()
    placed = [t for t in figure.findobj(Text) if t.get_text()]
    assert OSM_CREDIT in " ".join(t.get_text() for t in placed if t.get_gid() == "foot")
    for text in placed:
        box = text.get_window_extent(figure.canvas.get_renderer())
        assert box.x0 >= 0.0, text.get_text()
        assert box.y0 >= 0.0, text.get_text()
        assert box.x1 <= width, text.get_text()
        assert box.y1 <= height, text.get_text()


def test_a_player_without_shots_round_the_green_is_told_where_the_table_stands(case_e):
    """55 m are 60 yards; shots in the file say otherwise."""
    words = " ".join(solved_text(case_e[0]).split())
    assert "no shots round the green: inside 60 yards of the hole the published table stands." in words
    own = dataclasses.replace(case_e[0], own_short_game=True)
    assert "published table stands" not in solved_text(own)


@pytest.mark.parametrize(("starts", "played"), [("1", 3), ("10", 12)])
def test_the_command_counts_the_hour_from_the_starting_hole_of_the_round(starts, played, monkeypatch):
    """The 4th of the demo course is the 13th hole played of a round that starts on the 10th."""
    from click.testing import CliRunner

    import strategy.plan.solved
    import strategy.week
    from strategy.cli.main import main
    from strategy.demofiles import demo
    from strategy.week import read_week
    from strategy.week.wind import wind_for

    files = demo()
    week = read_week(files.week)
    hours = (9.0, 3.0), (10.0, 5.0), (12.0, 8.0)
    wind = tuple(WindHour(hour=h, speed_mps=v, blows_from=20.0 * v, gust_mps=v) for h, v in hours)
    round_ = dataclasses.replace(week.round(1), tee_time=8.5, start_hole=starts, wind=wind)
    turned = dataclasses.replace(week, rounds=(round_, *week.rounds[1:]), shelter={})
    given = []

    def stop(hole, today, **_):
        given.append((hole.label, today.wind))
        raise RequestError("seen enough")

    monkeypatch.setattr(strategy.week, "read_week", lambda _: turned)
    monkeypatch.setattr(strategy.plan.solved, "solved", stop)
    sources = [str(files.course), str(files.player), str(files.week)]
    run = CliRunner().invoke(main, ["solve", *sources, "--hole", "4"])
    assert "seen enough" in run.output
    assert given == [("4", wind_for(round_, played))]


@pytest.mark.slow
def test_the_command_says_and_draws_or_says_what_is_not_there(tmp_path):
    from click.testing import CliRunner

    from strategy.cli.main import main
    from strategy.demofiles import demo

    files = demo()
    sources = [str(files.course), str(files.player), str(files.week)]
    path = tmp_path / "4.png"
    run = CliRunner().invoke(main, ["solve", *sources, "--hole", "4", "--out", str(path)])
    assert run.exit_code == 0, run.output
    assert "Hole 4, Mirror" in run.output
    words = " ".join(run.output.split())
    assert "Shots round the green are this player's own, down to the cup" in words
    assert "published table stands" not in words
    assert path.stat().st_size > 20_000
    missing = CliRunner().invoke(main, ["solve", *sources, "--hole", "19"])
    assert missing.exit_code == 2
    assert "has no hole '19'" in missing.output


def test_in_metres_every_length_is_in_metres():
    hole, _, pin = case("E")
    here = today(hole, a_player(*driver_and_wood()), a_week(), pin=pin)
    yards, metres = (solved(hole, here, unit_m=unit) for unit in (YARD_M, 1.0))
    assert metres.length == pytest.approx(yards.length * YARD_M)
    assert metres.inner == pytest.approx(yards.inner * YARD_M)
    assert [r.from_tee for r in metres.rows[:3]] == [0.0, 20.0, 40.0]
    assert len(metres.rows) < len(yards.rows)
    said = solved_text(metres)
    assert f"{metres.whole[0].carry_m:.0f} to carry" in said
    assert "metres from the back tee" in said
    assert "yard" not in said
    ticks = [
        solved_picture(one, contour_map(hole, here, one.field)).axes[0].get_yticks()
        for one in (yards, metres)
    ]
    assert ticks[0][:3] == pytest.approx([100 * YARD_M, 200 * YARD_M, 300 * YARD_M])
    assert ticks[1][:3] == pytest.approx([100.0, 200.0, 300.0])
