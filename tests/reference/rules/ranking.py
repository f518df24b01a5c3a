"""Tests of several tasters' rankings of the same wines.

Friedman's test with the least significant difference of rank sums (ISO 8587), Kendall's W, and
Page's test of an order expected in advance. Equal scores share their mean rank.
"""

import math
from collections.abc import Sequence
from functools import cache
from itertools import permutations
from typing import TypedDict

import numpy as np
import numpy.typing as npt
from scipy.stats import chi2, rankdata

from webapp.rules.errors import RuleError
from webapp.rules.numbers import required, required_in_range

Sums = npt.NDArray[np.float64]
MOST_PAGE_WINES = 7


class Friedman(TypedDict):
    """Test statistic, degrees of freedom, p-value, and W from 0 (no agreement) to 1.

    Rank sums further apart than ``least_difference`` differ significantly at 5 %.
    """

    rank_sums: list[float]
    f: float
    df: int
    p: float
    kendall_w: float
    least_difference: float


class Page(TypedDict):
    """Page's L, with its mean, variance and z under the null hypothesis."""

    l: float  # noqa: E741 - the standard symbol
    mean: float
    variance: float
    z: float


def friedman(scores: Sequence[Sequence[object]]) -> Friedman:
    """Rank each taster's scores (rows) of the wines (columns), lowest first, and run the test.

    Raises RuleError: unequal_lengths, too_few, all_tied.
    """
    if len({len(row) for row in scores}) > 1:
        raise RuleError("unequal_lengths", "scores")
    if len(scores) < 2:
        raise RuleError("too_few", "scores")
    ranks = np.array([rankdata([required(v, "scores") for v in row]) for row in scores])
    ties = float(sum(_tie_term(row) for row in ranks))
    return friedman_of_sums(ranks.sum(axis=0).tolist(), len(scores), ties)


def friedman_of_sums(rank_sums: Sequence[object], tasters: object, ties: float = 0.0) -> Friedman:
    """Compute Friedman's F = 12 / (J P (P+1)) sum R^2 - 3 J (P+1) from rank sums, and W.

    ``ties`` is E, the sum of t^3 - t over every group of t equal ranks;
    F' = F / (1 - E / (J P (P^2 - 1))).
    """
    sums: Sums = np.array([required(value, "rank_sums") for value in rank_sums])
    j, p = required_in_range(tasters, "tasters", 2, 1e6), len(sums)
    if p < 2:
        raise RuleError("too_few", "rank_sums")
    kept = 1 - ties / (j * p * (p**2 - 1))
    if kept <= 0:
        raise RuleError("all_tied", "scores")
    plain = 12 / (j * p * (p + 1)) * float((sums**2).sum()) - 3 * j * (p + 1)
    f = plain / kept
    return {
        "rank_sums": sums.tolist(),
        "f": f,
        "df": p - 1,
        "p": float(chi2.sf(f, p - 1)),
        "kendall_w": f / (j * (p - 1)),
        "least_difference": 1.96 * math.sqrt(j * p * (p + 1) / 6),
    }


def page_trend(rank_sums: Sequence[object], tasters: object) -> Page:
    """Compute Page's L = sum of i R_i for an expected order, with its normal approximation."""
    sums = [required(value, "rank_sums") for value in rank_sums]
    n, k = required_in_range(tasters, "tasters", 1, 1e6), len(sums)
    if k < 2:
        raise RuleError("too_few", "rank_sums")
    trend = sum(place * value for place, value in enumerate(sums, start=1))
    mean = n * k * (k + 1) ** 2 / 4
    variance = n * k**2 * (k + 1) ** 2 * (k - 1) / 144
    return {
        "l": trend,
        "mean": mean,
        "variance": variance,
        "z": (trend - mean) / math.sqrt(variance),
    }


def page_critical(wines: int, tasters: int, alpha: float) -> int | None:
    """Return the least L with a p-value of at most ``alpha``, by enumeration (3 to 7 wines)."""
    if not 3 <= wines <= MOST_PAGE_WINES or not 2 <= tasters <= 200:
        raise RuleError("too_many", "wines")
    one = _one_taster(wines)
    law = np.array([1.0])
    for _ in range(tasters):
        law = np.convolve(law, one)
    least = tasters * _least_trend(wines)
    tail = np.cumsum(law[::-1])[::-1]
    # The tolerance covers rounding in the sum, so that an exact boundary does not move.
    reached = np.flatnonzero(tail <= alpha * (1 + 1e-9))
    return None if not len(reached) else least + int(reached[0])


def _tie_term(ranks: Sums) -> float:
    _, counts = np.unique(ranks, return_counts=True)
    return float((counts.astype(float) ** 3 - counts).sum())


def _least_trend(wines: int) -> int:
    return sum(place * (wines + 1 - place) for place in range(1, wines + 1))


@cache
def _one_taster(wines: int) -> Sums:
    """Return the distribution of one taster's L from its minimum, with equally likely orders."""
    least = _least_trend(wines)
    trends = [
        sum(place * rank for place, rank in enumerate(order, start=1)) - least
        for order in permutations(range(1, wines + 1))
    ]
    counts = np.bincount(trends)
    shares: Sums = counts / counts.sum()
    return shares
