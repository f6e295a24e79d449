"""Pictures of practice: what is on them, read from the figure."""

from itertools import pairwise

import numpy as np
import pytest

from strategy.demofiles import demo, sample
from strategy.player import read_player
from strategy.player.fit.practice import fit_practice
from strategy.player.logs.read import read_practice_log
from strategy.player.read import read_player_file
from strategy.report.pictures.practice import _spread_out, ladder_picture, shot_picture
from strategy.report.words.lengths import Units
from strategy.units import YARD_M


@pytest.fixture(scope="module")
def fit():
    file = read_player_file(demo().player)[0]
    log = read_practice_log(sample("practice.csv"), file)
    return fit_practice([log], read_player(demo().player), file)


def texts(figure):
    return [t.get_text() for t in figure.texts]


@pytest.mark.parametrize("units", list(Units))
def test_every_ball_is_drawn_or_counted(fit, units):
    for shot in fit.shots:
        figure = shot_picture(fit, shot, units)
        (ax,) = figure.axes
        (left, right), (short, far) = ax.get_xlim(), ax.get_ylim()
        balls = [line for line in ax.lines if line.get_linestyle() == "None"]
        drawn = np.concatenate([np.column_stack(line.get_data()) for line in balls])
        inside = (drawn > (left, short)).all(axis=1) & (drawn < (right, far)).all(axis=1)
        assert inside.all()
        missing = len(shot.balls) - len(drawn)
        said = [t for t in texts(figure) if "outside the picture" in t]
        assert (missing == 0) == (not said)
        if missing:
            assert said[0].startswith(f"{missing} ball")


def test_the_outline_is_that_of_the_written_scatter_at_equal_scale(fit):
    shot = fit.shots[0]
    figure = shot_picture(fit, shot, Units.YARDS)
    (ax,) = figure.axes
    ring = max((np.column_stack(line.get_data()) for line in ax.lines), key=len)
    half = 0.5 * np.ptp(ring, axis=0) * YARD_M
    assert half == pytest.approx(np.array(shot.scatter) * 1.4823, rel=0.001)
    box = ax.get_position()
    wide, tall = box.width * figure.get_figwidth(), box.height * figure.get_figheight()
    assert wide / np.ptp(ax.get_xlim()) == pytest.approx(tall / np.ptp(ax.get_ylim()))


def test_answers_are_at_least_nine_points(fit):
    for figure in (shot_picture(fit, fit.shots[3], Units.YARDS),):
        assert min(t.get_fontsize() for t in figure.texts if t.get_gid() == "answer") >= 9.0


def test_the_ladder_names_every_practised_shot(fit):
    said = " ".join(texts(ladder_picture(fit, Units.YARDS)))
    for shot in fit.player.practised:
        assert shot.label in said
    assert "gap 24" in said


def test_names_beside_the_ladder_do_not_cover_each_other():
    found = _spread_out([300.0, 299.0, 298.0, 100.0, 72.0], 72.0, 582.0)
    assert all(a - b >= 12.9 for a, b in pairwise(found))
    assert found[-1] >= 72.0
