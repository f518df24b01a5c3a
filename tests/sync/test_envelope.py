"""The sync envelope: each member at its bounds, and as the OpenAPI document describes it."""

from __future__ import annotations

from typing import Any

import pytest
from marshmallow import ValidationError

from tests.sync.test_service import ask
from webapp.sync.schemas import OutcomeSchema, SyncAnswerSchema, SyncRequestSchema, WholeNumber
from webapp.sync.service import SyncRequest


def read(**parts: Any) -> SyncRequest:
    found: SyncRequest = SyncRequestSchema().load(ask(**parts))
    return found


def errors_of(values: dict[str, Any]) -> dict[str, Any]:
    with pytest.raises(ValidationError) as refused:
        SyncRequestSchema().load(values)
    found: dict[str, Any] = refused.value.normalized_messages()
    return found


@pytest.mark.parametrize(
    ("part", "value"),
    [
        ("format", 1),
        ("format", 1.0),
        ("device", "a" * 32),
        ("epoch", "x" * 64),
        ("epoch", None),
        ("token", "x" * 64),
        ("token", None),
        ("cursor", 2**53 - 1),
        ("cursor", 3.0),
        ("limit", 0),
        ("limit", 1000),
        ("changes", [3] * 500),
    ],
)
def test_envelope_part_is_accepted_up_to_its_bounds(part: str, value: Any) -> None:
    found = read(**{part: value})
    assert getattr(found, part, value) == value
    if isinstance(value, float):
        assert isinstance(getattr(found, part, 1), int)


@pytest.mark.parametrize(
    ("part", "value", "code"),
    [
        ("format", 0, "not_integer"),
        ("format", 2, "not_integer"),
        ("device", "a" * 33, "bad_device"),
        ("device", "aaaaaaaa\n", "bad_device"),
        ("epoch", "x" * 65, "too_long"),
        ("token", "x" * 65, "too_long"),
        ("cursor", -1, "not_integer"),
        ("cursor", 2**53, "not_integer"),
        ("cursor", 1.5, "not_integer"),
        ("cursor", True, "not_integer"),
        ("cursor", "1", "not_integer"),
        ("cursor", float("nan"), "not_integer"),
        ("limit", -1, "not_integer"),
        ("limit", 1001, "not_integer"),
        ("changes", [3] * 501, "too_many"),
    ],
)
def test_envelope_part_past_its_bounds_is_rejected(part: str, value: Any, code: str) -> None:
    assert errors_of(ask(**{part: value})) == {part: [code]}


@pytest.mark.parametrize("part", ["format", "device", "cursor"])
def test_missing_required_part_is_rejected(part: str) -> None:
    result = ask()
    del result[part]
    assert [*errors_of(result)] == [part]


def test_changes_must_be_a_list() -> None:
    assert [*errors_of(ask(changes={}))] == ["changes"]
    assert [*errors_of(ask(changes=None))] == ["changes"]


def test_missing_parts_are_empty_and_unknown_ones_ignored() -> None:
    # Older phones send `sent_at`, which is of no use.
    assert read(moon=1, sent_at="soon") == SyncRequest("aaaaaaaa", None, None, 0, 1000, [])


def test_openapi_states_number_bounds() -> None:
    assert WholeNumber(2, 5).metadata == {"type": "integer", "minimum": 2, "maximum": 5}


def test_openapi_permits_any_change_value() -> None:
    assert SyncRequestSchema().fields["changes"].inner.allow_none is True


def test_openapi_requires_every_response_part() -> None:
    promised = {name for name, one in SyncAnswerSchema().fields.items() if one.required}
    assert promised == {
        *("format", "epoch", "token", "cursor", "more", "remaining", "now"),
        *("rewound", "fork", "outcomes", "changes"),
    }
    outcome = OutcomeSchema().fields
    assert (outcome["id"].required, outcome["id"].allow_none) == (True, True)
    assert (outcome["outcome"].required, outcome["errors"].required) == (True, False)
