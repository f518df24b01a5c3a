"""How a guest's place at a table ends: the guest leaves, or the leader removes the guest."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, update

from webapp.auth.errors import AccessError
from webapp.db.tables import group_guest_token
from webapp.group_tasting.forget import forget_guests
from webapp.group_tasting.guests import moment_of
from webapp.group_tasting.store import (
    SERVER_DEVICE,
    load_table,
    members,
    new_record,
    server_clock,
    write,
)
from webapp.records.repository import lock_owner


def _end_token(connection: Connection, owner_id: int, table: str, guest: str, how: str) -> None:
    columns = group_guest_token.c
    mine = update(group_guest_token).where(
        columns.owner_id == owner_id,
        columns.group_tasting == table,
        columns.guest == guest,
        columns.ended_as.is_(None),
    )
    connection.execute(mine.values(ended_as=how))


def leave(connection: Connection, row: Row[Any], now_ms: int, *, forget: bool) -> str | None:
    """End the guest's token; with `forget` the name and the answers are deleted too.

    Return the person that a forgotten guest was. The record of any other guest says when the guest
    left, unless the table had ended, which has no open step that waits for anybody.
    """
    owner_id, table = row.owner_id, row.group_tasting
    lock_owner(connection, owner_id)
    _end_token(connection, owner_id, table, row.guest, "forgotten" if forget else "left")
    # The guest of a deleted table is forgotten as well.
    guest = members(connection, owner_id, "guest", table, with_deleted=forget).get(row.guest)
    if forget:
        forget_guests(connection, owner_id, table, {row.guest}, now_ms)
        return (guest or {}).get("person")
    if guest is not None and _is_open(connection, owner_id, table):
        clock = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
        left = new_record("guest", row.guest, {"left_at": moment_of(now_ms)}, clock)
        write(connection, owner_id, [left], is_quiet=True)
    return None


def _is_open(connection: Connection, owner_id: int, table: str) -> bool:
    try:
        return load_table(connection, owner_id, table).ended_ms is None
    except AccessError:
        return False


def remove(connection: Connection, owner_id: int, table: str, guest: str, now_ms: int) -> None:
    """Remove a guest: the token ends, and the record says when. Raises AccessError."""
    lock_owner(connection, owner_id)
    load_table(connection, owner_id, table)
    found = members(connection, owner_id, "guest", table).get(guest)
    if found is None:
        raise AccessError("no_such_guest", "There is no such guest.")
    _end_token(connection, owner_id, table, guest, "removed")
    if not found.get("removed_at"):
        clock = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
        fields = {"removed_at": moment_of(now_ms)}
        write(connection, owner_id, [new_record("guest", guest, fields, clock)])
