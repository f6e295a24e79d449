"""Compiled code of kernels: never of other source than the one that runs, and never in the way."""

from __future__ import annotations

import os
import pickle
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import numba
import pytest

from strategy import compiled
from strategy.compiled import KEPT, cache_folder, code_digest
from strategy.demofiles import demo

ROOT = Path(__file__).resolve().parents[1]

# A ball that crossed at (5.5, 5.5) with the hole 60 cells on: drops on the line end LINE_REACH_M behind it,
# a constant of strategy.outcome.relief that a kernel of strategy.decide holds.
DROP = """
import numpy as np
from strategy.decide.kernels.relief import best_drop
field = np.arange(4000, dtype=np.float64).reshape(40, 100)[:, ::-1].ravel().copy()
print(best_drop(field, 40, 100, 1.0, -60.5, 20.5, 1.0, np.zeros((0, 2)), 5.5, 20.5, False))
"""


@pytest.fixture
def copied(tmp_path):
    """A copy of the package with its demo files, and a way to run Python on it as a user with a home."""
    site = tmp_path / "site"
    shutil.copytree(ROOT / "strategy", site / "strategy", ignore=shutil.ignore_patterns("__pycache__"))
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("NUMBA_", "PYTHON"))}
    environment |= {"PYTHONPATH": str(site), "XDG_CACHE_HOME": str(tmp_path / "cache")}

    def python(*args, **more):
        done = subprocess.run(
            [sys.executable, *map(str, args)],
            cwd=tmp_path,
            env={**environment, **more},
            check=False,
            capture_output=True,
            encoding="utf-8",
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return site / "strategy", python


def change(file, old, new):
    """Another source; the file of the kernel itself stays as it is."""
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), encoding="utf-8")


def folders(tmp_path):
    return sorted(p.name for p in (tmp_path / "cache" / "course-strategy" / "numba").iterdir())


@pytest.mark.slow
def test_a_constant_changed_in_another_module_changes_the_answer_from_python(copied, tmp_path):
    package, python = copied
    first = python("-c", DROP)
    assert python("-c", DROP) == first
    (one,) = folders(tmp_path)
    change(package / "outcome" / "relief.py", "LINE_REACH_M: Final = 60.0", "LINE_REACH_M: Final = 30.0")
    assert int(python("-c", DROP)) == int(first) - 30
    assert len(folders(tmp_path)) == 2
    change(package / "outcome" / "relief.py", "LINE_REACH_M: Final = 30.0", "LINE_REACH_M: Final = 60.0")
    assert python("-c", DROP) == first
    assert one in folders(tmp_path)
    assert len(folders(tmp_path)) == 2
    assert not list(package.rglob("*.nbi"))  # nor is anything kept beside the source


@pytest.mark.slow
def test_a_constant_changed_in_another_module_changes_the_answer_of_the_command(copied):
    package, python = copied
    ask = ["-m", "strategy", "options", *demo(), "--hole", "4", "--from", "tee", "--round", "2"]

    def strokes():
        return re.search(r"^7-iron .*?(\d\.\d{3})", python(*ask), re.MULTILINE)[1]

    first = strokes()
    change(package / "outcome" / "relief.py", "LINE_REACH_M: Final = 60.0", "LINE_REACH_M: Final = 1.0")
    assert strokes() != first  # a ball in the water is dropped elsewhere


@pytest.mark.slow
def test_where_the_folder_cannot_be_written_answers_are_the_same(copied, tmp_path):
    _, python = copied
    blocked = tmp_path / "a file"
    blocked.touch()
    here = tmp_path / "temporary"
    here.mkdir()
    usual = python("-c", DROP)
    assert python("-c", DROP, XDG_CACHE_HOME=str(blocked), TMPDIR=str(here)) == usual
    (own,) = here.iterdir()
    assert own.name.startswith("course-strategy-")
    assert own.stat().st_mode & 0o077 == 0
    assert list(own.rglob("*.nbi"))
    shutil.rmtree(own)
    own.touch()  # nor there
    assert python("-c", DROP, XDG_CACHE_HOME=str(blocked), TMPDIR=str(here)) == usual
    assert own.is_file()


