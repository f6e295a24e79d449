"""The number a shot is playing: it adds up, every cause has the right sign and size, both uses agree."""

from __future__ import annotations

import dataclasses
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scripts.invented import level
from strategy.ball.air import STANDARD_AIR
from strategy.ball.flight import fly
from strategy.codes import Lie, Surface
from strategy.course.height_map import HeightMap
from strategy.course.origin import Origin
from strategy.demofiles import demo
from strategy.errors import PhysicsError, RequestError
from strategy.outcome.setup import today
from strategy.outcome.weather import INTO, launches, table_in
from strategy.plan.number import the_number
from strategy.plan.number_on_course import number_on_course
from strategy.plan.plain_day import plain_day, taken_for_granted
from strategy.player import read_player
from strategy.units import FOOT_M, MPH_MPS, YARD_M
from strategy.week import read_week
from strategy.week.firmness import parse_sighting
from tests.worlds import mirrored_player

CAUSES = ("land_short_m", "wind_m", "height_m", "air_m", "lie_m", "stance_m")


@cache
def tour():
    return read_player(demo().player)


@cache
def demo_week():
    return read_week(demo().week)


def ask(player=None, *, front=142.0, on=11.0, up=0.0, lie=Lie.FAIRWAY, mph=0.0, wind_from=0.0, **day):
    """A number in plain yards."""
    player = player or tour()
    weather = plain_day(player, speed_mps=mph * MPH_MPS, wind_from=wind_from, **day)
    return the_number(player, weather, front_m=front * YARD_M, on_m=on * YARD_M, lie=lie, rise_m=up * YARD_M)


def one_shot(tmp_path, text):
    file = tmp_path / "player.toml"
    file.write_text(
        f'name = "Rowan Tarrick"\nunits = "yards"\nhand = "right"\nlevel = 70\n{text}', encoding="utf-8"
    )
    return read_player(file)


@settings(max_examples=12)
@given(
    front=st.floats(70.0, 190.0),  # from a jumper into 25 mph nothing goes further
    on=st.floats(0.0, 30.0),
    up=st.floats(-15.0, 12.0),
    lie=st.sampled_from([Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD, Lie.JUMPER]),
    mph=st.floats(0.0, 25.0),
    wind_from=st.floats(0.0, 360.0),
)
def test_the_causes_add_up_without_a_remainder(front, on, up, lie, mph, wind_from):
    found = ask(front=front, on=on, up=up, lie=lie, mph=mph, wind_from=wind_from, temperature_c=9.0)
    assert found.front_m + found.on_m + found.across_m == pytest.approx(found.hole_m, abs=1e-9)
    assert found.hole_m + sum(getattr(found, c) for c in CAUSES) == pytest.approx(found.playing_m, abs=1e-9)
    values = [getattr(found, c) for c in CAUSES] + [f.finish_m for f in found.fits]
    assert np.isfinite(values).all()


@pytest.mark.parametrize(("front", "on"), [(142, 11), (95, 20), (187, 4)])
def test_front_plus_on_is_the_hole_number(front, on):
    """Common practice."""
    assert ask(front=front, on=on).hole_m / YARD_M == pytest.approx(front + on)


@pytest.mark.parametrize("carry", [172, 175, 178])
def test_a_tour_seven_iron_is_landed_four_to_six_short_on_a_normal_green(tmp_path, carry):
    """Common practice; its run is not stated by the player."""
    player = one_shot(tmp_path, f'[[shots]]\nclub = "7-iron"\ncarry = {carry}\n')
    found = ask(player, front=carry - 8, on=12)
    assert 4.0 <= -found.land_short_m / YARD_M <= 6.0


@pytest.mark.parametrize("hole", [118, 153, 181])
def test_calm_level_as_measured_and_a_normal_green_leave_land_short_alone(hole):
    found = ask(front=hole - 11)
    assert [round(getattr(found, c) / YARD_M, 2) + 0.0 for c in CAUSES[1:]] == [0.0] * 5
    assert found.land_short_m < 0.0
    assert found.playing_m == pytest.approx(found.hole_m + found.land_short_m, abs=0.05)
    assert found.clean_m == pytest.approx(found.playing_m, abs=1e-6)


