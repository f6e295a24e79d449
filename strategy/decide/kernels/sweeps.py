"""Sweeps over the node-lies of a whole hole: search, refine, bring up to date. Compiled.

`nogil` and single-threaded, as the kernels it calls.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from strategy.codes import Lie
from strategy.compiled import njit
from strategy.decide.kernels.flat_map import AIM, FAST, WIDE_DIAL, Land
from strategy.decide.kernels.strokes import expected

RECOVERY = int(Lie.RECOVERY)
FAR_TOO_MANY: Final = 1e6  # strokes
FAN: Final = 256  # aims of one shot, at most
MOST: Final = 1024  # aims of one node-lie that are worked on together


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def lay(aim: Any, p: Any, ox: float, oy: float, heading: float, carry: float) -> None:
    """Fill one row of aims for a shot of the table, as `decide.aims.pack` does. Radians, cells."""
    dial = carry / p[0]
    scatter = dial if p[20] == 1.0 else dial ** p[20]
    s, c = math.sin(heading), math.cos(heading)
    side, depth = p[2] * dial, p[3] * dial + carry
    aim[0], aim[1] = ox + side * c + depth * s, oy - side * s + depth * c
    side, depth = side + p[7] * dial, depth + p[8] * dial
    aim[2], aim[3] = ox + side * c + depth * s, oy - side * s + depth * c
    aim[4], aim[5] = (c * p[4] + s * p[5]) * scatter, s * p[6] * scatter
    aim[6], aim[7] = (c * p[5] - s * p[4]) * scatter, c * p[6] * scatter
    aim[8], aim[9], aim[10], aim[11] = carry, p[9], p[10] * dial, p[11]
    for k in range(12, 19):
        aim[k] = p[k]
    aim[19] = dial if p[19] > 0.0 else 1.0
    aim[20] = 1.0 if p[1] > WIDE_DIAL * p[0] else 0.0


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def bin_of(heading: float, bins: int) -> int:
    """Nearest of the table's headings. [rad]"""
    return math.floor(heading / (2.0 * math.pi) * bins + 0.5) % bins


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def sweep(
    land: Land, field: Any, pages: Any, crossings: Any,
    nodes: Any, leaders: Any, spots: Any, lies: Any, turns: Any, allowed: Any, table: Any,
    roll: Any, points: Any, core: int, value: Any, options: Any, slots: int, worth: float, step: float,
    fan: int, coarse: float, margin: float, past: float, dials: int, screens: Any, place_of: Any,
) -> float:  # fmt: skip
    """V = min over options of Q for some node-lies; gives the largest change. Cells and radians.

    Parameters
    ----------
    land, field, pages, crossings : Land, ...
        As of `kernels.expected`.
    nodes : int64 (M,)
        Which node-lies, in the order they are solved.
    leaders : int64 (N,)
        When searching, a node-lie whose leader is another one starts from that one's options within `worth`.
    spots, lies : float64 (N, 3), int64 (N,)
        Place and height [m] of every node-lie, and its lie.
    turns : float64 (N, 1 + B)
        A distance, and from each node-lie the headings of the line of play at B multiples of it.
    allowed, table, roll : bool (S, L), float64 (S, L, H, ROW), float32 (S * L * H, 3, 16)
        From `decide.rows`.
    points, core : float32 (4, K), int
        Common points of every option.
    value, options : float64 (N,), float64 (N, 8, 4)
        V, and each node-lie's best options, best first: shot (-1 = none), heading, carry, Q. Both change.
    slots, worth, step, fan : int, float, float, int
        0 slots: search every shot over a fan of headings. Otherwise refine so many options, those within
        `worth` of the best, by `fan` steps to each side and one of carry; none only puts them in order.
    coarse, margin, past : float
        When searching: sideways step, sideways reach of the fan beyond the directions of hole and line of
        play, and how far past the hole a carry is tried.
    dials : int
        Carries tried of each shot when searching, 0.35 `past` apart.
    screens, place_of : uint16 (P, S, DIRECTIONS) or (0, 0, DIRECTIONS), int64 (N,)
        What is remembered to stand in the way of each shot from each place, and the place of each node-lie;
        none: every flight is walked past the trees.
    """
    shots, bins, kept, full, change = table.shape[0], table.shape[2], options.shape[1], slots == 0, 0.0
    hx, hy = land.hole_x, land.hole_y
    none = np.empty((0, 0), np.uint16)
    aims, row, shot0 = np.empty((MOST, AIM)), np.empty(MOST, np.int64), np.zeros(MOST, np.int64)
    which, out = np.empty(MOST, np.int64), np.empty((MOST, 2))
    heading, carry, found = np.empty(MOST), np.empty(MOST), np.full((kept, 4), -1.0)
    group = np.empty(max(shots, kept) + 1, np.int64)  # where the aims of each shot or option begin
    for node in nodes:
        ox, oy, up = spots[node, 0], spots[node, 1], spots[node, 2]
        lie, again = lies[node], 1.0 + value[node]
        to_hole = math.atan2(hx - ox, hy - oy)
        distance = math.hypot(hx - ox, hy - oy)
        found[:, 0], found[:, 3] = -1.0, math.inf
        source, sides, apart, turned = node, fan, step, 0.0
        searching = full
        if full and leaders[node] != node and options[leaders[node], 0, 0] >= 0.0:
            searching, source, sides, apart = False, leaders[node], 2, 0.5 * coarse
            turned = to_hole - math.atan2(hx - spots[source, 0], hy - spots[source, 1])
            again = max(again, 1.0 + value[source])
        nearer, longest = math.hypot(hx - spots[source, 0], hy - spots[source, 1]) - distance, 0.0
        tried, gap = False, searching  # no shot of the bag fits what is left
        if searching:
            for s in range(shots):
                if allowed[s, lie]:
                    longest = max(longest, table[s, lie, bin_of(to_hole, bins), 0])
            for s in range(shots):
                p = table[s, lie, bin_of(to_hole, bins)]
                enough = lie == RECOVERY or p[0] >= 0.4 * min(longest, distance)
                gap = gap and not (allowed[s, lie] and enough and p[1] <= min(p[0], distance + past))
            if gap:  # the published strokes know nothing of it: against them every ball would go back
                again = FAR_TOO_MANY
        seen = screens[place_of[node]] if screens.shape[0] > 0 else none
        last = (shots if searching else kept if full else slots) - 1
        for attempt in range(2):
            if attempt == 1:
                if found[0, 0] >= 0.0 or not tried:
                    break
                again = FAR_TOO_MANY  # against a value far too low every ball would go back
            groups, n = 0, 0
            for slot in range(last + 1):
                s = slot if searching else int(options[source, slot, 0])
                plays = s >= 0 and allowed[s, lie]
                if plays and not searching:
                    plays = options[source, slot, 3] <= options[source, 0, 3] + worth
                group[groups] = n
                if plays and searching:
                    p = table[s, lie, bin_of(to_hole, bins)]
                    top, least = min(p[0], distance + past), p[1]
                    # From trees the way out may be sideways: short shots count there.
                    fits = top >= least and (lie == RECOVERY or p[0] >= 0.4 * min(longest, distance))
                    if gap or fits:
                        top = max(top, least)
                        # Full, and dialled down by even steps of which one is the carry to the hole.
                        dialled = distance + 0.35 * past * min(
                            1, math.ceil((top - distance) / past / 0.35 - 1.3)
                        )
                        for k in range(dials):
                            length = top if k == 0 else dialled - (k - 1) * 0.35 * past
                            if length < least or (gap and k > 0):
                                break
                            b = min(int(length / turns[node, 0]), turns.shape[1] - 2)
                            turn = turns[node, 1 + b] - to_hole
                            turn -= 2.0 * math.pi * math.floor(turn / (2.0 * math.pi) + 0.5)
                            wide, drift = math.atan(margin / length), p[2] / p[0]  # a side wind is aimed off
                            low, high = min(0.0, turn) - wide - drift, max(0.0, turn) + wide - drift
                            if gap:  # too far, too short, or any way round: whatever leaves a shot that fits
                                low, high = -math.pi, math.pi
                            count = min(int((high - low) * length / coarse) + 2, FAN - (n - group[groups]))
                            for j in range(count):
                                carry[n] = length
                                heading[n] = to_hole + low + (high - low) * j / max(count - 1, 1)
                                n += 1
                elif plays:
                    p = table[s, lie, bin_of(options[source, slot, 1], bins)]
                    length = options[source, slot, 2]
                    length = min(max(length - (nearer if length < p[0] else 0.0), p[1]), p[0])
                    for j in range(-sides, sides + 1):
                        carry[n], heading[n] = length, options[source, slot, 1] + turned + j * apart / length
                        n += 1
                    middle = heading[group[groups] + sides]
                    for j in range(-1, 2 if sides > 0 else -1):  # longer and shorter, where the dial allows
                        carry[n], heading[n] = min(max(length + j * apart, p[1]), p[0]), middle
                        n += carry[n] != length
                if n > group[groups]:
                    for i in range(group[groups], n):
                        b = bin_of(heading[i], bins)
                        row[i] = (s * allowed.shape[1] + lie) * bins + b
                        lay(aims[i], table[s, lie, b], ox, oy, heading[i], carry[i])
                        which[i] = s
                    tried = True
                    groups += 1
                    group[groups] = n
                if (n + FAN <= MOST and slot < last) or n == 0:
                    continue
                # All aims in one go: alone, those of one shot make loops too short for the processor.
                expected(
                    land, field, pages, crossings, up, ox, oy,
                    aims[:n], shot0, row, roll, points, core, again, seen, which, out,
                )  # fmt: skip
                # The best of each shot enters the list; of one shot and carry only one aim is kept.
                for g in range(groups):
                    best, at = math.inf, -1
                    for i in range(group[g], group[g + 1]):
                        if out[i, 1] < 1.0:
                            q = (1.0 + out[i, 0] + out[i, 1]) / (1.0 - out[i, 1])
                            if q < best:
                                best, at = q, i
                    k = kept - 1
                    if at >= 0 and best < found[k, 3]:
                        while k > 0 and found[k - 1, 3] > best:
                            found[k] = found[k - 1]
                            k -= 1
                        found[k, 0], found[k, 1] = which[at], heading[at]
                        found[k, 2], found[k, 3] = carry[at], best
                groups, n = 0, 0
        if found[0, 0] < 0.0:
            continue
        k = 1
        for slot in range(kept if slots > 1 else 0):  # those left alone stand behind those refined
            while k < kept and found[k, 0] >= 0.0:
                k += 1
            if k < kept and options[node, slot, 3] > options[node, 0, 3] + worth:
                found[k] = options[node, slot]
        if full or slots > 1:
            options[node] = found
        change = max(change, abs(found[0, 3] - value[node]))
        value[node] = found[0, 3]
    return change
