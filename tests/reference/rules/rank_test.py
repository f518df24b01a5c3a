"""Friedman's test with a p-value that also holds for few tasters."""

from collections.abc import Sequence
from itertools import permutations
from typing import TypedDict

import numpy as np
import numpy.typing as npt
from scipy.stats import rankdata

from tests.reference.rules.ranking import Friedman, friedman
from tests.reference.seeded_random import seeded_random

Ranks = npt.NDArray[np.int64]
# Most tasters for the exact distribution, by the number of glasses.
MAX_EXACT_TASTERS = {2: 60, 3: 40, 4: 12, 5: 6, 6: 4, 7: 2}
CHI_SQUARE_SCORES = 300
PERMUTATIONS = 9999
SEED = 1979


class RankTest(Friedman):
    """``method`` of p: exact, permutation (seeded) or chi_square."""

    method: str


class Pair(TypedDict):
    """Columns of two glasses, and the difference of their rank sums."""

    better: int
    worse: int
    difference: float


def rank_test(scores: Sequence[Sequence[object]]) -> RankTest:
    """Test over all orders that each taster could have given with the same ties.

    Raises RuleError as ``friedman`` does.
    """
    found = friedman(scores)
    doubled = (2 * rankdata(np.array(scores, dtype=float), axis=1)).astype(np.int64)
    tasters, glasses = doubled.shape
    if tasters <= MAX_EXACT_TASTERS.get(glasses, 0):
        return {**found, "p": _exact_p(doubled), "method": "exact"}
    if tasters * glasses >= CHI_SQUARE_SCORES:
        return {**found, "method": "chi_square"}
    return {**found, "p": _permutation_p(doubled), "method": "permutation"}


def pairs_told_apart(rank_sums: Sequence[float], least_difference: float) -> list[Pair]:
    """Return the pairs of glasses further apart than ``least_difference``, largest first."""
    pairs: list[Pair] = [
        {"better": better, "worse": worse, "difference": high - low}
        for better, high in enumerate(rank_sums)
        for worse, low in enumerate(rank_sums)
        if high - low > least_difference
    ]
    return sorted(pairs, key=lambda pair: -pair["difference"])


def _exact_p(rows: Ranks) -> float:
    """Convolve the tasters' orders; the rank sums are kept sorted."""
    observed = int((rows.sum(axis=0) ** 2).sum())
    # One number for each set of sums, because numpy compares rows far slower.
    digits = (2 * rows.size + 1) ** np.arange(rows.shape[1])
    sums, shares = np.sort(rows[:1], axis=1), np.ones(1)
    for row in rows[1:]:
        orders = np.array(sorted(set(permutations(row.tolist()))))
        added = np.sort(sums[:, None] + orders, axis=2).reshape(-1, len(row))
        _, first, place = np.unique(added @ digits, return_index=True, return_inverse=True)
        each = np.repeat(shares / len(orders), len(orders))
        sums, shares = added[first], np.bincount(place, weights=each)
    return min(1.0, float(shares[(sums**2).sum(axis=1) >= observed].sum()))


def _permutation_p(rows: Ranks) -> float:
    """Shuffle each taster's ranks (Fisher and Yates), in the same order as the client does."""
    tasters, glasses = rows.shape
    drawn = seeded_random(SEED, PERMUTATIONS * tasters * (glasses - 1))
    drawn = drawn.reshape(PERMUTATIONS, tasters, glasses - 1)
    ranks = np.repeat(rows[None], PERMUTATIONS, axis=0)
    for step, last in enumerate(range(glasses - 1, 0, -1)):
        other = np.floor(drawn[:, :, step] * (last + 1)).astype(np.int64)[:, :, None]
        result = ranks[:, :, last].copy()
        ranks[:, :, last] = np.take_along_axis(ranks, other, axis=2)[:, :, 0]
        np.put_along_axis(ranks, other, result[:, :, None], axis=2)
    squares = (ranks.sum(axis=1) ** 2).sum(axis=1)
    reached = 1 + int((squares >= (rows.sum(axis=0) ** 2).sum()).sum())
    return reached / (PERMUTATIONS + 1)
