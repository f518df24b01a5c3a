import numpy as np
import pytest
from scipy.special import logsumexp
from scipy.stats import multivariate_normal

from tests.palate.examples import plain_world
from webapp.palate import AttributeSpace
from webapp.palate.data.tastings import check_tastings
from webapp.palate.fit.scale_use import (
    BIAS_SD,
    GAIN_SD,
    LEAST_GAIN,
    NOISE_GRID,
    NOISE_LOG_SD,
    NOISE_USUAL,
    ScaleUse,
    fit_scale_use,
    judged_values,
    prior_of,
    read_values,
)


def scale_use_of(tastings, space):
    mean, var = prior_of(space, tastings.style, tastings.known_z, tastings.known_sd)
    return fit_scale_use(judged_values(tastings.x_z, mean, space), var)


def judged(bias: float, gain: float, noise: float, n: int = 400):
    world = plain_world(2)
    rng = np.random.default_rng(3)
    style = rng.integers(0, 4, n)
    there = world.style_z[style] + rng.normal(size=(n, 2)) * world.style_sd[style]
    seen = bias + gain * there + rng.normal(0, noise, (n, 2))
    x = np.clip(world.centre + world.scale * seen, 0, 10)
    names = [world.styles[i] for i in style]
    return world, check_tastings({"X": x, "liking": np.full(n, np.nan), "style": names}, world)


def test_scale_use_without_tastings_is_neutral():
    world = plain_world()
    nobody = check_tastings({"X": np.empty((0, 3)), "liking": []}, world)
    found, _ = scale_use_of(nobody, world)
    assert found.bias.tolist() == [0, 0, 0]
    assert found.gain.tolist() == [1, 1, 1]


def test_bias_of_high_ratings_is_estimated():
    world, tastings = judged(bias=0.5, gain=1.0, noise=0.2)
    found, _ = scale_use_of(tastings, world)
    assert found.bias == pytest.approx([0.5, 0.5], abs=0.1)
    assert found.gain == pytest.approx([1.0, 1.0], abs=0.1)


def test_consistent_taster_gets_less_noise():
    careful, careless = (
        scale_use_of(tastings, world)[0].noise
        for world, tastings in (judged(0, 1, 0.1), judged(0, 1, 0.6))
    )
    assert careful < careless / 2


def test_combined_value_is_a_product_of_two_normals():
    none = np.zeros(1)
    perception = ScaleUse(np.array([0.2]), np.array([1.1]), none, none, none, 0.5)
    before, spread, x = 0.4, 0.6, 1.0
    mean, var = read_values(np.array([[x]]), np.array([[before]]), np.array([[spread]]), perception)
    # Posterior precision of t given x = 0.2 + 1.1 t + e (Bishop 2006, 2.3.3; from memory).
    precision = 1 / spread + 1.1**2 / 0.25
    assert var[0, 0] == pytest.approx(1 / precision)
    assert mean[0, 0] == pytest.approx((before / spread + 1.1 * (x - 0.2) / 0.25) / precision)


def test_missing_value_leaves_the_style_mean():
    none = np.zeros(1)
    perception = ScaleUse(none, none + 1, none, none, none, 0.3)
    mean, var = read_values(np.array([[np.nan]]), np.array([[0.7]]), np.array([[0.2]]), perception)
    assert (mean[0, 0], var[0, 0]) == (0.7, 0.2)


def always_at_the_end(sweet: float, n: int = 200):
    """Return tastings of four styles that differ, with the first attribute always the same."""
    world, tastings = judged(bias=0.0, gain=1.0, noise=0.2, n=n)
    x = world.centre + world.scale * tastings.x_z
    x[:, 0] = sweet
    names = [world.styles[i] for i in tastings.style]
    return world, check_tastings({"X": x, "liking": np.full(n, np.nan), "style": names}, world)


@pytest.mark.parametrize("end", [0.0, 10.0])
def test_answers_at_the_end_leave_the_gain_alone(end):
    world, tastings = always_at_the_end(end)
    found, _ = scale_use_of(tastings, world)
    assert found.gain[0] > LEAST_GAIN + 0.05


def test_gain_of_equal_answers_has_a_floor():
    world, tastings = always_at_the_end(4.0)
    found, _ = scale_use_of(tastings, world)
    assert found.gain[0] == LEAST_GAIN
    assert found.gain[1] == pytest.approx(1.0, abs=0.1)


def test_evidence_of_scale_use_is_the_marginal_likelihood():
    """Compare differences between the styles' spreads with the normal marginal of the answers."""
    world, tastings = judged(bias=0.3, gain=1.0, noise=0.3, n=12)
    assert np.all(np.abs(tastings.x_z) < 2.5)
    found = []
    for space in (world, world.widened(2.0)):
        mean, sd = space.usual(tastings.style)
        each = [
            sum(
                multivariate_normal(
                    mean[:, k],
                    np.diag(sd[:, k] ** 2 + noise**2)
                    + BIAS_SD**2
                    + GAIN_SD**2 * np.outer(mean[:, k], mean[:, k]),
                ).logpdf(tastings.x_z[:, k])
                for k in range(2)
            )
            - 0.5 * (np.log(noise / NOISE_USUAL) / NOISE_LOG_SD) ** 2
            for noise in NOISE_GRID
        ]
        found.append((logsumexp(each), scale_use_of(tastings, space)[1]))
    (narrow, own_narrow), (wide, own_wide) = found
    assert own_narrow - own_wide == pytest.approx(narrow - wide, abs=1e-8)


def test_answer_at_the_end_counts_where_it_is_expected():
    world = AttributeSpace(("a",), [5.0], [2.0], ("s",), [[10.0]], [[1.0]], low=0.0, high=10.0)
    table = {"X": [[10.0]] * 20, "liking": [np.nan] * 20, "style": ["s"] * 20}
    found, _ = scale_use_of(check_tastings(table, world), world)
    assert (found.bias[0], found.gain[0]) == (0.0, 1.0)
    assert found.bias_var[0] < 0.6 * BIAS_SD**2
