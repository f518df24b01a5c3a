"""Predicts the liking of bottles: mean, sd and the chance of 7 or more, in closed form."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.data.features import expected, scatter
from webapp.palate.data.tastings import LIKING_HIGH, LIKING_LOW
from webapp.palate.fit.posterior import Posterior


@dataclass(frozen=True)
class Prediction:
    """For m bottles: mean liking, sd of a new answer, chance of 7 or more; each (m,).

    sd_of_mean is the part of sd that more tastings would reduce.
    """

    mean: Floats
    sd: Floats
    p_like: Floats
    sd_of_mean: Floats


def score(
    posterior: Posterior,
    z_mean: Floats,
    z_var: Floats,
    style: Ints,
    group: Ints,
    like_threshold: float,
) -> Prediction:
    """Score bottles whose attributes are Normal(z_mean, z_var), both (m, K).

    Var = E[phi]' S E[phi] + effect terms + the scatter of the attributes times the posterior second
    moment of beta + noise. The mean is limited to 1..9; p_like is computed before the limit.
    """
    features = expected(z_mean, z_var)
    effects = [posterior.effect(int(s), int(g)) for s, g in zip(style, group, strict=True)]
    shift = np.array([effect.mean for effect in effects])
    own = np.array([effect.var for effect in effects])
    cross = np.array([effect.with_beta for effect in effects]).reshape(features.shape)
    mean = features @ posterior.beta + shift
    mean_var = np.einsum("mi,ij,mj->m", features, posterior.cov, features)
    mean_var = np.maximum(mean_var + own + 2 * (features * cross).sum(1), 0.0)
    sd = np.sqrt(mean_var + _scatter_var(posterior, z_mean, z_var) + posterior.noise_var)
    p_like = ndtr((mean - like_threshold) / sd)
    return Prediction(np.clip(mean, LIKING_LOW, LIKING_HIGH), sd, p_like, np.sqrt(mean_var))


def _scatter_var(posterior: Posterior, z_mean: Floats, z_var: Floats) -> Floats:
    k = z_mean.shape[1]
    line, bend = slice(1, 1 + k), slice(1 + k, None)
    beta, diagonal = posterior.beta, np.diagonal(posterior.cov)
    across = np.diagonal(posterior.cov[line, bend])
    line_var, cross, bend_var = scatter(z_mean, z_var)
    total = line_var * (beta[line] ** 2 + diagonal[line])
    total += 2 * cross * (beta[line] * beta[bend] + across)
    total += bend_var * (beta[bend] ** 2 + diagonal[bend])
    return np.asarray(total.sum(1))
