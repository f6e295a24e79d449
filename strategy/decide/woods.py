"""Trees for the kernels: where a ball is stopped, exactly or by a table of the first half of its flight.

`flown` repeats `strategy.outcome.trees` step for step; it leaps over open ground by the free distance to the
nearest tree, and over trees that the ball is high above. Solving asks far too many balls for that: there the
first half of a flight, which hardly depends on how far the shot is dialled, is looked up by its direction
(`screen_from`), and only the second half is walked. Whatever is printed, and the values themselves, walk all.
"""

from __future__ import annotations

import math
from typing import Any, Final

from numba import njit

from strategy.decide.land import FAST

HALF: Final = 0.5  # of a flight is in the screen
_STANDS: Final = 24.0  # parts of a mean free way, in a screen
_FAR: Final = 2.0  # cells, in a screen


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def flown(
    trees: Any, height: Any, ny: int, nx: int, cell_m: float, level: float, ox: float, oy: float,
    lx: float, ly: float, bend: float, k0: float, k1: float, k2: float, stands: float, begin: float,
) -> float:  # fmt: skip
    """Fraction of its flight at which a tree stops a ball, 1 if none does.

    Parameters
    ----------
    level : float
        Height of the spot. [m]
    lx, ly, bend : float
        Landing and sideways bend. [cells]
    k0, k1, k2 : float
        Row of `ShotTable.climb`.
    stands : float
        Mean free ways that the ball can stand.
    begin : float
        Fraction from which it is looked at.
    """
    free, top, base, rates = trees.free, trees.top, trees.base, trees.rates
    cx, cy = lx - ox, ly - oy
    length = math.sqrt(cx * cx + cy * cy)
    hilly = height.size > 0
    last_x, last_y = nx - 1.0, ny - 1.0
    up = 0.0
    if hilly:
        up = height[int(min(max(ly, 0.0), last_y)) * nx + int(min(max(lx, 0.0), last_x))] - level
    wx, wy = bend * cy / length, -bend * cx / length
    carry = length * cell_m
    # Per cell of the way no flight comes down by more than this; a bent track is longer than its chord.
    steepest = (abs(k0) + 1.25 * abs(k1) + 1.5 * abs(k2)) * cell_m + abs(up) / length
    leap = 0.25 / math.sqrt(1.0 + (bend / length) ** 2)
    clear = rates[2] - level
    used = 0.0
    i = max(1, math.ceil(begin * length))
    while i < length:
        u = i / length
        v = u * u - u
        x, y = ox + u * cx + v * wx, oy + u * cy + v * wy
        at = int(min(max(y, 0.0), last_y)) * nx + int(min(max(x, 0.0), last_x))
        z = u * up - carry * v * (k0 + u * (k1 + u * k2))
        step = max(int(leap * free[at]), int((z - clear) / steepest))
        if step < 1:
            step = 1
            above = z - (height[at] - level) if hilly else z
            if above < top[at]:
                used += rates[0] if above >= base[at] else rates[1]
                if used > stands:
                    return u
        i += step
    return 1.0


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def screen_from(
    trees: Any, height: Any, ny: int, nx: int, cell_m: float, level: float, ox: float, oy: float,
    carry: float, bend: float, k0: float, k1: float, k2: float, middle: float, out: Any,
) -> None:  # fmt: skip
    """What stands in the way of the first half of one shot's full flight, by direction of its landing.

    `out`, uint16 (DIRECTIONS,), receives in the low byte what the way uses up, in parts of a mean free way,
    and in the high byte how far out, on average, it is used up. Directions more than 110 degrees off
    `middle` [rad] are left alone: nothing is played there.
    """
    free, top, base, rates = trees.free, trees.top, trees.base, trees.rates
    hilly = height.size > 0
    last_x, last_y = nx - 1.0, ny - 1.0
    metres = carry * cell_m
    leap = 0.25 / math.sqrt(1.0 + (bend / carry) ** 2)
    steepest = (abs(k0) + 1.25 * abs(k1) + 1.5 * abs(k2)) * cell_m
    clear = rates[2] - level
    for k in range(out.shape[0]):
        a = (k + 0.5) * (2.0 * math.pi / out.shape[0])
        off = a - middle
        off -= 2.0 * math.pi * math.floor(off / (2.0 * math.pi) + 0.5)
        out[k] = 0
        if abs(off) > 1.92:
            continue
        sx, sy = math.sin(a), math.cos(a)
        used, moment = 0.0, 0.0
        i = 1
        while i < HALF * carry and used < 4.0:
            u = i / carry
            v = u * u - u
            x, y = ox + i * sx + v * bend * sy, oy + i * sy - v * bend * sx
            at = int(min(max(y, 0.0), last_y)) * nx + int(min(max(x, 0.0), last_x))
            z = -metres * v * (k0 + u * (k1 + u * k2))
            step = max(int(leap * free[at]), int((z - clear) / steepest))
            if step < 1:
                step = 1
                above = z - (height[at] - level) if hilly else z
                if above < top[at]:
                    more = rates[0] if above >= base[at] else rates[1]
                    used += more
                    moment += more * math.exp(-used) * i
            i += step
        if used > 0.0:
            far = moment / max(1.0 - math.exp(-used), 1e-9)
            out[k] = min(int(used * _STANDS + 0.5), 255) + (min(int(far / _FAR + 0.5), 255) << 8)


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def screened(screen: Any, direction: float, stands: float) -> float:
    """Distance at which the first half of a flight is stopped, 0 if it is not. [rad -> cells]"""
    n = screen.shape[0]
    held = int(screen[math.floor(direction / (2.0 * math.pi) * n) % n])
    if (held & 255) <= stands * _STANDS:
        return 0.0
    return max(1.0, (held >> 8) * _FAR)
