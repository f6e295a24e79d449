"""The whole hole: one hole, eighteen, a moved hole location, cost of each feature, growth, memory gathers.

``python scripts/bench_whole.py [--quick]``. Demo holes; wall time where threads count, else process time.
"""

from __future__ import annotations

import argparse
import dataclasses
import multiprocessing
import subprocess
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
HOLE = "15"  # a par 5 with water all along


def demo_hole(label=HOLE):
    from scripts.invented import of_demo

    return of_demo(label)


def took(work, times=2, clock=time.process_time):
    best = np.inf
    for _ in range(times):
        start = clock()
        work()
        best = min(best, clock() - start)
    return best


def peak_memory():
    """Most memory of a process that reads the demo files and solves one hole. [MB]"""
    code = (
        "import sys, resource; sys.path[:0] = [sys.argv[1], sys.argv[1] + '/scripts'];"
        "from bench_whole import demo_hole; from strategy.decide import solve; solve(demo_hole());"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(ROOT)], check=True, capture_output=True, text=True)
    return float(done.stdout)


def features():
    """The same hole with features switched on one by one, on the same maps."""
    from strategy.codes import Lie, Surface

    everything = demo_hole()
    full = dataclasses.replace(everything, shots=without_short(everything.shots), canopy=None)
    shots = full.shots
    calm = {
        f.name: value[:, :, :1]
        for f in dataclasses.fields(shots)
        if isinstance(value := getattr(shots, f.name), np.ndarray) and value.ndim >= 3
    }
    chance = full.lie_chance.copy()
    chance[Surface.ROUGH] = 0.0
    chance[Surface.ROUGH, Lie.ROUGH_GOOD] = 1.0
    dry = full.surface.copy()
    dry[(dry == Surface.YELLOW) | (dry == Surface.RED)] = Surface.ROUGH
    area = np.full_like(full.area, -1)
    still = dataclasses.replace(shots, **calm)
    no_run = {"run": np.zeros_like(still.run), "run_sd": np.zeros_like(still.run_sd)}
    plain = dataclasses.replace(
        full, shots=dataclasses.replace(still, **no_run), surface=dry, area=area, lie_chance=chance
    )
    yield "plain: no run, no water, one rough lie, calm", plain
    yield "+ run by surface", (plain := dataclasses.replace(plain, shots=still))
    yield "+ relief", (plain := dataclasses.replace(plain, surface=full.surface, area=full.area))
    yield "+ three rough lies", (plain := dataclasses.replace(plain, lie_chance=full.lie_chance))
    yield "+ wind, a row for every heading", full
    hills = np.zeros(full.surface.shape, dtype=np.float32)
    hills += np.linspace(0.0, 12.0, hills.shape[0], dtype=np.float32)[:, None]
    yield "+ heights", dataclasses.replace(full, height=hills)
    yield "+ shots round the green, without heights", dataclasses.replace(everything, canopy=None)
    yield "+ trees: everything that the hole has", everything


def without_short(shots):
    """A shot table without the shots round the green."""
    keep = np.flatnonzero(~shots.short)
    names = {f: tuple(getattr(shots, f)[k] for k in keep) for f in ("clubs", "names", "labels")}
    arrays = {
        f.name: value[keep]
        for f in dataclasses.fields(shots)
        if isinstance(value := getattr(shots, f.name), np.ndarray)
    }
    return dataclasses.replace(shots, **names, **arrays)


