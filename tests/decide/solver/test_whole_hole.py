"""The whole hole: what experienced people agree on, and which way a value must move.

Sanity cases A, C, D, E of the numerics note again, and G (common practice), now with every following shot
the player's own. Sides and directions of change are asserted as well as strokes.
"""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest

from scripts.invented import a_player, a_shot, squared
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_at, cost_field, options
from strategy.decide.aims import Aims
from strategy.decide.kernels.relief import relief_value
from strategy.decide.options import judge
from strategy.decide.search import search
from strategy.decide.solver.whole_hole import solve
from strategy.outcome.setup import today
from strategy.outcome.shot_table import shot_table
from strategy.outcome.today import Canopy
from strategy.outcome.weather import Weather, table_in
from strategy.player.defaults import LIE_EFFECTS
from strategy.reference.spread import landing_scatter
from strategy.units import YARD_M
from strategy.week.model import WindHour
from tests.worlds import a_week, bounded_e, case_today, driver_and_wood, more_club_over_the_pond, yards_off

NOISE = 0.003  # strokes; what the issue allows for sampling and search


def irons(longest=165, scale=1.0):
    """Shots for whatever is left: every carry up to `longest` within one of them. Tour scatter."""
    carries = np.arange(60, longest + 1, 15)
    scatter = {c: np.array(landing_scatter(c * YARD_M)) / YARD_M * scale for c in carries}
    return tuple(a_shot(f"iron {c}", int(c), *map(float, scatter[c]), dial=0.09) for c in carries)


def player(*shots):
    """Lies take what they do by default: were rough as good as fairway, a fairway would be worth nothing."""
    return dataclasses.replace(a_player(*shots), lie_effects=LIE_EFFECTS)


def with_lies(today_, *shots):
    return dataclasses.replace(today_, shots=shot_table(player(*shots)))


class Solved:
    """A hole solved, laid out, and its answer from the tee or another spot."""

    def __init__(self, today_, spot=None):
        self.today = today_
        self.spot = today_.tee_spot if spot is None else spot
        self.whole = solve(today_)
        self.field = cost_field(today_, self.whole)
        self.found = options(today_, self.spot, self.whole, laid_out=self.field)
        self.best = self.found[0]

    def cost_at(self, xy, option=None):
        option = option or self.best
        return cost_at(self.field, self.spot, option.index, (float(xy[0]), float(xy[1])), option)[0]

    def costs(self):
        return {o.club: o.cost for o in self.found}


# -- the sanity cases ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def case_a():
    def of(scale):
        shots = a_shot("4-iron", 205, 9 * scale, 8 * scale, dial=0.15), *irons()
        today_, expected = case_today("A", *shots)
        return Solved(with_lies(today_, *shots)), expected

    return {scale: of(scale) for scale in (1.0, 1.25)}


def test_a_aims_well_left_and_further_with_more_scatter(case_a):
    hole, expected = case_a[1.0]
    right = {scale: yards_off(h.today, h.best.aim)[0] for scale, (h, _) in case_a.items()}
    low, high = expected["aim_left_of_hole"]
    assert hole.best.club == "4-iron"
    assert low <= -right[1.0] <= high
    assert hole.cost_at(hole.today.hole) >= expected["flag_cost_min"]
    assert right[1.25] < right[1.0] - 0.5


def test_c_a_wedge_goes_at_the_flag_and_the_middle_is_dear():
    today_, expected = case_today("C", a_shot("wedge", 95, 3, 5, dial=0.15))
    hole = Solved(today_)
    assert np.hypot(*yards_off(today_, hole.best.aim)) <= expected["aim_within"]
    assert hole.cost_at(today_.green[:-1].mean(axis=0)) >= expected["middle_cost_min"]


def test_d_pond_in_front_takes_more_club_and_more_with_more_scatter():
    def answer(today_):
        hole = Solved(today_)
        return hole.best, hole.cost_at(today_.hole)

    more_club_over_the_pond(answer)


