"""How one person uses the scales, and the true attributes that a judged value implies.

A judged value is modelled as bias + gain * true value + noise, for each attribute separately. The
true value is normal around the usual value of the style, or around the value from the label. Bias
and gain are learned by Bayesian linear regression of the judged values on those means, the noise sd
(one for all attributes) by its marginal likelihood on a grid. An answer at an end of its scale is
censored: it counts only as far as the fit lies inside the scale, because beyond the end there is
nothing to answer. The gain has a floor. All numbers are in z.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.tastings import Tastings

BIAS_SD = 0.6
GAIN_SD = 0.15
# Two sd below 1: answers that hardly vary say little about how far this person would go.
LEAST_GAIN = 0.7
NOISE_GRID = np.array([0.08, 0.15, 0.25, 0.35, 0.5, 0.7, 1.0])
NOISE_USUAL, NOISE_LOG_SD = 0.5, 0.5
# About this many tastings are enough to fit the noise; of more, every n-th one is used.
ENOUGH_FOR_NOISE = 250
# Rounds to find which censored answers count: over the grid of noise sds, and at the end.
ROUNDS, LAST_ROUNDS = 4, 6


@dataclass(frozen=True)
class ScaleUse:
    """Bias and gain (K,), their covariance terms (K,), and the noise sd of a judged value (z)."""

    bias: Floats
    gain: Floats
    bias_var: Floats
    cross: Floats
    gain_var: Floats
    noise: float


def prior_of(
    space: AttributeSpace, style: Ints, known_z: Floats, known_sd: Floats
) -> tuple[Floats, Floats]:
    """Return prior mean and variance (m, K) of the true value: from the label, else the style."""
    mean, sd = space.usual(style)
    is_known = ~np.isnan(known_z)
    return np.where(is_known, known_z, mean), np.where(is_known, known_sd, sd) ** 2


def fit_scale_use(tastings: Tastings, space: AttributeSpace) -> tuple[ScaleUse, float]:
    """Fit bias, gain and noise; return them with the log evidence, up to a constant.

    With no tastings it returns the prior (bias 0, gain 1).
    """
    mean, var = prior_of(space, tastings.style, tastings.known_z, tastings.known_sd)
    step = 1 + len(mean) // ENOUGH_FOR_NOISE
    some = _regression(tastings.x_z[::step], mean[::step], var[::step], space)
    fits, score = some.fit(NOISE_GRID, _Fit.prior(mean.shape[1]), ROUNDS)
    score *= len(mean) / max(len(some.x), 1)
    score -= 0.5 * (np.log(NOISE_GRID / NOISE_USUAL) / NOISE_LOG_SD) ** 2
    log_evidence = float(score.max() + np.log(np.exp(score - score.max()).sum()))
    weight = np.exp(score - log_evidence)
    noise = float(np.exp(weight @ np.log(NOISE_GRID)))
    whole = some if step == 1 else _regression(tastings.x_z, mean, var, space)
    nearest = fits[int(np.argmax(weight))]
    last, _ = whole.fit(np.array([noise]), nearest, LAST_ROUNDS)
    return last[0].with_floor(noise), log_evidence


@dataclass(frozen=True)
class _Fit:
    """Posterior of (bias, gain - 1) of each attribute: means, covariance terms; (K,) or (Q, K)."""

    bias: Floats
    extra_gain: Floats
    bias_var: Floats
    cross: Floats
    gain_var: Floats

    @classmethod
    def prior(cls, k: int) -> _Fit:
        none = np.zeros(k)
        return cls(none, none, none + BIAS_SD**2, none, none + GAIN_SD**2)

    def __getitem__(self, i: int) -> _Fit:
        """Return the fit at one of Q noise sds."""
        bias, extra_gain = self.bias[i], self.extra_gain[i]
        return _Fit(bias, extra_gain, self.bias_var[i], self.cross[i], self.gain_var[i])

    def at(self, mean: Floats) -> Floats:
        """Return how far the judged values are expected from the true ones (Q, n, K)."""
        return self.bias[..., None, :] + self.extra_gain[..., None, :] * mean

    def log_prior(self) -> Floats:
        """Return the log prior density of the mean times the posterior's volume (Q,)."""
        far = self.bias**2 / BIAS_SD**2 + self.extra_gain**2 / GAIN_SD**2
        volume = np.log(self.bias_var * self.gain_var - self.cross**2)
        return 0.5 * np.asarray((volume - far).sum(-1), dtype=float)

    def with_floor(self, noise: float) -> ScaleUse:
        """Raise the gain to its floor, and the bias to what it is expected to be at that gain."""
        raised = np.maximum(LEAST_GAIN - 1 - self.extra_gain, 0.0)
        bias = self.bias + self.cross / self.gain_var * raised
        gain = 1 + self.extra_gain + raised
        return ScaleUse(bias, gain, self.bias_var, self.cross, self.gain_var, noise)


