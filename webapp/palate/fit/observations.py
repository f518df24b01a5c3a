"""Rated bottles after averaging repeated tastings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Floats, Ints

# Share of the noise variance that repeated tastings of one bottle have in common.
BOTTLE_SHARE = 0.3


@dataclass(frozen=True)
class Observations:
    """m bottles after averaging repeats: features (m, P), liking (m,), weight (m,).

    slot (m,) is the number of the style, -1 for none; n counts single answers; within is the sum of
    squares within bottles, divided by the share 1 - BOTTLE_SHARE.
    """

    features: Floats
    liking: Floats
    weight: Floats
    slot: Ints
    n: int
    within: float


def sum_by(number: Ints, rows: Floats, count: int) -> Floats:
    """Sum the rows (n, P) that have the same number (n,), 0..count - 1; 0 for a missing number."""
    order = np.argsort(number, kind="stable")
    starts = np.searchsorted(number[order], np.arange(count))
    present = np.diff(starts, append=len(number)) > 0
    total = np.zeros((count, rows.shape[1]))
    total[present] = np.add.reduceat(rows[order], starts[present], axis=0)
    return total


def average_repeats(
    features: Floats, liking: Floats, weight: Floats, slot: Ints, bottle: Ints
) -> Observations:
    """Average the answers to one bottle, because BOTTLE_SHARE (s) of the noise is the bottle's.

    The mean of r answers has variance noise^2 (s + (1 - s) / r), and each of the r - 1 differences
    within the bottle (1 - s) noise^2, so many glasses of one bottle do not count as many bottles.
    """
    _, first, which, repeats = np.unique(
        bottle, return_index=True, return_inverse=True, return_counts=True
    )
    if len(first) == len(bottle):
        return Observations(features, liking, weight, slot, len(liking), 0.0)
    mean = np.bincount(which, liking) / repeats
    together = sum_by(which, features, len(first))
    pooled = np.bincount(which, weight) / repeats
    within = float((weight * (liking - mean[which]) ** 2).sum()) / (1 - BOTTLE_SHARE)
    share = 1 / (BOTTLE_SHARE + (1 - BOTTLE_SHARE) / repeats)
    return Observations(
        together / repeats[:, None], mean, pooled * share, slot[first], len(liking), within
    )
