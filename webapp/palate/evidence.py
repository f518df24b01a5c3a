"""Normal regression with style effects, for all points of the hyperparameter grid at once.

The style effects are integrated out exactly (their block of the normal matrix is diagonal), so a grid point
costs one small Cholesky factor, and the tastings are only passed over once, to take sums.
Formulas: Bayesian linear model and marginal likelihood, e.g. Bishop 2006, section 3.5 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp

from .prior import Grid
from .world import Floats, Ints


@dataclass(frozen=True)
class Sums:
    """Weighted sums over tastings: features have P columns, styles are the T tasted ones."""

    n: float
    log_weight: float
    ff: Floats
    fy: Floats
    yy: float
    style_n: Floats
    style_f: Floats
    style_y: Floats


@dataclass(frozen=True)
class Mixture:
    """Normal posteriors of beta at Q grid points: weight (Q,), mean (Q, P), covariance (Q, P, P)."""

    weight: Floats
    mean: Floats
    cov: Floats
    grid: Grid


def take_sums(features: Floats, liking: Floats, weight: Floats, slot: Ints, slots: int) -> Sums:
    """One pass over n tastings; slot (n,) numbers the tasted styles, -1 for no style."""
    weighted = features * weight[:, None]
    styled = slot >= 0
    style_f = np.zeros((slots, features.shape[1]))
    np.add.at(style_f, slot[styled], weighted[styled])
    return Sums(
        n=float(len(liking)),
        log_weight=float(np.log(weight).sum()),
        ff=weighted.T @ features,
        fy=weighted.T @ liking,
        yy=float(weight @ liking**2),
        style_n=np.bincount(slot[styled], weight[styled], minlength=slots),
        style_f=style_f,
        style_y=np.bincount(slot[styled], (weight * liking)[styled], minlength=slots),
    )


def style_shrinkage(sums: Sums, grid: Grid) -> Floats:
    """(Q, T): effect of a style = this times the sum of its residuals."""
    var = grid.style_sd[:, None] ** 2
    return np.asarray(var / (grid.noise[:, None] ** 2 + sums.style_n * var))


def solve(sums: Sums, grid: Grid, prior: tuple[Floats, Floats], slope_precision: Floats,
          slope_shift: Floats) -> Mixture:
    """Posterior of beta and weight of every grid point.

    slope_precision (P, P) and slope_shift (P,): what the just-right marks add to the normal equations.
    """
    shrink, noise_var = style_shrinkage(sums, grid), grid.noise**2
    mean, var = prior
    held = np.einsum("qt,ti,tj->qij", shrink, sums.style_f, sums.style_f, optimize=True)
    precision = (sums.ff - held) / noise_var[:, None, None] + slope_precision
    diagonal = np.arange(len(sums.fy))
    precision[:, diagonal, diagonal] += 1 / var
    pull = (sums.fy - (shrink * sums.style_y) @ sums.style_f) / noise_var[:, None]
    pull = pull + mean / var + slope_shift
    root = np.linalg.cholesky(precision)
    cov = np.linalg.inv(precision)
    beta = (cov @ pull[:, :, None])[:, :, 0]
    log_det = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(1)
    squares = (sums.yy - shrink @ sums.style_y**2) / noise_var
    ratio = grid.style_sd[:, None] ** 2 / noise_var[:, None]
    log_noise = sums.n * np.log(noise_var) + np.log1p(sums.style_n * ratio).sum(1) - sums.log_weight
    score = grid.log_weight - 0.5 * (
        squares + log_noise + np.log(var).sum(1) + (mean**2 / var).sum(1) + log_det
        - (beta * pull).sum(1))
    return Mixture(np.exp(score - logsumexp(score)), beta, cov, grid)


def collapse(mixture: Mixture) -> tuple[Floats, Floats]:
    """Mean (P,) and covariance (P, P) of the whole mixture."""
    mean = mixture.weight @ mixture.mean
    apart = mixture.mean - mean
    cov = np.einsum("q,qij->ij", mixture.weight, mixture.cov)
    return mean, cov + (apart * mixture.weight[:, None]).T @ apart


@dataclass(frozen=True)
class StyleEffects:
    """Own effects of the T tasted styles: mean (T,), covariance (T, T), with beta (T, P)."""

    mean: Floats
    var: Floats
    with_beta: Floats


def style_effects(sums: Sums, mixture: Mixture, beta: Floats) -> StyleEffects:
    """Moments of the style effects over the whole mixture, given its collapsed mean beta (P,)."""
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
