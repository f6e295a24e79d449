"""Which aims to try: coarse to fine over headings and carries, halving the field in rounds.

All shots are ranked on the same points. A coarse round spans every sensible target: the direction of
the hole, the line of play at the shot's own distance, and everything between them with a margin. Each
later round halves the step and keeps the better part (successive halving), down to 0.3 m of aim.
What is kept is judged again on fresh scrambles by `decide.options`: the best of many noisy options
looks better than it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.course.playline import along_side, point_at
from strategy.decide.aims import Aims, Pages, sums
from strategy.decide.cost_field import CostField
from strategy.outcome.points import Points, make_points, scrambles
from strategy.outcome.table import SHORT_REACH_M
from strategy.outcome.today import HoleToday

COARSE_SIDE_M: Final = 3.0
COARSE_DEPTH_M: Final = 4.0
_MARGIN_LONG_M: Final = 45.0  # of target sideways, shots that stay short of the green
_MARGIN_GREEN_M: Final = 26.0  # the same, shots that reach it
# Nets of polishing: step as a share of the core's smaller s.d., least step [m], points of 16 scrambles each.
_NETS: Final = ((0.3, 1.5, 32), (0.2, 0.8, 64), (0.09, 0.45, 128))
_WORTH_POLISHING: Final = 0.25  # strokes above the best: dearer shots keep the aim they have
_SETTLED: Final = 0.02
_PAST_HOLE_M: Final = 30.0  # a carry this far past the hole is not tried


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundAims:
    """The best aim of each shot that is worth naming, best first, and V of the spot."""

    aims: Aims
    value: float


def search(
    field: CostField, spot: Spot, guess: float, *, seed: int, keep: int = 8, start: Aims | None = None
) -> FoundAims:
    """Best aim of every shot from a spot.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where the ball is.
    guess : float
        First guess of V, strokes to go of the spot.
    seed : int
        Seed of the common points.
    keep : int
        Shots to keep.
    start : Aims, optional
        Good aims from near by, in place of the coarse net.
    """
    today = field.today
    aims = coarse_aims(today, spot) if start is None else start
    pages = Pages.of(field, spot)
    q, value = _settled(field, spot, aims, make_points(64, seed), guess, pages)
    aims, q = best_per_shot(aims, q, each=5, shots=2 * keep)
    side, depth = COARSE_SIDE_M, COARSE_DEPTH_M
    for size, each, shots in ((128, 3, 2 * keep), (256, 2, keep + 2), (512, 1, keep)):
        side, depth = 0.5 * side, 0.5 * depth
        if start is not None and size < 256:
            continue
        aims = neighbours(today, spot, aims, side, depth)
        q, value = _settled(field, spot, aims, make_points(size, seed + 1), value, pages)
        aims, q = best_per_shot(aims, q, each=each, shots=shots)
    near = q <= value + _WORTH_POLISHING
    polished = polish(field, spot, aims[near], value, pages, seed=seed + 2)
    return FoundAims(aims=Aims.join((polished, aims[~near])), value=value)


@lru_cache(maxsize=16)
def sets_of(seed: int, size: int, count: int = 16) -> tuple[NDArray[np.float32], ...]:
    """Each scramble as a set of points (3, 2 K), core first."""
    return tuple(np.ascontiguousarray(p.stacked.T, dtype=np.float32) for p in scrambles(size, seed, count))


@lru_cache(maxsize=32)
def pool(seed: int, size: int, count: int = 16) -> NDArray[np.float32]:
    """All scrambles as one set of points (3, 2 K), core first."""
    stacks = [p.stacked for p in scrambles(size, seed, count)]
    core = np.vstack([s[: len(s) // 2] for s in stacks])
    mishit = np.vstack([s[len(s) // 2 :] for s in stacks])
    return np.ascontiguousarray(np.vstack((core, mishit)).T, dtype=np.float32)


def coarse_aims(today: HoleToday, spot: Spot) -> Aims:
    """Every sensible target of every allowed shot, on a coarse net."""
    there = today.shots.allowed[:, int(spot.lie)]
    far = np.hypot(spot.x - today.hole[0], spot.y - today.hole[1]) > SHORT_REACH_M
    # Where no full shot fits what is left, the shots round the green serve as lay-ups.
    for allowed in (there & ~today.shots.short, there) if far else (there,):
        parts = [_coarse_for(today, spot, int(s)) for s in np.flatnonzero(allowed)]
        parts = [p for p in parts if len(p)]
        if parts:
            return Aims.join(parts)
    # No shot is so short: every shot is tried at its shortest dial, in all directions.
    return Aims.join([_around(today, spot, int(s)) for s in np.flatnonzero(there)])


def _around(today: HoleToday, spot: Spot, shot: int) -> Aims:
    """The shortest dial of a shot in every direction."""
    least = float(today.shots_from(spot).least[shot, int(spot.lie)].min())
    heading = np.arange(0.0, 360.0, np.degrees(2.0 * COARSE_SIDE_M / least))
    carry = today.shots_from(spot).at(shot, int(spot.lie), heading).least
    return Aims(shot=np.full(len(heading), shot, dtype=np.int64), heading=heading, carry=np.asarray(carry))


def _coarse_for(today: HoleToday, spot: Spot, shot: int) -> Aims:
    table, lie = today.shots_from(spot), int(spot.lie)
    start = np.array([spot.x, spot.y])
    to_hole = np.asarray(today.hole) - start
    distance = float(np.hypot(*to_hole))
    straight = float(np.degrees(np.arctan2(to_hole[0], to_hole[1])))
    row = table.at(shot, lie, straight)
    most, least = float(row.carry), float(row.least)
    top = min(most, distance + _PAST_HOLE_M)
    if top < least - 1e-9:
        return Aims(shot=np.zeros(0, np.int64), heading=np.zeros(0), carry=np.zeros(0))
    count = int(np.ceil((top - least) / COARSE_DEPTH_M)) + 1
    shots, headings, carries = [], [], []
    along_line = along_side(today.line, start[None])[0]
    for carry in np.linspace(top, least, count) if count > 1 else [top]:
        reaches = carry > distance - 40.0
        on_line = point_at(today.line, 0.0, along_line[1] + carry)[0] - start
        along = float(np.degrees(np.arctan2(on_line[0], on_line[1])))
        turn = (along - straight + 180.0) % 360.0 - 180.0
        margin = np.degrees(np.arctan((_MARGIN_GREEN_M if reaches else _MARGIN_LONG_M) / carry))
        low, high = min(0.0, turn) - margin, max(0.0, turn) + margin
        step = np.degrees(COARSE_SIDE_M / carry)
        # The fan is laid over finishes, not over headings, so that a side wind is allowed for.
        drift = float(np.degrees(np.arctan2(row.mean[0], most)))
        fan = straight - drift + np.linspace(low, high, int(np.ceil((high - low) / step)) + 1)
        shots.append(np.full(len(fan), shot, dtype=np.int64))
        headings.append(fan)
        carries.append(np.full(len(fan), carry))
    return Aims(
        shot=np.concatenate(shots), heading=np.concatenate(headings) % 360.0, carry=np.concatenate(carries)
    )


def _settled(
    field: CostField, spot: Spot, aims: Aims, points: Points, guess: float, pages: Pages
) -> tuple[FloatArray, float]:
    """Q of each aim at the fixed point V = min Q, from a first guess; one to three rounds suffice."""
    value = guess
    for _ in range(4):
        result = sums(field, spot, aims, points, 1.0 + value, pages=pages)
        q = np.round(result.repeated, 6)
        new = float(q.min())
        settled = abs(new - value) < _SETTLED or not result.returning.any()
        value = new
        if settled:
            break
    return q, value


def best_per_shot(aims: Aims, q: FloatArray, *, each: int, shots: int) -> tuple[Aims, FloatArray]:
    """The best `each` aims of the best `shots` shots, best first, ties in a fixed order."""
    seen: dict[int, int] = {}
    keep = []
    for i in np.lexsort((aims.carry, aims.heading, aims.shot, q)):
        s = int(aims.shot[i])
        if s not in seen and len(seen) >= shots:
            continue
        if seen.get(s, 0) < each:
            seen[s] = seen.get(s, 0) + 1
            keep.append(i)
    return aims[np.array(keep)], q[keep]


def neighbours(today: HoleToday, spot: Spot, aims: Aims, side: float, depth: float) -> Aims:
    """Each aim with its neighbours on a net of that step; carries stay within the shot's dial."""
    table, lie = today.shots_from(spot), int(spot.lie)
    net = np.arange(-1, 2)
    across, along = (g.ravel() for g in np.meshgrid(net, net, indexing="ij"))
    shot = np.repeat(aims.shot, len(across))
    base = np.repeat(aims.carry, len(across))
    heading = np.repeat(aims.heading, len(across)) + np.degrees(np.tile(across, len(aims)) * side / base)
    carry = base + np.tile(along, len(aims)) * depth
    row = table.at(shot, lie, heading)
    carry = np.clip(carry, row.least, row.carry)
    rows = np.column_stack((shot, np.round(heading % 360.0, 7), np.round(carry, 6)))
    unique = np.unique(rows, axis=0)
    return Aims(shot=unique[:, 0].astype(np.int64), heading=unique[:, 1], carry=unique[:, 2])


