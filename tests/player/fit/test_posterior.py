"""The arithmetic of few balls against scipy: multivariate t, inverse Wishart (Gelman et al. 2013, 3.6)."""

import numpy as np
import pytest
from scipy import stats

from strategy.player.fit.posterior import (
    FREEDOM,
    MEAN_BALLS,
    added,
    balls_to_tell,
    freedom_for,
    inverse_wishart,
    log_evidence,
    prior,
    relative_error,
    update,
)
from strategy.player.fit.robust import t_density

COVARIANCE = np.array([[25.0, 4.0], [4.0, 36.0]])


@pytest.fixture
def balls():
    return np.random.default_rng(2).multivariate_normal([2.0, -1.0], COVARIANCE, 11)


def test_the_mean_covariance_is_that_of_scipys_inverse_wishart(balls):
    after = update(prior(COVARIANCE), balls, np.ones(11))
    theirs = stats.invwishart(df=after.freedom, scale=after.scale)
    assert after.covariance == pytest.approx(theirs.mean())
    assert after.freedom == FREEDOM + 11
    assert after.balls == MEAN_BALLS + 11


def test_the_error_of_a_scatter_is_that_of_scipys_inverse_wishart(balls):
    """Relative standard error of a standard deviation, from scipy's variance of the variance, delta "
    "method."""
    after = update(prior(COVARIANCE), balls, np.ones(11))
    theirs = stats.invwishart(df=after.freedom, scale=after.scale)
    assert after.scatter_error == pytest.approx(0.5 * np.sqrt(theirs.var()[0, 0]) / theirs.mean()[0, 0])


def test_the_next_ball_is_scipys_multivariate_t(balls):
    after = update(prior(COVARIANCE), balls, np.ones(11))
    freedom, scale = after.next_ball
    at = np.random.default_rng(3).normal(0, 15, (50, 2))
    theirs = stats.multivariate_t(after.mean, scale, df=freedom)
    assert t_density(at - after.mean, freedom, scale) == pytest.approx(theirs.pdf(at))


def test_the_next_ball_is_a_normal_mixed_over_the_posterior(balls):
    """The t density is the mean of normal densities over 40,000 draws of mean and covariance, to 2 %."""
    after = update(prior(COVARIANCE), balls, np.ones(11))
    drawn = stats.invwishart(df=after.freedom, scale=after.scale).rvs(40_000, random_state=4)
    z = np.random.default_rng(5).standard_normal((40_000, 2))
    means = after.mean + np.einsum("dij,dj->di", np.linalg.cholesky(drawn / after.balls), z)
    freedom, scale = after.next_ball
    for at in ([0.0, 0.0], [8.0, 5.0], [-9.0, 12.0]):
        off = np.asarray(at) - means
        distance = np.einsum("di,dij,dj->d", off, np.linalg.inv(drawn), off)
        mixed = np.mean(np.exp(-0.5 * distance) / (2.0 * np.pi * np.sqrt(np.linalg.det(drawn))))
        assert t_density(np.asarray(at) - after.mean, freedom, scale) == pytest.approx(mixed, rel=0.02)


def test_evidence_is_the_product_of_predictions_of_scipys_t(balls):
    """By the chain rule the evidence is the density of each ball after those before it; two priors "
    "differ so."""
    found, chained = [], []
    for freedom in (7.0, 30.0):
        before = prior(COVARIANCE, freedom)
        total, about = added(balls, np.ones(11))
        found.append(float(log_evidence(COVARIANCE, np.array([freedom]), np.array([total]), about[None])[0]))
        total = 0.0
        for n, ball in enumerate(balls):
            now = update(before, balls[:n], np.ones(n))
            degrees, scale = now.next_ball
            total += stats.multivariate_t(now.mean, scale, df=degrees).logpdf(ball)
        chained.append(total)
    assert found[1] - found[0] == pytest.approx(chained[1] - chained[0])


def test_a_ball_of_no_weight_says_nothing(balls):
    weight = np.r_[np.ones(10), 0.0]
    one, other = update(prior(COVARIANCE), balls, weight), update(prior(COVARIANCE), balls[:10], np.ones(10))
    assert one.scale == pytest.approx(other.scale)
    assert one.mean == pytest.approx(other.mean)


def test_balls_that_tell_are_those_of_the_numerics_note():
    """Section 12: 10 % takes 865 balls of each shot, 20 % 237, 30 % 115 (80 % power)."""
    assert [balls_to_tell(r) for r in (1.1, 1.2, 1.3)] == [865, 237, 115]


def test_balls_that_tell_do_tell():
    """Simulated: of 2,000 pairs of shots of which one scatters 20 % more, 80 % are told apart (±3 %)."""
    n = balls_to_tell(1.2)
    rng = np.random.default_rng(6)
    ratio = np.log(1.2 * rng.normal(size=(2000, n)).std(axis=1, ddof=1)) - np.log(
        rng.normal(size=(2000, n)).std(axis=1, ddof=1)
    )
    assert np.mean(ratio > 1.96 / np.sqrt(n - 1)) == pytest.approx(0.8, abs=0.03)


def test_freedom_for_an_error_has_that_error():
    assert relative_error(freedom_for(0.07)) == pytest.approx(0.07)


def test_draws_of_spreads_are_those_of_scipys_inverse_wishart():
    """20,000 draws against scipy's by Kolmogorov and Smirnov; one degree of freedom more fails."""
    rng, scipys = np.random.default_rng(3), np.random.default_rng(4)
    theirs = stats.invwishart(df=15, scale=np.eye(2)).rvs(20_000, random_state=scipys)
    parts = {
        "side": lambda d: d[:, 0, 0],
        "depth": lambda d: d[:, 1, 1],
        "both": lambda d: d[:, 0, 1] / np.sqrt(d[:, 0, 0] * d[:, 1, 1]),
        "size": np.linalg.det,
    }
    chance = {}
    for freedom in (15, 16):
        ours = inverse_wishart(freedom, 20_000, rng)
        assert np.allclose(ours, np.swapaxes(ours, 1, 2))
        chance[freedom] = [stats.ks_2samp(part(ours), part(theirs)).pvalue for part in parts.values()]
    assert min(chance[15]) > 0.001
    assert min(chance[16]) < 1e-6
