"""Normal regression with style effects, for all points of the hyperparameter grid at once.

The style effects are integrated out exactly (their block of the normal matrix is diagonal), so a
grid point costs one small Cholesky factorization, and the tastings are read only once, for the
sums. Formulas: Bayesian linear model and marginal likelihood, e.g. Bishop 2006, section 3.5 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import Floats, Ints
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


@dataclass(frozen=True)
class Mixture:
    """Normal posteriors of beta at Q grid points: weight (Q,), mean (Q, P), cov (Q, P, P).

    Without the effects of the groups until `with_groups` adds them. log_evidence, of all answers,
    is up to a constant.
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


def _pairs(grid: Grid) -> tuple[Floats, Ints]:
    """Return the J different pairs (J, 2) of style and noise sd, and the one of each grid point."""
    table = np.column_stack([grid.style_sd, grid.noise])
    pairs, at = np.unique(table, axis=0, return_inverse=True)
    return pairs, at.reshape(-1)


def _shrinkage(sums: Sums, style_var: Floats, noise_var: Floats) -> Floats:
    """Return the factors (J, T): effect of a style = factor * sum of its residuals."""
    var = style_var[:, None]
    return np.asarray(var / (noise_var[:, None] + sums.style_n * var))


@dataclass(frozen=True)
class Likelihood:
    """What the answers and the prior of level and groups add, the effects of groups integrated out.

    It depends on style and noise sd only, which several grid points have in common: at (Q,) is the
    position of each grid point among J such pairs. Of the C = 1 + 2K other coefficients: precision
    (J, C, C), pull (J, C), log score (J,). Of the G groups, given those: mean (J, G) where they are
    0, its decrease (J, G, C) with them, and covariance (J, G, G).
    """

    at: Ints
    precision: Floats
    pull: Floats
    score: Floats
    group_mean: Floats
    group_slope: Floats
    group_cov: Floats

    def __getitem__(self, keep: NDArray[np.bool_]) -> Likelihood:
        return replace(self, at=self.at[keep])


# What the answers tell: the likelihood over the grid, or the bottles themselves if they are few.
Known = Likelihood | Observations


def answers_over(sums: Sums, grid: Grid, k: int) -> Known:
    """Return the bottles if they are few, else the likelihood over the grid."""
    if sums.rows is not None and len(sums.rows.liking):
        return sums.rows
    return likelihood(sums, grid, k)


def likelihood(sums: Sums, grid: Grid, k: int) -> Likelihood:
    """Compute the part of the normal equations that does not change while the prior is refined."""
    pairs, at = _pairs(grid)
    style_var, noise_var = (pairs**2).T
    shrink = _shrinkage(sums, style_var, noise_var)
    size, core = sums.style_f.shape[1], 1 + 2 * k
    # One product with all factors stacked is cheaper than one for each pair.
    scaled = (shrink[:, None] * sums.style_f.T).reshape(len(pairs) * size, len(sums.style_f))
    held = (scaled @ sums.style_f).reshape(len(pairs), size, size)
    precision = (sums.ff - held) / noise_var[:, None, None]
    pull = (sums.fy - (shrink * sums.style_y) @ sums.style_f) / noise_var[:, None]
    squares = (sums.yy - shrink @ sums.style_y**2) / noise_var
    ratio = (style_var / noise_var)[:, None]
    log_noise = sums.n * np.log(noise_var) + np.log1p(sums.style_n * ratio).sum(1)
    precision[:, 0, 0] += 1 / LEVEL_SD**2
    pull[:, 0] += LEVEL / LEVEL_SD**2
    group_var, groups = GROUP_SHARE**2 * style_var, np.arange(core, size)
    precision[:, groups, groups] += 1 / group_var[:, None]
    cov = np.linalg.inv(precision[:, core:, core:]).astype(np.float64)
    slope = cov @ precision[:, core:, :core]
    mean = (cov @ pull[:, core:, None])[:, :, 0]
    log_det = len(groups) * np.log(group_var) - np.linalg.slogdet(cov)[1]
    fit = squares + log_noise + log_det - (mean * pull[:, core:]).sum(1)
    inner = precision[:, :core, :core] - precision[:, :core, core:] @ slope
    return Likelihood(
        at,
        (inner + inner.transpose(0, 2, 1)) / 2,
        pull[:, :core] - (precision[:, :core, core:] @ mean[:, :, None])[:, :, 0],
        -0.5 * fit,
        mean,
        slope,
        cov,
    )


