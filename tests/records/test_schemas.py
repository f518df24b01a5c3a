"""JSON Schema of each type of field, and the schemas made from the spec."""

from __future__ import annotations

import re
from typing import Any

import pytest
from marshmallow import ValidationError

from webapp import spec
from webapp.records.schemas import UUID_PATTERN, RecordSchema, json_schema, schema_of

ID = "01234567-89ab-cdef-0123-456789abcdef"
CLOCK = "1790000000000-0000-phone000"
LIST = {"type": "array", "items": {"type": "string"}, "maxItems": 7, "uniqueItems": True}


@pytest.mark.parametrize(
    ("field", "schema"),
    [
        ({"type": "text", "max": 7}, {"type": "string", "maxLength": 7}),
        (
            {"type": "number", "min": 1, "max": 7},
            {"type": "number", "minimum": 1, "maximum": 7},
        ),
        (
            {"type": "integer", "min": 1, "max": 7},
            {"type": "integer", "minimum": 1, "maximum": 7},
        ),
        ({"type": "flag"}, {"type": "boolean"}),
        (
            {"type": "choice", "of": "colour"},
            {"enum": [*spec.vocabulary("colour"), None]},
        ),
        ({"type": "style"}, {"enum": [*spec.vocabulary("style"), None]}),
        ({"type": "choices", "of": "label_words", "max": 7}, LIST),
        ({"type": "aromas", "max": 7}, LIST),
        ({"type": "graded", "of": "fault", "max": 7}, LIST),
        ({"type": "country"}, {"type": "string", "pattern": "^[A-Z]{2}$"}),
        ({"type": "currency"}, {"type": "string", "pattern": "^[A-Z]{3}$"}),
        ({"type": "date"}, {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}),
        ({"type": "moment"}, {"type": "string", "format": "date-time"}),
        ({"type": "ref", "kind": "bottle"}, {"type": "string", "pattern": UUID_PATTERN}),
        (
            {"type": "refs", "kind": "bottle", "max": 7},
            {**LIST, "items": {"type": "string", "pattern": UUID_PATTERN}},
        ),
        ({"type": "gtin"}, {"type": "string", "pattern": "^([0-9]{8}|[0-9]{12,14})$"}),
    ],
    ids=lambda value: value.get("x-type", ""),
)
def test_field_is_described_by_its_type(field: dict[str, Any], schema: dict[str, Any]) -> None:
    assert json_schema(field) == {**schema, "x-type": field["type"]}


def test_every_type_of_the_spec_has_a_schema() -> None:
    for field_specs in spec.kinds().values():
        for field in field_specs.values():
            assert json_schema(field)["x-type"] == field["type"]


def test_schema_of_a_kind_has_its_fields() -> None:
    made = schema_of("bottle")
    assert made.__name__ == "BottleFields"
    assert {*made().fields} == {*spec.kinds()["bottle"]}
    fields = {"name": "a", "vintage": None, "of a newer program": [1]}
    assert made().load(fields) == fields


def test_invalid_field_is_reported_with_its_bound() -> None:
    with pytest.raises(ValidationError) as error:
        schema_of("bottle")().load({"name": "x" * 121, "vintage": 1999})
    assert error.value.messages == {"name": [{"code": "too_long", "bound": 120}]}


def test_patterns_fit_ids_and_clocks() -> None:
    assert re.search(UUID_PATTERN, ID)
    for text in (ID + "0", "0" + ID, ID.upper()):
        assert not re.search(UUID_PATTERN, text)
    pattern = RecordSchema().fields["deleted_clock"].metadata["pattern"]
    assert re.search(pattern, CLOCK)
    for text in (CLOCK + "-", "0" + CLOCK, CLOCK[:-1]):
        assert not re.search(pattern, text)


def test_record_on_the_wire_has_defaults() -> None:
    given = {"kind": "bottle", "id": ID, "fields": {"name": "a"}, "clocks": {"name": CLOCK}}
    loaded = RecordSchema().load({**given, "unknown": 1, "seq": 3})
    assert loaded == {
        "kind": "bottle",
        "id": ID,
        "fields_": {"name": "a"},
        "clocks": {"name": CLOCK},
        "deleted": False,
        "deleted_clock": None,
    }
    assert RecordSchema().dump({**loaded, "seq": 3})["seq"] == 3
    full = {**given, "deleted": True, "deleted_clock": CLOCK}
    assert RecordSchema().load(full)["deleted_clock"] == CLOCK
    assert RecordSchema().load({**full, "deleted_clock": None})["deleted_clock"] is None


@pytest.mark.parametrize("name", ["kind", "id", "fields", "clocks"])
def test_record_on_the_wire_needs_its_parts(name: str) -> None:
    given = {"kind": "bottle", "id": ID, "fields": {}, "clocks": {}}
    del given[name]
    with pytest.raises(ValidationError) as error:
        RecordSchema().load(given)
    assert set(error.value.messages) == {name}  # type: ignore[arg-type]


def test_kinds_on_the_wire_are_those_of_the_spec() -> None:
    assert RecordSchema().fields["kind"].metadata["enum"] == sorted(spec.kinds())
