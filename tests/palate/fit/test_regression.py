import numpy as np
import pytest
from scipy.stats import multivariate_normal
from sklearn.linear_model import BayesianRidge, Ridge

from tests.palate.examples import solved
from webapp.palate.fit import observations, regression
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.prior import GROUP_SHARE, LEVEL, LEVEL_SD, Grid
from webapp.palate.fit.regression import accumulate, moments, style_effects
from webapp.palate.fit.relevance_ep import Factors

K, N, T = 2, 30, 3


def problem(seed=0):
    """Return features (intercept, 2 linear, 2 quadratic, 1 group), answers and style indices."""
    rng = np.random.default_rng(seed)
    slot = rng.integers(0, T, N)
    features = np.hstack([np.ones((N, 1)), rng.normal(size=(N, 2 * K)), np.ones((N, 1))])
    liking = features[:, :3] @ [5.0, 1.0, -0.5] + rng.normal(0, 1, N) + 0.5 * slot
    answers = average_repeats(features, liking, np.ones(N), slot, np.arange(N))
    return features, liking, slot, accumulate(answers, T)


def grid_of(*points):
    signal, style_sd, noise = np.array(points, dtype=float).T
    return Grid(signal, style_sd, noise, np.full(len(points), 0.6), np.zeros(len(points)))


def flat_factors(q, precision):
    block = np.zeros((q, K, 2, 2))
    block[:, :, 0, 0] = block[:, :, 1, 1] = precision
    log_norm = np.full(q, K * np.log(precision))
    return Factors(block, np.zeros((q, K, 2)), log_norm)


def prior_var(style_sd, precision):
    spread = np.full(2 * K, 1 / precision)
    return np.r_[LEVEL_SD**2, spread, (GROUP_SHARE * style_sd) ** 2]


def test_weights_of_grid_points_are_the_marginal_likelihoods():
    """Compare with the normal marginal of a linear model (Bishop 2006, 2.3.3; from memory)."""
    features, liking, slot, sums = problem()
    points = [(1, 0.4, 1.0), (1, 0.8, 0.7), (1, 0.2, 1.5)]
    found = solved(sums, grid_of(*points), flat_factors(3, 0.8))
    together = (slot[:, None] == slot).astype(float)
    log_marginal = [
        multivariate_normal(
            np.full(N, LEVEL),
            features * prior_var(sd, 0.8) @ features.T + sd**2 * together + noise**2 * np.eye(N),
        ).logpdf(liking)
        for _, sd, noise in points
    ]
    expected = np.exp(log_marginal - np.max(log_marginal))
    assert found.weight == pytest.approx(expected / expected.sum(), rel=1e-8)


def test_integrated_style_effects_equal_columns_of_their_own():
    """Compare with scikit-learn Ridge on whitened columns, which has the same posterior mean."""
    features, liking, slot, sums = problem(1)
    sd, noise, precision = 0.7, 0.9, 1.3
    found = solved(sums, grid_of((1, sd, noise)), flat_factors(1, precision))
    effects = style_effects(sums, found, moments(found)[0])
    columns = np.hstack([features, np.eye(T)[slot]])
    root = np.sqrt(np.r_[prior_var(sd, precision), np.full(T, sd**2)])
    ridge = Ridge(alpha=noise**2, fit_intercept=False).fit(columns * root, liking - LEVEL)
    beta = ridge.coef_ * root
    beta[0] += LEVEL
    assert found.mean[0] == pytest.approx(beta[:6], rel=1e-6)
    assert effects.mean == pytest.approx(beta[6:], rel=1e-6)
    cov = np.linalg.inv(columns.T @ columns / noise**2 + np.diag(1 / root**2))
    assert found.cov[0] == pytest.approx(cov[:6, :6], rel=1e-6)
    assert effects.var == pytest.approx(np.diag(cov)[6:], rel=1e-6)
    assert effects.with_beta == pytest.approx(cov[6:, :6], rel=1e-6)


def test_at_its_own_hyperparameters_bayesian_ridge_agrees(monkeypatch):
    """Compare with coef_ and sigma_ of scikit-learn BayesianRidge at its alpha_ and lambda_."""
    features, liking, _, _ = problem(2)
    core = features[:, :5]
    theirs = BayesianRidge(fit_intercept=False).fit(core, liking)
    monkeypatch.setattr(regression, "LEVEL", 0.0)
    monkeypatch.setattr(regression, "LEVEL_SD", theirs.lambda_**-0.5)
    answers = average_repeats(core, liking, np.ones(N), np.full(N, -1), np.arange(N))
    grid = grid_of((1, 0.4, theirs.alpha_**-0.5))
    factors = flat_factors(1, theirs.lambda_)
    found = solved(accumulate(answers, 0), grid, factors)
    assert found.mean[0] == pytest.approx(theirs.coef_, rel=1e-4)
    assert found.cov[0] == pytest.approx(theirs.sigma_, rel=1e-4)


def test_mixture_keeps_mean_and_variance():
    _, _, _, sums = problem()
    found = solved(sums, grid_of((1, 0.4, 1), (1, 1.5, 2)), flat_factors(2, 0.5))
    mean, cov = moments(found)
    second = sum(
        w * (c + np.outer(m, m))
        for w, m, c in zip(found.weight, found.mean, found.cov, strict=True)
    )
    assert cov == pytest.approx(second - np.outer(mean, mean), abs=1e-9)


def test_repeats_of_one_bottle_are_averaged():
    n = 1000
    features, slot = np.ones((n, 1)), np.zeros(n, dtype=int)
    liking = np.tile([6.0, 8.0], n // 2)
    one = average_repeats(features, liking, np.ones(n), slot, np.zeros(n, dtype=int))
    assert one.liking.tolist() == [7.0]
    assert one.weight[0] < 1 / observations.BOTTLE_SHARE
    assert one.n == n
    apart = average_repeats(features, liking, np.ones(n), slot, np.arange(n))
    assert apart.weight.tolist() == [1.0] * n
    assert apart.within == 0