def solve(known: Known, grid: Grid, factors: Factors, weights_only: bool = False) -> Mixture:
    """Compute the posterior of beta and the weight of every grid point.

    factors: normal approximation of the prior of each attribute's (line, bend), with what the JAR
    ratings add. weights_only: leave cov empty.
    """
    if isinstance(known, Observations):
        few = solve_few(known, grid, factors)
        return _mixture(few.score, few.mean, few.cov, grid)
    k = factors.shift.shape[1]
    precision, pull = known.precision[known.at], known.pull[known.at]
    line, bend = 1 + np.arange(k), 1 + k + np.arange(k)
    precision[:, line, line] += factors.precision[:, :, 0, 0]
    precision[:, line, bend] += factors.precision[:, :, 0, 1]
    precision[:, bend, line] += factors.precision[:, :, 0, 1]
    precision[:, bend, bend] += factors.precision[:, :, 1, 1]
    pull[:, line] += factors.shift[:, :, 0]
    pull[:, bend] += factors.shift[:, :, 1]
    root = np.linalg.cholesky(precision)
    if weights_only:
        cov: Floats = np.empty((len(pull), 0, 0))
        beta = np.linalg.solve(precision, pull[:, :, None])[:, :, 0].astype(np.float64)
    else:
        cov = np.linalg.inv(precision).astype(np.float64)
        beta = np.asarray((cov @ pull[:, :, None])[:, :, 0], dtype=np.float64)
    log_det = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(1)
    score = known.score[known.at] - 0.5 * (log_det - (beta * pull).sum(1))
    return _mixture(grid.log_weight + factors.log_correction + score, beta, cov, grid)


def with_groups(known: Known, mixture: Mixture) -> Mixture:
    """Add the effects of the groups to mean and covariance."""
    if isinstance(known, Observations):
        return mixture
    slope = known.group_slope[known.at]
    mean = known.group_mean[known.at] - (slope @ mixture.mean[:, :, None])[:, :, 0]
    cross = slope @ mixture.cov
    own = known.group_cov[known.at] + cross @ slope.transpose(0, 2, 1)
    cov = np.block([[mixture.cov, -cross.transpose(0, 2, 1)], [-cross, own]])
    return replace(mixture, mean=np.hstack([mixture.mean, mean]), cov=cov)


def _mixture(score: Floats, mean: Floats, cov: Floats, grid: Grid) -> Mixture:
    top = float(score.max())
    log_evidence = top + float(np.log(np.exp(score - top).sum()))
    return Mixture(np.exp(score - log_evidence), mean, cov, grid, log_evidence)


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
    grid, weight = mixture.grid, mixture.weight
    pairs, at = _pairs(grid)
    shrink = _shrinkage(sums, *(pairs**2).T)
    each = shrink[at] * (sums.style_y - mixture.mean @ sums.style_f.T)
    mean = weight @ each
    apart, beta_apart = each - mean, mixture.mean - beta
    # Grid points of one pair share the shrinkage, so their covariances are added first.
    share = np.where(at == np.arange(len(pairs))[:, None], weight, 0.0)
    size = len(beta)
    cov = (share @ mixture.cov.reshape(len(at), size * size)).reshape(len(pairs), size, size)
    spread = shrink[:, :, None] * (sums.style_f @ cov)
    var = (share.sum(1) * pairs[:, 1] ** 2) @ shrink
    var += (shrink * (spread * sums.style_f).sum(2)).sum(0) + weight @ apart**2
    return StyleEffects(mean, var, (apart * weight[:, None]).T @ beta_apart - spread.sum(0))
