"""What is asked about is resolved once: plans, single shots, numbers and Python mean the same hole."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.cli.numbers import _view
from strategy.course import read_course
from strategy.course.pins import pin_xy
from strategy.demofiles import demo
from strategy.errors import RequestError
from strategy.outcome.request import request
from strategy.outcome.setup import today, today_of
from strategy.plan.advice.decision import bench_of
from strategy.plan.ask import laid_out
from strategy.plan.jobs.engine import _jobs
from strategy.player import read_player
from strategy.units import YARD_M
from strategy.week import read_week
from strategy.week.model import Setup
from strategy.week.wind import wind_for


@pytest.fixture(scope="module")
def files():
    """The demo course, player and week; on the 4th of round 2 the markers are 12 yd up."""
    read = demo()
    week = read_week(read.week)
    second = week.round(2)
    holes = {**second.holes, "4": Setup(up_m=12.0 * YARD_M, location=" 14 on, 5 from the left ")}
    rounds = tuple(dataclasses.replace(r, holes=holes) if r.number == 2 else r for r in week.rounds)
    return read_course(read.course), read_player(read.player), dataclasses.replace(week, rounds=rounds)


def test_every_command_sets_up_the_same_hole(files):
    course, player, week = files
    hole, labels = course.hole("4"), tuple(h.label for h in course.holes)
    asked = request(hole, player, week, 2)
    (job,) = _jobs(hole, player, week, (2,), labels, 1, [])[1]
    set_up = [
        today_of(asked),
        today(hole, player, week, 2),
        laid_out(course, player, week, "4", round=2)[0].today,
        bench_of(job.asked).today,
    ]
    for here in set_up:
        assert here.hole == asked.pin == pin_xy(hole, asked.line, "14 on, 5 from the left")
        assert here.tee == tuple(asked.line[0])
        assert (here.line == asked.line).all()
        assert here.wind == set_up[0].wind
        assert here.round == 2
        np.testing.assert_array_equal(here.shots.mean, set_up[0].shots.mean)
    view = _view(hole, (), week, 2)
    assert (view.reference, view.location) == (week.front_reference, asked.location)
    assert (view.line == asked.line).all()
    assert np.hypot(*(asked.line[0] - request(hole, None, week, 1).line[0])) == pytest.approx(12.0 * YARD_M)


def test_a_location_is_the_weeks_unless_another_is_asked_for(files):
    course, player, week = files
    hole = course.hole("4")
    assert request(hole, player, week, 2).location == "14 on, 5 from the left"
    other = request(hole, player, week, 2, pin="9 on, centre")
    assert other.location == "9 on, centre"
    assert other.pin == pin_xy(hole, other.line, "9 on, centre")
    placed = request(hole, player, week, 2, pin=(1.0, 2.0))
    assert (placed.pin, placed.location) == ((1.0, 2.0), "")
    moved = other.at((3.0, 4.0))
    assert (moved.pin, moved.location, moved.line) == ((3.0, 4.0), "", other.line)
    bare = dataclasses.replace(week, rounds=(dataclasses.replace(week.round(2), holes={}),))
    none = request(hole, player, bare, 2)
    assert (none.pin, none.location) == (None, "")


def test_the_hour_is_that_of_the_holes_played_before(files):
    course, player, week = files
    hole = course.hole("4")
    start = dataclasses.replace(week.round(2), start_hole="10")
    late = dataclasses.replace(week, rounds=(start,))
    by_card = request(hole, player, late, 2)
    assert by_card.before == 12  # nine holes of the second half, and three
    assert request(hole, player, late, 2, labels=("10", "3", "4")).before == 2
    assert request(hole, player, late, 2, before=5).before == 5
    assert request(dataclasses.replace(hole, card=()), player, late, 2).before == 0
    assert today_of(by_card).wind == wind_for(start, 12)


def test_what_is_not_there_is_refused(files):
    course, player, week = files
    hole = course.hole("4")
    with pytest.raises(RequestError, match="round 9"):
        request(hole, player, week, 9)
    with pytest.raises(RequestError, match="the green is 27 yd deep"):
        request(hole, player, week, 2, pin="90 on, centre")
    odd = dataclasses.replace(week.round(2), holes={"4": Setup(tee="purple")})
    with pytest.raises(RequestError, match="no tee 'purple'"):
        request(hole, player, dataclasses.replace(week, rounds=(odd,)), 2)
    with pytest.raises(ValueError, match="for a player"):
        today_of(request(hole, None, week, 2))
