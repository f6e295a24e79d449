"""Simulated players, as section 12 of the numerics note has them, and how a fit does on them.

Twelve clubs from 60 to 285 yd, side 4.6 % and depth 5.8 % of the carry, between clubs a log standard
deviation of 0.15 on each axis. What is measured of a fit, over all clubs of all players:

- coverage: the share of further balls inside the smallest region that should hold 50 and 90 % of them;
- aim regret: strokes lost by aiming where the fit says, at a green with water on the right and sand on the
left;
- bias: what the fit expects there less what is true.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.player.fit.robust import Mishits, ShotBalls, ShotFit, fit_shots
from strategy.units import YARD_M

CARRIES_YD: Final = np.linspace(60.0, 285.0, 12)
SIDE, DEPTH, BETWEEN = 0.046, 0.058, 0.15
GRID_YD: Final = 2.0
HALF: Final = 64  # cells each way
Density = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Truth:
    """One shot as it truly is; lengths in yards.

    Attributes
    ----------
    kind : str
        "normal", "t", "mishits" or "slices".
    """

    carry: float
    sd: np.ndarray
    kind: str

    def balls(self, n: int, rng: np.random.Generator) -> np.ndarray:
        """Where n balls come down (n, 2)."""
        z = rng.standard_normal((n, 2))
        if self.kind == "t":
            # The same standard deviations as the others have.
            z *= np.sqrt(4.0 / rng.chisquare(6.0, (n, 1)))
        x = z * self.sd
        if self.kind == "mishits":
            x = np.where(rng.random((n, 1)) < 0.04, 2.5 * x + (0.0, -0.16 * self.carry), x)
        if self.kind == "slices":
            x = np.where(rng.random((n, 1)) < 0.08, 1.5 * x + (0.12 * self.carry, -0.05 * self.carry), x)
        return x


def player(kind: str, rng: np.random.Generator) -> list[Truth]:
    factors = np.exp(BETWEEN * rng.standard_normal((len(CARRIES_YD), 2)))
    return [
        Truth(float(c), np.array([SIDE, DEPTH]) * c * f, kind)
        for c, f in zip(CARRIES_YD, factors, strict=True)
    ]


@dataclass(frozen=True)
class Result:
    """Means over all clubs of all players, and their standard errors by players."""

    cover_50: float
    cover_90: float
    regret: float
    bias: float
    errors: tuple[float, float, float, float]


def cells() -> np.ndarray:
    """Middles of the cells (2 HALF, 2 HALF, 2), the first index sideways. [yd]"""
    at = (np.arange(-HALF, HALF) + 0.5) * GRID_YD
    return np.stack(np.meshgrid(at, at, indexing="ij"), axis=-1)


def strokes() -> np.ndarray:
    """Strokes to hole out over the cells, the hole near the right edge of a guarded green."""
    x, y = np.moveaxis(cells(), -1, 0)
    inside = (x / 14.0) ** 2 + (y / 15.0) ** 2
    hole = np.hypot(x - 8.0, y - 3.0)
    putts = np.interp(hole, [0.5, 1.0, 3.0, 5.0, 10.0, 20.0, 30.0], [1.0, 1.04, 1.5, 1.78, 1.98, 2.21, 2.4])
    off = np.interp(hole, [2.0, 10.0, 20.0, 40.0, 60.0, 100.0], [2.15, 2.35, 2.5, 2.65, 2.72, 2.8])
    value = np.where(inside < 1.0, putts, off + np.where(np.abs(y) < 40.0, 0.15, 0.0))
    value = np.where((inside >= 1.0) & (x < -12.0) & (x > -24.0) & (np.abs(y) < 14.0), off + 0.35, value)
    return np.where((x > 18.0) & (x < 60.0), 3.6, value)


VALUE = strokes()
_SPECTRUM = np.fft.rfft2(VALUE)


def expected(density: np.ndarray) -> np.ndarray:
    """Expected strokes of every aim, from the density of balls about it over the cells."""
    # The aim is the corner in the middle of the cells; beyond the map the field goes round, far from the
    # green.
    weight = density / density.sum()
    found = np.fft.irfft2(_SPECTRUM * np.conj(np.fft.rfft2(weight)), s=VALUE.shape)
    return np.roll(found, (HALF, HALF), axis=(0, 1))[HALF - 12 : HALF + 12, HALF - 12 : HALF + 12]


def true_density(truth: Truth, off: np.ndarray | float = 0.0) -> np.ndarray:
    x = cells() - off

    def normal(mean, sd):
        return np.exp(-0.5 * (((x - mean) / sd) ** 2).sum(-1)) / np.prod(sd)

    if truth.kind == "t":
        scale = truth.sd * np.sqrt(4.0 / 6.0)
        return (1.0 + ((x / scale) ** 2).sum(-1) / 6.0) ** -4.0
    core = normal((0.0, 0.0), truth.sd)
    if truth.kind == "mishits":
        return 0.96 * core + 0.04 * normal((0.0, -0.16 * truth.carry), 2.5 * truth.sd)
    if truth.kind == "slices":
        return 0.92 * core + 0.08 * normal((0.12 * truth.carry, -0.05 * truth.carry), 1.5 * truth.sd)
    return core


Estimator = Callable[
    [list[np.ndarray]], list[tuple[Density, Callable[[int, np.random.Generator], np.ndarray]]]
]


def pooled(balls: list[np.ndarray]):
    """The fit of the program, in yards."""
    return robust(balls, pool=True)


def robust(balls: list[np.ndarray], *, pool: bool = True, narrower: float = 1.0):
    """The fit; `narrower` breaks it for the test that has to fail."""
    shots = [
        ShotBalls(x * YARD_M, c * YARD_M, (SIDE * c * YARD_M, DEPTH * c * YARD_M))
        for x, c in zip(balls, CARRIES_YD, strict=True)
    ]
    return [_of(fit, narrower) for fit in fit_shots(shots, Mishits(), pool=pool)]


def _of(fit: ShotFit, narrower: float):
    middle = fit.posterior.mean / YARD_M

    def density(x):
        return fit.next_ball((middle + (x - middle) / narrower) * YARD_M)

    def draw(n, rng):
        freedom, scale = fit.posterior.next_ball
        z = rng.standard_normal((n, 2)) @ np.linalg.cholesky(scale / YARD_M**2).T
        z /= np.sqrt(rng.chisquare(freedom, (n, 1)) / freedom)
        short = (0.0, -fit.mishits.short * fit.carry_m / YARD_M)
        z = np.where(rng.random((n, 1)) < fit.share, fit.mishits.scale * z + short, z)
        return middle + narrower * z

    return density, draw


def measure_oracle(n: int, players: int, *, seed: int) -> tuple[float, float]:
    """Aim regret and its error of who knows every scatter and every mishit, and guesses means alone."""
    rng = np.random.default_rng([seed, n, players])
    regrets = []
    for _ in range(players):
        for truth in player("normal", rng):
            off = truth.balls(n, rng).sum(axis=0) / (n + 2.0)
            real = expected(true_density(truth))
            said = expected(true_density(truth, off))
            regrets.append(real[np.unravel_index(np.argmin(said), said.shape)] - real.min())
    each = np.reshape(regrets, (players, -1)).mean(axis=1)
    return float(each.mean()), float(each.std(ddof=1) / np.sqrt(players))


def sample_covariance(balls: list[np.ndarray]):
    """Mean and covariance of the balls: what one would do without thinking."""
    found = []
    for x in balls:
        mean, root = x.mean(axis=0), np.linalg.cholesky(np.cov(x.T))
        inverse = np.linalg.inv(root @ root.T)

        def density(at, mean=mean, inverse=inverse):
            return np.exp(-0.5 * np.einsum("...i,ij,...j->...", at - mean, inverse, at - mean))

        def draw(n, rng, mean=mean, root=root):
            return mean + rng.standard_normal((n, 2)) @ root.T

        found.append((density, draw))
    return found


def measure(
    kind: str, n: int, players: int, estimator: Estimator = pooled, *, seed: int, aims: bool = True
) -> Result:
    """How an estimator does on simulated players of n balls a shot."""
    rng = np.random.default_rng([seed, n, players])
    rows = []
    for _ in range(players):
        shots = player(kind, rng)
        found = estimator([shot.balls(n, rng) for shot in shots])
        for truth, (density, draw) in zip(shots, found, strict=True):
            levels = np.quantile(density(draw(1500, rng)), [0.5, 0.1])
            inside = density(truth.balls(1500, rng))[:, None] >= levels
            row = [*inside.mean(axis=0), 0.0, 0.0]
            if aims:
                real, said = expected(true_density(truth)), expected(density(cells()))
                at = np.unravel_index(np.argmin(said), said.shape)
                row[2:] = real[at] - real.min(), said[at] - real[at]
            rows.append(row)
    by_player = np.reshape(rows, (players, -1, 4)).mean(axis=1)
    errors = by_player.std(axis=0, ddof=1) / np.sqrt(players)
    return Result(*(float(v) for v in by_player.mean(axis=0)), tuple(float(e) for e in errors))
