"""Flights a second on one core: the compiled kernel, its numpy specification, and scipy in the same run.

``python scripts/bench_flight.py [--quick]``. Process time is measured, so that other jobs on the machine
count little.
"""

from __future__ import annotations

import argparse
import time
from typing import Any

import numpy as np

from strategy.ball.air import STANDARD_AIR
from strategy.ball.flight import CHUNK, Launch, fly
from strategy.ball.ground import run_of
from strategy.ball.law import DIAMETER_M, GRAVITY, LAW, MASS_KG, RADIUS_M
from strategy.codes import Surface


def shots(n: int, seed: int = 1) -> tuple[Launch, dict[str, Any]]:
    """Full shots of a bag, straight and bent, in winds to 22 mph and on ground that rises or falls."""
    rng = np.random.default_rng(seed)
    q = rng.random(n)
    launch = Launch(
        speed_mps=45.0 + 30.0 * q,
        launch_deg=26.0 - 15.0 * q + rng.normal(0.0, 1.0, n),
        spin_rad_s=970.0 - 680.0 * q,
        tilt_deg=rng.normal(0.0, 5.0, n),
    )
    return launch, {
        "head_mps": rng.uniform(-7.0, 7.0, n),
        "cross_mps": rng.uniform(-7.0, 7.0, n),
        "rise_m": rng.uniform(-8.0, 8.0, n),
    }


def by_scipy(launch: Launch, day: dict[str, Any], i: int) -> float:
    """Carry of one shot by scipy's DOP853 at a relative tolerance of 1e-10. [m]"""
    from scipy.integrate import solve_ivp

    up, tilt, speed = np.radians(launch.launch_deg[i]), np.radians(launch.tilt_deg[i]), launch.speed_mps[i]
    axis = np.array([-np.sin(tilt) * np.sin(up), -np.cos(tilt), np.sin(tilt) * np.cos(up)])
    wind = np.array([-day["head_mps"][i], day["cross_mps"][i], 0.0])
    rho, mu = float(STANDARD_AIR.density), float(STANDARD_AIR.viscosity)
    k = rho * np.pi * DIAMETER_M**2 / (8.0 * MASS_KG)

    def rates(_: float, s: Any) -> Any:
        u = s[3:6] - wind
        fast = np.sqrt(u @ u)
        spin = s[6] * RADIUS_M / fast
        lift = LAW.lift * spin / (spin + LAW.lift_spin)
        slow = LAW.drag_slow / (1.0 + (rho * fast * DIAMETER_M / mu / LAW.reynolds_slow) ** 8)
        a = k * fast * (lift * np.cross(axis, u) - (LAW.drag + LAW.drag_per_lift * lift + slow) * u)
        return np.array(
            [*s[3:6], a[0], a[1], a[2] - GRAVITY, -LAW.decay * rho / 1.185 * fast * s[6] / RADIUS_M]
        )

    def lands(_: float, s: Any) -> Any:
        return s[2] - day["rise_m"][i]

    lands.terminal, lands.direction = True, -1  # type: ignore[attr-defined]
    first = np.array([0.0, 0.0, 0.0, speed * np.cos(up), 0.0, speed * np.sin(up), launch.spin_rad_s[i]])
    done = solve_ivp(rates, (0.0, 30.0), first, method="DOP853", rtol=1e-10, atol=1e-10, events=lands)
    return float(done.y_events[0][0][0])


def bench_flight(quick: bool = False) -> dict[str, float]:
    """Rates a second on one core, the ratio to scipy, and the largest difference from it. [m]"""
    n, few = (20_000, 20) if quick else (200_000, 100)
    launch, day = shots(n)
    fly(launch[:1000], **{k: v[:1000] for k, v in day.items()}, engine="kernel")  # compile before timing

    def rate(count: int, engine: Any) -> float:
        part = {k: v[:count] for k, v in day.items()}
        start = time.process_time()
        fly(launch[:count], **part, engine=engine)
        return count / (time.process_time() - start)

    kernel = max(rate(n, "kernel") for _ in range(3))
    plain = max(rate(min(n, 4 * CHUNK), "numpy") for _ in range(3))
    there = fly(launch, **day, engine="kernel")
    start = time.process_time()
    carries = np.array([by_scipy(launch, day, i) for i in range(few)])
    scipy_rate = few / (time.process_time() - start)
    start = time.process_time()
    run_of(there, Surface.FAIRWAY)
    landings = n / (time.process_time() - start)
    return {
        "kernel flights/s": kernel,
        "numpy flights/s": plain,
        "scipy flights/s": scipy_rate,
        "kernel / scipy": kernel / scipy_rate,
        "numpy / scipy": plain / scipy_rate,
        "landings/s": landings,
        "largest difference from scipy, m": float(np.abs(carries - there.carry_m[:few]).max()),
    }


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the balls")
    for name, value in bench_flight(parser.parse_args().quick).items():
        print(f"{name:36s} {value:14,.6g}")