@pytest.mark.parametrize(
    ("cause", "least", "most", "given"),
    [  # yards on a number of about 150; physics facts, section 2
        # Published -17.3 for a 7-iron of 167 in 10 mph; forecast 10 is 10.7 in flight, the shot that arrives
        # carries 176: 19.5, and knowing only carries leaves 2.4 yd s.d. of doubt about such a shift.
        ("wind_m", 14.0, 24.0, {"mph": 10, "wind_from": 0}),
        ("wind_m", -16.0, -6.0, {"mph": 10, "wind_from": 180}),
        ("wind_m", -0.5, 2.0, {"mph": 10, "wind_from": 270}),  # a fade held up by it, or helped along
        ("wind_m", -0.5, 2.0, {"mph": 10, "wind_from": 90}),
        ("wind_m", 8.0, 16.0, {"mph": 10, "wind_from": 45}),
        ("height_m", 6.0, 12.0, {"up": 10}),
        ("height_m", -12.0, -6.0, {"up": -10}),
        ("air_m", -6.0, -1.0, {"temperature_c": 40.0}),
        ("air_m", 1.0, 6.0, {"temperature_c": 2.0}),
        ("air_m", -16.0, -6.0, {"height_m": 5000 * FOOT_M}),
        ("air_m", 0.5, 4.0, {"pressure_hpa": 1050.0}),
        ("land_short_m", -14.0, -6.0, {"sightings": (parse_sighting("9-iron released 9 paces"),)}),
        ("land_short_m", -0.5, 2.0, {"sightings": (parse_sighting("9-iron spun back 1 pace"),)}),
        ("lie_m", 3.0, 10.0, {"lie": Lie.ROUGH_GOOD}),
        ("lie_m", 15.0, 35.0, {"lie": Lie.ROUGH_POOR}),
        ("lie_m", -12.0, -4.0, {"lie": Lie.JUMPER}),
    ],
)  # fmt: skip
def test_each_cause_has_its_sign_and_size(cause, least, most, given):
    found, plain = ask(**given), ask()
    assert least <= getattr(found, cause) / YARD_M <= most
    for other in CAUSES[1:]:
        if other != cause:  # what was not asked for stays nothing
            assert getattr(found, other) == pytest.approx(getattr(plain, other), abs=0.02)


def test_a_wind_from_the_left_moves_every_shot_right_and_the_other_way_round():
    left, right = ask(mph=12, wind_from=270), ask(mph=12, wind_from=90)
    assert all(8.0 < f.side_m / YARD_M < 25.0 for f in left.fits)
    assert all(-25.0 < f.side_m / YARD_M < -8.0 for f in right.fits)
    assert all(abs(f.side_m) < 1e-6 for f in ask().fits)
    assert left.wind_from == 270.0


def test_the_other_hand_in_the_mirrored_wind_plays_the_same_number():
    mine = ask(mph=12, wind_from=300)
    other = ask(mirrored_player(tour()), mph=12, wind_from=60)
    assert other.playing_m == pytest.approx(mine.playing_m, abs=0.05)
    for a, b in zip(mine.fits, other.fits, strict=True):
        assert a.label == b.label
        assert b.finish_m == pytest.approx(a.finish_m, abs=0.05)
        assert b.side_m == pytest.approx(-a.side_m, abs=0.05)


def test_each_fitting_shot_finishes_where_its_own_flight_and_run_take_it():
    """Flown afresh, not from the number of the first."""
    found = ask(mph=14, wind_from=0, up=5)
    day = plain_day(tour(), speed_mps=14 * MPH_MPS)
    there = fly(launches(tour()).launch, head_mps=INTO * 14 * MPH_MPS, rise_m=5 * YARD_M, air=day.air).carry_m
    run = table_in(tour(), day).run[:, Lie.FAIRWAY, 0]
    assert len({f.shot for f in found.fits}) == len(found.fits) >= 3
    for fit in found.fits:
        rest = there[fit.shot] + run[fit.shot, int(fit.lands)]
        assert fit.finish_m == pytest.approx(rest - found.hole_m, abs=0.3)
    apart = [f.finish_m - (f.carry_m - found.playing_m) for f in found.fits]
    assert max(apart) - min(apart) > 0.5 * YARD_M  # the first shot's corrections would give none


