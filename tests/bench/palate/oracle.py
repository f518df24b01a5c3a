"""Upper bounds of the accuracy that is possible on simulated tasters.

`knows_the_taster` knows all parameters of the taster and only the perceived values of a bottle.
`informed_share` computes the exact posterior (Metropolis steps over the weights, the rest
integrated out) given the distributions that tasters are drawn from and this taster's scale use.
A learner that has to estimate these cannot do better on average.
"""

from __future__ import annotations

import numpy as np

from tests.bench.palate.measures import rank_share
from tests.bench.palate.simulated_tasters import (
    ANSWER_SD,
    GROUP_SD,
    IDEAL_SD,
    LIKING_SD,
    LINEAR_SD,
    STYLE_SD,
    WEIGHT_SHAPE,
    Bottles,
    Taster,
)
from webapp.palate.fit.scale_use import ScaleUse, read_values

STEPS, THIN = 1500, 10
ROUNDING_VAR = 1 / 12


def what_is_there(taster: Taster, bottles: Bottles) -> tuple[np.ndarray, np.ndarray]:
    """Return mean and variance of the true attributes in z, given bias, gain and noise."""
    world, k = taster.space, len(taster.space.scale)
    none = np.zeros(k)
    noise = float(np.sqrt(np.mean(taster.noise**2)))
    perception = ScaleUse(taster.bias, taster.gain, none, none, none, noise)
    mean, sd = world.usual(bottles.style)
    return read_values(world.to_z(bottles.X), mean, sd**2, perception)


def knows_the_taster(taster: Taster, fresh: Bottles) -> np.ndarray:
    """Return the expected liking (m,) if only the true attributes of the bottles are unknown."""
    mean, var = what_is_there(taster, fresh)
    bent = -((mean - taster.ideal) ** 2 + var) @ taster.weight + mean @ taster.linear
    return taster.scale * bent + taster.style_effect[fresh.style] + taster.shift


def informed_share(taster: Taster, bottles: Bottles, fresh: Bottles) -> float:
    """Return the rank share of the informed posterior mean against the true liking."""
    model = _Informed(taster, bottles, fresh)
    rng = np.random.default_rng(0)
    k = model.k
    at = np.r_[np.full(k, np.log(0.15)), np.log(LIKING_SD)]
    now, total = model.log_posterior(at), np.zeros(len(fresh.liking))
    for step in range(STEPS):
        tried = at.copy()
        if step % 3:
            tried[rng.integers(k + 1)] += rng.normal(0, 0.9)
        else:
            tried += rng.normal(0, 0.2, k + 1)
        then = model.log_posterior(tried)
        if np.log(rng.random()) < then - now:
            at, now = tried, then
        if step >= STEPS // 4 and step % THIN == 0:
            total += model.mean_of_fresh(at)
    return rank_share(fresh.truth, total)


class _Informed:
    """Normal regression given log weights (K,) and the log scale of liking."""

    def __init__(self, taster: Taster, bottles: Bottles, fresh: Bottles) -> None:
        self.mean, self.var = what_is_there(taster, bottles)
        self.k, self.liking = self.mean.shape[1], bottles.liking
        self.features, self.fresh = (
            self._features(self.mean, self.var),
            self._features(*what_is_there(taster, fresh)),
        )
        group = taster.space.group_of
        self.kin, self.fresh_kin = (
            STYLE_SD**2 * (style[:, None] == bottles.style)
            + GROUP_SD**2 * (group[style][:, None] == group[bottles.style])
            for style in (bottles.style, fresh.style)
        )

    @staticmethod
    def _features(mean: np.ndarray, var: np.ndarray) -> np.ndarray:
        return np.hstack([np.ones((len(mean), 1)), mean, mean**2 + var])

    def _solve(self, at: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        weight, scale = np.exp(at[: self.k]), np.exp(at[self.k])
        line_var = (2 * weight * IDEAL_SD) ** 2 + (scale * LINEAR_SD) ** 2 / self.k
        prior_var = np.r_[4.0, line_var, np.full(self.k, 1e-8)]
        prior_mean = np.r_[7.5, np.zeros(self.k), -weight]
        blur = (4 * weight**2 * self.mean**2 * self.var).sum(1)
        cov = (self.features * prior_var) @ self.features.T + self.kin
        cov += np.diag(ANSWER_SD**2 + ROUNDING_VAR + blur)
        root = np.linalg.cholesky(cov)
        residual = np.linalg.solve(root, self.liking - self.features @ prior_mean)
        return root, residual, prior_mean, prior_var

    def log_posterior(self, at: np.ndarray) -> float:
        root, residual, _, _ = self._solve(at)
        share = np.log(WEIGHT_SHAPE * self.k) + at[: self.k] - at[self.k]
        prior = (WEIGHT_SHAPE * share - np.exp(share)).sum()
        prior -= 0.5 * ((at[self.k] - np.log(LIKING_SD)) / 0.4) ** 2
        return float(prior - 0.5 * residual @ residual - np.log(np.diag(root)).sum())

    def mean_of_fresh(self, at: np.ndarray) -> np.ndarray:
        root, residual, prior_mean, prior_var = self._solve(at)
        pull = np.linalg.solve(root.T, residual)
        cross = (self.fresh * prior_var) @ self.features.T + self.fresh_kin
        return self.fresh @ prior_mean + cross @ pull
