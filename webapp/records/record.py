"""The types of a record and of a superseded value."""

from __future__ import annotations

from typing import Any, TypedDict


class Record(TypedDict):
    """One record, in the form used on the wire, on the phone and in SQL."""

    kind: str
    id: str
    fields: dict[str, Any]
    clocks: dict[str, str]
    deleted: bool
    deleted_clock: str | None


class Revision(TypedDict):
    """A value that lost a merge; `field` is "deleted" for the deletion mark."""

    field: str
    value: Any
    clock: str


def is_deleted(record: Record) -> bool:
    """Tell whether the record is deleted; an edit with a later clock restores it."""
    deleted_clock = record["deleted_clock"]
    if not record["deleted"] or deleted_clock is None:
        return False
    return all(clock <= deleted_clock for clock in record["clocks"].values())
