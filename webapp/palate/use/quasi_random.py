"""A fixed set of evenly spread normal points, so that results are deterministic."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from webapp.palate.data.attribute_space import Floats

CLOUD = 1024
# Roberts' R2 sequence: powers of the inverse plastic number cover the square evenly (from memory).
_STEP = np.array([0.7548776662466927, 0.5698402909980532])


def normal_points() -> Floats:
    """Return (CLOUD, 2) points that represent a standard normal in two dimensions."""
    return np.asarray(ndtri((0.5 + np.arange(1, CLOUD + 1)[:, None] * _STEP) % 1.0))


def linear_quadratic_draws(
    beta: Floats, cov: Floats, attribute: int, k: int
) -> tuple[Floats, Floats]:
    """Return (CLOUD,) posterior points of one attribute's coefficients line and bend."""
    at = [1 + attribute, 1 + k + attribute]
    # Rounding may leave a block of small variance not quite positive definite, so use eigenvalues.
    values, vectors = np.linalg.eigh(cov[np.ix_(at, at)])
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    points = beta[at] + normal_points() @ root.T
    return points[:, 0], points[:, 1]
