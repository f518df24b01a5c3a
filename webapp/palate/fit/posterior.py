"""The collapsed posterior: one normal for beta, one effect for each tasted style and group.

It is rounded to the precision of the compact form, so that phone and server cannot differ.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.fit.prior import GROUP_SHARE
from webapp.palate.fit.regression import Mixture, StyleEffects, moments

DECIMALS = 5


@dataclass(frozen=True)
class Effect:
    """Effect of a style or group on liking: mean, variance, covariance (1 + 2K,) with beta."""

    mean: float
    var: float
    with_beta: Floats


@dataclass(frozen=True)
class Posterior:
    """beta (C,), covariance (C, C) with C = 1 + 2K; effects by position in space.styles and groups.

    unknown_style_var is the variance of the effect of a style whose group was never tasted;
    noise_var is that of one answer.
    """

    beta: Floats
    cov: Floats
    styles: Mapping[int, Effect]
    groups: Mapping[int, Effect]
    unknown_style_var: float
    noise_var: float

    def effect(self, style: int, group: int) -> Effect:
        """Return the effect of a style if it was tasted, else of its group, else the prior."""
        if style in self.styles:
            return self.styles[style]
        if group in self.groups:
            return self.groups[group]
        return Effect(0.0, self.unknown_style_var, np.zeros(len(self.beta)))


def build_posterior(
    mixture: Mixture,
    effects: StyleEffects,
    tasted: Ints,
    groups: Ints,
    space: AttributeSpace,
    answers: float,
) -> Posterior:
    """Collapse the mixture to one normal by matching moments.

    tasted (T,) and groups (G,) are positions in `space`; answers is the number of answers.
    """
    beta, cov = moments(mixture)
    core = 1 + 2 * len(space.attributes)
    style_var = float(mixture.weight @ mixture.grid.style_sd**2)
    # If no answer named a style, the noise variance already includes the style effects, and if
    # none named a group either, those of the groups.
    unnamed = answers > 0 and not len(tasted)
    within_group_var = 0.0 if unnamed else style_var
    group_var = 0.0 if unnamed and not len(groups) else style_var * GROUP_SHARE**2
    at = core + np.arange(len(groups))
    own_group = at[np.searchsorted(groups, space.group_of[tasted])]
    related = np.column_stack([beta[at], np.diagonal(cov)[at] + within_group_var, cov[at, :core]])
    mean = effects.mean + beta[own_group]
    var = effects.var + np.diagonal(cov)[own_group]
    var = var + 2 * effects.with_beta[np.arange(len(tasted)), own_group]
    own = np.column_stack([mean, var, effects.with_beta[:, :core] + cov[own_group, :core]])
    return Posterior(
        _rounded(beta[:core]),
        _rounded(cov[:core, :core]),
        _effects(tasted, own),
        _effects(groups, related),
        _round(within_group_var + group_var),
        _round(float(mixture.weight @ mixture.grid.noise**2)),
    )


def _effects(positions: Ints, table: Floats) -> dict[int, Effect]:
    kept = _rounded(table)
    return {
        int(i): Effect(float(row[0]), float(row[1]), row[2:])
        for i, row in zip(positions, kept, strict=True)
    }


def _rounded(values: Floats) -> Floats:
    return np.round(values, DECIMALS) + 0.0


def _round(value: float) -> float:
    return float(np.round(value, DECIMALS)) + 0.0