def test_in_a_cross_wind_the_ball_runs_on_the_way_it_comes_down(tmp_path):
    """A straight shot that runs 30: the wind takes its landing right, and its run goes on that way."""
    who = one_shot(tmp_path, '[[shots]]\nclub = "7-iron"\ncarry = 150\nrun_green = 30\n')
    (fit,) = ask(who, front=142, on=36, mph=15, wind_from=270).fits
    day = plain_day(who, speed_mps=15 * MPH_MPS, wind_from=270)
    there = fly(launches(who).launch[:1], cross_mps=INTO * 15 * MPH_MPS, air=day.air)
    depth, side, _ = there.velocity_mps[0]
    run = table_in(who, day).run[0, Lie.FAIRWAY, 0, int(fit.lands)]
    assert run > 20 * YARD_M
    assert side / depth > 0.1
    expected = there.side_m[0] + run * side / np.hypot(side, depth)
    assert fit.side_m == pytest.approx(expected, abs=0.3)


@pytest.mark.parametrize("given", [{}, {"mph": 12, "wind_from": 200}, {"up": 6}, {"lie": Lie.ROUGH_GOOD}])
def test_the_shot_that_carries_the_number_finishes_at_the_hole(given):
    """Where a full shot is pin high, its number is its own carry; where it is long, the number is less."""
    at = ask(**given)
    best = at.fits[0]
    # The same hole moved by what the full shot misses it by.
    moved = ask(front=142 + best.finish_m / YARD_M, **given)
    assert moved.fits[0].shot == best.shot
    assert moved.fits[0].finish_m == pytest.approx(0.0, abs=0.01)
    assert moved.playing_m == pytest.approx(best.carry_m, abs=0.01)
    assert (at.playing_m < best.carry_m) == (best.finish_m > 0.0)


def test_from_a_jumper_the_number_is_shorter_and_rough_says_what_it_is_if_it_jumps():
    clean, jumper, rough = ask(), ask(lie=Lie.JUMPER), ask(lie=Lie.ROUGH_GOOD)
    assert jumper.playing_m < clean.playing_m - 5 * YARD_M
    assert jumper.clean_m > jumper.playing_m + 5 * YARD_M
    assert jumper.jumps_m is None
    assert rough.jumps_m < rough.clean_m < rough.playing_m


def test_the_run_counts_from_the_lie_and_the_front_is_covered():
    """On a firm green a front hole location is landed short of it: the number to the front is said."""
    found = ask(front=150, on=2, sightings=(parse_sighting("7-iron released 8 paces"),))
    assert found.lands is Surface.FAIRWAY
    assert found.cover_m > found.playing_m
    assert found.cover_past_m == pytest.approx(-found.land_short_m - 2 * YARD_M)
    back = ask(front=130, on=22, sightings=(parse_sighting("7-iron released 8 paces"),))
    assert back.cover_m is None
    assert back.lands is Surface.GREEN


def test_partial_wedges_fit_and_are_taken_down():
    found = ask(front=65, on=12)
    best = found.fits[0]
    assert len(found.fits) >= 3
    assert best.taken_down_m == pytest.approx(found.playing_m, abs=1e-6)
    assert best.taken_down_m < best.carry_m
    assert best.finish_m > 0.0
    assert best.off_m == 0.0
    assert [f.off_m for f in found.fits[1:]] == sorted(f.off_m for f in found.fits[1:])


def test_the_stock_shot_nearest_comes_first():
    found = ask(front=250, on=10, lie=Lie.TEE)
    stock = {s.label for s in tour().shots if s.stock}
    assert found.fits[0].label in stock


