"""The whole tool against published scores: a player's shots and a hole's ground in, strokes out.

Sources
-------
* M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2):146-165, 2012, working paper
  of 8 April 2011, Appendix Table 9. Confirmed in two lineages. Drives of those years: 286 yd (USGA and R&A
  distance reports, 285.9 in 2003; confirmed).
* USGA Course Rating System, yardage rating: a stroke every 220 yd for scratch, 160 for bogey (confirmed;
  the bogey formula with its constant is from memory). Drives 250 and 200 yd, two shots 470 and 370 yd
  (course rating definitions; confirmed). Scatter: Course Rating System Manual, 2020, accuracy table;
  confirmed.
* M. Broadie, Every Shot Counts, 2014: 20 yd longer off the tee 0.75 a round on the tour (confirmed, two
  stored sources; worked example 13 x 0.07 - 0.17, of drives alone). S. Ko, thesis, Columbia, 2012,
  abstract: tour a little under 1, high handicap almost 3; confirmed.
* M. Broadie, magazine excerpt of the same book: 400-yd par 4, out of bounds all along the right, an
  80-golfer: 4.7 and 7 % out down the middle, 4.6 at the left edge of the fairway. One stored source.
* M. Broadie, Science and Golf V, 2008, pp. 253-262, Table 1: direction of long tee shots, scores of 70 to
  83: 5.4 degrees. Confirmed, two transcriptions.

The neutral hole is ours, for the ground of the published shots is not known: straight and level, fairway 28
m (30.6 yd) wide from the tee to the green, rough beside and around (50, 35 and 15 % good, poor and jumper
lies), a round green of 5,000 sq ft, three bunkers on a seventh of the ten yards around it; no water, trees
or boundary. Calm, but for the wind misjudged by 2 mph as in test_leaves.py. Five hole locations count
alike: the middle, and 8 yd from it left, right, front and back (5 from the edge).

Inside 60 yd the solver plays by Table 9 itself, and in part up to 87 yd: the rows at 80 yd lean on it.
"""

import dataclasses
import math

import numpy as np
import pytest

from scripts.invented import squared
from strategy.codes import Lie, Spot, Surface
from strategy.decide import cost_field, options
from strategy.decide.aims import Aims
from strategy.decide.options import judge
from strategy.decide.solver.whole_hole import solve
from strategy.outcome.play import Choice, finishes
from strategy.outcome.points import merged
from strategy.outcome.shot_table import shot_table
from strategy.player import read_player
from strategy.reference import numbers
from strategy.reference.spread import BOGEY_LEVEL, SCRATCH_LEVEL
from strategy.strokes.baseline import strokes_from
from strategy.units import YARD_M, yards

pytestmark = pytest.mark.slow

# Carries: tour averages by radar, strategy/reference/launch_tour.csv; the driver's is set so that carry and
# run on a fairway come to 286 yd (the carry printed there is 275, of a later season). Wedges:
# common practice.
BAG = {
    "driver": 271.7, "3-wood": 243, "hybrid": 225, "4-iron": 203, "5-iron": 194, "6-iron": 183,
    "7-iron": 172, "8-iron": 160, "9-iron": 148, "pitching wedge": 136, "gap wedge": 123, "sand wedge": 111,
    "lob wedge": 97,
}  # fmt: skip
PARTIAL = (45, 50, 55, 60, 65, 70, 76, 82, 89)
GREEN_YD = math.sqrt(5_000 / 9 / math.pi)
BUNKERS = ((-18.0, -3.0, 3.0, 6.5), (17.0, 9.0, 3.5, 5.5), (18.0, -9.0, 3.5, 4.5))  # place, half-axes [yd]
PINS = ((0.0, 0.0), (-8.0, 0.0), (8.0, 0.0), (0.0, -8.0), (0.0, 8.0))
WIDE_M = 75.0


