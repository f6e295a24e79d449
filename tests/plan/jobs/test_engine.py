"""A course planned: the same inputs the same plan, what is done is kept, what fails is said."""

from __future__ import annotations

import dataclasses
import json
import shutil
from pathlib import Path

import numpy as np
import pytest

from strategy.codes import Lie
from strategy.errors import RequestError
from strategy.outcome.request import request
from strategy.plan import ask, plan_course
from strategy.plan.document import Plan, Role, read_plan
from strategy.plan.jobs.engine import _cuts, _jobs
from strategy.player import LieEffect
from strategy.player.model import SlopeEffect
from strategy.units import YARD_M
from strategy.week.firmness import parse_sighting
from strategy.week.model import Setup, WindHour
from strategy.writing import write_text


@pytest.fixture
def folder(made, tmp_path):
    """The folder of the plan, copied: one's own to change."""
    return Path(shutil.copytree(made[1], tmp_path / "plan"))


def with_location(week, round_number, label, text):
    """The same week with one hole cut elsewhere in one round."""
    rounds = tuple(
        dataclasses.replace(r, holes={**r.holes, label: Setup(location=text)})
        if r.number == round_number
        else r
        for r in week.rounds
    )
    return dataclasses.replace(week, rounds=rounds)


def test_every_round_is_a_job_of_its_own_since_its_weather_counts(made):
    plan, _, seen = made
    assert plan.made == 4
    assert [r.rounds for r in plan.hole("3").rounds] == [(1,), (2,)]
    assert [r.rounds for r in plan.hole("4").rounds] == [(1,), (2,)]
    assert [s[:2] for s in seen] == [(0, 4), (1, 4), (2, 4), (3, 4), (4, 4)]


def test_as_stated_rounds_that_share_markers_and_location_are_one_job(course, player, week):
    stated = dataclasses.replace(week, as_stated=True)
    groups, jobs = _jobs(course.hole("3"), player, stated, (1, 2), ("3", "4"), 1, [])
    assert [g.rounds for g in groups] == [(1, 2)]
    assert len(jobs) == 1


def test_another_wind_is_another_job(course, player, week):
    windy = tuple(
        dataclasses.replace(r, wind=(WindHour(hour=8, speed_mps=4, gust_mps=6, blows_from=200),))
        for r in week.rounds
    )
    keys = [
        _jobs(course.hole("3"), player, w, (1,), ("3", "4"), 1, [])[1][0].key
        for w in (week, dataclasses.replace(week, rounds=windy))
    ]
    assert keys[0] != keys[1]


def key_of(course, player, week, hole=None):
    """Key of the one job of the par 3 in round 1."""
    (job,) = _jobs(hole or course.hole("4"), player, week, (1,), ("3", "4"), 1, [])[1]
    return job.key


# Another value of every field of a week, a round and a player; None = what no number hangs on.
OTHER_WEEK = {
    "name": None,
    "files": None,
    "rounds": ...,  # field by field below
    "height_m": 900.0,
    "rough_chances": (0.2, 0.6, 0.2),
    "stimp_ft": 12.5,
    "sightings": (parse_sighting("driver ran 40"),),
    "front_reference": "front-most",
    "margin_paces": 5.0,
    "preferred_lies": True,
    "shelter": {"4": 0.5},
    "wind_judged": 0.3,
    "as_stated": True,
}
OTHER_ROUND = {
    "number": ...,  # the round that is asked for
    "date": None,
    "tee_time": 8.0,
    "start_hole": "4",
    "wind": (),
    "temperature_c": 5.0,
    "pressure_hpa": 900.0,
    "humidity": 0.9,
    "wet": True,
    "sightings": (parse_sighting("hole 4: 6-iron released 9 paces"),),
    "holes": {"4": Setup(location="11 on, centre")},
}
OTHER_PLAYER = {
    "name": None,
    "files": None,
    "right_handed": False,
    "level": 80.0,
    "shots": ...,  # a shorter bag: test_another_player_is_planned_anew_and_a_renamed_one_is_not
    "lie_effects": {},
    "longest_club_m": 1.1,
    "measured_temperature_c": 30.0,
    "measured_height_m": 1500.0,
    "doubtful_swing": 1.5,
    "wet": LieEffect(spin=0.5),
    "likes": ("6-iron",),
    "dislikes": ("6-iron",),
    "short_effects": {Lie.ROUGH_POOR: LieEffect(scatter=3.0)},
    "slopes": SlopeEffect(uphill=-0.5),
}


