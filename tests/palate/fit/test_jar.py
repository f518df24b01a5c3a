import numpy as np
import pytest
from scipy.stats import norm

from webapp.palate.fit import jar as just_right
from webapp.palate.fit import ordered_probit
from webapp.palate.fit.jar import Link
from webapp.palate.fit.ordered_probit import (
    derivatives_of_right,
    derivatives_of_wish,
    log_chance_of_right,
    log_chance_of_wish,
)


def log_chance(value, mean, var, band):
    """Return the log probability of the same rating for slopes of any shape."""
    if value == 0:
        return log_chance_of_right(mean, var, band)
    return log_chance_of_wish(np.full(mean.shape, value), mean, var, band)


def derivatives(value, mean, var, band):
    if value == 0:
        return derivatives_of_right(mean, var, band)
    return derivatives_of_wish(np.full(mean.shape, value), mean, var, band)


def test_three_jar_answers_have_total_probability_one():
    mean, var = np.linspace(-3, 3, 13), np.full(13, 0.7)
    total = sum(np.exp(log_chance(v, mean, var, 0.4)) for v in (-1.0, 0.0, 1.0))
    assert total == pytest.approx(np.ones(13))


def test_probabilities_are_normal_differences():
    """Compare with scipy.stats.norm."""
    mean, sd, band = 0.3, 0.8, 0.25
    too_little, right, too_much = (
        float(np.exp(log_chance(v, np.array([mean]), np.array([sd**2]), band))[0])
        for v in (-1.0, 0.0, 1.0)
    )
    assert too_little == pytest.approx(1 - norm.cdf(band, mean, sd))
    assert right == pytest.approx(norm.cdf(band, mean, sd) - norm.cdf(-band, mean, sd))
    assert too_much == pytest.approx(norm.cdf(-band, mean, sd))


@pytest.mark.parametrize("value", [-1.0, 0.0, 1.0])
@pytest.mark.parametrize("mean", [-2.0, -0.1, 0.4, 3.0])
def test_derivatives_are_the_finite_differences(value, mean):
    var, step = np.array([0.5]), 1e-4

    def at(m):
        return float(log_chance(value, np.array([m]), var, 0.3)[0])

    first, second = (float(part[0]) for part in derivatives(value, np.array([mean]), var, 0.3))
    assert first == pytest.approx((at(mean + step) - at(mean - step)) / (2 * step), abs=1e-6)
    bend = (at(mean + step) - 2 * at(mean) + at(mean - step)) / step**2
    assert second == pytest.approx(bend, abs=1e-5)


@pytest.mark.parametrize("value", [-1.0, 0.0, 1.0])
@pytest.mark.parametrize("band", [1e-7, 0.2])
def test_small_probability_has_the_same_derivatives(value, band, monkeypatch):
    mean, var = np.linspace(-1.5, 1.5, 7), np.full(7, 0.4)
    plain = [*derivatives(value, mean, var, band), log_chance(value, mean, var, band)]
    monkeypatch.setattr(ordered_probit, "LEAST_CHANCE", 2.0)
    by_logarithm = [*derivatives(value, mean, var, band), log_chance(value, mean, var, band)]
    for one, other in zip(plain, by_logarithm, strict=True):
        assert other == pytest.approx(one, rel=1e-5)


@pytest.mark.parametrize("mean", [-1e18, -1e4, -60.0, 60.0, 1e4, 1e18])
@pytest.mark.parametrize("value", [-1.0, 0.0, 1.0])
def test_impossible_answer_gives_finite_numbers(value, mean):
    m, var = np.array([mean]), np.array([0.1])
    first, second = derivatives(value, m, var, 0.2)
    assert np.isfinite([first[0], second[0], log_chance(value, m, var, 0.2)[0]]).all()


def settled(z, answers, prior_var):
    """Run EP on the JAR ratings of one attribute until it converges.

    The prior of (intercept, linear, quadratic) is independent.
    """
    z, answers = np.array(z, dtype=float)[:, None], np.array(answers, dtype=float)[:, None]
    found = just_right.collect_marks(answers, z, np.zeros_like(z))
    sites, prior = just_right.no_sites(found), np.diag(1 / np.array([1.0, *prior_var]))
    link = Link(0.3, 0.4)
    for _ in range(60):
        precision, shift = prior.copy(), np.zeros(3)
        added, pull = just_right.normal_terms(found, sites)
        precision[1:, 1:] += added[0]
        shift[1:] = pull[0]
        cov = np.linalg.inv(precision)
        sloped = just_right.remove_bias(found, sites, cov @ shift, cov)
        sites = just_right.update_sites(found, sites, sloped, link, 0.6)
    return cov @ shift, cov, link


