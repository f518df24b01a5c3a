"""Limits the size of a merged record and the number of records of an owner.

`parse` limits a single change, but many changes could still make a record too large for a phone. A
record that is already too large, from an older program, may change but not grow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row

from webapp.records.quota import count_records
from webapp.records.record import Record
from webapp.records.validate import FieldError
from webapp.sync.parse import MAX_FIELDS, MAX_RECORD_CHARACTERS, characters


@dataclass(slots=True)
class Capacity:
    """How many more records the owner may have (None: no limit); `limit` is the quota."""

    remaining: int | None = None
    limit: int = 0

    def rejection(self, record: Record) -> FieldError | None:
        """Return the error of a new record; if there is none, count it as added."""
        problem = size_error(record)
        if problem is None and self.remaining is not None:
            if self.remaining <= 0:
                return {"code": "too_many_records", "bound": self.limit}
            self.remaining -= 1
        return problem


def capacity_of(
    connection: Connection, owner: Row[Any], offered: int, max_records: int
) -> Capacity:
    """Return the owner's capacity before `offered` records; 0 `max_records`: no limit."""
    # Every record has used a sequence number, so most owners' records need not be counted.
    if not max_records or owner.seq + offered <= max_records:
        return Capacity()
    return Capacity(max_records - count_records(connection, owner.id), max_records)


def growth_error(mine: Record, merged: Record) -> FieldError | None:
    """Return the error of a merge result that is too big and bigger than before, else None."""
    problem = size_error(merged)
    if problem is None or _size(merged) <= _size(mine):
        return None
    return problem


def size_error(record: Record) -> FieldError | None:
    """Return the error of a record that is too big, else None."""
    if len(record["fields"]) > MAX_FIELDS:
        return {"code": "too_many", "bound": MAX_FIELDS}
    if record_characters(record) > MAX_RECORD_CHARACTERS:
        return {"code": "too_big", "bound": MAX_RECORD_CHARACTERS}
    return None


def record_characters(record: Record) -> int:
    """Return the approximate length of a record's values in the tables."""
    return sum(map(characters, record["fields"].values()))


def _size(record: Record) -> tuple[int, int]:
    return len(record["fields"]), record_characters(record)
