"""Sample points: their mirror image, and what it is worth."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

import strategy
from strategy.decide.kernels.packed import points_of
from strategy.outcome import points
from strategy.outcome.points import Stream, make_points, merged


def as_set(balls):
    return {tuple(row) for row in np.round(balls, 12).tolist()}


@pytest.mark.parametrize("size", [1, 2, 8, 256])
def test_every_set_is_its_own_mirror_image(size):
    """To the last ball, in both strata, and where the mishits are fewer."""
    for stratum in np.split(make_points(size, 3).stacked, 2):
        assert as_set(stratum) == as_set(stratum * [-1.0, 1.0, 1.0, 1.0])
    z, core = points_of(size, 3)
    z = z.astype(np.float64)
    for part in (z[:, :core].T, z[:, core:].T):
        assert as_set(part) == as_set(part * [-1.0, 1.0, 1.0, 1.0])


def test_so_is_a_set_of_several_scrambles():
    balls = merged(64, 2, 4)
    assert as_set(balls.core) == as_set(balls.core * [-1.0, 1.0])


def test_what_is_odd_in_side_has_no_error_and_a_stroke_of_either_kind_hardly_any():
    """Means over 256 balls: of side exactly 0; of the share past a line aside or beyond, to 1 %."""
    core = make_points(256, 5).core
    assert core[:, 0].mean() == pytest.approx(0.0, abs=1e-15)
    assert (core[:, 0] * np.exp(core[:, 1])).mean() == pytest.approx(0.0, abs=1e-15)
    assert core.std(axis=0) == pytest.approx(1.0, abs=0.02)
    for axis in (0, 1):
        assert (core[:, axis] > 1.0).mean() == pytest.approx(0.158655, abs=0.01)


def test_streams_of_one_seed_do_not_run_into_the_next():
    assert len({stream.of(seed) for seed in range(20) for stream in Stream}) == 20 * len(Stream)
    # These three see the same decision one after the other: found, judged, counted.
    assert len({Stream.SEARCH + 2, Stream.MOVE, Stream.JUDGE, Stream.REPORT, Stream.PRICE}) == 5


def test_the_package_makes_seeds_of_streams_in_one_place_only():
    package = Path(strategy.__file__).parent
    made = [
        p.name for p in package.rglob("*.py") if re.search(r"seed \* 10\b", p.read_text(encoding="utf-8"))
    ]
    assert made == ["points.py"]


@pytest.fixture
def kept_in(tmp_path, monkeypatch):
    """An empty folder for deviates, as of a first command on a machine."""
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))
    points._folder.cache_clear()
    yield tmp_path
    points._folder.cache_clear()


def test_deviates_are_kept_and_read_back_to_the_digit(kept_in, monkeypatch):
    made = points._deviates(64, 11)
    (file,) = kept_in.rglob("64-11.npy")
    assert np.array_equal(np.load(file), made)
    monkeypatch.setattr(points, "_made", None)  # nothing is made again
    assert np.array_equal(points._deviates(64, 11), made)


@pytest.mark.parametrize("content", [b"", b"not an array", b"half"])
def test_a_broken_file_of_deviates_is_made_again(kept_in, content):
    made = points._deviates(32, 12)
    (file,) = kept_in.rglob("32-12.npy")
    whole = file.read_bytes()
    file.write_bytes(whole[: len(whole) // 2] if content == b"half" else content)
    assert np.array_equal(points._deviates(32, 12), made)
    assert file.read_bytes() == whole


def test_where_nothing_can_be_kept_points_are_made_all_the_same(monkeypatch):
    monkeypatch.setattr(points, "_folder", lambda: None)
    assert points._deviates(16, 3).shape == (16, 4)