def brute_force(z, answers, prior_var, link):
    """Sum the exact posterior over a fine grid of (linear, quadratic, bias)."""
    sd = np.sqrt([*prior_var, just_right.HABIT_SD**2])
    axes = [np.linspace(-4.5 * s, 4.5 * s, 81) for s in sd]
    line, bend, habit = np.meshgrid(*axes, indexing="ij")
    log_p = -0.5 * ((line / sd[0]) ** 2 + (bend / sd[1]) ** 2 + (habit / sd[2]) ** 2)
    for at, answer in zip(z, answers, strict=True):
        slope = line + bend * 2 * at / np.sqrt(2) + habit
        noise_var = np.full(slope.shape, link.noise**2)
        log_p = log_p + log_chance(float(answer), slope, noise_var, link.band)
    p = np.exp(log_p - log_p.max())
    p /= p.sum()
    mean = np.array([(p * line).sum(), (p * bend).sum()])
    var = [(p * (axis - m) ** 2).sum() for axis, m in zip((line, bend), mean, strict=True)]
    return mean, np.sqrt(var)


def test_jar_marks_give_the_exact_posterior():
    z, answers, prior_var = [-1.2, -0.5, 0.1, 0.8, 1.5, 2.0], [-1, -1, 0, 0, 1, 1], (0.8, 0.5)
    mean, cov, link = settled(z, answers, prior_var)
    true_mean, true_sd = brute_force(z, answers, prior_var, link)
    assert mean[1:] == pytest.approx(true_mean, abs=0.03)
    assert np.sqrt(np.diag(cov))[1:] == pytest.approx(true_sd, rel=0.06)


def test_repeated_complaint_is_partly_bias():
    _, few, _ = settled([0.0] * 3, [-1] * 3, (1.0, 1.0))
    _, many, _ = settled([0.0] * 300, [-1] * 300, (1.0, 1.0))
    assert many[1, 1] < few[1, 1]
    assert np.sqrt(many[1, 1]) > 0.5 * just_right.HABIT_SD


def test_consistent_marks_have_the_smaller_sd():
    z = np.linspace(-2, 2, 40)[:, None]
    steady = np.clip(np.round(1.5 * z), -1, 1)
    mixed = np.where(np.arange(40)[:, None] % 2, steady, -steady)
    noises = []
    for answers in (steady, mixed):
        found = just_right.collect_marks(answers, z, np.zeros_like(z))
        sites = just_right.no_sites(found)
        beta, cov = np.array([5.0, 0.0, -0.8]), np.diag([1.0, 0.05, 0.05])
        sloped = just_right.remove_bias(found, sites, beta, cov)
        noises.append(just_right.fit_link(found, sites, sloped).noise)
    assert noises[0] < noises[1] / 2


@pytest.mark.parametrize("answers", [[-1.0], [0.0], [1.0, 0.0, -1.0]])
def test_link_is_the_mean_over_its_grid(answers):
    """Compare with a sum over the grid of the chances of normal slopes (scipy.stats.norm)."""
    n, means, sds = len(answers), np.array([0.4, -0.7]), np.array([0.5, 0.3])
    z = np.linspace(-0.5, 1.0, n)[:, None]
    found = just_right.collect_marks(np.array(answers)[:, None], z, np.zeros_like(z))
    beta, cov = np.array([5.0, *means]), np.diag([1.0, *sds**2])
    sloped = just_right.remove_bias(found, just_right.no_sites(found), beta, cov)
    link = just_right.fit_link(found, just_right.no_sites(found), sloped)
    mean = means[0] + means[1] * np.sqrt(2) * z[:, 0]
    var = sds[0] ** 2 + 0.12**2 + 2 * (sds[1] * z[:, 0]) ** 2
    total, log_band, log_noise = 0.0, 0.0, 0.0
    for band in (0.1, 0.18, 0.3, 0.5, 0.8):
        for noise in (0.12, 0.25, 0.5, 1.0, 2.0):
            sd = np.sqrt(var + noise**2)
            chance = {
                -1.0: norm.sf(band, mean, sd),
                0.0: norm.cdf(band, mean, sd) - norm.cdf(-band, mean, sd),
                1.0: norm.cdf(-band, mean, sd),
            }
            weight = norm.pdf(np.log(band), np.log(0.25), 0.8)
            weight *= norm.pdf(np.log(noise), np.log(0.3), 0.8)
            weight *= np.prod([chance[answer][i] for i, answer in enumerate(answers)])
            total += weight
            log_band += weight * np.log(band)
            log_noise += weight * np.log(noise)
    assert link.band == pytest.approx(np.exp(log_band / total))
    assert link.noise == pytest.approx(np.exp(log_noise / total))
