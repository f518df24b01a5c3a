"""Labels that stand exactly on an edge of the law, or say only half of what it asks."""

from __future__ import annotations

from typing import Any

import pytest

from tests.reference.rules.label_position import range_position
from webapp.rules.errors import RuleError
from webapp.rules.label import tolerance_range
from webapp.rules.label_rule import LabelRange, legal_market
from webapp.rules.numbers import interpolate

TODAY = "2026-11-25"


def meant(today: str = TODAY, **bottle: Any) -> LabelRange:
    return tolerance_range(bottle, today)


def ends(found: LabelRange) -> tuple[int | None, int | None, bool]:
    return (found["low"], found["high"], found["low_exclusive"])


@pytest.mark.parametrize(
    "field", ["label_abv", "label_abv_low", "label_abv_high", "bottle_years", "vintage"]
)
def test_a_number_that_is_none_is_refused_by_its_field(field: str) -> None:
    bottle = {"label_market": "FR", "label_abv": 13.0, "protected_origin": True, field: "x"}
    with pytest.raises(RuleError) as refused:
        tolerance_range(bottle, TODAY)
    assert (refused.value.code, refused.value.field) == ("not_number", field)


def test_a_reading_that_no_rule_has_is_refused() -> None:
    with pytest.raises(RuleError) as refused:
        tolerance_range({}, TODAY, "narrow")
    assert (refused.value.code, refused.value.field) == ("unknown_reading", "reading")


@pytest.mark.parametrize("end", ["low", "high"])
def test_a_wanted_end_that_is_no_number_is_refused(end: str) -> None:
    with pytest.raises(RuleError) as refused:
        range_position(meant(label_abv=13.0), {end: "x"})
    assert refused.value.field == end


@pytest.mark.parametrize("end", ["label_abv_low", "label_abv_high"])
def test_one_end_of_a_range_alone_is_incomplete(end: str) -> None:
    found = meant(**{end: 13.0})
    assert (found["known"], found["errors"]) == (False, ["range_incomplete"])


def test_without_any_number_nothing_is_incomplete() -> None:
    assert meant()["errors"] == []


def test_a_printed_range_has_its_tolerance_outside_america() -> None:
    found = meant(label_market="FR", kind="still", label_abv_low=12.0, label_abv_high=13.0)
    assert (found["rule"], ends(found)) == ("eu_wine", (1150, 1350, False))
    assert found["assumed"] == ["printed_range"]


def test_a_printed_range_never_begins_below_nothing() -> None:
    found = meant(label_market="FR", kind="still", label_abv_low=0.2, label_abv_high=1.0)
    assert found["low"] == 0


def test_a_type_word_stands_for_strengths_in_america_only() -> None:
    told = {"label_words": ["table_wine"]}
    assert ends(meant(label_market="US", **told)) == (700, 1400, False)
    assert ends(meant(label_market="FR", **told)) == (None, None, False)


@pytest.mark.parametrize("half", [(1200, None), (None, 1200)])
def test_a_label_known_by_half_may_stray(half: tuple[int | None, int | None]) -> None:
    found = meant()
    found["low"], found["high"] = half
    assert range_position(found, {"low": 10.0, "high": 14.0}) == "may_stray"


@pytest.mark.parametrize("code", [5, ["US"], None, True])
def test_a_market_that_is_no_text_is_none(code: object) -> None:
    assert legal_market(code) is None


def test_a_kind_is_assumed_only_where_the_law_asks_for_it() -> None:
    assert meant(label_market="US", label_abv=13.0)["assumed"] == []
    assert "kind" in meant(label_market="AU", label_abv=13.0)["assumed"]


@pytest.mark.parametrize(
    ("market", "origin", "rule", "assumed"),
    [
        ("FR", True, "eu_long_kept", ["bottle_years"]),
        ("FR", None, "eu_long_kept", ["protected_origin", "bottle_years"]),
        ("FR", False, "eu_wine", []),
        ("OIV", False, "oiv_long_kept", ["bottle_years"]),
        ("OIV", None, "oiv_long_kept", ["bottle_years"]),
    ],
)
def test_kept_wine_needs_a_protected_origin_in_the_union_only(
    market: str, origin: bool | None, rule: str, assumed: list[str]
) -> None:
    told = {"label_market": market, "label_abv": 13.0, "kind": "still", "vintage": 2015}
    found = meant(**told, protected_origin=origin)
    assert (found["rule"], found["assumed"]) == (rule, assumed)


def test_a_wine_is_long_kept_from_the_day_after_three_years() -> None:
    told = {"label_market": "OIV", "label_abv": 13.0, "vintage": 2022}
    assert meant("2026-01-01", **told)["rule"] == "oiv_wine"
    assert meant("2026-01-02", **told)["rule"] == "oiv_long_kept"


def test_a_type_word_holds_up_to_fourteen_and_no_further() -> None:
    told = {"label_market": "US", "label_words": ["table_wine"]}
    assert meant(label_abv=14.0, **told)["errors"] == []
    assert meant(label_abv=14.1, **told)["errors"] == ["above_type"]
    assert meant(label_abv=7.0, **told)["errors"] == []
    assert meant(label_abv=6.9, **told)["errors"] == ["below_type"]


def test_a_low_end_exactly_on_a_tax_edge_is_left_out() -> None:
    assert ends(meant(label_market="US", kind="still", label_abv=17.0)) == (1600, 1800, True)
    assert ends(meant(label_market="US", kind="still", label_abv=17.1)) == (1610, 1810, False)


def test_a_high_end_stops_at_the_tax_edge() -> None:
    assert ends(meant(label_market="US", kind="still", label_abv=15.5)) == (1450, 1600, False)
    assert ends(meant(label_market="US", kind="still", label_abv=16.0)) == (1500, 1600, False)


@pytest.mark.parametrize("kind", ["sparkling", "semi_sparkling"])
def test_a_sparkling_wine_has_no_tax_edges(kind: str) -> None:
    assert ends(meant(label_market="US", kind=kind, label_abv=16.3)) == (1530, 1730, False)


def test_tax_edges_hold_in_america_only() -> None:
    assert ends(meant(label_market="FR", kind="still", label_abv=16.2)) == (1570, 1670, False)


def test_a_type_word_begins_at_seven() -> None:
    told = {"label_market": "US", "label_words": ["table_wine"]}
    assert ends(meant(label_abv=7.5, **told)) == (700, 900, False)


def test_a_given_point_keeps_its_own_height() -> None:
    points = [[0.0, 0.2], [1.0, 0.9], [2.0, 0.3]]
    assert [interpolate(points, x) for x in (-1.0, 0.0, 1.0, 2.0, 3.0)] == [0.2, 0.2, 0.9, 0.3, 0.3]
