"""A book in, second half: merge what was read into an owner's book, in the caller's transaction."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, select, update

from webapp.db.tables import owner
from webapp.export.read import Book, DamagedBook
from webapp.records.photos import keep_photo
from webapp.records.picture import PictureError, kept_picture
from webapp.records.record import Record
from webapp.records.store import (
    known_revisions,
    revision_key,
    revision_row,
    write_revisions,
)
from webapp.sync.clock import clock_ms
from webapp.sync.intake import take_in
from webapp.sync.shape import latest_clock

BATCH = 500
# A clock of the year 2200 or later would outrun every phone's for ever: no book has one.
LATEST_MS = 7_258_118_400_000


@dataclass(slots=True)
class TakenOver:
    """How much of the imported book was new here."""

    records: int = 0
    revisions: int = 0
    photos: int = 0


def take_over(
    connection: Connection, owner_id: int, book: Book, photos: Path, most_pixels: int
) -> TakenOver:
    """Merge a book that was read whole. Doing it twice changes nothing. Raises DamagedBook."""
    locked = select(owner).where(owner.c.id == owner_id).with_for_update()
    row = connection.execute(locked).one()
    taken, seq, latest_ms = TakenOver(), row.seq, row.max_clock_ms
    for batch in _batches(book.records):
        latest_ms = max([latest_ms, *map(_latest_ms, batch)])
        intake = take_in(connection, owner_id, seq, 0, batch)
        taken.records += sum(intake.taken)
        seq = intake.seq
    connection.execute(
        update(owner).where(owner.c.id == owner_id).values(seq=seq, max_clock_ms=latest_ms)
    )
    taken.revisions = _take_revisions(connection, owner_id, book)
    taken.photos = _take_photos(connection, owner_id, book, photos, most_pixels)
    return taken


def _latest_ms(record: Record) -> int:
    clock = latest_clock(record)
    latest = clock_ms(clock) if clock else 0
    if latest >= LATEST_MS:
        raise DamagedBook(f"{record['kind']} {record['id']}", "clock_ahead", {"bound": LATEST_MS})
    return latest


def _batches(records: list[Record]) -> Iterator[list[Record]]:
    for start in range(0, len(records), BATCH):
        yield records[start : start + BATCH]


def _take_revisions(connection: Connection, owner_id: int, book: Book) -> int:
    rows = {
        revision_key(row): row
        for old in book.revisions
        for row in [revision_row(owner_id, (old.kind, old.id), old.lost, old.overruled_at)]
    }
    known = known_revisions(connection, owner_id, ((old.kind, old.id) for old in book.revisions))
    new = [row for key, row in rows.items() if key not in known]
    write_revisions(connection, new)
    return len(new)


def _take_photos(
    connection: Connection, owner_id: int, book: Book, photos: Path, most_pixels: int
) -> int:
    kept = 0
    for id_, read in book.photos.items():
        try:
            picture = kept_picture(read(), most_pixels)
        except PictureError as error:
            raise DamagedBook(f"photos/{id_}", error.code) from None
        kept += keep_photo(connection, photos, owner_id, id_, picture)
    return kept
