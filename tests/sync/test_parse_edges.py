"""Rejections name the member, the code and the bound; values at the bounds are accepted."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.sync.test_parse import CLOCK, LATER, nested, one_field, record
from webapp.sync.parse import InvalidRecord, latest_clock, parse_record, storage_error


def errors_of(value: Any) -> dict[str, Any]:
    with pytest.raises(InvalidRecord) as refused:
        parse_record(value)
    assert json.loads(str(refused.value)) == refused.value.errors
    return refused.value.errors


@pytest.mark.parametrize(
    ("value", "errors"),
    [
        (3, {"record": [{"code": "not_record"}]}),
        ({}, {"kind": [{"code": "unknown_kind"}]}),
        (record(kind=None), {"kind": [{"code": "unknown_kind"}]}),
        (record(id=5), {"id": [{"code": "not_id"}]}),
        (record(fields=3), {"fields": [{"code": "not_fields"}]}),
        (record(clocks=3), {"clocks": [{"code": "not_clocks"}]}),
        (record(fields={"A": 1}), {"fields": [{"code": "no_clock"}]}),
        (record(fields={"A": 1}, clocks={"A": "x"}), {"fields": [{"code": "not_clock"}]}),
        (record(fields={"body": 1, "moon": 1}, clocks={"body": CLOCK}), {"moon": "no_clock"}),
        (record(clocks={"body": CLOCK}), {"clocks": [{"code": "no_field"}]}),
        (record(deleted="x"), {"deleted": [{"code": "not_flag"}]}),
        (record(deleted=False, deleted_clock=3), {"deleted": [{"code": "not_clock"}]}),
        (one_field("moon", nested(16)), {"moon": [{"code": "too_deep", "bound": 16}]}),
        (one_field("moon", "x" * 19_999), {"moon": [{"code": "too_long", "bound": 20_000}]}),
        (one_field("moon", "\ud800"), {"moon": [{"code": "bad_character"}]}),
        (one_field("moon", [1, {"a": [float("nan")]}]), {"moon": [{"code": "not_number"}]}),
        (one_field("Moon", 1), {"fields": [{"code": "bad_character"}]}),
        (one_field("9moon", 1), {"fields": [{"code": "bad_character"}]}),
        (one_field("m" * 65, 1), {"fields": [{"code": "bad_character"}]}),
    ],
)
def test_rejection_names_part_code_and_bound(value: Any, errors: Any) -> None:
    expected = {
        part: [{"code": entry}] if isinstance(entry, str) else entry
        for part, entry in errors.items()
    }
    assert errors_of(value) == expected


@pytest.mark.parametrize("value", [nested(15), "x" * 19_998, 1e308, 10**308, True, None, {}])
def test_unknown_field_is_accepted_up_to_its_bounds(value: Any) -> None:
    assert parse_record(one_field("moon", value))["fields"] == {"moon": value}


@pytest.mark.parametrize("name", ["m", "m" * 64, "moon_9", "deleted_", "deleted_by"])
def test_unknown_field_name_is_accepted(name: str) -> None:
    assert parse_record(one_field(name, 1))["clocks"] == {name: CLOCK}


def test_field_count_limit_is_200() -> None:
    names = [f"f{number}" for number in range(200)]
    full = record(fields=dict.fromkeys(names, 1), clocks=dict.fromkeys(names, CLOCK))
    assert len(parse_record(full)["fields"]) == 200
    full["fields"]["one_more"], full["clocks"]["one_more"] = 1, CLOCK
    assert errors_of(full) == {"fields": [{"code": "too_many", "bound": 200}]}


def test_all_invalid_fields_are_reported_together() -> None:
    fields = {"moon": "\ud800", "body": 11, "sun": 10**400, "words": "plums"}
    result = record(fields=fields, clocks=dict.fromkeys(fields, CLOCK))
    assert errors_of(result) == {
        "body": [{"code": "too_high", "bound": 10}],
        "moon": [{"code": "bad_character"}],
        "sun": [{"code": "not_number"}],
    }


def test_invalid_clock_is_named_among_valid_ones() -> None:
    fields = {"words": "plums", "body": 1, "oak": 2}
    result = record(fields=fields, clocks={"words": CLOCK, "body": "x", "oak": CLOCK})
    assert errors_of(result) == {"body": [{"code": "not_clock"}]}


def test_invalid_field_name_rejects_the_record() -> None:
    result = record(fields={"moon": 1, "Moon": 1}, clocks={"moon": CLOCK, "Moon": CLOCK})
    assert errors_of(result) == {"fields": [{"code": "bad_character"}]}


def test_invalid_fields_are_reported_in_order() -> None:
    names = ["sun", "moon", "earth", "venus", "mars", "pluto"]
    result = record(fields=dict.fromkeys(names, "\ud800"), clocks=dict.fromkeys(names, CLOCK))
    assert [*errors_of(result)] == sorted(names)


def test_long_text_with_a_forbidden_character_is_rejected() -> None:
    assert errors_of(one_field("moon", "\ud800" * 20_000)) == {"moon": [{"code": "bad_character"}]}


def test_keys_inside_unknown_fields_are_checked() -> None:
    assert storage_error({"a": {"\u0000": 1}}) == {"code": "bad_character"}
    assert storage_error(["a", ["b", "c"]]) is None
    assert storage_error(nested(4), 4) == {"code": "too_deep", "bound": 16}
    assert storage_error(nested(3), 4) is None


def test_a_record_is_read_whole() -> None:
    values = {**one_field("words", "plums"), "deleted": True, "deleted_clock": LATER, "more": 1}
    assert parse_record(values) == {
        "kind": "tasting",
        "id": values["id"],
        "fields": {"words": "plums"},
        "clocks": {"words": CLOCK},
        "deleted": True,
        "deleted_clock": LATER,
    }
    assert parse_record(record())["deleted_clock"] is None


def test_latest_clock_is_of_a_field_or_the_deletion() -> None:
    fields = {"words": "plums", "body": 1}
    later = record(fields=fields, clocks={"words": LATER, "body": CLOCK})
    assert latest_clock(parse_record(later)) == LATER
    gone = {**later, "deleted": True, "deleted_clock": CLOCK}
    assert latest_clock(parse_record(gone)) == LATER
    bare = record(deleted=True, deleted_clock=CLOCK)
    assert latest_clock(parse_record(bare)) == CLOCK