def polish(
    field: CostField,
    spot: Spot,
    aims: Aims,
    value: float,
    pages: Pages,
    *,
    seed: int,
) -> Aims:
    """Move each aim to the lowest point of a parabola through its surroundings, to 0.3 m.

    Nets of 5 x 5 aims, each finer than the last, on many common points; a paraboloid through a net
    smooths what is left of the noise: expected strokes are smooth on the scale of the spread. The first net
    is wide, because the bottom of a bowl may be flat over 15 m and the coarse rounds stop anywhere on it.
    """
    today = field.today
    table, lie = today.shots_from(spot), int(spot.lie)
    net = np.arange(-2, 3, dtype=np.float64)
    across, along = (g.ravel() for g in np.meshgrid(net, net, indexing="ij"))
    design = np.column_stack((np.ones(25), across, along, across**2, across * along, along**2))
    solve = np.linalg.pinv(design)
    heading, carry = aims.heading.copy(), aims.carry.copy()
    for share, least_step, size in _NETS:
        row = table.at(aims.shot, lie, heading)
        most, least = row.carry, row.least
        spread = np.sqrt(np.minimum(row.covariance[:, 0, 0], row.covariance[:, 1, 1])) * carry / most
        step = np.maximum(share * spread, least_step)
        turn = np.degrees(step / carry)
        around = Aims(
            shot=np.repeat(aims.shot, 25),
            heading=(heading[:, None] + across * turn[:, None]).ravel(),
            carry=(carry[:, None] + along * step[:, None]).ravel(),
        )
        q = sums(field, spot, around, pool(seed, size), 1.0 + value, pages=pages).repeated.reshape(-1, 25)
        for i in range(len(aims)):
            low = max(-2.0, float((least[i] - carry[i]) / step[i]))
            high = min(2.0, float((most[i] - carry[i]) / step[i]))
            da, db = _lowest(solve @ q[i], low, high)
            heading[i] += da * turn[i]
            carry[i] = np.clip(carry[i] + db * step[i], least[i], most[i])
    return Aims(shot=aims.shot, heading=heading % 360.0, carry=carry)


def _lowest(c: FloatArray, low: float, high: float) -> tuple[float, float]:
    """Lowest place of c0 + c1 a + c2 b + c3 a^2 + c4 a b + c5 b^2 with |a| <= 2, low <= b <= high."""
    a = np.linspace(-2.0, 2.0, 81)[:, None]
    b = np.linspace(low, high, 81)[None, :]
    q = c[1] * a + c[2] * b + c[3] * a**2 + c[4] * a * b + c[5] * b**2
    i, j = np.unravel_index(int(np.argmin(q)), q.shape)
    return float(a[i, 0]), float(b[0, j])
