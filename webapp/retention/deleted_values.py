"""Removes the values of deleted records once the record can no longer be restored.

The record stays as its deletion mark, because phones that were offline must learn of the deletion.
Each value becomes null with the clock of the mark, an ordinary later value that every phone accepts
by the ordinary merge. The revisions of the record are deleted. The photos of a note go with it: no
screen shows them without it.

The server counts the days by its own clock (`webapp.retention.daily_seq`), because the mark has the
clock of a phone.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator

from sqlalchemy import Connection, delete, select, update

from webapp.db.engine import read_transaction
from webapp.db.tables import owner, photo_bytes, record, revision
from webapp.photos.storage import PHOTO, Transaction
from webapp.records.record import Record, emptied, is_deleted
from webapp.records.repository import (
    Key,
    StoredRecord,
    delete_revisions,
    load_records,
    lock_owner,
    record_rows,
    to_record,
    write_records,
)
from webapp.retention.daily_seq import seq_before
from webapp.spec import deleted_kept_days

_BATCH = 400


def purge_deleted_values(
    transaction: Transaction, owner_id: int, kept_days: int, now_ms: int | None = None
) -> list[Key]:
    """Drop the values of an owner's records deleted long ago; return the keys of the records."""
    now_ms = now_ms if now_ms is not None else time.time_ns() // 1_000_000
    kept_days = max(kept_days, deleted_kept_days())
    with transaction() as connection:
        old_seq = seq_before(connection, owner_id, kept_days, now_ms // 1000)
    if not old_seq:
        return []
    # Search without the lock, because it reads the whole notebook.
    with read_transaction() as connection:
        found = _expired(connection, owner_id, old_seq)
    for start in range(0, len(found), _BATCH):
        with transaction() as connection:
            lock_owner(connection, owner_id)
            some = found[start : start + _BATCH]
            _purge(connection, owner_id, old_seq, some)
            _purge_photos(connection, owner_id, some)
    return found


def _expired(connection: Connection, owner_id: int, old_seq: int) -> list[Key]:
    """Find the records that were deleted by `old_seq` and have values or revisions.

    A record that another one refers to is skipped, because that one is in use or restorable.
    """
    columns, noted = record.c, revision.c
    query = select(record).where(
        columns.owner_id == owner_id,
        columns.deleted,
        columns.seq <= old_seq,
    )
    deleted = [one for row in connection.execute(query) if is_deleted(one := to_record(row))]
    if not deleted:
        return []
    history = select(noted.kind, noted.record_id).where(noted.owner_id == owner_id).distinct()
    logged = {(kind, id_) for kind, id_ in connection.execute(history)}
    found = [_key(one) for one in deleted if _values(one) or _key(one) in logged]
    if not found:
        return []
    photos = {_key(one) for one in _photos_of(connection, owner_id, deleted)}
    named = _named_by_others(connection, owner_id, {*found} | photos)
    return [key for key in found if key[1] not in named]


def _photos_of(connection: Connection, owner_id: int, notes: Iterable[Record]) -> Iterator[Record]:
    """Yield the photos that belong to one of these deleted notes, with the note's deletion mark.

    A photo that was added or edited after the deletion, or that shows a bottle too, is not one.
    """
    marks = {one["id"]: str(one["deleted_clock"]) for one in notes if one["kind"] == "tasting"}
    if not marks:
        return
    for row in record_rows(connection, owner_id, PHOTO):
        one = to_record(row)
        mark = marks.get(one["fields"].get("tasting") or "")
        is_older = mark and all(clock < mark for clock in [*one["clocks"].values(), _mark(one)])
        if is_older and not is_deleted(one) and one["fields"].get("bottle") is None:
            yield {**one, "deleted": True, "deleted_clock": mark}


def _mark(one: Record) -> str:
    return one["deleted_clock"] or ""


def _named_by_others(connection: Connection, owner_id: int, keys: set[Key]) -> set[str]:
    """Return all texts of the records that stay; the ids they refer to are among them."""
    named = set[str]()
    for row in connection.execute(select(record).where(record.c.owner_id == owner_id)):
        if (row.kind, row.id) not in keys:
            named.update(_texts(to_record(row)["fields"].values()))
    return named


def _texts(values: Iterable[object]) -> Iterable[str]:
    for value in values:
        if isinstance(value, str):
            yield value
        elif isinstance(value, list):
            yield from _texts(value)


def _values(one: Record) -> list[str]:
    """Return the fields that a null with the clock of the deletion mark supersedes."""
    mark = _mark(one)
    return [
        name
        for name, value in one["fields"].items()
        if value is not None and one["clocks"][name] < mark
    ]


def _purge(connection: Connection, owner_id: int, old_seq: int, keys: list[Key]) -> None:
    seq = connection.scalar(select(owner.c.seq).where(owner.c.id == owner_id)) or 0
    changed = []
    for key, stored in load_records(connection, owner_id, keys).items():
        one = stored.record
        if stored.seq > old_seq or not is_deleted(one):
            continue
        delete_revisions(connection, owner_id, key)
        mark = emptied(one, _values(one), _mark(one))
        if mark["fields"]:
            seq += 1
            fields = {**one["fields"], **mark["fields"]}
            clocks = {**one["clocks"], **mark["clocks"]}
            changed.append(StoredRecord(seq, {**one, "fields": fields, "clocks": clocks}))
    write_records(connection, owner_id, [], changed)
    connection.execute(update(owner).where(owner.c.id == owner_id).values(seq=seq))


def _purge_photos(connection: Connection, owner_id: int, keys: list[Key]) -> None:
    """Delete the photos of purged notes; files without a row are deleted the next day."""
    stored = load_records(connection, owner_id, keys)
    notes = [one.record for one in stored.values() if _is_purged(one.record)]
    seq = connection.scalar(select(owner.c.seq).where(owner.c.id == owner_id)) or 0
    changed = []
    for place, one in enumerate(_photos_of(connection, owner_id, notes), start=1):
        changed.append(StoredRecord(seq + place, emptied(one, one["fields"], _mark(one))))
        delete_revisions(connection, owner_id, _key(one))
    write_records(connection, owner_id, [], changed)
    ids = [stored.record["id"] for stored in changed]
    columns = photo_bytes.c
    connection.execute(delete(photo_bytes).where(columns.owner_id == owner_id, columns.id.in_(ids)))
    new_seq = seq + len(changed)
    connection.execute(update(owner).where(owner.c.id == owner_id).values(seq=new_seq))


def _is_purged(one: Record) -> bool:
    return is_deleted(one) and not _values(one)


def _key(one: Record) -> Key:
    return (one["kind"], one["id"])
