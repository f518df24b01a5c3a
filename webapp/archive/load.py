"""Import, second half: merges a parsed archive into an owner's notebook.

Pictures and quotas are checked before the first write. Pictures are decoded and their bytes
written before the database is locked. Then the records are merged in bounded transactions, with a
pause as long as the transaction after each, so that other owners' requests are served meanwhile. If
anything fails in between (the database, the disk, a quota, the process), the records merged so far
stay, because phones may have read them already; the same import can be sent again and goes on from
there, because merging twice changes nothing.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import repeat
from typing import Any, TypeVar

from sqlalchemy import Connection
from sqlalchemy.exc import SQLAlchemyError

from webapp.archive.parse import Archive, InvalidArchive, RevisionEntry
from webapp.archive.restamp import NewClocks, new_clocks, restamp
from webapp.photos.sanitize import PictureError, sanitize_unless_clean
from webapp.photos.storage import (
    PhotoStore,
    Staged,
    Transaction,
    delete_unreferenced,
    ids_with_records,
    stage,
    store_rows,
)
from webapp.records.quota import OverQuota, count_photos, count_records
from webapp.records.record import Record
from webapp.records.repository import (
    Key,
    advance_notebook,
    existing_keys,
    existing_revisions,
    load_records,
    lock_owner,
    notebook_row,
    revision_key,
    revision_row,
    write_revisions,
)
from webapp.records.revision_limit import limit_revisions
from webapp.sync.apply import apply_changes
from webapp.sync.hlc import clock_ms, is_too_far_ahead
from webapp.sync.limits import record_characters
from webapp.sync.parse import characters, latest_clock

BATCH = 500
BATCH_CHARACTERS = 1_000_000
_SHORTEST_PAUSE_S = 0.02
T = TypeVar("T")


class ImportInterrupted(Exception):
    """An error after a part of the archive was merged; `counts` says how much.

    `cause` is what failed: the database (SQLAlchemyError), the disk (OSError), OverQuota, or the
    archive (InvalidArchive), if somebody has changed it meanwhile.
    """

    def __init__(self, counts: ImportCounts, cause: Exception) -> None:
        super().__init__(f"The import broke off ({type(cause).__name__}); do it again to go on.")
        self.counts = counts
        self.cause = cause


@dataclass(slots=True)
class SkippedRecord:
    """A record that was not merged; `code` is the reason."""

    kind: str
    id: str
    code: str


@dataclass(slots=True)
class ImportCounts:
    """How much of the imported archive was new, and which records were not merged."""

    records: int = 0
    revisions: int = 0
    photos: int = 0
    skipped: list[SkippedRecord] = field(default_factory=list)
    has_written: bool = field(default=False, repr=False)


def import_archive(
    transaction: Transaction, owner_id: int, archive: Archive, store: PhotoStore
) -> ImportCounts:
    """Merge a parsed archive into the owner's notebook. Doing it twice changes nothing.

    Raises InvalidArchive or OverQuota before the first write, ImportInterrupted after it.
    """
    counts, staged, replaced = ImportCounts(), list[Staged](), set[str]()
    try:
        _stage_photos(owner_id, archive, store, staged)
        with transaction() as connection:
            _check_revisions(connection, owner_id, archive)
            _check_quota(connection, owner_id, archive, staged, store)
            latest_ms = notebook_row(connection, owner_id, lock=False).max_clock_ms
        clocks = _new_clocks(archive, time.time_ns() // 1_000_000, latest_ms)
        _merge(transaction, owner_id, archive, clocks, counts)
        _import_photos(transaction, owner_id, staged, store, counts, replaced)
    except (SQLAlchemyError, OSError, OverQuota, InvalidArchive) as error:
        if counts.has_written:
            raise ImportInterrupted(counts, error) from error
        raise
    finally:
        _delete_unused(
            transaction, owner_id, replaced | {one.row["sha256"] for one in staged}, store
        )
    return counts


def pause(held_s: float) -> None:
    """Sleep as long as the database was locked, so that waiting requests get their turn."""
    time.sleep(max(held_s, _SHORTEST_PAUSE_S))


def _new_clocks(archive: Archive, now_ms: int, latest_ms: int) -> NewClocks:
    # Most archives have no clock ahead and are not read again for it.
    if not archive.latest_clock or not is_too_far_ahead(archive.latest_clock, now_ms, latest_ms):
        return NewClocks()
    return new_clocks(_clocks(archive), now_ms, latest_ms)


def _clocks(archive: Archive) -> Iterator[str]:
    for record in archive.records():
        yield from record["clocks"].values()
        if record["deleted_clock"] is not None:
            yield record["deleted_clock"]
    for entry in archive.revisions():
        yield entry.revision["clock"]


def _stage_photos(owner_id: int, archive: Archive, store: PhotoStore, staged: list[Staged]) -> None:
    """Append to `staged` one by one, so that the caller can clean up after an error."""
    try:
        for id_, read in archive.photos.items():
            picture = sanitize_unless_clean(read(), store.max_pixels)

            def again(read: Any = read) -> bytes:
                return sanitize_unless_clean(read(), store.max_pixels).content

            staged.append(stage(store, owner_id, id_, picture, again))
    except PictureError as error:
        raise InvalidArchive(f"photos/{id_}", error.code) from None


def _check_quota(
    connection: Connection, owner_id: int, archive: Archive, staged: list[Staged], store: PhotoStore
) -> None:
    new = 0
    for keys in _batches(archive.keys()):
        new += len(keys) - len(existing_keys(connection, owner_id, keys))
    if new:
        store.quota.check_records(count_records(connection, owner_id) + new)
    if staged:
        count, total = count_photos(connection, owner_id, [one.row["id"] for one in staged])
        total += sum(one.row["bytes"] for one in staged)
        store.quota.check_photos(count + len(staged), total)


def _check_revisions(connection: Connection, owner_id: int, archive: Archive) -> None:
    """Reject revisions of no record, which no quota would count. Raises InvalidArchive."""
    for keys in _batches(archive.without_record):
        for kind, id_ in {*keys} - existing_keys(connection, owner_id, keys):
            raise InvalidArchive("revisions.jsonl", "no_record", {"kind": kind, "id": id_})


def _batches(items: Iterable[T], size: Callable[[T], int] = lambda _: 0) -> Iterator[list[T]]:
    """Yield at most BATCH of the items at a time, and few big ones."""
    batch, total = list[T](), 0
    for item in items:
        batch.append(item)
        total += size(item)
        if len(batch) >= BATCH or total > BATCH_CHARACTERS:
            yield batch
            batch, total = [], 0
    if batch:
        yield batch


def _merge(
    transaction: Transaction,
    owner_id: int,
    archive: Archive,
    clocks: NewClocks,
    counts: ImportCounts,
) -> None:
    for records in _batches(archive.records(), record_characters):
        began = time.monotonic()
        with transaction() as connection:
            new, skipped = _import_records(connection, owner_id, records, clocks)
        counts.records += new
        counts.skipped += skipped
        counts.has_written = True
        pause(time.monotonic() - began)
    for revisions in _batches(archive.revisions(), lambda one: characters(one.revision["value"])):
        began = time.monotonic()
        with transaction() as connection:
            lock_owner(connection, owner_id)
            new = _import_revisions(connection, owner_id, revisions, clocks)
        counts.revisions += new
        counts.has_written = True
        pause(time.monotonic() - began)


def _import_records(
    connection: Connection, owner_id: int, records: list[Record], new: NewClocks
) -> tuple[int, list[SkippedRecord]]:
    """Merge a batch; return how many records had something new, and those that were rejected."""
    row = notebook_row(connection, owner_id, lock=True)
    if new:
        keys = [(one["kind"], one["id"]) for one in records]
        stored = load_records(connection, owner_id, keys)
        earlier: dict[Key, set[tuple[str, str]]] = {key: set() for key in keys}
        for kind, id_, field, _, digest in existing_revisions(connection, owner_id, keys):
            earlier[kind, id_].add((field, digest))
        known = [stored[key].record if key in stored else None for key in keys]
        values = [earlier[key] for key in keys]
        records = [*map(restamp, records, repeat(new), known, values)]
    result = apply_changes(connection, owner_id, row.seq, 0, records)
    merged = [one for place, one in enumerate(records) if place not in result.rejected]
    clocks = [clock for clock in map(latest_clock, merged) if clock is not None]
    latest_ms = max([row.max_clock_ms, *map(clock_ms, clocks)])
    advance_notebook(connection, owner_id, result.seq, latest_ms)
    # Without a quota only the size is rejected, and phones show this code without a bound.
    skipped = [
        SkippedRecord(records[place]["kind"], records[place]["id"], "too_big")
        for place in result.rejected
    ]
    return sum(result.is_new), skipped


def _import_revisions(
    connection: Connection, owner_id: int, entries: list[RevisionEntry], clocks: NewClocks
) -> int:
    known = existing_revisions(connection, owner_id, ((entry.kind, entry.id) for entry in entries))
    known_values = {(*key[:3], key[4]) for key in known}
    rows: dict[tuple[str, ...], dict[str, Any]] = {}
    for entry in entries:
        revision = entry.revision
        row = revision_row(owner_id, (entry.kind, entry.id), revision, entry.overruled_at)
        key = revision_key(row)
        if revision["clock"] in clocks:
            # The same value with another clock is what an earlier import has stored.
            if (*key[:3], key[4]) in known_values:
                continue
            row["clock"] = clocks[revision["clock"]]
        rows[revision_key(row)] = row
    new = [row for key, row in rows.items() if key not in known]
    write_revisions(connection, new)
    limit_revisions(connection, owner_id, known | rows.keys())
    return len(new)


def _import_photos(
    transaction: Transaction,
    owner_id: int,
    staged: list[Staged],
    store: PhotoStore,
    counts: ImportCounts,
    replaced: set[str],
) -> None:
    """Store rows for the pictures that have a record; add the hashes they replace to `replaced`."""
    for batch in _batches(staged):
        began = time.monotonic()
        with transaction() as connection:
            lock_owner(connection, owner_id)
            known = ids_with_records(connection, owner_id, [one.row["id"] for one in batch])
            kept = store_rows(
                connection, store, owner_id, [one for one in batch if one.row["id"] in known]
            )
        counts.photos += kept.new
        counts.has_written = True
        replaced |= kept.replaced
        pause(time.monotonic() - began)


def _delete_unused(
    transaction: Transaction, owner_id: int, shas: set[str], store: PhotoStore
) -> None:
    """Delete the files of those hashes that no row references: replaced, or never stored."""
    for batch in _batches(shas):
        try:
            delete_unreferenced(transaction, store.files, owner_id, batch)
        except (SQLAlchemyError, OSError):
            # The daily purge deletes them as leftovers.
            return