@dataclass(frozen=True)
class _Regression:
    """Judged values x (n, K) on expected true values with their variance.

    end (n, K): -1 for a value at the low end of its scale, 1 at the high end, else 0.
    """

    x: Floats
    judged: NDArray[np.bool_]
    mean: Floats
    var: Floats
    end: Floats

    def fit(self, noise: Floats, start: _Fit, rounds: int) -> tuple[_Fit, Floats]:
        """Return the posterior at each of Q noise sds, and its log evidence (Q,)."""
        total = self.var + noise[:, None, None] ** 2
        weight, residual = self.judged / total, self.x - self.mean
        if not self.end.any():
            found = _solve(weight, self.mean, residual)
            inside = weight
        else:
            found, counts = start, None
            for _ in range(rounds):
                before, counts = counts, self.end * (residual - found.at(self.mean)) >= 0
                if before is not None and np.array_equal(before, counts):
                    break
                inside = np.where(counts, weight, 0.0)
                found = _solve(inside, self.mean, residual)
        squares = (inside * (residual - found.at(self.mean)) ** 2).sum((1, 2))
        log_total = (np.log(total) * (self.judged & (self.end == 0))).sum((1, 2))
        return found, found.log_prior() - 0.5 * (squares + log_total)


def _regression(x_z: Floats, mean: Floats, var: Floats, space: AttributeSpace) -> _Regression:
    judged = ~np.isnan(x_z)
    low, high = space.to_z(space.lowest), space.to_z(space.highest)
    end = np.where(x_z <= low, -1.0, np.where(x_z >= high, 1.0, 0.0))
    return _Regression(np.where(judged, x_z, 0.0), judged, mean, var, end)


def _solve(weight: Floats, mean: Floats, residual: Floats) -> _Fit:
    """Solve the normal equations for weights (Q, n, K)."""
    # One product for each attribute: its n weights at Q noise sds times the n terms of five sums.
    terms = np.stack([np.ones_like(mean), mean, mean**2, residual, mean * residual])
    sums = np.matmul(weight.transpose(2, 0, 1), terms.transpose(2, 1, 0))
    a, b, c, ra, rb = sums.transpose(2, 1, 0)
    a, c = a + 1 / BIAS_SD**2, c + 1 / GAIN_SD**2
    det = a * c - b**2
    return _Fit((c * ra - b * rb) / det, (a * rb - b * ra) / det, c / det, -b / det, a / det)


def read_values(
    x_z: Floats, mean: Floats, var: Floats, scale_use: ScaleUse
) -> tuple[Floats, Floats]:
    """Return posterior mean and variance (m, K) of the true values, given judged ones (NaN: none).

    The posterior is the normal prior (mean, var) times the normal likelihood of the judged value.
    """
    judged = ~np.isnan(x_z)
    x = np.where(judged, x_z, 0.0)
    p = scale_use
    noise = p.noise**2 + p.bias_var + 2 * mean * p.cross + mean**2 * p.gain_var
    share = np.where(judged, var * p.gain / (p.gain**2 * var + noise), 0.0)
    return mean + share * (x - p.bias - p.gain * mean), var * (1 - share * p.gain)
