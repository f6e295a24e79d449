"""What a lie does to a shot once it is flown: low spin, lips, woods off turf, wet grass."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import a_player, a_shot
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie, Surface
from strategy.demofiles import demo
from strategy.outcome.setup import today
from strategy.outcome.shot_table import parts, shot_table, together
from strategy.outcome.weather import WET, Weather, launches, table_in, weather, wet_lies
from strategy.player import read_player
from strategy.player.defaults import LIE_EFFECTS
from strategy.player.model import LieEffect
from strategy.units import MPH_MPS, YARD_M
from strategy.week import read_week
from strategy.week.model import Round, Week, WindHour
from tests.worlds import case

CALM = Weather(wind=None, air=STANDARD_AIR)
GROUNDS = [Surface.FAIRWAY, Surface.FIRST_CUT, Surface.ROUGH, Surface.GREEN]


@pytest.fixture(scope="module")
def player():
    """The demo's tour player with the default lies."""
    return dataclasses.replace(read_player(demo().player), lie_effects=LIE_EFFECTS)


def at(player, lie, club="7-iron", day=CALM, heading=0.0):
    table = table_in(player, day)
    return table.at(table.clubs.index(club), int(lie), heading)


def with_lie(player, lie, **changes):
    effect = dataclasses.replace(player.lie_effects[lie], **changes)
    return dataclasses.replace(player, lie_effects={**player.lie_effects, lie: effect})


def descent(row):
    """Descent angle behind the change with height. [°]"""
    return float(np.degrees(np.arctan(-1.0 / row.rise[0])))


# ------------------------------------------------------------------------------------------ low spin


@pytest.mark.parametrize("club", ["4-iron", "6-iron", "7-iron", "9-iron", "pitching wedge"])
def test_a_jumper_carries_its_multiplier_flies_lower_lands_shallower_and_runs_on(player, club):
    clean, jumper = at(player, Lie.FAIRWAY, club), at(player, Lie.JUMPER, club)
    assert float(jumper.carry / clean.carry) == pytest.approx(1.05, abs=1e-3)
    assert float(jumper.apex) < float(clean.apex)
    assert descent(jumper) < descent(clean) - 1.5
    for ground in GROUNDS:
        assert float(jumper.run[ground]) > float(clean.run[ground]), ground.label


def test_the_flight_of_a_low_spin_lie_is_the_launch_flown_with_that_spin(player):
    """The spun launch carries what the clean one does, and the table shows its apex times the multiplier."""
    clean, spun = launches(player), launches(player, 0.6)
    np.testing.assert_allclose(spun.launch.spin_rad_s, 0.6 * clean.launch.spin_rad_s, rtol=1e-12)
    np.testing.assert_allclose(spun.calm.carry_m, clean.calm.carry_m, atol=0.02)
    table = table_in(player, CALM)
    i = table.clubs.index("8-iron")
    apex = float(table.at(i, int(Lie.JUMPER), 0.0).apex)
    assert apex == pytest.approx(1.05 * float(spun.calm.apex_m[i]), abs=1e-3)


def test_a_low_spin_ball_answers_the_wind_by_its_own_flight(player):
    wind = WindHour(hour=9.0, speed_mps=15 * MPH_MPS, gust_mps=20 * MPH_MPS, blows_from=0.0)
    into = Weather(wind=wind, air=STANDARD_AIR)
    taken = [float(at(player, lie, day=into).carry - at(player, lie).carry) for lie in (Lie.TEE, Lie.JUMPER)]
    # Less spin, less lift, a lower ball: the wind takes less of it, though it is the longer shot.
    assert taken[0] < taken[1] < 0.0


def test_more_spin_than_clean_flies_higher_and_stops(player):
    more = with_lie(player, Lie.ROUGH_GOOD, spin=1.2)
    clean, spun = at(player, Lie.ROUGH_GOOD, "6-iron"), at(more, Lie.ROUGH_GOOD, "6-iron")
    assert float(spun.carry) == pytest.approx(float(clean.carry), abs=0.05)
    assert float(spun.apex) > float(clean.apex)
    assert float(spun.run[Surface.GREEN]) < float(clean.run[Surface.GREEN])


def test_a_stated_run_of_a_low_spin_lie_rules_over_the_flight(player):
    stated = with_lie(player, Lie.JUMPER, run=2.0, stated=frozenset({"run"}))
    clean, jumper = at(stated, Lie.FAIRWAY), at(stated, Lie.JUMPER)
    np.testing.assert_allclose(jumper.run[GROUNDS], 2.0 * clean.run[GROUNDS], atol=0.05)


