r"""Putts by distance, slope, direction and green speed, for a level: made, two, three or more.

Theory
------
The player aims the putt that passes the middle of the hole and, were the hole covered, would rest `PAST_M`
beyond it. Three errors, all normal and independent, spoil it: the start line by an angle; the distance by a
share of it (the energy at the start, which on a plane is the same share); and the slope, read wrongly by as
much along the fall as across it. A misread slope moves line and energy together, by what the aim would be
on the slope believed in (secants over one standard deviation), so the errors of a putt are one bivariate
normal of (ln energy, start line). At each energy the hole takes the start lines for which the ball passes
within the capture width at its speed there (`roll.capture_half_width`): the chance to make it is a sum of
normal shares. What is left over rests where `roll.track` ends.

With the rests of a putt from state i spread over states j by M (a row sums to the chance to miss),

    made = 1 - M 1,   two = M made,   expected = (1 - M)^-1 1,   three or more = 1 - made - two.

States are distance (even in its logarithm) and direction to the fall, one set per slope; everything between
is cubic convolution. One green speed and level are worked out in a fraction of a second and kept.

The average green
    Published putts are averages over greens. Where the slope is not known, everything is the mean over
    directions on `AVERAGE_SLOPE`, with which the errors were fitted: unknown is an average, not a flat
    green. 1.8 % is an engineering choice: with it three-putts and mean putts come out nearer the published
    ones than with 1.5 %.

Levels
    The errors of the tour are fitted to 1.25 million putts of 2016-18 [1]_, to the tour's mean putts by foot,
    to the shares of three-putts, and to the slope and speed figures of an earlier fit (line .020, distance
    6 %, reading .28 %). A share of distance that is the same at all lengths gives too few three-putts beyond
    40 ft (12 % for 17 at 50 ft); so it grows with length, for what a plane leaves out: long putts cross
    tiers and changes of slope. Those of a 90-golfer are the tour's times two numbers, one for the start line
    and one for distance and reading, so that half are holed from 5 ft and two putts are needed on average
    from 19 ft [2]_, all at `AVERAGE_STIMP_FT`. Between, below and beyond the numbers go on straight in the
    average score (our extension), never under half the tour's.

Limits
    A misread slope counts to first order and one start line of two counts roughly: on slopes steeper than
    half of that on which a ball stops fewer side putts are made here than in putts drawn one by one with
    the same errors (10 ft, 3.5 %, stimpmeter 12: 27.7 for 29.4 %; 8 ft, 5 %, stimpmeter 13: 11 for 19 %).
    Greens steeper than 5 %, or than 0.9 of the slope on which a ball stops, count as that steep.

References
----------
.. [1] M. Broadie's counts of 2016-18, in A. Gelman, putting case study for Stan, 2019.
.. [2] M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2):146-165, 2012.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.ball.ground import check_stimp, stopping_slope
from strategy.reference.spread import TOUR_LEVEL
from strategy.strokes.baseline import level_share
from strategy.strokes.roll import CAPTURE_MPS, aim, capture_half_width, track

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

PAST_M: Final = 0.35
AVERAGE_SLOPE: Final = 0.018
AVERAGE_STIMP_FT: Final = 11.0  # the green speed the errors were fitted with
STEEPEST: Final = 0.05

_SLOPES: Final = np.linspace(0.0, STEEPEST, 8)
_DIRECTIONS: Final = np.radians([0.0, 45.0, 90.0, 135.0, 180.0])
_ROUND: Final = np.array([0.125, 0.25, 0.25, 0.25, 0.125])  # weights of the mean over directions
_FIRST_M: Final = 0.4  # scale of the logarithm of distance
_FARTHEST_M: Final = 35.0
_DISTANCES: Final = _FIRST_M * np.expm1(np.linspace(0.0, math.log1p(_FARTHEST_M / _FIRST_M), 25))
_HOLE_MPS: Final = CAPTURE_MPS * np.linspace(0.06, 1.0, 15) ** 1.5  # where the line is worked out
_TAILS: Final = np.linspace(0.0, 1.0, 9)  # cells of energy too small to reach the hole
_LINE_Z: Final = np.linspace(-3.0, 3.0, 9)  # cells of the start line
_MOST_Z: Final = 5.0
_LEAST_SCALE: Final = 0.5
_MOST_PUTTS: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Golfer:
    """Standard deviations of a putter's three errors.

    Attributes
    ----------
    line : float
        Start line. [rad]
    distance : float
        Distance rolled, as a share of the distance meant, for a short putt.
    reading : float
        Slope, each of along and across the fall, rise over distance.
    long_m : float
        Length of putt at which the share of distance has grown by sqrt(2). [m]
    """

    line: float
    distance: float
    reading: float
    long_m: float


TOUR: Final = Golfer(line=0.0208, distance=0.0566, reading=0.00275, long_m=26.0)
NINETY_LINE: Final = 1.922  # start line of a 90-golfer over the tour's
NINETY_DISTANCE: Final = 1.102  # and distance and reading


def golfer(level: float) -> Golfer:
    """Errors of a player of that average score."""
    share = level_share(level)
    line = max(1.0 + share * (NINETY_LINE - 1.0), _LEAST_SCALE)
    distance = max(1.0 + share * (NINETY_DISTANCE - 1.0), _LEAST_SCALE)
    return Golfer(
        line=TOUR.line * line,
        distance=TOUR.distance * distance,
        reading=TOUR.reading * distance,
        long_m=TOUR.long_m,
    )


class Putting:
    """Putts of one level on greens of one speed. Picklable; tables are kept per speed and level.

    Parameters
    ----------
    stimp_ft : float
        Speed of the green. [ft]
    level : float
        Average score.

    Raises
    ------
    PhysicsError
        If the green speed cannot be meant.

    In every method `distance_m` [m], `slope` [rise over distance] and `direction` [deg] broadcast. Direction
    is that of the putt from straight downhill, either way: 0 downhill (the ball above the hole), 90 across
    the fall, 180 uphill. `slope` None: not known, the average green, and `direction` is not used.
    `direction` None: not known, the mean over directions. A negative or nan distance gives nan; beyond 35 m
    it counts as 35 m.
    """

    __slots__ = ("level", "stimp_ft")

    def __init__(self, stimp_ft: float = AVERAGE_STIMP_FT, level: float = TOUR_LEVEL) -> None:
        self.stimp_ft = float(check_stimp(stimp_ft))
        self.level = float(level)

    def expected(
        self, distance_m: ArrayLike, slope: ArrayLike | None = None, direction: ArrayLike | None = None
    ) -> FloatArray:
        """Expected putts; 1 at the hole, for a ball there is not holed yet."""
        read = self._read(distance_m, slope, direction)
        # Where chances were cut off at 0 or 1 their own mean is the least that can be expected.
        return np.asarray(np.maximum(read[..., 2], _chances(read) @ np.array([1.0, 2.0, 3.0])))

    def make(
        self, distance_m: ArrayLike, slope: ArrayLike | None = None, direction: ArrayLike | None = None
    ) -> FloatArray:
        """Chance to hole the putt."""
        return np.clip(self._read(distance_m, slope, direction)[..., 0], 0.0, 1.0)

    def chances(
        self, distance_m: ArrayLike, slope: ArrayLike | None = None, direction: ArrayLike | None = None
    ) -> FloatArray:
        """Chances of one, two and three or more putts (..., 3); they sum to 1."""
        return _chances(self._read(distance_m, slope, direction))

    def _read(
        self, distance_m: ArrayLike, slope: ArrayLike | None, direction: ArrayLike | None
    ) -> FloatArray:
        """Made, two and expected putts (..., 3)."""
        table = _table(self.stimp_ft, golfer(self.level))
        if slope is None or direction is None:
            # the mean over directions commutes with what is linear between the table's entries
            table = np.tensordot(table[:, :, 1:-1], _ROUND, axes=(2, 0))
            return _look_up(table, distance_m, AVERAGE_SLOPE if slope is None else slope)
        return _look_up(table, distance_m, slope, np.radians(np.asarray(direction, dtype=np.float64)))


def _chances(read: FloatArray) -> FloatArray:
    """One, two, three or more putts from what the table gives (..., 3)."""
    one = np.clip(read[..., 0], 0.0, 1.0)
    two = np.clip(read[..., 1], 0.0, 1.0 - one)
    return np.stack([one, two, 1.0 - one - two], axis=-1)


def _look_up(table: FloatArray, distance_m: ArrayLike, *others: ArrayLike) -> FloatArray:
    """Cubic convolution in a padded table (slope, distance[, direction], quantity) at slope[, direction]."""
    d, s, *t = (np.asarray(v, dtype=np.float64) for v in np.broadcast_arrays(distance_m, *others))
    good = (d >= 0.0) & np.isfinite(s)
    for turn in t:
        good = good & np.isfinite(turn)
    d, s, *t = (np.where(good, v, 0.0) for v in (d, s, *t))
    (i, wi), (j, wj) = (
        _cubic(np.clip(np.abs(s), 0.0, STEEPEST) / _SLOPES[1], len(_SLOPES)),
        _cubic(_distance_place(d), len(_DISTANCES)),
    )
    out = np.zeros((*d.shape, table.shape[-1]))
    turns = [_cubic(_direction_place(turn), len(_DIRECTIONS)) for turn in t]
    for a in range(4):
        for b in range(4):
            side = wi[a] * wj[b]
            if not turns:
                out += side[..., None] * table[i + a, j + b]
            for k, wk in turns:
                for c in range(4):
                    out += (side * wk[c])[..., None] * table[i + a, j + b, k + c]
    out[~good] = np.nan
    return out


def _distance_place(distance_m: FloatArray) -> FloatArray:
    """Place of a distance among `_DISTANCES`, in steps."""
    step = math.log1p(_FARTHEST_M / _FIRST_M) / (len(_DISTANCES) - 1)
    return np.asarray(np.log1p(np.minimum(distance_m, _FARTHEST_M) / _FIRST_M) / step)


def _direction_place(turn: FloatArray) -> FloatArray:
    """Place of a direction among `_DIRECTIONS`, left and right alike, in steps."""
    return np.asarray(np.abs((turn + np.pi) % (2.0 * np.pi) - np.pi) / _DIRECTIONS[1])


def _cubic(place: FloatArray, n: int) -> tuple[NDArray[np.int64], tuple[FloatArray, ...]]:
    """First index in an axis padded by one, and four weights of cubic convolution."""
    first = np.clip(place.astype(np.int64), 0, n - 2)
    x = place - first
    return first, (
        ((-0.5 * x + 1.0) * x - 0.5) * x,
        (1.5 * x - 2.5) * x * x + 1.0,
        ((-1.5 * x + 2.0) * x + 0.5) * x,
        (0.5 * x - 0.5) * x * x,
    )


def _padded(values: FloatArray) -> FloatArray:
    """A table (slope, distance, direction, quantity) with a ring of neighbours on each of its three axes.

    Across the flat green the slope goes on with the direction turned about; directions are mirrored at
    straight down and straight up; the other ends go on straight.
    """
    turned = np.concatenate([values[1:2, :, ::-1], values, 2.0 * values[-1:] - values[-2:-1]])
    longer = np.concatenate(
        [2.0 * turned[:, :1] - turned[:, 1:2], turned, 2.0 * turned[:, -1:] - turned[:, -2:-1]], axis=1
    )
    return np.concatenate([longer[:, :, 1:2], longer, longer[:, :, -2:-1]], axis=2)


@lru_cache(maxsize=32)
def _table(stimp_ft: float, who: Golfer) -> FloatArray:
    """Made, two and expected putts, padded (slope, distance, direction, 3)."""
    steepest = 0.9 * float(stopping_slope(stimp_ft))
    nd, nt = len(_DISTANCES), len(_DIRECTIONS)
    d = np.repeat(_DISTANCES[1:], nt)
    turn = np.tile(_DIRECTIONS, nd - 1)
    slopes = np.minimum(_SLOPES, steepest)
    putts = _Putts.of(d[None], turn[None], slopes[:, None], stimp_ft, who)
    out = np.empty((len(slopes), nd, nt, 3))
    for k in range(len(slopes)):
        out[k] = _solve(putts.made[k], putts.rest_m[k], putts.rest_turn[k], putts.weight[k])
    table = _padded(out)
    table.setflags(write=False)
    return table


def _solve(made: FloatArray, rest_m: FloatArray, rest_turn: FloatArray, weight: FloatArray) -> FloatArray:
    """Made, two and expected putts of one slope (distance, direction, 3), from rests (state, ball)."""
    nd, nt = len(_DISTANCES), len(_DIRECTIONS)
    n = nd * nt
    j, wj = _linear(_distance_place(rest_m), nd)
    k, wk = _linear(_direction_place(rest_turn), nt)
    state = np.arange(nt, n)[:, None] * n
    moves = np.zeros(n * n)
    for a in range(2):
        for b in range(2):
            cell = state + (j + a) * nt + k + b
            moves += np.bincount(cell.ravel(), (weight * wj[a] * wk[b]).ravel(), minlength=n * n)
    away = moves.reshape(n, n)
    one = np.ones(n)
    one[nt:] = made
    expected, more = np.ones(n), away.sum(1)  # 1 + M 1 + M² 1 + ...: chances of another putt
    for _ in range(_MOST_PUTTS):
        expected = expected + more
        if more.max() < 1e-9:
            break
        more = away @ more
    return np.stack([one, away @ one, expected], axis=-1).reshape(nd, nt, 3)


def _linear(place: FloatArray, n: int) -> tuple[NDArray[np.int64], tuple[FloatArray, FloatArray]]:
    first = np.clip(place.astype(np.int64), 0, n - 2)
    return first, (1.0 - (place - first), place - first)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Putts:
    """First putts of states of any shape: chance to make, and where the misses rest (..., ball)."""

    made: FloatArray
    rest_m: FloatArray
    rest_turn: FloatArray
    weight: FloatArray

    @staticmethod
    def of(
        distance_m: FloatArray, turn: FloatArray, slope: FloatArray, stimp_ft: float, who: Golfer
    ) -> _Putts:
        from scipy.special import ndtr

        d, phi, s = np.broadcast_arrays(distance_m, turn, slope)
        energy, line, var_energy, both, var_line = _errors(d, phi, s, stimp_ft, who)
        sd_energy = np.sqrt(var_energy)

        # Putts through the middle of the hole at each speed there: z is their energy in s.d. of the player's.
        through = aim(d[..., None], phi[..., None], s[..., None], stimp_ft, hole_mps=_HOLE_MPS)
        z = (2.0 * np.log(through.speed_mps) - energy[..., None]) / sd_energy[..., None]
        folded = np.clip(z, -_MOST_Z, _MOST_Z)
        z = np.maximum.accumulate(folded, axis=-1)
        low, high = z[..., :1], z[..., -1:]
        edges = np.concatenate(
            [
                -_MOST_Z + (low + _MOST_Z) * _TAILS[:-1],
                z,
                high + (_MOST_Z - high) * np.linspace(0.0, 1.0, 4)[1:],
            ],
            axis=-1,
        )
        share = ndtr(edges[..., 1:]) - ndtr(edges[..., :-1])
        dens = np.exp(-0.5 * edges * edges) / math.sqrt(2.0 * math.pi)
        middle = 0.5 * (edges[..., 1:] + edges[..., :-1])
        at = np.where(
            share > 1e-9, (dens[..., :-1] - dens[..., 1:]) / np.maximum(share, 1e-12), middle
        )  # mean of a cell
        at = np.clip(at, edges[..., :-1], edges[..., 1:])
        share = share / share.sum(-1, keepdims=True)
        mean_line = line[..., None] + both[..., None] / sd_energy[..., None] * at
        sd_line = np.sqrt(var_line - both * both / var_energy)[..., None]

        # Start lines that the hole takes, in the cells between two speeds at the hole.
        half = capture_half_width(_HOLE_MPS)
        half = (half[:-1] + half[1:]) / np.maximum(
            through.spread_m[..., :-1] + through.spread_m[..., 1:], 1e-3
        )
        first = len(_TAILS) - 1
        inside = slice(first, first + len(_HOLE_MPS) - 1)
        part = np.where(
            z[..., 1:] > z[..., :-1],
            (at[..., inside] - z[..., :-1]) / np.maximum(z[..., 1:] - z[..., :-1], 1e-12),
            0.5,
        )
        centre = through.start[..., :-1] + part * np.diff(through.start, axis=-1)
        taken_from = np.full(share.shape, np.inf)
        taken_to = np.full(share.shape, np.inf)
        taken_from[..., inside] = (centre - half - mean_line[..., inside]) / sd_line
        taken_to[..., inside] = (centre + half - mean_line[..., inside]) / sd_line
        made = np.sum(share * (ndtr(taken_to) - ndtr(taken_from)), axis=-1)
        # On steep side slopes a ball dies into the hole from a higher line with MORE energy: a second line.
        fold_z = 0.5 * (folded[..., 1:] + folded[..., :-1])
        fold_line = line[..., None] + both[..., None] / sd_energy[..., None] * fold_z
        off = 0.5 * (through.start[..., 1:] + through.start[..., :-1]) - fold_line
        window = ndtr((off + half) / sd_line) - ndtr((off - half) / sd_line)
        second = np.sum(np.maximum(ndtr(folded[..., :-1]) - ndtr(folded[..., 1:]), 0.0) * window, axis=-1)

        # The rest of each cell of energy and start line, less what the hole takes of it.
        ends = np.concatenate([[-np.inf], _LINE_Z, [np.inf]])
        taken = np.maximum(
            ndtr(np.clip(ends[1:], taken_from[..., None], taken_to[..., None]))
            - ndtr(np.clip(ends[:-1], taken_from[..., None], taken_to[..., None])),
            0.0,
        )
        weight = share[..., None] * np.maximum(np.diff(ndtr(ends)) - taken, 0.0)
        second = np.minimum(second, 1.0 - made)
        weight = weight * ((1.0 - made - second) / np.maximum(1.0 - made, 1e-12))[..., None, None]
        made = made + second
        mid = 0.5 * (_LINE_Z[1:] + _LINE_Z[:-1])
        line_z = np.concatenate([[2 * mid[0] - mid[1]], mid, [2 * mid[-1] - mid[-2]]])
        speed = np.exp(0.5 * (energy[..., None] + sd_energy[..., None] * at))
        x, y, _, _ = track(
            mean_line[..., None] + sd_line[..., None] * line_z,
            speed[..., None],
            s[..., None, None],
            stimp_ft,
        )
        to_x = (d * np.cos(phi))[..., None, None] - x
        to_y = (d * np.sin(phi))[..., None, None] - y
        shape = (*d.shape, -1)
        return _Putts(
            made=made,
            rest_m=np.hypot(to_x, to_y).reshape(shape),
            rest_turn=np.arctan2(to_y, to_x).reshape(shape),
            weight=weight.reshape(shape),
        )


def _errors(
    d: FloatArray, phi: FloatArray, s: FloatArray, stimp_ft: float, who: Golfer
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Mean ln energy and start line of putts, and the variances and covariance of the two."""
    h = who.reading
    limit = 0.97 * float(
        stopping_slope(stimp_ft)
    )  # a player does not believe in a slope on which no ball stops
    along = np.array([0.0, h, -h, 0.0, 0.0])
    across = np.array([0.0, 0.0, 0.0, h, -h])
    believed_x, believed_y = s[..., None] + along, across + 0.0 * s[..., None]
    fall = np.arctan2(believed_y, believed_x)
    steep = np.minimum(np.hypot(believed_x, believed_y), limit)
    meant = aim(d[..., None], phi[..., None] - fall, steep, stimp_ft, past_m=PAST_M)
    energy = 2.0 * np.log(meant.speed_mps)
    start = meant.start + fall
    start = start - 2.0 * np.pi * np.round((start - start[..., :1]) / (2.0 * np.pi))
    by_along = 0.5 * np.stack([energy[..., 1] - energy[..., 2], start[..., 1] - start[..., 2]])
    by_across = 0.5 * np.stack([energy[..., 3] - energy[..., 4], start[..., 3] - start[..., 4]])
    return (
        energy[..., 0],
        start[..., 0],
        _distance_variance(who, d) + by_along[0] ** 2 + by_across[0] ** 2,
        by_along[0] * by_along[1] + by_across[0] * by_across[1],
        who.line**2 + by_along[1] ** 2 + by_across[1] ** 2,
    )


def _distance_variance(who: Golfer, d: FloatArray) -> FloatArray:
    """Variance of ln energy: the share of distance, greater for long putts."""
    return who.distance**2 * (1.0 + (d / who.long_m) ** 2)
