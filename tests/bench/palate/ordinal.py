"""Small ordinal (cumulative logit) ridge regression, used by the benchmark only."""

from __future__ import annotations

import numpy as np
from scipy.optimize import minimize
from scipy.special import expit


class OrdinalRidge:
    """Proportional odds with an L2 penalty on the slopes; predicts mean and sd of the level.

    Formula: McCullagh 1980 (from memory). The penalty is fixed and not tuned.
    """

    def __init__(self, penalty: float = 3.0) -> None:
        self.penalty = penalty

    def fit(self, f: np.ndarray, y: np.ndarray) -> OrdinalRidge:
        self.levels = np.unique(y)
        if len(self.levels) < 2:
            return self
        code = np.searchsorted(self.levels, y)
        cuts, p = len(self.levels) - 1, f.shape[1]
        share = np.cumsum(np.bincount(code))[:-1] / len(y)
        first = np.log(share / (1 - share))
        start = np.r_[np.zeros(p), first[0], np.log(np.maximum(np.diff(first), 1e-2))]
        found = minimize(
            self._loss,
            start,
            args=(f, code, p, cuts),
            jac=True,
            method="L-BFGS-B",
            options={"maxiter": 200},
        )
        self.slope, self.cut = found.x[:p], _cuts(found.x[p:])
        return self

    def _loss(self, theta, f, code, p, cuts):
        edge = np.r_[-30.0, _cuts(theta[p:]), 30.0]
        eta = f @ theta[:p]
        high, low = expit(edge[code + 1] - eta), expit(edge[code] - eta)
        chance = np.maximum(high - low, 1e-12)
        d_high, d_low = high * (1 - high) / chance, low * (1 - low) / chance
        d_eta = d_high - d_low
        d_edge = np.bincount(code + 1, d_high, cuts + 2) - np.bincount(code, d_low, cuts + 2)
        d_cut = -d_edge[1:-1]
        d_steps = np.cumsum(d_cut[::-1])[::-1]
        d_steps[1:] = d_steps[1:] * np.exp(theta[p + 1 :])
        gradient = np.r_[f.T @ d_eta + self.penalty * theta[:p], d_steps]
        return -np.log(chance).sum() + 0.5 * self.penalty * theta[:p] @ theta[:p], gradient

    def predict(self, g: np.ndarray, return_std: bool = False):
        if len(self.levels) < 2:
            return np.full(len(g), self.levels[0]), np.full(len(g), 0.3)
        under = expit(self.cut - (g @ self.slope)[:, None])
        chance = np.diff(np.hstack([np.zeros((len(g), 1)), under, np.ones((len(g), 1))]), axis=1)
        mean = chance @ self.levels
        return mean, np.sqrt(np.maximum(chance @ self.levels**2 - mean**2, 0))


def _cuts(steps: np.ndarray) -> np.ndarray:
    return np.cumsum(np.r_[steps[:1], np.exp(steps[1:])])
