"""Applies changes: merges each one, assigns a sequence number, stores superseded values.

The caller has locked the owner's row, so all numbers assigned here become visible at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection

from webapp.records.record import Record, Revision
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
from webapp.records.revision_limit import limit_revisions
from webapp.records.validate import FieldError
from webapp.sync.hlc import clock_device, clock_ms
from webapp.sync.limits import Capacity, growth_error
from webapp.sync.merge import merge

# As on phones (`draft_ms` in static/config.js).
DRAFT_MS = 60_000


@dataclass(slots=True)
class ApplyResult:
    """The result of some changes. `is_new` tells for each, in order, whether it had any new value.

    `confirmed`: records whose state on the phone now equals the server's, because the phone has
    read everything up to its cursor. `rejected`: errors by position of the change.
    """

    seq: int
    is_new: list[bool] = field(default_factory=list)
    confirmed: set[Key] = field(default_factory=set)
    rejected: dict[int, FieldError] = field(default_factory=dict)


@dataclass(slots=True)
class _Work:
    """The records merged so far, and the rows to write at the end."""

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
    """Merge `changes`; `seq` is the owner's last number. Writes records, but not the new `seq`."""
    stored = load_records(connection, owner_id, ((one["kind"], one["id"]) for one in changes))
    seq_before: dict[Key, int | None] = {key: one.seq for key, one in stored.items()}
    work = _Work(stored, seq_before, capacity or Capacity())
    result = ApplyResult(seq)
    for place, change in enumerate(changes):
        result.is_new.append(_apply_one(work, result, owner_id, place, change))
    known = _count_new_revisions(connection, owner_id, work, result)
    write_records(connection, owner_id, [*work.created.values()], [*work.changed.values()])
    write_revisions(connection, work.revisions)
    limit_revisions(connection, owner_id, known)
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
        # A new record needs no merge and no copy: the parsed request is used nowhere else.
        result.seq += 1
        work.created[key] = work.stored[key] = StoredRecord(result.seq, change)
        return True
    merged = merge(mine.record, change)
    rejection = growth_error(mine.record, merged["record"])
    if rejection is not None:
        result.rejected[place] = rejection
        return False
    if merged["changed"]:
        if key not in work.created and key not in work.changed:
            result.seq += 1
            work.changed[key] = work.stored[key] = StoredRecord(result.seq, merged["record"])
        else:
            work.stored[key].record = merged["record"]
    for revision in merged["revisions"]:
        if _is_continued(revision, merged["record"]):
            continue
        work.revisions.append(revision_row(owner_id, key, revision, work.stored[key].seq))
        work.revision_of.append(place)
    return merged["changed"]


def _is_continued(revision: Revision, record: Record) -> bool:
    """Tell whether the new text only continues the superseded one: same device, within a minute.

    Nothing is lost then, because the new text begins with the old one. Otherwise the revisions of a
    note typed online would grow with the square of its length.
    """
    value, superseded = record["fields"].get(revision["field"]), revision["value"]
    if not isinstance(value, str) or not isinstance(superseded, str):
        return False
    clock = record["clocks"][revision["field"]]
    return (
        clock_device(clock) == clock_device(revision["clock"])
        and 0 <= clock_ms(clock) - clock_ms(revision["clock"]) < DRAFT_MS
        and value.startswith(superseded)
    )


def _count_new_revisions(
    connection: Connection, owner_id: int, work: _Work, result: ApplyResult
) -> set[tuple[str, ...]]:
    """Mark a change that lost the merge as new if its revision is not stored yet.

    Returns the keys of all revisions, stored and new, of the records that get some.
    """
    known = existing_revisions(
        connection, owner_id, ((row["kind"], row["record_id"]) for row in work.revisions)
    )
    for place, row in zip(work.revision_of, work.revisions, strict=True):
        key = revision_key(row)
        if key not in known:
            known.add(key)
            result.is_new[place] = True
    return known
