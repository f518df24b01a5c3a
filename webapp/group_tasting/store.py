"""Loads a led tasting from the owner's records, and writes what its guests and the server add."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import replace
from threading import Lock
from typing import Any

from sqlalchemy import Connection, select, update

from webapp.auth.errors import AccessError
from webapp.db.tables import owner as owner_table
from webapp.db.tables import record as record_table
from webapp.group_tasting.ids import sheet_id
from webapp.group_tasting.table import Fields, Table
from webapp.records.record import Record, is_deleted
from webapp.records.repository import (
    Key,
    advance_notebook,
    load_records,
    notebook_row,
    to_record,
)
from webapp.sync.apply import apply_changes
from webapp.sync.hlc import clock_ms
from webapp.sync.limits import capacity_of
from webapp.sync.parse import latest_clock

# The device in clocks of what the server itself writes.
SERVER_DEVICE = "grouptastings"


def no_such_table() -> AccessError:
    """Return the error for an unknown, deleted or foreign table, and for a wrong code."""
    return AccessError("no_such_table", "There is no such tasting, or it takes no guests now.")


def load_table(connection: Connection, owner_id: int, id_: str) -> Table:
    """Load a group tasting with its glasses. Raises AccessError if there is none."""
    head = _fields(connection, owner_id, [("group_tasting", id_)]).get(id_)
    if head is None:
        raise no_such_table()
    return Table(head, members(connection, owner_id, "glass", id_))


def load_shared(connection: Connection, owner_id: int, id_: str) -> Table:
    """Load what is the same for each guest; of sheets those of opened glasses."""
    table = load_table(connection, owner_id, id_)
    shown = [str(one.get("bottle")) for one in table.glasses.values() if table.is_uncovered(one)]
    table.bottles = _fields(connection, owner_id, [("bottle", one) for one in shown])
    opened = {glass for glass, one in table.glasses.items() if one.get("discussed_at")}
    opened |= {*table.result_glasses()}
    if opened:
        table.guests = members(connection, owner_id, "guest", id_)
        wanted = [sheet_id(guest, glass) for guest in table.guests for glass in opened]
        table.sheets = _fields(connection, owner_id, [("sheet", one) for one in wanted])
    return table


def add_guest(connection: Connection, owner_id: int, shared: Table, guest: str) -> Table:
    """Return the table with a guest's own record and sheets; `shared` stays as it is."""
    keys = [("guest", guest), *(("sheet", sheet_id(guest, glass)) for glass in shared.glasses)]
    stored = load_records(connection, owner_id, keys)
    mine = {
        kind: _active(one.record for key, one in stored.items() if key[0] == kind)
        for kind in ("guest", "sheet")
    }
    others = {id_: one for id_, one in shared.guests.items() if id_ != guest}
    return replace(shared, guests=others | mine["guest"], sheets=shared.sheets | mine["sheet"])


class TableCache:
    """Shared parts of tables, each with the version for which it was loaded; one for each app."""

    def __init__(self, most: int = 100) -> None:
        """Keep the tables that were used last, `most` at most."""
        self._most = most
        self._held: OrderedDict[tuple[int, str], tuple[str, Table]] = OrderedDict()
        self._lock = Lock()

    def get(self, owner_id: int, id_: str, version: str) -> Table | None:
        """Return the shared part of a table, None if it is not that of this version."""
        with self._lock:
            held = self._held.get((owner_id, id_))
        return held[1] if held is not None and held[0] == version else None

    def put(self, owner_id: int, table: Table, version: str) -> None:
        """Hold a table that was loaded after its version was read, and is not older therefore."""
        key = (owner_id, table.head["id"])
        with self._lock:
            self._held[key] = (version, table)
            self._held.move_to_end(key)
            while len(self._held) > self._most:
                self._held.popitem(last=False)


def members(
    connection: Connection, owner_id: int, kind: str, table: str, *, with_deleted: bool = False
) -> dict[str, Fields]:
    """Return the records of a kind that belong to a group tasting, by id.

    Deleted ones are left out unless `with_deleted`.
    """
    columns = record_table.c
    # The text search is fast and finds too much at most; the field decides.
    query = select(record_table).where(
        columns.owner_id == owner_id, columns.kind == kind, columns.fields.contains(f'"{table}"')
    )
    records = [to_record(row) for row in connection.execute(query)]
    found = _by_id(records) if with_deleted else _active(records)
    return {id_: fields for id_, fields in found.items() if fields.get("group_tasting") == table}


def _fields(connection: Connection, owner_id: int, keys: Iterable[Key]) -> dict[str, Fields]:
    stored = load_records(connection, owner_id, keys)
    return _active(one.record for one in stored.values())


def _active(records: Iterable[Record]) -> dict[str, Fields]:
    return _by_id(one for one in records if not is_deleted(one))


def _by_id(records: Iterable[Record]) -> dict[str, Fields]:
    return {one["id"]: {**one["fields"], "id": one["id"]} for one in records}


def write(
    connection: Connection,
    owner_id: int,
    records: list[Record],
    *,
    max_records: int = 0,
    is_quiet: bool = False,
) -> None:
    """Merge records into the owner's notebook, whose row the caller has locked.

    `is_quiet`: no other guest sees the change, so their views stay as they are. Raises AccessError
    if the notebook is full.
    """
    row = notebook_row(connection, owner_id, lock=True)
    capacity = capacity_of(connection, row, len(records), max_records)
    result = apply_changes(connection, owner_id, row.seq, row.seq, records, capacity)
    if result.rejected:
        raise AccessError("full", "The notebook has no room for more.")
    clocks = [latest_clock(one) for one in records]
    latest = max([row.max_clock_ms, *(clock_ms(one) for one in clocks if one)])
    advance_notebook(connection, owner_id, result.seq, latest)
    if is_quiet:
        used = owner_table.c.guest_seq + (result.seq - row.seq)
        mine = owner_table.c.id == owner_id
        connection.execute(update(owner_table).where(mine).values(guest_seq=used))


def new_record(kind: str, id_: str, fields: dict[str, Any], clock: str) -> Record:
    """Return a record, or a change of one, whose fields all have this clock."""
    return record_of(kind, id_, fields, dict.fromkeys(fields, clock))


def record_of(kind: str, id_: str, fields: dict[str, Any], clocks: dict[str, str]) -> Record:
    """Return a record, or a change of one."""
    return Record(
        kind=kind, id=id_, fields=fields, clocks=clocks, deleted=False, deleted_clock=None
    )


def server_clock(connection: Connection, owner_id: int, now_ms: int, device: str) -> str:
    """Return a clock later than all of the owner's, for what the server itself decides."""
    latest = int(notebook_row(connection, owner_id, lock=True).max_clock_ms)
    return f"{max(now_ms, latest + 1):013d}-0000-{device}"


def stored_record(connection: Connection, owner_id: int, key: Key) -> Record | None:
    """Return a record, deleted or not, None if there is none."""
    stored = load_records(connection, owner_id, [key]).get(key)
    return stored.record if stored else None
