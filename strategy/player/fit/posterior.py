r"""What n balls say of a bivariate normal scatter: the normal inverse Wishart posterior.

With (mu, S) ~ NIW(0, k0, nu, L0) and balls x of weight w, W = sum w (Gelman et al., Bayesian Data Analysis,
3rd ed. 2013, section 3.6)::

    k = k0 + W,  nu_n = nu + W,  mu_n = sum w x / k,
    L = L0 + sum w (x - xbar)(x - xbar)' + k0 W / k xbar xbar',
    mean of S = L / (nu_n - 3),
    next ball: t with nu_n - 1 degrees of freedom, scale L (k + 1) / (k (nu_n - 1)).

Whoever asks how sure a scatter is, asks here: the fit of practice, and the error of an option.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray

FREEDOM: Final = 7.0  # of the published prior: worth as many balls
MEAN_BALLS: Final = 2.0  # k0: balls that the prior of a mean is worth


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Normal inverse Wishart distribution of a mean and a covariance in two dimensions.

    Attributes
    ----------
    mean : ndarray (2,)
        Of the mean, side and depth. [m]
    balls : float
        Balls that the mean is known from (k).
    freedom : float
        Degrees of freedom of the covariance (nu).
    scale : ndarray (2, 2)
        L. [m²]
    """

    mean: FloatArray
    balls: float
    freedom: float
    scale: FloatArray

    @property
    def covariance(self) -> FloatArray:
        """Mean of the covariance (2, 2). [m²]"""
        return np.asarray(self.scale / (self.freedom - 3.0))

    @property
    def next_ball(self) -> tuple[float, FloatArray]:
        """Degrees of freedom and scale (2, 2) of the t distribution of the next ball. [m²]"""
        freedom = self.freedom - 1.0
        return freedom, np.asarray(self.scale * (self.balls + 1.0) / (self.balls * freedom))

    @property
    def scatter_error(self) -> float:
        """Standard error of a standard deviation, as a share of it.

        A variance is inverse gamma with shape (nu - 1) / 2; half its relative error is that of its root.
        """
        return relative_error(self.freedom)


def relative_error(freedom: float) -> float:
    """Standard error of a standard deviation with these degrees of freedom, as a share of it.

    >>> round(relative_error(FREEDOM + 40), 3)
    0.109
    """
    return 1.0 / math.sqrt(2.0 * max(freedom - 5.0, 0.5))


def freedom_for(error: float) -> float:
    """Degrees of freedom with which a standard deviation has this standard error, as a share of it.

    >>> freedom_for(0.1)
    55.0
    """
    return round(5.0 + 0.5 / error**2, 9)


def balls_to_tell(ratio: float, power_z: float = 0.8416, level_z: float = 1.9600) -> int:
    """Balls of each of two shots that show (power 80 %) that one scatters so many times as much as the other.

    The log of a standard deviation of n balls has variance 1 / (2 (n - 1)).

    >>> balls_to_tell(1.1), balls_to_tell(1.2), balls_to_tell(1.3)
    (865, 237, 115)
    """
    return round(1.0 + (power_z + level_z) ** 2 / math.log(ratio) ** 2)


def prior(covariance: FloatArray, freedom: float = FREEDOM, balls: float = MEAN_BALLS) -> Posterior:
    """The prior whose covariance (2, 2) has this mean, and whose mean is 0."""
    return Posterior(np.zeros(2), balls, freedom, (freedom - 3.0) * np.asarray(covariance, dtype=np.float64))


def update(before: Posterior, x: FloatArray, weight: FloatArray) -> Posterior:
    """The posterior after balls x (n, 2) of some weights (n,); the mean of `before` must be 0. [m]"""
    total, about = added(x, weight, before.balls)
    k = before.balls + total
    return Posterior(
        mean=np.asarray(weight @ x / k), balls=k, freedom=before.freedom + total, scale=before.scale + about
    )


def weighted(x: FloatArray, weight: FloatArray) -> tuple[float, FloatArray, FloatArray]:
    """Sum of weights, weighted mean (2,) and weighted scatter about it (2, 2) of balls (n, 2)."""
    total = float(weight.sum())
    middle = np.asarray(weight @ x / total) if total > 0.0 else np.zeros(2)
    off = x - middle
    return total, middle, np.asarray((weight[:, None] * off).T @ off)


def log_evidence(
    covariance: FloatArray,
    freedom: FloatArray,
    total: FloatArray,
    about: FloatArray,
    balls: float = MEAN_BALLS,
) -> FloatArray:
    """Log of the evidence of m sets of balls for F priors, up to what is the same for all priors (F,).

    Parameters
    ----------
    covariance : ndarray (2, 2)
        Mean covariance of every prior. [m²]
    freedom : ndarray (F,)
        Degrees of freedom of each.
    total : ndarray (m,)
        Sum of weights of each set.
    about : ndarray (m, 2, 2)
        What each set adds to the scale; see `update`. [m²]
    balls : float
        Balls that the prior of the mean is worth.
    """
    nu, n = freedom[:, None], freedom[:, None] + total
    scale = (nu - 3.0)[..., None, None] * covariance
    after = scale + about
    size = np.log(np.linalg.det(scale)), np.log(np.linalg.det(after))
    each = _log_gamma_2(n / 2.0) - _log_gamma_2(nu / 2.0) + nu / 2.0 * size[0] - n / 2.0 * size[1]
    return np.asarray((each + np.log(balls / (balls + total))).sum(axis=1))


def added(x: FloatArray, weight: FloatArray, balls: float = MEAN_BALLS) -> tuple[float, FloatArray]:
    """Sum of weights of balls (n, 2), and what they add to a prior's scale (2, 2); its mean is 0."""
    total, middle, scatter = weighted(x, weight)
    return total, np.asarray(scatter + balls * total / (balls + total) * np.outer(middle, middle))


def _log_gamma_2(a: FloatArray) -> FloatArray:
    """Log of the gamma function of two dimensions."""
    log_gamma = np.vectorize(math.lgamma, otypes=[float])
    return np.asarray(0.5 * math.log(math.pi) + log_gamma(a) + log_gamma(a - 0.5))


def inverse_wishart(freedom: float, count: int, rng: np.random.Generator) -> FloatArray:
    """Draws (count, 2, 2) of an inverse Wishart distribution whose scale is the unit matrix.

    By the Bartlett decomposition of the Wishart matrix: a triangle of a normal deviate and the roots of two
    chi-squared ones. (`scipy.stats` has it, and takes half a second to load.)
    """
    first, second = np.sqrt(rng.chisquare(freedom, count)), np.sqrt(rng.chisquare(freedom - 1, count))
    below = rng.standard_normal(count)
    # The inverse of the triangle, times its own transpose on the left.
    inverse = np.zeros((count, 2, 2))
    inverse[:, 0, 0], inverse[:, 1, 1] = 1.0 / first, 1.0 / second
    inverse[:, 1, 0] = -below / (first * second)
    return np.asarray(np.swapaxes(inverse, 1, 2) @ inverse)
