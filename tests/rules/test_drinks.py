"""Invariants of alcohol totals and of the mixture model behind them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reference.rules.alcoholometry import freezing_point_c, mixture_density, solve_mixture
from tests.reference.rules.drinks import standard_drinks, visit_tally
from webapp import spec
from webapp.rules.drinks import pure_alcohol

VOLUMES = st.none() | st.floats(0, 500)
PLACES = st.sampled_from(spec.vocabulary("drink_country"))


@st.composite
def pours(draw):
    low, middle, high = sorted(draw(st.tuples(*[st.integers(0, 2500)] * 3)))
    known = draw(st.booleans())
    return {
        "pour_ml": draw(VOLUMES),
        "swallowed_ml": draw(VOLUMES),
        "label_abv": draw(st.none() | st.just(middle / 100)),
        "low": low if known else None,
        "high": high if known else None,
    }


@given(st.lists(pours(), max_size=8), PLACES)
def test_intake_bounds_are_ordered_and_swallowed_is_less(visit, place):
    found = visit_tally(visit, place)
    for part in (found["poured"], found["swallowed"]):
        assert part["grams_low"] <= part["grams"] + 1e-9
        assert part["grams"] <= part["grams_high"] + 1e-9
    assert found["swallowed"]["ml"] <= found["poured"]["ml"] + 1e-9
    assert found["swallowed"]["grams_high"] <= found["poured"]["grams_high"] + 1e-9
    assert found["pours"] == len(visit)


@given(st.lists(pours(), max_size=6), PLACES)
def test_pour_order_does_not_matter(visit, place):
    forth, back = visit_tally(visit, place), visit_tally(visit[::-1], place)
    assert forth["poured"] == pytest.approx(back["poured"])
    assert forth["swallowed"] == pytest.approx(back["swallowed"])


def test_errors_of_one_bottle_add_without_averaging():
    pour = {"pour_ml": 50, "swallowed_ml": 50, "label_abv": 13, "low": 1250, "high": 1350}
    one, three = (visit_tally([pour] * n, "FR")["poured"] for n in (1, 3))
    spread = one["grams_high"] - one["grams_low"]
    assert three["grams_high"] - three["grams_low"] == pytest.approx(3 * spread)


@pytest.mark.parametrize(("place", "grams"), [("IT", 12), ("ES", 10), ("CH", 12)])
def test_drink_sizes_of_the_alps_and_spain(place, grams):
    # From national health guidance: unità alcolica, unidad de bebida estándar, Standardglas.
    assert next(p for p in spec.load("drinks")["places"] if p["id"] == place)["grams"] == grams


def test_every_drink_country_of_the_settings_has_a_size():
    assert {p["id"] for p in spec.load("drinks")["places"]} == set(spec.vocabulary("drink_country"))
    for place in spec.vocabulary("drink_country"):
        assert standard_drinks(750, 13.5, place) > 0


@given(st.floats(0, 100))
def test_mixture_has_the_requested_strength(abv):
    found = solve_mixture(abv)
    share = found["mass_percent"] * found["kg_m3"] / mixture_density(100)
    assert share == pytest.approx(abv, abs=1e-9)


@given(st.floats(0, 20), st.floats(0.1, 5))
def test_stronger_wine_weighs_less_and_freezes_lower(abv, more):
    assert solve_mixture(abv + more)["kg_m3"] < solve_mixture(abv)["kg_m3"]
    assert freezing_point_c(abv + more) < freezing_point_c(abv)


def test_mixture_and_intake_count_equal_ethanol():
    # For 750 ml at 13.5 %, volume x density x mass share equals volume x strength x 0.78924.
    found = solve_mixture(13.5)
    by_mass = 0.750 * found["kg_m3"] * found["mass_percent"] / 100
    assert by_mass == pytest.approx(pure_alcohol(750, 13.5)["grams"], rel=1e-4)
