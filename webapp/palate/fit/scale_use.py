"""How one person uses the scales, and the true attributes that a judged value implies.

A judged value is modelled as bias + gain * true value + noise, for each attribute separately. The
true value is normal around the usual value of the style, or around the value from the label. Bias
and gain are learned by Bayesian linear regression of the judged values on those means, the noise sd
(one for all attributes) by its marginal likelihood on a grid. All numbers are in z.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import logsumexp

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.tastings import Tastings

BIAS_SD = 0.6
GAIN_SD = 0.15
NOISE_GRID = np.array([0.08, 0.15, 0.25, 0.35, 0.5, 0.7, 1.0])
NOISE_USUAL, NOISE_LOG_SD = 0.5, 0.5
# About this many tastings are enough to fit the noise; of more, every n-th one is used.
ENOUGH_FOR_NOISE = 400


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
    judged = ~np.isnan(tastings.x_z)
    x = np.where(judged, tastings.x_z, 0.0)
    some = slice(None, None, 1 + len(x) // ENOUGH_FOR_NOISE)
    fits = [_fit(x[some], judged[some], mean[some], var[some], noise) for noise in NOISE_GRID]
    score = np.array([fit[0] for fit in fits]) * (len(x) / max(len(x[some]), 1))
    score -= 0.5 * (np.log(NOISE_GRID / NOISE_USUAL) / NOISE_LOG_SD) ** 2
    log_evidence = float(logsumexp(score))
    weight = np.exp(score - log_evidence)
    noise = float(np.exp(weight @ np.log(NOISE_GRID)))
    _, bias, gain, bias_var, cross, gain_var = _fit(x, judged, mean, var, noise)
    return ScaleUse(bias, gain, bias_var, cross, gain_var, noise), log_evidence


def _fit(
    x: Floats, judged: NDArray[np.bool_], mean: Floats, var: Floats, noise: float
) -> tuple[float, Floats, Floats, Floats, Floats, Floats]:
    """Return log evidence and the posterior of (bias, gain) of each attribute at one noise sd."""
    total = var + noise**2
    w = judged / total
    p_bias, p_gain = 1 / BIAS_SD**2, 1 / GAIN_SD**2
    residual = x - mean
    a = w.sum(0) + p_bias
    b = (w * mean).sum(0)
    c = (w * mean**2).sum(0) + p_gain
    ra, rb = (w * residual).sum(0), (w * mean * residual).sum(0)
    det = a * c - b**2
    bias, extra_gain = (c * ra - b * rb) / det, (a * rb - b * ra) / det
    fit = ra * bias + rb * extra_gain - (w * residual**2).sum(0)
    log_noise = np.where(judged, np.log(total), 0.0).sum()
    evidence = 0.5 * float(fit.sum() - log_noise - np.log(det).sum())
    return evidence, bias, 1 + extra_gain, c / det, -b / det, a / det


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
