"""Stores pictures: a row for each, and the bytes as files (`webapp.photos.files`).

Files are written before the database is locked, and a row is inserted only if its file exists.
Files are deleted only under the owner's lock and if no row references them, so a new row cannot
lose its file. A picture needs a record of kind photo; while that record is deleted, the picture is
hidden; `webapp.retention.erasure` deletes it later.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select
from sqlalchemy.exc import DBAPIError

from webapp.db.tables import photo_bytes, record
from webapp.photos.files import PhotoFiles, photo_files
from webapp.photos.sanitize import Picture
from webapp.records.quota import Quota, count_photos
from webapp.records.record import is_deleted
from webapp.records.repository import lock_owner, record_rows, to_record

PHOTO = "photo"
Transaction = Callable[[], AbstractContextManager[Connection]]


class NoRecord(Exception):
    """The picture has no photo record."""


@dataclass(frozen=True, slots=True)
class PhotoStore:
    """Where the pictures are, and the limits."""

    files: PhotoFiles
    max_pixels: int
    quota: Quota

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> PhotoStore:
        """Return the store of an app's configuration."""
        files = photo_files(config["PHOTO_FOLDER"])
        return cls(files, config["MAX_PHOTO_PIXELS"], Quota.of(config))


@dataclass(frozen=True, slots=True)
class Staged:
    """A picture whose file is written; `reread` returns the bytes if the file was deleted since."""

    row: dict[str, Any]
    reread: Callable[[], bytes]


def stage(
    store: PhotoStore, owner_id: int, id_: str, picture: Picture, reread: Callable[[], bytes]
) -> Staged:
    """Write the file of a picture, without a lock. Raises OSError if the disk is full."""
    row = {
        "owner_id": owner_id,
        "id": id_,
        **picture.facts(),
        "kept_at": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    store.files.write(owner_id, picture.sha256, picture.content)
    return Staged(row, reread)


def store_photo(
    transaction: Transaction, store: PhotoStore, owner_id: int, id_: str, picture: Picture
) -> None:
    """Store a picture under the id of its photo record. Raises NoRecord, OverQuota, OSError."""
    staged = stage(store, owner_id, id_, picture, lambda: picture.content)
    try:
        with transaction() as connection:
            lock_owner(connection, owner_id)
            if id_ not in ids_with_records(connection, owner_id, [id_]):
                raise NoRecord
            replaced = store_rows(connection, store, owner_id, [staged]).replaced
    except Exception:
        # A file that cannot be deleted now is deleted as a leftover later.
        with contextlib.suppress(DBAPIError, OSError):
            delete_unreferenced(transaction, store.files, owner_id, [picture.sha256])
        raise
    delete_unreferenced(transaction, store.files, owner_id, replaced)


@dataclass(slots=True)
class StoredRows:
    """The number of new or changed rows, and the hashes that they replaced."""

    new: int
    replaced: set[str]


def store_rows(
    connection: Connection, store: PhotoStore, owner_id: int, staged: list[Staged]
) -> StoredRows:
    """Insert rows for pictures that have records, under the owner's lock. Raises OverQuota."""
    columns = photo_bytes.c
    ids = [one.row["id"] for one in staged]
    mine = select(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(ids))
    stored = {row.id: row.sha256 for row in connection.execute(mine)}
    changed = [one for one in staged if stored.get(one.row["id"]) != one.row["sha256"]]
    there = store.files.existing(owner_id, {one.row["sha256"] for one in staged})
    for one in staged:
        if one.row["sha256"] not in there:
            store.files.write(owner_id, one.row["sha256"], one.reread())
    if not changed:
        return StoredRows(0, set())
    count, total = count_photos(connection, owner_id, ids)
    new_bytes = sum(one.row["bytes"] for one in staged)
    store.quota.check_photos(count + len(staged), total + new_bytes)
    changed_ids = [one.row["id"] for one in changed]
    connection.execute(
        delete(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(changed_ids))
    )
    connection.execute(insert(photo_bytes), [one.row for one in changed])
    return StoredRows(len(changed), {stored[id_] for id_ in changed_ids if id_ in stored})


def ids_with_records(connection: Connection, owner_id: int, ids: Iterable[str]) -> set[str]:
    """Return those ids that have a photo record, even a deleted one, which can be restored."""
    columns = record.c
    query = select(columns.id).where(
        columns.owner_id == owner_id, columns.kind == PHOTO, columns.id.in_([*ids])
    )
    return set(connection.scalars(query))


def delete_unreferenced(
    transaction: Transaction, files: PhotoFiles, owner_id: int, shas: Iterable[str]
) -> None:
    """Delete the files of those hashes that no row references."""
    candidates = files.existing(owner_id, {*shas})
    if not candidates:
        return
    columns = photo_bytes.c
    with transaction() as connection:
        lock_owner(connection, owner_id)
        referenced = select(columns.sha256).where(
            columns.owner_id == owner_id, columns.sha256.in_(candidates)
        )
        files.delete(owner_id, candidates - set(connection.scalars(referenced)))


def find_photo(connection: Connection, owner_id: int, id_: str) -> Row[Any] | None:
    """Return the row of a picture whose record exists and is not deleted, else None."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id, columns.id == id_)
    row = connection.execute(query).one_or_none()
    if row is None or id_ not in _visible_ids(connection, owner_id, id_):
        return None
    return row


def list_photos(connection: Connection, owner_id: int) -> list[Row[Any]]:
    """Return the rows of an owner's pictures whose records are not deleted, by id."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id).order_by(columns.id)
    visible = _visible_ids(connection, owner_id)
    return [row for row in connection.execute(query) if row.id in visible]


def _visible_ids(connection: Connection, owner_id: int, id_: str | None = None) -> set[str]:
    rows = record_rows(connection, owner_id, PHOTO, id_)
    return {row.id for row in rows if not is_deleted(to_record(row))}