@pytest.fixture(scope="module")
def bag(tmp_path_factory):
    """Players who state carries only: the tour's bag, longer or shorter as a whole, at a level."""

    def of(level, scale=1.0):
        shots = [f'[[shots]]\nclub = "{club}"\ncarry = {carry * scale:.2f}\n' for club, carry in BAG.items()]
        part = ", ".join(f'"{k}" = {carry * scale:.2f}' for k, carry in enumerate(PARTIAL))
        path = tmp_path_factory.mktemp("whole") / "player.toml"
        head = f'name = "Anyone"\nhand = "right"\nlevel = {level}\n'
        path.write_text(f'{head}{"".join(shots)}[wedges]\n"sand wedge" = {{ {part} }}\n', encoding="utf-8")
        return read_player(path)

    return of


def in_wind_misjudged(player):
    """The shot table with 2 mph of wind unseen: 2.9 yd of side, 3.3 of depth at 150 yd, whatever the lie."""
    table = shot_table(player)
    covariance = table.covariance.copy()
    covariance[..., 0, 0] += (2.9 / 150.0 * table.carry) ** 2
    covariance[..., 1, 1] += (3.3 / 150.0 * table.carry) ** 2
    return dataclasses.replace(table, covariance=covariance)


class Neutral:
    """The neutral hole of a length, solved for a player and a hole location; out of bounds beyond `out`. [yd]

    The hole is one for every distance: a tee shot from d yd is played d yd from the middle of the green.
    """

    def __init__(self, player, length, pin=(0.0, 0.0), *, out=None, start=None):
        def paint(x, y):
            x, y = x / YARD_M, y / YARD_M - length
            code = np.full(x.shape, int(Surface.ROUGH))
            code[(np.abs(x) < 15.3) & (y > -length) & (y < 0.0)] = Surface.FAIRWAY
            for bx, by, half_x, half_y in BUNKERS:
                code[((x - bx) / half_x) ** 2 + ((y - by) / half_y) ** 2 < 1.0] = Surface.BUNKER
            code[np.hypot(x, y) < GREEN_YD] = Surface.GREEN
            if out is not None:
                code[x > out] = Surface.OUT
            return code

        place = (pin[0] * YARD_M, (length + pin[1]) * YARD_M)
        paper = squared(
            (length + 45) * YARD_M + 80, 2 * WIDE_M, paint, *player.shots[:1], cell_m=1.0, hole=place
        )
        turn = np.arange(0.0, 6.3, 0.1)
        edge = np.column_stack((GREEN_YD * np.sin(turn), length + GREEN_YD * np.cos(turn)))
        self.length, self.player = length, player
        self.today = dataclasses.replace(
            paper,
            shots=in_wind_misjudged(player),
            level=player.level,
            green=edge * YARD_M,
            line=np.array([(0.0, 0.0), (0.0, length * YARD_M)]),
        )
        self.whole = solve(self.today, size=128, start=start)
        self.field = cost_field(self.today, self.whole)

    def spot(self, to_middle):
        return Spot(0.0, (self.length - to_middle) * YARD_M, Lie.TEE)

    def best(self, to_middle):
        return options(self.today, self.spot(to_middle), self.whole, laid_out=self.field, keep=4)[0]

    def from_tee(self, to_middle):
        """V of a teed ball."""
        best = self.best(to_middle)
        return best.strokes - best.cost

    def less_table(self, surface, distance, near, far):
        """Mean of V less Table 9 over cells of a surface, `near` to `far` yd beside the middle, +-4 yd."""
        today = self.today
        rows, columns = today.surface.shape
        x = today.corner[0] + (np.arange(columns) + 0.5) * today.cell_m
        y = today.corner[1] + (np.arange(rows) + 0.5) * today.cell_m
        x, y = np.meshgrid(x, y)
        away = np.hypot(x - today.hole[0], y - today.hole[1])
        which = (today.surface == surface) & (y < today.hole[1]) & (np.abs(away / YARD_M - distance) < 4.0)
        which &= (np.abs(x) >= near * YARD_M) & (np.abs(x) <= far * YARD_M)
        lies = np.flatnonzero(today.lie_chance[surface])
        table = sum(today.lie_chance[surface, lie] * strokes_from(away[which], lie) for lie in lies)
        return float((self.whole.field(today)[which] - table).mean())


@pytest.fixture(scope="module")
def tour(bag):
    """The neutral hole for the tour player, by hole location."""
    player = bag(70)
    holes = [Neutral(player, 520, PINS[0])]
    holes += [Neutral(player, 520, pin, start=holes[0].whole) for pin in PINS[1:]]
    return holes


