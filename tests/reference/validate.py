"""Validate the fields of a record of one kind, as the client does."""

from __future__ import annotations

from typing import Any

from webapp.records.validate import FieldError, validate, validators_for


def validate_fields(kind: str, fields: dict[str, Any]) -> dict[str, list[FieldError]]:
    """Problems by field, empty when all is well. null and unknown fields pass. Raises
    UnknownKindError.
    """
    return validate(validators_for(kind), fields)
