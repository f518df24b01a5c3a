"""Labels exactly at a legal limit, or with only part of the required data."""

from __future__ import annotations

from typing import Any

import pytest

from tests.reference.rules.label_position import range_position
from webapp.rules.alcohol_range import tolerance_range
from webapp.rules.alcohol_rule import LabelRange, legal_market
from webapp.rules.errors import RuleError
from webapp.rules.numbers import interpolate

TODAY = "2026-11-25"


def meant(today: str = TODAY, **bottle: Any) -> LabelRange:
    return tolerance_range(bottle, today)


def ends(found: LabelRange) -> tuple[int | None, int | None, bool]:
    return (found["low"], found["high"], found["low_exclusive"])


@pytest.mark.parametrize(
    "field", ["label_abv", "label_abv_low", "label_abv_high", "bottle_years", "vintage"]
)
def test_non_finite_number_is_rejected_by_field(field: str) -> None:
    bottle = {"label_market": "FR", "label_abv": 13.0, "protected_origin": True, field: "x"}
    with pytest.raises(RuleError) as refused:
        tolerance_range(bottle, TODAY)
    assert (refused.value.code, refused.value.field) == ("not_number", field)


def test_unknown_range_rule_is_rejected() -> None:
    with pytest.raises(RuleError) as refused:
        tolerance_range({}, TODAY, "narrow")
    assert (refused.value.code, refused.value.field) == ("unknown_reading", "reading")


@pytest.mark.parametrize("end", ["low", "high"])
def test_invalid_preferred_range_end_is_rejected(end: str) -> None:
    with pytest.raises(RuleError) as refused:
        range_position(meant(label_abv=13.0), {end: "x"})
    assert refused.value.field == end


@pytest.mark.parametrize("end", ["label_abv_low", "label_abv_high"])
def test_single_range_end_is_incomplete(end: str) -> None:
    found = meant(**{end: 13.0})
    assert (found["known"], found["errors"]) == (False, ["range_incomplete"])


def test_missing_number_is_not_incomplete() -> None:
    assert meant()["errors"] == []


def test_printed_range_has_a_tolerance_outside_the_us() -> None:
    found = meant(label_market="FR", kind="still", label_abv_low=12.0, label_abv_high=13.0)
    assert (found["rule"], ends(found)) == ("eu_wine", (1150, 1350, False))
    assert found["assumed"] == ["printed_range"]


def test_printed_range_never_starts_below_zero() -> None:
    found = meant(label_market="FR", kind="still", label_abv_low=0.2, label_abv_high=1.0)
    assert found["low"] == 0


def test_type_word_implies_a_range_in_the_us_only() -> None:
    values = {"label_words": ["table_wine"]}
    assert ends(meant(label_market="US", **values)) == (700, 1400, False)
    assert ends(meant(label_market="FR", **values)) == (None, None, False)


@pytest.mark.parametrize("half", [(1200, None), (None, 1200)])
def test_partly_known_label_may_exceed_the_range(half: tuple[int | None, int | None]) -> None:
    found = meant()
    found["low"], found["high"] = half
    assert range_position(found, {"low": 10.0, "high": 14.0}) == "may_stray"


@pytest.mark.parametrize("code", [5, ["US"], None, True])
def test_non_text_market_is_ignored(code: object) -> None:
    assert legal_market(code) is None


def test_kind_is_assumed_only_where_the_law_needs_it() -> None:
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
def test_aged_wine_needs_a_protected_origin_in_the_eu_only(
    market: str, origin: bool | None, rule: str, assumed: list[str]
) -> None:
    values = {"label_market": market, "label_abv": 13.0, "kind": "still", "vintage": 2015}
    found = meant(**values, protected_origin=origin)
    assert (found["rule"], found["assumed"]) == (rule, assumed)


def test_wine_is_long_aged_after_three_years() -> None:
    values = {"label_market": "OIV", "label_abv": 13.0, "vintage": 2022}
    assert meant("2026-01-01", **values)["rule"] == "oiv_wine"
    assert meant("2026-01-02", **values)["rule"] == "oiv_long_kept"


def test_type_word_range_ends_at_fourteen() -> None:
    values = {"label_market": "US", "label_words": ["table_wine"]}
    assert meant(label_abv=14.0, **values)["errors"] == []
    assert meant(label_abv=14.1, **values)["errors"] == ["above_type"]
    assert meant(label_abv=7.0, **values)["errors"] == []
    assert meant(label_abv=6.9, **values)["errors"] == ["below_type"]


def test_low_end_on_a_tax_limit_is_excluded() -> None:
    assert ends(meant(label_market="US", kind="still", label_abv=17.0)) == (1600, 1800, True)
    assert ends(meant(label_market="US", kind="still", label_abv=17.1)) == (1610, 1810, False)


def test_high_end_stops_at_the_tax_limit() -> None:
    assert ends(meant(label_market="US", kind="still", label_abv=15.5)) == (1450, 1600, False)
    assert ends(meant(label_market="US", kind="still", label_abv=16.0)) == (1500, 1600, False)


@pytest.mark.parametrize("kind", ["sparkling", "semi_sparkling"])
def test_sparkling_wine_has_no_tax_limits(kind: str) -> None:
    assert ends(meant(label_market="US", kind=kind, label_abv=16.3)) == (1530, 1730, False)


def test_tax_limits_apply_in_the_us_only() -> None:
    assert ends(meant(label_market="FR", kind="still", label_abv=16.2)) == (1570, 1670, False)


def test_type_word_range_starts_at_seven() -> None:
    values = {"label_market": "US", "label_words": ["table_wine"]}
    assert ends(meant(label_abv=7.5, **values)) == (700, 900, False)


def test_interpolation_passes_through_its_points() -> None:
    points = [[0.0, 0.2], [1.0, 0.9], [2.0, 0.3]]
    assert [interpolate(points, x) for x in (-1.0, 0.0, 1.0, 2.0, 3.0)] == [0.2, 0.2, 0.9, 0.3, 0.3]
