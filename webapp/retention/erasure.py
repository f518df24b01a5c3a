"""Deletes the pictures of deleted photos from the disk when their grace period is over.

A deleted photo record can be restored, so its picture stays on the disk, in no response and no
export, for a grace period. The server counts it by its own clock (`webapp.retention.daily_seq`).
Leftovers of failures (files without a row, rows without a record, partly written files) are deleted
when a day old; before that, a request may still be writing them.
"""

from __future__ import annotations

import time
from typing import Any

from sqlalchemy import Connection, Row, delete, select

from webapp.db.engine import read_transaction
from webapp.db.tables import photo_bytes
from webapp.photos.files import PhotoFiles
from webapp.photos.storage import PHOTO, Transaction, delete_unreferenced
from webapp.records.record import is_deleted
from webapp.records.repository import lock_owner, record_rows, to_record
from webapp.retention.daily_seq import DAY_S, seq_before

_CHUNK = 400


def purge_deleted(
    transaction: Transaction,
    files: PhotoFiles,
    owner_id: int,
    grace_days: int,
    now_ms: int | None = None,
) -> int:
    """Delete an owner's expired pictures and leftovers; return the number of expired pictures."""
    now_ms = now_ms if now_ms is not None else time.time_ns() // 1_000_000
    with transaction() as connection:
        old_seq = seq_before(connection, owner_id, grace_days, now_ms // 1000)
    with read_transaction() as connection:
        expired = _expired(connection, owner_id, old_seq, now_ms)
        left = _leftovers(connection, files, owner_id, now_ms // 1000 - DAY_S)
    if expired:
        expired = _delete_rows(transaction, owner_id, old_seq, now_ms)
    going = [*{sha for _, sha in expired} | left]
    for start in range(0, len(going), _CHUNK):
        delete_unreferenced(transaction, files, owner_id, going[start : start + _CHUNK])
    return len(expired)


def _delete_rows(
    transaction: Transaction, owner_id: int, old_seq: int, now_ms: int
) -> list[tuple[str, str]]:
    """Delete the rows of expired pictures, which are determined again under the lock."""
    with transaction() as connection:
        lock_owner(connection, owner_id)
        expired = _expired(connection, owner_id, old_seq, now_ms)
        for start in range(0, len(expired), _CHUNK):
            columns = photo_bytes.c
            ids = [id_ for id_, _ in expired[start : start + _CHUNK]]
            connection.execute(
                delete(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(ids))
            )
    return expired


def _expired(
    connection: Connection, owner_id: int, old_seq: int, now_ms: int
) -> list[tuple[str, str]]:
    """Find (id, hash) of pictures whose record was deleted by `old_seq` or never arrived."""
    records = {row.id: row for row in record_rows(connection, owner_id, PHOTO)}
    day_ago = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(now_ms / 1000 - DAY_S))
    kept = select(photo_bytes).where(photo_bytes.c.owner_id == owner_id)
    return [
        (row.id, row.sha256)
        for row in connection.execute(kept)
        if _is_expired(records.get(row.id), row.kept_at < day_ago, old_seq)
    ]


def _is_expired(row: Row[Any] | None, is_old: bool, old_seq: int) -> bool:
    if row is None:
        return is_old
    return bool(row.seq <= old_seq) and is_deleted(to_record(row))


def _leftovers(
    connection: Connection, files: PhotoFiles, owner_id: int, until_s: float
) -> set[str]:
    """Return hashes of old files that no row references; delete old partly written files."""
    columns = photo_bytes.c
    named = set(connection.scalars(select(columns.sha256).where(columns.owner_id == owner_id)))
    return files.older_than(owner_id, until_s) - named
