"""Plausible weeks: what nobody knows when a plan is made, drawn jointly, once for all holes of a plan.

The plan is made for the middle of what is believed: the spreads of the player file, the outlines as drawn,
the wind of the forecast. A plausible week is one draw of what these may be in truth. What scatters from ball
to ball is not drawn here, because it is in every stroke already: the swing, the wind misjudged at the stroke,
its gusts.

Every week is drawn with its mirror image (all deviates with the other sign), so that the mean over the weeks
is the middle in everything that counts in proportion.

Widths, and where they come from (the rest is engineering choice, marked so because nothing published settles
it):

* Scatter: that of a shot is the player's own level times what the club adds, both as logarithms. Between the
  clubs of one player the s.d. is `CLUB` (numerics note, section 12), and as much between players of one level
  (`PLAYER`, engineering choice). A shot measured on n balls is known to 1 / sqrt(2 (n + 7)), as a standard
  deviation is from n + 7 values; every measured shot tells of the player's level too. A scatter that the
  player states is known to two thirds of both (engineering choice).
* Mean landing of a measured shot: its scatter over sqrt(n + 2), as `decide.options.under_posterior`.
* Wind: the standard errors of the forecast (`week.model.WindHour`), one draw a round; along and across at
  least `LEAST_WIND_MPS` (from memory: forecasts of the 10 m wind a day ahead are 1 to 2 m/s off).
* Flight law: its share of a wind's effect, 10 % for full shots, growing to 15 % for wedges (numerics note,
  section 11).
* Run: 25 % on fairways and as much on greens (engineering choice: firmness is judged by eye).
* Outlines: traced edges are 2.5 yd off (numerics note, section 11), smoothly along an edge: a displacement
  with a length of `EDGE_LENGTH_M`.
* Balls that come through trees: a mean free way between half and twice the one assumed (`THROUGH`,
  engineering choice).
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray, IntArray
from strategy.ball.flight import Launch, fly
from strategy.ball.law import RADIUS_M
from strategy.codes import Lie
from strategy.outcome.points import Stream
from strategy.outcome.shot_table import parts, together
from strategy.outcome.sightings import with_lies
from strategy.outcome.today import HoleToday
from strategy.outcome.weather import launches, winds
from strategy.player.fit.posterior import FREEDOM, MEAN_BALLS
from strategy.player.model import Player
from strategy.units import YARD_M
from strategy.week.model import WindHour

CLUB: Final = 0.15
PLAYER: Final = 0.15
STATED: Final = 2.0 / 3.0
LEAST_WIND_MPS: Final = 1.0
LAW: Final = 0.10
LAW_WEDGE: Final = 0.15
WEDGE_SPIN: Final = 0.35  # spin parameter above which the law is least sure
FULL_SPIN: Final = 0.20  # and up to which it is surest
RUN: Final = 0.25
EDGE_M: Final = 2.5 * YARD_M
EDGE_LENGTH_M: Final = 25.0
THROUGH: Final = 0.5
# What is drawn of each cause that an answer may hang on.
CAUSES: Final = {
    "scatter": ("scatter", "off"),
    "wind": ("wind", "law"),
    "firmness": ("run",),
    "trees": ("through",),
    "distances traced": ("heights",),
}
_WAVES: Final = 24  # of which a displacement is made up


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weeks:
    """W plausible weeks of one player; deviates are standard normal unless said.

    Attributes
    ----------
    scatter : ndarray (W, S)
        Logarithm of the factor of each shot's scatter.
    off : ndarray (W, S, 2)
        Mean landing off the one measured, as a share of the scatter (side, depth).
    wind : ndarray (W, 2)
        Deviates of the round's wind, along the forecast and across it.
    law : ndarray (W,)
        Deviate of the flight law's share of a wind's effect.
    run : ndarray (W, 2)
        Logarithm of the factor of runs, on grass and on greens.
    through : ndarray (W,)
        Logarithm of the factor of the mean free way through trees.
    waves, phases, heights : ndarray (W, 2, M, 2), (W, 2, M) and (W, 2, M)
        Plane waves of the displacement of outlines towards east and north: wave vectors [1/m], phases [rad],
        heights [m].
    """

    scatter: FloatArray
    off: FloatArray
    wind: FloatArray
    law: FloatArray
    run: FloatArray
    through: FloatArray
    waves: FloatArray
    phases: FloatArray
    heights: FloatArray

    def __len__(self) -> int:
        return len(self.law)

    def only(self, cause: str, count: int) -> Weeks:
        """The first weeks and their mirror images, `count` in all, with one cause of `CAUSES` drawn."""
        half = len(self) // 2
        few = np.r_[: count // 2, half : half + count // 2]
        drawn = {f.name: getattr(self, f.name)[few] for f in dataclasses.fields(self)}
        still = {name: np.zeros_like(drawn[name]) for names in CAUSES.values() for name in names}
        return Weeks(**{**drawn, **still, **{name: drawn[name] for name in CAUSES[cause]}})

    def moved(self, week: int, east: FloatArray, north: FloatArray) -> FloatArray:
        """How far outlines are from where they are drawn: displacements (2, Y, X) over a net of places. [m]

        Parameters
        ----------
        week : int
            Which of the weeks.
        east, north : ndarray (X,) and (Y,)
            The columns and rows of the net. [m]
        """
        out = np.empty((2, len(north), len(east)))
        for axis in range(2):
            k, phase, height = self.waves[week, axis], self.phases[week, axis], self.heights[week, axis]
            # cos(a + b) by the sums of a column and a row: two small products in place of a cosine a place.
            along = np.outer(k[:, 0], east)
            across = np.outer(k[:, 1], north) + phase[:, None]
            h = height[:, None]
            out[axis] = (h * np.cos(across)).T @ np.cos(along) - (h * np.sin(across)).T @ np.sin(along)
        return out


def plausible_weeks(player: Player, count: int = 64, seed: int = 1) -> Weeks:
    """Draw plausible weeks for a player: the same ones for every hole and round of a plan.

    Parameters
    ----------
    count : int
        W, an even number: half of them, and their mirror images.
    seed : int
        Seed of the plan.

    Raises
    ------
    ValueError
        For an odd number of weeks.
    """
    if count < 2 or count % 2:
        raise ValueError(f"{count} weeks: each comes with its mirror image, so the number is even")
    half, shots = count // 2, len(player.shots)
    rng = np.random.default_rng([Stream.WEEKS.of(seed), half])
    known_to, with_player = scatter_widths(player)
    common = rng.standard_normal(half)[:, None]
    own = rng.standard_normal((half, shots))
    balls = np.array([s.spread.balls or 0 for s in player.shots])
    off = (
        rng.standard_normal((half, shots, 2))
        * np.where(balls > 0, 1.0 / np.sqrt(balls + MEAN_BALLS), 0.0)[:, None]
    )
    scatter = with_player * common + known_to * own
    wind, law = rng.standard_normal((half, 2)), rng.standard_normal(half)
    run, through = RUN * rng.standard_normal((half, 2)), THROUGH * rng.standard_normal(half)
    waves = rng.standard_normal((half, 2, _WAVES, 2)) / EDGE_LENGTH_M
    phases = rng.uniform(0.0, 2.0 * np.pi, (half, 2, _WAVES))
    heights = np.full((half, 2, _WAVES), EDGE_M * np.sqrt(2.0 / _WAVES))
    return Weeks(
        scatter=np.concatenate((scatter, -scatter)),
        off=np.concatenate((off, -off)),
        wind=np.concatenate((wind, -wind)),
        law=np.concatenate((law, -law)),
        run=np.concatenate((run, -run)),
        through=np.concatenate((through, -through)),
        waves=np.concatenate((waves, waves)),
        phases=np.concatenate((phases, phases)),
        heights=np.concatenate((heights, -heights)),
    )


def scatter_widths(player: Player) -> tuple[FloatArray, FloatArray]:
    """S.d. of the logarithm of each shot's scatter (S,): its own part, and that of the player's level."""
    measured = np.array([s.spread.balls or 0 for s in player.shots])
    counted = 1.0 / np.sqrt(2.0 * (measured + FREEDOM))
    # Each measured shot is the player's level, give or take the club and its balls.
    told = float(np.sum(np.where(measured > 0, 1.0 / (CLUB**2 + counted**2), 0.0)))
    level = 1.0 / np.sqrt(1.0 / PLAYER**2 + told)
    share = np.array([1.0 if "scatter" in s.assumed else STATED for s in player.shots])
    own = np.where(measured > 0, np.minimum(counted, CLUB), share * CLUB)
    return own, np.where(measured > 0, 0.0, share * level)


def blowing(wind: WindHour, deviate: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Speed and direction (n,) that a forecast may turn out to be, for deviates (n, 2). [m/s], [°]

    The first deviate is along the forecast, the second across it, towards a direction further clockwise.
    """
    across = wind.speed_mps * np.tan(np.radians(min(wind.direction_sd, 60.0)))
    ahead = wind.speed_mps + max(wind.speed_sd_mps, LEAST_WIND_MPS) * deviate[:, 0]
    aside = max(float(across), LEAST_WIND_MPS) * deviate[:, 1]
    return np.hypot(ahead, aside), wind.blows_from + np.degrees(np.arctan2(aside, ahead))


