"""Sample points: scrambled Sobol in two strata, core and mishit, the same for every option.

Each ball is three standard normals, side, depth and run, and one exponential deviate: how far it would get
through trees, in mean free ways (`strategy.outcome.trees`). The mishit stratum is sampled for itself and
weighted by the mishit share of the shot, never by a random choice: rare mishits would otherwise
dominate the noise. Seeds are integers, so the same seed gives the same points on every machine.

Every set is its own mirror image: with each ball comes its twin on the other side (antithetic in side). So a
mirrored course and player get the mirrored answer, a symmetric hole a symmetric one, and whatever is odd in
side has no sampling error at all. The half with its side to the left is a net of half the size.

Sources: A. B. Owen, "Scrambling Sobol' and Niederreiter-Xing points", J. Complexity 14:466-489, 1998
(independent scrambles give an honest standard error). J. M. Hammersley, K. W. Morton, "A new Monte Carlo
technique: antithetic variates", Proc. Cambridge Philosophical Society 52(3):449-475, 1956.
"""

from __future__ import annotations

import contextlib
import os
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

import numpy as np

from strategy.arrays import FloatArray
from strategy.compiled import cache_folder
from strategy.errors import RequestError
from strategy.writing import replacing


class Stream(IntEnum):
    """What the points of one decision are drawn for: its seed has ten streams of points, each with its use.

    An answer is judged on other points than it was found with, and counted on others again: the least of
    many noisy values is too low. Two names of one number are uses whose answers are never compared.

    >>> Stream.JUDGE.of(1), Stream.JUDGE.of(2)
    (17, 27)
    """

    SEARCH = 0  # and the next two: finer nets, then polishing
    UNSEEN = 3  # a search for one swing from a lie that is not seen
    WEEKS = 4  # plausible weeks
    MOVE = 5  # prices of aims moved to landmarks
    LEAVES = 5  # and the next two: finer nets of the next shot
    DRAWN = 5  # the outline in a picture
    JUDGE = 7  # strokes as printed
    REPORT = 8  # where the balls of an option finish
    PRICE = 9  # costs of other answers than those judged

    def of(self, seed: int) -> int:
        """Seed of this stream, of a decision with that seed."""
        return seed * 10 + int(self)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Points:
    """K balls of the core and K of the mishit stratum, as deviates.

    Attributes
    ----------
    core, mishit : ndarray (K, 2)
        Side and depth.
    core_run, mishit_run : ndarray (K,)
        Deviate of the run.
    core_pass, mishit_pass : ndarray (K,)
        Exponential deviate.
    """

    core: FloatArray
    mishit: FloatArray
    core_run: FloatArray
    mishit_run: FloatArray
    core_pass: FloatArray
    mishit_pass: FloatArray

    @property
    def size(self) -> int:
        """Balls of each stratum K."""
        return len(self.core)

    @property
    def stacked(self) -> FloatArray:
        """Core then mishit as one (2 K, 4) array: side, depth, run, way through trees."""
        return np.vstack(
            (
                np.column_stack((self.core, self.core_run, self.core_pass)),
                np.column_stack((self.mishit, self.mishit_run, self.mishit_pass)),
            )
        )

    @staticmethod
    def of(core: FloatArray, mishit: FloatArray) -> Points:
        """Points from two (K, 4) arrays of deviates, as `stacked` gives them."""
        return Points(
            core=core[:, :2], mishit=mishit[:, :2], core_run=core[:, 2], mishit_run=mishit[:, 2],
            core_pass=core[:, 3], mishit_pass=mishit[:, 3],
        )  # fmt: skip


@lru_cache(maxsize=256)
def make_points(size: int, seed: int) -> Points:
    """Points of one scramble.

    Parameters
    ----------
    size : int
        Balls of each stratum; a power of two keeps Sobol's balance. One ball flies straight.
    seed : int
        Integer seed; the two strata use independent scrambles.

    Raises
    ------
    ValueError
        If `size` is not a power of two.
    """
    if size < 1 or size & (size - 1):
        raise ValueError(f"{size} points: a Sobol net needs a power of two")
    return Points.of(_deviates(size, 2 * seed), _deviates(size, 2 * seed + 1))


@lru_cache(maxsize=64)
def scrambles(size: int, seed: int, count: int = 16) -> tuple[Points, ...]:
    """Independent scrambles of the same size, for error bars."""
    return tuple(make_points(size, seed * 1_000 + i) for i in range(count))


@lru_cache(maxsize=16)
def merged(size: int, seed: int, count: int) -> Points:
    """The balls of `count` scrambles as one set, for counting where they finish."""
    parts = [p.stacked for p in scrambles(size, seed, count)]
    return Points.of(np.vstack([p[:size] for p in parts]), np.vstack([p[size:] for p in parts]))


def _deviates(size: int, seed: int) -> FloatArray:
    """Side, depth, run, way through trees (size, 4); a ball to the left, then its twin.

    They are made once and kept beside the compiled code: to make them loads half a second of modules.
    """
    folder = _folder()
    file = None if folder is None else folder / f"{size}-{seed}.npy"
    z = None if file is None else _kept(file, size)
    if z is None:
        z = _made(size, seed)
        if file is not None:
            with contextlib.suppress(OSError, RequestError), replacing(file) as new:
                np.save(new, z)
    z.flags.writeable = False
    return z


@lru_cache(maxsize=1)
def _folder() -> Path | None:
    """Where deviates are kept: of this scipy, for another one may scramble otherwise."""
    base = cache_folder(os.environ.get("NUMBA_CACHE_DIR", ""))
    return None if base is None else base / "deviates" / f"scipy-{version('scipy')}"


def _kept(file: Path, size: int) -> FloatArray | None:
    """Deviates that were made before; None where there are none, or the file is not what it should be."""
    try:
        z = np.load(file, allow_pickle=False)
    except (OSError, ValueError, EOFError):
        return None
    return z if z.shape == (size, 4) and z.dtype == np.float64 and np.isfinite(z).all() else None


def _made(size: int, seed: int) -> FloatArray:
    from scipy.special import ndtri
    from scipy.stats import qmc

    net = qmc.Sobol(d=4, scramble=True, rng=np.random.default_rng(seed))
    # Scrambled coordinates may be exactly 0; keep the deviates finite.
    u = np.clip(net.random(max(size // 2, 1)), 1e-12, 1 - 1e-12)
    z = np.column_stack((ndtri(0.5 * u[:, 0]), ndtri(u[:, 1:3]), -np.log1p(-u[:, 3])))
    if size == 1:
        z[:, 0] = 0.0
        return z
    z = np.repeat(z, 2, axis=0)
    z[1::2, 0] *= -1.0
    return z
