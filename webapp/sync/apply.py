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
from webapp.sync.limits import Room, outgrown
from webapp.sync.merge import merge

# As on phones (`draft_ms` in static/config.js).
DRAFT_MS = 60_000


@dataclass(slots=True)
class Intake:
    """What came of some changes. `taken` says for each, in order, whether anything in it was new.

    `seen` are the records of which the sender, knowing everything up to its cursor, now holds the
    same state as the book. `refused` says why, by their place, some changes were not taken.
    """

    seq: int
    taken: list[bool] = field(default_factory=list)
    seen: set[Key] = field(default_factory=set)
    refused: dict[int, FieldError] = field(default_factory=dict)


@dataclass(slots=True)
class _Work:
    """The records touched so far, and what is to be written in the end."""

    held: dict[Key, StoredRecord]
    came_with: dict[Key, int | None]
    room: Room
    fresh: dict[Key, StoredRecord] = field(default_factory=dict)
    changed: dict[Key, StoredRecord] = field(default_factory=dict)
    revisions: list[dict[str, Any]] = field(default_factory=list)
    revision_of: list[int] = field(default_factory=list)


def take_in(
    connection: Connection,
    owner_id: int,
    seq: int,
    cursor: int,
    changes: list[Record],
    room: Room | None = None,
) -> Intake:
    """Merge `changes` into the owner's book, whose last number is `seq`. Writes rows, not `seq`."""
    held = load_records(connection, owner_id, ((one["kind"], one["id"]) for one in changes))
    came_with: dict[Key, int | None] = {key: one.seq for key, one in held.items()}
    work = _Work(held, came_with, room or Room())
    intake = Intake(seq)
    for place, change in enumerate(changes):
        intake.taken.append(_take_one(work, intake, owner_id, place, change))
    _count_new_revisions(connection, owner_id, work, intake)
    write_records(connection, owner_id, [*work.fresh.values()], [*work.changed.values()])
    write_revisions(connection, work.revisions)
    for key in (*work.fresh, *work.changed):
        before = work.came_with.get(key)
        if before is None or before <= cursor:
            intake.seen.add(key)
    return intake


def _take_one(work: _Work, intake: Intake, owner_id: int, place: int, change: Record) -> bool:
    key = (change["kind"], change["id"])
    mine = work.held.get(key)
    if mine is None:
        refusal = work.room.refusal(change)
        if refusal is not None:
            intake.refused[place] = refusal
            return False
        # There is nothing to merge with, and nobody else holds what was read from this request.
        intake.seq += 1
        work.fresh[key] = work.held[key] = StoredRecord(intake.seq, change)
        return True
    merged = merge(mine.record, change)
    refusal = outgrown(mine.record, merged["record"])
    if refusal is not None:
        intake.refused[place] = refusal
        return False
    for lost in merged["lost"]:
        if _is_continued(lost, merged["record"]):
            continue
        work.revisions.append(revision_row(owner_id, key, lost, intake.seq + 1))
        work.revision_of.append(place)
    if merged["changed"]:
        if key not in work.fresh and key not in work.changed:
            intake.seq += 1
            work.changed[key] = work.held[key] = StoredRecord(intake.seq, merged["record"])
        else:
            work.held[key].record = merged["record"]
    return merged["changed"]


def _is_continued(lost: Superseded, record: Record) -> bool:
    """True for the beginning of a text that the same device typed on within a minute.

    Nothing of it is lost: its letters stand in the text that overruled it. Without this the log
    of a note typed online would grow with the square of its length.
    """
    value, clock = record["fields"].get(lost["field"]), record["clocks"].get(lost["field"])
    if clock is None or not isinstance(value, str) or not isinstance(lost["value"], str):
        return False
    return (
        clock_device(clock) == clock_device(lost["clock"])
        and 0 <= clock_ms(clock) - clock_ms(lost["clock"]) < DRAFT_MS
        and value.startswith(lost["value"])
    )


def _count_new_revisions(
    connection: Connection, owner_id: int, work: _Work, intake: Intake
) -> None:
    """A change that lost against the book is news the first time, and a repetition after that."""
    known = existing_revisions(
        connection, owner_id, ((row["kind"], row["record_id"]) for row in work.revisions)
    )
    for place, row in zip(work.revision_of, work.revisions, strict=True):
        key = revision_key(row)
        if key not in known:
            known.add(key)
            intake.taken[place] = True
