"""Validation of a record's fields, as the client does it."""

from __future__ import annotations

from typing import Any

from webapp.records.validate import FieldError, validate, validators_for


def validate_fields(kind: str, fields: dict[str, Any]) -> dict[str, list[FieldError]]:
    """Return the errors by field; null and unknown fields are valid.

    Raises UnknownKindError.
    """
    return validate(validators_for(kind), fields)