@pytest.mark.parametrize(
    ("what", "others"), [("week", OTHER_WEEK), ("round", OTHER_ROUND), ("player", OTHER_PLAYER)]
)
def test_whatever_a_number_hangs_on_makes_another_job(course, player, week, what, others):
    """A plan made before a change of green speed, rough or firmness is not kept."""
    value = {"week": week, "round": week.rounds[0], "player": player}[what]
    assert set(others) == {f.name for f in dataclasses.fields(value)}  # a new field has to be thought of
    usual = key_of(course, player, week)
    for name, other in others.items():
        if other is ...:
            continue
        changed = dataclasses.replace(value, **{name: "other" if other is None else other})
        if what == "round":
            changed = dataclasses.replace(week, rounds=(changed, *week.rounds[1:]))
        now = key_of(course, changed, week) if what == "player" else key_of(course, player, changed)
        assert (now == usual) == (other is None), name


def test_a_hole_drawn_otherwise_makes_another_job_and_a_renamed_one_does_not(course, player, week):
    hole = course.hole("4")
    usual = key_of(course, player, week)
    for name, other, same in (
        ("name", "Another", True),
        ("notes", ("mind the wind",), True),
        ("par", 4, False),
        ("areas", hole.areas[1:], False),
        ("green", hole.green.buffer(1.0), False),
    ):
        changed = dataclasses.replace(hole, **{name: other})
        assert (key_of(course, player, week, changed) == usual) == same, name


def test_each_location_has_a_tee_shot_and_three_approaches_unless_the_green_is_reached(made):
    plan, _, _ = made
    four, three = plan.hole("3").rounds[0].locations[0], plan.hole("4").rounds[0].locations[0]
    assert four.tee.role is Role.TEE
    assert [d.role for d in four.approaches] == [Role.MIDDLE, Role.LEFT, Role.RIGHT]
    assert three.approaches == ()
    middle, left, right = (np.array(d.spot[:2]) for d in four.approaches)
    a = np.radians(four.tee.first.heading)
    across = np.array([np.cos(a), -np.sin(a)])
    assert (left - middle) @ across < 0.0 < (right - middle) @ across
    assert four.cut.origin == "published"
    assert four.cut.text == "14 on, 5 from the left"
    assert four.cut.on_m == pytest.approx(14 * YARD_M, abs=1e-4)


def test_a_location_is_printed_as_the_sheet_gave_it(course, player, week):
    """In the sheet's own words and numbers, not worked out anew from the place on the drawn green."""
    for text in ("14 on, 5 from the left", " 22 on 4 R", "9.5 on, 6.5 from the right"):
        hole = course.hole("4")
        (cut,) = _cuts(request(hole, player, week, 1, pin=text))
        assert cut.text == text.strip()
        assert cut.on_m == pytest.approx(float(text.split()[0]) * YARD_M)
        bench, given = ask.laid_out(course, player, week, "4", round=1, pin=text)
        assert given
        assert ask.location(bench) == text.strip()


def test_options_are_cheapest_first_but_for_those_that_are_even_and_three_are_said(made):
    plan, _, _ = made
    for hole in plan.holes:
        for round_plan in hole.rounds:
            for location in round_plan.locations:
                for decision in (location.tee, *location.approaches):
                    costs = [o.option.cost for o in decision.options]
                    assert costs == sorted(costs)
                    assert costs[0] == 0.0
                    assert all(o.quoted is not None for o in decision.options[:3])
                    assert all(o.quoted is None for o in decision.options[3:])
                    assert all(sum(o.option.counts.values()) == 20 for o in decision.options)


def test_the_document_reads_back_exactly(made):
    plan, out, _ = made
    text = plan.to_json()
    assert Plan.from_json(text) == plan
    assert Plan.from_json(text).to_json() == text
    write_text(out / "plan.json", text)
    assert read_plan(out) == plan
    data = json.loads(text)
    assert list(data)[:4] == ["version", "program", "libraries", "units"]
    assert data["inputs"][0]["path"]
    assert len(data["inputs"][0]["sha256"]) == 64


