"""The collapsed posterior against the joint normal with a column for every group and style."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from tests.palate.examples import plain_tastings, plain_world, solved
from webapp.palate import fit_palate
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.posterior import Effect, Posterior, _round, _rounded, build_posterior
from webapp.palate.fit.prior import GROUP_SHARE, LEVEL, LEVEL_SD, Grid
from webapp.palate.fit.regression import accumulate, moments, style_effects
from webapp.palate.fit.relevance_ep import Factors

K, N, CORE, PRECISION = 2, 40, 5, 0.8
WORLD = plain_world(K)
TOLERANCE = 2e-5


@dataclass
class Case:
    posterior: Posterior
    mean: Any
    cov: Any
    groups: Any
    group_of: Any


def built(tasted: list[int], style_sd: float, noise: float) -> Case:
    """Build the posterior of some tastings, and the joint mean and covariance by linear algebra."""
    rng = np.random.default_rng(3)
    styles = np.array(tasted)
    slot = rng.integers(0, len(tasted), N)
    groups = np.unique(WORLD.group_of[styles])
    group_of = np.searchsorted(groups, WORLD.group_of[styles])
    member = np.eye(len(groups))[group_of[slot]]
    features = np.hstack([np.ones((N, 1)), rng.normal(size=(N, 2 * K)), member])
    liking = 5 + features[:, 1] + rng.normal(0, noise, N) + 0.6 * slot
    grid = Grid(*(np.array([value]) for value in (1.0, style_sd, noise, 0.6, 0.0)))
    block = np.zeros((1, K, 2, 2))
    block[:, :, 0, 0] = block[:, :, 1, 1] = PRECISION
    factors = Factors(block, np.zeros((1, K, 2)), np.zeros(1))
    answers = average_repeats(features, liking, np.ones(N), slot, np.arange(N))
    sums = accumulate(answers, len(tasted))
    mixture = solved(sums, grid, factors)
    effects = style_effects(sums, mixture, moments(mixture)[0])
    posterior = build_posterior(mixture, effects, styles, groups, WORLD, N)
    columns = np.hstack([features, np.eye(len(tasted))[slot]])
    prior = np.r_[
        LEVEL_SD**-2,
        np.full(2 * K, PRECISION),
        np.full(len(groups), (GROUP_SHARE * style_sd) ** -2),
        np.full(len(tasted), style_sd**-2),
    ]
    cov = np.linalg.inv(columns.T @ columns / noise**2 + np.diag(prior))
    pull = columns.T @ liking / noise**2
    pull[0] += LEVEL / LEVEL_SD**2
    return Case(posterior, cov @ pull, cov, groups, group_of)


def same(found: Effect, mean: float, var: float, with_beta: Any) -> None:
    assert found.mean == pytest.approx(mean, abs=TOLERANCE)
    assert found.var == pytest.approx(var, abs=TOLERANCE)
    assert found.with_beta == pytest.approx(with_beta, abs=TOLERANCE)


CASES = pytest.mark.parametrize(
    ("tasted", "style_sd", "noise"),
    [([0, 1, 3], 0.7, 0.9), ([3], 1.2, 0.6), ([0, 2], 0.3, 1.5), ([2, 3], 0.9, 0.9)],
)


@CASES
def test_tasted_style_adds_style_and_group_effects(
    tasted: list[int], style_sd: float, noise: float
) -> None:
    case = built(tasted, style_sd, noise)
    assert [*case.posterior.styles] == tasted
    for place, style in enumerate(tasted):
        both = np.zeros(len(case.mean))
        both[CORE + case.group_of[place]] = both[CORE + len(case.groups) + place] = 1
        with_beta = (case.cov @ both)[:CORE]
        same(case.posterior.styles[style], both @ case.mean, both @ case.cov @ both, with_beta)


@CASES
def test_untasted_style_has_group_effect_and_spread(
    tasted: list[int], style_sd: float, noise: float
) -> None:
    case = built(tasted, style_sd, noise)
    assert [*case.posterior.groups] == [*case.groups]
    for place, group in enumerate(case.groups):
        at = CORE + place
        var = case.cov[at, at] + style_sd**2
        same(case.posterior.groups[group], case.mean[at], var, case.cov[at, :CORE])


@CASES
def test_common_effect_and_noise_match_the_joint_model(
    tasted: list[int], style_sd: float, noise: float
) -> None:
    case = built(tasted, style_sd, noise)
    assert case.posterior.beta == pytest.approx(case.mean[:CORE], abs=TOLERANCE)
    assert case.posterior.cov == pytest.approx(case.cov[:CORE, :CORE], abs=TOLERANCE)
    assert case.posterior.noise_var == pytest.approx(noise**2, abs=TOLERANCE)
    stranger = style_sd**2 * (1 + GROUP_SHARE**2)
    assert case.posterior.unknown_style_var == pytest.approx(stranger, abs=TOLERANCE)


def test_effect_falls_back_from_style_to_group_to_zero() -> None:
    beta = np.zeros(CORE)
    style, group = Effect(1.0, 2.0, beta), Effect(3.0, 4.0, beta)
    posterior = Posterior(beta, np.eye(CORE), {0: style}, {1: group}, 0.5, 1.0)
    assert posterior.effect(0, 1) is style
    assert posterior.effect(1, 1) is group
    nothing = posterior.effect(1, 0)
    assert (nothing.mean, nothing.var, nothing.with_beta.tolist()) == (0.0, 0.5, [0.0] * CORE)


def test_untasted_styles_have_the_prior_spread() -> None:
    empty = fit_palate({"X": [], "liking": []}, plain_world()).posterior
    assert empty.styles == {}
    assert empty.groups == {}
    assert empty.unknown_style_var == pytest.approx(0.4**2 * 1.64, abs=1e-5)


@pytest.mark.parametrize("n", [1, 20])
def test_unnamed_style_has_no_style_effect(n: int) -> None:
    table = plain_tastings(n)
    named = fit_palate(table, plain_world()).posterior
    unnamed = fit_palate({**table, "style": [None] * n}, plain_world()).posterior
    assert named.unknown_style_var > 0
    assert unnamed.unknown_style_var == 0.0


def test_a_posterior_has_five_decimals_and_no_negative_zero() -> None:
    posterior = fit_palate(plain_tastings(20), plain_world()).posterior
    for values in (posterior.beta, posterior.cov, posterior.noise_var, posterior.unknown_style_var):
        assert np.array_equal(values, np.round(values, 5))
    assert not np.array_equal(posterior.beta, np.round(posterior.beta, 4))
    assert np.signbit(_rounded(np.array([-1e-9, -1e-4]))).tolist() == [False, True]
    assert not np.signbit(_round(-1e-9))
