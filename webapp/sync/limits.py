"""How large a record may grow over many changes, and how many records a book may have.

A change is bounded by itself (see `shape`); without these bounds many changes make a record that no
phone can hold. A record that was larger before, by an older program, may change but not grow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.records.record import Record
from webapp.records.repository import to_json
from webapp.records.validate import FieldError
from webapp.sync.parse import MAX_FIELDS

# All texts of a tasting at their longest are a tenth of this.
MAX_CHARACTERS = 500_000
_PLAIN_CHARACTERS = 24


@dataclass(slots=True)
class Capacity:
    """For how many records more there is room (None: no bound was set); `limit` is that bound."""

    left: int | None = None
    limit: int = 0

    def rejection(self, record: Record) -> FieldError | None:
        """Why this new record is not taken; where it is, there is room for one less."""
        problem = size_error(record)
        if problem is None and self.left is not None:
            if self.left <= 0:
                return {"code": "too_many_records", "bound": self.limit}
            self.left -= 1
        return problem


def growth_error(mine: Record, merged: Record) -> FieldError | None:
    """Why a merge is not kept: it is too big, and bigger than what was there."""
    problem = size_error(merged)
    if problem is None or _size(merged) <= _size(mine):
        return None
    return problem


def size_error(record: Record) -> FieldError | None:
    """Why no record may be as large as this one, None where it may."""
    if len(record["fields"]) > MAX_FIELDS or _size(record)[1] > MAX_CHARACTERS:
        return {"code": "too_big", "bound": MAX_CHARACTERS}
    return None


def _size(record: Record) -> tuple[int, int]:
    """(fields, about how many characters they take)"""
    return len(record["fields"]), sum(map(_characters, record["fields"].values()))


def _characters(value: Any) -> int:
    if isinstance(value, str):
        return len(value)
    return len(to_json(value)) if isinstance(value, (list, dict)) else _PLAIN_CHARACTERS
