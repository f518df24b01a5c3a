"""The shortcuts of the fit: a likelihood computed once, and weights without posteriors."""

from __future__ import annotations

import numpy as np
import pytest

from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.prior import curvature_prior, full_grid
from webapp.palate.fit.regression import Sums, accumulate, likelihood, solve
from webapp.palate.fit.relevance_ep import first_factors

K, N = 2, 40


def sums() -> Sums:
    rng = np.random.default_rng(6)
    slot = rng.integers(0, 3, N)
    features = np.hstack([np.ones((N, 1)), rng.normal(size=(N, 2 * K)), np.ones((N, 1))])
    liking = rng.uniform(1, 9, N)
    return accumulate(average_repeats(features, liking, np.ones(N), slot, np.arange(N)), 3)


def test_shortcuts_of_the_fit_give_the_same_weights() -> None:
    answers, grid = sums(), full_grid(True, curvature_prior(3.0, N))
    factors = first_factors(grid, K)
    none = np.zeros((6, 6)), np.zeros(6)
    whole = solve(answers, grid, factors, *none)
    kept = solve(answers, grid, factors, *none, likelihood(answers, grid))
    weights = solve(answers, grid, factors, *none, weights_only=True)
    assert len(grid.noise) == 120
    for found in (kept, weights):
        assert found.weight == pytest.approx(whole.weight, rel=1e-9)
        assert found.mean == pytest.approx(whole.mean)
    assert kept.cov == pytest.approx(whole.cov)
