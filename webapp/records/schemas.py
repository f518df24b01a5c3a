"""Marshmallow schemas made from the spec; their fields call the validators of `validate`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from marshmallow import EXCLUDE, INCLUDE, Schema, ValidationError, fields

from webapp import spec
from webapp.records.validate import Validator, validators_for

_CLOCK_PATTERN = r"^[0-9]{13}-[0-9a-f]{4}-[a-z0-9]{8,32}$"
UUID_PATTERN = r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"


class SpecField(fields.Field[Any]):
    """A field of a record, which uses its validator and describes itself as JSON Schema."""

    def __init__(self, check: Validator, field_spec: Mapping[str, Any]) -> None:
        super().__init__(allow_none=True, metadata=json_schema(field_spec))
        self._check = check

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        problem = self._check(value)
        if problem is not None:
            raise ValidationError([problem])
        return value


@cache
def schema_of(kind: str) -> type[Schema]:
    """Make the schema of one kind's fields. Unknown fields, of a newer program, are included."""
    checks = validators_for(kind)
    field_specs = spec.kinds()[kind]
    members: dict[str, Any] = {
        name: SpecField(checks[name], field_spec) for name, field_spec in field_specs.items()
    }
    members["Meta"] = type("Meta", (), {"unknown": INCLUDE})
    return type(f"{kind.capitalize()}Fields", (Schema,), members)


def json_schema(field_spec: Mapping[str, Any]) -> dict[str, Any]:
    """Return JSON Schema of a field's spec, as far as JSON Schema can express it."""
    return {**_JSON_SCHEMAS[field_spec["type"]](field_spec), "x-type": field_spec["type"]}


def _text(field_spec: Mapping[str, Any]) -> dict[str, Any]:
    return {"type": "string", "maxLength": field_spec["max"]}


def _range(kind: str, field_spec: Mapping[str, Any]) -> dict[str, Any]:
    return {"type": kind, "minimum": field_spec["min"], "maximum": field_spec["max"]}


def _list(field_spec: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "type": "array",
        "items": {"type": "string"},
        "maxItems": field_spec["max"],
        "uniqueItems": True,
    }


def _choice(field_spec: Mapping[str, Any]) -> dict[str, Any]:
    return {"enum": [*spec.vocabulary(field_spec.get("of", field_spec["type"])), None]}


def _pattern(pattern: str) -> Any:
    return lambda field_spec: {"type": "string", "pattern": pattern}


_JSON_SCHEMAS: dict[str, Any] = {
    "text": _text,
    "number": lambda field_spec: _range("number", field_spec),
    "integer": lambda field_spec: _range("integer", field_spec),
    "flag": lambda field_spec: {"type": "boolean"},
    "choice": _choice,
    "style": _choice,
    "choices": _list,
    "aromas": _list,
    "graded": _list,
    "country": _pattern("^[A-Z]{2}$"),
    "currency": _pattern("^[A-Z]{3}$"),
    "date": _pattern("^[0-9]{4}-[0-9]{2}-[0-9]{2}$"),
    "moment": lambda field_spec: {"type": "string", "format": "date-time"},
    "ref": _pattern(UUID_PATTERN),
    "refs": lambda field_spec: {
        **_list(field_spec),
        "items": {"type": "string", "pattern": UUID_PATTERN},
    },
    "gtin": _pattern("^([0-9]{8}|[0-9]{12,14})$"),
}


def _clock(**options: Any) -> fields.String:
    return fields.String(metadata={"pattern": _CLOCK_PATTERN}, **options)


class RecordSchema(Schema):
    """A record on the wire; `fields` follow the schema of its kind."""

    class Meta:
        unknown = EXCLUDE

    kind = fields.String(required=True, metadata={"enum": sorted(spec.kinds())})
    id = fields.String(required=True, metadata={"pattern": UUID_PATTERN})
    fields_ = fields.Dict(required=True, data_key="fields", keys=fields.String())
    clocks = fields.Dict(required=True, keys=fields.String(), values=_clock())
    deleted = fields.Boolean(load_default=False)
    deleted_clock = _clock(load_default=None, allow_none=True)
    seq = fields.Integer(dump_only=True)
