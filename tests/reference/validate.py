"""Validate the fields of a record of one kind, as the client does."""

from __future__ import annotations

from typing import Any

from webapp.records.validate import Problem, checks_of, problems_of


def check_fields(kind: str, fields: dict[str, Any]) -> dict[str, list[Problem]]:
    """Problems by field, empty when all is well. null and unknown fields pass. Raises
    CheckError.
    """
    return problems_of(checks_of(kind), fields)
