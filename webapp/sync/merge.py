"""Merges two versions of one record, field by field; pure functions.

The merge is commutative, associative and idempotent, so phones and server may exchange changes
late, repeatedly and in any order.
"""

from __future__ import annotations

from typing import Any, TypedDict

from webapp.records.canonical import canonical, utf16
from webapp.records.record import Record, Revision


class Merged(TypedDict):
    """A merge result: the record, the superseded values, and whether it differs from `mine`."""

    record: Record
    revisions: list[Revision]
    changed: bool


class MergeError(ValueError):
    """The two are not versions of one record; `code` is other_record."""

    code = "other_record"


def merge(mine: Record | None, theirs: Record) -> Merged:
    """Merge `theirs` (whole, or only the changed fields) into `mine` (None: not stored yet).

    For each field, and for the deletion mark, the later clock wins. For equal clocks with different
    values (a cloned device), the larger canonical text wins. Raises MergeError.
    """
    if mine is None:
        return {"record": _copy(theirs), "revisions": [], "changed": True}
    if (mine["kind"], mine["id"]) != (theirs["kind"], theirs["id"]):
        raise MergeError("other_record")
    record, revisions, changed = _copy(mine), [], False
    for field, clock in theirs["clocks"].items():
        value = theirs["fields"].get(field)
        old = record["clocks"].get(field)
        if old is None or _wins(clock, value, old, record["fields"].get(field)):
            if old is not None:
                revisions.append(
                    Revision(field=field, value=record["fields"].get(field), clock=old)
                )
            record["fields"][field], record["clocks"][field], changed = value, clock, True
        elif not _same(clock, value, old, record["fields"].get(field)):
            revisions.append(Revision(field=field, value=value, clock=clock))
    changed = _merge_deletion(record, theirs, revisions) or changed
    return {
        "record": record,
        "revisions": sorted(revisions, key=lambda one: one["field"]),
        "changed": changed,
    }


def _merge_deletion(record: Record, theirs: Record, revisions: list[Revision]) -> bool:
    clock, old = theirs["deleted_clock"], record["deleted_clock"]
    if clock is None:
        return False
    if old is not None and not _wins(clock, theirs["deleted"], old, record["deleted"]):
        if not _same(clock, theirs["deleted"], old, record["deleted"]):
            revisions.append(Revision(field="deleted", value=theirs["deleted"], clock=clock))
        return False
    if old is not None:
        revisions.append(Revision(field="deleted", value=record["deleted"], clock=old))
    record["deleted"], record["deleted_clock"] = theirs["deleted"], clock
    return True


def _wins(clock: str, value: Any, stored_clock: str, stored_value: Any) -> bool:
    if clock != stored_clock:
        return clock > stored_clock
    return utf16(canonical(value)) > utf16(canonical(stored_value))


def _same(clock: str, value: Any, stored_clock: str, stored_value: Any) -> bool:
    return clock == stored_clock and canonical(value) == canonical(stored_value)


def _copy(record: Record) -> Record:
    return {
        "kind": record["kind"],
        "id": record["id"],
        "fields": dict(record["fields"]),
        "clocks": dict(record["clocks"]),
        "deleted": record["deleted"],
        "deleted_clock": record["deleted_clock"],
    }
