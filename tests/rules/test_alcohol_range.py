"""Invariants of label ranges for any bottle, and a data set of measured wines in the filter."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.datasets import load_wine

from tests.reference.rules.label_position import range_position
from webapp import spec
from webapp.rules.alcohol_range import tolerance_range
from webapp.rules.alcohol_rule import legal_market
from webapp.rules.numbers import to_hundredths

TODAY = "2026-11-25"
STRENGTHS = st.integers(0, 250).map(lambda tenths: tenths / 10)
BOTTLES = st.fixed_dictionaries(
    {
        "label_abv": STRENGTHS,
        "label_market": st.sampled_from([*spec.vocabulary("market"), "FR", "OIV", None]),
        "kind": st.sampled_from([*spec.vocabulary("bottle_kind"), None]),
        "label_words": st.lists(st.sampled_from(spec.vocabulary("label_words")), max_size=3),
        "vintage": st.none() | st.integers(1990, 2026),
        "protected_origin": st.sampled_from([True, False, None]),
    }
)


@given(BOTTLES)
def test_printed_number_is_within_its_lawful_range(bottle):
    found = tolerance_range(bottle, TODAY)
    printed = to_hundredths(bottle["label_abv"], "label_abv")
    assert found["known"]
    assert found["low"] <= printed <= found["high"]
    assert not (found["low_exclusive"] and found["low"] == printed)


@given(BOTTLES)
def test_range_ends_are_whole_hundredths_within_tolerance(bottle):
    found = tolerance_range(bottle, TODAY)
    assert type(found["low"]) is int
    assert type(found["high"]) is int
    assert found["high"] - found["low"] <= 300


@given(BOTTLES)
def test_missing_label_data_never_reduces_the_range(bottle):
    silent = {**bottle, "protected_origin": None}
    result, wide = tolerance_range(bottle, TODAY), tolerance_range(silent, TODAY)
    assert wide["low"] <= result["low"]
    assert wide["high"] >= result["high"]


@given(BOTTLES, st.none() | STRENGTHS, st.none() | STRENGTHS, st.none() | STRENGTHS)
def test_valid_bottles_are_never_rejected(bottle, number, low, high):
    stored = {**bottle, "label_abv": number, "label_abv_low": low, "label_abv_high": high}
    found = tolerance_range(stored, TODAY)
    assert found["known"] or number is None
    assert range_position(found, {"low": high, "high": low}) in ("inside", "may_stray", "outside")


@given(BOTTLES, STRENGTHS, STRENGTHS)
def test_wider_preference_never_moves_a_bottle_out(bottle, one, other):
    order = ["inside", "may_stray", "outside"]
    found = tolerance_range(bottle, TODAY)
    low, high = sorted((one, other))
    narrow = range_position(found, {"low": low, "high": high})
    assert order.index(range_position(found, {"low": low})) <= order.index(narrow)
    assert order.index(range_position(found, {"high": high})) <= order.index(narrow)


@pytest.mark.parametrize(
    ("wish", "count"),
    [
        ({"high": 12.5}, 57),
        ({"high": 13.49}, 121),
        ({"high": 13.5}, 123),
        ({"high": 14}, 156),
        ({}, 178),
    ],
)
def test_measured_wines_pass_the_filter_at_its_boundaries(wish, count):
    # scikit-learn's load_wine (178 wines): <= 12.5: 57, < 13.5: 121, <= 13.5: 123, <= 14: 156.
    inside = 0
    for abv in load_wine().data[:, 0].tolist():
        exact = to_hundredths(abv, "abv")
        measured = {"low": exact, "high": exact, "low_exclusive": False}
        position = range_position(measured, wish)
        assert position != "may_stray"
        inside += position == "inside"
    assert inside == count


def test_measured_wines_match_the_published_data():
    # Computed with scikit-learn 1.9.1; its documentation has the sizes too.
    data = load_wine()
    alcohol = data.data[:, 0]
    assert data.data.shape == (178, 13)
    assert [int((data.target == kind).sum()) for kind in range(3)] == [59, 71, 48]
    assert alcohol.mean() == pytest.approx(13.0006, abs=1e-3)
    assert alcohol.std(ddof=1) == pytest.approx(0.8118, abs=1e-3)
    assert (alcohol.min(), alcohol.max()) == (11.03, 14.83)
    means = [alcohol[data.target == kind].mean() for kind in range(3)]
    assert means == pytest.approx([13.7447, 12.2787, 13.1538], abs=1e-3)


def test_eu_has_27_members():
    members = spec.load("label_rules")["eu_members"]
    assert len(set(members)) == 27
    assert all(legal_market(member) == "EU" for member in members)


def test_label_rules_have_a_source_and_a_status():
    rules = spec.load("label_rules")
    named = {rule["market"] for rule in rules["rules"]}
    assert {"US", "EU", "GB", "AU", "CA", "ZA", None} <= named
    for rule in rules["rules"]:
        assert rule["source"]
        # earlier: only the law it replaces was read; summary: an official page that states it.
        assert rule["status"] in ("seen", "earlier", "summary", "memory", "unknown")
        assert rule["tolerance"] <= 150


def test_only_a_read_text_of_law_counts_as_seen():
    rules = spec.load("label_rules")
    second_hand = ("from memory", "carried over", "as stated by", "taken as", "not reached")
    for rule in [*rules["rules"], *rules["statements"], *rules["steps"].values()]:
        if rule["status"] == "seen":
            assert not any(words in rule["source"] for words in second_hand), rule
