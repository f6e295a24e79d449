"""The fit of spreads: simulated players of section 12 of the numerics note, and scikit-learn's mixture."""

from functools import partial

import numpy as np
import pytest

from strategy.player.fit.posterior import prior
from strategy.player.fit.robust import Mishits, ShotBalls, fit_shot, fit_shots
from tests.player.fit.simulated import Result, measure, measure_oracle, pooled, robust, sample_covariance

NOMINAL = {"normal": 0.04, "mishits": 0.04, "t": 0.06, "slices": 0.06}
PLAYERS = 16


def off_nominal(found: Result) -> float:
    return max(abs(found.cover_50 - 0.5), abs(found.cover_90 - 0.9))


@pytest.mark.slow
@pytest.mark.parametrize("kind", NOMINAL)
@pytest.mark.parametrize("n", [8, 15, 40])
def test_regions_hold_what_they_should(kind, n):
    """16 players of 12 clubs; the standard error of a mean coverage is about 0.009 at 8 balls, 0.005 at "
    "40."""
    found = measure(kind, n, PLAYERS, pooled, seed=17, aims=False)
    assert max(found.errors[:2]) < 0.013
    assert off_nominal(found) < NOMINAL[kind]


@pytest.mark.parametrize("n", [8, 40])
def test_a_broken_estimator_fails_the_coverage_test(n):
    """Regions drawn a sixth too small are seen; so is what one would do without thinking, at 8 balls."""
    narrow = measure("mishits", n, 8, partial(robust, narrower=0.83), seed=17, aims=False)
    assert off_nominal(narrow) > 0.06
    if n == 8:
        assert off_nominal(measure("mishits", n, 8, sample_covariance, seed=17, aims=False)) > 0.06


@pytest.mark.slow
@pytest.mark.parametrize(("n", "regret", "bias"), [(8, 0.027, 0.002), (15, 0.016, 0.003), (40, 0.008, 0.005)])
def test_aims_are_as_good_as_the_numerics_note_has_them(n, regret, bias):
    """Section 12, last row, to 10 % because the note's green is not known, and 3 standard errors of 40
    players.

    On the green here someone who knows every scatter and only guesses the means loses 0.022, 0.015 and 0.008.
    """
    found = measure("mishits", n, 40, pooled, seed=5)
    assert max(found.errors[2:]) < 0.006
    assert found.regret < 1.1 * regret + 3.0 * found.errors[2]
    assert abs(found.bias) < bias + 3.0 * found.errors[3]
    least, error = measure_oracle(n, 40, seed=5)
    assert found.regret < 1.25 * least + 3.0 * error


@pytest.mark.slow
def test_sample_covariance_aims_twice_as_badly():
    """The first row of section 12 has 2.3 times the regret of the last at 8 balls."""
    ours = measure("mishits", 8, 12, pooled, seed=5)
    theirs = measure("mishits", 8, 12, sample_covariance, seed=5)
    assert theirs.regret > 1.6 * ours.regret


def test_a_mixture_is_that_of_scikit_learn():
    """4,000 clean balls, mishits far from the core: share, means and standard deviations as sklearn finds
    them.

    scikit-learn's GaussianMixture fits both components freely. The tolerance is 2 % of a standard deviation
    and 0.003 of share; a share or a scatter of the mishits that is off fails it.
    """
    from sklearn.mixture import GaussianMixture

    rng = np.random.default_rng(8)
    n, carry, sd = 4000, 250.0, np.array([4.0, 5.0])
    x = rng.standard_normal((n, 2)) * sd
    bad = rng.random(n) < 0.06
    x[bad] = 2.5 * x[bad] + (0.0, -0.16 * carry)
    ours = fit_shot(ShotBalls(x, carry, (4.5, 4.5)), prior(np.diag([4.5, 4.5]) ** 2), Mishits())
    theirs = GaussianMixture(
        2, n_init=1, means_init=[[0.0, 0.0], [0.0, -40.0]], weights_init=[0.95, 0.05], random_state=0
    ).fit(x)
    assert ours.share == pytest.approx(theirs.weights_[1], abs=0.003)
    assert ours.posterior.mean == pytest.approx(theirs.means_[0], abs=0.1)
    found = np.sqrt(np.diag(ours.posterior.covariance))
    assert found == pytest.approx(np.sqrt(np.diag(theirs.covariances_[0])), rel=0.02)
    assert np.mean((ours.mishit > 0.5) != (theirs.predict(x) == 1)) < 0.002


def shots(count, n, seed, factor=1.0):
    rng = np.random.default_rng(seed)
    carries = np.linspace(90.0, 250.0, count)
    return [
        ShotBalls(factor * rng.standard_normal((n, 2)) * (0.05 * c, 0.05 * c), c, (0.05 * c, 0.05 * c))
        for c in carries
    ]


def test_a_shot_learns_from_the_others():
    """A player twice as tight as published: after 8 balls a shot is told so by the 96 of the others."""
    tight = shots(12, 8, 1, 0.5)
    alone, together = fit_shots(tight, pool=False), fit_shots(tight)
    ratio = [
        np.mean(
            [np.sqrt(f.posterior.covariance[0, 0]) / s.published[0] for f, s in zip(fits, tight, strict=True)]
        )
        for fits in (alone, together)
    ]
    assert ratio[1] == pytest.approx(0.5, abs=0.05)
    assert ratio[0] > ratio[1] + 0.05


def test_alike_shots_are_pooled_more_than_unlike_ones():
    rng = np.random.default_rng(3)
    unlike = [
        ShotBalls(s.x * np.exp(0.6 * rng.standard_normal(2)), s.carry_m, s.published)
        for s in shots(12, 40, 2)
    ]
    alike = fit_shots(shots(12, 40, 2))
    assert np.mean([f.prior.freedom for f in alike]) > 2.0 * np.mean(
        [f.prior.freedom for f in fit_shots(unlike)]
    )


def test_one_shot_alone_has_the_published_prior():
    (only,) = fit_shots(shots(1, 12, 4))
    assert only.prior.freedom == 7.0
    assert only.prior.covariance == pytest.approx(np.diag([4.5, 4.5]) ** 2)


def test_a_mirrored_log_gives_the_mirrored_fit():
    right = shots(4, 12, 6)
    left = [ShotBalls(s.x * (-1.0, 1.0), s.carry_m, s.published) for s in right]
    for one, other in zip(fit_shots(right), fit_shots(left), strict=True):
        assert one.posterior.mean == pytest.approx(other.posterior.mean * (-1.0, 1.0))
        assert one.posterior.covariance == pytest.approx(other.posterior.covariance * [[1, -1], [-1, 1]])


def test_mishits_are_left_out_of_the_core():
    (shot,) = shots(1, 40, 9)
    topped = np.vstack((shot.x, [(2.0, -60.0), (-5.0, -70.0)]))
    clean, with_tops = (
        fit_shot(ShotBalls(x, 90.0, shot.published), prior(np.diag(shot.published) ** 2.0))
        for x in (shot.x, topped)
    )
    assert with_tops.mishit[-2:] == pytest.approx(1.0, abs=0.01)
    assert with_tops.posterior.covariance == pytest.approx(clean.posterior.covariance, rel=0.03, abs=0.3)
    assert with_tops.share > clean.share
