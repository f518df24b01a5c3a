"""The fit: hyperparameters on a grid, relevance and JAR ratings by expectation propagation."""

from __future__ import annotations

from webapp.palate.fit import jar as just_right
from webapp.palate.fit.prior import Grid, curvature_prior, full_grid, quick_grid, refined_grid
from webapp.palate.fit.regression import (
    Known,
    Likelihood,
    Mixture,
    Sums,
    answers_over,
    attribute_blocks,
    moments,
    prune,
    solve,
    with_groups,
)
from webapp.palate.fit.relevance_ep import first_factors, next_factors

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
    return _weights(answers_over(sums, grid, k), grid, k).log_evidence


def fit(sums: Sums, marks: just_right.JarMarks, k: int) -> Mixture:
    """Fit the posterior mixture for K attributes."""
    grid, known = _settled_grid(sums, k)
    factors = first_factors(grid, k)
    sites = just_right.no_sites(marks)
    mixture = solve(known, grid, factors)
    link = None
    for step in range(MARK_ROUNDS if len(marks.value) else ROUNDS):
        if len(marks.value):
            sloped = just_right.remove_bias(marks, sites, *moments(mixture))
            if link is None or step < LINK_ROUNDS:
                link = just_right.fit_link(marks, sites, sloped)
            sites = just_right.update_sites(marks, sites, sloped, link, DAMPING)
        factors = next_factors(factors, grid, *attribute_blocks(mixture, k))
        told = factors.plus(*just_right.normal_terms(marks, sites))
        mixture = solve(known, grid, told)
    return with_groups(known, mixture)


def _settled_grid(sums: Sums, k: int) -> tuple[Grid, Known]:
    """Refine the grid where the posterior is narrower than its steps, and drop the negligible."""
    curvature = curvature_prior(sums.overlap, sums.n)
    grid = full_grid(len(sums.style_n) > 0, curvature)
    known = answers_over(sums, grid, k)
    mixture = _weights(known, grid, k)
    for _ in range(REFINEMENTS):
        finer = refined_grid(grid, mixture.weight, curvature)
        if finer is None:
            break
        grid, known = finer, answers_over(sums, finer, k)
        mixture = _weights(known, grid, k)
    keep = prune(mixture, NEGLIGIBLE)
    return grid[keep], known[keep] if isinstance(known, Likelihood) else known


def _weights(known: Known, grid: Grid, k: int) -> Mixture:
    """Return the grid with its weights only, which cost less than the posteriors."""
    return solve(known, grid, first_factors(grid, k), weights_only=True)