def gathers(quick):
    """Balls a second through `expected`, and bare gathers a second from the same field. [millions]"""
    from numba import njit

    from strategy.decide.cost_field import cost_field
    from strategy.decide.kernels.arguments import AIM, Screens, StrikePoint
    from strategy.decide.kernels.flat_map import NO_SCREEN
    from strategy.decide.kernels.packed import points_of, table_of
    from strategy.decide.kernels.strokes import expected
    from strategy.decide.kernels.sweeps import bin_of, lay
    from strategy.decide.solver.whole_hole import solve

    @njit(nogil=True)
    def gather(values, cells):
        total = np.float32(0.0)
        for k in range(cells.shape[0]):
            total += values[cells[k]]
        return total

    dry = dict(features())["+ run by surface"]
    whole = solve(dry)
    field = cost_field(dry, whole)
    table, roll, _ = table_of(dry)
    sample = points_of(256, 3)
    nodes = np.flatnonzero(whole.rest.options[:, 0, 0] >= 0)[:: 200 if quick else 50]
    fan = 64
    aims, row = np.empty((len(nodes), fan, AIM)), np.empty((len(nodes), fan), np.int64)
    for k, node in enumerate(nodes):
        s, heading, carry = int(whole.rest.options[node, 0, 0]), *whole.rest.options[node, 0, 1:3]
        lie = int(whole.rest.lattice.lies[node])
        for j, turned in enumerate(heading + np.linspace(-0.1, 0.1, fan)):
            b = bin_of(turned, table.shape[2])
            lay(aims[k, j], table[s, lie, b], *whole.rest.lattice.spots[node, :2], turned, carry)
            row[k, j] = (s * table.shape[1] + lie) * table.shape[2] + b
    out, page = np.empty((fan, 2)), np.zeros(fan, np.int64)

    def balls():
        for k, node in enumerate(nodes):
            expected(
                field.land, field.to_gather(), StrikePoint(*whole.rest.lattice.spots[node]), aims[k], page,
                row[k], roll, sample, 1.0 + whole.rest.value[node], Screens(NO_SCREEN, page), out,
            )  # fmt: skip

    balls()
    per_ball = took(balls, 3) / (aims.shape[0] * fan * sample.deviates.shape[1])
    # As balls do: scattered round the places they come to.
    rng = np.random.default_rng(1)
    x = aims[:, :, :1] + 12.0 * rng.standard_normal((*row.shape, sample.deviates.shape[1]))
    y = aims[:, :, 1:2] + 12.0 * rng.standard_normal(x.shape)
    col, line = np.clip(x, 0, field.columns - 1), np.clip(y, 0, field.rows - 1)
    cells = (line.astype(np.int64) * field.columns + col.astype(np.int64)).ravel()
    gather(field.values, cells)
    per_gather = took(lambda: gather(field.values, cells), 5) / len(cells)
    return 1e-6 / per_ball, 1e-6 / per_gather


def planning_ratio(labels):
    """CPU of planning some holes in one round with the physics on, against shots taken as stated."""
    from strategy.course import read_course
    from strategy.demofiles import demo
    from strategy.plan import plan_course
    from strategy.player import read_player
    from strategy.week import read_week

    files = demo()
    course, player, week = read_course(files.course), read_player(files.player), read_week(files.week)
    stated = dataclasses.replace(week, as_stated=True)

    def plan(which):
        return lambda: plan_course(course, player, which, holes=labels, rounds=[1], jobs=1)

    plan(week)()
    return took(plan(week)) / took(plan(stated))


