"""Records and revisions in SQL, always of one owner.

JSON columns are text, so that a page of changes is built without parsing them.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Dialect, Row, Select, bindparam, delete, insert, select, update
from sqlalchemy.sql.compiler import SQLCompiler

from webapp.db.engine import insert_missing
from webapp.db.tables import owner as owner_table
from webapp.db.tables import record as record_table
from webapp.db.tables import revision as revision_table
from webapp.db.tables import safe as safe_table
from webapp.records.canonical import digest
from webapp.records.record import Record, Revision, is_deleted

Key = tuple[str, str]
_MAX_SQL_IDS = 400
# A record takes half a megabyte at most.
_FETCHED_ROWS = 100


@dataclass(slots=True)
class StoredRecord:
    """A stored record with its sequence number."""

    seq: int
    record: Record


_encoder = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), check_circular=False)
_ascii_encoder = json.JSONEncoder(separators=(",", ":"), check_circular=False)


def to_json(value: Any) -> str:
    """Return JSON text as stored in the tables."""
    # The ASCII encoder is twice as fast and gives the same text if nothing needs escaping.
    text = _ascii_encoder.encode(value)
    return text if "\\u" not in text else _encoder.encode(value)


def _clocks_text(clocks: dict[str, str]) -> str:
    """Return `to_json(clocks)`, but faster: validated names and clocks need no escaping."""
    return "{" + ",".join([f'"{name}":"{clock}"' for name, clock in clocks.items()]) + "}"


def load_records(
    connection: Connection, owner_id: int, keys: Iterable[Key]
) -> dict[Key, StoredRecord]:
    """Load the records with these keys."""
    columns = record_table.c
    found: dict[Key, StoredRecord] = {}
    for kind, ids in _by_kind(keys):
        query = select(record_table).where(
            columns.owner_id == owner_id, columns.kind == kind, columns.id.in_(ids)
        )
        for row in connection.execute(query):
            found[row.kind, row.id] = StoredRecord(row.seq, to_record(row))
    return found


def existing_keys(connection: Connection, owner_id: int, keys: Iterable[Key]) -> set[Key]:
    """Return those of the keys that have a record."""
    columns = record_table.c
    found: set[Key] = set()
    for kind, ids in _by_kind(keys):
        query = select(columns.id).where(
            columns.owner_id == owner_id, columns.kind == kind, columns.id.in_(ids)
        )
        found.update((kind, id_) for id_ in connection.scalars(query))
    return found


def _by_kind(keys: Iterable[Key]) -> Iterator[tuple[str, list[str]]]:
    """Yield (kind, some ids); a query by kind and ids can use the primary key's index."""
    ids: dict[str, set[str]] = {}
    for kind, id_ in keys:
        ids.setdefault(kind, set()).add(id_)
    for kind, wanted in ids.items():
        ordered = sorted(wanted)
        for start in range(0, len(ordered), _MAX_SQL_IDS):
            yield kind, ordered[start : start + _MAX_SQL_IDS]


def to_record(row: Row[Any]) -> Record:
    """Convert a row to a record."""
    return {
        "kind": row.kind,
        "id": row.id,
        "fields": json.loads(row.fields),
        "clocks": json.loads(row.clocks),
        "deleted": row.deleted,
        "deleted_clock": row.deleted_clock,
    }


def write_records(
    connection: Connection, owner_id: int, created: list[StoredRecord], changed: list[StoredRecord]
) -> None:
    """Insert the created and update the changed records, each with its new sequence number."""
    if created:
        _insert(connection, [_row(owner_id, stored) for stored in created])
    if changed:
        columns = record_table.c
        connection.execute(
            update(record_table).where(
                columns.owner_id == bindparam("its_owner"),
                columns.kind == bindparam("its_kind"),
                columns.id == bindparam("its_id"),
            ),
            [_changed_row(owner_id, stored) for stored in changed],
        )


