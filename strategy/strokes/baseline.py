"""Strokes to hole out from published averages: distance and lie, nothing else of the hole.

Tour (average score 70)
    Strokes by lie from Table 9 [1], putts for every foot from the official table of 2010 [2]. Both are
    interpolated by PCHIP in distance and are exact at every printed value; stretches that fall with
    distance stay as printed. Beyond 600 yd the curves go on along the chord of their last 100 yd.
Level
    V = V_tour + lambda (J90 - Jtour)(d), lambda = (score - 70) / 20, from the two published lines for
    strokes from a tee, Jtour = 2.38 + 0.0041 d [1] and J90 = 2.79 + 0.0066 d [3], d in yards. An
    80-golfer is then midway between 70 and 90, as the author says.

Our extensions, not published
    * The same lambda for every lie: there is no published table of amateurs by lie.
    * Putts of a 90-golfer: as the tour's from a longer putt, d -> a d^b, through the two published
      anchors (half holed from 5 ft as the tour from 8; two putts on average from 19 ft as the tour from
      33). The gap to the tour so made is greatest near 45 ft and is held beyond.
    * First cut: mean of fairway and rough. Trees: recovery.
    * Good, poor and jumper lies differ from the table's rough by -0.4, +0.45 and +0.25 of the step from
      fairway to rough (engineering choice), shifted together so that by their chances they average to
      the table's rough exactly.
    * Off the green within 10 yd: putts + (gap at 10 yd) x d / 10, so that nothing jumps at the hole.
    * Tee below 100 yd: fairway + (gap at 100 yd) x d / 100.

A table by distance averages short side and fat side: it rewards short-siding. Plans made with it say so.

References
----------
[1] M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2):146-165, 2012, Table 9
    of the working paper and section 3.1.
[2] The tour's baseline for putts, season 2010, by foot.
[3] M. Broadie, in Science and Golf V (proceedings, 2008), pp. 253-262; the line is quoted in [1].
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.codes import ROUGH_LIES, Lie, Surface
from strategy.reference import numbers
from strategy.reference.spread import TOUR_LEVEL
from strategy.strokes.monotone import Monotone
from strategy.units import FOOT_M, YARD_M
from strategy.week.model import USUAL_ROUGH

if TYPE_CHECKING:
    from strategy.outcome.today import HoleToday

Curve = Callable[[FloatArray], FloatArray]

FLAT_FT: Final = 97.0  # beyond this distance the printed table falls again
JOIN_YD: Final = 10.0  # the shortest distance of Table 9
TEE_JOIN_YD: Final = 100.0  # the shortest tee shot of Table 9
ROUGH_STEPS: Final = (-0.4, 0.45, 0.25)  # good, poor, jumper, in steps from fairway to rough

_COLUMNS: Final = ("tee", "fairway", "rough", "sand", "recovery")
_ANCHORS: Final = (
    (5.0, 8.0),
    (19.0, 33.0),
)  # ft: the 90-golfer putts from the first as the tour from the second
_STEP_M: Final = FOOT_M / 15  # of the table behind `field`; every printed foot and yard falls on it
_BLOCK_M: Final = 100.0  # that table grows by whole blocks, so that holes of about one size share it


def tour_line(distance_yd: ArrayLike) -> FloatArray:
    """Published straight line for a tour player's strokes from a tee, 2.38 + 0.0041 d [1] [yd]."""
    return 2.38 + 0.0041 * np.asarray(distance_yd, dtype=np.float64)


def ninety_line(distance_yd: ArrayLike) -> FloatArray:
    """Published straight line for a 90-golfer's strokes from a tee, 2.79 + 0.0066 d [3] [yd]."""
    return 2.79 + 0.0066 * np.asarray(distance_yd, dtype=np.float64)


def level_share(level: float) -> float:
    """Lambda of the blend: 0 for the tour, 1 for a 90-golfer; beyond and below it goes on straight.

    >>> level_share(80)
    0.5
    """
    return (level - TOUR_LEVEL) / 20.0


def putts(distance_m: ArrayLike, level: float = TOUR_LEVEL) -> FloatArray:
    """Expected putts from a distance on the green.

    Parameters
    ----------
    distance_m : array_like
        Any shape; negative or nan gives nan. [m]
    level : float
        Average score.

    Returns
    -------
    putts : ndarray, shape of `distance_m`
        Never under 1; 1 at the hole, for a ball there is not holed yet.

    >>> float(putts(33 * 0.3048))
    2.001
    """
    feet = np.asarray(distance_m, dtype=np.float64) / FOOT_M
    feet = np.where(feet >= 0.0, feet, np.nan)
    tour = _tour_putts(feet)
    share = level_share(level)
    if share == 0.0:
        return tour
    turn = _turn_ft()
    near = np.minimum(feet, turn)
    gap = _tour_putts(_as_tour_ft(near)) - _tour_putts(near)
    return np.maximum(tour + share * gap, 1.0)


