"""Single balls of a solved hole: where each is played on from, and whole rounds of it. Compiled.

`trace` is `kernels.strokes.expected` with the strokes left out: the same landing, run, relief and choice of
going back, ball by ball, so that what is counted as a mean there can be counted as chances here. All is in
cells and radians; `nogil` and single-threaded, as the kernels it calls.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from strategy.compiled import njit
from strategy.decide.kernels.arguments import (
    AIM,
    AIM_BEND,
    AIM_COS,
    AIM_MISHIT_SCALE,
    AIM_MISHIT_SHARE,
    AIM_RISE,
    AIM_RISE_2,
    AIM_RUN_SHARE,
    AIM_SIN,
    AIM_X,
    AIM_XX,
    AIM_XY,
    AIM_Y,
    AIM_YX,
    AIM_YY,
    CARRY,
    HEADING,
    ROW_CARRY,
    ROW_LEAST,
    SHOT,
    STROKES,
    Bag,
    Ended,
    Net,
    Sample,
    Screens,
    Size,
    StrikePoint,
    TeeShot,
    ToGo,
)
from strategy.decide.kernels.flat_map import FAST, Land, Nodes
from strategy.decide.kernels.relief import BUNKER, RED, YELLOW, best_drop, cell_at, crossing, mapped_crossing
from strategy.decide.kernels.strokes import expected, run_aside, sloped
from strategy.decide.kernels.sweeps import bin_of, copy_row, lay
from strategy.decide.kernels.trees import AHEAD_X, AHEAD_Y, LEAD, PART, ROWS, STANDS, X, Y, fly_past
from strategy.outcome.play import TRACK_STEP_CELLS
from strategy.outcome.trees import DROP_SD_M

_AIMS = 5  # an option as kept, to each side, longer and shorter


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def trace(
    land: Land, to_go: ToGo, start: StrikePoint, aim: Any, roll: Any, sample: Sample, again: float,
    screen: Any, cells: Any, penalty: Any,
) -> None:  # fmt: skip
    """Where each of N balls of one aim is played on from. Parameters as of `kernels.strokes.expected`.

    Parameters
    ----------
    aim : float64 (AIM,)
    roll : (3, 16)
        Of this aim, by surface.
    screen : uint16 (DIRECTIONS,) or (0,)
        What is remembered of this shot from here, see `kernels.trees.fly_past`; none: every flight is walked.
    cells, penalty : int32 (N,), int8 (N,)
        Receive the cell a ball is played on from, -1 for one that goes back to where it was struck, and the
        penalty strokes of getting there.
    """
    packed, height, ny, nx = land.packed, land.height, land.rows, land.columns
    field, crossings, points, core = to_go.values, to_go.crossings, sample.deviates, sample.core
    ox, oy, from_height = start.x, start.y, start.height
    count = points.shape[1]
    b = np.empty((ROWS, count), np.float32)
    xs, ys, part = b[X], b[Y], b[PART]
    part[:] = 1.0
    for k in range(count):
        first, scale = (0, 1.0) if k < core else (2, aim[AIM_MISHIT_SCALE])
        side, depth = scale * points[0, k], scale * points[1, k]
        flat_x = aim[first] + aim[AIM_XX] * side + aim[AIM_XY] * depth
        flat_y = aim[first + 1] + aim[AIM_YX] * side + aim[AIM_YY] * depth
        x, y = flat_x, flat_y
        if height.size > 0:
            for _ in range(3):
                up = height[cell_at(x, y, ny, nx)] - from_height
                move = (aim[AIM_RISE] * up + aim[AIM_RISE_2] * up * up) / math.hypot(flat_x - ox, flat_y - oy)
                x, y = flat_x + move * (flat_x - ox), flat_y + move * (flat_y - oy)
        xs[k], ys[k] = x, y
    if land.trees.free.size > 0:
        turn = screen.size * (1.0 + math.atan2(aim[AIM_X] - ox, aim[AIM_Y] - oy) / (2.0 * math.pi))
        for k in range(count):
            b[STANDS, k], b[LEAD, k] = points[3, k], turn
            b[AHEAD_X, k], b[AHEAD_Y, k] = aim[AIM_X] - ox, aim[AIM_Y] - oy
        nothing = np.zeros(count, np.int32)
        fly_past(
            land.trees, height, Size(ny, nx, land.cell_m), start, aim.reshape(1, AIM), nothing, nothing,
            Screens(screen.reshape(1, screen.size), np.zeros(1, np.int64)), b, np.empty((2, count), np.int32),
        )  # fmt: skip
    for k in range(count):
        x, y, bend = xs[k], ys[k], aim[AIM_BEND] * part[k] * part[k]
        info = packed[cell_at(x, y, ny, nx)]
        code = info & 15
        # On dry ground nothing stops a ball within the free distance.
        free = 0.0 if code in (YELLOW, RED) else 0.25 * ((info >> 4) & 4095)
        length, off_x, off_y = aim[AIM_RUN_SHARE] * (roll[0, code] + roll[1, code] * points[2, k]), 0.0, 0.0
        if part[k] < 1.0:
            length = DROP_SD_M / land.cell_m * points[2, k]
        elif height.size > 0 and roll[2, code] != 0.0:
            length = sloped(
                height, ny, nx, land.cell_m, ox, oy, x, y, length, roll[2, code], aim[AIM_COS], aim[AIM_SIN]
            )
            off_x, off_y = run_aside(
                height, ny, nx, land.cell_m, ox, oy, x, y, length, roll[2, code], aim[AIM_COS], aim[AIM_SIN]
            )
        share = length / math.hypot(x - ox, y - oy)
        dx, dy = x - ox, y - oy
        run_x = share * (aim[AIM_COS] * dx + aim[AIM_SIN] * dy) + off_x
        run_y = share * (aim[AIM_COS] * dy - aim[AIM_SIN] * dx) + off_y
        rest_x, rest_y = x + run_x, y + run_y
        size = math.hypot(run_x, run_y)
        first_step = max(1, int(free / TRACK_STEP_CELLS)) if size > free else 1
        last_step = math.ceil(size / TRACK_STEP_CELLS) if size > free else 0
        for n in range(first_step, last_step + 1):
            share = min(n * TRACK_STEP_CELLS, size) / size
            px, py = x + share * run_x, y + share * run_y
            code = packed[cell_at(px, py, ny, nx)] & 15
            if code in (BUNKER, YELLOW, RED):
                rest_x, rest_y = px, py
                break
        at = int(cell_at(rest_x, rest_y, ny, nx))
        if land.rolls_to.size > 0 and land.rolls_to[at] != at:
            at = int(land.rolls_to[at])
            rest_x, rest_y = at % nx + 0.5, at // nx + 0.5
        value, strokes = float(field[at]), 0
        if math.isnan(value):
            if crossings.size:
                cross = mapped_crossing(crossings, nx, at, rest_x - ox, rest_y - oy, bend)
            else:
                cross = crossing(packed, ny, nx, ox, oy, x, y, rest_x, rest_y, bend)
            red = packed[at] & 15 == RED
            at, value, strokes = -1, math.inf, 1
            if cross >= 0:
                cx, cy = cross % nx + 0.5, cross // nx + 0.5
                at = best_drop(
                    field, ny, nx, land.cell_m, land.hole_x, land.hole_y, land.club_m, land.zones, cx, cy, red
                )
                value = math.inf if at < 0 else 1.0 + field[at]
        if value > again:
            at, strokes = -1, 1
        cells[k], penalty[k] = at, strokes


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def trace_nodes(
    land: Land, to_go: ToGo, nodes: Any, net: Net, options: Any, bag: Bag, sample: Sample, slot: int,
    cells: Any, penalty: Any, share: Any,
) -> None:  # fmt: skip
    """`trace` of one kept option of some node-lies: cells and penalty strokes (N, K), mishit share (N,).

    Every flight is walked past the trees. Which balls go back depends on values, and is left to `judge`: only
    a ball that nothing but going back is left for has no cell.
    """
    spots, lies, table, roll = net.spots, net.lies, bag.table, bag.roll
    aim, bins, none = np.empty(AIM), table.shape[2], np.empty(0, np.uint16)
    for node in nodes:
        s = int(options[node, slot, SHOT])
        if s < 0:
            continue
        ox, oy, up = spots[node, 0], spots[node, 1], spots[node, 2]
        b = bin_of(options[node, slot, HEADING], bins)
        row = (s * table.shape[1] + lies[node]) * bins + b
        lay(aim, table[s, lies[node], b], ox, oy, options[node, slot, HEADING], options[node, slot, CARRY])
        share[node] = aim[AIM_MISHIT_SHARE]
        trace(
            land, to_go, StrikePoint(ox, oy, up), aim, roll[row], sample, math.inf, none, cells[node],
            penalty[node],
        )  # fmt: skip


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def judge(
    field: Any, nodes: Any, options: Any, cells: Any, penalty: Any, share: Any, core: int, value: Any
) -> float:
    """Values of some node-lies from where the balls of their best option are played on; the largest change.

    Parameters
    ----------
    field : float32 (ny * nx,)
        Strokes to go by cell.
    nodes : int64 (M,)
    options : float64 (N, 8, 4)
        The best first; without one a value is left alone.
    cells, penalty, share : int32 (N, K), int8 (N, K), float64 (N,)
        From `trace_nodes`, the first `core` of the K balls well struck.
    value : float64 (N,)
        Changes.
    """
    change, count = 0.0, cells.shape[1]
    for node in nodes:
        if options[node, 0, SHOT] < 0.0:
            continue
        s = share[node]
        good, bad = (1.0 - s) / core, s / max(count - core, 1)
        # Against a value that is far too low every ball would go back: then against none.
        for again in (1.0 + value[node], 1e6):
            well, ill, back_well, back_ill = 0.0, 0.0, 0, 0
            for k in range(count):
                at = cells[node, k]
                strokes = math.inf
                if at >= 0:
                    strokes = field[at] + penalty[node, k]
                back = strokes > again
                if k < core:
                    well += 0.0 if back else strokes
                    back_well += back
                else:
                    ill += 0.0 if back else strokes
                    back_ill += back
            if back_well < core:
                returning = good * back_well + bad * back_ill
                q = (1.0 + good * well + bad * ill + returning) / (1.0 - returning)
                change = max(change, abs(q - value[node]))
                value[node] = q
                break
    return change


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def play_rounds(
    land: Land, to_go: ToGo, ended_by: Ended, rest: Nodes, near: Nodes, bag: Bag, sample: Sample,
    worth: float, step: float, tee: TeeShot, rng: Any, strokes: Any,
) -> None:  # fmt: skip
    """Play a hole out as often as `strokes` is long, each shot the best seen from where the ball really lies.

    The tee shot is given. Every later shot is a one-step lookahead: the options of the nearest node-lie, each
    with a step to either side, longer and shorter, judged on `sample` against the stored field.

    Parameters
    ----------
    ended_by : Ended
        Putts, drops, and what is published.
    rest, near : Nodes
        In the ground where they are blended a ball is played like one or the other, by chance, as the field
        is composed.
    worth, step : float
        Options within so much of the node's best are looked at, aimed apart by so much.
    tee : TeeShot
    rng : numpy.random.Generator
    strokes : float64 (n, 3)
        Receives strokes played with penalties, the expected strokes that end the round (putts, or what is
        published where nothing was solved), and how many they were.
    """
    field, base, putts, dropped = to_go.values, ended_by.base, ended_by.putts, ended_by.dropped
    chance, table, roll = ended_by.lie_chance, bag.table, bag.roll
    packed, height, nx = land.packed, land.height, land.columns
    hx, hy, none = land.hole_x, land.hole_y, np.empty((1, 0), np.uint16)
    aims, row, shot0 = np.empty((64, AIM)), np.empty(64, np.int64), np.zeros(64, np.int64)
    out, aim = np.empty((64, 2)), np.empty(AIM)
    ball, cell, more = np.empty((4, 1), np.float32), np.empty(1, np.int32), np.empty(1, np.int8)
    lies, bins = table.shape[1], table.shape[2]
    for r in range(strokes.shape[0]):
        ox, oy, up = tee.start.x, tee.start.y, tee.start.height
        again, struck, left, ended = tee.again, 0.0, 0.0, 0.0
        copy_row(tee.aim, aim)
        rolls = tee.roll
        for _ in range(60):
            for deviate in range(3):
                ball[deviate, 0] = np.float32(rng.standard_normal())
            ball[3, 0] = np.float32(rng.standard_exponential())
            well = 0 if rng.random() < aim[AIM_MISHIT_SHARE] else 1
            trace(
                land, to_go, StrikePoint(ox, oy, up), aim, rolls, Sample(ball, well), again, none[0], cell,
                more,
            )  # fmt: skip
            struck += 1.0 + more[0]
            at = cell[0]
            if at < 0:
                continue  # once more from the same place, the same shot
            if dropped[at] >= 0:
                struck, at = struck + 1.0, dropped[at]
            x, y = at % nx + 0.5, at // nx + 0.5
            if putts[at, 0] + putts[at, 1] > 0.0:
                left, draw = base[at], rng.random()
                ended = 1.0 if draw < putts[at, 0] else 2.0 if draw < putts[at, 0] + putts[at, 1] else 3.0
                break
            far = (math.hypot(x - hx, y - hy) - rest.inner) / (rest.outer - rest.inner)
            far = min(max(far, 0.0), 1.0)
            # What is blended is played like one region or the other.
            outside = rest.covers[at] and rng.random() < far * far * (3.0 - 2.0 * far)
            region = rest if outside else near
            left = base[at] if rest.covers[at] or near.covers[at] else field[at]
            ended = math.floor(left) + (1.0 if rng.random() < left - math.floor(left) else 0.0)
            if not outside and not near.covers[at]:
                break
            code, lie, draw = packed[at] & 15, 0, rng.random()
            for k in range(lies):
                if chance[code, k] > 0.0:
                    lie = k
                    if draw < chance[code, k]:
                        break
                    draw -= chance[code, k]
            i, j = int((x - region.x0) / region.spacing + 0.5), int((y - region.y0) / region.spacing + 0.5)
            node = region.node_of[lie, j, i]
            if node < 0 or region.options[node, 0, SHOT] < 0.0:
                break
            options, spots = region.options, region.spots
            ox, oy = x, y
            up = height[at] if height.size > 0 else 0.0
            again, n = 1.0 + region.value[node], 0
            for slot in range(options.shape[1]):
                s = int(options[node, slot, SHOT])
                if s < 0 or options[node, slot, STROKES] > options[node, 0, STROKES] + worth:
                    continue
                dx = spots[node, 0] + options[node, slot, CARRY] * math.sin(options[node, slot, HEADING]) - ox
                dy = spots[node, 1] + options[node, slot, CARRY] * math.cos(options[node, slot, HEADING]) - oy
                heading, length = math.atan2(dx, dy), math.hypot(dx, dy)
                for j in range(_AIMS):
                    turned = heading + (step * (j - 1) / length if j < 3 else 0.0)
                    b = bin_of(turned, bins)
                    p = table[s, lie, b]
                    carry = min(
                        max(length + (0.0 if j < 3 else step * (2 * j - 7)), p[ROW_LEAST]), p[ROW_CARRY]
                    )
                    lay(aims[n], p, ox, oy, turned, carry)
                    row[n] = (s * lies + lie) * bins + b
                    n += 1
            expected(
                land, to_go, StrikePoint(ox, oy, up), aims[:n], shot0, row, roll, sample, again,
                Screens(none, shot0), out,
            )  # fmt: skip
            best, which = math.inf, 0
            for i in range(n):
                if out[i, 1] < 1.0:
                    q = (1.0 + out[i, 0] + out[i, 1]) / (1.0 - out[i, 1])
                    if q < best:
                        best, which = q, i
            copy_row(aims[which], aim)
            rolls = roll[row[which]]
        strokes[r, 0], strokes[r, 1], strokes[r, 2] = struck, left, ended


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def trace_aims(
    land: Land, to_go: ToGo, start: StrikePoint, aims: Any, row: Any, roll: Any, sample: Sample, again: float,
    screens: Screens, cells: Any, penalty: Any,
) -> None:  # fmt: skip
    """`trace` of A aims from one spot: cells and penalty strokes (A, K)."""
    for a in range(aims.shape[0]):
        trace(
            land, to_go, start, aims[a], roll[row[a]], sample, again, screens.held[screens.row[a]],
            cells[a], penalty[a],
        )  # fmt: skip


@njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")
def most_of(
    cells: Any, penalty: Any, share: Any, tried: Any, core: int, fewer: Any, fewest: Any, back: Any, out: Any
) -> None:
    """Chance of one stroke more from every node-lie: that of its option with the greatest one.

    Parameters
    ----------
    cells, penalty, share : int32 (S, N, K), int8 (S, N, K), float64 (S, N)
        From `trace_nodes`, for S options; no cell for a ball that goes back.
    tried : bool (S, N)
        Options that are looked at.
    fewer, fewest : float64 (cells,)
        Chances with one stroke less, and with two, by cell.
    back : float64 (N,)
        Chance with two strokes less of the node-lie itself.
    out : float64 (N,)
        Receives the chance; left alone where no option is looked at.
    """
    slots, nodes, count = cells.shape
    for node in range(nodes):
        most = -1.0
        for slot in range(slots):
            if not tried[slot, node]:
                continue
            well, ill = 0.0, 0.0
            for k in range(count):
                at = cells[slot, node, k]
                if at < 0:
                    chance = back[node]
                elif penalty[slot, node, k] == 0:
                    chance = fewer[at]
                else:
                    chance = fewest[at]
                if k < core:
                    well += chance
                else:
                    ill += chance
            s = share[slot, node]
            most = max(most, (1.0 - s) * well / core + s * ill / max(count - core, 1))
        if most >= 0.0:
            out[node] = most
