"""What a user waits for: commands from cold, the demo plan, one decision; and how all of it grows.

Commands run in processes of their own, and their CPU is counted with that of the processes they start.
Kernels are compiled before, but for the one line that says otherwise.
"""

from __future__ import annotations

import dataclasses
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
DEMO = ("courses/fennhallow", "courses/players/tour-left-fade.toml", "courses/weeks/demo.toml")
TEE = ("options", *DEMO, "--hole", "15", "--from", "tee", "--round", "2")
NUMBER = ("number", DEMO[1], "--front", "142", "--on", "11", "--wind", "12 mph into from the left")


def command(*words, **env):
    """Wall time and CPU of one command, with byte code kept as pip keeps it. [s]"""
    inherited = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "strategy", *words], cwd=ROOT, check=True, capture_output=True,
        env={**inherited, **env},
    )  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - start, cpu


def cold(*words, times):
    """The least CPU of some runs. [s]"""
    return min(command(*words)[1] for _ in range(times))


def bench_commands(*, quick: bool) -> dict[str, float | str]:
    """Figures by name."""
    command(*TEE)
    times = 1 if quick else 3
    found: dict[str, float | str] = {
        "--help [s of CPU]": cold("--help", times=times),
        "number [s of CPU]": cold(*NUMBER, times=times),
        "options from the tee, cold [s of CPU]": cold(*TEE, times=times),
    }
    if quick:
        with tempfile.TemporaryDirectory() as folder:
            command("plan", *DEMO, "--out", folder, "--hole", "13", "--round", "1", "--pictures", "none")
            found |= pictures(folder, 1)
        return found
    with tempfile.TemporaryDirectory() as folder:
        found["the first options, nothing compiled [s of CPU]"] = command(*TEE, NUMBA_CACHE_DIR=folder)[1]
    with tempfile.TemporaryDirectory() as folder:
        wall, cpu = command("plan", *DEMO, "--out", folder)
        found["demo plan, 72 decisions and 18 pictures, wall [s]"] = wall
        found["demo plan, CPU [s]"] = cpu
        found |= pictures(folder, 4)
    with tempfile.TemporaryDirectory() as folder:
        wall, cpu = command("plan", *DEMO, "--out", folder, "--round", "2")
    found["18 holes of one round with their pictures, wall [s]"] = wall
    return found


def pictures(folder, rounds):
    """Every picture of a kept plan drawn anew, start-up and reading included."""
    shutil.rmtree(Path(folder) / "pictures", ignore_errors=True)
    asked = [word for n in range(1, rounds + 1) for word in ("--round", str(n))]
    holes = ("--hole", "13") if rounds == 1 else ()
    _, cpu = command("draw", *DEMO, "--out", folder, *holes, *asked)
    count = len(list((Path(folder) / "pictures").glob("*.png")))
    return {f"draw, {count} pictures of a kept plan [s of CPU]": cpu}


def bench_growth(*, quick: bool) -> dict[str, float | str]:
    """Time against size: the hole, the bag, hours of wind. All but the size as it was. [s of CPU]"""
    from bench_whole import demo_hole, took

    from strategy.decide.solver.whole_hole import solve
    from strategy.week.model import WindHour

    found: dict[str, float | str] = {}
    # On flat ground: a hole that is stretched keeps no slopes.
    here = dataclasses.replace(demo_hole("4" if quick else "15"), height=None, rolls_to=None)
    rows = []
    for share in (0.5, 1.0) if quick else (0.5, 1.0, 2.0):
        # The same hole drawn finer and coarser in its own units: as long and as wide by that share.
        other = stretched(here, share)
        whole = solve(other, landings=True, size=32)
        rows.append((len(whole.rest.value), took(lambda o=other: solve(o, landings=True, size=32), 1)))
    found |= {f"a hole of {n:,} node-lies [s of CPU]": t for n, t in rows}
    found["  time grows as node-lies to the power"] = power(rows)
    rows = []
    for times in (1, 2):
        bag = dataclasses.replace(here, shots=doubled(here.shots, times))
        rows.append((bag.shots.shots, took(lambda b=bag: solve(b, landings=True, size=32), 1)))
    found |= {f"{n} shots [s of CPU]": t for n, t in rows}
    found["  time grows as shots to the power"] = power(rows)
    rows = []
    for hours in (2, 4) if quick else (8, 32):
        winds = [
            WindHour(hour=12.0, speed_mps=2.0 + 0.1 * k, gust_mps=0.0, blows_from=11.0 * k)
            for k in range(hours)
        ]
        start = time.process_time()
        for wind in winds:
            solve(here.with_wind(wind), landings=True, size=32)
        rows.append((hours, time.process_time() - start))
    found |= {f"{n} hours of wind [s of CPU]": t for n, t in rows}
    found["  time grows as hours to the power"] = power(rows)
    return found


def power(rows):
    """Exponent of the straight line through times against sizes, both as logarithms."""
    n, t = np.log(np.array(rows, dtype=float)).T
    return float(np.polyfit(n, t, 1)[0])


def stretched(here, share):
    """A hole with every cell of its maps repeated, or every other one left out, along both sides."""
    if share == 1.0:
        return here

    def maps(a):
        return np.repeat(np.repeat(a, 2, 0), 2, 1) if share > 1.0 else np.ascontiguousarray(a[::2, ::2])

    def away(p):
        return tuple(float(c + share * (v - c)) for v, c in zip(p, here.corner, strict=True))

    return dataclasses.replace(
        here,
        surface=maps(here.surface), area=maps(here.area), canopy=None,
        tee=away(here.tee), hole=away(here.hole),
        line=np.array([away(p) for p in here.line]), green=np.array([away(p) for p in here.green]),
        drawn_line=None, drop_zones=(),
    )  # fmt: skip


def doubled(table, times):
    """A bag with every shot in it so many times."""
    which = np.tile(np.arange(table.shots), times)
    new = {}
    for field in dataclasses.fields(table):
        value = getattr(table, field.name)
        if isinstance(value, np.ndarray) and len(value) == table.shots:
            new[field.name] = value[which]
        elif isinstance(value, tuple):
            new[field.name] = tuple(value[k] for k in which)
    return dataclasses.replace(table, **new)