def test_e_driver_beats_3_wood_on_a_narrow_fairway():
    shots = *driver_and_wood(), *irons()
    today_, expected = case_today("E", *shots)
    costs = Solved(with_lies(today_, *shots)).costs()
    assert costs[expected["best"]] == 0.0
    assert costs["wood"] >= expected["by"]


def test_e_out_of_bounds_right_is_still_driver_and_well_left():
    hole, pin = bounded_e()
    bound = Solved(today(hole, player(*driver_and_wood(), *irons()), a_week(), pin=pin))
    assert bound.best.club == "driver"
    assert 8 <= -(bound.best.aim[0] - bound.today.tee[0]) / YARD_M <= 17
    assert bound.cost_at((bound.today.tee[0], bound.best.aim[1])) >= 0.05


# -- G: going for a par 5 over a pond -----------------------------------------------------------------


def par_5(needed=None):
    """520 yd, 250 left: green 244-275 off, the hole 12 on; a pond across it that takes `needed` to carry.

    The pond begins 190 off, so that a lay-up in front of it is free; behind it lies fairway.
    """
    hole, left = 520.0, 250.0

    def paint(x, y):
        x, y = x / YARD_M, y / YARD_M
        off = y - (hole - left)
        code = np.full(x.shape, int(Surface.ROUGH))
        code[(np.abs(x) < 18) & (y > -5)] = Surface.FAIRWAY
        if needed is not None:
            code[(np.abs(x) < 45) & (off > 190) & (off < needed)] = Surface.YELLOW
        code[(x / 15) ** 2 + ((off - 259) / 15) ** 2 < 1] = Surface.GREEN
        code[(y > 600) | (np.abs(x) > 75)] = Surface.OFF_MAP
        return code

    wood = a_shot("wood", 243, 15, 10, run=14)
    shots = wood, *irons(195)
    today_ = squared(640 * YARD_M, 156 * YARD_M, paint, *shots, cell_m=1.0, hole=(0.0, (hole + 6) * YARD_M))
    return Solved(with_lies(today_, *shots), Spot(0.0, (hole - left) * YARD_M, Lie.FAIRWAY))


def price_of_going(hole):
    """Strokes the wood costs over the best of the shots that stay short; less than 0 when it is best."""
    found = options(hole.today, hole.spot, hole.whole, laid_out=hole.field, keep=16)
    costs = {o.club: o.cost for o in found}
    short = min(c for club, c in costs.items() if club != "wood")
    return costs["wood"] - short


@pytest.mark.slow
def test_g_goes_when_dry_or_well_within_the_carry_and_lays_up_when_it_needs_it_all():
    needs = (None, 220, 228, 234, 237, 240, 243)
    price = {n: price_of_going(par_5(n)) for n in needs}
    assert price[None] <= -0.25
    assert price[228] < 0.0
    assert price[243] >= 0.2
    grown = [price[n] for n in needs]
    assert all(a < b for a, b in pairwise(grown[1:]))
    goes = [p < 0 for p in grown]
    assert sum(a != b for a, b in pairwise(goes)) == 1


# -- which way a value moves --------------------------------------------------------------------------


def par_4(*shots, water=False):
    """380 m, sand by the green; with `water` a red lake along the right of the landing."""

    def paint(x, y):
        code = np.full(x.shape, int(Surface.ROUGH))
        code[(np.abs(x) < 16) & (y > 100)] = Surface.FAIRWAY
        if water:
            code[((x - 42) / 22) ** 2 + ((y - 245) / 70) ** 2 < 1] = Surface.RED
        code[(x / 13) ** 2 + ((y - 380) / 14) ** 2 < 1] = Surface.GREEN
        code[((x + 19) / 5) ** 2 + ((y - 376) / 8) ** 2 < 1] = Surface.BUNKER
        code[(y > 430) | (y < -30) | (np.abs(x) > 70)] = Surface.OFF_MAP
        return code

    return with_lies(squared(475, 144, paint, *shots, cell_m=1.0, hole=(3.0, 382.0)), *shots)


