"""A fixed, even cloud of normal points: the same answer for the same data, every time."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from webapp.palate.data.attribute_space import Floats

CLOUD = 1024
# Roberts' R2 sequence: powers of the inverse plastic number fill the square evenly (from memory).
_STEP = np.array([0.7548776662466927, 0.5698402909980532])


def normal_points() -> Floats:
    """(CLOUD, 2) points that stand for a standard normal in the plane."""
    return np.asarray(ndtri((0.5 + np.arange(1, CLOUD + 1)[:, None] * _STEP) % 1.0))


def linear_quadratic_draws(
    beta: Floats, cov: Floats, attribute: int, k: int
) -> tuple[Floats, Floats]:
    """(CLOUD,) likely coefficients of one attribute's line and bend."""
    at = [1 + attribute, 1 + k + attribute]
    # Rounding may leave a very sure block not quite positive, so the root is taken by eigenvalues.
    values, vectors = np.linalg.eigh(cov[np.ix_(at, at)])
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    points = beta[at] + normal_points() @ root.T
    return points[:, 0], points[:, 1]