# -- Table 9 ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("distance", range(80, 201, 20))
@pytest.mark.parametrize(
    ("surface", "near", "far"), [(Surface.FAIRWAY, 0, 10), (Surface.ROUGH, 17, 30)], ids=["fairway", "rough"]
)
def test_table_9_fairway_and_rough(tour, surface, near, far, distance):
    """Within -0.12 and +0.05 of the table: best play on a hole without water, trees or slope scores lower.

    Measured: fairway -0.114 (200 yd) to -0.016, rough -0.006 to +0.022.
    """
    less = np.mean([hole.less_table(surface, distance, near, far) for hole in tour])
    assert -0.12 <= less <= 0.05


@pytest.mark.parametrize("distance", range(380, 501, 20))
def test_table_9_tee(tour, distance):
    """Within 0.10 of the table; measured -0.08 (500 yd) to -0.01.

    A drive that meets the fairway goes 286 yd here. Were that the mean of all drives, mishits and rough
    included (a carry of 277.5), 500 yd would be 0.102 under the table, and the rest within.
    """
    printed = numbers("tour_strokes", "tee")[numbers("tour_strokes", "distance_yd") == distance]
    assert np.mean([hole.from_tee(distance) for hole in tour]) == pytest.approx(float(printed[0]), abs=0.10)


def test_the_neutral_hole_is_as_stated(tour):
    """Drives of 286 yd on a fairway; green, sand around it and fairway as the module says."""
    today, driver = tour[0].today, tour[0].player.shots[0]
    assert yards(driver.carry_m + driver.run_m["fairway"]) == pytest.approx(286.0, abs=0.5)
    assert (today.surface == Surface.GREEN).sum() / YARD_M**2 * 9 == pytest.approx(5_000, rel=0.01)
    rows, columns = today.surface.shape
    x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    away = np.hypot(x + today.corner[0], y + today.corner[1] - today.hole[1]) / YARD_M
    around = today.surface[(away > GREEN_YD) & (away < GREEN_YD + 10.0)]
    assert np.mean(around == Surface.BUNKER) == pytest.approx(1 / 7, abs=0.01)
    assert (today.surface[200] == Surface.FAIRWAY).sum() == 28


# -- yards of course a stroke ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("level", "scale", "drive", "two", "per_stroke"),
    [(SCRATCH_LEVEL, 0.872, 250, 470, 220), (BOGEY_LEVEL, 0.695, 200, 370, 160)],
    ids=["scratch", "bogey"],
)
def test_yards_of_course_per_stroke(bag, level, scale, drive, two, per_stroke):
    """A straight line through holes of 120 to 600 yd, within 15 %; the bag reaches what the ratings say."""
    player = bag(level, scale)
    driver, wood = player.shots[:2]
    assert yards(driver.carry_m + driver.run_m["fairway"]) == pytest.approx(drive, rel=0.02)
    turf = wood.carry_m * wood.turf.carry + wood.run_m["fairway"]
    assert drive + yards(turf) == pytest.approx(two, rel=0.02)
    hole, lengths = Neutral(player, 620), np.arange(120, 601, 40)
    slope = np.polyfit(lengths, [hole.from_tee(length) for length in lengths], 1)[0]
    assert 1.0 / slope == pytest.approx(per_stroke, rel=0.15)


# -- 20 yards --------------------------------------------------------------------------------------------

# The fourteen driving holes of an invented par 72 of 7,200 yd; its par 3s (170, 185, 205, 220) are left out.
DRIVING_HOLES = (350, 375, 390, 405, 420, 430, 440, 450, 465, 480, 520, 545, 560, 590)


def longer_drive(player, by_yd):
    """The same player, whose driver goes further at the same angles: everything of it grows in proportion."""
    driver = player.shots[0]
    total = driver.carry_m + driver.run_m["fairway"]
    by = (total + by_yd * YARD_M) / total
    spread = dataclasses.replace(
        driver.spread, side_m=driver.spread.side_m * by, depth_m=driver.spread.depth_m * by
    )
    longer = dataclasses.replace(
        driver,
        carry_m=driver.carry_m * by,
        carry_least_m=driver.carry_least_m * by,
        run_m={where: run * by for where, run in driver.run_m.items()},
        spread=spread,
    )
    return dataclasses.replace(player, shots=(longer, *player.shots[1:]))