def woods(scale=1.0, dial=0.0):
    return (
        a_shot("driver", 275, 17 * scale, 12 * scale, run=15, dial=dial),
        a_shot("wood", 235, 12 * scale, 9 * scale, run=12, dial=dial),
        a_shot("long iron", 200, 8 * scale, 8 * scale, run=6, dial=dial),
    )


@pytest.fixture(scope="module")
def plain():
    return Solved(par_4(*woods(), *irons(180)))


def rise_at_tee(before, after):
    return (after.best.strokes - after.best.cost) - (before.best.strokes - before.best.cost)


def test_a_penalty_area_costs_strokes_from_the_tee(plain):
    assert rise_at_tee(plain, Solved(par_4(*woods(), *irons(180), water=True))) >= 0.01


def test_another_shot_never_costs_strokes_from_the_tee(plain):
    extra = a_shot("hybrid", 217, 9, 8, run=9, dial=0.05)
    assert rise_at_tee(plain, Solved(par_4(*woods(), extra, *irons(180)))) <= NOISE


@pytest.mark.slow
def test_no_penalty_area_lowers_a_value_anywhere_and_no_shot_raises_one():
    """In every cell from which a ball is played, with points enough that noise is below what is allowed."""

    def field(*shots, water=False):
        today_ = par_4(*woods(), *shots, *irons(180), water=water)
        return solve(today_, size=256).field(today_)

    before, wet = field(), field(water=True)
    more = field(a_shot("hybrid", 217, 9, 8, run=9, dial=0.05))
    dry = np.isfinite(before) & np.isfinite(wet)
    assert (wet - before)[dry].min() >= -NOISE
    assert np.nanmax(more - before) <= NOISE
    assert (wet - before)[dry].max() > 0.05
    assert np.nanmin(more - before) < -0.01


def test_a_tighter_spread_never_raises_a_value_where_the_carry_is_free():
    """In every cell from which a ball is played, and by a good deal at the tee."""
    wide = Solved(par_4(*woods(dial=0.1), *irons(180), water=True))
    tight = Solved(par_4(*woods(0.85, dial=0.1), *irons(180, 0.85), water=True))
    change = tight.whole.field(tight.today) - wide.whole.field(wide.today)
    assert change[np.isfinite(change)].max() <= NOISE
    assert rise_at_tee(wide, tight) <= -0.01


def test_the_field_is_the_value_of_each_lie_by_its_chance(plain):
    """F composed by the kernel against the answers of the solution itself, spot by spot."""
    rng = np.random.default_rng(5)
    today_, values = plain.today, plain.whole.field(plain.today)
    row, col = rng.integers(0, 470, 3000), rng.integers(0, 144, 3000)
    known = np.isfinite(values[row, col])
    xy = np.asarray(today_.corner) + (np.column_stack((col, row)) + 0.5) * today_.cell_m
    by_lie = np.column_stack([plain.whole(xy, np.full(len(xy), lie)) for lie in Lie])
    chance = today_.lie_chance[today_.surface[row, col]]
    mean = np.sum(np.where(chance > 0.0, chance * np.nan_to_num(by_lie, nan=9.0), 0.0), axis=1)
    assert known.sum() > 2000
    np.testing.assert_allclose(values[row, col][known], mean[known], atol=2e-5)


def test_the_last_pass_bounds_what_is_left(plain):
    """Further passes move no value by more than the bound that was stated."""
    assert plain.whole.residual <= 0.002
    longer = solve(plain.today, tolerance=1e-9)
    moved = np.abs(longer.rest.value - plain.whole.rest.value).max()
    assert moved <= plain.whole.bound
    assert longer.residual < plain.whole.residual


def test_a_drop_out_of_an_unplayable_lie_never_pays(plain):
    """Rule 19.2b and c, from every node-lie: a stroke, then back on the line or within two club-lengths."""
    hole, field = plain.whole, plain.field
    solved = np.flatnonzero(hole.rest.options[:, 0, 0] >= 0)
    gain = [
        hole.rest.value[n]
        - relief_value(
            field.values, field.rows, field.columns, plain.today.cell_m, *field.hole,
            plain.today.longest_club_m, field.zones, *hole.rest.lattice.spots[n, :2], True,
        )
        for n in solved
    ]  # fmt: skip
    poor = hole.rest.lattice.lies[solved] == Lie.ROUGH_POOR
    assert -1.0 < np.max(np.array(gain)[poor]) < -0.2  # the dearest lie is nearest to it
    assert max(gain) < -0.2


