"""Reduces all tastings to the sums that the regression needs."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.data.features import expected, scatter
from webapp.palate.data.tastings import Tastings
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.overlap import overlap
from webapp.palate.fit.prior import NOISE_USUAL, extra_noise
from webapp.palate.fit.regression import Sums, accumulate
from webapp.palate.fit.scale_fit import ScaleFit
from webapp.palate.fit.would_buy import liking_from_buying

# An answer's error variance is at least this share of the usual noise.
LEAST_ERROR = 0.2


@dataclass(frozen=True)
class SufficientStats:
    """The sums, with the positions in the space of the tasted styles (T,) and groups (G,)."""

    sums: Sums
    tasted: Ints
    groups: Ints


@dataclass(frozen=True)
class Answers:
    """Liking (n,), NaN for none, with the variance of its error besides the usual noise (n,)."""

    liking: Floats
    error_var: Floats


def answers_of(tastings: Tastings, bottle: Ints) -> Answers:
    """Return the likings given, and for bottles without one those that buying tells."""
    liking, error_var = tastings.liking.copy(), np.zeros(len(tastings))
    told = liking_from_buying(tastings)
    alone = ~np.isin(bottle[told.row], bottle[~np.isnan(liking)])
    row = told.row[alone]
    liking[row] = told.liking[alone]
    # The usual noise is that of an answer; buying tells the liking behind it.
    error_var[row] = told.var[alone] - NOISE_USUAL**2
    return Answers(liking, error_var)


def sufficient_stats(
    tastings: Tastings, bottle: Ints, answers: Answers, scale_fit: ScaleFit
) -> SufficientStats:
    """Sum over the rated tastings; bottle (n,) is equal for tastings of the same bottle."""
    rated = ~np.isnan(answers.liking)
    style = tastings.style[rated]
    z_mean, z_var = scale_fit.z_mean[rated], scale_fit.z_var[rated]
    tasted, slot = _slots(style)
    group = scale_fit.space.group_at(style)
    groups = np.unique(group[group >= 0])
    member = group[:, None] == groups
    line_var, _, bend_var = scatter(z_mean, z_var)
    extra_var = extra_noise(line_var, bend_var) + answers.error_var[rated]
    averaged = average_repeats(
        np.hstack([expected(z_mean, z_var), member]),
        answers.liking[rated],
        1 / np.maximum(1 + extra_var / NOISE_USUAL**2, LEAST_ERROR),
        slot,
        bottle[rated],
    )
    k = z_mean.shape[1]
    shared = overlap(scale_fit.space.style_z, averaged.features[:, 1 : 1 + k] * np.sqrt(k))
    return SufficientStats(accumulate(averaged, len(tasted), shared), tasted, groups)


def _slots(style: Ints) -> tuple[Ints, Ints]:
    tasted = np.unique(style[style >= 0])
    return tasted, np.where(style >= 0, np.searchsorted(tasted, style), -1)


def same_bottle(tastings: Tastings) -> Ints:
    """Number the tastings (n,), with the same number for the same bottle.

    If bottles are not named, tastings of one style with the same attributes count as one bottle (a
    product with a fixed profile).
    """
    numbers: dict[Hashable, int] = {}
    named = (
        i if name is None else numbers.setdefault(name, i)
        for i, name in enumerate(tastings.bottle or _profiles(tastings))
    )
    return np.fromiter(named, dtype=np.int64, count=len(tastings))


def _profiles(tastings: Tastings) -> list[bytes]:
    """Return the same bytes for tastings of one style with the same attributes."""
    alone = np.where(np.isfinite(tastings.x_z).any(1), -1, np.arange(len(tastings)))
    # Adding zero turns -0.0 into 0.0, which is equal but has other bytes.
    table = np.column_stack([np.nan_to_num(tastings.x_z, nan=1e9) + 0.0, tastings.style, alone])
    return [row.tobytes() for row in table]
