"""A book in, second half: merge what was read into an owner's book.

Everything that can be wrong with a book is found before the first write: clocks, pictures, quotas.
The pictures are decoded and their bytes written before the database is locked. Then come bounded
transactions with a pause after each, as long as the transaction was, so that the books of others go
on meanwhile. Should the database fail in between, what has been merged stays, whole record by whole
record, and the same import goes on from there: merging twice changes nothing. It is not taken back,
because phones may have read it by then.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, TypeVar

from sqlalchemy import Connection, select, update
from sqlalchemy.exc import DBAPIError

from webapp.archive.parse import Book, DamagedBook, OldValue
from webapp.db.tables import owner
from webapp.photos.sanitize import PictureError, kept_picture
from webapp.photos.storage import (
    PhotoStore,
    Staged,
    Writing,
    drop_unnamed,
    keep_rows,
    lock_owner,
    stage,
    with_records,
)
from webapp.records.quota import count_photos, count_records
from webapp.records.record import Record
from webapp.records.repository import (
    held_keys,
    known_revisions,
    revision_key,
    revision_row,
    write_revisions,
)
from webapp.sync.apply import take_in
from webapp.sync.hlc import clock_ms
from webapp.sync.limits import too_big
from webapp.sync.parse import latest_clock

BATCH = 500
# A clock of the year 2200 or later would outrun every phone's for ever: no book has one.
LATEST_MS = 7_258_118_400_000
_SHORTEST_PAUSE_S = 0.02
T = TypeVar("T")


class Interrupted(Exception):
    """The database failed after some of the book had been merged; `taken` says how much."""

    def __init__(self, taken: TakenOver) -> None:
        super().__init__("The import broke off; do it again to go on.")
        self.taken = taken


@dataclass(slots=True)
class TakenOver:
    """How much of the imported book was new here."""

    records: int = 0
    revisions: int = 0
    photos: int = 0
    began: bool = field(default=False, repr=False)


def take_over(writing: Writing, owner_id: int, book: Book, store: PhotoStore) -> TakenOver:
    """Merge a book that was read whole. Doing it twice changes nothing.

    Raises DamagedBook or OverQuota before anything was merged, Interrupted after that.
    """
    for record in book.records:
        _latest_ms(record)
        problem = too_big(record)
        if problem is not None:
            raise DamagedBook(f"{record['kind']} {record['id']}", "too_big", problem)
    taken, staged, replaced = TakenOver(), list[Staged](), set[str]()
    try:
        _stage_photos(owner_id, book, store, staged)
        with writing() as connection:
            _check_quota(connection, owner_id, book, staged, store)
        _merge(writing, owner_id, book, taken)
        _keep_photos(writing, owner_id, staged, store, taken, replaced)
    except DBAPIError as error:
        if taken.began:
            raise Interrupted(taken) from error
        raise
    finally:
        _drop(writing, owner_id, replaced | {one.row["sha256"] for one in staged}, store)
    return taken


def pause(held_s: float) -> None:
    """Leave the database to others, who may have been waiting, for as long as we had it."""
    time.sleep(max(held_s, _SHORTEST_PAUSE_S))


def _latest_ms(record: Record) -> int:
    clock = latest_clock(record)
    latest = clock_ms(clock) if clock else 0
    if latest >= LATEST_MS:
        raise DamagedBook(f"{record['kind']} {record['id']}", "clock_ahead", {"bound": LATEST_MS})
    return latest


def _stage_photos(owner_id: int, book: Book, store: PhotoStore, staged: list[Staged]) -> None:
    """Add to `staged`, one after the other, so that what stands there is known after an error."""
    try:
        for id_, read in book.photos.items():
            picture = kept_picture(read(), store.most_pixels)

            def again(read: Any = read) -> bytes:
                return kept_picture(read(), store.most_pixels).content

            staged.append(stage(store, owner_id, id_, picture, again))
    except PictureError as error:
        raise DamagedBook(f"photos/{id_}", error.code) from None


def _check_quota(
    connection: Connection, owner_id: int, book: Book, staged: list[Staged], store: PhotoStore
) -> None:
    keys = [(one["kind"], one["id"]) for one in book.records]
    new = len(keys) - len(held_keys(connection, owner_id, keys))
    if new:
        store.quota.check_records(count_records(connection, owner_id) + new)
    if staged:
        count, total = count_photos(connection, owner_id, [one.row["id"] for one in staged])
        total += sum(one.row["bytes"] for one in staged)
        store.quota.check_photos(count + len(staged), total)


def _batches(items: list[T]) -> Iterator[list[T]]:
    for start in range(0, len(items), BATCH):
        yield items[start : start + BATCH]


def _merge(writing: Writing, owner_id: int, book: Book, taken: TakenOver) -> None:
    for records in _batches(book.records):
        began = time.monotonic()
        with writing() as connection:
            new = _take_records(connection, owner_id, records)
        taken.records += new
        taken.began = True
        pause(time.monotonic() - began)
    for revisions in _batches(book.revisions):
        began = time.monotonic()
        with writing() as connection:
            lock_owner(connection, owner_id)
            new = _take_revisions(connection, owner_id, revisions)
        taken.revisions += new
        taken.began = True
        pause(time.monotonic() - began)


def _take_records(connection: Connection, owner_id: int, records: list[Record]) -> int:
    locked = select(owner).where(owner.c.id == owner_id).with_for_update()
    row = connection.execute(locked).one()
    latest_ms = max([row.max_clock_ms, *map(_latest_ms, records)])
    intake = take_in(connection, owner_id, row.seq, 0, records)
    connection.execute(
        update(owner).where(owner.c.id == owner_id).values(seq=intake.seq, max_clock_ms=latest_ms)
    )
    return sum(intake.taken)


def _take_revisions(connection: Connection, owner_id: int, old_values: list[OldValue]) -> int:
    rows = {
        revision_key(row): row
        for old in old_values
        for row in [revision_row(owner_id, (old.kind, old.id), old.lost, old.overruled_at)]
    }
    known = known_revisions(connection, owner_id, ((old.kind, old.id) for old in old_values))
    new = [row for key, row in rows.items() if key not in known]
    write_revisions(connection, new)
    return len(new)


def _keep_photos(
    writing: Writing,
    owner_id: int,
    staged: list[Staged],
    store: PhotoStore,
    taken: TakenOver,
    replaced: set[str],
) -> None:
    """Rows for the pictures that have a record; `replaced` gets what they took the place of."""
    for batch in _batches(staged):
        began = time.monotonic()
        with writing() as connection:
            lock_owner(connection, owner_id)
            known = with_records(connection, owner_id, [one.row["id"] for one in batch])
            kept = keep_rows(
                connection, store, owner_id, [one for one in batch if one.row["id"] in known]
            )
        taken.photos += kept.new
        replaced |= kept.replaced
        pause(time.monotonic() - began)


def _drop(writing: Writing, owner_id: int, shas: set[str], store: PhotoStore) -> None:
    """Of these hashes, remove the bytes that no row names: replaced, or never taken."""
    for batch in _batches([*shas]):
        try:
            drop_unnamed(writing, store.folder, owner_id, batch)
        except DBAPIError:
            # They are removed as leftovers.
            return
