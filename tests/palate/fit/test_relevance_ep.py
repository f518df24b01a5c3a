"""EP factors of relevance against brute force over a fine grid of (linear, quadratic)."""

import numpy as np
import pytest

from webapp.palate.fit.prior import Grid, relevance_mixture
from webapp.palate.fit.relevance_ep import Factors, first_factors, next_factors

LINE, BEND = np.meshgrid(np.linspace(-9, 9, 901), np.linspace(-7, 4, 901), indexing="ij")
STEP = (18 / 900) * (11 / 900)
PRECISION = np.array([[1.2, 0.5], [0.5, 0.9]])
SHIFT = np.array([1.5, -0.4])


def one_point(signal=1.0):
    return Grid(np.array([signal]), np.array([0.4]), np.array([1.0]), np.array([0.6]), np.zeros(1))


def prior_density(grid):
    pieces = relevance_mixture(grid)
    density = np.zeros_like(LINE)
    for bend, line_var, bend_var in zip(
        pieces.bend[0], pieces.line_var[0], pieces.bend_var[0], strict=True
    ):
        density += np.exp(-(LINE**2) / (2 * line_var) - (BEND - bend) ** 2 / (2 * bend_var)) / (
            2 * np.pi * np.sqrt(line_var * bend_var)
        )
    return density / pieces.bend.shape[1]


def moments(density):
    mass = density.sum() * STEP
    mean = np.array([(density * LINE).sum(), (density * BEND).sum()]) * STEP / mass
    d0, d1 = LINE - mean[0], BEND - mean[1]
    cov = [[(density * a * b).sum() * STEP / mass for b in (d0, d1)] for a in (d0, d1)]
    return mass, mean, np.array(cov)


def converged(grid):
    """Iterate the factor of one attribute with normal data; mean and covariance become exact."""
    factors = first_factors(grid, 1)
    for _ in range(60):
        cov = np.linalg.inv(PRECISION + factors.precision[0, 0])
        mean = cov @ (SHIFT + factors.shift[0, 0])
        factors = next_factors(factors, grid, mean[None, None], cov[None, None])
    return factors, mean, cov


def test_the_first_factors_have_the_moments_of_the_mixture():
    grid = one_point()
    factors = first_factors(grid, 1)
    mass, mean, cov = moments(prior_density(grid))
    assert mass == pytest.approx(1, abs=0.01)
    assert np.linalg.inv(factors.precision[0, 0]) == pytest.approx(cov, abs=0.02)
    assert cov @ factors.shift[0, 0] == pytest.approx(mean, abs=0.02)


def test_settled_factors_give_the_exact_mean_and_covariance():
    grid = one_point()
    _, mean, cov = converged(grid)
    data = np.exp(
        SHIFT[0] * LINE
        + SHIFT[1] * BEND
        - 0.5 * (PRECISION[0, 0] * LINE**2 + 2 * PRECISION[0, 1] * LINE * BEND)
        - 0.5 * PRECISION[1, 1] * BEND**2
    )
    _, true_mean, true_cov = moments(prior_density(grid) * data)
    assert mean == pytest.approx(true_mean, abs=0.01)
    assert cov == pytest.approx(true_cov, abs=0.01)


def test_the_correction_makes_the_evidence_exact():
    def log_evidence(signal):
        grid = one_point(signal)
        factors, mean, cov = converged(grid)
        shift = SHIFT + factors.shift[0, 0]
        gaussian = 0.5 * (shift @ mean + np.linalg.slogdet(cov)[1])
        data = np.exp(
            SHIFT[0] * LINE
            + SHIFT[1] * BEND
            - 0.5 * (PRECISION[0, 0] * LINE**2 + 2 * PRECISION[0, 1] * LINE * BEND)
            - 0.5 * PRECISION[1, 1] * BEND**2
        )
        true = np.log((prior_density(grid) * data).sum() * STEP)
        return gaussian + factors.log_correction[0], true

    found, true = log_evidence(1.0)
    found_wide, true_wide = log_evidence(1.4)
    assert found == pytest.approx(true, abs=0.01)
    assert found_wide - found == pytest.approx(true_wide - true, abs=0.01)


@pytest.mark.parametrize("signal", [1.0, 30.0])
def test_factor_without_data_moves_to_the_mixture(signal):
    grid = one_point(signal)
    first = first_factors(grid, 2)
    start = Factors(first.precision * 2, first.shift * 3, first.log_correction)
    cov = np.linalg.inv(start.precision)
    mean = np.einsum("qkij,qkj->qki", cov, start.shift)
    found = next_factors(start, grid, mean, cov)
    assert found.precision == pytest.approx(0.2 * start.precision + 0.8 * first.precision)
    assert found.shift == pytest.approx(0.2 * start.shift + 0.8 * first.shift)


def test_very_exact_data_decide_alone():
    grid = one_point()
    first = first_factors(grid, 1)
    mean = np.array([[[50.0, -40.0]]])
    cov = np.eye(2)[None, None] / 1e4
    found = next_factors(first, grid, mean, cov)
    assert np.isfinite(found.log_correction).all()
    assert found.precision[0, 0, 0, 1] == pytest.approx(0, abs=0.1)
    # Only the highest relevance, 2.0, has so much room.
    line_var = (0.77 * 2) ** 2 + 0.0625
    assert found.precision[0, 0, 0, 0] == pytest.approx(
        0.2 * first.precision[0, 0, 0, 0] + 0.8 / line_var, rel=0.01
    )
