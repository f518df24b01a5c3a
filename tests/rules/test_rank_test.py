"""P-values of few tasters' ranks against enumeration, scipy.stats and published tables."""

from itertools import permutations, product

import numpy as np
import pytest
from scipy.stats import friedmanchisquare

from tests.reference.rules.rank_test import pairs_told_apart, rank_test
from tests.reference.seeded_random import seeded_random


def enumerated_p(scores: list[list[int]]) -> float:
    """Return the share of all orders of all rows whose statistic reaches that of ``scores``."""
    observed = friedmanchisquare(*zip(*scores, strict=True)).statistic
    orders = product(*(sorted(set(permutations(row))) for row in scores))
    found = [friedmanchisquare(*zip(*rows, strict=True)).statistic for rows in orders]
    return float(np.mean(np.array(found) >= observed - 1e-9))


@pytest.mark.parametrize(
    "scores",
    [
        [[1, 2, 3], [1, 3, 2], [2, 1, 3]],
        [[5, 7, 8], [4, 4, 9], [6, 8, 8]],
        [[2, 2, 3], [2, 3, 3], [1, 2, 3], [1, 1, 2]],
    ],
)
def test_exact_p_matches_full_enumeration(scores):
    found = rank_test(scores)
    assert found["method"] == "exact"
    assert found["p"] == pytest.approx(enumerated_p(scores), abs=1e-12)


@pytest.mark.parametrize(
    ("tasters", "statistic", "p"),
    [(3, 6.0, 0.028), (4, 6.5, 0.042), (4, 8.0, 0.0046), (5, 6.4, 0.039), (6, 7.0, 0.029)],
)
def test_exact_p_matches_the_published_table(tasters, statistic, p):
    # Friedman's table for three samples (Siegel and Castellan 1988, table M; from memory).
    orders = list(permutations([1, 2, 3]))
    rows = next(
        [list(row) for row in chosen]
        for chosen in product(orders, repeat=tasters)
        if abs(friedmanchisquare(*zip(*chosen, strict=True)).statistic - statistic) < 1e-9
    )
    assert rank_test(rows)["p"] == pytest.approx(p, abs=0.0005)


def test_two_glasses_give_the_sign_test():
    # 9 of 10 prefer the second glass: 2 (1 + 10) / 1024, two-sided.
    found = rank_test([[1, 2]] * 9 + [[2, 1]])
    assert found["p"] == pytest.approx(22 / 1024, abs=1e-12)


def test_permutation_p_is_near_the_exact_one():
    random = np.random.default_rng(5)
    scores = random.integers(1, 10, (12, 5)) + np.arange(5)
    found = rank_test(scores.tolist())
    shuffled = random.permuted(np.repeat(scores[None], 4_000, axis=0), axis=2)
    observed = friedmanchisquare(*scores.T).statistic
    reference = np.mean(
        [friedmanchisquare(*rows.T).statistic >= observed - 1e-9 for rows in shuffled]
    )
    assert found["method"] == "permutation"
    assert found["p"] == pytest.approx(reference, abs=0.02)
    assert rank_test(scores.tolist()) == found


def test_many_tasters_use_chi_square():
    scores = np.random.default_rng(6).integers(1, 10, (60, 6))
    found = rank_test(scores.tolist())
    assert found["method"] == "chi_square"
    assert found["p"] == pytest.approx(friedmanchisquare(*scores.T).pvalue, abs=1e-9)


def test_pairs_told_apart_follow_the_standard_example():
    # ISO 8587 Annex A, rank sums from a secondary source: least difference 12.4.
    pairs = pairs_told_apart([17, 31, 32, 23, 17], 12.396)
    assert [(pair["better"], pair["worse"]) for pair in pairs] == [(2, 0), (2, 4), (1, 0), (1, 4)]
    assert pairs[0]["difference"] == 15


def test_seeded_random_numbers_are_uniform():
    drawn = seeded_random(1979, 100_000)
    counts, _ = np.histogram(drawn, bins=20, range=(0, 1))
    # 4.5 standard deviations of a count of 5,000.
    assert np.abs(counts - 5_000).max() < 310
    assert abs(np.corrcoef(drawn[:-1], drawn[1:])[0, 1]) < 0.015
