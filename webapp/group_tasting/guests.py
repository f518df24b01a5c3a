"""Guests who join with a phone: their tokens, and what they write.

The phone makes an id and a key. The token is derived from the key and a nonce of the server, so a
phone that lost the response gets the same token again, and the database has only hashes. A token
opens the guest's routes of one table. It ends when the guest is removed or leaves, a day after the
table has ended, and after a week. A phone that joins again by the same id and key gets it again,
unless the guest was removed or forgotten.
"""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update
from sqlalchemy.exc import IntegrityError

from webapp.auth.errors import AccessError
from webapp.auth.sessions import token_hash
from webapp.db.tables import group_guest_token, owner, safe
from webapp.group_tasting.answers import Judged, judge, sheet_record
from webapp.group_tasting.ids import sheet_id
from webapp.group_tasting.invitations import VALID_FOR_S, Invited, derive
from webapp.group_tasting.join_limits import check_room, free_number, is_gone
from webapp.group_tasting.store import (
    SERVER_DEVICE,
    TableCache,
    add_guest,
    load_shared,
    load_table,
    members,
    new_record,
    no_such_table,
    record_of,
    server_clock,
    stored_record,
    write,
)
from webapp.group_tasting.table import Fields, Table
from webapp.records.repository import lock_owner

_ENDED = {
    "removed": "You were taken off the list of guests.",
    "left": "You have left this tasting.",
    "forgotten": "You have left this tasting, and your answers were deleted.",
    "ended": "This tasting has ended.",
    "deleted": "This tasting was deleted.",
    "unknown": "This phone is not a guest here any more.",
}
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Joining:
    """What a phone sends to join: the name, and its own id and key."""

    name: str
    guest: str
    key: str


@dataclass(frozen=True, slots=True)
class Given:
    """A guest's answers for a glass, and when each was noted by the guest's corrected clock."""

    glass: str
    fields: Fields
    noted_ms: dict[str, int]


def _taken() -> AccessError:
    return AccessError("guest_taken", "Another phone is this guest already.")


def guest_ended(reason: str) -> AccessError:
    """Return the error of a token that opens nothing any more."""
    return AccessError("guest_ended", _ENDED[reason], details={"reason": reason})


def find(connection: Connection, token: str, now_s: int) -> Row[Any]:
    """Return the guest of a token, the version of what guests see, and the database's epoch.

    This is one indexed read, all that an unchanged view costs. Raises AccessError.
    """
    query = (
        select(
            group_guest_token,
            (owner.c.seq - owner.c.guest_seq).label("version"),
            safe.c.epoch,
        )
        .join(owner, owner.c.id == group_guest_token.c.owner_id)
        .join(safe, safe.c.id == 1)
        .where(group_guest_token.c.token_hash == token_hash(token))
    )
    row = connection.execute(query).one_or_none()
    if row is None:
        raise guest_ended("unknown")
    if row.ended_as is not None:
        raise guest_ended(row.ended_as)
    if row.until <= now_s:
        raise guest_ended("ended")
    return row


def join(
    connection: Connection, invited: Invited, joining: Joining, now_ms: int, max_records: int
) -> tuple[str, Fields]:
    """Add a guest, or recognize one who joined before; return (token, guest's fields).

    Raises AccessError: no_such_table, guest_taken, guest_ended, full.
    """
    owner_id, table = invited.owner_id, invited.group_tasting
    lock_owner(connection, owner_id)
    if load_table(connection, owner_id, table).ended_ms is not None:
        raise no_such_table()
    columns = group_guest_token.c
    mine = select(group_guest_token).where(
        columns.owner_id == owner_id, columns.guest == joining.guest
    )
    row = connection.execute(mine).one_or_none()
    if row is not None:
        return _again(connection, row, table, joining, now_ms)
    guest = _add(connection, invited, joining, now_ms, max_records)
    nonce = secrets.token_urlsafe(24)
    token = derive(joining.key, f"guest {nonce}")
    made = {
        "owner_id": owner_id,
        "group_tasting": table,
        "guest": joining.guest,
        "token_hash": token_hash(token),
        "key_hash": token_hash(joining.key),
        "nonce": nonce,
        "writes": 0,
        "made_at": now_ms // 1000,
        "until": now_ms // 1000 + VALID_FOR_S,
    }
    connection.execute(insert(group_guest_token), made)
    _log.info("guest_joined", extra={"owner": owner_id})
    return token, guest


def _again(
    connection: Connection, row: Row[Any], table: str, joining: Joining, now_ms: int
) -> tuple[str, Fields]:
    is_same = secrets.compare_digest(row.key_hash, token_hash(joining.key))
    if row.group_tasting != table or not is_same:
        raise _taken()
    if row.ended_as not in (None, "left"):
        raise guest_ended(row.ended_as)
    guests = members(connection, row.owner_id, "guest", table)
    guest = guests.get(joining.guest)
    if guest is None or guest.get("removed_at"):
        raise guest_ended("removed")
    if row.ended_as == "left" or row.until <= now_ms // 1000:
        guest = _come_back(connection, row, guests, now_ms)
    return derive(joining.key, f"guest {row.nonce}"), guest


