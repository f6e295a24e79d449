"""Compiled kernels: expected strokes of many aims at once, relief and crossings.

Each kernel repeats `strategy.outcome.play` and `strategy.outcome.relief` cell for cell; tests hold
them equal on random spots. All are `nogil` and single-threaded: threads and processes are the
caller's. `sweeps` (values of node-lies) and `rollout` (single balls) call these.

Layout. Maps carry a border of one cell that is off the map, so that clamping replaces bounds checks. Inside,
positions are counted in cells. `packed` holds the surface in its low four bits; in the next twelve a free
distance in quarter cells, from dry ground to the nearest bunker or penalty area (no ball can meet one
sooner) and from inside a penalty area to its nearest edge; above them 1 + the number of the penalty area.

What makes it quick. The aim's rotation, scatter and stratum fold into one affine map of the standard
normals. The balls of many aims share one buffer of a fixed size. Arithmetic and gathers are separate passes
over it, so the compiler vectorises the arithmetic. Balls near trouble are listed and played out one by one,
leaping by the free distance; the value of relief is worked out once for each crossing cell and remembered.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from strategy.compiled import njit
from strategy.decide.kernels.arguments import (
    AIM_BEND,
    AIM_COS,
    AIM_MISHIT_SCALE,
    AIM_MISHIT_SHARE,
    AIM_RISE,
    AIM_RISE_2,
    AIM_RUN_SHARE,
    AIM_SIN,
    AIM_X,
    AIM_Y,
    Sample,
    Screens,
    Size,
    StrikePoint,
    ToGo,
)
from strategy.decide.kernels.flat_map import FAST, Land
from strategy.decide.kernels.relief import (
    BUNKER,
    FREE_TO_STEPS,
    PATCH,
    RED,
    YELLOW,
    cell_at,
    crossing,
    mapped_crossing,
    relief_value,
)
from strategy.decide.kernels.trees import (
    AHEAD_X,
    AHEAD_Y,
    BATCH,
    COS,
    END_X,
    END_Y,
    FREE,
    LEAD,
    LENGTH,
    OFF_X,
    OFF_Y,
    PART,
    RISE,
    RISE_2,
    ROWS,
    RUN,
    SD,
    SHARE,
    SIN,
    STANDS,
    UP,
    X,
    Y,
    fly_past,
)
from strategy.outcome.play import ACROSS_M, ASIDE, LEAST_RUN_M, MOST_SLOPE, TRACK_STEP_CELLS
from strategy.outcome.trees import DROP_SD_M


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def _near_trouble(
    land: Land, field: Any, page: Any, crossings: Any,
    ox: float, oy: float, lx: float, ly: float, rx: float, ry: float, bend: float, remember: bool,
) -> float:  # fmt: skip
    """Strokes to go of one ball whose run, unless caught, ends at (rx, ry); inf when it must go back."""
    ny, nx, packed = land.rows, land.columns, land.packed
    start, at = cell_at(lx, ly, ny, nx), cell_at(rx, ry, ny, nx)
    size = math.sqrt((rx - lx) ** 2 + (ry - ly) ** 2)
    if size > 0.0:
        sx, sy = (rx - lx) / size * TRACK_STEP_CELLS, (ry - ly) / size * TRACK_STEP_CELLS
        last = math.ceil(size / TRACK_STEP_CELLS)
        code = packed[at] & 15
        end = last
        if code not in (BUNKER, YELLOW, RED):
            # No stopper within the free distance of the end either: only the middle is walked.
            end = last - 1 - int(FREE_TO_STEPS * ((packed[at] >> 4) & 4095))
        for n in range(max(1, int(FREE_TO_STEPS * ((packed[start] >> 4) & 4095))), end + 1):
            px, py = lx + n * sx, ly + n * sy
            if n == last:
                px, py = rx, ry
            code = packed[cell_at(px, py, ny, nx)] & 15
            if code in (BUNKER, YELLOW, RED):
                rx, ry = px, py
                at = cell_at(rx, ry, ny, nx)
                break
    if land.rolls_to.size > 0 and land.rolls_to[at] != at:
        at = np.uint32(land.rolls_to[at])
        rx, ry = at % nx + 0.5, at // nx + 0.5
    value = float(page[at])
    if not math.isnan(value):
        return value
    if crossings.size:
        cross = mapped_crossing(crossings, nx, at, rx - ox, ry - oy, bend)
    else:
        cross = crossing(packed, ny, nx, ox, oy, lx, ly, rx, ry, bend)
    if cross < 0:
        value = math.inf
    else:
        red = packed[at] & 15 == RED
        side = 1 if red else 0
        value = float(land.relief[side, cross])
        if math.isnan(value):
            x, y = cross % nx + 0.5, cross // nx + 0.5
            value = float(
                relief_value(
                    field, ny, nx, land.cell_m, land.hole_x, land.hole_y, land.club_m, land.zones, x, y, red
                )
            )
            land.relief[side, cross] = value
    if remember:
        area = packed[at] >> 16
        row, col = int(at) // nx // PATCH * PATCH, int(at) % nx // PATCH * PATCH
        for r in range(row, min(row + PATCH, ny)):
            for c in range(col, min(col + PATCH, nx)):
                if packed[r * nx + c] >> 16 == area:
                    page[r * nx + c] = value
    return value


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def sloped(
    height: Any, ny: int, nx: int, cell_m: float, ox: float, oy: float, x: float, y: float,
    length: float, fall: float, turn_cos: float, turn_sin: float,
) -> float:  # fmt: skip
    """Run on the ground's own slope, of a level run from (x, y); as `play._on_the_slope`. [cells]"""
    dx, dy = x - ox, y - oy
    inv = length / math.sqrt(dx * dx + dy * dy)
    rest = cell_at(
        x + inv * (turn_cos * dx + turn_sin * dy), y + inv * (turn_cos * dy - turn_sin * dx), ny, nx
    )
    rise = height[rest] - height[cell_at(x, y, ny, nx)]
    slope = rise / max(abs(length) * cell_m, LEAST_RUN_M)
    return length * math.exp(-fall * min(max(slope, -MOST_SLOPE), MOST_SLOPE))


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def run_aside(
    height: Any, ny: int, nx: int, cell_m: float, ox: float, oy: float, x: float, y: float,
    length: float, fall: float, turn_cos: float, turn_sin: float,
) -> Any:  # fmt: skip
    """How far such a run ends to the low side of its line (x, y); `length` on the slope. [cells]"""
    dx, dy = x - ox, y - oy
    inv = 1.0 / math.sqrt(dx * dx + dy * dy)
    ex, ey = inv * (turn_cos * dx + turn_sin * dy), inv * (turn_cos * dy - turn_sin * dx)
    mx, my, far = x + 0.5 * length * ex, y + 0.5 * length * ey, ACROSS_M / cell_m
    right = cell_at(mx + far * ey, my - far * ex, ny, nx)
    left = cell_at(mx - far * ey, my + far * ex, ny, nx)
    slope = min(max((height[right] - height[left]) / (2.0 * ACROSS_M), -MOST_SLOPE), MOST_SLOPE)
    aside = -ASIDE * fall * slope * abs(length)
    return aside * ey, -aside * ex


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def expected(
    land: Land, to_go: ToGo, start: StrikePoint, aims: Any, shot: Any, row: Any, roll: Any, sample: Sample,
    again: float, screens: Screens, out: Any,
) -> None:  # fmt: skip
    """Sums behind the expected strokes of A aims over N balls. Positions and lengths in cells.

    Parameters
    ----------
    land : Land
        The hole.
    to_go : ToGo
        What the balls have to go.
    start : StrikePoint
        Where they are struck.
    aims : float64 (A, AIM)
        For each aim the affine map of the normals and more, see `decide.aims.pack`.
    shot : int64 (A,)
        Page of each aim; all 0 with one page.
    row : int64 (A,)
        Row of `roll`.
    roll : float (R, 3, 16)
        Mean, s.d. and `fall` of the run by surface, padded.
    sample : Sample
        Points of every aim.
    again : float
        1 + V: what going back is worth; a ball worth more goes back (Rule 18.1).
    screens : Screens
        For searching: what is remembered to stand in the way, see `kernels.trees.fly_past`.
    out : float64 (A, 2)
        Receives (a, p): weighted strokes of the balls that are played on, share that goes back.
    """
    ny, nx, packed, height = land.rows, land.columns, land.packed, land.height
    field, pages, crossings, points, core = (
        to_go.values,
        to_go.pages,
        to_go.crossings,
        sample.deviates,
        sample.core,
    )
    ox, oy, from_height, directions = start.x, start.y, start.height, screens.held.shape[1]
    wooded, hilly, screened = land.trees.free.size > 0, height.size > 0, directions > 0
    size = Size(ny, nx, land.cell_m)
    # One array of a size that is known when compiling: the compiler then sees that its rows do not overlap.
    b, of_aim = np.empty((ROWS, BATCH), points.dtype), np.empty((14, BATCH), points.dtype)
    cells, infos, own = np.empty(BATCH, np.int32), np.empty(BATCH, np.uint32), np.empty(BATCH, np.int32)
    rows = np.empty(BATCH, np.int64)
    chosen, listed, ways = (
        np.empty(BATCH, np.int32),
        np.empty(BATCH, np.int32),
        np.empty((2, BATCH), np.int32),
    )
    values, totals, backs = (
        np.empty(BATCH, field.dtype),
        np.empty(BATCH, field.dtype),
        np.empty(BATCH, np.int32),
    )
    # Constants go through an array of the points' type, so that float32 arithmetic stays float32.
    c = np.empty(8, points.dtype)
    c[0], c[1], c[2], c[3], c[4], c[5] = 0.0, nx - 1, ny - 1, 0.25, ox, oy
    c[6], c[7] = DROP_SD_M / land.cell_m, from_height
    zero, last_x, last_y, quarter, at_x, at_y, drop, level = c[0], c[1], c[2], c[3], c[4], c[5], c[6], c[7]
    columns = np.int32(nx)
    # Strokes are added up in the field's own type: float32 for speed, float64 where tests need it.
    sums = np.zeros(2, field.dtype)
    sums[1] = again
    nothing, limit = sums[0], sums[1]
    remember = pages.shape[0] > 1
    for i in range(aims.shape[0]):
        out[i, 0], out[i, 1] = 0.0, 0.0
    for stratum in range(2):
        begin, end = stratum * core, core if stratum == 0 else points.shape[1]
        following = 0
        while following < aims.shape[0] and begin < end:
            # As many aims as the buffers hold, or a part of the points of one.
            m = 0
            while following < aims.shape[0] and (m == 0 or (m + 1) * (end - begin) <= BATCH):
                i, following = following, following + 1
                if aims[i, AIM_MISHIT_SHARE] == 1.0 - stratum:
                    continue  # none of its balls is in this stratum
                scale = 1.0 if stratum == 0 else aims[i, AIM_MISHIT_SCALE]
                chosen[m], rows[m], totals[m], backs[m] = i, row[i], nothing, 0
                of_aim[0, m], of_aim[1, m] = aims[i, 2 * stratum], aims[i, 2 * stratum + 1]
                for j in range(4):
                    of_aim[2 + j, m] = scale * aims[i, 4 + j]
                of_aim[6, m], of_aim[7, m], of_aim[8, m] = (
                    aims[i, AIM_RUN_SHARE],
                    aims[i, AIM_COS],
                    aims[i, AIM_SIN],
                )
                of_aim[9, m], of_aim[10, m] = aims[i, AIM_RISE], aims[i, AIM_RISE_2]
                if screened:
                    x, y = aims[i, AIM_X] - ox, aims[i, AIM_Y] - oy
                    of_aim[11, m], of_aim[12, m] = x, y
                    of_aim[13, m] = directions * (1.0 + math.atan2(x, y) / (2.0 * math.pi))
                m += 1
            first = begin if m > 0 else end
            while first < end:
                half = min(BATCH // m, end - first)
                n = m * half
                # 1. Landings: of many aims point after point, of few aim after aim, so that loops are long.
                if m > half:
                    for k in range(half):
                        side, depth, run = points[0, first + k], points[1, first + k], points[2, first + k]
                        at = k * m
                        for a in range(m):
                            b[X, at + a] = of_aim[0, a] + of_aim[2, a] * side + of_aim[3, a] * depth
                            b[Y, at + a] = of_aim[1, a] + of_aim[4, a] * side + of_aim[5, a] * depth
                            b[RUN, at + a], b[SHARE, at + a] = run, of_aim[6, a]
                            b[COS, at + a], b[SIN, at + a] = of_aim[7, a], of_aim[8, a]
                        for a in range(m):
                            own[at + a] = a
                        if hilly:
                            for a in range(m):
                                b[RISE, at + a], b[RISE_2, at + a] = of_aim[9, a], of_aim[10, a]
                        if wooded:
                            stands = points[3, first + k]
                            for a in range(m):
                                b[STANDS, at + a] = stands
                                b[AHEAD_X, at + a], b[AHEAD_Y, at + a] = of_aim[11, a], of_aim[12, a]
                                b[LEAD, at + a] = of_aim[13, a]
                else:
                    for a in range(m):
                        mine = b[:, a * half : (a + 1) * half]
                        side, depth, run = points[0, first:], points[1, first:], points[2, first:]
                        mx, my, xx, xy = of_aim[0, a], of_aim[1, a], of_aim[2, a], of_aim[3, a]
                        yx, yy, share = of_aim[4, a], of_aim[5, a], of_aim[6, a]
                        cos, sin, rise, rise_2 = of_aim[7, a], of_aim[8, a], of_aim[9, a], of_aim[10, a]
                        for k in range(half):
                            mine[X, k] = mx + xx * side[k] + xy * depth[k]
                            mine[Y, k] = my + yx * side[k] + yy * depth[k]
                        for k in range(half):
                            mine[RUN, k], mine[SHARE, k], mine[COS, k], mine[SIN, k] = run[k], share, cos, sin
                        for k in range(a * half, (a + 1) * half):
                            own[k] = a
                        if hilly:
                            for k in range(half):
                                mine[RISE, k], mine[RISE_2, k] = rise, rise_2
                        if wooded:
                            ahead_x, ahead_y, lead = of_aim[11, a], of_aim[12, a], of_aim[13, a]
                            for k in range(half):
                                mine[STANDS, k] = points[3, first + k]
                                mine[AHEAD_X, k], mine[AHEAD_Y, k], mine[LEAD, k] = ahead_x, ahead_y, lead
                first += half
                for k in range(n):
                    col = np.int32(min(max(b[X, k], zero), last_x))
                    cells[k] = np.int32(min(max(b[Y, k], zero), last_y)) * columns + col
                if hilly:
                    # Landing on a slope: three rounds of moving along the ball's line by what the rise takes.
                    for k in range(n):
                        b[END_X, k], b[END_Y, k] = b[X, k], b[Y, k]
                    for _ in range(3):
                        for k in range(n):
                            b[UP, k] = height[np.uint32(cells[k])]
                        for k in range(n):
                            up, dx, dy = b[UP, k] - level, b[END_X, k] - at_x, b[END_Y, k] - at_y
                            move = (b[RISE, k] * up + b[RISE_2, k] * up * up) / math.sqrt(dx * dx + dy * dy)
                            b[X, k], b[Y, k] = b[END_X, k] + move * dx, b[END_Y, k] + move * dy
                        for k in range(n):
                            col = np.int32(min(max(b[X, k], zero), last_x))
                            cells[k] = np.int32(min(max(b[Y, k], zero), last_y)) * columns + col
                if wooded:
                    fly_past(
                        land.trees, height, size, start, aims, chosen, own[:n], screens, b, ways,
                    )  # fmt: skip
                    for k in range(n):
                        if b[PART, k] < 1.0:
                            cells[k] = cell_at(float(b[X, k]), float(b[Y, k]), ny, nx)
                # 2. Runs. Gathers and arithmetic apart: only the second is done for many balls at once.
                for k in range(n):
                    infos[k] = packed[np.uint32(cells[k])]
                for k in range(n):
                    r, code = rows[own[k]], infos[k] & 15
                    b[LENGTH, k], b[SD, k] = roll[r, 0, code], roll[r, 1, code]
                for k in range(n):
                    b[LENGTH, k] = b[SHARE, k] * (b[LENGTH, k] + b[SD, k] * b[RUN, k])
                    b[FREE, k] = quarter * np.float32((infos[k] >> 4) & 4095)
                if wooded:
                    for k in range(n):
                        b[LENGTH, k] = drop * b[RUN, k] if b[PART, k] < 1.0 else b[LENGTH, k]
                if hilly:
                    for k in range(n):
                        b[OFF_X, k], b[OFF_Y, k] = zero, zero
                        if wooded and b[PART, k] < 1.0:
                            continue
                        i = chosen[own[k]]
                        fall = float(roll[row[i], 2, infos[k] & 15])
                        if fall != 0.0:
                            b[LENGTH, k] = sloped(
                                height, ny, nx, land.cell_m, ox, oy, float(b[X, k]), float(b[Y, k]),
                                float(b[LENGTH, k]), fall, aims[i, AIM_COS], aims[i, AIM_SIN],
                            )  # fmt: skip
                            b[OFF_X, k], b[OFF_Y, k] = run_aside(
                                height, ny, nx, land.cell_m, ox, oy, float(b[X, k]), float(b[Y, k]),
                                float(b[LENGTH, k]), fall, aims[i, AIM_COS], aims[i, AIM_SIN],
                            )  # fmt: skip
                for k in range(n):
                    dx, dy = b[X, k] - at_x, b[Y, k] - at_y
                    inv = b[LENGTH, k] / math.sqrt(dx * dx + dy * dy)
                    b[END_X, k] = b[X, k] + inv * (b[COS, k] * dx + b[SIN, k] * dy)
                    b[END_Y, k] = b[Y, k] + inv * (b[COS, k] * dy - b[SIN, k] * dx)
                if hilly:
                    for k in range(n):
                        b[END_X, k] += b[OFF_X, k]
                        b[END_Y, k] += b[OFF_Y, k]
                        dx, dy = b[END_X, k] - b[X, k], b[END_Y, k] - b[Y, k]
                        b[LENGTH, k] = math.sqrt(dx * dx + dy * dy)
                for k in range(n):
                    col = np.int32(min(max(b[END_X, k], zero), last_x))
                    cells[k] = np.int32(min(max(b[END_Y, k], zero), last_y)) * columns + col
                # 3. What each ball has to go. Those that may meet a stopper, or rest in one, come one by one.
                if remember:
                    for k in range(n):
                        values[k] = pages[shot[chosen[own[k]]], cells[k]]
                else:
                    for k in range(n):
                        values[k] = pages[0, np.uint32(cells[k])]
                held = 0
                for k in range(n):
                    listed[held] = k
                    held += abs(b[LENGTH, k]) > b[FREE, k] or math.isnan(values[k])
                for j in range(held):
                    k = listed[j]
                    i = chosen[own[k]]
                    # Every place on a run is within the free distance of its start or of its end.
                    info = packed[np.uint32(cells[k])]
                    code = info & 15
                    free = b[FREE, k] + quarter * np.float32((info >> 4) & 4095)
                    dry = code not in (BUNKER, YELLOW, RED) and not math.isnan(values[k])
                    if dry and free > abs(b[LENGTH, k]):
                        continue
                    bend = aims[i, AIM_BEND] * (b[PART, k] * b[PART, k] if wooded else 1.0)
                    values[k] = _near_trouble(
                        land, field, pages[shot[i]], crossings, ox, oy,
                        b[X, k], b[Y, k], b[END_X, k], b[END_Y, k], bend, remember,
                    )  # fmt: skip
                # 4. Sums of each aim.
                if m > half:
                    for k in range(half):
                        at = k * m
                        for a in range(m):
                            goes = values[at + a] > limit
                            totals[a] += nothing if goes else values[at + a]
                            backs[a] += goes
                else:
                    for a in range(m):
                        at, total, back = a * half, nothing, 0
                        for k in range(half):
                            goes = values[at + k] > limit
                            total += nothing if goes else values[at + k]
                            back += goes
                        totals[a] += total
                        backs[a] += back
            for a in range(m):
                i = chosen[a]
                weight = (1.0 - aims[i, AIM_MISHIT_SHARE] if stratum == 0 else aims[i, AIM_MISHIT_SHARE]) / (
                    end - begin
                )
                out[i, 0] += weight * totals[a]
                out[i, 1] += weight * backs[a]
