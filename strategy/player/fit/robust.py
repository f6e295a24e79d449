r"""The scatter of every shot of a player from few balls: robust, and pooled over the player's shots.

Model. A ball of shot j, whose carry is c, comes down (side, depth) from its target with density

    (1 - e) N(mu, S) + e N(mu + (0, -m c), s^2 S),       e ~ Beta, mean = the usual share, worth 50 balls,

(mu, S) ~ NIW(0, 2, nu, (nu - 3) D P D), where D holds the published standard deviations of a shot of that
carry and level, and P is what this player's scatter is of the published, over all of the player's *other*
shots.

Fit. The share of a mishit in each ball and the posterior are taken in turns, 30 times, from the median. First
every shot stands alone (P = 1, nu = 7). Then for each shot P is the mean over the others, worth of the
published prior included, and nu (how alike the shots of this player are) maximises the evidence of the
others, with a log-normal prior round 18; it is reduced by what is not known of P itself.

Why not the usual estimators: see the numerics note, section 12. Sample covariances, minimum covariance
determinant and free mixtures of 8 to 40 balls all claim more than the balls hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.player.fit.posterior import FREEDOM, Posterior, added, log_evidence, prior, update, weighted

LEAST_BALLS: Final = 8  # fewer say nothing that the published scatter does not
MISHIT_BALLS: Final = 50.0  # balls that the usual share of mishits is worth
ROUNDS: Final = 30
# Taking wide balls for mishits takes a part of the core with them. So much more variance do the cores of a
# player's other shots have than their weighted balls: measured on 120 simulated players of 12 clubs with 8
# balls each (tests/player/fit/simulated.py), whose cores it brings to 90 % coverage from 89 % and bias to 0
# from
# -0.01.
CORE_LOST: Final = 1.04
FREEDOMS: Final = np.exp(np.linspace(np.log(6.0), np.log(80.0), 40))
FREEDOM_MIDDLE: Final = 18.0
FREEDOM_LOG_SD: Final = 0.6  # engineering choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Mishits:
    """Mishits as a player file has them: usual share, how short of the carry, how many times wider."""

    share: float = 0.04
    short: float = 0.16
    scale: float = 2.5


@dataclass(frozen=True, slots=True, eq=False)
class ShotBalls:
    """Balls of one shot.

    Attributes
    ----------
    x : ndarray (n, 2)
        Where they came down, side and depth from the target. [m]
    carry_m : float
        Carry of the shot. [m]
    published : tuple of two floats
        Standard deviations of such a shot at the player's level, side and depth. [m]
    """

    x: FloatArray
    carry_m: float
    published: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class ShotFit:
    """What the balls of one shot say.

    Attributes
    ----------
    posterior : Posterior
        Of mean and covariance of the core. [m]
    share : float
        Share of mishits.
    mishit : ndarray (n,)
        How likely each ball is a mishit.
    prior : Posterior
        What was known before: the published scatter, and the player's other shots.
    carry_m : float
        [m]
    mishits : Mishits
        Of the player file.
    """

    posterior: Posterior
    share: float
    mishit: FloatArray
    prior: Posterior
    carry_m: float
    mishits: Mishits

    def next_ball(self, x: FloatArray) -> FloatArray:
        """Density of the next ball at points (n, 2): a t distribution, and the same for mishits. [1/m²]"""
        freedom, scale = self.posterior.next_ball
        short = np.array([0.0, -self.mishits.short * self.carry_m])
        core = t_density(x - self.posterior.mean, freedom, scale)
        wide = t_density(x - self.posterior.mean - short, freedom, self.mishits.scale**2 * scale)
        return np.asarray((1.0 - self.share) * core + self.share * wide)


def t_density(x: FloatArray, freedom: float, scale: FloatArray) -> FloatArray:
    """Density of a bivariate t distribution about 0 at points (n, 2)."""
    distance = np.einsum("...i,ij,...j->...", x, np.linalg.inv(scale), x)
    root = np.sqrt(np.linalg.det(scale))
    return np.asarray((1.0 + distance / freedom) ** (-(freedom + 2.0) / 2.0) / (2.0 * np.pi * root))


def fit_shot(balls: ShotBalls, before: Posterior, mishits: Mishits = Mishits()) -> ShotFit:
    """Fit one shot with a given prior.

    Parameters
    ----------
    balls : ShotBalls
        At least one ball.
    before : Posterior
        Prior of mean and covariance.
    mishits : Mishits
        Usual share and form of mishits.
    """
    x = balls.x
    middle = np.median(x, axis=0)
    short = np.array([0.0, -mishits.short * balls.carry_m])
    share, covariance = mishits.share, before.covariance
    after, r = before, np.zeros(len(x))
    for _ in range(ROUNDS):
        core = (1.0 - share) * _normal(x - middle, covariance)
        wide = share * _normal(x - middle - short, mishits.scale**2 * covariance)
        r = wide / (core + wide)
        after = update(before, x, 1.0 - r)
        middle, covariance = after.mean, after.covariance
        share = (MISHIT_BALLS * mishits.share + float(r.sum())) / (MISHIT_BALLS + len(x))
    return ShotFit(after, share, r, before, balls.carry_m, mishits)


def _normal(x: FloatArray, covariance: FloatArray) -> FloatArray:
    """Density of a normal distribution about 0 at points (n, 2), never quite 0."""
    distance = ((x @ np.linalg.inv(covariance)) * x).sum(axis=1)
    return np.asarray(np.exp(-0.5 * np.minimum(distance, 1000.0)) / np.sqrt(np.linalg.det(covariance)))


def fit_shots(
    shots: Sequence[ShotBalls], mishits: Mishits = Mishits(), *, pool: bool = True
) -> list[ShotFit]:
    """Fit every shot of a player, each with what the others say of the player.

    Parameters
    ----------
    shots : sequence of ShotBalls
        With at least one ball each.
    mishits : Mishits
        Usual share and form of mishits.
    pool : bool
        Whether shots learn from each other.
    """
    alone = [fit_shot(shot, prior(_published(shot)), mishits) for shot in shots]
    if not pool or len(shots) < 2:
        return alone
    # Weights, means and scatter of each shot in units of its published standard deviations.
    scaled = [shot.x / np.asarray(shot.published) for shot in shots]
    weights = [1.0 - fit.mishit for fit in alone]
    parts = [weighted(x, w) for x, w in zip(scaled, weights, strict=True)]
    both = [added(x, w) for x, w in zip(scaled, weights, strict=True)]
    totals, about = np.array([total for total, _ in both]), np.array([add for _, add in both])
    fits = []
    for j, shot in enumerate(shots):
        others = [i for i in range(len(shots)) if i != j]
        counted = sum(max(parts[i][0] - 1.0, 0.0) for i in others)
        worth = FREEDOM - 3.0
        scatter = CORE_LOST * sum(parts[i][2] for i in others)
        ratio = (worth * np.eye(2) + scatter) / (worth + counted)
        freedom = _freedom(ratio, totals[others], about[others])
        freedom = 1.0 + 1.0 / (1.0 / (freedom - 1.0) + 1.0 / max(counted, 1.0))
        unit = np.diag(shot.published)
        # A few balls of another shot must not make the prior weaker than the published one.
        before = prior(unit @ ratio @ unit, max(freedom, FREEDOM))
        fits.append(fit_shot(shot, before, mishits))
    return fits


def _published(shot: ShotBalls) -> FloatArray:
    return np.diag(np.asarray(shot.published) ** 2)


def _freedom(ratio: FloatArray, totals: FloatArray, about: FloatArray) -> float:
    """How alike shots are: degrees of freedom with the greatest evidence, times a log-normal prior."""
    evidence = log_evidence(ratio, FREEDOMS, totals, about)
    evidence -= 0.5 * (np.log(FREEDOMS / FREEDOM_MIDDLE) / FREEDOM_LOG_SD) ** 2
    return float(FREEDOMS[int(np.argmax(evidence))])
