"""Compiled kernels of relief: cells, crossings into penalty areas, legal drops and what they are worth.

Each repeats `strategy.outcome.relief` and the tracks of `strategy.outcome.play` cell for cell; tests hold
them equal on random spots. Positions are counted in cells of the bordered map, see `decide.kernels`.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from strategy.compiled import njit
from strategy.decide.kernels.flat_map import FAST
from strategy.outcome.play import TRACK_STEP_CELLS
from strategy.outcome.relief import LATERAL_ANGLES, LATERAL_RINGS, LINE_REACH_M, LINE_STEP_M, SLIVER_M

BUNKER: Final = 4
YELLOW: Final = 7
RED: Final = 8

FREE_TO_STEPS: Final = 0.25 / TRACK_STEP_CELLS  # quarter cells of free distance to whole steps

# Tracks leap by the free distance only once a block: a stride that depends on the last gather stalls.
_BLOCK: Final = 8
# Wet cells of one patch this wide share the value of relief while searching and solving.
PATCH: Final = 4

_LINE_STEPS: Final = int(LINE_REACH_M / LINE_STEP_M) + 1


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def cell_at(x: float, y: float, ny: int, nx: int) -> Any:
    """Flat index of a point given in cells; off the map is the border."""
    col = np.int32(min(max(x, 0.0), nx - 1.0))
    row = np.int32(min(max(y, 0.0), ny - 1.0))
    return np.uint32(row * np.int32(nx) + col)


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def best_drop(
    field: Any, ny: int, nx: int, cell_m: float, hx: float, hy: float, club_m: float, zones: Any,
    x: float, y: float, red: bool,
) -> int:  # fmt: skip
    """Cell of the best legal drop for a ball that crossed at X, as a flat index; -1 if there is none.

    Everything in cells; `zones` (Z, 2) are the drop zones.
    """
    best, cell = math.inf, -1
    ax, ay = x - hx, y - hy
    away = math.hypot(ax, ay)
    if away > 0.0:
        for i in range(_LINE_STEPS):
            s = i * LINE_STEP_M / cell_m / away
            at = cell_at(x + s * ax, y + s * ay, ny, nx)
            if field[at] < best:
                best, cell = field[at], int(at)
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
                at = cell_at(px, py, ny, nx)
                if not field[at] < best:
                    continue
                if (
                    field[cell_at(px + sliver, py, ny, nx)] < math.inf
                    and field[cell_at(px - sliver, py, ny, nx)] < math.inf
                    and field[cell_at(px, py + sliver, ny, nx)] < math.inf
                    and field[cell_at(px, py - sliver, ny, nx)] < math.inf
                ):
                    best, cell = field[at], int(at)
    for k in range(zones.shape[0]):
        at = cell_at(zones[k, 0], zones[k, 1], ny, nx)
        if field[at] < best:
            best, cell = field[at], int(at)
    return cell


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def drops(
    field: Any, ny: int, nx: int, cell_m: float, hx: float, hy: float, club_m: float, zones: Any,
    cells: Any, aside: Any, to: Any,
) -> None:  # fmt: skip
    """Best drop of unplayable balls at rest in some cells (M,), as `best_drop`; -1 for none.

    `aside`, bool (M,): not only back on the line.
    """
    for m in range(cells.shape[0]):
        x, y = cells[m] % nx + 0.5, cells[m] // nx + 0.5
        to[m] = best_drop(field, ny, nx, cell_m, hx, hy, club_m, zones, x, y, aside[m])


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def relief_value(
    field: Any, ny: int, nx: int, cell_m: float, hx: float, hy: float, club_m: float, zones: Any,
    x: float, y: float, red: bool,
) -> float:  # fmt: skip
    """Penalty stroke plus strokes from the best legal drop; inf if there is none. As `best_drop`."""
    cell = best_drop(field, ny, nx, cell_m, hx, hy, club_m, zones, x, y, red)
    return math.inf if cell < 0 else 1.0 + field[cell]


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def crossing(
    packed: Any, ny: int, nx: int,
    ox: float, oy: float, lx: float, ly: float, rx: float, ry: float, bend: float,
) -> int:  # fmt: skip
    """X of Rule 17.1d as a flat index, -1 if none: the track walked backwards from the rest."""
    area = packed[cell_at(rx, ry, ny, nx)] >> 16
    length = math.sqrt((lx - rx) ** 2 + (ly - ry) ** 2)
    n = math.ceil(length / TRACK_STEP_CELLS)
    if n > 0:
        ex, ey = (lx - rx) / length * TRACK_STEP_CELLS, (ly - ry) / length * TRACK_STEP_CELLS
        i = 0
        while i < n:
            for j in range(i, min(i + _BLOCK, n)):
                at = cell_at(rx + j * ex, ry + j * ey, ny, nx)
                if packed[at] >> 16 != area:
                    return int(at)
            i = min(i + _BLOCK, n)
            i += int(FREE_TO_STEPS * ((packed[at] >> 4) & 4095))
    length = math.sqrt((lx - ox) ** 2 + (ly - oy) ** 2)
    n = math.ceil(length / TRACK_STEP_CELLS)
    if n > 0:
        du = TRACK_STEP_CELLS / length
        cx, cy = lx - ox, ly - oy
        wx, wy = bend * cy / length, -bend * cx / length
        # A bent track is longer than its chord: leap by less, so that no edge is jumped.
        leap = FREE_TO_STEPS / math.sqrt(1.0 + (bend / length) ** 2)
        i = 0
        while i < n:
            for j in range(i, min(i + _BLOCK, n)):
                u = 1.0 - j * du
                v = u * u - u
                at = cell_at(ox + u * cx + v * wx, oy + u * cy + v * wy, ny, nx)
                if packed[at] >> 16 != area:
                    return int(at)
            i = min(i + _BLOCK, n)
            i += int(leap * ((packed[at] >> 4) & 4095))
    return -1


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def mapped_crossing(crossings: Any, nx: int, at: int, dx: float, dy: float, bend: float) -> int:
    """Crossing cell of a wet ball by where it rests and which way it came, from `map_crossings`."""
    patch = int(at) // nx // PATCH * ((nx + PATCH - 1) // PATCH) + int(at) % nx // PATCH
    length = math.sqrt(dx * dx + dy * dy)
    turn = bend / length  # the last of a bending flight points this much right of its chord
    heading = math.atan2(dx + turn * dy, dy - turn * dx)
    arrivals = crossings.shape[1]
    return int(crossings[patch, int(heading / (2.0 * math.pi) * arrivals + arrivals + 0.5) % arrivals])


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
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