@pytest.mark.slow
def test_a_folder_of_the_users_own_is_taken_as_it_is(copied, tmp_path):
    _, python = copied
    python("-c", DROP, NUMBA_CACHE_DIR=str(tmp_path / "mine"))
    assert list((tmp_path / "mine").glob("kernels_*/*.nbi"))
    assert not (tmp_path / "cache").exists()


@pytest.mark.slow
def test_code_of_another_version_that_cannot_be_read_is_compiled_anew(copied, tmp_path):
    """An index that names a type which is there no more, as after an upgrade in a user's own folder."""
    own, (_, python) = tmp_path / "own", copied
    first = python("-c", DROP, NUMBA_CACHE_DIR=own)
    indexes = list(own.rglob("relief.best_drop*.nbi"))
    assert indexes
    for index in indexes:
        with index.open("rb") as file:
            version = pickle.load(file)
        index.write_bytes(pickle.dumps(version) + b"cstrategy.decide.kernels.relief\nNoSuchType\n.")
    assert python("-c", DROP, NUMBA_CACHE_DIR=own) == first
    assert all(b"NoSuchType" not in index.read_bytes() for index in indexes)


def test_help_and_reading_leave_no_folder(copied, tmp_path):
    _, python = copied
    python("-m", "strategy", "--help")
    python("-c", f"import strategy; strategy.read_course({str(demo().course)!r})")
    assert not (tmp_path / "cache").exists()


@pytest.mark.slow
def test_a_disk_that_fills_up_costs_no_answer(copied):
    _, python = copied
    full = """
import numba.core.caching as caching
def full(*args): raise OSError(28, "No space left on device")
caching.IndexDataCacheFile._save_data = full
"""
    assert python("-c", full + DROP) == python("-c", DROP)


def test_old_folders_go_but_not_the_last_few_nor_those_of_today(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    parent = tmp_path / "cache" / "course-strategy" / "numba"
    days = {f"old-{n}": n for n in range(3, KEPT + 6)} | {"today": 0.5}
    for name, age in days.items():
        (parent / name).mkdir(parents=True)
        (parent / name / "kernel.nbi").touch()
        os.utime(parent / name, (time.time() - age * 86_400.0,) * 2)
    cache_folder.cache_clear()
    current = cache_folder()
    cache_folder.cache_clear()
    assert current == parent / code_digest()
    newest = sorted(days, key=days.__getitem__)[:KEPT]
    assert {p.name for p in parent.iterdir()} == {current.name, *newest}
    many = [f"used {n} h ago" for n in range(1, KEPT + 4)]
    for hours, name in enumerate(many, start=1):
        (parent / name).mkdir()
        os.utime(parent / name, (time.time() - hours * 3600.0,) * 2)
    compiled._prune(parent, current)
    assert {p.name for p in parent.iterdir()} == {current.name, "today", *many}


def test_a_temporary_folder_of_somebody_else_is_not_trusted(tmp_path):
    mine, open_to_all, link = tmp_path / "mine", tmp_path / "open", tmp_path / "link"
    assert compiled._own(mine)
    open_to_all.mkdir()
    open_to_all.chmod(0o777)
    assert not compiled._own(open_to_all)
    link.symlink_to(mine)
    assert not compiled._own(link)


def test_numbas_own_folder_is_left_alone_for_other_code():
    before = numba.config.CACHE_DIR
    kernel = compiled.njit(cache=True)(_twice)
    assert kernel(4) == 8
    assert before == numba.config.CACHE_DIR


def _twice(x):
    return 2 * x


def test_the_code_of_numbers_is_told_without_the_commands():
    assert code_digest() != code_digest("report")
    assert code_digest("report") != code_digest("plan")
    assert not compiled._counts("cli_number.py", ())
    assert compiled._counts("plan", ())
