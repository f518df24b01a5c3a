"""Pictures of an owner: a row each, and the bytes in a folder under their SHA-256.

Bytes are written before the database is locked, and a row is made only where its bytes stand. Bytes
are removed only under the owner's lock and where no row names them, so that the two never cross.
A picture belongs to a record of kind photo: without one it is not taken, and while that record is
deleted nobody sees it; see `erasure` for when its bytes go.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select
from sqlalchemy.exc import DBAPIError

from webapp.db.tables import photo_bytes, record
from webapp.photos.sanitize import Picture
from webapp.records.quota import Quota, count_photos
from webapp.records.record import is_deleted
from webapp.records.repository import lock_owner, record_rows, to_record

PHOTO = "photo"
Transaction = Callable[[], AbstractContextManager[Connection]]


class NoRecord(Exception):
    """There is no photo record under the id of this picture."""


@dataclass(frozen=True, slots=True)
class PhotoStore:
    """Where pictures are kept, and within which bounds."""

    folder: Path
    max_pixels: int
    quota: Quota

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> PhotoStore:
        """The store that an app is configured with."""
        return cls(Path(config["PHOTO_FOLDER"]), config["MAX_PHOTO_PIXELS"], Quota.of(config))


@dataclass(frozen=True, slots=True)
class Staged:
    """A picture whose bytes stand in the folder; `reread` gives them, should they be gone."""

    row: dict[str, Any]
    reread: Callable[[], bytes]


def stage(
    store: PhotoStore, owner_id: int, id_: str, picture: Picture, reread: Callable[[], bytes]
) -> Staged:
    """Write the bytes of a picture; takes no lock. Raises OSError where there is no room."""
    row = {
        "owner_id": owner_id,
        "id": id_,
        **picture.facts(),
        "kept_at": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    _write_atomically(_path(store.folder, owner_id, picture.sha256), picture.content)
    return Staged(row, reread)


def store_photo(
    transaction: Transaction, store: PhotoStore, owner_id: int, id_: str, picture: Picture
) -> None:
    """Keep one picture under the id of its photo record. Raises NoRecord, OverQuota, OSError."""
    staged = stage(store, owner_id, id_, picture, lambda: picture.content)
    try:
        with transaction() as connection:
            lock_owner(connection, owner_id)
            if id_ not in ids_with_records(connection, owner_id, [id_]):
                raise NoRecord
            replaced = store_rows(connection, store, owner_id, [staged]).replaced
    except Exception:
        # What cannot be removed now is removed as a leftover.
        with contextlib.suppress(DBAPIError):
            delete_unreferenced(transaction, store.folder, owner_id, [picture.sha256])
        raise
    delete_unreferenced(transaction, store.folder, owner_id, replaced)


@dataclass(slots=True)
class StoredRows:
    """How many of the rows said something new, and the hashes that they took the place of."""

    new: int
    replaced: set[str]


def store_rows(
    connection: Connection, store: PhotoStore, owner_id: int, staged: list[Staged]
) -> StoredRows:
    """Rows for pictures with records, under the owner's lock. Raises OverQuota."""
    columns = photo_bytes.c
    ids = [one.row["id"] for one in staged]
    mine = select(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(ids))
    stored = {row.id: row.sha256 for row in connection.execute(mine)}
    changed = [one for one in staged if stored.get(one.row["id"]) != one.row["sha256"]]
    for one in staged:
        path = _path(store.folder, owner_id, one.row["sha256"])
        if not path.is_file():
            _write_atomically(path, one.reread())
    if not changed:
        return StoredRows(0, set())
    count, total = count_photos(connection, owner_id, ids)
    new_bytes = sum(one.row["bytes"] for one in staged)
    store.quota.check_photos(count + len(staged), total + new_bytes)
    fresh_ids = [one.row["id"] for one in changed]
    connection.execute(
        delete(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(fresh_ids))
    )
    connection.execute(insert(photo_bytes), [one.row for one in changed])
    return StoredRows(len(changed), {stored[id_] for id_ in fresh_ids if id_ in stored})


def ids_with_records(connection: Connection, owner_id: int, ids: Iterable[str]) -> set[str]:
    """Those of the ids that photo records have, deleted ones too (their deletion may be undone)."""
    columns = record.c
    query = select(columns.id).where(
        columns.owner_id == owner_id, columns.kind == PHOTO, columns.id.in_([*ids])
    )
    return set(connection.scalars(query))


def delete_unreferenced(
    transaction: Transaction, folder: Path, owner_id: int, shas: Iterable[str]
) -> None:
    """Remove the bytes under these hashes from the disk, but for those that a row names."""
    candidates = {sha for sha in shas if _path(folder, owner_id, sha).is_file()}
    if not candidates:
        return
    columns = photo_bytes.c
    with transaction() as connection:
        lock_owner(connection, owner_id)
        named = select(columns.sha256).where(
            columns.owner_id == owner_id, columns.sha256.in_(candidates)
        )
        for sha in candidates - set(connection.scalars(named)):
            _path(folder, owner_id, sha).unlink(missing_ok=True)


def find_photo(connection: Connection, owner_id: int, id_: str) -> Row[Any] | None:
    """The row of a picture that may be seen: its record is there and not deleted."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id, columns.id == id_)
    row = connection.execute(query).one_or_none()
    if row is None or id_ not in _visible_ids(connection, owner_id, id_):
        return None
    return row


def list_photos(connection: Connection, owner_id: int) -> list[Row[Any]]:
    """The rows of all pictures of an owner that may be seen, by id."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id).order_by(columns.id)
    live = _visible_ids(connection, owner_id)
    return [row for row in connection.execute(query) if row.id in live]


def _visible_ids(connection: Connection, owner_id: int, id_: str | None = None) -> set[str]:
    rows = record_rows(connection, owner_id, PHOTO, id_)
    return {row.id for row in rows if not is_deleted(to_record(row))}


def photo_path(folder: Path, row: Row[Any]) -> Path:
    """Where the bytes of a row stand."""
    return _path(folder, row.owner_id, row.sha256)


def _path(folder: Path, owner_id: int, sha256: str) -> Path:
    return folder / str(owner_id) / sha256[:2] / sha256


def _write_atomically(path: Path, content: bytes) -> None:
    """All of it or nothing: written beside, made durable, then renamed."""
    if path.is_file():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor, temporary = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise
