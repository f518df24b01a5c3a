"""Normal regression with style effects, for all points of the hyperparameter grid at once.

The style effects are integrated out exactly (their block of the normal matrix is diagonal), so a
grid point costs one small Cholesky factorization, and the tastings are read only once, for the
sums. Formulas: Bayesian linear model and marginal likelihood, e.g. Bishop 2006, section 3.5 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import Floats
from webapp.palate.fit.few_bottles import solve_few
from webapp.palate.fit.observations import Observations, sum_by
from webapp.palate.fit.overlap import USUAL_OVERLAP
from webapp.palate.fit.prior import GROUP_SHARE, LEVEL, LEVEL_SD, Grid
from webapp.palate.fit.relevance_ep import Factors

# With so many times more coefficients than bottles, it costs less to factorize by bottles.
FEW = 3


@dataclass(frozen=True)
class Sums:
    """Weighted sums over tastings, of features f (P columns) and liking y.

    n: number of answers; ff (P, P), fy (P,), yy: over all; style_n (T,), style_f (T, P) and
    style_y (T,): over each of the T tasted styles. rows: the bottles themselves, kept if they are
    far fewer than the features. overlap: see `overlap`.
    """

    n: float
    ff: Floats
    fy: Floats
    yy: float
    style_n: Floats
    style_f: Floats
    style_y: Floats
    rows: Observations | None = None
    overlap: float = USUAL_OVERLAP

    @cached_property
    def style_products(self) -> Floats:
        """Return the outer product of each style's features, (T, P * P)."""
        styles, size = self.style_f.shape
        products = self.style_f[:, :, None] * self.style_f[:, None, :]
        return np.asarray(products.reshape(styles, size * size), dtype=float)


@dataclass(frozen=True)
class Mixture:
    """Normal posteriors of beta at Q grid points: weight (Q,), mean (Q, P), cov (Q, P, P).

    log_evidence, of all answers, is up to a constant.
    """

    weight: Floats
    mean: Floats
    cov: Floats
    grid: Grid
    log_evidence: float

    def __getitem__(self, keep: NDArray[np.bool_]) -> Mixture:
        weight = self.weight[keep]
        return Mixture(
            weight / weight.sum(),
            self.mean[keep],
            self.cov[keep],
            self.grid[keep],
            self.log_evidence,
        )


def accumulate(observations: Observations, slots: int, overlap: float = USUAL_OVERLAP) -> Sums:
    """Sum over the bottles in one pass; `slots` is the number of tasted styles."""
    weighted = observations.features * observations.weight[:, None]
    answer = observations.weight * observations.liking
    styled = observations.slot >= 0
    slot = observations.slot[styled]
    style_f = sum_by(slot, weighted[styled], slots)
    return Sums(
        n=float(observations.n),
        ff=weighted.T @ observations.features,
        fy=weighted.T @ observations.liking,
        yy=float(answer @ observations.liking) + observations.within,
        style_n=np.bincount(slot, observations.weight[styled], minlength=slots).astype(float),
        style_f=style_f,
        style_y=np.bincount(slot, answer[styled], minlength=slots).astype(float),
        rows=observations if FEW * len(observations.liking) < len(style_f.T) else None,
        overlap=overlap,
    )


def style_shrinkage(sums: Sums, grid: Grid) -> Floats:
    """Return the factors (Q, T): effect of a style = factor * sum of its residuals."""
    return _shrinkage(sums, grid.style_sd**2, grid.noise**2)


def _shrinkage(sums: Sums, style_var: Floats, noise_var: Floats) -> Floats:
    var = style_var[:, None]
    return np.asarray(var / (noise_var[:, None] + sums.style_n * var))


@dataclass(frozen=True)
class Likelihood:
    """What the answers add at Q grid points: precision (Q, P, P), pull (Q, P), log score (Q,)."""

    precision: Floats
    pull: Floats
    score: Floats


def likelihood(sums: Sums, grid: Grid) -> Likelihood:
    """Compute the part of the normal equations that does not change while the prior is refined."""
    # It depends on noise and style sd only, which several grid points have in common.
    pairs, at = np.unique(np.column_stack([grid.style_sd, grid.noise]), axis=0, return_inverse=True)
    style_var, noise_var = (pairs**2).T
    shrink = _shrinkage(sums, style_var, noise_var)
    size = sums.style_f.shape[1]
    # One product with the stacked outer products is far cheaper than T for every grid point.
    held = (shrink @ sums.style_products).reshape(len(pairs), size, size)
    precision = (sums.ff - held) / noise_var[:, None, None]
    precision = (precision + precision.transpose(0, 2, 1)) / 2
    pull = (sums.fy - (shrink * sums.style_y) @ sums.style_f) / noise_var[:, None]
    squares = (sums.yy - shrink @ sums.style_y**2) / noise_var
    ratio = (style_var / noise_var)[:, None]
    log_noise = sums.n * np.log(noise_var) + np.log1p(sums.style_n * ratio).sum(1)
    at = at.reshape(-1)
    return Likelihood(precision[at], pull[at], -0.5 * (squares + log_noise)[at])


def solve(
    sums: Sums,
    grid: Grid,
    factors: Factors,
    slope_precision: Floats,
    slope_shift: Floats,
    known: Likelihood | None = None,
    weights_only: bool = False,
) -> Mixture:
    """Compute the posterior of beta and the weight of every grid point.

    factors: normal approximation of the prior of each attribute's (line, bend). slope_precision
    (P, P) and slope_shift (P,): what the JAR ratings add to the normal equations. known: the
    likelihood, if it was computed before for this grid. weights_only: leave cov empty.
    """
    if sums.rows is not None and len(sums.rows.liking):
        few = solve_few(sums.rows, grid, factors, slope_precision, slope_shift)
        return _mixture(few.score, few.mean, few.cov, grid)
    data = known or likelihood(sums, grid)
    prior, pull, log_prior = _prior_terms(grid, factors, len(sums.fy))
    precision = data.precision + prior + slope_precision
    pull = pull + slope_shift + data.pull
    root = np.linalg.cholesky(precision)
    if weights_only:
        cov: Floats = np.empty((len(pull), 0, 0))
        beta = np.linalg.solve(precision, pull[:, :, None])[:, :, 0].astype(np.float64)
    else:
        cov = np.linalg.inv(precision).astype(np.float64)
        beta = np.asarray((cov @ pull[:, :, None])[:, :, 0], dtype=np.float64)
    log_det = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(1)
    fit = log_det - (beta * pull).sum(1)
    return _mixture(grid.log_weight + log_prior + data.score - 0.5 * fit, beta, cov, grid)


def _mixture(score: Floats, mean: Floats, cov: Floats, grid: Grid) -> Mixture:
    top = float(score.max())
    log_evidence = top + float(np.log(np.exp(score - top).sum()))
    return Mixture(np.exp(score - log_evidence), mean, cov, grid, log_evidence)


def _prior_terms(grid: Grid, factors: Factors, size: int) -> tuple[Floats, Floats, Floats]:
    """Return the prior's precision (Q, P, P), precision * mean (Q, P) and log normalizer (Q,)."""
    q, k = factors.shift.shape[:2]
    precision, pull = np.zeros((q, size, size)), np.zeros((q, size))
    precision[:, 0, 0], pull[:, 0] = 1 / LEVEL_SD**2, LEVEL / LEVEL_SD**2
    line, bend, groups = 1 + np.arange(k), 1 + k + np.arange(k), np.arange(1 + 2 * k, size)
    precision[:, line, line] = factors.precision[:, :, 0, 0]
    precision[:, line, bend] = precision[:, bend, line] = factors.precision[:, :, 0, 1]
    precision[:, bend, bend] = factors.precision[:, :, 1, 1]
    pull[:, line], pull[:, bend] = factors.shift[:, :, 0], factors.shift[:, :, 1]
    group_var = (GROUP_SHARE * grid.style_sd) ** 2
    precision[:, groups, groups] = 1 / group_var[:, None]
    return precision, pull, factors.log_correction - 0.5 * len(groups) * np.log(group_var)


def attribute_blocks(mixture: Mixture, k: int) -> tuple[Floats, Floats]:
    """Return mean (Q, K, 2) and covariance (Q, K, 2, 2) of each attribute's (line, bend)."""
    at = np.stack([1 + np.arange(k), 1 + k + np.arange(k)], axis=1)
    return mixture.mean[:, at], mixture.cov[:, at[:, :, None], at[:, None, :]]


def prune(mixture: Mixture, least: float) -> NDArray[np.bool_]:
    """Select the grid points whose weight is at least the share `least` of the largest weight."""
    return np.asarray(mixture.weight >= least * mixture.weight.max())


def moments(mixture: Mixture) -> tuple[Floats, Floats]:
    """Return mean (P,) and covariance (P, P) of the whole mixture."""
    mean = mixture.weight @ mixture.mean
    apart = mixture.mean - mean
    cov = np.einsum("q,qij->ij", mixture.weight, mixture.cov)
    return mean, cov + (apart * mixture.weight[:, None]).T @ apart


@dataclass(frozen=True)
class StyleEffects:
    """Effects of the T tasted styles: mean (T,), variance (T,), covariance with beta (T, P)."""

    mean: Floats
    var: Floats
    with_beta: Floats


def style_effects(sums: Sums, mixture: Mixture, beta: Floats) -> StyleEffects:
    """Return the moments of the style effects over the mixture; beta (P,) is its overall mean."""
    shrink, weight = style_shrinkage(sums, mixture.grid), mixture.weight
    each = shrink * (sums.style_y - mixture.mean @ sums.style_f.T)
    mean = weight @ each
    with_beta_each = -shrink[:, :, None] * (sums.style_f @ mixture.cov)
    own = shrink * mixture.grid.noise[:, None] ** 2
    var = own - shrink * (with_beta_each * sums.style_f).sum(2)
    apart, beta_apart = each - mean, mixture.mean - beta
    with_beta = np.einsum("q,qtp->tp", weight, with_beta_each)
    with_beta += (apart * weight[:, None]).T @ beta_apart
    return StyleEffects(mean, weight @ (var + apart**2), with_beta)
