"""The same regression as `regression.solve`, for fewer bottles than coefficients.

It factorizes the covariance of the answers instead of the precision of the coefficients, so that a
world with many attributes costs little while few bottles are rated. Formulas: Rasmussen & Williams
2006, section 2.1 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Floats
from webapp.palate.fit.observations import Observations
from webapp.palate.fit.prior import GROUP_SHARE, LEVEL, LEVEL_SD, Grid
from webapp.palate.fit.relevance_ep import Factors


@dataclass(frozen=True)
class Solution:
    """Posterior of beta at Q grid points: mean (Q, P), cov (Q, P, P), log score (Q,)."""

    mean: Floats
    cov: Floats
    score: Floats


@dataclass(frozen=True)
class _Prior:
    """Prior covariance of beta: 2 x 2 blocks (Q, K, 2, 2), variances of level and groups (Q, G)."""

    block: Floats
    group_var: Floats
    pull: Floats
    log_det: Floats

    def times(self, rows: Floats) -> Floats:
        """Multiply rows (..., P) by the covariance: (Q, ..., P)."""
        k = self.block.shape[1]
        rows = np.broadcast_to(rows, (len(self.block), *rows.shape[-2:]))
        line, bend = rows[:, :, 1 : 1 + k], rows[:, :, 1 + k : 1 + 2 * k]
        block = self.block[:, None]
        return np.concatenate(
            [
                LEVEL_SD**2 * rows[:, :, :1],
                block[..., 0, 0] * line + block[..., 0, 1] * bend,
                block[..., 0, 1] * line + block[..., 1, 1] * bend,
                self.group_var[:, None] * rows[:, :, 1 + 2 * k :],
            ],
            axis=2,
        )


def solve_few(rows: Observations, grid: Grid, factors: Factors) -> Solution:
    """Compute the posterior and the score of every grid point; arguments as in `solve`."""
    prior = _prior(grid, factors, rows.features.shape[1])
    noise_var = grid.noise**2
    before = prior.times(prior.pull[:, None])[:, 0]
    spread = prior.times(rows.features[None])
    same = (rows.slot[:, None] == rows.slot) & (rows.slot >= 0)
    var = spread @ rows.features.T + grid.style_sd[:, None, None] ** 2 * same
    var = var + noise_var[:, None, None] * np.diag(1 / rows.weight)
    gain = np.linalg.solve(var, spread)
    residual = rows.liking - before @ rows.features.T
    mean = before + np.einsum("qmp,qm->qp", gain, residual)
    size = rows.features.shape[1]
    cov = prior.times(np.eye(size)[None]) - np.swapaxes(spread, 1, 2) @ gain
    weighted = np.linalg.solve(var, residual[:, :, None])[:, :, 0]
    fit = (residual * weighted).sum(1) + np.linalg.slogdet(var)[1] + np.log(rows.weight).sum()
    fit = fit + (rows.n - len(rows.liking)) * np.log(noise_var) + rows.within / noise_var
    log_prior = factors.log_correction + prior.log_det / 2 + (before * prior.pull).sum(1) / 2
    score = grid.log_weight + log_prior - 0.5 * fit
    return Solution(mean, (cov + np.swapaxes(cov, 1, 2)) / 2, score)


def _prior(grid: Grid, factors: Factors, size: int) -> _Prior:
    """Invert the prior, with the JAR ratings, which add to the block of each attribute only."""
    q, k = factors.shift.shape[:2]
    pull = np.zeros((q, size))
    pull[:, 0] = LEVEL / LEVEL_SD**2
    pull[:, 1 : 1 + k] = factors.shift[:, :, 0]
    pull[:, 1 + k : 1 + 2 * k] = factors.shift[:, :, 1]
    groups = size - 1 - 2 * k
    group_var = np.tile((GROUP_SHARE * grid.style_sd[:, None]) ** 2, (1, groups))
    # The normalizer of the groups' prior cancels their determinant.
    log_det = 2 * np.log(LEVEL_SD) - np.log(np.linalg.det(factors.precision)).sum(1)
    block = np.linalg.inv(factors.precision).astype(np.float64)
    return _Prior(block, group_var, pull, log_det)