def test_20_yards_off_the_tee(bag):
    """Worth 0.5 to 1.0 a round on the tour, and more to a bogey golfer (the same holes on 6,500 yd).

    Of the drive alone, as in the source's worked example: 0.90 and 1.73. All clubs longer in proportion, over
    18 holes: 1.27, over the bound, and 2.68 (the thesis: "slightly under 1" and "almost 3").
    """

    def worth(player, scale):
        now, then = Neutral(player, 620), Neutral(longer_drive(player, 20.0), 620)
        return sum(now.from_tee(d * scale) - then.from_tee(d * scale) for d in DRIVING_HOLES)

    of_tour, of_bogey = worth(bag(70), 1.0), worth(bag(BOGEY_LEVEL, 0.695), 6_500 / 7_200)
    assert 0.5 <= of_tour <= 1.0
    assert of_bogey > of_tour + 0.3


# -- out of bounds all along the right -------------------------------------------------------------------


def eighty_golfer(bag):
    """Level 80, drives of 240 yd; all long tee shots 5.4 degrees (Table 1 of 2008), mishits included.

    The woods and the hybrid are as much wider than the default as the driver.
    """
    player = bag(80, 0.83)
    driver = player.shots[0]
    spread = driver.spread
    every = math.sqrt(1.0 - spread.mishit_share + spread.mishit_share * spread.mishit_scale**2)
    wider = driver.carry_m * math.tan(math.radians(5.4)) / every / spread.side_m
    shots = tuple(
        dataclasses.replace(s, spread=dataclasses.replace(s.spread, side_m=s.spread.side_m * wider))
        if s.club in ("driver", "3-wood", "hybrid")
        else s
        for s in player.shots
    )
    return dataclasses.replace(player, shots=shots)


def aims_of(hole, length=400):
    """What the driver down the middle costs, its error, where the best aim is [yd], shares out."""
    spot, best = hole.spot(length), hole.best(length)
    assert best.club == "driver"
    chosen = best.choice
    middle = Choice(best.index, 0.0, best.carry_m)
    value = best.strokes - best.cost
    judged = judge(hole.field, spot, Aims.of([chosen, middle]), seed=19, guess=value, value=value)
    share = []
    for choice in (middle, chosen):
        ends = finishes(hole.today, spot, choice, merged(1024, 5, 4))
        share.append(float(ends.weight[ends.surface == Surface.OUT].sum()))
    gain = float(judged.strokes[1] - judged.strokes[0])
    return gain, judged.cost_error(1, 0), yards(best.aim[0]), share


def test_out_of_bounds_all_along_the_right(bag):
    """The better aim gains 0.05 to 0.15 with the boundary 25 yd right of the middle, as in sanity case E.

    The middle then sends 11 % out; the source says 7 % and not where its boundary stands: see below.
    """
    gain, _, right, (out_middle, out_best) = aims_of(Neutral(eighty_golfer(bag), 400, out=25.0))
    assert 0.05 <= gain <= 0.15
    assert -15.3 <= right <= -8.0
    assert out_best < out_middle / 2


def test_out_of_bounds_where_seven_in_a_hundred_go_out(bag):
    """The boundary at 30 yd, where the middle sends out the 7 % of the source: which way, not how much.

    The source's 4.7 and 4.6 make 0.1, rounded; ours gains 0.045 (0.003), under the 0.05 to 0.15 looked for.
    Our rough costs this golfer 0.42 over the fairway at 160 yd; Table 9 has 0.25 for the tour, nothing is
    published for him. So he aims 10 yd left, short of the edge of the fairway. Rough like fairway: 0.07.
    """
    gain, error, right, (out_middle, out_best) = aims_of(Neutral(eighty_golfer(bag), 400, out=30.0))
    assert out_middle == pytest.approx(0.07, abs=0.005)
    assert gain > 3 * error
    assert -15.3 <= right <= -5.0
    assert out_best < out_middle / 2
