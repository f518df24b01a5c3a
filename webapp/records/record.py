"""What a record is, as typed values."""

from __future__ import annotations

from typing import Any, TypedDict


class Record(TypedDict):
    """One record as it stands everywhere: on the wire, on the phone and in SQL."""

    kind: str
    id: str
    fields: dict[str, Any]
    clocks: dict[str, str]
    deleted: bool
    deleted_clock: str | None


class Superseded(TypedDict):
    """A value that a merge overruled; `field` is "deleted" for the deletion mark."""

    field: str
    value: Any
    clock: str


def is_deleted(record: Record) -> bool:
    """True while the record counts as deleted: an edit with a later clock brings it back."""
    deleted_clock = record["deleted_clock"]
    if not record["deleted"] or deleted_clock is None:
        return False
    return all(clock <= deleted_clock for clock in record["clocks"].values())