def test_a_default_run_of_a_low_spin_lie_is_left_to_the_flight(player):
    runs = [at(with_lie(player, Lie.JUMPER, run=run), Lie.JUMPER).run[GROUNDS] for run in (1.0, 1.8)]
    np.testing.assert_allclose(runs[0], runs[1], atol=1e-9)


def test_what_wind_and_height_do_shrinks_with_the_ball(player):
    """The same shape 0.85 times as large: its landing is moved by wind 0.85 times as far."""
    wind = WindHour(hour=9.0, speed_mps=15 * MPH_MPS, gust_mps=20 * MPH_MPS, blows_from=40.0)
    windy = Weather(wind=wind, air=STANDARD_AIR)
    clean, poor = (
        at(player, lie, day=windy).covariance - at(player, lie).covariance
        for lie in (Lie.FAIRWAY, Lie.ROUGH_POOR)
    )
    np.testing.assert_allclose(poor, 0.85**2 * clean, atol=1e-6)
    curved = [float(at(player, lie).rise[1]) for lie in (Lie.FAIRWAY, Lie.ROUGH_POOR)]
    assert 0.85 * curved[1] == pytest.approx(curved[0])


def test_a_lie_that_leaves_the_spin_alone_keeps_the_shape_of_the_flight(player):
    clean, poor = at(player, Lie.FAIRWAY), at(player, Lie.ROUGH_POOR)
    assert float(poor.apex) == pytest.approx(0.85 * float(clean.apex))
    assert float(poor.rise[0]) == pytest.approx(float(clean.rise[0]))
    assert float(poor.run[Surface.GREEN]) == pytest.approx(float(clean.run[Surface.GREEN]), abs=0.05)


def test_effects_that_come_together_multiply():
    both = together([LieEffect(carry=0.9, spin=0.6, lip_deg=5.0), LieEffect(carry=0.5, scatter=2.0)])
    assert (both.carry, both.scatter, both.spin, both.lip_deg) == (0.45, 2.0, 0.6, 5.0)
    assert together([]) == LieEffect()


# ------------------------------------------------------------------------------------------ the lip


def test_a_lip_stops_what_leaves_the_face_lower(player):
    """Tour launches (reference/launch_tour.csv): 5-iron 12.1°, 8-iron 18.1°; this player's are near them."""
    for lip in (0.0, 12.0, 15.0, 19.0, 25.0):
        table = table_in(with_lie(player, Lie.SAND, lip_deg=lip), CALM)
        up = launches(player).launch.launch_deg
        from_sand = np.array([Lie.SAND in s.lies for s in player.shots])
        assert (table.allowed[:, Lie.SAND] == (from_sand & (up >= lip))).all(), lip
    low = table_in(with_lie(player, Lie.SAND, lip_deg=15.0), CALM).allowed[:, Lie.SAND]
    clubs = [s.club for s in player.shots]
    assert not low[clubs.index("5-iron")]
    assert low[clubs.index("8-iron")]


def test_a_lip_leaves_the_highest_shot_and_other_lies_alone(player):
    plain, walled = table_in(player, CALM), table_in(with_lie(player, Lie.SAND, lip_deg=60.0), CALM)
    full = plain.allowed[:, Lie.SAND] & ~plain.short
    left = np.flatnonzero(walled.allowed[:, Lie.SAND])
    up = launches(player).launch.launch_deg
    assert list(left) == [int(np.argmax(np.where(full, up, -1.0)))]
    others = [int(lie) for lie in Lie if lie != Lie.SAND]
    assert (walled.allowed[:, others] == plain.allowed[:, others]).all()


def test_a_lip_gives_no_shot_to_a_player_who_has_none_there():
    driver = dataclasses.replace(a_shot("driver", 260, 15, 12), lies=frozenset({Lie.TEE}))
    player = dataclasses.replace(a_player(driver), lie_effects=LIE_EFFECTS)
    assert not table_in(player, CALM).allowed[0, Lie.SAND]


# ------------------------------------------------------------------------------------- off the turf


def test_a_wood_off_turf_is_shorter_and_wider_than_off_a_tee(player):
    wood = next(s for s in player.shots if s.club == "5-wood")
    assert (wood.turf.carry, wood.turf.scatter) == (0.98, 1.05)
    tee, turf, rough = (at(player, lie, "5-wood") for lie in (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH_GOOD))
    assert float(turf.carry / tee.carry) == pytest.approx(0.98)
    assert float(rough.carry / tee.carry) == pytest.approx(0.98 * 0.96)
    wider = np.sqrt(turf.covariance[1, 1] / tee.covariance[1, 1])
    assert float(wider) == pytest.approx(1.05)
    iron = [float(at(player, lie, "6-iron").carry) for lie in (Lie.TEE, Lie.FAIRWAY)]
    assert iron[0] == iron[1]


