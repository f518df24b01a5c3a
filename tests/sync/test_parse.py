"""Invalid records are rejected with a code; hostile input neither passes nor raises."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.sync.parse import (
    MAX_DEPTH,
    MAX_FIELDS,
    MAX_UNKNOWN_LENGTH,
    InvalidRecord,
    latest_clock,
    parse_record,
)

CLOCK = "1790000000000-0000-aaaaaaaa"
LATER = "1790000000000-0001-aaaaaaaa"


def record(**parts: Any) -> dict[str, Any]:
    base = {
        "kind": "tasting",
        "id": "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5",
        "fields": {},
        "clocks": {},
    }
    return {**base, **parts}


def one_field(name: str, value: Any) -> dict[str, Any]:
    return record(fields={name: value}, clocks={name: CLOCK})


def nested(depth: int) -> Any:
    value: Any = 1
    for _ in range(depth):
        value = [value]
    return value


REFUSED = [
    ([], "record", "not_record"),
    ("x", "record", "not_record"),
    (record(kind="moon"), "kind", "unknown_kind"),
    (record(kind=["tasting"]), "kind", "unknown_kind"),
    (record(id=None), "id", "not_id"),
    (record(id="0192F0C1-2A3B-7C4D-8E5F-60718293A4B5"), "id", "not_id"),
    (record(fields=[]), "fields", "not_fields"),
    (record(clocks="x"), "clocks", "not_clocks"),
    (record(fields={"body": 1}), "body", "no_clock"),
    (record(clocks={"body": CLOCK}), "clocks", "no_field"),
    (record(fields={"body": 1}, clocks={"body": "x"}), "body", "not_clock"),
    (record(fields={"body": 1}, clocks={"body": None}), "body", "not_clock"),
    (record(fields={"body": 1}, clocks={"body": [CLOCK]}), "body", "not_clock"),
    (record(fields={"body": 1}, clocks={"body": CLOCK + "\n"}), "body", "not_clock"),
    (record(deleted=1, deleted_clock=CLOCK), "deleted", "not_flag"),
    (record(deleted=True), "deleted", "no_clock"),
    (record(deleted=True, deleted_clock="x"), "deleted", "not_clock"),
    (one_field("a b", 1), "fields", "bad_character"),
    (one_field("a\u0000", 1), "fields", "bad_character"),
    (one_field("\ud800", 1), "fields", "bad_character"),
    (one_field("deleted", 1), "fields", "bad_character"),
    (one_field("constructor", 1), "fields", "bad_character"),
    (one_field("body", 11), "body", "too_high"),
    (one_field("moon", "a\u0000"), "moon", "bad_character"),
    (one_field("moon", {"\udc00": 1}), "moon", "bad_character"),
    (one_field("moon", nested(MAX_DEPTH)), "moon", "too_deep"),
    (one_field("moon", 10**400), "moon", "not_number"),
    (one_field("moon", float("inf")), "moon", "not_number"),
    (one_field("moon", "x" * MAX_UNKNOWN_LENGTH), "moon", "too_long"),
]


@pytest.mark.parametrize(("value", "part", "code"), REFUSED)
def test_invalid_record_is_rejected_with_a_code(value: Any, part: str, code: str) -> None:
    with pytest.raises(InvalidRecord) as refused:
        parse_record(value)
    assert refused.value.errors[part][0]["code"] == code


def test_too_many_fields_are_refused() -> None:
    names = [f"f{number}" for number in range(MAX_FIELDS + 1)]
    many = record(fields=dict.fromkeys(names, 1), clocks=dict.fromkeys(names, CLOCK))
    with pytest.raises(InvalidRecord) as refused:
        parse_record(many)
    assert refused.value.errors == {"fields": [{"code": "too_many", "bound": MAX_FIELDS}]}


@pytest.mark.parametrize("value", [nested(MAX_DEPTH - 1), {"a": [True, None, 1.5, "ü"]}, -(2**60)])
def test_unknown_field_passes_unchanged(value: Any) -> None:
    assert parse_record(one_field("moon", value))["fields"] == {"moon": value}


def test_missing_parts_are_empty() -> None:
    read = parse_record({"kind": "visit", "id": record()["id"]})
    assert (read["fields"], read["clocks"], read["deleted"]) == ({}, {}, False)


def test_latest_clock_includes_the_deletion() -> None:
    assert latest_clock(parse_record(one_field("body", 1))) == CLOCK
    assert (
        latest_clock(
            parse_record({**one_field("body", 1), "deleted": True, "deleted_clock": LATER})
        )
        == LATER
    )
    assert latest_clock(parse_record(record())) is None


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters()),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=8,
)
NAMES = st.sampled_from(["body", "words", "sip_words", "tasted_at", "bottle", "standout", "moon"])


@given(json_values)
def test_any_json_is_a_record_or_rejected(value: Any) -> None:
    with pytest.raises(InvalidRecord) as refused:
        parse_record(value)
    json.dumps(refused.value.errors)


@given(st.dictionaries(NAMES, json_values), st.sampled_from(["tasting", "bottle", "photo"]))
def test_any_field_values_are_accepted_or_rejected(fields: Any, kind: str) -> None:
    result = record(kind=kind, fields=fields, clocks=dict.fromkeys(fields, CLOCK))
    errors: dict[str, Any] = {}
    try:
        parse_record(result)
    except InvalidRecord as refused:
        errors = refused.errors
    assert errors.keys() <= {*fields, "fields"}
    # Accepted fields can be serialized as portable JSON.
    assert errors or json.dumps(fields, allow_nan=False, ensure_ascii=False).encode()
