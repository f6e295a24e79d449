"""One approach decision: the kernels against the same decision written plainly with numpy and shapely."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
SHOTS, AIMS, POINTS = 12, 200, 2048


def best_of(work, times):
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return min(took)


def the_decision():
    """An approach to a green with water and sand beside it, from the demo course, 12 shots x 200 aims."""
    from strategy.codes import Lie, Spot
    from strategy.course import read_course
    from strategy.course.playline import from_front
    from strategy.decide.aims import Aims
    from strategy.decide.cost_field import cost_field
    from strategy.demofiles import demo
    from strategy.outcome.setup import today
    from strategy.player import read_player
    from strategy.strokes.baseline import Baseline
    from strategy.week import read_week

    files = demo()
    course = read_course(files.course)
    player, week = read_player(files.player), read_week(files.week)
    hole = course.hole("15")  # water beside the green
    here = today(hole, player, week)
    x, y = from_front(hole.green, here.line, 150 * 0.9144)
    spot = Spot(float(x), float(y), Lie.FAIRWAY)
    to_go = Baseline(here)
    field = cost_field(here, to_go)
    table = here.shots
    distance = float(np.hypot(here.hole[0] - x, here.hole[1] - y))
    nearest = np.argsort(np.abs(table.carry[:, int(Lie.FAIRWAY), 0] - distance))[:SHOTS]
    straight = np.degrees(np.arctan2(here.hole[0] - x, here.hole[1] - y))
    fan = straight + np.degrees(np.linspace(-15, 15, 20) / distance)
    carries = np.linspace(-12, 12, 10) + distance
    heading, carry = (g.ravel() for g in np.meshgrid(fan, carries))
    aims = Aims(
        shot=np.repeat(nearest, AIMS), heading=np.tile(heading, SHOTS) % 360.0, carry=np.tile(carry, SHOTS)
    )
    return hole, here, spot, to_go, field, aims


def plainly(hole, here, spot, to_go, aims, points, count):
    """Expected strokes of the first `count` aims with shapely.contains_xy, no map, no tricks.

    Water costs a stroke and is dropped where the straight line to the ball last crossed the edge; sand
    and water do not stop a running ball: less than the kernels do.
    """
    import shapely

    from strategy.codes import Lie, Surface
    from strategy.decide.aims import pack

    packed, row, roll = pack(here, spot, aims)
    half = points.shape[1] // 2
    areas = sorted(hole.areas, key=lambda a: a.surface != Surface.GREEN)
    for area in areas:
        shapely.prepare(area.shape)
    shapely.prepare(hole.green)
    out = np.empty(count)
    for i in range(count):
        total = 0.0
        for s, share in ((0, 1.0 - packed[i, 11]), (1, packed[i, 11])):
            z = points[:, s * half : (s + 1) * half]
            scale = 1.0 if s == 0 else packed[i, 9]
            m = packed[i, 4:8].reshape(2, 2) * scale
            x = packed[i, 2 * s] + m[0, 0] * z[0] + m[0, 1] * z[1]
            y = packed[i, 2 * s + 1] + m[1, 0] * z[0] + m[1, 1] * z[1]
            code = surfaces(hole, areas, x, y)
            length = roll[row[i], 0, code] + roll[row[i], 1, code] * z[2]
            d = np.hypot(x - spot.x, y - spot.y)
            x, y = x + length * (x - spot.x) / d, y + length * (y - spot.y) / d
            code = surfaces(hole, areas, x, y)
            lie = np.argmax(here.lie_chance[code], axis=1)
            wet = (code == Surface.YELLOW) | (code == Surface.RED)
            gone = code >= Surface.OUT
            strokes = to_go(np.column_stack((x, y)), lie)
            for area in areas:
                if area.surface not in (Surface.YELLOW, Surface.RED) or not wet.any():
                    continue
                mine = np.flatnonzero(wet)[shapely.contains_xy(area.shape, x[wet], y[wet])]
                ends = np.stack(
                    (np.tile(spot[:2], (len(mine), 1)), np.column_stack((x[mine], y[mine]))), axis=1
                )
                dry = shapely.difference(shapely.linestrings(ends), area.shape)
                last = [shapely.get_coordinates(g)[-1] for g in dry]
                if last:
                    strokes[mine] = 1.0 + to_go(np.array(last), np.full(len(last), int(Lie.ROUGH_GOOD)))
            strokes[gone] = 4.0
            total += share * strokes.mean()
        out[i] = 1.0 + total
    return out


def surfaces(hole, areas, x, y):
    """Surface codes by asking every polygon."""
    import shapely

    from strategy.codes import Surface

    code = np.full(len(x), int(Surface.ROUGH))
    order = [Surface.TREES, Surface.FIRST_CUT, Surface.FAIRWAY, Surface.TEE, Surface.YELLOW, Surface.RED]
    for surface in (*order, Surface.BUNKER):
        for area in areas:
            if area.surface == surface:
                code[shapely.contains_xy(area.shape, x, y)] = surface
    code[shapely.contains_xy(hole.green, x, y)] = Surface.GREEN
    return code


def bench_decide(*, quick: bool = False) -> dict[str, str]:
    from strategy.decide.aims import Pages, sums
    from strategy.decide.options import options
    from strategy.decide.search import pool

    hole, here, spot, to_go, field, aims = the_decision()
    points = pool(1, POINTS // 32)  # 16 scrambles; POINTS balls in all, half of them mishits
    again = 4.0
    halves = (aims[slice(0, None, 2)], aims[slice(1, None, 2)])

    def one_core():
        sums(field, spot, aims, points, again, pages=Pages.of(field, spot))

    def two_cores():
        pages = Pages.of(field, spot)
        with ThreadPoolExecutor(2) as threads:
            list(threads.map(lambda part: sums(field, spot, part, points, again, pages=pages), halves))

    def in_rounds():
        """The same aims, halved in rounds: all on 128 balls, the best 600 on 512, the best 120 on all."""
        pages, left = Pages.of(field, spot), np.arange(len(aims))
        for balls, keep in ((128, 600), (512, 120), (POINTS, 1)):
            q = sums(field, spot, aims[left], pool(1, balls // 32), again, pages=pages).repeated
            left = left[np.argsort(q, kind="stable")[:keep]]
        return int(left[0])

    def walking_every_track():
        sums(field, spot, aims, points, again)

    one_core()
    walking_every_track()
    times = 2 if quick else 15
    in_rounds()
    works = (one_core, two_cores, in_rounds, walking_every_track)
    single, double, rounds, exact = (best_of(w, times) for w in works)
    every = sums(field, spot, aims, points, again, pages=Pages.of(field, spot)).repeated
    regret = every[in_rounds()] - every.min()
    count = 4 if quick else 40
    start = time.perf_counter()
    plain = plainly(hole, here, spot, to_go, aims, points, count)
    per_aim = (time.perf_counter() - start) / count
    whole = per_aim * len(aims)
    fast = sums(field, spot, aims[slice(0, count)], points, again)
    gap = np.abs(fast.once(3.0) - plain).max()
    options(here, spot, to_go, laid_out=field)
    answer = best_of(lambda: options(here, spot, to_go, laid_out=field), times)
    balls = len(aims) * POINTS
    return {
        f"best of {SHOTS} shots x {AIMS} aims by {POINTS} balls, halved in rounds": f"{rounds * 1e3:8.1f} ms",
        "regret of the rounds against every aim on every ball, strokes": f"{regret:10.4f}",
        "every aim on every ball, two threads": f"{double * 1e3:8.1f} ms",
        "the same, one thread": f"{single * 1e3:8.1f} ms  ({balls / single / 1e6:.0f} M balls/s)",
        "the same, one thread, every wet ball's track walked": f"{exact * 1e3:8.1f} ms",
        f"numpy + shapely.contains_xy ({count} aims measured, scaled up)": f"{whole * 1e3:8.0f} ms",
        "ratio to the rounds / two threads / one thread": (
            f"{whole / rounds:8.0f} / {whole / double:.0f} / {whole / single:.0f}"
        ),
        "largest difference of strokes between the two (rougher relief, no traps)": f"{gap:8.3f}",
        "a whole answer: options() searched, judged and counted": f"{answer * 1e3:8.1f} ms",
    }
