"""What README shows is what the program prints."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def python(*args):
    done = subprocess.run(
        [sys.executable, *args], cwd=ROOT, check=True, capture_output=True, encoding="utf-8"
    )
    return done.stdout


@pytest.mark.slow
def test_the_python_sample_gives_the_answer_of_the_command():
    """Same hole, same round: strokes, club and balls of 20 to the last digit printed."""
    sample = re.search(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    told = python("-c", sample[1])
    files = re.findall(r'read_\w+\("(.*?)"\)', sample[1])
    hole, number = re.search(r'hole\("(\w+)"\), player, week, round=(\d)', sample[1]).groups()
    said = python("-m", "strategy", "options", *files, "--hole", hole, "--round", number, "--from", "tee")
    first_row = r"^shot .*\n(\S+) +\d+ +([\d.]+) +(.*(?:\n  .*)*)$"  # counts may go on below
    club, strokes, counts = re.search(first_row, said, re.MULTILINE).groups()
    assert told.startswith(f"{club} ")
    assert f" {float(re.search(r'[)] ([0-9.]+) [{]', told)[1]):.3f} " == f" {strokes} "
    balls = {word: int(n) for n, word in re.findall(r"(\d+) (\w+)", counts)}
    assert eval(told[told.index("{") :]) == balls