def bench_whole(*, quick: bool) -> dict[str, float | str]:
    """Figures by name."""
    from strategy.decide.solver.whole_hole import solve

    times = 1 if quick else 2
    here = demo_hole()
    whole = solve(here)
    found: dict[str, float | str] = {}
    name = (
        f"one hole, {len(whole.rest.value):,} node-lies, {here.shots.shots} shots, {whole.rest.sweeps} passes"
    )
    found[f"{name}, one thread [s]"] = took(lambda: solve(here), times, time.perf_counter)
    found["the same on two threads [s]"] = took(lambda: solve(here, threads=2), times, time.perf_counter)
    found["most memory of a process that solves it [MB]"] = peak_memory()
    found["as plans solve it: where balls come down, 32 points [s]"] = took(
        lambda: solve(here, landings=True, size=32), times, time.perf_counter
    )
    pin = (here.hole[0] + 6.0, here.hole[1] + 6.0)
    found["hole location moved 8.5 m, started from the first [s]"] = took(
        lambda: solve(here.with_pin(pin), start=whole), times, time.perf_counter
    )
    labels = [str(k) for k in (range(1, 19) if not quick else (4, 5))]
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(2, mp_context=context) as pool:
        list(pool.map(solved_once, ["4", "4"]))
        start = time.perf_counter()
        list(pool.map(solved_once, labels))
        found[f"{len(labels)} holes on two processes, warm [s]"] = time.perf_counter() - start
    for what, variant in () if quick else features():
        found[f"  {what} [s of CPU]"] = took(lambda v=variant: solve(v))
    balls, bare = gathers(quick)
    found["balls a second through the kernel of means [millions]"] = balls
    found["bare gathers a second from the same field [millions]"] = bare
    found["balls a gather: a ball gathers three times, 0.33 would be the limit"] = balls / bare
    if not quick:
        found |= by_size(here)
    peer = against_quantecon()
    if peer is None:
        found["QuantEcon on the same problem"] = "not installed"
    else:
        pairs, ours, build, theirs = peer
        found[f"{pairs:,} options in float64, every ball played each sweep [s of CPU]"] = ours
        found["  chances of the same balls as a sparse matrix, built in numpy [s of CPU]"] = build
        found["  QuantEcon's policy iteration on that matrix [s of CPU]"] = theirs
        found["  ratio, build and solve against sweeps"] = (build + theirs) / ours
    ratio = planning_ratio(("4", "5", "15") if not quick else ("5",))
    found["planning with physics on against shots as stated, one round [ratio]"] = ratio
    return found


def by_size(here) -> dict[str, float | str]:
    """What a finer lattice, more points and more shots cost. [s of CPU]"""
    from strategy.decide.solver.whole_hole import solve

    found: dict[str, float | str] = {}
    for spacing in (10.0, 7.0, 5.0):
        one = solve(here, spacing_m=spacing)
        took_s = took(lambda s=spacing: solve(here, spacing_m=s), 1)
        found[f"  lattice of {spacing:g} m, {len(one.rest.value):,} node-lies [s of CPU]"] = took_s
    for size in (32, 64, 128):
        found[f"  {size} points [s of CPU]"] = took(lambda n=size: solve(here, size=n), 1)
    for count in (8, 16, 24):
        some = fewer(here, count)
        found[f"  {some.shots.shots} shots [s of CPU]"] = took(lambda v=some: solve(v), 1)
    return found


def against_quantecon():
    """The same discretised problem, options frozen, by sweeps and by QuantEcon's policy iteration. [s]"""
    try:
        import quantecon  # noqa: F401
    except ImportError:
        return None
    from scripts.frozen_hole import Frozen, policy_iteration, without_known

    hole = Frozen()
    start = hole.solver.value.copy()

    def sweeps():
        hole.solver.value[:] = start + 0.5  # not from the answer
        return hole.by_sweeps()

    value = hole.by_sweeps()
    clock = time.process_time()
    problem = hole.problem()
    build = time.process_time() - clock
    its = without_known(value, *problem)[1]
    policy_iteration(*its)
    return len(problem[0]), took(sweeps), build, took(lambda: policy_iteration(*its))


def solved_once(label):
    from strategy.decide.solver.whole_hole import solve

    return len(solve(demo_hole(label)).rest.value)


def fewer(here, count):
    """The same hole for a player with fewer shots, spread over the bag."""
    table = here.shots
    keep = np.unique(np.linspace(0, table.shots - 1, min(count, table.shots)).astype(int))
    new = {}
    for f in dataclasses.fields(table):
        value = getattr(table, f.name)
        if isinstance(value, np.ndarray) and len(value) == table.shots:
            new[f.name] = value[keep]
        elif isinstance(value, tuple):
            new[f.name] = tuple(value[k] for k in keep)
    return dataclasses.replace(here, shots=dataclasses.replace(table, **new))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    for name, value in bench_whole(quick=parser.parse_args().quick).items():
        print(f"{name:<72} {value if isinstance(value, str) else format(value, ',.4g')}")


if __name__ == "__main__":
    main()
