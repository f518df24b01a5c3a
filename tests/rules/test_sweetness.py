"""Invariants of sweetness terms."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reference.rules.sweetness import sweetness_agrees, sweetness_terms
from webapp import spec

SCALES = st.sampled_from([scale["id"] for scale in spec.load("sweetness")["scales"]])
SUGARS = st.integers(0, 30_000).map(lambda hundredths: hundredths / 100)
ACIDITIES = st.none() | st.integers(0, 1500).map(lambda hundredths: hundredths / 100)


@given(SCALES.filter(lambda scale: scale != "port"), SUGARS, ACIDITIES)
def test_every_wine_may_use_some_term(scale, sugar, acidity):
    found = sweetness_terms(scale, sugar, acidity)
    assert found["terms"] or found["possible"]


@given(SCALES, SUGARS, ACIDITIES)
def test_tolerance_only_adds_terms(scale, sugar, acidity):
    exact = sweetness_terms(scale, sugar, acidity)
    near = sweetness_terms(scale, sugar, acidity, None, True)
    assert {*exact["terms"], *exact["possible"]} <= {*near["terms"], *near["possible"]}


@given(SCALES, SUGARS, st.integers(0, 1500).map(lambda hundredths: hundredths / 100))
def test_acidity_limits_are_a_subset_of_the_possible(scale, sugar, acidity):
    known = sweetness_terms(scale, sugar, acidity, True)
    unknown = sweetness_terms(scale, sugar, None, True)
    assert set(known["terms"]) <= {*unknown["terms"], *unknown["possible"]}
    assert set(unknown["terms"]) <= set(known["terms"])


@given(SUGARS, ACIDITIES)
def test_term_agrees_exactly_when_it_may_be_printed(sugar, acidity):
    found = sweetness_terms("eu_still", sugar, acidity)
    for term in ("dry", "medium_dry", "medium", "sweet"):
        agrees = sweetness_agrees("eu_still", term, sugar, acidity)
        assert (agrees == "agrees") == (term in found["terms"])


@pytest.mark.parametrize("scale", spec.load("sweetness")["scales"], ids=lambda scale: scale["id"])
def test_every_scale_names_its_source(scale):
    assert scale["source"]
    assert scale["status"] in ("seen", "memory")
    assert scale["terms"]


def test_dry_differs_between_still_and_sparkling_labels():
    # Reg (EU) 2019/33 Annex III: still dry ends at 9 g/l, sparkling dry begins at 17.
    assert sweetness_agrees("eu_still", "dry", 9, 7) == "agrees"
    assert sweetness_agrees("eu_sparkling", "dry", 9) == "disagrees"
    assert sweetness_agrees("eu_sparkling", "dry", 32) == "agrees"
