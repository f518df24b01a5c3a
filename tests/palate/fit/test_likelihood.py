"""The shortcuts of the fit: groups integrated out, a likelihood computed once, weights only."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.palate.examples import solved
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.prior import curvature_prior, full_grid
from webapp.palate.fit.regression import Sums, accumulate, likelihood, prune, solve
from webapp.palate.fit.relevance_ep import first_factors

K, N = 2, 40


def sums() -> Sums:
    """Return answers to bottles of three styles, two groups, and a bottle of both groups."""
    rng = np.random.default_rng(6)
    slot = rng.integers(0, 3, N)
    member = np.eye(2)[slot % 2]
    member[0] = 0.5
    features = np.hstack([np.ones((N, 1)), rng.normal(size=(N, 2 * K)), member])
    liking = rng.uniform(1, 9, N)
    return accumulate(average_repeats(features, liking, np.ones(N), slot, np.arange(N)), 3)


def test_weights_alone_match_the_whole_solution() -> None:
    answers, grid = sums(), full_grid(True, curvature_prior(3.0, N))
    factors, known = first_factors(grid, K), likelihood(answers, grid, K)
    whole = solve(known, grid, factors)
    weights = solve(known, grid, factors, weights_only=True)
    assert len(grid.noise) == 120
    assert weights.weight == pytest.approx(whole.weight, rel=1e-9)
    assert weights.mean == pytest.approx(whole.mean)
    assert weights.cov.shape == (120, 0, 0)


def test_likelihood_of_the_retained_points_is_kept() -> None:
    answers, grid = sums(), full_grid(True, curvature_prior(3.0, N))
    known = likelihood(answers, grid, K)
    keep = prune(solve(known, grid, first_factors(grid, K)), 0.1)
    some, factors = grid[keep], first_factors(grid[keep], K)
    assert 1 < len(some.noise) < len(grid.noise)
    found = solve(known[keep], some, factors)
    again = solve(likelihood(answers, some, K), some, factors)
    assert found.weight == pytest.approx(again.weight)
    assert found.cov == pytest.approx(again.cov)


def test_groups_integrated_out_match_columns_of_their_own() -> None:
    """Compare with the regression by bottles, which solves for all coefficients at once."""
    rng = np.random.default_rng(2)
    member = np.eye(2)[rng.integers(0, 2, N)]
    member[:2] = 0.5
    features = np.hstack([np.ones((N, 1)), rng.normal(size=(N, 2 * K)), member])
    slot, liking = rng.integers(-1, 3, N), rng.uniform(1, 9, N)
    rows = average_repeats(features, liking, rng.uniform(0.5, 1, N), slot, np.arange(N))
    answers, grid = accumulate(rows, 3), full_grid(True, curvature_prior(1.0, N))
    factors = first_factors(grid, K)
    found, direct = (solved(replace(answers, rows=kept), grid, factors) for kept in (None, rows))
    assert found.weight == pytest.approx(direct.weight, rel=1e-6)
    assert found.mean == pytest.approx(direct.mean)
    assert found.cov == pytest.approx(direct.cov, abs=1e-9)
