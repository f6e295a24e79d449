"""Sweeps over the node-lies of a whole hole: search, refine, bring up to date. Compiled.

`nogil` and single-threaded, as the kernels it calls.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from strategy.codes import Lie
from strategy.compiled import njit
from strategy.decide.kernels.arguments import (
    AIM,
    AIM_BEND,
    AIM_CARRY,
    AIM_FULL,
    AIM_MISHIT_SCALE,
    AIM_MISHIT_SHARE,
    AIM_MISHIT_X,
    AIM_MISHIT_Y,
    AIM_RUN_SHARE,
    AIM_X,
    AIM_XX,
    AIM_XY,
    AIM_Y,
    AIM_YX,
    AIM_YY,
    CARRY,
    HEADING,
    ROW_BEND,
    ROW_CARRY,
    ROW_DD,
    ROW_DEPTH,
    ROW_DS,
    ROW_LEAST,
    ROW_MISHIT_DEPTH,
    ROW_MISHIT_SCALE,
    ROW_MISHIT_SHARE,
    ROW_MISHIT_SIDE,
    ROW_SHORT,
    ROW_SHRINK,
    ROW_SIDE,
    ROW_SS,
    SHOT,
    STROKES,
    Bag,
    Looking,
    Net,
    Remembered,
    Sample,
    Screens,
    StrikePoint,
    ToGo,
)
from strategy.decide.kernels.flat_map import FAST, WIDE_DIAL, Land
from strategy.decide.kernels.strokes import expected

RECOVERY = int(Lie.RECOVERY)
FAR_TOO_MANY: Final = 1e6  # strokes
FAN: Final = 256  # aims of one shot, at most
MOST: Final = 1024  # aims of one node-lie that are worked on together


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def copy_row(source: Any, target: Any) -> None:
    """Copy a row number by number: for a whole row numba compiles text of errors for two seconds more."""
    for k in range(source.size):
        target[k] = source[k]


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def lay(aim: Any, p: Any, ox: float, oy: float, heading: float, carry: float) -> None:
    """Fill one row of aims for a shot of the table, as `decide.aims.pack` does. Radians, cells."""
    dial = carry / p[ROW_CARRY]
    scatter = dial if p[ROW_SHRINK] == 1.0 else dial ** p[ROW_SHRINK]
    s, c = math.sin(heading), math.cos(heading)
    side, depth = p[ROW_SIDE] * dial, p[ROW_DEPTH] * dial + carry
    aim[AIM_X], aim[AIM_Y] = ox + side * c + depth * s, oy - side * s + depth * c
    side, depth = side + p[ROW_MISHIT_SIDE] * dial, depth + p[ROW_MISHIT_DEPTH] * dial
    aim[AIM_MISHIT_X], aim[AIM_MISHIT_Y] = ox + side * c + depth * s, oy - side * s + depth * c
    aim[AIM_XX], aim[AIM_XY] = (c * p[ROW_SS] + s * p[ROW_DS]) * scatter, s * p[ROW_DD] * scatter
    aim[AIM_YX], aim[AIM_YY] = (c * p[ROW_DS] - s * p[ROW_SS]) * scatter, c * p[ROW_DD] * scatter
    aim[AIM_CARRY], aim[AIM_MISHIT_SCALE], aim[AIM_BEND], aim[AIM_MISHIT_SHARE] = (
        carry,
        p[ROW_MISHIT_SCALE],
        p[ROW_BEND] * dial,
        p[ROW_MISHIT_SHARE],
    )
    for k in range(12, 19):
        aim[k] = p[k]
    aim[AIM_RUN_SHARE] = dial if p[ROW_SHORT] > 0.0 else 1.0
    aim[AIM_FULL] = 1.0 if p[ROW_LEAST] > WIDE_DIAL * p[ROW_CARRY] else 0.0


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def bin_of(heading: float, bins: int) -> int:
    """Nearest of the table's headings. [rad]"""
    return math.floor(heading / (2.0 * math.pi) * bins + 0.5) % bins


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def sweep(
    land: Land, to_go: ToGo, nodes: Any, net: Net, bag: Bag, sample: Sample, value: Any, options: Any,
    looking: Looking, remembered: Remembered,
) -> float:  # fmt: skip
    """V = min over options of Q for some node-lies; gives the largest change.

    Parameters
    ----------
    land, to_go : Land, ToGo
        As of `kernels.strokes.expected`.
    nodes : int64 (M,)
        Which node-lies, in the order they are solved.
    net, bag, sample : Net, Bag, Sample
        The lattice, the shots, and common points of every option.
    value, options : float64 (N,), float64 (N, 8, 4)
        V, and each node-lie's best options, best first: shot (-1 = none), heading, carry, Q. Both change.
    looking : Looking
        What is tried.
    remembered : Remembered
        What is remembered to stand in the way of each shot from each place; nothing: every flight is walked
        past the trees.
    """
    leaders, spots, lies, turns = net.leaders, net.spots, net.lies, net.turns
    table, roll, allowed = bag.table, bag.roll, bag.allowed
    slots, worth, step, fan = looking.slots, looking.worth, looking.step, looking.fan
    coarse, margin, past, dials = looking.coarse, looking.margin, looking.past, looking.dials
    shots, bins, kept, full, change = table.shape[0], table.shape[2], options.shape[1], slots == 0, 0.0
    hx, hy = land.hole_x, land.hole_y
    none = np.empty((0, 0), np.uint16)
    aims, row, shot0 = np.empty((MOST, AIM)), np.empty(MOST, np.int64), np.zeros(MOST, np.int64)
    which, out = np.empty(MOST, np.int64), np.empty((MOST, 2))
    heading, carry, best_kept = np.empty(MOST), np.empty(MOST), np.full((kept, 4), -1.0)
    group = np.empty(max(shots, kept) + 1, np.int64)  # where the aims of each shot or option begin
    for node in nodes:
        ox, oy, up = spots[node, 0], spots[node, 1], spots[node, 2]
        lie, again = lies[node], 1.0 + value[node]
        to_hole = math.atan2(hx - ox, hy - oy)
        distance = math.hypot(hx - ox, hy - oy)
        best_kept[:, SHOT], best_kept[:, STROKES] = -1.0, math.inf
        source, sides, apart, turned = node, fan, step, 0.0
        searching = full
        if full and leaders[node] != node and options[leaders[node], 0, SHOT] >= 0.0:
            searching, source, sides, apart = False, leaders[node], 2, 0.5 * coarse
            turned = to_hole - math.atan2(hx - spots[source, 0], hy - spots[source, 1])
            again = max(again, 1.0 + value[source])
        nearer, longest = math.hypot(hx - spots[source, 0], hy - spots[source, 1]) - distance, 0.0
        tried, gap = False, searching  # no shot of the bag fits what is left
        if searching:
            for s in range(shots):
                if allowed[s, lie]:
                    longest = max(longest, table[s, lie, bin_of(to_hole, bins), ROW_CARRY])
            for s in range(shots):
                p = table[s, lie, bin_of(to_hole, bins)]
                enough = lie == RECOVERY or p[ROW_CARRY] >= 0.4 * min(longest, distance)
                gap = gap and not (
                    allowed[s, lie] and enough and p[ROW_LEAST] <= min(p[ROW_CARRY], distance + past)
                )
            if gap:  # the published strokes know nothing of it: against them every ball would go back
                again = FAR_TOO_MANY
        held = remembered.held[remembered.place_of[node]] if remembered.held.shape[0] > 0 else none
        last = (shots if searching else kept if full else slots) - 1
        for attempt in range(2):
            if attempt == 1:
                if best_kept[0, SHOT] >= 0.0 or not tried:
                    break
                again = FAR_TOO_MANY  # against a value far too low every ball would go back
            groups, n = 0, 0
            for slot in range(last + 1):
                s = slot if searching else int(options[source, slot, SHOT])
                plays = s >= 0 and allowed[s, lie]
                if plays and not searching:
                    plays = options[source, slot, STROKES] <= options[source, 0, STROKES] + worth
                group[groups] = n
                if plays and searching:
                    p = table[s, lie, bin_of(to_hole, bins)]
                    top, least = min(p[ROW_CARRY], distance + past), p[ROW_LEAST]
                    # From trees the way out may be sideways: short shots count there.
                    fits = top >= least and (lie == RECOVERY or p[ROW_CARRY] >= 0.4 * min(longest, distance))
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
                            wide, drift = (
                                math.atan(margin / length),
                                p[ROW_SIDE] / p[ROW_CARRY],
                            )  # a side wind is aimed off
                            low, high = min(0.0, turn) - wide - drift, max(0.0, turn) + wide - drift
                            if gap:  # too far, too short, or any way round: whatever leaves a shot that fits
                                low, high = -math.pi, math.pi
                            count = min(int((high - low) * length / coarse) + 2, FAN - (n - group[groups]))
                            for j in range(count):
                                carry[n] = length
                                heading[n] = to_hole + low + (high - low) * j / max(count - 1, 1)
                                n += 1
                elif plays:
                    p = table[s, lie, bin_of(options[source, slot, HEADING], bins)]
                    length = options[source, slot, CARRY]
                    length = min(
                        max(length - (nearer if length < p[ROW_CARRY] else 0.0), p[ROW_LEAST]), p[ROW_CARRY]
                    )
                    for j in range(-sides, sides + 1):
                        carry[n], heading[n] = (
                            length,
                            options[source, slot, HEADING] + turned + j * apart / length,
                        )
                        n += 1
                    middle = heading[group[groups] + sides]
                    for j in range(-1, 2 if sides > 0 else -1):  # longer and shorter, where the dial allows
                        carry[n], heading[n] = (
                            min(max(length + j * apart, p[ROW_LEAST]), p[ROW_CARRY]),
                            middle,
                        )
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
                    land, to_go, StrikePoint(ox, oy, up), aims[:n], shot0, row, roll, sample, again,
                    Screens(held, which), out,
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
                    if at >= 0 and best < best_kept[k, STROKES]:
                        while k > 0 and best_kept[k - 1, STROKES] > best:
                            copy_row(best_kept[k - 1], best_kept[k])
                            k -= 1
                        best_kept[k, SHOT], best_kept[k, HEADING] = which[at], heading[at]
                        best_kept[k, CARRY], best_kept[k, STROKES] = carry[at], best
                groups, n = 0, 0
        if best_kept[0, SHOT] < 0.0:
            continue
        k = 1
        for slot in range(kept if slots > 1 else 0):  # those left alone stand behind those refined
            while k < kept and best_kept[k, SHOT] >= 0.0:
                k += 1
            if k < kept and options[node, slot, STROKES] > options[node, 0, STROKES] + worth:
                copy_row(options[node, slot], best_kept[k])
        if full or slots > 1:
            for slot in range(kept):
                copy_row(best_kept[slot], options[node, slot])
        change = max(change, abs(best_kept[0, STROKES] - value[node]))
        value[node] = best_kept[0, STROKES]
    return change