# -- ground beyond the lattice --------------------------------------------------------------------------


def wide(*shots):
    """380 m, nothing but rough for 200 m to either side of a narrow fairway."""

    def paint(x, y):
        code = np.full(x.shape, int(Surface.ROUGH))
        code[(np.abs(x) < 12) & (y > 100)] = Surface.FAIRWAY
        code[(x / 13) ** 2 + ((y - 380) / 14) ** 2 < 1] = Surface.GREEN
        return code

    return with_lies(squared(475, 400, paint, *shots, cell_m=1.0, hole=(0.0, 382.0)), *shots)


@pytest.fixture(scope="module")
def short_hitter():
    """A player far below the table's level: where nothing is solved the table flatters."""
    shots = a_shot("driver", 180, 17, 14, run=10), *irons(140, 1.6)
    return Solved(wide(*shots))


def test_ground_beyond_the_lattice_is_as_much_dearer_than_the_table_as_that_within(short_hitter):
    hole = short_hitter
    values, table = hole.whole.field(hole.today), hole.whole.baseline.field(hole.today)
    more = values - table
    x = hole.today.centres()[..., 0]
    row = 40 + 150  # 232 m from the hole
    within, beyond = more[row][np.abs(x[row]) < 70], more[row][np.abs(x[row]) > 82]
    assert beyond.min() > 0.1
    assert beyond.max() == pytest.approx(within[[0, -1]].mean(), abs=0.05)
    near_edge = np.abs(np.abs(x[row]) - 75.0) < 8.0
    assert np.abs(np.diff(values[row][near_edge & (x[row] > 0)])).max() < 0.05
    spots = np.array([(x[row][-5], 150.0), (0.0, 150.0)])
    assert (
        hole.whole(spots, [int(Lie.ROUGH_GOOD)] * 2)[0]
        > hole.whole.baseline(spots, [int(Lie.ROUGH_GOOD)] * 2)[0]
    )


def test_nobody_is_sent_out_there(short_hitter):
    """Were the table to stand beyond the lattice, the tee shot would be aimed at it."""
    assert abs(yards_off(short_hitter.today, short_hitter.best.aim)[0]) < 15.0


# -- starting from another solution, and looking ahead from a spot ---------------------------------------


def test_a_moved_hole_location_starts_from_the_solution_of_another(plain):
    """Within the noise of the points of a solution made afresh, and without its full search."""
    moved = plain.today.with_pin((-6.0, 374.0))
    warm, fresh = solve(moved, start=plain.whole), solve(moved)
    assert warm.rest.lattice is plain.whole.rest.lattice
    assert warm.rest.sweeps < fresh.rest.sweeps
    away = np.hypot(*(fresh.rest.lattice.spots[:, :2] - 1.0 + moved.corner - np.asarray(moved.hole)).T)
    apart = (warm.rest.value - fresh.rest.value)[away > 60.0]
    assert abs(apart.mean()) <= NOISE
    assert (
        apart.std() <= 0.02
    )  # single node-lies of either lie 0.014 from a solution on four times the points
    assert value_at_tee(moved, warm) == pytest.approx(value_at_tee(moved, fresh), abs=NOISE)
    assert np.nanmax(np.abs(fresh.field(moved) - plain.whole.field(plain.today))) > 0.1  # it did move


def value_at_tee(today_, whole):
    best = options(today_, today_.tee_spot, whole)[0]
    return best.strokes - best.cost


def test_solving_only_where_balls_come_down_is_enough_from_the_tee(plain):
    """Half the node-lies, the same value from the tee to 0.001; it is another lattice and says so."""
    landings = solve(plain.today, landings=True)
    assert len(landings.rest.value) < 0.75 * len(plain.whole.rest.value)
    assert value_at_tee(plain.today, landings) == pytest.approx(
        value_at_tee(plain.today, plain.whole), abs=1e-3
    )
    assert solve(plain.today, start=plain.whole, landings=True).rest.lattice is not plain.whole.rest.lattice


