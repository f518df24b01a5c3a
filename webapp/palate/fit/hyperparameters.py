"""The fit: hyperparameters on a grid, relevance and JAR ratings by expectation propagation."""

from __future__ import annotations

import numpy as np

from webapp.palate.fit import jar as just_right
from webapp.palate.fit.prior import Grid, curvature_prior, full_grid, quick_grid, refined_grid
from webapp.palate.fit.regression import (
    Mixture,
    Sums,
    attribute_blocks,
    likelihood,
    moments,
    prune,
    solve,
)
from webapp.palate.fit.relevance_ep import Factors, first_factors, next_factors

ROUNDS = 4
MARK_ROUNDS = 6
# The link of the marks settles in the first rounds.
LINK_ROUNDS = 3
DAMPING = 0.7
NEGLIGIBLE = 1e-3
REFINEMENTS = 2


def quick_log_evidence(sums: Sums, k: int) -> float:
    """Compute the log evidence of liking over a coarse grid, up to a constant."""
    grid = quick_grid(len(sums.style_n) > 0, curvature_prior(sums.overlap, sums.n))
    return _weights(sums, grid, first_factors(grid, k)).log_evidence


def fit(sums: Sums, marks: just_right.JarMarks, k: int) -> Mixture:
    """Fit the posterior mixture for K attributes."""
    grid = _settled_grid(sums, k)
    factors, size = first_factors(grid, k), len(sums.fy)
    terms = np.zeros((size, size)), np.zeros(size)
    sites = just_right.no_sites(marks)
    known = None if sums.rows is not None else likelihood(sums, grid)
    mixture = solve(sums, grid, factors, *terms, known)
    link = None
    for step in range(MARK_ROUNDS if len(marks.value) else ROUNDS):
        if len(marks.value):
            beta, cov = moments(mixture)
            sloped = just_right.remove_bias(marks, sites, beta, cov, k)
            if link is None or step < LINK_ROUNDS:
                link = just_right.fit_link(marks, sites, sloped)
            sites = just_right.update_sites(marks, sites, sloped, link, DAMPING)
            terms = just_right.normal_terms(marks, sites, k, size)
        factors = next_factors(factors, grid, *attribute_blocks(mixture, k))
        mixture = solve(sums, grid, factors, *terms, known)
    return mixture


def _settled_grid(sums: Sums, k: int) -> Grid:
    """Refine the grid where the posterior is narrower than its steps, and drop the negligible."""
    curvature = curvature_prior(sums.overlap, sums.n)
    grid = full_grid(len(sums.style_n) > 0, curvature)
    mixture = _weights(sums, grid, first_factors(grid, k))
    for _ in range(REFINEMENTS):
        finer = refined_grid(grid, mixture.weight, curvature)
        if finer is None:
            break
        grid = finer
        mixture = _weights(sums, grid, first_factors(grid, k))
    return grid[prune(mixture, NEGLIGIBLE)]


def _weights(sums: Sums, grid: Grid, factors: Factors) -> Mixture:
    """Return the grid with its weights only, which cost less than the posteriors."""
    size = len(sums.fy)
    return solve(sums, grid, factors, np.zeros((size, size)), np.zeros(size), weights_only=True)
