"""Exact binomial tests against scipy.stats."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, binomtest

from tests.reference.rules.discrimination import min_correct, p_value, preference_p

COUNTS = st.integers(0, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(COUNTS, st.sampled_from([1 / 3, 1 / 2]))
def test_guessing_probability_matches_scipy(counts, chance):
    correct, trials = counts
    assert p_value(correct, trials, chance) == pytest.approx(
        binom.sf(correct - 1, trials, chance), abs=1e-10
    )


@given(st.integers(0, 200), st.sampled_from([1 / 3, 1 / 2]), st.sampled_from([0.05, 0.01, 0.001]))
def test_minimum_correct_is_the_smallest_significant_count(trials, chance, alpha):
    least = min_correct(trials, chance, alpha)
    if least is None:
        assert p_value(trials, trials, chance) > alpha
        return
    assert binom.sf(least - 1, trials, chance) <= alpha
    assert binom.sf(least - 2, trials, chance) > alpha


@given(COUNTS)
def test_preference_test_matches_scipy(counts):
    chosen, trials = counts
    if trials == 0:
        assert preference_p(chosen, trials) == 1
        return
    assert preference_p(chosen, trials) == pytest.approx(
        binomtest(chosen, trials, 0.5).pvalue, abs=1e-10
    )


@pytest.mark.parametrize(
    ("trials", "alpha", "expected"),
    [(6, 0.05, 6), (8, 0.05, 8), (10, 0.05, 9), (12, 0.05, 10), (20, 0.05, 15)],
)
def test_two_sided_table_follows_from_the_binomial(trials, alpha, expected):
    # Two-sided preference at 5 %, computed from the exact binomial distribution.
    least = min(k for k in range(trials // 2, trials + 1) if preference_p(k, trials) <= alpha)
    assert least == expected
