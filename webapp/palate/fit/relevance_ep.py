"""Expectation propagation for the prior of each attribute, a mixture over relevance values.

For every grid point and attribute, a 2 x 2 normal factor on (line, bend) approximates the mixture.
Each round divides the factor out, multiplies the mixture in exactly (a sum of R normals) and
matches mean and covariance (Minka 2001). `log_correction` is the difference in log evidence between
mixture and factor.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import Floats
from webapp.palate.fit.prior import Grid, RelevanceMixture, relevance_mixture

DAMPING = 0.8
LEAST_PRECISION = 1e-4


@dataclass(frozen=True)
class Factors:
    """Normal factors: precision (Q, K, 2, 2), shift (Q, K, 2) and log correction (Q,)."""

    precision: Floats
    shift: Floats
    log_correction: Floats

    def __getitem__(self, keep: NDArray[np.bool_]) -> Factors:
        return Factors(self.precision[keep], self.shift[keep], self.log_correction[keep])

    def plus(self, precision: Floats, shift: Floats) -> Factors:
        """Add terms (K, 2, 2) and (K, 2) of each attribute at every grid point."""
        return replace(self, precision=self.precision + precision, shift=self.shift + shift)


def first_factors(grid: Grid, k: int) -> Factors:
    """Return factors with the mean and covariance of the prior mixture."""
    pieces = relevance_mixture(grid)
    mean = pieces.bend.mean(1)
    line_var, bend_var = pieces.line_var.mean(1), pieces.bend_var.mean(1) + pieces.bend.var(1)
    precision, shift = np.zeros((len(mean), k, 2, 2)), np.zeros((len(mean), k, 2))
    precision[:, :, 0, 0], precision[:, :, 1, 1] = 1 / line_var[:, None], 1 / bend_var[:, None]
    shift[:, :, 1] = (mean / bend_var)[:, None]
    log_norm = -0.5 * k * (np.log(line_var * bend_var) + mean**2 / bend_var)
    return Factors(precision, shift, log_norm)


def next_factors(factors: Factors, grid: Grid, mean: Floats, cov: Floats) -> Factors:
    """Do one parallel round; mean (Q, K, 2) and cov (Q, K, 2, 2) are the posterior's blocks."""
    whole = _inverse(cov)
    whole_shift = np.einsum("qkij,qkj->qki", whole, mean)
    cavity, cavity_shift = whole - factors.precision, whole_shift - factors.shift
    log_z, tilted_mean, tilted_cov = _tilt(relevance_mixture(grid), cavity, cavity_shift)
    log_whole = 0.5 * ((whole_shift * mean).sum(2) - np.log(_det(whole)))
    precision = _inverse(tilted_cov)
    shift = np.einsum("qkij,qkj->qki", precision, tilted_mean) - cavity_shift
    precision = precision - cavity
    is_positive_definite = (_det(precision) > LEAST_PRECISION**2) & (
        precision[:, :, 0, 0] > LEAST_PRECISION
    )
    step = DAMPING * is_positive_definite[:, :, None]
    return Factors(
        factors.precision + step[..., None] * (precision - factors.precision),
        factors.shift + step * (shift - factors.shift),
        (log_z - log_whole).sum(1),
    )


def _tilt(pieces: RelevanceMixture, cavity: Floats, shift: Floats) -> tuple[Floats, Floats, Floats]:
    """Return log mass (Q, K), mean and covariance of cavity times mixture; R is axis 2."""
    a = cavity[:, :, None, 0, 0] + 1 / pieces.line_var[:, None]
    b = cavity[:, :, None, 0, 1]
    c = cavity[:, :, None, 1, 1] + 1 / pieces.bend_var[:, None]
    det = np.maximum(a * c - b**2, 1e-12)
    h0 = shift[:, :, None, 0] + np.zeros_like(a)
    h1 = shift[:, :, None, 1] + (pieces.bend / pieces.bend_var)[:, None]
    m0, m1 = (c * h0 - b * h1) / det, (a * h1 - b * h0) / det
    log_norm = np.log(pieces.line_var * pieces.bend_var) + pieces.bend**2 / pieces.bend_var
    log_each = 0.5 * (h0 * m0 + h1 * m1 - np.log(det) - log_norm[:, None])
    top = log_each.max(2, keepdims=True)
    weight = np.exp(log_each - top)
    mass = weight.sum(2, keepdims=True)
    weight = weight / mass
    mean = np.stack([(weight * m0).sum(2), (weight * m1).sum(2)], axis=2)
    d0, d1 = m0 - mean[:, :, :1], m1 - mean[:, :, 1:]
    v00 = (weight * (c / det + d0**2)).sum(2)
    v01 = (weight * (-b / det + d0 * d1)).sum(2)
    v11 = (weight * (a / det + d1**2)).sum(2)
    cov = np.stack([np.stack([v00, v01], -1), np.stack([v01, v11], -1)], -2)
    return (top + np.log(mass / weight.shape[2]))[:, :, 0], mean, cov


def _det(block: Floats) -> Floats:
    return np.asarray(block[..., 0, 0] * block[..., 1, 1] - block[..., 0, 1] * block[..., 1, 0])


def _inverse(block: Floats) -> Floats:
    swapped = np.empty_like(block)
    swapped[..., 0, 0], swapped[..., 1, 1] = block[..., 1, 1], block[..., 0, 0]
    swapped[..., 0, 1], swapped[..., 1, 0] = -block[..., 0, 1], -block[..., 1, 0]
    return swapped / _det(block)[..., None, None]
