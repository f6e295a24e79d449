"""Practice: a log of 200,000 balls read and fitted, and the sample log."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import numpy as np

from strategy.demofiles import demo, sample
from strategy.player import read_player
from strategy.player.fit.practice import fit_practice
from strategy.player.logs.read import read_practice_log
from strategy.player.read import read_player_file


def written(folder: Path, rows: int) -> Path:
    """A log of many balls, with sides in letters and a heading of many columns."""
    rng = np.random.default_rng(1)
    clubs = ("driver, the fade", "7 Iron", "9i", "PW")
    carries = np.array([285.0, 175.0, 150.0, 136.0])
    lines = ["Date,Club,Shot,Carry (yds),Side,Total,Ball Speed (mph),Launch,Spin,Apex"]
    carry, side = rng.standard_normal(rows), rng.standard_normal(rows)
    for i in range(rows):
        c, s = carries[i % 4] * (1 + 0.04 * carry[i]), 0.04 * carries[i % 4] * side[i]
        lines.append(
            f'2031-05-{i % 28 + 1:02d} 10:{i % 60:02d},"{clubs[i % 4]}",{i},{c:.1f},'
            f"{abs(s):.1f} {'R' if s > 0 else 'L'},"
            f"{c + 5:.1f},{120 + i % 50}.{i % 10},17.{i % 10},{6000 + i % 1000},{29 + i % 3}.{i % 10}"
        )
    path = folder / "log.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def bench_practice(*, quick: bool) -> dict[str, float | str]:
    """Figures by name."""
    rows = 20_000 if quick else 200_000
    file, player = read_player_file(demo().player)[0], read_player(demo().player)
    fit_practice([read_practice_log(sample("practice.csv"), file)], player, file)
    with tempfile.TemporaryDirectory() as folder:
        path = written(Path(folder), rows)
        start = time.perf_counter()
        log = read_practice_log(path, file)
        read = time.perf_counter() - start
    if len(log.balls) != rows:
        raise SystemExit(f"{len(log.balls)} of {rows} balls were read")
    start = time.perf_counter()
    fit_practice([log], player, file)
    fitted = time.perf_counter() - start
    start = time.perf_counter()
    fit_practice([read_practice_log(sample("practice.csv"), file)], player, file)
    return {
        f"a log of {rows:,} balls read [s]": read,
        f"{rows:,} balls of 4 shots fitted [s]": fitted,
        "the sample log read and fitted [s]": time.perf_counter() - start,
    }