def strokes_from(
    distance_m: ArrayLike,
    lie: ArrayLike,
    level: float = TOUR_LEVEL,
    rough_chances: tuple[float, float, float] = USUAL_ROUGH,
) -> FloatArray:
    """Expected strokes to hole out by distance and lie, the next stroke included.

    Parameters
    ----------
    distance_m : array_like
        To the hole; negative or nan gives nan. [m]
    lie : array_like of int
        Lie codes; broadcast against `distance_m`.
    level : float
        Average score.
    rough_chances : tuple of three floats
        Chances of a good, a poor and a jumper lie, of which the table's rough is the average.

    Returns
    -------
    strokes : ndarray

    >>> float(strokes_from(160 * 0.9144, Lie.FAIRWAY).round(9))
    2.98
    """
    distance, codes = np.broadcast_arrays(
        np.asarray(distance_m, dtype=np.float64), np.asarray(lie, dtype=np.int64)
    )
    out = np.full(distance.shape, np.nan)
    for code in np.unique(codes):
        mine = codes == code
        out[mine] = _one_lie(distance[mine], Lie(int(code)), level, rough_chances)
    return out


class Baseline:
    """Published strokes to go on one hole today; implements `StrokesToGo`. Picklable.

    Parameters
    ----------
    today : HoleToday
        The hole, its location and the chances of each lie.
    level : float, optional
        Average score; that of the player by default.
    """

    __slots__ = ("hole", "level", "rough_chances")

    def __init__(self, today: HoleToday, level: float | None = None) -> None:
        self.hole = today.hole
        self.level = float(today.level if level is None else level)
        self.rough_chances = _rough_chances(today)

    def __call__(self, xy: ArrayLike, lie: ArrayLike) -> FloatArray:
        """Expected strokes from K spots, (K, 2) and (K,); exact at every printed value [m]."""
        p = np.asarray(xy, dtype=np.float64).reshape(-1, 2)
        codes = np.broadcast_to(np.asarray(lie, dtype=np.int64), (len(p),))
        distance = np.hypot(p[:, 0] - self.hole[0], p[:, 1] - self.hole[1])
        return strokes_from(distance, codes, self.level, self.rough_chances)

    def field(self, today: HoleToday) -> FloatArray:
        """Strokes from the centre of every cell of `today`, to its hole (ny, nx).

        The mean over the lies that a cell's surface gives; nan where no ball is played from. Read off
        a table of 2 cm steps that has every printed value: within 1e-4 of the exact value.
        """
        ny, nx = today.surface.shape
        dx = today.corner[0] + (np.arange(nx) + 0.5) * today.cell_m - today.hole[0]
        dy = today.corner[1] + (np.arange(ny) + 0.5) * today.cell_m - today.hole[1]
        farthest = math.hypot(float(np.abs(dx).max()), float(np.abs(dy).max()))
        by_lie = _lie_table(math.ceil((farthest + 1.0) / _BLOCK_M), self.level, _rough_chances(today))
        by_surface = np.full((len(Surface), by_lie.shape[1]), np.nan)
        for surface in Surface:
            row = today.lie_chance[surface]
            if row.sum() > 0.0 and surface not in _NOT_PLAYED:
                by_surface[surface] = (row / row.sum()) @ by_lie
        flat, width = by_surface.ravel(), by_lie.shape[1]
        out = np.empty((ny, nx))
        dx2 = dx * dx
        start = today.surface.astype(np.int32) * np.int32(width)
        for j in range(ny):  # row by row, so that what is worked on stays in the processor's cache
            place = np.sqrt(dx2 + dy[j] * dy[j]) * (1.0 / _STEP_M)
            whole = place.astype(np.int32)
            place -= whole
            whole += start[j]
            low = flat[whole]
            out[j] = low + place * (flat[whole + 1] - low)
        return out


_NOT_PLAYED: Final = frozenset({Surface.YELLOW, Surface.RED, Surface.OUT, Surface.OFF_MAP})


def _rough_chances(today: HoleToday) -> tuple[float, float, float]:
    row = today.lie_chance[Surface.ROUGH]
    three = row[list(ROUGH_LIES)]
    total = float(three.sum())
    if total <= 0.0:
        return USUAL_ROUGH  # this hole has no rough
    good, poor, jumper = (three / total).tolist()
    return float(good), float(poor), float(jumper)