def test_another_hole_shares_no_lattice(plain):
    other = par_4(*woods(), *irons(180), water=True)
    assert solve(other, start=plain.whole).rest.lattice is not plain.whole.rest.lattice


def test_looking_ahead_from_near_by_finds_what_the_whole_search_finds(plain):
    """The options of the node-lies round a spot are starts as good as the coarse net: same cost to 0.003."""
    rng = np.random.default_rng(8)
    compared = 0
    for x, y in rng.uniform((-30.0, 120.0), (30.0, 290.0), (12, 2)):
        code = int(plain.today.surface_at((x, y))[0])
        spot = Spot(float(x), float(y), Lie(int(np.argmax(plain.today.lie_chance[code]))))
        near = plain.whole.aims_near(spot)
        assert near is not None
        assert len({int(s) for s in near.shot}) >= 4
        guess = float(plain.whole([(x, y)], [int(spot.lie)])[0])
        net = search(plain.field, spot, guess, seed=10, keep=4)
        quick = search(plain.field, spot, guess, seed=10, keep=4, start=near)
        both = judge(plain.field, spot, Aims.join((net.aims, quick.aims)), seed=5, guess=guess)
        of_net, of_quick = np.split(both.repeated, [len(net.aims)])
        assert of_quick.min() == pytest.approx(of_net.min(), abs=NOISE)
        compared += 1
    assert compared == 12
    assert plain.whole.aims_near(plain.today.tee_spot) is None  # a teed ball is no node-lie


# -- what it was solved for ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def windy():
    """A short hole in a wind that counts, solved where balls from the tee come down."""
    bag = a_player(a_shot("7-iron", 150, 6, 6, dial=0.3), a_shot("wedge", 90, 4, 5, dial=0.4))
    wind = WindHour(hour=9.0, speed_mps=4.0, gust_mps=4.0, blows_from=20.0)
    day = Weather(wind=wind, air=STANDARD_AIR)

    def paint(x, y):
        return np.where(np.hypot(x, y - 130.0) < 14.0, int(Surface.GREEN), int(Surface.FAIRWAY))

    here = squared(220, 100, paint, *bag.shots, hole=(0.0, 130.0))
    here = dataclasses.replace(here, day=day, wind=wind, player=bag, shots=table_in(bag, day))
    return here, solve(here, landings=True, size=16)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda h: h.with_wind(dataclasses.replace(h.wind, speed_mps=6.0)), "other shots or another wind"),
        (lambda h: h.with_wind(None), "other shots or another wind"),
        (lambda h: h.with_pin((2.0, 131.0)), "another hole location"),
        (lambda h: h.with_tee((0.0, 9.0)), "other markers"),
        (lambda h: dataclasses.replace(h, surface=np.roll(h.surface, 1)), "another map"),
        (lambda h: dataclasses.replace(h, height=np.zeros(h.surface.shape, np.float32)), "other heights"),
        (lambda h: dataclasses.replace(h, stimp_ft=12.0), "another green speed"),
        (lambda h: dataclasses.replace(h, level=80.0), "another player"),
        (
            lambda h: dataclasses.replace(h, canopy=Canopy.of(h.surface, h.surface, h.cell_m)),
            "other trees",
        ),
    ],
)
def test_a_hole_it_was_not_solved_for_is_refused_by_name(windy, change, said):
    here, whole = windy
    other = change(here)
    with pytest.raises(ValueError, match=f"^this whole hole was solved for {said}$"):
        whole.field(other)
    with pytest.raises(ValueError, match=said):
        cost_field(other, whole)


def test_the_same_hole_set_up_again_is_the_one_that_was_solved(windy):
    here, whole = windy
    again = here.with_wind(here.wind)
    assert again.shots is not here.shots
    values = whole.field(dataclasses.replace(again, surface=here.surface.copy(), label="2"))
    np.testing.assert_array_equal(values, whole.field(here))
