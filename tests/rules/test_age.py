"""Invariants of the age estimate."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reference.rules.age import estimate_age
from tests.reference.rules.age_cues import learn_cues
from webapp import spec

RULES = spec.load("evidence")["age"]
HUES = {hue["id"]: hue["colour"] for hue in spec.load("hues")["hues"]}
TASTINGS = st.fixed_dictionaries(
    {
        "look_hue": st.none() | st.sampled_from(sorted(HUES)),
        "look_rim": st.none() | st.sampled_from(spec.vocabulary("look_rim")),
        "look_gradation": st.none() | st.sampled_from(spec.vocabulary("look_gradation")),
        "fruit_state": st.none() | st.sampled_from(spec.vocabulary("fruit_state")),
        "sip_words": st.lists(st.sampled_from(spec.vocabulary("aroma")), max_size=5, unique=True),
    }
)
BOTTLES = st.fixed_dictionaries(
    {
        "colour": st.none() | st.sampled_from(spec.vocabulary("colour")),
        "kind": st.none() | st.sampled_from(spec.vocabulary("bottle_kind")),
    }
)
STYLES = st.none() | st.sampled_from(spec.load("styles")["styles"])


@given(TASTINGS, BOTTLES, STYLES)
def test_age_estimate_is_a_distribution(tasting, bottle, style):
    found = estimate_age(tasting, bottle, style)
    shares = [band["share"] for band in found["bands"]]
    assert math.fsum(shares) == pytest.approx(1)
    assert all(0 < share < 1 for share in shares)
    if found["known"]:
        assert 0 <= found["low"] <= found["middle"] <= found["high"] <= 60


@given(TASTINGS, BOTTLES, STYLES)
def test_age_estimate_is_never_certain(tasting, bottle, style):
    found = estimate_age(tasting, bottle, style)
    if found["known"]:
        assert found["high"] - found["low"] >= 1


@pytest.mark.parametrize("hue", sorted(HUES))
def test_age_of_fortified_and_amber_wines_ignores_the_hue(hue):
    fortified = estimate_age({"look_hue": hue}, {"kind": "fortified"})
    amber = estimate_age({"look_hue": hue}, {"colour": "amber"})
    for found in (fortified, amber):
        assert not found["known"]
        assert found["reasons"][0]["note"] == "method_not_age"


@pytest.mark.parametrize("colour", ["red", "white"])
def test_later_hues_estimate_a_higher_age(colour):
    # HUES has the order of hues.json, which is the order of ageing.
    doubtful = RULES["proves_nothing_alone"]
    order = [hue for hue, of in HUES.items() if of == colour and hue not in doubtful]
    middles = [estimate_age({"look_hue": hue}, {"colour": colour})["middle"] for hue in order]
    assert middles == sorted(middles)


def test_brown_alone_gives_a_wide_estimate():
    # Brown alone proves nothing, because it may be oxidation (common practice).
    found = estimate_age({"look_hue": "red_brown"}, {"colour": "red"})
    assert found["reasons"][0]["note"] == "proves_nothing_alone"
    assert found["high"] - found["low"] > 10


@given(st.integers(1, 40))
def test_own_bottles_shift_the_age_estimate(count):
    seen = {"look_hue": "red_garnet", "tasted_at": "2024-05-01T19:00:00+02:00"}
    young = [{"tasting": seen, "bottle": {"colour": "red", "vintage": 2023}}] * count
    usual = estimate_age(seen, {"colour": "red"})
    own = estimate_age(seen, {"colour": "red"}, None, learn_cues(young))
    assert own["middle"] < usual["middle"]


def table_rows():
    for sign, colours in RULES["signs"].items():
        for colour, values in colours.items():
            yield pytest.param(sign, colour, values, id=f"{sign} {colour}")


@pytest.mark.parametrize(("sign", "colour", "values"), list(table_rows()))
def test_likelihood_tables_are_normalized_per_band(sign, colour, values):
    bands = len(RULES["edges_years"]) - 1
    assert all(len(row) == bands and min(row) > 0 for row in values.values())
    for column in zip(*values.values(), strict=True):
        assert sum(column) == pytest.approx(1, abs=0.02), (sign, colour)


def test_age_tables_cover_the_vocabularies():
    tables = RULES["signs"]
    known = {value for table in tables["hue"].values() for value in table}
    assert known == {hue for hue, colour in HUES.items() if colour != "amber"}
    for sign, name in (("rim", "look_rim"), ("gradation", "look_gradation")):
        for table in tables[sign].values():
            assert set(table) == set(spec.vocabulary(name))
    assert set(tables["fruit_state"]["other"]) == set(spec.vocabulary("fruit_state"))
    places = spec.load("evidence")["warmth"]["where"]
    assert set(places) == set(spec.vocabulary("warmth_where"))
