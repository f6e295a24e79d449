"""The one module of compiled kernels: expected strokes of many aims at once.

Each kernel repeats `strategy.outcome.play` and `strategy.outcome.relief` cell for cell; tests hold
them equal on random spots. All are `nogil` and single-threaded: threads and processes are the
caller's. They call one another, so they live in one module: numba's cache on disk does not notice a
changed callee elsewhere.

Layout. Maps carry a border of one cell that is off the map, so that clamping replaces bounds checks. Inside,
positions are counted in cells. `packed` holds the surface in its low four bits; in the next twelve a free
distance in quarter cells, from dry ground to the nearest bunker or penalty area (no ball can meet one
sooner) and from inside a penalty area to its nearest edge; above them 1 + the number of the penalty area.

What makes it quick. The aim's rotation, scatter and stratum fold into one affine map of the standard normals.
Arithmetic and gathers run in separate passes over short buffers, so the compiler vectorises the arithmetic.
Balls near trouble are set aside and played out one by one, leaping by the free distance; the value of relief
is worked out once for each crossing cell and remembered.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
from numba import njit

from strategy.outcome.play import TRACK_STEP_CELLS
from strategy.outcome.relief import LATERAL_ANGLES, LATERAL_RINGS, LINE_REACH_M, LINE_STEP_M, SLIVER_M

BUNKER: Final = 4
YELLOW: Final = 7
RED: Final = 8

# Without "nnan": nan marks the cells that no ball is played from.
_FAST: Final = {"contract", "reassoc", "nsz"}
_FREE_TO_STEPS: Final = 0.25 / TRACK_STEP_CELLS  # quarter cells of free distance to whole steps
# Tracks leap by the free distance only once a block: a stride that depends on the last gather stalls.
_BLOCK: Final = 8
# Wet cells of one patch this wide share the value of relief while searching and solving.
PATCH: Final = 4

_LINE_STEPS: Final = int(LINE_REACH_M / LINE_STEP_M) + 1


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def _cell(x: float, y: float, ny: int, nx: int) -> Any:
    """Flat index of a point given in cells; off the map is the border."""
    col = np.int32(min(max(x, 0.0), nx - 1.0))
    row = np.int32(min(max(y, 0.0), ny - 1.0))
    return np.uint32(row * np.int32(nx) + col)


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def relief_value(
    field: Any, ny: int, nx: int, cell_m: float, hx: float, hy: float, club_m: float, zones: Any,
    x: float, y: float, red: bool,
) -> float:  # fmt: skip
    """Penalty stroke plus strokes from the best legal drop for a ball that crossed at X; inf if none.

    Everything in cells; `zones` (Z, 2) are the drop zones.
    """
    best = math.inf
    ax, ay = x - hx, y - hy
    away = math.hypot(ax, ay)
    if away > 0.0:
        for i in range(_LINE_STEPS):
            s = i * LINE_STEP_M / cell_m / away
            best = min(best, field[_cell(x + s * ax, y + s * ay, ny, nx)])
    if red:
        sliver = SLIVER_M / cell_m
        limit = away + sliver
        reach = 2.0 * club_m / cell_m - sliver
        for ring in range(LATERAL_RINGS):
            r = reach * (ring + 1) / LATERAL_RINGS
            for k in range(LATERAL_ANGLES):
                a = k * (2.0 * math.pi / LATERAL_ANGLES)
                px, py = x + r * math.sin(a), y + r * math.cos(a)
                if math.hypot(px - hx, py - hy) < limit:
                    continue
                f = field[_cell(px, py, ny, nx)]
                if not f < best:
                    continue
                if (
                    field[_cell(px + sliver, py, ny, nx)] < math.inf
                    and field[_cell(px - sliver, py, ny, nx)] < math.inf
                    and field[_cell(px, py + sliver, ny, nx)] < math.inf
                    and field[_cell(px, py - sliver, ny, nx)] < math.inf
                ):
                    best = f
    for k in range(zones.shape[0]):
        best = min(best, field[_cell(zones[k, 0], zones[k, 1], ny, nx)])
    return 1.0 + best


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def crossing(
    packed: Any, ny: int, nx: int,
    ox: float, oy: float, lx: float, ly: float, rx: float, ry: float, bend: float,
) -> int:  # fmt: skip
    """X of Rule 17.1d as a flat index, -1 if none: the track walked backwards from the rest."""
    here = packed[_cell(rx, ry, ny, nx)] >> 16
    length = math.sqrt((lx - rx) ** 2 + (ly - ry) ** 2)
    n = math.ceil(length / TRACK_STEP_CELLS)
    if n > 0:
        ex, ey = (lx - rx) / length * TRACK_STEP_CELLS, (ly - ry) / length * TRACK_STEP_CELLS
        i = 0
        while i < n:
            for j in range(i, min(i + _BLOCK, n)):
                at = _cell(rx + j * ex, ry + j * ey, ny, nx)
                if packed[at] >> 16 != here:
                    return int(at)
            i = min(i + _BLOCK, n)
            i += int(_FREE_TO_STEPS * ((packed[at] >> 4) & 4095))
    length = math.sqrt((lx - ox) ** 2 + (ly - oy) ** 2)
    n = math.ceil(length / TRACK_STEP_CELLS)
    if n > 0:
        du = TRACK_STEP_CELLS / length
        cx, cy = lx - ox, ly - oy
        wx, wy = bend * cy / length, -bend * cx / length
        # A bent track is longer than its chord: leap by less, so that no edge is jumped.
        leap = _FREE_TO_STEPS / math.sqrt(1.0 + (bend / length) ** 2)
        i = 0
        while i < n:
            for j in range(i, min(i + _BLOCK, n)):
                u = 1.0 - j * du
                v = u * u - u
                at = _cell(ox + u * cx + v * wx, oy + u * cy + v * wy, ny, nx)
                if packed[at] >> 16 != here:
                    return int(at)
            i = min(i + _BLOCK, n)
            i += int(leap * ((packed[at] >> 4) & 4095))
    return -1


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def _mapped_crossing(crossings: Any, nx: int, at: int, dx: float, dy: float, bend: float) -> int:
    """Crossing cell of a wet ball by where it rests and which way it came, from `map_crossings`."""
    patch = int(at) // nx // PATCH * ((nx + PATCH - 1) // PATCH) + int(at) % nx // PATCH
    length = math.sqrt(dx * dx + dy * dy)
    turn = bend / length  # the last of a bending flight points this much right of its chord
    heading = math.atan2(dx + turn * dy, dy - turn * dx)
    arrivals = crossings.shape[1]
    return int(crossings[patch, int(heading / (2.0 * math.pi) * arrivals + arrivals + 0.5) % arrivals])


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def map_crossings(packed: Any, ny: int, nx: int, crossings: Any) -> None:
    """Where balls arriving from each direction crossed into a penalty area, patch by patch.

    `crossings`, int32 (patches, arrivals), receives flat indices of crossing cells, -1 where the patch is
    dry. Patches are `PATCH` cells wide, counted along rows; arrivals are headings, clockwise from north.
    """
    across = (nx + PATCH - 1) // PATCH
    arrivals = crossings.shape[1]
    crossings[:] = -1
    for patch in range(crossings.shape[0]):
        wet = -1
        row, col = patch // across * PATCH, patch % across * PATCH
        for r in range(row, min(row + PATCH, ny)):
            for c in range(col, min(col + PATCH, nx)):
                if packed[r * nx + c] >> 16 > 0:
                    wet = r * nx + c
        if wet < 0:
            continue
        x, y = wet % nx + 0.5, wet // nx + 0.5
        reach = float(ny + nx)
        for k in range(arrivals):
            a = k * (2.0 * math.pi / arrivals)
            far_x, far_y = x - reach * math.sin(a), y - reach * math.cos(a)
            crossings[patch, k] = crossing(packed, ny, nx, far_x, far_y, x, y, x, y, 0.0)


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def _near_trouble(
    field: Any, page: Any, packed: Any, relief: Any, crossings: Any, ny: int, nx: int, cell_m: float,
    hx: float, hy: float, club_m: float, zones: Any,
    ox: float, oy: float, lx: float, ly: float, rx: float, ry: float, bend: float, remember: bool,
) -> float:  # fmt: skip
    """Strokes to go of one ball whose run, unless caught, ends at (rx, ry); inf when it must go back."""
    start, at = _cell(lx, ly, ny, nx), _cell(rx, ry, ny, nx)
    size = math.sqrt((rx - lx) ** 2 + (ry - ly) ** 2)
    if size > 0.0:
        sx, sy = (rx - lx) / size * TRACK_STEP_CELLS, (ry - ly) / size * TRACK_STEP_CELLS
        last = math.ceil(size / TRACK_STEP_CELLS)
        code = packed[at] & 15
        end = last
        if code not in (BUNKER, YELLOW, RED):
            # No stopper within the free distance of the end either: only the middle is walked.
            end = last - 1 - int(_FREE_TO_STEPS * ((packed[at] >> 4) & 4095))
        for n in range(max(1, int(_FREE_TO_STEPS * ((packed[start] >> 4) & 4095))), end + 1):
            px, py = lx + n * sx, ly + n * sy
            if n == last:
                px, py = rx, ry
            code = packed[_cell(px, py, ny, nx)] & 15
            if code in (BUNKER, YELLOW, RED):
                rx, ry = px, py
                at = _cell(rx, ry, ny, nx)
                break
    value = float(page[at])
    if not math.isnan(value):
        return value
    if crossings.size:
        cross = _mapped_crossing(crossings, nx, at, rx - ox, ry - oy, bend)
    else:
        cross = crossing(packed, ny, nx, ox, oy, lx, ly, rx, ry, bend)
    if cross < 0:
        value = math.inf
    else:
        red = packed[at] & 15 == RED
        side = 1 if red else 0
        value = float(relief[side, cross])
        if math.isnan(value):
            x, y = cross % nx + 0.5, cross // nx + 0.5
            value = float(relief_value(field, ny, nx, cell_m, hx, hy, club_m, zones, x, y, red))
            relief[side, cross] = value
    if remember:
        here = packed[at] >> 16
        row, col = int(at) // nx // PATCH * PATCH, int(at) % nx // PATCH * PATCH
        for r in range(row, min(row + PATCH, ny)):
            for c in range(col, min(col + PATCH, nx)):
                if packed[r * nx + c] >> 16 == here:
                    page[r * nx + c] = value
    return value


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def expected(
    field: Any, pages: Any, packed: Any, relief: Any, crossings: Any, ny: int, nx: int, cell_m: float,
    hx: float, hy: float, club_m: float, zones: Any,
    height: Any, from_height: float, ox: float, oy: float, aims: Any, shot: Any, row: Any,
    run: Any, run_sd: Any, points: Any, core: int, again: float, out: Any,
) -> None:  # fmt: skip
    """Sums behind the expected strokes of A aims over N balls. Positions and lengths in cells.

    Parameters
    ----------
    field : float32 (ny * nx,)
        Strokes to go from a ball at rest; nan in penalty areas (the track decides), inf where only going
        back is left.
    pages : float32 (P, ny * nx)
        What is gathered. One page: the field itself, and every wet ball's track is walked. More: copies in
        which wet patches receive the value of the first ball that rests there (`decide.aims.Pages`).
    packed : uint32 (ny * nx,)
        Surface, free distance and penalty area, see the module's docstring.
    relief : float32 (2, ny * nx)
        Remembered value of relief by crossing cell, yellow and red.
    crossings : int32 (patches, arrivals) or (0, 0)
        From `map_crossings`, for solving: no track is walked. Empty otherwise.
    height, from_height : float32 (ny * nx,) or (0,), float
        Height of the ground, empty where it is flat, and of the spot. [m]
    aims : float64 (A, 16)
        For each aim the affine map of the normals and more, see `decide.aims.pack`.
    shot : int64 (A,)
        Page of each aim; all 0 with one page.
    row : int64 (A,)
        Row of `run` and `run_sd`, which are (R, 16): surfaces, padded.
    points : float32 or float64 (3, N)
        Standard normals, core first; its type is the arithmetic's.
    core : int
        How many of them are core; the rest are mishits.
    again : float
        1 + V: what going back is worth; a ball worth more goes back (Rule 18.1).
    out : float64 (A, 2)
        Receives (a, p): weighted strokes of the balls that are played on, share that goes back.
    """
    kind = points.dtype
    most = max(core, points.shape[1] - core)
    xs, ys, lengths = np.empty(most, kind), np.empty(most, kind), np.empty(most, kind)
    ends_x, ends_y = np.empty(most, kind), np.empty(most, kind)
    cells = np.empty(most, np.int32)
    aside, frees = np.empty(most, np.uint8), np.empty(most, kind)
    # Constants go through an array of the points' type, so that float32 arithmetic stays float32.
    c = np.empty(16, kind)
    c[6], c[7], c[8], c[9] = 0.0, nx - 1, ny - 1, 0.25
    c[10], c[11] = ox, oy
    hilly = height.size > 0
    zero, last_x, last_y, quarter, at_x, at_y = c[6], c[7], c[8], c[9], c[10], c[11]
    columns = np.int32(nx)
    # Strokes are added up in the field's own type: float32 for speed, float64 where tests need it.
    own = np.zeros(2, field.dtype)
    own[1] = again
    nothing, limit = own[0], own[1]
    remember = pages.shape[0] > 1
    for i in range(aims.shape[0]):
        r = row[i]
        page = pages[shot[i]]
        onward, returning = 0.0, 0.0
        for stratum in range(2):
            scale = 1.0 if stratum == 0 else aims[i, 9]
            first = stratum * core
            half = core if stratum == 0 else points.shape[1] - core
            weight = (1.0 - aims[i, 11] if stratum == 0 else aims[i, 11]) / half
            if weight == 0.0:
                continue
            c[0], c[1] = aims[i, 2 * stratum], aims[i, 2 * stratum + 1]
            c[2], c[3] = scale * aims[i, 4], scale * aims[i, 5]
            c[4], c[5] = scale * aims[i, 6], scale * aims[i, 7]
            mx, my, xx, xy, yx, yy = c[0], c[1], c[2], c[3], c[4], c[5]
            side, depth = points[0, first : first + half], points[1, first : first + half]
            for k in range(half):
                x = mx + xx * side[k] + xy * depth[k]
                y = my + yx * side[k] + yy * depth[k]
                xs[k], ys[k] = x, y
                cells[k] = np.int32(min(max(y, zero), last_y)) * columns + np.int32(min(max(x, zero), last_x))
            if hilly:
                # Landing on a slope: three rounds of moving along the ball's line by what the rise takes.
                c[12], c[13], base = aims[i, 12], aims[i, 13], np.float32(from_height)
                rise_1, rise_2 = c[12], c[13]
                for k in range(half):
                    ends_x[k], ends_y[k] = xs[k], ys[k]
                for _ in range(3):
                    for k in range(half):
                        up = height[np.uint32(cells[k])] - base
                        dx, dy = ends_x[k] - at_x, ends_y[k] - at_y
                        move = (rise_1 * up + rise_2 * up * up) / math.sqrt(dx * dx + dy * dy)
                        x, y = ends_x[k] + move * dx, ends_y[k] + move * dy
                        xs[k], ys[k] = x, y
                        row_ = np.int32(min(max(y, zero), last_y))
                        cells[k] = row_ * columns + np.int32(min(max(x, zero), last_x))
            for k in range(half):
                info = packed[np.uint32(cells[k])]
                code = info & 15
                length = run[r, code] + run_sd[r, code] * points[2, first + k]
                lengths[k] = length
                frees[k] = quarter * np.float32((info >> 4) & 4095)
                aside[k] = abs(length) > frees[k]
            c[14], c[15] = aims[i, 14], aims[i, 15]
            turn_cos, turn_sin = c[14], c[15]
            for k in range(half):
                dx, dy = xs[k] - at_x, ys[k] - at_y
                inv = lengths[k] / math.sqrt(dx * dx + dy * dy)
                x = xs[k] + inv * (turn_cos * dx + turn_sin * dy)
                y = ys[k] + inv * (turn_cos * dy - turn_sin * dx)
                ends_x[k], ends_y[k] = x, y
                cells[k] = np.int32(min(max(y, zero), last_y)) * columns + np.int32(min(max(x, zero), last_x))
            total = nothing
            held, back = 0, 0
            for k in range(half):
                value = page[np.uint32(cells[k])]
                plain = aside[k] == 0
                total += value if plain and value <= limit else nothing
                back += plain and value > limit
                hold = not plain or math.isnan(value)
                aside[k] = hold
                held += hold
            extra = 0.0
            if held > 0:
                for k in range(half):
                    if aside[k]:
                        # Every place on a run is within the free distance of its start or of its end.
                        info = packed[np.uint32(cells[k])]
                        code = info & 15
                        if code not in (BUNKER, YELLOW, RED):
                            free = quarter * np.float32((info >> 4) & 4095)
                            if frees[k] + free > abs(lengths[k]):
                                one = page[np.uint32(cells[k])]
                                if one > limit:
                                    back += 1
                                else:
                                    extra += one
                                continue
                        one = _near_trouble(
                            field, page, packed, relief, crossings, ny, nx, cell_m, hx, hy, club_m, zones,
                            ox, oy, xs[k], ys[k], ends_x[k], ends_y[k], aims[i, 10], remember,
                        )  # fmt: skip
                        if one > again:
                            back += 1
                        else:
                            extra += one
            onward += weight * (total + extra)
            returning += weight * back
        out[i, 0] = onward
        out[i, 1] = returning


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def _lay(aim: Any, p: Any, ox: float, oy: float, heading: float, carry: float) -> None:
    """Fill one row of aims for a shot of the table, as `decide.aims.pack` does. Radians, cells."""
    dial = carry / p[0]
    s, c = math.sin(heading), math.cos(heading)
    side, depth = p[2] * dial, p[3] * dial + carry
    aim[0], aim[1] = ox + side * c + depth * s, oy - side * s + depth * c
    side, depth = side + p[7] * dial, depth + p[8] * dial
    aim[2], aim[3] = ox + side * c + depth * s, oy - side * s + depth * c
    aim[4], aim[5] = (c * p[4] + s * p[5]) * dial, s * p[6] * dial
    aim[6], aim[7] = (c * p[5] - s * p[4]) * dial, c * p[6] * dial
    aim[8], aim[9], aim[10], aim[11] = carry, p[9], p[10] * dial, p[11]
    aim[12], aim[13], aim[14], aim[15] = p[12], p[13], p[14], p[15]


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def _bin(heading: float, bins: int) -> int:
    return math.floor(heading / (2.0 * math.pi) * bins + 0.5) % bins


@njit(cache=True, nogil=True, fastmath=_FAST, error_model="numpy")
def sweep(
    field: Any, pages: Any, packed: Any, relief: Any, crossings: Any, ny: int, nx: int, cell_m: float,
    hx: float, hy: float, club_m: float, zones: Any, height: Any,
    nodes: Any, leaders: Any, spots: Any, lies: Any, turns: Any, allowed: Any, table: Any,
    run: Any, run_sd: Any, points: Any, core: int,
    value: Any, options: Any, slots: int, worth: float, step: float, fan: int,
    coarse: float, margin: float, past: float,
) -> float:  # fmt: skip
    """V = min over options of Q for some node-lies; gives the largest change. Cells and radians.

    Parameters
    ----------
    nodes : int64 (M,)
        Which node-lies, in the order they are solved.
    leaders : int64 (N,)
        When searching, a node-lie whose leader is another one starts from that one's options within `worth`.
    spots, lies : float64 (N, 3), int64 (N,)
        Place and height [m] of every node-lie, and its lie.
    turns : float64 (N, 1 + B)
        A distance, and from each node-lie the headings of the line of play at B multiples of it.
    allowed, table, run, run_sd : bool (S, L), float64 (S, L, H, 16), float32 (S * L * H, 16)
        From `decide.whole`: carry, shortest carry, mean, factor, mishit shift and scale, bend, share, rise,
        turn of the run; runs by surface.
    points, core : float32 (3, K), int
        Common points of every option.
    value, options : float64 (N,), float64 (N, 8, 4)
        V, and each node-lie's best options, best first: shot (-1 = none), heading, carry, Q. Both change.
    slots, worth, step, fan : int, float, float, int
        0 slots: search every shot over a fan of headings. Otherwise refine so many options, those within
        `worth` of the best, by `fan` steps to each side and one of carry; none only brings them up to date.
    coarse, margin, past : float
        When searching: sideways step, sideways reach of the fan beyond the directions of hole and line of
        play, and how far past the hole a carry is tried.
    """
    shots, bins, kept, full, change = table.shape[0], table.shape[2], options.shape[1], slots == 0, 0.0
    aims, row, shot0 = np.empty((256, 16)), np.empty(256, np.int64), np.zeros(256, np.int64)
    heading, carry, out, found = np.empty(256), np.empty(256), np.empty((256, 2)), np.full((kept, 4), -1.0)
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
        nearer, longest = math.hypot(hx - spots[source, 0], hy - spots[source, 1]) - distance, 0.0
        if searching:
            for s in range(shots):
                if allowed[s, lie]:
                    longest = max(longest, table[s, lie, _bin(to_hole, bins), 0])
        for slot in range(shots if searching else kept if full else slots):
            s = slot if searching else int(options[source, slot, 0])
            if s < 0 or not allowed[s, lie]:
                continue
            if not searching and options[source, slot, 3] > options[source, 0, 3] + worth:
                continue
            n = 0
            if searching:
                p = table[s, lie, _bin(to_hole, bins)]
                top, least = min(p[0], distance + past), p[1]
                if top < least or p[0] < 0.4 * min(longest, distance):
                    continue
                # Full, and dialled down by even steps of which one is the carry to the hole.
                dialled = distance + 0.35 * past * min(1, math.ceil((top - distance) / past / 0.35 - 1.3))
                for k in range(6):
                    length = top if k == 0 else dialled - (k - 1) * 0.35 * past
                    if length < least:
                        break
                    b = min(int(length / turns[node, 0]), turns.shape[1] - 2)
                    turn = turns[node, 1 + b] - to_hole
                    turn -= 2.0 * math.pi * math.floor(turn / (2.0 * math.pi) + 0.5)
                    wide, drift = math.atan(margin / length), p[2] / p[0]  # a side wind is aimed off
                    low, high = min(0.0, turn) - wide - drift, max(0.0, turn) + wide - drift
                    count = min(int((high - low) * length / coarse) + 2, 256 - n)
                    for j in range(count):
                        carry[n], heading[n] = length, to_hole + low + (high - low) * j / max(count - 1, 1)
                        n += 1
            else:
                p = table[s, lie, _bin(options[source, slot, 1], bins)]
                length = options[source, slot, 2]
                length = min(max(length - (nearer if length < p[0] else 0.0), p[1]), p[0])
                for j in range(-sides, sides + 1):
                    carry[n], heading[n] = length, options[source, slot, 1] + turned + j * apart / length
                    n += 1
                for j in range(-1, 2 if sides > 0 else -1):  # longer and shorter, where the dial allows
                    carry[n], heading[n] = min(max(length + j * apart, p[1]), p[0]), heading[sides]
                    n += carry[n] != length
            for i in range(n):
                b = _bin(heading[i], bins)
                row[i] = (s * allowed.shape[1] + lie) * bins + b
                _lay(aims[i], table[s, lie, b], ox, oy, heading[i], carry[i])
            expected(
                field, pages, packed, relief, crossings, ny, nx, cell_m, hx, hy, club_m, zones, height, up,
                ox, oy, aims[:n], shot0, row, run, run_sd, points, core, again, out,
            )  # fmt: skip
            # The best of this shot enters the list; of one shot and carry only one aim is kept.
            best, at = math.inf, -1
            for i in range(n):
                if out[i, 1] < 1.0:
                    q = (1.0 + out[i, 0] + out[i, 1]) / (1.0 - out[i, 1])
                    if q < best:
                        best, at = q, i
            k = kept - 1
            if at >= 0 and best < found[k, 3]:
                while k > 0 and found[k - 1, 3] > best:
                    found[k] = found[k - 1]
                    k -= 1
                found[k, 0], found[k, 1], found[k, 2], found[k, 3] = s, heading[at], carry[at], best
        if found[0, 0] < 0.0:
            continue
        k = 1
        for slot in range(0 if full or fan == 0 else kept):  # those left alone stand behind those refined
            while k < kept and found[k, 0] >= 0.0:
                k += 1
            if k < kept and options[node, slot, 3] > options[node, 0, 3] + worth:
                found[k] = options[node, slot]
        if full or fan > 0:
            options[node] = found
        change = max(change, abs(found[0, 3] - value[node]))
        value[node] = found[0, 3]
    return change
