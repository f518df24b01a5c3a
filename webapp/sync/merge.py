"""Merging two versions of one record, field by field. Pure: no clock is read, nothing is stored.

The result does not depend on the order or the number of merges (commutative, associative,
idempotent), which is what lets phones and the server exchange changes late, twice and in any order.
"""

from __future__ import annotations

from typing import Any, TypedDict

from webapp.records.canonical import canonical, utf16
from webapp.records.record import Record, Superseded


class Merged(TypedDict):
    """What a merge gives: the record, what it overruled, and whether `mine` is changed by it."""

    record: Record
    lost: list[Superseded]
    changed: bool


class MergeError(ValueError):
    """`code` is other_record: the two are not versions of one record."""

    code = "other_record"


def merge(mine: Record | None, theirs: Record) -> Merged:
    """Merge `theirs` (whole, or only the changed fields) into `mine` (None: nothing held yet).

    For each field, and for the deletion mark, the later clock wins. Equal clocks with different
    values (a cloned device) are settled by the larger canonical text. Raises MergeError.
    """
    if mine is None:
        return {"record": _copy(theirs), "lost": [], "changed": True}
    if (mine["kind"], mine["id"]) != (theirs["kind"], theirs["id"]):
        raise MergeError("other_record")
    record, lost, changed = _copy(mine), [], False
    for field, clock in theirs["clocks"].items():
        value = theirs["fields"].get(field)
        held = record["clocks"].get(field)
        if held is None or _wins(clock, value, held, record["fields"].get(field)):
            if held is not None:
                lost.append(Superseded(field=field, value=record["fields"].get(field), clock=held))
            record["fields"][field], record["clocks"][field], changed = value, clock, True
        elif not _same(clock, value, held, record["fields"].get(field)):
            lost.append(Superseded(field=field, value=value, clock=clock))
    changed = _merge_deletion(record, theirs, lost) or changed
    return {
        "record": record,
        "lost": sorted(lost, key=lambda one: one["field"]),
        "changed": changed,
    }


def _merge_deletion(record: Record, theirs: Record, lost: list[Superseded]) -> bool:
    clock, held = theirs["deleted_clock"], record["deleted_clock"]
    if clock is None:
        return False
    if held is not None and not _wins(clock, theirs["deleted"], held, record["deleted"]):
        if not _same(clock, theirs["deleted"], held, record["deleted"]):
            lost.append(Superseded(field="deleted", value=theirs["deleted"], clock=clock))
        return False
    if held is not None:
        lost.append(Superseded(field="deleted", value=record["deleted"], clock=held))
    record["deleted"], record["deleted_clock"] = theirs["deleted"], clock
    return True


def _wins(clock: str, value: Any, held_clock: str, held_value: Any) -> bool:
    if clock != held_clock:
        return clock > held_clock
    return utf16(canonical(value)) > utf16(canonical(held_value))


def _same(clock: str, value: Any, held_clock: str, held_value: Any) -> bool:
    return clock == held_clock and canonical(value) == canonical(held_value)


def _copy(record: Record) -> Record:
    return {
        "kind": record["kind"],
        "id": record["id"],
        "fields": dict(record["fields"]),
        "clocks": dict(record["clocks"]),
        "deleted": record["deleted"],
        "deleted_clock": record["deleted_clock"],
    }
