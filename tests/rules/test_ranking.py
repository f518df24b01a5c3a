"""Friedman, Kendall and Page against scipy.stats and published examples."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import friedmanchisquare
from scipy.stats import page_trend_test as scipy_page

from tests.reference.rules.ranking import friedman, friedman_of_sums, page_critical, page_trend
from webapp.rules.errors import RuleError


def test_friedman_matches_the_example_of_the_standard():
    # ISO 8587 Annex A, rank sums from a secondary source, results recomputed.
    found = friedman_of_sums([17, 31, 32, 23, 17], 8)
    assert found["f"] == pytest.approx(10.6, abs=1e-6)
    assert found["df"] == 4
    assert found["p"] == pytest.approx(0.031447, abs=1e-5)
    assert found["least_difference"] == pytest.approx(12.396, abs=1e-3)
    assert found["kendall_w"] == pytest.approx(0.33125, abs=1e-9)


def test_friedman_example_separates_two_of_three_pairs():
    found = friedman_of_sums([17, 31, 32, 23, 17], 8)
    a, b, c, d, _ = found["rank_sums"]
    assert b - a > found["least_difference"]
    assert c - a > found["least_difference"]
    assert d - a < found["least_difference"]


def test_kendall_w_matches_the_published_example():
    # Zar 2010, example 20.5, rank sums from a statistics manual.
    sums = [14.5, 21, 30.5, 6, 11, 3.5, 20, 11.5, 29, 28.5, 22.5, 36]
    assert friedman_of_sums(sums, 3)["kendall_w"] == pytest.approx(0.913364, abs=1e-5)


@given(
    st.integers(3, 6).flatmap(
        lambda wines: st.lists(
            st.lists(st.integers(1, 5), min_size=wines, max_size=wines), min_size=3, max_size=8
        )
    )
)
def test_friedman_with_ties_matches_scipy(scores):
    assume(any(len(set(row)) > 1 for row in scores))
    reference = friedmanchisquare(*zip(*scores, strict=True))
    found = friedman(scores)
    assert found["f"] == pytest.approx(reference.statistic, abs=1e-9)
    assert found["p"] == pytest.approx(reference.pvalue, abs=1e-9)
    assert -1e-9 <= found["kendall_w"] <= 1 + 1e-9


def test_full_agreement_gives_a_w_of_one():
    assert friedman([[1, 2, 3]] * 4)["kendall_w"] == pytest.approx(1)


def test_page_trend_matches_the_published_example():
    # Cohen and Holliday 1983, table 85, as reproduced in a statistics manual.
    found = page_trend([8.5, 12, 17, 22.5], 6)
    assert found == pytest.approx({"l": 173.5, "mean": 150, "variance": 50, "z": 3.3234}, abs=1e-3)
    assert page_critical(4, 6, 0.001) == 172


@pytest.mark.parametrize(
    ("tasters", "critical"),
    [
        (2, 28),
        (3, 41),
        (4, 54),
        (5, 66),
        (6, 79),
        (7, 91),
        (8, 104),
        (9, 116),
        (10, 128),
        (11, 141),
        (12, 153),
    ],
)
def test_page_critical_values_match_the_published_table(tasters, critical):
    # Page 1963, from memory, confirmed by enumeration; an encyclopaedia is wrong for 4 and 5.
    assert page_critical(3, tasters, 0.05) == critical


def test_page_critical_values_match_scipy():
    # L of 54 by four tasters of three wines is the critical value; 53 is just below it.
    at = scipy_page([[1, 2, 3], [1, 2, 3], [1, 3, 2], [1, 3, 2]], ranked=True, method="exact")
    under = scipy_page([[1, 2, 3], [1, 3, 2], [1, 3, 2], [1, 3, 2]], ranked=True, method="exact")
    assert (at.statistic, under.statistic) == (54, 53)
    assert at.pvalue <= 0.05 < under.pvalue


def test_too_few_tasters_have_no_critical_trend():
    assert page_critical(3, 2, 0.001) is None


@pytest.mark.parametrize(
    ("scores", "code"),
    [
        ([[1, 2], [1]], "unequal_lengths"),
        ([[1, 2]], "too_few"),
        ([[1], [1]], "too_few"),
        ([[5, 5], [5, 5]], "all_tied"),
        ([[1, None], [1, 2]], "missing"),
    ],
)
def test_invalid_ranking_table_is_rejected_with_a_reason(scores, code):
    with pytest.raises(RuleError) as refusal:
        friedman(scores)
    assert refusal.value.code == code