def test_height_is_flown_beyond_what_the_table_reaches():
    low, high = ask(up=9.8), ask(up=9.9)  # the table reaches 9 m, 9.84 yd
    assert high.height_m - low.height_m == pytest.approx(0.1 * YARD_M, abs=0.1)
    found = ask(up=-25)
    one = found.fits[0].shot
    launch = launches(tour()).launch
    down = fly(launch, rise_m=-25 * YARD_M, air=STANDARD_AIR).carry_m[one]
    level = fly(launch, air=STANDARD_AIR).carry_m[one]
    assert found.height_m == pytest.approx(level - down, abs=0.3)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"front": 300}, "the nearest, .* finishes .* yd short. A number is for a shot at the hole"),
        ({"front": 5, "on": 5}, "finishes .* yd past it"),
        ({"front": 90, "on": 10, "up": 40}, "do not get up to a hole 40 yd above the ball. Is the height"),
        ({"lie": Lie.GREEN}, "no shot of Rowan Tarrick's file is played from green"),
        ({"sightings": (parse_sighting("7i released 4 paces"),)}, 'has no 7i. Did you mean "7-iron"?'),
        ({"sightings": (parse_sighting("putter released 4 paces"),)}, "has no putter"),
        (
            {"sightings": (parse_sighting("7-iron released 80 paces"),)},
            "more than the .* firmest ground gives",
        ),
        ({"sightings": (parse_sighting("9-iron from rough came out 85 %"),)}, "is of the rough"),
    ],
)
def test_what_no_number_can_be_given_for_is_said(given, said):
    with pytest.raises(RequestError, match=said):
        ask(**given)


def test_a_sea_level_pressure_at_height_is_guessed():
    with pytest.raises(PhysicsError, match="sea-level pressure"):
        ask(pressure_hpa=1013.0, height_m=1500.0)


def test_what_was_left_out_is_said():
    day = plain_day(tour())
    everything = {"wind", "up", "down", "temperature", "height", "pressure", "firmness", "stimp", "lie"}
    said = "; ".join(taken_for_granted(tour(), day, everything))
    for words in (
        "calm",
        "level",
        "carries were measured in",
        "greens taken as normal",
        "11 ft",
        "clean lie",
    ):
        assert words in said
    assert "fairways" not in said
    seen = plain_day(tour(), sightings=(parse_sighting("7-iron released 4 paces"),))
    assert taken_for_granted(tour(), seen, {"down"}) == ()
    blown = plain_day(tour(), speed_mps=4.0, sightings=(parse_sighting("7-iron released 4 paces"),))
    assert taken_for_granted(tour(), blown, {"down"}) == ("the wind is that of a forecast, in the open",)
    assert "70 F (21 C)" in "; ".join(taken_for_granted(tour(), day, {"temperature"}))
    assert "0 ft above sea" in "; ".join(taken_for_granted(tour(), day, {"height", "pressure"}))


@pytest.mark.parametrize(
    ("hole", "origin", "number"), [("4", "tee", 2), ("7", "142 front", 1), ("12", "150 front", 3)]
)
def test_a_course_and_plain_numbers_agree(demo_course, hole, origin, number):
    week = demo_week()
    there = number_on_course(demo_course, tour(), week, hole, origin, round=number)
    found, played = there.number, week.round(number)
    assert there.location == played.setup(hole).location
    plain = the_number(
        tour(),
        plain_day(
            tour(),
            speed_mps=found.wind.speed_mps,
            wind_from=found.wind_from,
            temperature_c=played.temperature_c,
            height_m=week.height_m,
            stimp_ft=week.stimp_ft,
            sightings=week.sightings,
        ),
        front_m=found.front_m,
        on_m=found.on_m,
        hole_m=found.hole_m,
        lie=found.lie,
        rise_m=found.rise_m,
    )
    assert plain.fits[0].label == found.fits[0].label
    for cause in (*CAUSES, "playing_m", "hole_m"):  # 48 headings, linear between them
        assert getattr(plain, cause) == pytest.approx(getattr(found, cause), abs=0.2)
    assert plain.fits[0].finish_m == pytest.approx(found.fits[0].finish_m, abs=0.2)
    assert plain.fits[0].side_m == pytest.approx(found.fits[0].side_m, abs=0.2)


def test_on_a_course_the_place_gives_the_lie_and_the_landing_its_ground(demo_course):
    there = number_on_course(demo_course, tour(), demo_week(), "4", "tee", round=2)
    assert there.number.lie is Lie.TEE
    assert there.number.front_m + there.number.on_m == pytest.approx(there.number.hole_m, abs=YARD_M)
    wet = [f for f in there.number.fits if f.lands in (Surface.RED, Surface.YELLOW)]
    assert wet  # the pond is short of the green
    assert all(f.finish_m < 0.0 for f in wet)
    flat = number_on_course(level(demo_course), tour(), demo_week(), "4", "tee", round=2)
    assert "no heights known, so ball and hole level" in flat.number.assumptions
    assert "no heights known, so ball and hole level" not in there.number.assumptions
    jumper = number_on_course(demo_course, tour(), demo_week(), "7", "142 front", lie="jumper")
    assert jumper.number.lie is Lie.JUMPER
    assert jumper.given
    with pytest.raises(RequestError, match="has no round 9"):
        number_on_course(demo_course, tour(), demo_week(), "4", "tee", round=9)


