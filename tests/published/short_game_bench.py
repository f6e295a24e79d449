"""Strokes round a neutral green by value iteration, for calibrating and checking shots round the green.

Independent of the solver: its own playing out of a short shot, its own search for the landing spot, its own
field. The green is a flat disc; round it lies fairway, or rough in which every ball finds a good, a poor or a
jumper lie by chance; nothing else is there. On the green putts are the published averages. Missed greens are
played again.

A shot dialled to the share q of its full carry scatters by its s.d. times q^shrink, and runs (mean and s.d.)
q times what it runs at full carry. A mishit falls short by its share of the carry.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray
from scipy.stats import norm, qmc

from strategy.codes import Lie, Surface
from strategy.outcome.table import ShotTable
from strategy.strokes.baseline import putts
from strategy.strokes.putting import Putting
from strategy.units import YARD_M

Array = NDArray[np.float64]

RADIUS_M = 12.2  # 5,000 sq ft
MARGIN_M = 4 * YARD_M
ROUGH = {Lie.ROUGH_GOOD: 0.50, Lie.ROUGH_POOR: 0.35, Lie.JUMPER: 0.15}
AROUND = {"fairway": Surface.FAIRWAY, "rough": Surface.ROUGH}
LIES = {"fairway": {Lie.FAIRWAY: 1.0}, "rough": ROUGH, "sand": {Lie.SAND: 1.0}}

_OFF_M = np.array([0.2, 1.5, 3.5, 7.0, 12.0, 19.0, 28.0])  # nodes off the edge
_TURNS = np.linspace(0.0, np.pi, 9)  # and round the green, from the hole's side
_STEP_M = 0.02  # of the putting tables
_SWEEPS = 4


@dataclass(frozen=True)
class Place:
    """A ball and a hole, green-centred [m], and the weight of the pair."""

    hole: tuple[float, float]
    ball: tuple[float, float]
    weight: float


def places(distance_m: float, rings: int = 4, turns: int = 16) -> list[Place]:
    """Balls at a distance from holes: holes uniform over the part of the green 4 paces inside its edge, balls
    uniform in direction as seen from the hole, where that is off the green."""
    found = []
    for ring in range(rings):
        out = (RADIUS_M - MARGIN_M) * np.sqrt((ring + 0.5) / rings)
        for turn in (np.arange(turns) + 0.5) * np.pi / turns:  # the other half is a mirror image
            ball = (out + distance_m * np.cos(turn), distance_m * np.sin(turn))
            if np.hypot(*ball) > RADIUS_M:
                found.append(Place((float(out), 0.0), (float(ball[0]), float(ball[1])), 1.0))
    return [Place(p.hole, p.ball, p.weight / len(found)) for p in found]


@dataclass
class Green:
    """One green under one shot table: strokes and up-and-down share from anywhere round it."""

    table: ShotTable
    around: str
    level: float = 70.0
    stimp_ft: float = 11.0
    size: int = 64

    def __post_init__(self) -> None:
        knots = np.arange(0.0, 120.0, _STEP_M)
        self.putts = putts(knots, self.level)
        self.make = Putting(self.stimp_ft, self.level).make(knots)
        self.core = _normals(self.size, 3)
        self.mishit = _normals(self.size // 4, 4)
        self._fields: dict[float, Array] = {}

    def strokes(self, hole: tuple[float, float], balls: Array, lie: str) -> tuple[Array, Array]:
        """Strokes and up-and-down share from balls (N, 2), chance-weighted over the lies of `lie`."""
        out = float(np.hypot(*hole))
        turned = _turned(balls, hole)
        field = self.field(out)
        total, saved = np.zeros(len(balls)), np.zeros(len(balls))
        for one, chance in LIES[lie].items():
            q, u = self._best(out, turned, one, field)
            total, saved = total + chance * q, saved + chance * u
        return total, saved

    def field(self, out: float) -> Array:
        """Strokes from the nodes round the green, hole `out` metres from its centre (turns, off)."""
        key = round(out, 6)
        if key not in self._fields:
            turn, off = np.meshgrid(_TURNS, _OFF_M, indexing="ij")
            r = RADIUS_M + off
            nodes = np.column_stack(((r * np.cos(turn)).ravel(), (r * np.sin(turn)).ravel()))
            value = 2.25 + 0.012 * np.hypot(nodes[:, 0] - out, nodes[:, 1])
            for _ in range(_SWEEPS):
                now = np.zeros(len(nodes))
                for one, chance in LIES[self.around].items():
                    now += chance * self._best(out, nodes, one, value.reshape(turn.shape))[0]
                moved, value = float(np.abs(now - value).max()), now
                if moved < 4e-3:
                    break
            self._fields[key] = value.reshape(turn.shape)
        return self._fields[key]

    def _best(self, out: float, balls: Array, lie: Lie, field: Array) -> tuple[Array, Array]:
        t = self.table
        rows = [s for s in range(t.shots) if t.short[s] and t.allowed[s, int(lie)]]
        at = (rows, int(lie), 0)
        shots = np.column_stack(
            (
                t.carry[at],
                t.least[at],
                np.sqrt(t.covariance[(*at, 0, 0)]),
                np.sqrt(t.covariance[(*at, 1, 1)]),
                t.shrink[rows],
                t.mishit_share[at],
                t.mishit_shift[(*at, 1)],
                t.mishit_scale[at],
                t.run[(*at, int(Surface.GREEN))],
                t.run_sd[(*at, int(Surface.GREEN))],
                t.run[(*at, int(AROUND[self.around]))],
                t.run_sd[(*at, int(AROUND[self.around]))],
            )
        )
        best = _search(
            np.ascontiguousarray(balls),
            out,
            shots,
            self.core,
            self.mishit,
            self.putts,
            self.make,
            np.ascontiguousarray(field),
        )
        self.chosen = [t.labels[rows[int(k)]] for k in best[:, 2]]
        return best[:, 0], best[:, 1]


def measured(
    table: ShotTable,
    yards: tuple[float, ...] = (10, 20, 30, 40, 50, 60),
    level: float = 70.0,
    lies: tuple[str, ...] = ("fairway", "rough", "sand"),
    rings: int = 3,
    turns: int = 10,
) -> Iterator[tuple[str, float, float, float]]:
    """Lie, distance [yd], strokes and up-and-down share, averaged over holes and sides.

    Round a ball in sand lies rough.
    """
    for lie in lies:
        green = Green(table, "fairway" if lie == "fairway" else "rough", level)
        for yd in yards:
            strokes = saved = 0.0
            every = places(yd * YARD_M, rings, turns)
            for hole in dict.fromkeys(p.hole for p in every):
                here = [p for p in every if p.hole == hole]
                q, u = green.strokes(hole, np.array([p.ball for p in here]), lie)
                strokes += float(q @ np.array([p.weight for p in here]))
                saved += float(u @ np.array([p.weight for p in here]))
            yield lie, yd, strokes, saved


def _normals(size: int, seed: int) -> Array:
    """Side, depth and run: standard normals (size, 3), a scrambled net without its mean."""
    z = norm.ppf(qmc.Sobol(3, seed=seed).random(size))
    z -= z.mean(axis=0)
    return np.ascontiguousarray(z / z.std(axis=0))


def _turned(balls: Array, hole: tuple[float, float]) -> Array:
    """Balls in axes whose first one goes through the hole."""
    out = np.hypot(*hole)
    if out == 0.0:
        return np.asarray(balls, dtype=np.float64)
    c, s = hole[0] / out, hole[1] / out
    return np.column_stack((balls[:, 0] * c + balls[:, 1] * s, balls[:, 1] * c - balls[:, 0] * s))


@njit(cache=True)
def _value(x, y, out, putts, make, field):  # type: ignore[no-untyped-def]
    """Strokes to go and chance of one putt from a rest."""
    r = np.hypot(x, y)
    if r < 12.2:
        place = np.hypot(x - out, y) / 0.02
        i = int(place)
        f = place - i
        return putts[i] + f * (putts[i + 1] - putts[i]), make[i] + f * (make[i + 1] - make[i])
    off = min(max(r - 12.2, 0.2), 27.999)
    j = 0
    while OFF[j + 1] < off:
        j += 1
    g = (off - OFF[j]) / (OFF[j + 1] - OFF[j])
    turn = abs(np.arctan2(y, x)) / np.pi * 8.0
    i = min(int(turn), 7)
    f = turn - i
    low = field[i, j] + g * (field[i, j + 1] - field[i, j])
    high = field[i + 1, j] + g * (field[i + 1, j + 1] - field[i + 1, j])
    return low + f * (high - low), 0.0


OFF = _OFF_M


@njit(cache=True)
def _play(bx, by, heading, carry, shot, out, core, mishit, putts, make, field):  # type: ignore[no-untyped-def]
    """Mean strokes (this one included) and chance of up and down."""
    dial = carry / shot[0]
    narrower = dial ** shot[4]
    c, s = np.cos(heading), np.sin(heading)
    total, saved = 0.0, 0.0
    for part in range(2):
        points = core if part == 0 else mishit
        share = 1.0 - shot[5] if part == 0 else shot[5]
        scale = narrower if part == 0 else narrower * shot[7]
        mean = carry if part == 0 else carry + shot[6] * dial
        t, u = 0.0, 0.0
        for k in range(points.shape[0]):
            side = scale * shot[2] * points[k, 0]
            depth = max(mean + scale * shot[3] * points[k, 1], 0.3)
            lx = bx + depth * c + side * s
            ly = by + depth * s - side * c
            if lx * lx + ly * ly < 12.2 * 12.2:
                run = dial * (shot[8] + shot[9] * points[k, 2])
            else:
                run = dial * (shot[10] + shot[11] * points[k, 2])
            way = np.hypot(depth, side)
            v, m = _value(
                lx + run * (depth * c + side * s) / way,
                ly + run * (depth * s - side * c) / way,
                out,
                putts,
                make,
                field,
            )
            t += v
            u += m
        total += share * t / points.shape[0]
        saved += share * u / points.shape[0]
    return 1.0 + total, saved


@njit(cache=True)
def _search(balls, out, shots, core, mishit, putts, make, field):  # type: ignore[no-untyped-def]
    """Best shot, line and landing from each ball: strokes, up and down, shot (N, 3)."""
    result = np.empty((len(balls), 3))
    for n in range(len(balls)):
        bx, by = balls[n]
        to = np.hypot(out - bx, by)
        straight = np.arctan2(-by, out - bx)
        best, saved, which = 1e9, 0.0, -1
        for k in range(len(shots)):
            shot = shots[k]
            most = min(shot[0], to + 4.0)
            least = min(shot[1], most)
            line, carry, step_line, step = 0.0, 0.5 * (least + most), 1.5 / to, 0.5 * (most - least) / 6.0
            mine, mine_saved = 1e9, 0.0
            for i in range(13):
                for j in range(-1, 2):
                    at = least + (most - least) * i / 12.0
                    q, u = _play(
                        bx, by, straight + j * step_line, at, shot, out, core, mishit, putts, make, field
                    )
                    if q < mine:
                        mine, mine_saved, line, carry = q, u, j * step_line, at
            for _ in range(3):
                centre_line, centre = line, carry
                for i in range(-1, 2):
                    for j in range(-1, 2):
                        at = min(max(centre + i * step, least), most)
                        h = centre_line + j * step_line * 0.6
                        q, u = _play(bx, by, straight + h, at, shot, out, core, mishit, putts, make, field)
                        if q < mine:
                            mine, mine_saved, line, carry = q, u, h, at
                step *= 0.5
                step_line *= 0.6
            if mine < best:
                best, saved, which = mine, mine_saved, k
        result[n, 0], result[n, 1], result[n, 2] = best, saved, which
    return result
