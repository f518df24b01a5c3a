"""Deletes guests' names and answers of led tastings 30 days after the end, as guests were told.

They stay if the leader keeps them (`keep_guests`), which the guests were told as well. The leader's
own answers stay, and those of guests who agreed to be a person in the notebook.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, delete, func, select

from webapp.db.engine import read_transaction
from webapp.db.tables import group_guest_token, group_invitation, group_invitation_secret
from webapp.group_tasting.forget import forget_guests
from webapp.group_tasting.store import members
from webapp.group_tasting.table import kept_days
from webapp.photos.storage import Transaction
from webapp.records.record import Record, is_deleted
from webapp.records.repository import active_records, lock_owner, record_rows, to_record
from webapp.sync.hlc import clock_ms

DAY_MS = 24 * 3600 * 1000


def forget_old_guests(transaction: Transaction, owner_id: int, now_ms: int) -> int:
    """Delete the guests and sheets of an owner's old tables; return how many records."""
    with read_transaction() as connection:
        found = _overdue(connection, owner_id, now_ms)
    count = 0
    for table in found:
        with transaction() as connection:
            lock_owner(connection, owner_id)
            # The leader may have decided to keep them meanwhile.
            if table in _overdue(connection, owner_id, now_ms):
                guests = _leaving(connection, owner_id, table)
                count += forget_guests(connection, owner_id, table, guests, now_ms)
                _delete_tokens(connection, owner_id, table)
    return count


def _overdue(connection: Connection, owner_id: int, now_ms: int) -> list[str]:
    """Return the tables that ended long ago and still have guests to delete."""
    columns = group_guest_token.c
    latest = (func.max(columns.made_at), func.max(columns.until))
    query = select(columns.group_tasting, *latest).where(columns.owner_id == owner_id)
    tokens = {row[0]: row for row in connection.execute(query.group_by(columns.group_tasting))}
    found = []
    for row in record_rows(connection, owner_id, "group_tasting"):
        ended_ms = _ended_ms(to_record(row), tokens.get(row.id))
        if ended_ms is None or ended_ms > now_ms - kept_days() * DAY_MS:
            continue
        if row.id in tokens or _leaving(connection, owner_id, row.id):
            found.append(row.id)
    return found


def _ended_ms(head: Record, token: Any) -> int | None:
    """Return when a table ended, None if it has not, or keeps its guests.

    The moment that the leader's phone wrote may be wrong by its clock; the clock of the field is
    not before what the phone has read, and a guest's joining is by the server's clock. A table that
    was never ended ends with its last token.
    """
    fields = head["fields"]
    if is_deleted(head):
        ended_ms = clock_ms(str(head["deleted_clock"]))
    elif fields.get("keep_guests") is True or fields.get("example") is True:
        return None
    elif fields.get("ended_at"):
        ended_ms = clock_ms(head["clocks"]["ended_at"])
    else:
        return int(token[2]) * 1000 if token else None
    return max(ended_ms, int(token[1]) * 1000 if token else 0)


def _leaving(connection: Connection, owner_id: int, table: str) -> set[str]:
    """Return the guests of a table whose data are deleted."""
    people = {one["id"] for one in active_records(connection, owner_id, "person")}
    return {
        id_
        for id_, guest in members(connection, owner_id, "guest", table).items()
        if guest.get("entry") != "leader" and guest.get("person") not in people
    }


def _delete_tokens(connection: Connection, owner_id: int, table: str) -> None:
    for one in (group_guest_token, group_invitation, group_invitation_secret):
        mine = (one.c.owner_id == owner_id) & (one.c.group_tasting == table)
        connection.execute(delete(one).where(mine))
