"""The prior: its grids, their refinement, and its mixture over relevance."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from webapp.palate.fit.prior import (
    RELEVANCES,
    Curvature,
    Grid,
    curvature_prior,
    extra_noise,
    full_grid,
    quick_grid,
    refined_grid,
    relevance_mixture,
)

PLAIN = Curvature((0.6,), (0.0,))


def test_grid_has_every_combination_once() -> None:
    grid = full_grid(True, PLAIN)
    points = {*zip(grid.signal, grid.style_sd, grid.noise, strict=True)}
    assert len(points) == len(grid.signal) == 4 * 3 * 5
    assert set(grid.bend) == {0.6}
    assert len(full_grid(True, curvature_prior(3.0, 9)).signal) == 2 * 4 * 3 * 5


def test_grid_weights_are_log_normal() -> None:
    grid = full_grid(True, PLAIN)
    log_p = (
        norm.logpdf(np.log(grid.signal), np.log(0.95), 0.6)
        + norm.logpdf(np.log(grid.style_sd), np.log(0.4), 0.8)
        + norm.logpdf(np.log(grid.noise), np.log(1.1), 0.5)
    )
    assert grid.log_weight - grid.log_weight[0] == pytest.approx(log_p - log_p[0])


def test_quick_grid_has_every_other_step() -> None:
    grid = quick_grid(True, PLAIN)
    assert set(grid.signal) == {0.6, 2.0}
    assert set(grid.style_sd) == {0.15, 0.45}
    assert set(grid.noise) == {0.5, 1.05, 2.1}


@pytest.mark.parametrize("make", [full_grid, quick_grid])
def test_style_sd_is_the_usual_one_without_styles(make) -> None:
    assert set(make(False, PLAIN).style_sd) == {0.4}


def weights(grid: Grid, sd: float) -> np.ndarray:
    """Return weights that are normal in the logarithm of the noise, around 1.05."""
    weight = np.exp(-0.5 * (np.log(grid.noise / 1.05) / sd) ** 2)
    return np.asarray(weight / weight.sum())


def test_wide_posterior_needs_no_finer_grid() -> None:
    grid = full_grid(True, PLAIN)
    assert refined_grid(grid, np.full(60, 1 / 60), PLAIN) is None
    assert refined_grid(full_grid(False, PLAIN), np.full(20, 1 / 20), PLAIN) is None


def test_narrow_noise_is_refined_around_its_mean() -> None:
    grid = full_grid(True, PLAIN)
    weight = weights(grid, 0.15)
    finer = refined_grid(grid, weight, PLAIN)
    assert finer is not None
    assert set(finer.signal) == set(grid.signal)
    assert set(finer.style_sd) == set(grid.style_sd)
    centre = weight @ np.log(grid.noise)
    sd = np.sqrt(weight @ (np.log(grid.noise) - centre) ** 2)
    found = np.unique(finer.noise)
    assert np.log(found) == pytest.approx(centre + sd * np.array([-1.4, 0, 1.4]))
    assert finer.log_weight.shape == (4 * 3 * 3,)


def test_refined_steps_are_not_below_a_quarter() -> None:
    grid = full_grid(True, PLAIN)
    finer = refined_grid(grid, weights(grid, 0.01), PLAIN)
    assert finer is not None
    step = np.diff(np.log(np.unique(grid.noise))).mean()
    assert np.diff(np.log(np.unique(finer.noise))) == pytest.approx(1.4 * step / 4)


def test_full_curvature_is_kept_up_to_a_small_overlap() -> None:
    assert curvature_prior(1.45 / 0.98, 9).bend == pytest.approx((0.98 * 0.6,))
    assert len(curvature_prior(1.45 / 0.96, 9).bend) == 2
    assert curvature_prior(1.0, 6).bend == curvature_prior(1.0, 5).bend
    assert curvature_prior(1.0, 4).bend == pytest.approx((0.48,))


def test_relevances_are_near_those_of_an_exponential() -> None:
    """Compare with the mean square 1, and the quantiles of the middles of seven equal shares."""
    assert np.mean(RELEVANCES**2) == pytest.approx(1.0, abs=0.03)
    quantile = -np.log(1 - (np.arange(7) + 0.5) / 7) / np.sqrt(2)
    assert pytest.approx(quantile, abs=0.19) == RELEVANCES


def test_relevance_scales_line_and_bend() -> None:
    one = np.ones(1)
    pieces = relevance_mixture(Grid(2 * one, one, one, 0.6 * one, 0 * one))
    assert pieces.bend[0] == pytest.approx(-1.2 * RELEVANCES)
    assert pieces.line_var[0] == pytest.approx((1.54 * RELEVANCES) ** 2 + 0.25)
    assert pieces.bend_var[0] == pytest.approx((0.4 * RELEVANCES) ** 2 + 0.01)


def test_uncertain_attributes_add_noise_by_the_prior() -> None:
    line, bend = np.array([[1.0, 0.0], [0.0, 0.5]]), np.array([[0.0, 2.0], [0.0, 0.0]])
    found = extra_noise(line, bend)
    assert found == pytest.approx(0.95**2 * np.array([0.77**2 + 0.72, 0.5 * 0.77**2]))
