"""phi(z) = [1, z / sqrt(K), (z^2 - 1) / sqrt(2K)]: liking is a bent line along each attribute.

Where z is only known as normal with a mean and a variance, the features' own mean and the
covariance of (z, z^2) are exact: E z^2 = m^2 + v, cov(z, z^2) = 2 m v, var(z^2) = 4 m^2 v + 2 v^2.
"""

from __future__ import annotations

import numpy as np

from webapp.palate.data.attribute_space import Floats


def expected(mean: Floats, var: Floats) -> Floats:
    """E[phi], (m, 1 + 2K), of bottles with z ~ Normal(mean, var), both (m, K)."""
    k = mean.shape[1]
    bent = (mean**2 + var - 1) / np.sqrt(2 * k)
    return np.hstack([np.ones((len(mean), 1)), mean / np.sqrt(k), bent])


def scatter(mean: Floats, var: Floats) -> tuple[Floats, Floats, Floats]:
    """Var(line), Cov(line, bend), Var(bend), each (m, K), of the features because z is
    uncertain."""
    k = mean.shape[1]
    cross = 2 * mean * var / (k * np.sqrt(2))
    return var / k, cross, (4 * mean**2 * var + 2 * var**2) / (2 * k)


def slope_rows(mean: Floats) -> tuple[float, Floats]:
    """d phi / dz: the factor of the line (one number) and of the bend (m, K)."""
    k = mean.shape[1]
    return 1 / np.sqrt(k), 2 * mean / np.sqrt(2 * k)
