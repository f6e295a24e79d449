"""How sure an answer is: in how many plausible weeks it stays the best of its options.

Each week of `outcome.weeks` is a world of its own: other spreads, another wind and flight law, firmer or
softer ground, outlines that are not where they were drawn, trees that stop more or fewer balls. In each of
them all options are valued on the same points, and so are aims left and right of the answer's.

What the player sees before the shot is used as the player would: in another wind the start line is moved so
that the ball still lands on the line that was planned. A shot at the green keeps its landing as far as its
dial allows, and one that did not reach goes as far as the answer where it now can. Any other shot that was
planned at full swing is struck at full swing.

First order (numerics note, section 11): what follows is this player's strokes to go as solved for the middle
week, read at the place of the ball and by the surface that the week has there. With F the strokes to go as
laid out, R those from a fairway lie and d the displacement of outlines, a ball at x is worth
F(x - d) - R(x - d) + R(x), on greens F(x). `tests/decide/test_sureness.py` holds that against solving anew.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot, Surface
from strategy.decide.aims import DIAL_M, Aims, Pages, in_cells, pack
from strategy.decide.cost_field import CostField, to_metres
from strategy.decide.kernels.arguments import AIM_X, AIM_XX, AIM_Y, AIM_YY, Part, Sample, Screens
from strategy.decide.kernels.flat_map import NO_SCREEN
from strategy.decide.option import EVEN, Option
from strategy.decide.search import pool
from strategy.outcome.play import Choice
from strategy.outcome.points import Stream
from strategy.outcome.weather import LEAST_CARRY_M
from strategy.outcome.weeks import CAUSES, Weeks, longer

POINTS: Final = 64  # balls of each of 16 scrambles and each stratum: options
POINTS_BESIDE: Final = 16  # and aims beside the answer's
BESIDE_M: Final = 2.0 * np.arange(-6, 7)  # aims beside the answer's
NEVER: Final = 0.4  # strokes: an option that costs more is not the best in any week
FEW: Final = 16  # weeks in which one cause is drawn by itself
OFTEN: Final = 0.9  # weeks in which an aim has to stay good
_FREE_M: Final = 6.0  # how much nearer trouble may be than it is drawn: more than any displacement, nearly
_REACH: Final = 3.5  # standard deviations round an aim that are looked at
_RUN_M: Final = 25.0
_FAR_CELLS: Final = 160  # relief within this distance of the part may be another
_NET_M: Final = 5.0  # displacements are worked out this far apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the first of some options is.

    Attributes
    ----------
    stays : tuple of float
        Share of the plausible weeks in which each option is the best; they sum to 1.
    best_in_mean : int
        Which option has the fewest strokes in the mean over the weeks.
    saves : float
        What that one saves in the mean over the weeks against the first. [strokes]
    spread : float
        Standard deviation over the weeks of what the best of the others costs more than the first. [strokes]
    hangs_on : str
        What decides most which of the two is better: a word of `CAUSES`; "" where the first is best in
        nearly all weeks.
    aims_m : tuple of two floats
        How far to the left and to the right of the answer's aim the same shot costs less than `EVEN` more in
        nine weeks of ten. [m]
    """

    stays: tuple[float, ...]
    best_in_mean: int
    saves: float
    spread: float
    hangs_on: str
    aims_m: tuple[float, float]

    @property
    def in_ten(self) -> int:
        """Weeks of ten in which the first option stays the best."""
        return round(10.0 * self.stays[0])


