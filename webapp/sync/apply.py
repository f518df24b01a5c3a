"""Taking changes into a book: merge each one, give it a number, keep what was overruled.

The caller holds the owner's row locked; numbers given out here become visible all at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection

from webapp.records.record import Record, Superseded
from webapp.records.repository import (
    Key,
    StoredRecord,
    existing_revisions,
    load_records,
    revision_key,
    revision_row,
    write_records,
    write_revisions,
)
from webapp.records.validate import FieldError
from webapp.sync.hlc import clock_device, clock_ms
from webapp.sync.limits import Capacity, growth_error
from webapp.sync.merge import merge

# As on phones (`draft_ms` in static/config.js).
DRAFT_MS = 60_000


@dataclass(slots=True)
class ApplyResult:
    """What came of some changes. `is_new` says for each, in order, whether anything in it was new.

    `confirmed`: records of which the sender, who knows everything up to its cursor, now holds the
    server's state. `rejected`: the error of each change that was not applied, by its position.
    """

    seq: int
    is_new: list[bool] = field(default_factory=list)
    confirmed: set[Key] = field(default_factory=set)
    rejected: dict[int, FieldError] = field(default_factory=dict)


@dataclass(slots=True)
class _Work:
    """The records touched so far, and what is to be written in the end."""

    stored: dict[Key, StoredRecord]
    seq_before: dict[Key, int | None]
    capacity: Capacity
    created: dict[Key, StoredRecord] = field(default_factory=dict)
    changed: dict[Key, StoredRecord] = field(default_factory=dict)
    revisions: list[dict[str, Any]] = field(default_factory=list)
    revision_of: list[int] = field(default_factory=list)


def apply_changes(
    connection: Connection,
    owner_id: int,
    seq: int,
    cursor: int,
    changes: list[Record],
    capacity: Capacity | None = None,
) -> ApplyResult:
    """Merge `changes` into the owner's book, whose last number is `seq`. Writes rows, not `seq`."""
    stored = load_records(connection, owner_id, ((one["kind"], one["id"]) for one in changes))
    seq_before: dict[Key, int | None] = {key: one.seq for key, one in stored.items()}
    work = _Work(stored, seq_before, capacity or Capacity())
    result = ApplyResult(seq)
    for place, change in enumerate(changes):
        result.is_new.append(_apply_one(work, result, owner_id, place, change))
    _count_new_revisions(connection, owner_id, work, result)
    write_records(connection, owner_id, [*work.created.values()], [*work.changed.values()])
    write_revisions(connection, work.revisions)
    for key in (*work.created, *work.changed):
        before = work.seq_before.get(key)
        if before is None or before <= cursor:
            result.confirmed.add(key)
    return result


def _apply_one(work: _Work, result: ApplyResult, owner_id: int, place: int, change: Record) -> bool:
    key = (change["kind"], change["id"])
    mine = work.stored.get(key)
    if mine is None:
        rejection = work.capacity.rejection(change)
        if rejection is not None:
            result.rejected[place] = rejection
            return False
        # There is nothing to merge with, and nobody else holds what was read from this request.
        result.seq += 1
        work.created[key] = work.stored[key] = StoredRecord(result.seq, change)
        return True
    merged = merge(mine.record, change)
    rejection = growth_error(mine.record, merged["record"])
    if rejection is not None:
        result.rejected[place] = rejection
        return False
    for superseded in merged["lost"]:
        if _is_continued(superseded, merged["record"]):
            continue
        work.revisions.append(revision_row(owner_id, key, superseded, result.seq + 1))
        work.revision_of.append(place)
    if merged["changed"]:
        if key not in work.created and key not in work.changed:
            result.seq += 1
            work.changed[key] = work.stored[key] = StoredRecord(result.seq, merged["record"])
        else:
            work.stored[key].record = merged["record"]
    return merged["changed"]


def _is_continued(superseded: Superseded, record: Record) -> bool:
    """True for the beginning of a text that the same device typed on within a minute.

    Nothing of it is lost: its letters stand in the text that overruled it. Without this the log
    of a note typed online would grow with the square of its length.
    """
    value, clock = (
        record["fields"].get(superseded["field"]),
        record["clocks"].get(superseded["field"]),
    )
    if clock is None or not isinstance(value, str) or not isinstance(superseded["value"], str):
        return False
    return (
        clock_device(clock) == clock_device(superseded["clock"])
        and 0 <= clock_ms(clock) - clock_ms(superseded["clock"]) < DRAFT_MS
        and value.startswith(superseded["value"])
    )


def _count_new_revisions(
    connection: Connection, owner_id: int, work: _Work, result: ApplyResult
) -> None:
    """A change that lost against the book is news the first time, and a repetition after that."""
    known = existing_revisions(
        connection, owner_id, ((row["kind"], row["record_id"]) for row in work.revisions)
    )
    for place, row in zip(work.revision_of, work.revisions, strict=True):
        key = revision_key(row)
        if key not in known:
            known.add(key)
            result.is_new[place] = True