def test_the_number_off_turf_is_the_players_own_number_off_turf(player):
    table = table_in(player, CALM)
    i = table.clubs.index("5-wood")
    full = {lie: float(table.at(i, int(lie), 0.0).carry) for lie in (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH_GOOD)}
    assert table.playing(i, Lie.TEE, 0.0, full[Lie.TEE]) == pytest.approx(player.shots[i].carry_m, abs=0.02)
    own = 0.98 * player.shots[i].carry_m
    assert table.playing(i, Lie.FAIRWAY, 0.0, full[Lie.FAIRWAY]) == pytest.approx(own, abs=0.02)
    # Out of the rough the whole shot goes shorter; what is played is the same.
    assert table.playing(i, Lie.ROUGH_GOOD, 0.0, full[Lie.ROUGH_GOOD]) == pytest.approx(own, abs=0.02)


def test_a_stated_carry_off_turf_counts_with_the_physics_off_too(tmp_path):
    file = tmp_path / "p.toml"
    file.write_text('name = "x"\nhand = "right"\n[[shots]]\nclub = "3-wood"\ncarry = 250\ncarry_turf = 240\n')
    table = shot_table(read_player(file))
    carried = [float(table.carry[0, lie, 0]) / YARD_M for lie in (Lie.TEE, Lie.FAIRWAY)]
    assert carried == pytest.approx([250.0, 240.0])


# -------------------------------------------------------------------------------------- wet grass


def wet_day(player, preferred=False):
    week = Week(name="w", rounds=(Round(number=1, wet=True),), preferred_lies=preferred)
    return weather(player, week, week.round(1), "1", 0)


def test_wet_grass_takes_spin_and_widens_from_fairway_first_cut_and_rough(player):
    dry, wet = table_in(player, CALM), table_in(player, dataclasses.replace(CALM, wet=WET))
    i = dry.clubs.index("7-iron")
    for lie in Lie:
        before, after = dry.at(i, int(lie), 0.0), wet.at(i, int(lie), 0.0)
        assert float(after.carry) == pytest.approx(float(before.carry), abs=0.05), lie
        wider = float(np.sqrt(after.covariance[0, 0] / before.covariance[0, 0]))
        assert wider == pytest.approx(1.1 if lie in WET else 1.0), lie
        if lie in WET:
            assert float(after.apex) < float(before.apex), lie
            assert float(after.run[Surface.GREEN]) > float(before.run[Surface.GREEN]), lie
        else:
            assert float(after.apex) == float(before.apex), lie


def test_preferred_lies_spare_the_fairway(player):
    assert wet_day(player).wet == WET
    assert wet_day(player, preferred=True).wet == WET - {Lie.FAIRWAY}
    assert any("cleaned and placed" in text for text in wet_day(player, preferred=True).said)
    assert any("spin times 0.8" in text for text in wet_day(player).said)
    dry = Week(name="w", rounds=(Round(number=1),), preferred_lies=True)
    assert wet_lies(dry, dry.round(1)) == frozenset()


def test_wet_grass_reaches_the_hole_today_where_the_physics_is_on(player):
    hole, _, pin = case("C")
    week = read_week(demo().week)
    soaked = dataclasses.replace(week, rounds=(dataclasses.replace(week.round(1), wet=True),))
    i = table_in(player, CALM).clubs.index("9-iron")
    for stated in (False, True):
        dry, wet = (
            today(hole, player, dataclasses.replace(w, as_stated=stated), pin=pin).shots
            for w in (week, soaked)
        )
        ratio = wet.covariance[i, Lie.FAIRWAY, :, 0, 0] / dry.covariance[i, Lie.FAIRWAY, :, 0, 0]
        # Part of the scatter is the wind's, which wet grass does not widen.
        assert (ratio == 1.0).all() if stated else ((ratio > 1.1) & (ratio < 1.21)).all()
        assert (wet.covariance[i, Lie.TEE] == dry.covariance[i, Lie.TEE]).all()


def test_the_parts_of_a_lie(player):
    wood = next(s for s in player.shots if s.club == "3-wood")
    assert parts(player, wood, Lie.TEE, WET) == (LieEffect(),)
    assert parts(player, wood, Lie.FAIRWAY, WET) == (LieEffect(), wood.turf, player.wet)
    assert parts(player, wood, Lie.SAND, WET) == (LIE_EFFECTS[Lie.SAND], wood.turf)
    assert parts(player, wood, Lie.GREEN, WET) == ()
