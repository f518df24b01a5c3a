"""Validators generated from the spec: every type and code, and agreement with the schemas."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from tests.reference.validate import validate_fields
from webapp import spec
from webapp.records.schemas import schema_of
from webapp.records.validate import UnknownKindError, validators_for

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "record.json").read_text("utf-8"))
TESTS = [test for group in VECTORS["groups"] for test in group["tests"]]
CODES = {
    *("not_text", "too_long", "bad_character", "not_number", "not_integer", "too_low", "too_high"),
    *("not_flag", "not_choice", "unknown_choice", "not_list", "repeated", "too_many", "not_date"),
    *("not_moment", "not_id", "not_gtin", "bad_check_digit", "unknown_kind"),
}


def test_the_vectors_exercise_every_code() -> None:
    text = json.dumps([test["expected"] for test in TESTS])
    assert {code for code in CODES if f'"{code}"' in text} == CODES


def test_the_vectors_exercise_every_type_of_the_spec() -> None:
    used = {
        spec.kinds()[test["args"][0]][field]["type"]
        for test in TESTS
        for field in test["args"][1]
        if field in spec.kinds().get(test["args"][0], {})
    }
    assert used == spec.FIELD_TYPES


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test["description"])
def test_schema_and_validator_agree(test: dict[str, Any]) -> None:
    kind, fields = test["args"]
    if test["expected"] == {"error": "unknown_kind"}:
        with pytest.raises(UnknownKindError):
            schema_of(kind)
        return
    try:
        schema_of(kind)().load(fields)
        found = {}
    except ValidationError as error:
        found = error.messages
    assert found == test["expected"]


def test_an_infinite_number_is_not_a_number() -> None:
    for value in (float("inf"), float("nan")):
        assert validate_fields("tasting", {"body": value}) == {"body": [{"code": "not_number"}]}
        assert validate_fields("tasting", {"liking": value}) == {
            "liking": [{"code": "not_integer"}]
        }


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters()),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3)
    ),
    max_leaves=6,
)


@given(st.data())
def test_validator_never_raises(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(spec.kinds())))
    field = data.draw(st.sampled_from(sorted(validators_for(kind))))
    problems = validate_fields(kind, {field: data.draw(anything)})
    assert all(entry["code"] in CODES for found in problems.values() for entry in found)
