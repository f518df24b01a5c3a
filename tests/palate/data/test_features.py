import numpy as np
import pytest

from webapp.palate.data.features import expected, scatter, slope_rows


def nodes(mean: float, var: float) -> tuple[np.ndarray, np.ndarray]:
    """Return Gauss-Hermite nodes and weights, which are exact for the low powers needed here."""
    x, w = np.polynomial.hermite_e.hermegauss(8)
    return mean + np.sqrt(var) * x, w / w.sum()


@pytest.mark.parametrize(("mean", "var"), [(0.0, 1.0), (1.3, 0.4), (-2.0, 0.01)])
def test_expected_features_and_their_scatter_are_exact_moments(mean, var):
    k = 3
    z, w = nodes(mean, var)
    line, bend = z / np.sqrt(k), (z**2 - 1) / np.sqrt(2 * k)
    m, v = np.full((1, k), mean), np.full((1, k), var)
    phi = expected(m, v)[0]
    assert phi[0] == 1
    assert phi[1] == pytest.approx(w @ line)
    assert phi[1 + k] == pytest.approx(w @ bend)
    line_var, cross, bend_var = (part[0, 0] for part in scatter(m, v))
    assert line_var == pytest.approx(w @ line**2 - (w @ line) ** 2)
    assert cross == pytest.approx(w @ (line * bend) - (w @ line) * (w @ bend))
    assert bend_var == pytest.approx(w @ bend**2 - (w @ bend) ** 2)


def test_slopes_are_the_finite_differences_of_the_features():
    k, step = 4, 1e-5
    z = np.array([[0.3, -1.0, 2.0, 0.0]])
    none = np.zeros_like(z)
    line, bend = slope_rows(z)
    for i in range(k):
        ahead, behind = z.copy(), z.copy()
        ahead[0, i] += step
        behind[0, i] -= step
        rise = (expected(ahead, none) - expected(behind, none))[0] / (2 * step)
        assert rise[1 + i] == pytest.approx(line)
        assert rise[1 + k + i] == pytest.approx(bend[0, i], abs=1e-9)
