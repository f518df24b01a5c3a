import numpy as np
import pytest

from tests.palate.examples import plain_world
from webapp.palate.data.tastings import check_tastings
from webapp.palate.fit.scale_use import ScaleUse, fit_scale_use, read_values


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
    found, _ = fit_scale_use(nobody, world)
    assert found.bias.tolist() == [0, 0, 0]
    assert found.gain.tolist() == [1, 1, 1]


def test_bias_of_high_ratings_is_estimated():
    world, tastings = judged(bias=0.5, gain=1.0, noise=0.2)
    found, _ = fit_scale_use(tastings, world)
    assert found.bias == pytest.approx([0.5, 0.5], abs=0.1)
    assert found.gain == pytest.approx([1.0, 1.0], abs=0.1)


def test_consistent_taster_gets_less_noise():
    careful, careless = (
        fit_scale_use(tastings, world)[0].noise
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
