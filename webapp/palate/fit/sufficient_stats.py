"""Reduces all tastings to the sums that the regression needs."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Ints
from webapp.palate.data.features import expected, scatter
from webapp.palate.data.tastings import Tastings
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.overlap import overlap
from webapp.palate.fit.prior import NOISE_USUAL, extra_noise
from webapp.palate.fit.regression import Sums, accumulate
from webapp.palate.fit.scale_fit import ScaleFit


@dataclass(frozen=True)
class SufficientStats:
    """The sums, with the positions in the space of the tasted styles (T,) and groups (G,)."""

    sums: Sums
    tasted: Ints
    groups: Ints


def sufficient_stats(tastings: Tastings, bottle: Ints, scale_fit: ScaleFit) -> SufficientStats:
    """Sum over the rated tastings; bottle (n,) is equal for tastings of the same bottle."""
    rated = ~np.isnan(tastings.liking)
    style, group_of = tastings.style[rated], scale_fit.space.group_of
    z_mean, z_var = scale_fit.z_mean[rated], scale_fit.z_var[rated]
    tasted, slot = _slots(style)
    groups = np.unique(group_of[tasted])
    member = (style[:, None] >= 0) & (np.append(group_of, -1)[style][:, None] == groups)
    line_var, _, bend_var = scatter(z_mean, z_var)
    answers = average_repeats(
        np.hstack([expected(z_mean, z_var), member]),
        tastings.liking[rated],
        1 / (1 + extra_noise(line_var, bend_var) / NOISE_USUAL**2),
        slot,
        bottle[rated],
    )
    k = z_mean.shape[1]
    shared = overlap(scale_fit.space.style_z, answers.features[:, 1 : 1 + k] * np.sqrt(k))
    return SufficientStats(accumulate(answers, len(tasted), shared), tasted, groups)


def _slots(style: Ints) -> tuple[Ints, Ints]:
    tasted = np.unique(style[style >= 0])
    return tasted, np.where(style >= 0, np.searchsorted(tasted, style), -1)


def same_bottle(tastings: Tastings) -> Ints:
    """Number the tastings (n,), with the same number for the same bottle.

    If bottles are not named, tastings of one style with the same attributes count as one bottle (a
    product with a fixed profile).
    """
    if tastings.bottle:
        numbers: dict[Hashable, int] = {}
        named = (
            i if name is None else numbers.setdefault(name, i)
            for i, name in enumerate(tastings.bottle)
        )
        return np.fromiter(named, dtype=np.int64, count=len(tastings))
    alone = np.where(np.isfinite(tastings.x_z).any(1), -1, np.arange(len(tastings)))
    table = np.column_stack([np.nan_to_num(tastings.x_z, nan=1e9), tastings.style, alone])
    which = np.unique(table, axis=0, return_inverse=True)[1]
    return np.asarray(which, dtype=np.int64).reshape(len(tastings))
