"""Features phi(z) = [1, z / sqrt(K), (z^2 - 1) / sqrt(2K)]: liking is quadratic in each attribute.

For z ~ Normal(m, v) the moments of the features are exact: E z^2 = m^2 + v, cov(z, z^2) = 2 m v,
var(z^2) = 4 m^2 v + 2 v^2. "Line" names the linear term and "bend" the quadratic one.
"""

from __future__ import annotations

import numpy as np

from webapp.palate.data.attribute_space import Floats


def expected(mean: Floats, var: Floats) -> Floats:
    """Return E[phi], (m, 1 + 2K), of bottles with z ~ Normal(mean, var), both (m, K)."""
    k = mean.shape[1]
    bent = (mean**2 + var - 1) / np.sqrt(2 * k)
    return np.hstack([np.ones((len(mean), 1)), mean / np.sqrt(k), bent])


def scatter(mean: Floats, var: Floats) -> tuple[Floats, Floats, Floats]:
    """Return Var(line), Cov(line, bend), Var(bend), each (m, K), that uncertainty of z causes."""
    k = mean.shape[1]
    cross = 2 * mean * var / (k * np.sqrt(2))
    return var / k, cross, (4 * mean**2 * var + 2 * var**2) / (2 * k)


def slope_rows(mean: Floats) -> tuple[float, Floats]:
    """Return d phi / dz: of the linear term (one number) and of the quadratic term (m, K)."""
    k = mean.shape[1]
    return 1 / np.sqrt(k), 2 * mean / np.sqrt(2 * k)