@pytest.mark.parametrize("front", [95, 120, 142])
def test_the_front_that_was_asked_for_and_the_sheet_make_the_hole_number(demo_course, front):
    found = number_on_course(demo_course, tour(), demo_week(), "7", f"{front} front").number
    assert found.front_m / YARD_M == pytest.approx(front, abs=0.5)
    assert found.on_m / YARD_M == pytest.approx(19.0)
    assert abs(found.across_m) < 1e-9


def test_heights_of_the_course_are_in_the_number(demo_course):
    """The hole tilted up along its line by a twentieth: 142 to the front is about 8 yards below the hole."""
    hole = demo_course.hole("7")
    ahead = (hole.line[-1] - hole.line[0]) / np.hypot(*(hole.line[-1] - hole.line[0]))
    corner, cells = (float(hole.line[:, 0].min()) - 150.0, float(hole.line[:, 1].min()) - 150.0), 130
    x = np.arange(cells) * 5.0 + 2.5
    ground = 0.05 * ((corner[0] + x)[None, :] * ahead[0] + (corner[1] + x)[:, None] * ahead[1])
    heights = HeightMap(
        heights=ground.astype(np.float32), corner=corner, cell_m=5.0, origin=Origin.PUBLISHED, error_m=0.1
    )
    tilted = dataclasses.replace(
        demo_course,
        holes=tuple(
            dataclasses.replace(h, heights=heights) if h.label == "7" else h for h in demo_course.holes
        ),
    )
    flat = number_on_course(level(demo_course), tour(), demo_week(), "7", "142 front").number
    found = number_on_course(tilted, tour(), demo_week(), "7", "142 front").number
    assert found.rise_m == pytest.approx(0.05 * found.hole_m, abs=0.5)
    assert found.height_m == pytest.approx(0.85 * found.rise_m, abs=0.25 * found.rise_m)
    assert flat.height_m == pytest.approx(0.0, abs=1e-9)
    assert (flat.stance, flat.stance_m) == (None, pytest.approx(0.0, abs=1e-9))
    assert found.stance.ahead == pytest.approx(0.05, abs=0.006)
    assert 0.5 * YARD_M < found.stance_m < 5.0 * YARD_M  # an uphill lie, by the ball model
    assert found.hole_m + sum(getattr(found, c) for c in CAUSES) == pytest.approx(found.playing_m)
    assert not [a for a in found.assumptions if "heights" in a]


def test_a_week_as_stated_leaves_the_day_out(demo_course):
    week = dataclasses.replace(demo_week(), as_stated=True)
    found = number_on_course(demo_course, tour(), week, "4", "tee", round=2).number
    assert found.wind is None
    assert [getattr(found, c) for c in CAUSES[1:]] == pytest.approx([0.0] * 5, abs=1e-9)
    assert any("as the player states it" in a for a in found.assumptions)


def test_shots_that_are_flown_already_are_not_flown_again(demo_course, monkeypatch):
    """The table of the hole set up is the day's own: what a number makes beside it is along its heading."""
    asked = []

    def seen(player, day, along=None):
        asked.append(along)
        return table_in(player, day, along)

    monkeypatch.setattr("strategy.plan.number.table_in", seen)
    found = number_on_course(demo_course, tour(), demo_week(), "7", "142 front").number
    assert len(asked) == 2
    assert None not in asked
    here = today(demo_course.hole("7"), tour(), demo_week(), 1)
    same = {name: getattr(found, name) for name in ("front_m", "on_m", "hole_m", "lie", "rise_m")}
    alone = the_number(tour(), here.day, heading=asked[0], **same)
    assert len(asked) == 5
    for cause in (*CAUSES, "playing_m"):
        assert getattr(alone, cause) == pytest.approx(getattr(found, cause), abs=1e-6)