def sureness(
    field: CostField, spot: Spot, options: Sequence[Option], weeks: Weeks, *, seed: int = 1
) -> Sureness | None:
    """How sure the first of some options is; None where no other comes near it.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is.
    options : sequence of Option
        As they are said: the answer first.
    weeks : Weeks
        Of the player whose shots the hole was set up with.
    seed : int
        Seed of the common points.
    """
    rivals = [o for o in options if o.cost <= options[0].cost + NEVER]
    if len(rivals) < 2:
        return None
    strokes = strokes_by_week(field, spot, rivals, weeks, seed=seed, beside=True)
    each, beside = strokes[:, : len(rivals)], strokes[:, len(rivals) :]
    best = np.bincount(np.argmin(np.round(each, 6), axis=1), minlength=len(rivals)) / len(each)
    index = {o.index: float(share) for o, share in zip(rivals, best, strict=True)}
    mean = each.mean(axis=0)
    rival = 1 + int(np.argmin(mean[1:]))
    more = each[:, rival] - each[:, 0]
    good = (beside - beside[:, [len(BESIDE_M) // 2]] <= EVEN).mean(axis=0) >= OFTEN
    in_mean = int(np.argmin(np.round(mean, 6)))
    return Sureness(
        stays=tuple(index.get(o.index, 0.0) for o in options),
        best_in_mean=[o.index for o in options].index(rivals[in_mean].index),
        saves=float(mean[0] - mean[in_mean]),
        spread=float(more.std()),
        hangs_on="" if best[0] >= OFTEN else cause(field, spot, [rivals[0], rivals[rival]], weeks, seed=seed),
        aims_m=_range(good),
    )


def strokes_by_week(
    field: CostField, spot: Spot, options: Sequence[Option], weeks: Weeks, *,
    seed: int = 1, beside: bool = False,
) -> FloatArray:  # fmt: skip
    """Strokes of A options in each week: one play, then best play.

    Parameters
    ----------
    beside : bool
        Also of the first one aimed beside its aim, by `BESIDE_M`.

    Returns
    -------
    ndarray (W, A) or (W, A + 13)
        On common points.
    """
    from strategy.decide.kernels.strokes import expected

    today, lie, first = field.today, int(spot.lie), options[0]
    aims = Aims.of([*(o.choice for o in options), *(_beside(first.choice) if beside else ())])
    row = today.shots_from(spot).at(aims.shot, lie, aims.heading)
    own, factor = row.covariance, np.linalg.cholesky(row.covariance)
    count = len(options)
    more = longer(today, lie, aims.shot[:count], aims.heading[:count], weeks)
    more = np.hstack((more, np.repeat(more[:, :1], len(aims) - count, axis=1)))
    said = [*options, *[first] * (len(aims) - count)]
    swing = np.array([not today.at_green(o.aim) for o in said]) & (aims.carry > row.carry - DIAL_M)
    wanted = _wanted(aims.carry, row.carry, row.least)
    world = _World.of(field, in_cells(today, *pack(today, spot, aims))[0])
    # Options differ in their clubs, so they need more points than aims of one shot beside one another.
    parts = [(slice(0, count), _sample(seed, POINTS)), (slice(count, None), _sample(seed, POINTS_BESIDE))]
    parts = parts if beside else parts[:1]
    origin, page = field.strike_point(spot), np.zeros(len(aims), np.int64)
    value = first.strokes - first.cost
    out, strokes = np.empty((len(aims), 2)), np.empty((len(weeks), len(aims)))
    on_green = np.arange(16) == Surface.GREEN
    for w in range(len(weeks)):
        most = np.maximum(row.carry + more[w], LEAST_CARRY_M)
        carry = np.where(swing, most, np.clip(wanted, np.minimum(row.least, most), most))
        scatter = np.exp(2.0 * weeks.scatter[w][aims.shot])[:, None, None]
        off = np.einsum("aij,aj->ai", factor, weeks.off[w][aims.shot])
        # The heading planned allows for the drift of the forecast; for another one the start line moves.
        played = dataclasses.replace(aims, carry=carry)
        packed, which, roll = in_cells(today, *pack(today, spot, played, own * scatter, row.mean + off))
        roll[:, :2] *= np.exp(np.where(on_green, weeks.run[w, 1], weeks.run[w, 0]))
        there = world.in_week(weeks, w)
        screens = Pages.screens_only(there).screens if there.trees.free.size else NO_SCREEN
        for part, sample in parts:
            expected(
                there.land, there.to_gather(), origin, packed[part], page[part], which[part],
                roll.astype(np.float32), sample, 1.0 + value, Screens(screens, aims.shot[part]), out[part],
            )  # fmt: skip
        strokes[w] = 1.0 + out[:, 0] + out[:, 1] * (1.0 + value)
    return strokes


def _sample(seed: int, size: int) -> Sample:
    z = pool(Stream.PRICE.of(seed), size)
    return Sample(z, z.shape[1] // 2)


def _wanted(carry: FloatArray, most: FloatArray, least: FloatArray) -> FloatArray:
    """Landing depths (A,) that would be played if the dial allowed: the answer's for a shot at its end.

    A shot that was planned at full swing because it reaches no further lands further in a helping wind.
    """
    wanted = np.where(carry > most - DIAL_M, np.maximum(carry, carry[0]), carry)
    return np.asarray(np.where(carry < least + DIAL_M, np.minimum(wanted, carry[0]), wanted))


def _beside(choice: Choice) -> list[Choice]:
    """The same stroke at aims beside its own, `BESIDE_M` to the right."""
    return [
        dataclasses.replace(
            choice, heading=(choice.heading + math.degrees(math.atan2(off, choice.carry))) % 360.0
        )
        for off in BESIDE_M
    ]


def _range(good: NDArray[np.bool_]) -> tuple[float, float]:
    """How far left and right of the middle of `BESIDE_M` an unbroken row of good aims goes. [m]"""
    middle = len(good) // 2
    left = right = middle
    while left > 0 and good[left - 1]:
        left -= 1
    while right < len(good) - 1 and good[right + 1]:
        right += 1
    return abs(float(BESIDE_M[left])), float(BESIDE_M[right])


def cause(field: CostField, spot: Spot, two: Sequence[Option], weeks: Weeks, *, seed: int = 1) -> str:
    """What decides most which of two options is better: that of `CAUSES` which moves their difference most.

    Each is drawn by itself, the rest being what the plan is made for.
    """
    moves = {}
    for name in CAUSES:
        strokes = strokes_by_week(field, spot, two, weeks.only(name, FEW), seed=seed)
        moves[name] = float(np.std(strokes[:, 1] - strokes[:, 0]))
    return max(moves, key=lambda name: moves[name])


@dataclass(slots=True)
class _World:
    """A hole laid out whose outlines are moved, in the part of its map where balls of some aims come to rest.

    Attributes
    ----------
    field : CostField
        With maps of its own, which `in_week` writes into.
    values, packed : ndarray (ny, nx)
        As laid out, the free distances shortened by `_FREE_M`.
    part : Part
        The part.
    smooth : ndarray (Y, X)
        Strokes to go from a fairway lie over a net of the part.
    """

    field: CostField
    values: NDArray[np.float32]
    packed: NDArray[np.uint32]
    part: Part
    smooth: FloatArray

    @staticmethod
    def of(field: CostField, packed: FloatArray) -> _World:
        """`packed` (A, AIM): the aims, in cells."""
        cell, shape = field.today.cell_m, (field.rows, field.columns)
        spread = np.sqrt((packed[:, AIM_XX : AIM_YY + 1] ** 2).reshape(-1, 2, 2).sum(axis=2))  # (A, 2)
        reach = _REACH * spread + _RUN_M / cell
        centre = packed[:, AIM_X : AIM_Y + 1]
        most = np.array(shape[::-1]) - 2
        low = np.clip(np.floor((centre - reach).min(axis=0)), 1, most).astype(int)
        high = np.clip(np.ceil((centre + reach).max(axis=0)), 1, most).astype(int)
        width, height = (int(n) for n in high - low + 1)
        part = Part(int(low[1]), int(low[0]), height, width, _NET_M / cell)
        free = (field.packed >> 4) & 4095
        nearer = np.minimum(free, np.uint32(4.0 * _FREE_M / cell)) << 4
        shortened = field.packed - nearer.astype(np.uint32)
        own = dataclasses.replace(
            field, values=field.values.copy(), packed=shortened.copy(), relief=field.relief.copy()
        )
        places = _net(field, part)
        flat = np.column_stack([p.ravel() for p in places])
        smooth = field.to_go(flat, np.full(len(flat), int(Lie.FAIRWAY))).reshape(places[0].shape)
        return _World(own, field.values.reshape(shape), shortened.reshape(shape), part, smooth)

    def in_week(self, weeks: Weeks, week: int) -> CostField:
        """The hole as its outlines are in a week; good until it is asked again."""
        from strategy.decide.kernels.outlines import move_outlines

        field, part, shape = self.field, self.part, self.values.shape
        trees, through = field.trees, float(np.exp(-weeks.through[week]))
        other = dataclasses.replace(
            field, trees=trees._replace(crown=through * trees.crown, stems=through * trees.stems)
        )
        if not weeks.heights[week].any():
            return other
        east, north = _net(field, part)
        moved = weeks.moved(week, east[0], north[:, 0]) / field.today.cell_m
        move_outlines(
            part, moved, self.smooth, self.values, self.packed,
            field.values.reshape(shape), field.packed.reshape(shape),
        )  # fmt: skip
        # What relief is worth depends on where the edge is now.
        near = slice(max(part.row - _FAR_CELLS, 0), part.row + part.height + _FAR_CELLS)
        field.relief.reshape(2, *shape)[:, near] = np.nan
        return other


def _net(field: CostField, part: Part) -> tuple[FloatArray, FloatArray]:
    """East and north (Y, X) of a net over a part. [m]"""
    columns, rows = (np.arange(math.ceil(n / part.step) + 2) * part.step for n in (part.width, part.height))
    places = np.stack(np.meshgrid(part.column + columns + 0.5, part.row + rows + 0.5), axis=-1)
    places = to_metres(field.today, places)
    return places[..., 0], places[..., 1]
