"""Parses a JSON value to a record; every part is validated before it is used."""

from __future__ import annotations

import json
import math
import re
from typing import Any

from webapp.records.record import Record
from webapp.records.repository import to_json
from webapp.records.validate import (
    FieldError,
    UnknownKindError,
    Validator,
    has_forbidden_chars,
    is_id,
    validate,
    validators_for,
)
from webapp.sync.hlc import are_clocks, is_clock

FieldErrors = dict[str, list[FieldError]]

MAX_FIELDS = 200
MAX_DEPTH = 16
MAX_UNKNOWN_LENGTH = 20_000
# Ten times the length of a tasting whose texts all have their maximum length.
MAX_RECORD_CHARACTERS = 500_000
_PLAIN_CHARACTERS = 24
# `deleted`: revisions of the deletion mark have this field name. `constructor`: every JavaScript
# object has it.
_FIELD_NAME = re.compile(r"(?!(?:deleted|constructor)$)[a-z][a-z0-9_]{0,63}")


class InvalidRecord(ValueError):
    """The value is not a valid record. `errors` is {field or part: [{code, bound?}]}."""

    def __init__(self, errors: FieldErrors) -> None:
        super().__init__(json.dumps(errors))
        self.errors = errors


def _reject(part: str, code: str, bound: int | None = None) -> InvalidRecord:
    problem: FieldError = {"code": code} if bound is None else {"code": code, "bound": bound}
    return InvalidRecord({part: [problem]})


def parse_record(value: Any) -> Record:
    """Parse a record, whole or with only its changed fields. Raises InvalidRecord."""
    if not isinstance(value, dict):
        raise _reject("record", "not_record")
    kind, fields, clocks = value.get("kind"), value.get("fields", {}), value.get("clocks", {})
    checks = _validators_or_none(kind)
    if checks is None or not isinstance(kind, str):
        raise _reject("kind", "unknown_kind")
    if not is_id(value.get("id")):
        raise _reject("id", "not_id")
    _check_pairs(fields, clocks)
    deleted, deleted_clock = _deletion(value)
    errors = validate(checks, fields)
    errors.update(_check_unknown(fields, fields.keys() - checks.keys()))
    if errors:
        raise InvalidRecord(errors)
    return {
        "kind": kind,
        "id": value["id"],
        "fields": fields,
        "clocks": clocks,
        "deleted": deleted,
        "deleted_clock": deleted_clock,
    }


def _validators_or_none(kind: Any) -> dict[str, Validator] | None:
    try:
        return validators_for(kind) if isinstance(kind, str) else None
    except UnknownKindError:
        return None


def _check_pairs(fields: Any, clocks: Any) -> None:
    """Require a valid clock for every field, and no others."""
    if not isinstance(fields, dict):
        raise _reject("fields", "not_fields")
    if not isinstance(clocks, dict):
        raise _reject("clocks", "not_clocks")
    if len(fields) > MAX_FIELDS:
        raise _reject("fields", "too_many", MAX_FIELDS)
    if fields.keys() != clocks.keys():
        without = [name for name in fields if name not in clocks]
        raise (
            _reject(_safe_field_name(without[0]), "no_clock")
            if without
            else _reject("clocks", "no_field")
        )
    if not are_clocks(clocks.values()):
        wrong = next(name for name, clock in clocks.items() if not is_clock(clock))
        raise _reject(_safe_field_name(wrong), "not_clock")


def _safe_field_name(name: str) -> str:
    """Return the field's name, or "fields" if it is invalid and must not be sent back."""
    return name if is_field_name(name) else "fields"


def is_field_name(name: str) -> bool:
    """Tell whether a field may have this name."""
    return _FIELD_NAME.fullmatch(name) is not None


def _deletion(value: dict[str, Any]) -> tuple[bool, str | None]:
    deleted, clock = value.get("deleted", False), value.get("deleted_clock")
    if not isinstance(deleted, bool):
        raise _reject("deleted", "not_flag")
    if clock is None and deleted:
        raise _reject("deleted", "no_clock")
    if clock is not None and not is_clock(clock):
        raise _reject("deleted", "not_clock")
    return deleted, clock


def _check_unknown(fields: dict[str, Any], unknown: set[str]) -> FieldErrors:
    """Check unknown fields, which come from a newer program: reject only what cannot be stored."""
    if not all(map(is_field_name, unknown)):
        return {"fields": [{"code": "bad_character"}]}
    errors: FieldErrors = {}
    total = 0
    for name in sorted(unknown):
        problem = storage_error(fields[name])
        if problem is None and len(json.dumps(fields[name])) > MAX_UNKNOWN_LENGTH:
            problem = {"code": "too_long", "bound": MAX_UNKNOWN_LENGTH}
        if problem is not None:
            errors[name] = [problem]
            continue
        # Checking many parts takes long, so a record that is too big is not checked to its end.
        total += characters(fields[name])
        if total > MAX_RECORD_CHARACTERS:
            return {"record": [{"code": "too_big", "bound": MAX_RECORD_CHARACTERS}]}
    return errors


def characters(value: Any) -> int:
    """Return the approximate length of a value in the tables."""
    if isinstance(value, str):
        return len(value)
    return len(to_json(value)) if isinstance(value, (list, dict)) else _PLAIN_CHARACTERS


def storage_error(value: Any, depth: int = MAX_DEPTH) -> FieldError | None:
    """Return the error of a JSON value that SQL or a phone cannot store, else None."""
    if depth == 0:
        return {"code": "too_deep", "bound": MAX_DEPTH}
    if isinstance(value, str):
        return {"code": "bad_character"} if has_forbidden_chars(value) else None
    if isinstance(value, (int, float)):
        return None if _is_double(value) else {"code": "not_number"}
    parts: list[Any] = []
    if isinstance(value, list):
        parts = value
    elif isinstance(value, dict):
        parts = [*value, *value.values()]
    return next((bad for part in parts if (bad := storage_error(part, depth - 1))), None)


def _is_double(value: float) -> bool:
    try:
        return math.isfinite(float(value))
    except OverflowError:
        return False


def latest_clock(record: Record) -> str | None:
    """Return the latest clock in a record, None if it has none."""
    clocks = (*record["clocks"].values(), record["deleted_clock"])
    return max((clock for clock in clocks if clock is not None), default=None)