def test_a_rerun_keeps_everything_and_gives_the_same_document(made, course, player, week):
    plan, out, _ = made
    again = plan_course(course, player, week, out=out, jobs=1)
    assert (again.made, again.kept) == (0, 4)
    assert again.to_json() == plan.to_json()


@pytest.mark.slow
def test_without_a_folder_the_same_document_is_made_anew(made, course, player, week):
    again = plan_course(course, player, week, jobs=1)
    assert (again.made, again.kept) == (4, 0)
    assert again.to_json() == made[0].to_json()


def test_a_moved_hole_location_is_the_only_thing_done_again(folder, course, player, week):
    moved = with_location(week, 2, "4", "16 on, 6 from the left")
    again = plan_course(course, player, moved, out=folder, jobs=1)
    assert (again.made, again.kept) == (1, 3)
    back = plan_course(course, player, week, out=folder, jobs=1, holes=["4"])
    assert back.made == 1  # what no plan asks for any more was forgotten


@pytest.mark.slow
def test_another_player_is_planned_anew_and_a_renamed_one_is_not(folder, course, player, week):
    renamed = dataclasses.replace(player, name="another name")
    assert plan_course(course, renamed, week, out=folder, jobs=1, holes=["4"]).made == 0
    shorter = dataclasses.replace(player, shots=player.shots[1:])
    assert plan_course(course, shorter, week, out=folder, jobs=1, holes=["4"]).made == 2


def read_from(read, name, file):
    """The same content as if it had been read from a file."""
    return dataclasses.replace(read, name=name, files={str(file): "0" * 64})


def test_a_plan_folder_belongs_to_one_course_player_and_week(course, player, week, tmp_path):
    out = tmp_path / "plan"
    ann = read_from(player, "Ann", tmp_path / "ann.toml")
    part = {"out": out, "jobs": 1, "holes": ["4"], "rounds": [1]}
    plan_course(course, ann, week, **part)
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    others = [
        (course, read_from(player, "Ben", tmp_path / "ben.toml"), week, "another player, Ann\\. "),
        (course, read_from(player, "Ben", tmp_path / "b" / "ann.toml"), week, "another player, Ann\\. "),
        (
            course,
            read_from(player, "Ann", tmp_path / "try.toml"),
            week,
            r"another player, Ann \(.*\)",
        ),
        (course, ann, read_from(week, "May", tmp_path / "may.toml"), f"another week, {week.name}"),
        (read_from(course, "Dunes", tmp_path / "x.geojson"), ann, week, f"another course, {course.name}"),
    ]
    for *three, said in others:
        with pytest.raises(RequestError, match=f"plan: holds the plan of {said}") as fault:
            plan_course(*three, **part)
        assert "Name another folder with --out, or replace that plan with --anew." in str(fault.value)
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before


def test_the_same_player_may_be_renamed_or_moved(course, player, week, tmp_path):
    ann = read_from(player, "Ann", tmp_path / "ann.toml")
    part = {"out": tmp_path / "plan", "jobs": 1, "holes": ["4"], "rounds": [1]}
    plan_course(course, ann, week, **part)
    assert plan_course(course, read_from(player, "Anna", tmp_path / "ann.toml"), week, **part).kept == 1
    moved = read_from(player, "Anna", tmp_path / "players" / "ann.toml")
    assert plan_course(course, moved, week, **part).kept == 1


def test_anew_replaces_the_plan_of_another_and_nothing_else(course, player, week, tmp_path):
    out = tmp_path / "plan"
    part = {"out": out, "jobs": 1, "holes": ["4"], "rounds": [1]}
    plan_course(course, read_from(player, "Ann", tmp_path / "ann.toml"), week, **part)
    for name in ("plan.json", "plan.txt", "notes of mine.txt"):
        (out / name).touch()
    (out / "pictures").mkdir()
    (out / "pictures" / "04.png").touch()
    ben = read_from(player, "Ben", tmp_path / "ben.toml")
    made = plan_course(course, ben, week, **part, anew=True)
    assert (made.made, made.kept) == (1, 0)
    assert sorted(p.name for p in out.iterdir()) == ["holes", "notes of mine.txt"]
    assert plan_course(course, ben, week, **part).kept == 1


