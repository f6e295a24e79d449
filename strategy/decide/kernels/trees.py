"""Trees for the kernels: where a ball is stopped, exactly or as remembered for its shot and direction.

`flown` repeats `strategy.outcome.trees` step for step; it leaps over open ground by the free distance to the
nearest tree, and over everything at once while the ball is above all trees: a flight rises and falls once.
Balls of one aim go in bundles: what is open for a whole bundle is looked at once (`clear_until`). Trees are
still most of the work of a ball, so searching and solving remember what stands in the way
of each shot from each place by direction (`look`): the whole way where a shot is hardly dialled, else its
first half, and nothing is walked twice. Whatever is printed is walked.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from strategy.compiled import njit
from strategy.decide.kernels.arguments import (
    AIM_BEND,
    AIM_CARRY,
    AIM_FULL,
    AIM_HEIGHT,
    AIM_HEIGHT_1,
    AIM_HEIGHT_2,
    AIM_X,
    AIM_Y,
    Flight,
    Screens,
    Size,
    StrikePoint,
    Wood,
)
from strategy.decide.kernels.flat_map import FAST, UNSEEN

_HALF: Final = 0.5  # of a flight is remembered of a shot that is dialled far down
_NEARLY: Final = 0.97  # of any other
_LANDED: Final = 0.999  # of its flight a ball has made that comes down among trees
_STANDS: Final = 24.0  # parts of a mean free way, in a screen
_FAR: Final = 2.0  # cells, in a screen
_FURTHEST: Final = 1.5  # of what an aim carries no ball flies further
# Balls that are worked on together: what is held of them stays in the nearest caches. Rows of that array.
BATCH: Final = 1024
ROWS: Final = 21
X, Y, RUN, SHARE, COS, SIN, STANDS, PART, AHEAD_X, AHEAD_Y, LEAD = range(11)
END_X, END_Y, RISE, RISE_2, UP, LENGTH, SD, FREE, OFF_X, OFF_Y = range(11, 21)
BUNDLES: Final = 12  # of the balls of one aim, by direction
BUNDLED: Final = 24  # balls of an aim, at least, that are bundled
WIDEST: Final = 0.4  # tangent of the angle to the aim, of balls that are
NEVER: Final = 2**30
_ENOUGH: Final = 6.0  # mean free ways: who has got so far is stopped


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def canopy_cell(rows: int, columns: int, per: float, x: float, y: float) -> Any:
    """Flat index of a place of the bordered map among the canopy's cells; outside, that of its border."""
    col = int(min(max((x - 1.0) * per + 1.0, 0.0), columns - 1.0))
    row = int(min(max((y - 1.0) * per + 1.0, 0.0), rows - 1.0))
    return row * columns + col


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def above_till(clear: float, up: float, carry: float, k0: float, k1: float, k2: float) -> Any:
    """A fraction of the flight, one half or more, till which a ball past its rise stays above `clear`. [m]

    Where u (k0 + k1 u + k2 u²) grows over the second half, as of every flight that comes down more steeply
    than it rose, a ball is above ``carry (1 - u)`` times its value at any earlier place: three steps of that
    bound come near the truth from the safe side. One half where it does not grow.
    """
    if k0 + k1 + 0.75 * k2 <= 0.0 or k0 + 2.0 * k1 + 3.0 * k2 <= 0.0:
        return 0.5
    need = (clear - min(up, 0.0)) / carry
    u = 0.5
    for _ in range(4):
        u = max(u, 1.0 - need / (u * (k0 + u * (k1 + u * k2))))
    return u


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def clear_until(
    free: Any, rows: int, columns: int, step: float, ox: float, oy: float,
    along_x: float, along_y: float, width: float, least: float, most: float, bend: float,
) -> int:  # fmt: skip
    """Steps that no ball of a narrow bundle has to look at: none meets a tree sooner.

    The bundle is balls of one aim, struck within `width` (a tangent) of one direction. A place on the way is
    open for all of them where the nearest tree is further off than the bundle is wide there.

    Parameters
    ----------
    free, rows, columns, step
        Of `TreeMap`.
    ox, oy, along_x, along_y : float
        Where the balls are struck, and the direction of the middle of the bundle, of length one. [cells]
    width : float
        Tangent of the angle from the middle to its edge.
    least, most, bend : float
        Shortest and longest of its balls; their sideways bend. [cells]
    """
    one, n = 1.0 / step, most / step
    leap = 0.8 / math.sqrt(1.0 + (bend / least) ** 2)
    i = 1
    while i < n:
        r = i * step
        near, far = r / most, min(r / least, 1.0)
        low, high = near * near - near, far * far - far
        if low > high:
            low, high = high, low
        if near < 0.5 < far:
            low = -0.25
        middle = 0.5 * (low + high) * bend
        x, y = ox + r * along_x + middle * along_y, oy + r * along_y - middle * along_x
        wide = (r * width + 0.5 * (high - low) * abs(bend)) * one
        room = free[canopy_cell(rows, columns, one, x, y)] - wide
        if room <= 0.0:
            return i
        i += max(int(leap * room), 1)
    return NEVER


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def flown(
    free: Any, top: Any, base: Any, wood: Wood, height: Any, size: Size, start: StrikePoint,
    lx: float, ly: float, flight: Flight, stands: float, begin: int,
) -> float:  # fmt: skip
    """Fraction of its flight at which a tree stops a ball, 1 if none does.

    Parameters
    ----------
    free, top, base
        Of `TreeMap`. They come one by one: a tuple of arrays costs more to hand over than the ball to fly.
    wood, size, start, flight
        Scalars of the trees, of the map, of where the ball is struck, of its flight.
    lx, ly : float
        Landing. [cells]
    stands : float
        Mean free ways that the ball can stand.
    begin : int
        First step of the canopy that is looked at: 1, or later as of `clear_until`.
    """
    rows, columns, step, clear = wood.rows, wood.columns, wood.step, wood.clear
    ny, nx, cell_m, level, ox, oy = size.rows, size.columns, size.cell_m, start.height, start.x, start.y
    bend, k0, k1, k2 = flight.bend, flight.k0, flight.k1, flight.k2
    cx, cy = lx - ox, ly - oy
    length = math.sqrt(cx * cx + cy * cy)
    hilly = height.size > 0
    last_x, last_y = nx - 1.0, ny - 1.0
    up = 0.0
    if hilly:
        up = height[int(min(max(ly, 0.0), last_y)) * nx + int(min(max(lx, 0.0), last_x))] - level
    carry = length * cell_m
    # From here on in steps of the canopy; a bent track is longer than its chord.
    n = length / step
    per, one = 1.0 / n, 1.0 / step
    wx, wy = bend * cy / length, -bend * cx / length
    leap = 1.0 / math.sqrt(1.0 + (bend / length) ** 2)
    used = 0.0
    i = begin
    while i < n:
        u = i * per
        v = u * u - u
        z = u * up - carry * v * (k0 + u * (k1 + u * k2))
        if z >= clear:
            i = max(i + 1, int(above_till(clear, up, carry, k0, k1, k2) * n))
            continue
        x, y = ox + u * cx + v * wx, oy + u * cy + v * wy
        at = canopy_cell(rows, columns, one, x, y)
        open_ = free[at]
        if open_ > 0:
            i += max(int(leap * open_), 1)
            continue
        above = z
        if hilly:
            above -= height[int(min(max(y, 0.0), last_y)) * nx + int(min(max(x, 0.0), last_x))] - level
        if above < top[at]:
            used += wood.crown if above >= base[at] else wood.stems
            if used > stands:
                return u
        i += 1
    return 1.0


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def look(
    free: Any, top: Any, base: Any, wood: Wood, height: Any, size: Size, start: StrikePoint,
    carry: float, direction: float, flight: Flight, until: float,
) -> Any:  # fmt: skip
    """What stands in the way of a shot that lands `carry` away in a direction, up to a part of its flight.

    In the low byte what the way uses up, in parts of a mean free way; in the high byte how far out, on
    average, it is used up. Never `UNSEEN`.
    """
    rows, columns, step, clear = wood.rows, wood.columns, wood.step, wood.clear
    ny, nx, cell_m, level, ox, oy = size.rows, size.columns, size.cell_m, start.height, start.x, start.y
    bend, k0, k1, k2 = flight.bend, flight.k0, flight.k1, flight.k2
    hilly = height.size > 0
    last_x, last_y = nx - 1.0, ny - 1.0
    one, n, metres = 1.0 / step, carry / step, carry * cell_m
    leap = 1.0 / math.sqrt(1.0 + (bend / carry) ** 2)
    sx, sy = math.sin(direction), math.cos(direction)
    used, moment, high = 0.0, 0.0, False
    per, last = 1.0 / n, until * n
    i = 1
    while i < last and used < _ENOUGH:
        u = i * per
        v = u * u - u
        z = -metres * v * (k0 + u * (k1 + u * k2))
        if z >= clear:
            # AskedShot once: what is left of it goes by in steps.
            i = i + 1 if high else max(i + 1, int(above_till(clear, 0.0, metres, k0, k1, k2) * n))
            high = True
            continue
        x, y = ox + i * step * sx + v * bend * sy, oy + i * step * sy - v * bend * sx
        at = canopy_cell(rows, columns, one, x, y)
        open_ = free[at]
        if open_ > 0:
            i += max(int(leap * open_), 1)
            continue
        above = z
        if hilly:
            above -= height[int(min(max(y, 0.0), last_y)) * nx + int(min(max(x, 0.0), last_x))] - level
        if above < top[at]:
            more = wood.crown if above >= base[at] else wood.stems
            used += more
            moment += more * math.exp(-used) * i * step
        i += 1
    far = moment / (1.0 - math.exp(-used)) if used > 0.0 else 0.0
    return np.uint16(min(int(used * _STANDS + 0.5), 255) + (min(int(far / _FAR + 0.5), 254) << 8))


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def fly_past(
    trees: Any, height: Any, size: Size, start: StrikePoint, aims: Any, chosen: Any, own: Any,
    screens: Screens, b: Any, ways: Any,
) -> None:  # fmt: skip
    """Stop the balls that trees stop: rows X, Y of `b` move there, row PART receives how far.

    Parameters
    ----------
    aims : float64 (A, AIM)
    chosen, own : int32 (>= M,), (K,)
        Row of `aims` of each of M aims, and which of these each ball is of.
    screens : Screens
        What is remembered of each shot from here; without columns every flight is walked.
    b : float (ROWS, >= K)
        The balls: X, Y, STANDS, and where there are screens AHEAD_X, AHEAD_Y, LEAD.
    ways : int32 (2, >= K)
        To work in.
    """
    free, top, base, rows, columns = trees.free, trees.top, trees.base, trees.rows, trees.columns
    step, ox, oy = trees.step, start.x, start.y
    wood = Wood(rows, columns, step, trees.crown, trees.stems, trees.highest - start.height)
    remembered, which = screens.held, screens.row
    n, one, balls = remembered.shape[1], 1.0 / step, own.shape[0]
    room = free[canopy_cell(rows, columns, one, ox, oy)] * step / _FURTHEST
    near = False
    for k in range(balls):
        b[PART, k] = 1.0
    for a in range(own[balls - 1] + 1):
        near = near or room <= aims[chosen[a], AIM_CARRY]
    if not near:
        return  # no tree is as near as any ball may fly
    if n == 0:
        many = own[balls - 1] + 1
        bundled = balls >= BUNDLED * many
        if bundled:
            # Balls of one aim by direction, in bundles: what is open for all of one is looked at once.
            widest = np.zeros(many)
            for k in range(balls):
                i = chosen[own[k]]
                ax, ay, dx, dy = (
                    aims[i, AIM_X] - ox,
                    aims[i, AIM_Y] - oy,
                    float(b[X, k]) - ox,
                    float(b[Y, k]) - oy,
                )
                t = abs((dx * ay - dy * ax) / (dx * ax + dy * ay))
                widest[own[k]] = max(widest[own[k]], min(t, WIDEST))
            least, most = np.full((many, BUNDLES), math.inf), np.zeros((many, BUNDLES))
            begins = np.ones((many, BUNDLES), np.int32)
            for k in range(balls):
                a = own[k]
                i = chosen[a]
                ax, ay, dx, dy = (
                    aims[i, AIM_X] - ox,
                    aims[i, AIM_Y] - oy,
                    float(b[X, k]) - ox,
                    float(b[Y, k]) - oy,
                )
                along = dx * ax + dy * ay
                t = (dx * ay - dy * ax) / along
                ways[0, k] = -1
                if along > 0.0 and abs(t) <= widest[a]:
                    g = min(int(0.5 * BUNDLES * (1.0 + t / max(widest[a], 1e-9))), BUNDLES - 1)
                    ways[0, k] = g
                    length = math.sqrt(dx * dx + dy * dy)
                    least[a, g], most[a, g] = min(least[a, g], length), max(most[a, g], length)
            for a in range(many):
                i = chosen[a]
                ax, ay = aims[i, AIM_X] - ox, aims[i, AIM_Y] - oy
                width = widest[a] / BUNDLES
                for g in range(BUNDLES):
                    if most[a, g] > 0.0:
                        t = width * (2 * g + 1 - BUNDLES)
                        sx, sy = ax + t * ay, ay - t * ax
                        long = math.sqrt(sx * sx + sy * sy)
                        begins[a, g] = clear_until(
                            free, rows, columns, step, ox, oy, sx / long, sy / long, width,
                            least[a, g], most[a, g], aims[i, AIM_BEND],
                        )  # fmt: skip
        for k in range(balls):
            i = chosen[own[k]]
            if room <= aims[i, AIM_CARRY]:
                begin = begins[own[k], ways[0, k]] if bundled and ways[0, k] >= 0 else 1
                if begin == NEVER:
                    continue
                b[PART, k] = flown(
                    free, top, base, wood, height, size, start, float(b[X, k]), float(b[Y, k]),
                    Flight(
                        aims[i, AIM_BEND], aims[i, AIM_HEIGHT], aims[i, AIM_HEIGHT_1], aims[i, AIM_HEIGHT_2]
                    ),
                    float(b[STANDS, k]), begin,
                )  # fmt: skip
    else:
        # In passes that the compiler can vectorise, in the balls' own type; close to the lead the tangent is
        # the angle.
        c = np.empty(9, b.dtype)
        c[0], c[1], c[2], c[3] = ox, oy, 0.5 * n, n / (2.0 * math.pi)
        c[4], c[5], c[6], c[7], c[8] = one, columns - 1.0, rows - 1.0, 0.0, 1.0
        at_x, at_y, most, turns, per = c[0], c[1], c[2], c[3], c[4]
        last_x, last_y, zero, unit, across = c[5], c[6], c[7], c[8], np.int32(columns)
        for k in range(balls):
            dx, dy = b[X, k] - at_x, b[Y, k] - at_y
            off = (
                turns * (dx * b[AHEAD_Y, k] - dy * b[AHEAD_X, k]) / (dx * b[AHEAD_X, k] + dy * b[AHEAD_Y, k])
            )
            ways[0, k] = np.int32(b[LEAD, k] + min(max(off, -most), most))
            col = np.int32(min(max((b[X, k] - unit) * per + unit, zero), last_x))
            ways[1, k] = np.int32(min(max((b[Y, k] - unit) * per + unit, zero), last_y)) * across + col
        for k in range(balls):
            i = chosen[own[k]]
            at = ways[0, k] - n if ways[0, k] >= n else ways[0, k]
            held = remembered[which[i], at]
            if held == UNSEEN:
                held = look(
                    free, top, base, wood, height, size, start, aims[i, AIM_CARRY],
                    (at + 0.5) * (2.0 * math.pi / n),
                    Flight(
                        aims[i, AIM_BEND], aims[i, AIM_HEIGHT], aims[i, AIM_HEIGHT_1], aims[i, AIM_HEIGHT_2]
                    ),
                    _NEARLY if aims[i, AIM_FULL] > 0.0 else _HALF,
                )  # fmt: skip
                remembered[which[i], at] = held
            stood = (held & 255) > b[STANDS, k] * _STANDS
            if stood or top[ways[1, k]] > 0.0:
                b[PART, k] = _LANDED
                if stood:
                    far = max((held >> 8) * _FAR, 1.0)
                    b[PART, k] = min(far / math.sqrt((b[X, k] - ox) ** 2 + (b[Y, k] - oy) ** 2), _LANDED)
    for k in range(balls):
        if b[PART, k] < 1.0:
            u, dx, dy = float(b[PART, k]), float(b[X, k]) - ox, float(b[Y, k]) - oy
            v = aims[chosen[own[k]], AIM_BEND] * (u * u - u) / math.sqrt(dx * dx + dy * dy)
            b[X, k], b[Y, k] = ox + u * dx + v * dy, oy + u * dy - v * dx