def _insert(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Insert through the driver, which is faster for the thousands of rows of a first sync."""
    compiled = _compiled_insert(connection.dialect)
    if compiled.positiontup is None:
        connection.exec_driver_sql(str(compiled), rows)
    else:
        connection.exec_driver_sql(str(compiled), [*map(itemgetter(*compiled.positiontup), rows)])


@cache
def _compiled_insert(dialect: Dialect) -> SQLCompiler:
    compiled = insert(record_table).compile(dialect=dialect)
    assert isinstance(compiled, SQLCompiler)
    return compiled


def _row(owner_id: int, stored: StoredRecord) -> dict[str, Any]:
    record = stored.record
    return {
        "owner_id": owner_id,
        "kind": record["kind"],
        "id": record["id"],
        "seq": stored.seq,
        "fields": to_json(record["fields"]),
        "clocks": _clocks_text(record["clocks"]),
        "deleted": record["deleted"],
        "deleted_clock": record["deleted_clock"],
    }


def _changed_row(owner_id: int, stored: StoredRecord) -> dict[str, Any]:
    row = _row(owner_id, stored)
    return {
        "its_owner": row.pop("owner_id"),
        "its_kind": row.pop("kind"),
        "its_id": row.pop("id"),
        **row,
    }


def revision_row(owner_id: int, key: Key, revision: Revision, seq: int | None) -> dict[str, Any]:
    """Return a superseded value as a row of the table of revisions.

    `seq` is that of the record with the later value.
    """
    return {
        "owner_id": owner_id,
        "kind": key[0],
        "record_id": key[1],
        "field": revision["field"],
        "clock": revision["clock"],
        "digest": digest(revision["value"]),
        "value": to_json(revision["value"]),
        "overruled_at": seq,
    }


def revision_key(row: dict[str, Any]) -> tuple[str, ...]:
    """Return the key that identifies a revision within an owner's revisions."""
    return (row["kind"], row["record_id"], row["field"], row["clock"], row["digest"])


def existing_revisions(
    connection: Connection, owner_id: int, keys: Iterable[Key]
) -> set[tuple[str, ...]]:
    """Return the keys of the stored revisions of these records."""
    columns = revision_table.c
    chosen = (columns.kind, columns.record_id, columns.field, columns.clock, columns.digest)
    found: set[tuple[str, ...]] = set()
    for kind, ids in _by_kind(keys):
        query = select(*chosen).where(
            columns.owner_id == owner_id, columns.kind == kind, columns.record_id.in_(ids)
        )
        found.update(tuple(row) for row in connection.execute(query))
    return found


def load_revisions(connection: Connection, owner_id: int, key: Key) -> list[dict[str, Any]] | None:
    """Load the revisions of a record, latest first; None if there is no such record."""
    if not existing_keys(connection, owner_id, [key]):
        return None
    columns, (kind, id_) = revision_table.c, key
    query = (
        select(revision_table)
        .where(columns.owner_id == owner_id, columns.kind == kind, columns.record_id == id_)
        .order_by(columns.clock.desc(), columns.field)
    )
    return [
        {
            "field": row.field,
            "value": json.loads(row.value),
            "clock": row.clock,
            "overruled_at": row.overruled_at,
        }
        for row in connection.execute(query)
    ]


def write_revisions(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Store superseded values; skip those already stored."""
    insert_missing(connection, revision_table, rows)


def delete_revisions(connection: Connection, owner_id: int, key: Key) -> None:
    """Delete the superseded values of a record, for good."""
    columns, (kind, id_) = revision_table.c, key
    mine = (columns.owner_id == owner_id, columns.kind == kind, columns.record_id == id_)
    connection.execute(delete(revision_table).where(*mine))


def active_records(connection: Connection, owner_id: int, kind: str) -> Iterator[dict[str, Any]]:
    """Yield the records of a kind that are not deleted, as flat dicts `{"id", **fields}`."""
    for row in record_rows(connection, owner_id, kind):
        record = to_record(row)
        if not is_deleted(record):
            yield {**record["fields"], "id": record["id"]}


def record_rows(
    connection: Connection, owner_id: int, kind: str, id_: str | None = None
) -> Iterator[Row[Any]]:
    """Yield the rows of a kind by id, deleted ones too; with `id_` that one alone."""
    yield from connection.execute(_of_kind(owner_id, kind, id_))


def streamed_record_rows(connection: Connection, owner_id: int, kind: str) -> Iterator[Row[Any]]:
    """Yield the rows of a kind by id, without holding all of them in memory."""
    yield from _streamed(connection, _of_kind(owner_id, kind))


def _of_kind(owner_id: int, kind: str, id_: str | None = None) -> Select[Any]:
    columns = record_table.c
    query = select(record_table).where(columns.owner_id == owner_id, columns.kind == kind)
    if id_ is not None:
        query = query.where(columns.id == id_)
    return query.order_by(columns.id)


def _streamed(connection: Connection, query: Select[Any]) -> Iterator[Row[Any]]:
    # PostgreSQL's driver would otherwise fetch the whole result first.
    with connection.execute(query.execution_options(yield_per=_FETCHED_ROWS)) as rows:
        yield from rows


def revision_rows(connection: Connection, owner_id: int) -> Iterator[Row[Any]]:
    """Yield the rows of all revisions, some at a time, in an order that no database changes."""
    columns = revision_table.c
    key = (columns.kind, columns.record_id, columns.field, columns.clock, columns.digest)
    query = select(revision_table).where(columns.owner_id == owner_id)
    yield from _streamed(connection, query.order_by(*key))


def notebook_row(connection: Connection, owner_id: int, *, lock: bool) -> Row[Any]:
    """Return the owner's row; with `lock` it stays locked until the end of the transaction."""
    query = select(owner_table).where(owner_table.c.id == owner_id)
    return connection.execute(query.with_for_update() if lock else query).one()


def lock_owner(connection: Connection, owner_id: int) -> None:
    """Lock the owner's row, if there is one, until the end of the transaction."""
    mine = owner_table.c.id == owner_id
    connection.execute(select(owner_table.c.id).where(mine).with_for_update())


def advance_notebook(connection: Connection, owner_id: int, seq: int, max_clock_ms: int) -> None:
    """Write the last sequence number given out and the latest clock seen, under the lock."""
    change = update(owner_table).where(owner_table.c.id == owner_id)
    connection.execute(change.values(seq=seq, max_clock_ms=max_clock_ms))


def notebook_version(connection: Connection, owner_id: int) -> tuple[str, int]:
    """Return the database's epoch and the owner's last sequence number; a write changes them."""
    seq = connection.scalar(select(owner_table.c.seq).where(owner_table.c.id == owner_id))
    return connection.scalar(select(safe_table.c.epoch)) or "", seq or 0