@pytest.mark.slow
def test_a_damaged_hole_file_is_planned_again(made, folder, course, player, week):
    file = folder / "holes" / "04.json"
    file.write_text(file.read_text()[:500])
    again = plan_course(course, player, week, out=folder, jobs=1)
    assert (again.made, again.kept) == (2, 2)
    assert again.to_json() == made[0].to_json()
    assert list(folder.glob("holes/.*")) == []  # no temporary file is left


def test_a_location_off_the_green_is_a_finding_and_the_rest_goes_on(course, player, week):
    wrong = with_location(week, 2, "4", "60 on, 6 from the right")
    plan = plan_course(course, player, wrong, jobs=1, holes=["4"])
    (failed,) = [n for n in plan.hole("4").findings if n.kind == "failed"]
    assert failed.text.startswith("round 2: hole 4: '60 on, 6 from the right': the green is")
    assert [r.rounds for r in plan.hole("4").rounds] == [(1,)]


@pytest.mark.slow
def test_likely_locations_are_planned_where_the_sheet_is_not_out(course, player, week):
    empty = with_location(week, 1, "4", "")
    plan = plan_course(course, player, empty, jobs=1, holes=["4"], rounds=[1])
    locations = plan.hole("4").rounds[0].locations
    assert len(locations) == 4
    assert {loc.cut.origin for loc in locations} == {"proposed"}
    assert any(loc.cut.why for loc in locations)
    assert any("no hole location given for round 1" in text for text in plan.hole("4").assumptions)


def test_a_round_that_starts_at_a_hole_which_is_not_there_is_planned(course, player, week):
    odd = dataclasses.replace(
        week, rounds=tuple(dataclasses.replace(r, start_hole="12") for r in week.rounds)
    )
    plan = plan_course(course, player, odd, jobs=1, holes=["4"], rounds=[1])
    assert plan.hole("4").rounds[0].locations
    assert [n.text for n in plan.findings if n.kind == "assumed" and "starts at hole 12" in n.text]


def test_a_sighting_of_a_hole_which_is_not_there_is_a_finding(course, player, week):
    odd = dataclasses.replace(week, sightings=(parse_sighting("hole 12: driver ran 18"),))
    plan = plan_course(course, player, odd, jobs=1, holes=["4"], rounds=[1])
    assert [n.text for n in plan.findings if n.kind == "question" and "hole 12: driver ran 18" in n.text]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"holes": ["7"]}, "has no hole '7'; its holes are 3, 4"),
        ({"rounds": [5]}, "has no round 5; its rounds are 1, 2"),
    ],
)
def test_what_is_not_there_is_refused(course, player, week, asked, said):
    with pytest.raises(RequestError, match=said):
        plan_course(course, player, week, jobs=1, **asked)


def test_likes_choose_among_answers_that_are_as_good_and_nothing_else(course, player, week):
    plain = plan_course(course, player, week, jobs=1, holes=["4"], rounds=[1])
    best = [o.option for o in plain.hole("4").rounds[0].locations[0].tee.options]
    worse = next(o for o in best if o.cost >= 0.02)
    taste = dataclasses.replace(player, likes=(worse.label,), dislikes=(best[0].label,))
    tasted = plan_course(course, taste, week, jobs=1, holes=["4"], rounds=[1])
    order = [o.option.label for o in tasted.hole("4").rounds[0].locations[0].tee.options]
    assert order.index(worse.label) >= sum(o.cost < 0.02 for o in best)


@pytest.mark.slow
def test_processes_give_the_plan_of_one_process(demo_course, player, week, tmp_path):
    holes = tuple(h for h in demo_course.holes if h.label in ("3", "4", "7", "12"))
    course = dataclasses.replace(demo_course, holes=holes)
    week = dataclasses.replace(week, rounds=week.rounds[:1])
    for label in ("7", "12"):
        week = with_location(week, 1, label, "14 on, centre")
    several = plan_course(course, player, week, out=tmp_path, jobs=2)
    one = plan_course(course, player, week, jobs=1)
    assert several.made == 4
    assert several.to_json() == one.to_json()
    for kept in ("sheets", "values"):
        assert len(list((tmp_path / "holes" / kept).iterdir())) == 4
    assert sorted(p.name for p in (tmp_path / "holes").glob("*.json")) == [
        "03.json",
        "04.json",
        "07.json",
        "12.json",
    ]
