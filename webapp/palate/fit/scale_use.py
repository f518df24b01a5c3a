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
from typing import Self

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.fit.groups import Groups

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


def own_scale(space: AttributeSpace, scale_use: ScaleUse, z: Floats) -> Floats:
    """Return what the person would enter for true values z (..., K), within each scale."""
    values = space.centre + space.scale * (scale_use.bias + scale_use.gain * z)
    return np.clip(values, space.lowest, space.highest)


def prior_of(
    space: AttributeSpace, style: Ints, known_z: Floats, known_sd: Floats
) -> tuple[Floats, Floats]:
    """Return prior mean and variance (m, K) of the true value: from the label, else the style."""
    mean, sd = space.usual(style)
    is_known = ~np.isnan(known_z)
    return np.where(is_known, known_z, mean), np.where(is_known, known_sd, sd) ** 2


def fit_scale_use(judged: JudgedValues, var: Floats) -> tuple[ScaleUse, float]:
    """Fit bias, gain and noise; return them with the log evidence, up to a constant.

    var (n, K) is the prior variance of the true values. With no tastings it returns the prior
    (bias 0, gain 1).
    """
    some, step = judged.some, judged.step
    fits, score = some.fit(var[::step], NOISE_GRID, _Fit.start(var.shape[1]), ROUNDS)
    score *= len(var) / max(len(var[::step]), 1)
    score -= 0.5 * (np.log(NOISE_GRID / NOISE_USUAL) / NOISE_LOG_SD) ** 2
    log_evidence = float(score.max() + np.log(np.exp(score - score.max()).sum()))
    weight = np.exp(score - log_evidence)
    noise = float(np.exp(weight @ np.log(NOISE_GRID)))
    nearest = fits[int(np.argmax(weight))]
    last, _ = judged.whole.fit(var, np.array([noise]), nearest, LAST_ROUNDS)
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
    def start(cls, k: int) -> _Fit:
        """Return bias 0 and gain 1, from which the first round begins; it reads no variances."""
        none = np.zeros(k)
        return cls(none, none, none, none, none)

    def __getitem__(self, i: int) -> _Fit:
        """Return the fit at one of Q noise sds."""
        bias, extra_gain = self.bias[i], self.extra_gain[i]
        return _Fit(bias, extra_gain, self.bias_var[i], self.cross[i], self.gain_var[i])

    def log_score(self, sums: Floats) -> Floats:
        """Return the log density of prior mean and residuals times the posterior's volume (Q,)."""
        a, b, c, ra, rb, rr = sums
        bias, gain = self.bias, self.extra_gain
        squares = rr - 2 * (bias * ra + gain * rb) + bias**2 * a + gain * (2 * bias * b + gain * c)
        far = bias**2 / BIAS_SD**2 + gain**2 / GAIN_SD**2
        volume = np.log(self.bias_var * self.gain_var - self.cross**2)
        return 0.5 * np.asarray((volume - far - squares).sum(-1), dtype=float)

    def with_floor(self, noise: float) -> ScaleUse:
        """Raise the gain to its floor, and the bias to what it is expected to be at that gain."""
        raised = np.maximum(LEAST_GAIN - 1 - self.extra_gain, 0.0)
        bias = self.bias + self.cross / self.gain_var * raised
        gain = 1 + self.extra_gain + raised
        return ScaleUse(bias, gain, self.bias_var, self.cross, self.gain_var, noise)


@dataclass(frozen=True)
class _Answers:
    """Judged values as a list, where (K, n) selects: expected true value and residual (m,).

    groups: the attribute of each value. end: -1 for a value at the low end of its scale, 1 at the
    high end, else 0. terms (6, m): 1, mean, mean^2, residual, mean * residual, residual^2.
    """

    where: NDArray[np.bool_]
    groups: Groups
    mean: Floats
    residual: Floats
    end: Floats
    terms: Floats

    @classmethod
    def select(cls, where: NDArray[np.bool_], mean: Floats, residual: Floats, end: Floats) -> Self:
        m, r = mean[where], residual[where]
        terms = np.array([np.ones_like(m), m, m**2, r, m * r, r**2])
        groups = Groups(np.nonzero(where)[0], len(where))
        return cls(where, groups, m, r, end[where], terms)

    def weight(self, var: Floats, noise: Floats) -> Floats:
        """Return the weight of each value at Q noise sds (Q, m)."""
        return np.asarray(1 / (var.T[self.where] + noise[:, None] ** 2))

    def sums(self, weight: Floats) -> Floats:
        """Return the weighted sums of the terms over the values of each attribute (6, Q, K)."""
        return self.groups.sum(self.terms[:, None] * weight)

    def exceed(self, fit: _Fit) -> NDArray[np.bool_]:
        """Select the values (Q, m) that lie inside what the fit expects, or at it."""
        bias, extra_gain = self.groups.repeat(np.array([fit.bias, fit.extra_gain]))
        expected = bias + extra_gain * self.mean
        return np.asarray(self.end * (self.residual - expected) >= 0)


@dataclass(frozen=True)
class _Regression:
    """Judged values on expected true values: those within their scales, and those at an end."""

    within: _Answers
    ends: _Answers

    def fit(self, var: Floats, noise: Floats, start: _Fit, rounds: int) -> tuple[_Fit, Floats]:
        """Return the posterior at each of Q noise sds, and its log evidence (Q,)."""
        weight = self.within.weight(var, noise)
        at_end = self.ends.weight(var, noise)
        fixed, found, counts = self.within.sums(weight), start, None
        for _ in range(rounds):
            before, counts = counts, self.ends.exceed(found)
            if before is not None and np.array_equal(before, counts):
                break
            sums = fixed + self.ends.sums(np.where(counts, at_end, 0.0))
            found = _solve(sums)
        return found, found.log_score(sums) + 0.5 * np.log(weight).sum(1)


@dataclass(frozen=True)
class JudgedValues:
    """All judged values, and every n-th tasting of them, enough to fit the noise."""

    whole: _Regression
    some: _Regression
    step: int


def judged_values(x_z: Floats, mean: Floats, space: AttributeSpace) -> JudgedValues:
    """List the judged values (n, K), NaN for none, given the prior mean of the true ones."""
    low, high = space.to_z(space.lowest), space.to_z(space.highest)
    end = np.where(x_z <= low, -1.0, np.where(x_z >= high, 1.0, 0.0))
    step = 1 + len(x_z) // ENOUGH_FOR_NOISE
    whole = _regression(x_z, mean, end)
    some = whole if step == 1 else _regression(x_z[::step], mean[::step], end[::step])
    return JudgedValues(whole, some, step)


def _regression(x_z: Floats, mean: Floats, end: Floats) -> _Regression:
    table = mean.T, (x_z - mean).T, end.T
    inside = (~np.isnan(x_z) & (end == 0)).T
    return _Regression(_Answers.select(inside, *table), _Answers.select((end != 0).T, *table))


def _solve(sums: Floats) -> _Fit:
    """Solve the normal equations, given the sums of `_Answers.sums`."""
    a, b, c, ra, rb, _ = sums
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