def longer(today: HoleToday, lie: int, shot: IntArray, heading: FloatArray, weeks: Weeks) -> FloatArray:
    """How much further than in the forecast wind shots carry at full swing in each week (W, A). [m]

    Each ball is flown in the wind of the week, in the forecast's and in none; what the wind of the week does
    to it counts by the share that the flight law turns out to have.

    Parameters
    ----------
    lie : int
        Where they are played from.
    shot, heading : ndarray (A,)
        Rows of the shot table, and headings [°].
    """
    day, player = today.day, today.player
    out = np.zeros((len(weeks), len(shot)))
    if day is None or player is None:
        return out
    wind = day.wind or WindHour(hour=12.0, speed_mps=0.0, blows_from=0.0, gust_mps=0.0)
    known = with_lies(player, day.rough)
    speed, blows_from = blowing(wind, weeks.wind)
    for a, (s, along) in enumerate(zip(shot, heading, strict=True)):
        effect = together(parts(known, known.shots[int(s)], Lie(lie), day.wet))
        launch = launches(known, effect.spin).launch[int(s)]
        # A wind from another side is the same wind on another heading; 1 m/s, because it goes in proportion.
        unit = dataclasses.replace(wind, speed_mps=1.0, blows_from=0.0)
        head, cross = winds(unit, np.append(along - blows_from, along - wind.blows_from))
        speeds = np.append(speed, wind.speed_mps)
        flown = fly(
            launch,
            head_mps=np.append(head * speeds, 0.0),
            cross_mps=np.append(cross * speeds, 0.0),
            air=day.air,
        ).carry_m
        law = 1.0 + law_width(launch) * weeks.law
        out[:, a] = effect.carry * (law * (flown[:-2] - flown[-1]) - (flown[-2] - flown[-1]))
    return out


def law_width(launch: Launch) -> float:
    """S.d. of the share of a wind's effect that a flight really meets, by its spin parameter at launch.

    `LAW` up to a spin parameter of `FULL_SPIN`, `LAW_WEDGE` from `WEDGE_SPIN` on, in proportion between them.
    """
    parameter = float(launch.spin_rad_s) * RADIUS_M / float(launch.speed_mps)
    return float(np.interp(parameter, [FULL_SPIN, WEDGE_SPIN], [LAW, LAW_WEDGE]))
