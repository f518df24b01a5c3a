"""The types of a record and of a superseded value."""

from __future__ import annotations

from collections.abc import Iterable
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


def emptied(record: Record, names: Iterable[str], clock: str) -> Record:
    """Return a deletion mark with null for each of the named values, all with this clock.

    A null is an ordinary later value, which every phone accepts by the ordinary merge.
    """
    nulls = dict.fromkeys(names)
    return Record(
        kind=record["kind"],
        id=record["id"],
        fields=nulls,
        clocks=dict.fromkeys(nulls, clock),
        deleted=True,
        deleted_clock=clock,
    )


def is_deleted(record: Record) -> bool:
    """Tell whether the record is deleted; an edit with a later clock restores it."""
    deleted_clock = record["deleted_clock"]
    if not record["deleted"] or deleted_clock is None:
        return False
    return all(clock <= deleted_clock for clock in record["clocks"].values())
