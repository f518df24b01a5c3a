"""Each type of field exactly at its limits, with the code of the error."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.records.validate import (
    UnknownKindError,
    has_forbidden_chars,
    is_id,
    validate,
    validators_for,
)

ID = "01234567-89ab-cdef-0123-456789abcdef"
IDS = [f"01234567-89ab-cdef-0123-{place:012d}" for place in range(101)]
Report = dict[str, Any] | None


def error(code: str, bound: float | None = None) -> dict[str, Any]:
    return {"code": code} if bound is None else {"code": code, "bound": bound}


def check(kind: str, field: str, value: Any) -> Report:
    return validators_for(kind)[field](value)


@pytest.mark.parametrize(
    ("field", "value", "given"),
    [
        ("name", "x" * 120, None),
        ("name", "\u00e9" * 120, None),
        ("name", "x" * 121, error("too_long", 120)),
        ("name", 5, error("not_text")),
        ("name", "a\0", error("bad_character")),
        ("name", "\u00e9\0", error("bad_character")),
        ("name", "a\ud800", error("bad_character")),
        ("name", "\udfff b", error("bad_character")),
        ("vintage", 1800, None),
        ("vintage", 2100.0, None),
        ("vintage", 1800.0, None),
        ("vintage", 1799, error("too_low", 1800)),
        ("vintage", 2101, error("too_high", 2100)),
        ("vintage", 2101.0, error("too_high", 2100)),
        ("vintage", 10**400, error("too_high", 2100)),
        ("vintage", 1999.5, error("not_integer")),
        ("vintage", True, error("not_integer")),
        ("vintage", "1999", error("not_integer")),
        ("vintage", float("inf"), error("not_integer")),
        ("vintage", float("nan"), error("not_integer")),
        ("label_abv", 0, None),
        ("label_abv", 25.0, None),
        ("label_abv", -0.1, error("too_low", 0)),
        ("label_abv", 25.1, error("too_high", 25)),
        ("label_abv", 10**400, error("too_high", 25)),
        ("label_abv", float("nan"), error("not_number")),
        ("label_abv", False, error("not_number")),
        ("label_abv", "12", error("not_number")),
        ("non_vintage", True, None),
        ("non_vintage", 1, error("not_flag")),
    ],
)
def test_text_and_numbers_have_limits(field: str, value: Any, given: Report) -> None:
    assert check("bottle", field, value) == given


@pytest.mark.parametrize(
    ("kind", "field", "value", "given"),
    [
        ("bottle", "colour", "red", None),
        ("bottle", "colour", "moon", error("unknown_choice")),
        ("bottle", "colour", ["red"], error("not_choice")),
        ("bottle", "style", "spk_champagne_brut", None),
        ("bottle", "style", "moon", error("unknown_choice")),
        ("bottle", "style", 1, error("not_choice")),
        ("bottle", "country", "FR", None),
        ("bottle", "country", "FRA", error("unknown_choice")),
        ("bottle", "country", "fr", error("unknown_choice")),
        ("bottle", "country", 1, error("not_choice")),
        ("pick", "currency", "EUR", None),
        ("pick", "currency", "EU", error("unknown_choice")),
        ("visit", "on", "2024-02-29", None),
        ("visit", "on", "2023-02-29", error("not_date")),
        ("visit", "on", "2023-2-28", error("not_date")),
        ("visit", "on", "2023-13-01", error("not_date")),
        ("visit", "on", 20230228, error("not_date")),
        ("tasting", "tasted_at", "2024-02-29T23:59:59.123456789+02:00", None),
        ("tasting", "tasted_at", "2024-02-29T00:00:00Z", None),
        ("tasting", "tasted_at", "2023-02-29T00:00:00Z", error("not_moment")),
        ("tasting", "tasted_at", "2024-02-29T24:00:00Z", error("not_moment")),
        ("tasting", "tasted_at", "2024-02-29", error("not_moment")),
        ("tasting", "tasted_at", 5, error("not_moment")),
        ("bottle", "merged_into", ID, None),
        ("bottle", "merged_into", ID.upper(), error("not_id")),
        ("bottle", "merged_into", 5, error("not_id")),
        ("bottle", "gtin", "4006381333931", None),
        ("bottle", "gtin", "96385074", None),
        ("bottle", "gtin", "036000291452", None),
        ("bottle", "gtin", "4006381333932", error("bad_check_digit")),
        ("bottle", "gtin", "400638133", error("not_gtin")),
        ("bottle", "gtin", "400638133393x", error("not_gtin")),
        ("bottle", "gtin", 4006381333931, error("not_gtin")),
    ],
)
def test_choices_and_codes_have_a_form(kind: str, field: str, value: Any, given: Report) -> None:
    assert check(kind, field, value) == given


@pytest.mark.parametrize(
    ("kind", "field", "value", "given"),
    [
        ("bottle", "apart_from", IDS[:100], None),
        ("bottle", "apart_from", IDS, error("too_many", 100)),
        ("bottle", "apart_from", [ID, ID], error("repeated")),
        ("bottle", "apart_from", [ID, "a"], error("not_id")),
        ("bottle", "apart_from", ID, error("not_list")),
        ("bottle", "label_words", ["table_wine", "light_wine"], None),
        ("bottle", "label_words", ["table_wine", "table_wine"], error("repeated")),
        ("bottle", "label_words", ["moon"], error("unknown_choice")),
        ("bottle", "label_words", [1], error("not_choice")),
        ("tasting", "faults", ["corked", "oxidised:3"], None),
        ("tasting", "faults", ["corked:1", "oxidised:1"], None),
        ("tasting", "faults", ["corked", "corked:1"], error("repeated")),
        ("tasting", "faults", ["corked:1", "corked:2"], error("repeated")),
        ("tasting", "faults", ["corked:4"], error("unknown_choice")),
        ("tasting", "faults", ["corked:"], error("unknown_choice")),
        ("tasting", "first_nose_words", ["citrus:1", "orchard_fruit", "~plum", "~plum:1"], None),
        ("tasting", "first_nose_words", ["citrus:1", "orchard_fruit:1"], None),
        ("tasting", "first_nose_words", ["citrus", "citrus:3"], error("repeated")),
        ("tasting", "first_nose_words", ["~plum", "~plum"], error("repeated")),
        ("tasting", "first_nose_words", ["moon"], error("unknown_choice")),
        ("tasting", "first_nose_words", ["~"], error("unknown_choice")),
        ("tasting", "first_nose_words", ["~\0"], error("bad_character")),
        ("tasting", "first_nose_words", ["~" + "x" * 40], None),
        ("tasting", "first_nose_words", ["~" + "x" * 41], error("too_long", 40)),
        ("tasting", "first_nose_words", [5], error("not_choice")),
        ("tasting", "first_nose_words", ["~a"] * 61, error("too_many", 60)),
    ],
)
def test_lists_have_distinct_valid_entries(
    kind: str, field: str, value: Any, given: Report
) -> None:
    assert check(kind, field, value) == given


def test_errors_are_told_by_field() -> None:
    checks = {"a": lambda value: error("bad") if value > 1 else None}
    fields = {"a": 2, "b": 5}
    assert validate(checks, fields) == {"a": [error("bad")]}
    assert validate(checks, {"a": None}) == {}
    assert validate(checks, {"a": 1, "b": None}) == {}
    both = {**checks, "b": checks["a"]}
    assert validate(both, {"x": 9, "a": None, "b": 2}) == {"b": [error("bad")]}


def test_unknown_kind_has_no_validators() -> None:
    with pytest.raises(UnknownKindError, match=r"^unknown_kind$") as unknown:
        validators_for("moon")
    assert unknown.value.code == "unknown_kind"


def test_ids_are_lower_case_uuids() -> None:
    assert [is_id(one) for one in (ID, ID + "0", ID.upper(), 5)] == [True, False, False, False]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("", False),
        ("a", False),
        ("\u00e9", False),
        ("\0", True),
        ("\u00e9\0", True),
        ("\ud8ff", True),
    ],
)
def test_nul_and_lone_surrogates_are_forbidden(text: str, value: bool) -> None:
    assert has_forbidden_chars(text) is value