def _come_back(
    connection: Connection, row: Row[Any], guests: dict[str, Fields], now_ms: int
) -> Fields:
    """Renew the token of a guest who left, or stayed for more than a week; the seat is the same."""
    guest = guests[row.guest]
    if guest.get("left_at"):
        check_room(guests)
        clock = server_clock(connection, row.owner_id, now_ms, SERVER_DEVICE)
        fields: Fields = {"left_at": None}
        others = [one for id_, one in guests.items() if id_ != row.guest and not is_gone(one)]
        if any(one.get("number") == guest.get("number") for one in others):
            number = free_number(connection, row.owner_id, row.group_tasting, guests)
            fields |= {"number": number}
            guest |= {"number": number}
        back = new_record("guest", row.guest, fields, clock)
        write(connection, row.owner_id, [back], is_quiet=True)
    mine = group_guest_token.c.token_hash == row.token_hash
    renewed = {"ended_as": None, "until": now_ms // 1000 + VALID_FOR_S}
    connection.execute(update(group_guest_token).where(mine).values(renewed))
    return guest


def _add(
    connection: Connection, invited: Invited, joining: Joining, now_ms: int, max_records: int
) -> Fields:
    """Write the guest's record; one that came by QR code before keeps its number."""
    owner_id, table = invited.owner_id, invited.group_tasting
    guests = members(connection, owner_id, "guest", table)
    known = guests.get(joining.guest)
    if known is None and stored_record(connection, owner_id, ("guest", joining.guest)) is not None:
        raise _taken()
    if known is not None and (known.get("entry") != "qr" or known.get("removed_at")):
        raise _taken()
    fields: Fields = {"name": joining.name, "entry": "phone"}
    if known is None:
        fields |= {
            "group_tasting": table,
            "number": free_number(connection, owner_id, table, guests),
        }
        fields |= {"joined_at": moment_of(now_ms)}
    clock = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
    record = new_record("guest", joining.guest, fields, clock)
    try:
        is_new = known is None
        write(connection, owner_id, [record], max_records=max_records, is_quiet=is_new)
    except IntegrityError:
        # A record of another table, which row-level security hides from this transaction.
        raise _taken() from None
    return {**(known or {}), **fields, "id": joining.guest}


def read_view(connection: Connection, row: Row[Any], cache: TableCache, now_ms: int) -> Table:
    """Load what the guest may see. Raises AccessError if the guest or the table has ended."""
    version = f"{row.epoch} {row.version}"
    shared = cache.get(row.owner_id, row.group_tasting, version)
    if shared is None:
        shared = existing(load_shared, connection, row)
        cache.put(row.owner_id, shared, version)
    table = add_guest(connection, row.owner_id, shared, row.guest)
    check_guest(table, row.guest, now_ms)
    return table


def existing(
    load: Callable[[Connection, int, str], Table], connection: Connection, row: Row[Any]
) -> Table:
    """Load the guest's table. Raises AccessError if the leader has deleted it."""
    try:
        return load(connection, row.owner_id, row.group_tasting)
    except AccessError:
        raise guest_ended("deleted") from None


def check_guest(table: Table, guest_id: str, now_ms: int) -> None:
    """Raise AccessError if the guest was removed or the table has ended."""
    guest = table.guests.get(guest_id)
    if guest is None or guest.get("removed_at"):
        raise guest_ended("removed")
    if table.closes_ms is not None and now_ms > table.closes_ms:
        raise guest_ended("ended")


def put_answers(
    connection: Connection,
    row: Row[Any],
    given: Given,
    now_ms: int,
    max_records: int,
) -> Judged:
    """Store a guest's answers for a glass. Raises AccessError."""
    owner_id, glass = row.owner_id, given.glass
    lock_owner(connection, owner_id)
    table = add_guest(connection, owner_id, existing(load_table, connection, row), row.guest)
    check_guest(table, row.guest, now_ms)
    if glass not in table.glasses:
        raise AccessError("no_such_glass", "There is no such glass on this table.")
    judged = judge(table, row.guest, glass, given.fields, given.noted_ms, now_ms)
    if not judged.fields:
        return judged
    id_ = sheet_id(row.guest, glass)
    if stored_record(connection, owner_id, ("sheet", id_)) is None:
        change = sheet_record(id_, table, row.guest, glass, judged)
    else:
        change = record_of("sheet", id_, judged.fields, judged.clocks)
    is_quiet = not (table.has_results or table.glasses[glass].get("discussed_at"))
    write(connection, owner_id, [change], max_records=max_records, is_quiet=is_quiet)
    count_write(connection, row)
    return judged


def count_write(connection: Connection, row: Row[Any]) -> None:
    """Count a guest's own write, which changes the guest's view."""
    mine = group_guest_token.c.token_hash == row.token_hash
    writes = group_guest_token.c.writes + 1
    connection.execute(update(group_guest_token).where(mine).values(writes=writes))


def moment_of(at_ms: int) -> str:
    """Format milliseconds since 1970 as a moment of a record."""
    return datetime.fromtimestamp(at_ms / 1000, UTC).isoformat(timespec="milliseconds")