def _one_lie(
    distance_m: FloatArray, lie: Lie, level: float, rough_chances: tuple[float, float, float]
) -> FloatArray:
    """Strokes from one lie (K,) -> (K,), the short join included [m]."""
    on_green = putts(distance_m, level)
    if lie == Lie.GREEN:
        return on_green
    yd = np.asarray(distance_m, dtype=np.float64) / YARD_M
    far = _table_lie(np.maximum(yd, JOIN_YD), lie, level, rough_chances)
    edge = _table_lie(np.array([JOIN_YD]), lie, level, rough_chances)[0]
    gap = edge - putts(JOIN_YD * YARD_M, level)
    return np.where(yd < JOIN_YD, on_green + gap * yd / JOIN_YD, far)


@lru_cache(maxsize=16)
def _lie_table(blocks: int, level: float, rough_chances: tuple[float, float, float]) -> FloatArray:
    """Strokes by lie every 2 cm from the hole outward (9, n)."""
    knots = np.arange(math.ceil(blocks * _BLOCK_M / _STEP_M) + 1, dtype=np.float64) * _STEP_M
    table = np.stack([_one_lie(knots, lie, level, rough_chances) for lie in Lie])
    table.setflags(write=False)
    return table


def _table_lie(
    yd: FloatArray, lie: Lie, level: float, rough_chances: tuple[float, float, float]
) -> FloatArray:
    """Strokes from one lie off the green, 10 yd or more [yd]."""
    fairway, rough = _tour("fairway", yd), _tour("rough", yd)
    match lie:
        case Lie.FAIRWAY:
            tour = fairway
        case Lie.TEE:
            step = float(
                _tour("tee", np.array([TEE_JOIN_YD]))[0] - _tour("fairway", np.array([TEE_JOIN_YD]))[0]
            )
            tour = np.where(yd < TEE_JOIN_YD, fairway + step * yd / TEE_JOIN_YD, _tour("tee", yd))
        case Lie.FIRST_CUT:
            tour = (fairway + rough) / 2.0
        case Lie.SAND:
            tour = _tour("sand", yd)
        case Lie.RECOVERY:
            tour = _tour("recovery", yd)
        case _:
            middle = sum(c * s for c, s in zip(rough_chances, ROUGH_STEPS, strict=True)) / sum(rough_chances)
            tour = rough + (ROUGH_STEPS[lie - Lie.ROUGH_GOOD] - middle) * (rough - fairway)
    return tour + level_share(level) * (ninety_line(yd) - tour_line(yd))


def _tour(column: str, yd: FloatArray) -> FloatArray:
    """Table 9 between its printed rows and along the chord of the last 100 yd beyond them [yd]."""
    curve, last, value, slope = _tour_curves()[column]
    return np.where(yd > last, value + slope * (yd - last), curve(np.minimum(yd, last)))


def _tour_putts(feet: FloatArray) -> FloatArray:
    return np.asarray(_putt_curve()(np.minimum(feet, FLAT_FT)), dtype=np.float64)


def _as_tour_ft(feet: FloatArray) -> FloatArray:
    """The putt from which the tour needs what a 90-golfer needs from `feet`."""
    (d1, t1), (d2, t2) = _ANCHORS
    power = math.log(t2 / t1) / math.log(d2 / d1)
    return np.asarray(t1 * (feet / d1) ** power, dtype=np.float64)


@lru_cache(maxsize=1)
def _turn_ft() -> float:
    """Where the gap between the 90-golfer and the tour is greatest; it is held beyond [ft]."""
    feet = np.arange(1.0, FLAT_FT, 0.1)
    return float(feet[np.argmax(_tour_putts(_as_tour_ft(feet)) - _tour_putts(feet))])


@lru_cache(maxsize=1)
def _putt_curve() -> Monotone:
    feet, expected = numbers("tour_putts", "distance_ft"), numbers("tour_putts", "expected_putts")
    kept = feet <= FLAT_FT
    return Monotone(np.append(0.0, feet[kept]), np.append(1.0, expected[kept]))


@lru_cache(maxsize=1)
def _tour_curves() -> dict[str, tuple[Curve, float, float, float]]:
    """Interpolant, last distance, last value and slope beyond, by column."""
    yd = numbers("tour_strokes", "distance_yd")
    curves: dict[str, tuple[Curve, float, float, float]] = {}
    for column in _COLUMNS:
        value = numbers("tour_strokes", column)
        printed = np.isfinite(value)
        curve = Monotone(yd[printed], value[printed])
        last = float(yd[-1])
        slope = float((value[-1] - value[yd == last - 100.0][0]) / 100.0)
        curves[column] = (curve, last, float(value[-1]), slope)
    return curves
