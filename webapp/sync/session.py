"""Sync sessions: detect a server or a phone that was restored from a backup.

Each response contains a new random token, which the phone sends with its next request. The server
stores the last MAX_TOKENS of a device. An unknown token was issued by a later state of this
database, so the database was restored (rewind). A token whose successor has already been used comes
from a copy of the phone, or from a restored phone (fork). Such a phone takes a new device id and
continues with the token that it received under the old one.
"""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, delete, select, update

from webapp.db.engine import insert_missing
from webapp.db.tables import device as device_table

# A browser or proxy may repeat a request, which uses a token each time, while the phone receives
# only the first response. Up to this many repetitions cause no rewind. A repetition gets a new
# token, because a restored database could know a reused one but not the later changes.
MAX_TOKENS = 20
DEVICE_RETENTION = timedelta(days=365)
MAX_DEVICES = 500


@dataclass(frozen=True, slots=True)
class Session:
    """One sync: its new token, and whether the presented one reveals a rewind or a fork."""

    token: str
    rewound: bool
    fork: bool


@dataclass(slots=True)
class _Token:
    token: str
    predecessor: str | None
    superseded: bool


def open_session(
    connection: Connection, owner_id: int, device: str, presented: str | None
) -> Session:
    """Check the presented token (None: the phone has none yet) and issue the next one."""
    stored = _stored_tokens(connection, owner_id, device)
    current = next((one for one in stored if one.token == presented), None)
    unknown = presented is not None and current is None
    if unknown and not stored:
        unknown = not _issued_to_other_device(connection, owner_id, str(presented))
    fork = current.superseded if current else unknown and bool(stored)
    new = _Token(secrets.token_hex(8), presented if current else None, False)
    if current is not None:
        for earlier in stored:
            if earlier.token == current.predecessor:
                earlier.superseded = True
        stored.remove(current)
        stored.append(current)
    _store_tokens(connection, owner_id, device, [*stored, new][-MAX_TOKENS:])
    return Session(token=new.token, rewound=unknown, fork=fork)


def _stored_tokens(connection: Connection, owner_id: int, device: str) -> list[_Token]:
    columns = device_table.c
    query = (
        select(columns.tokens)
        .where(columns.owner_id == owner_id, columns.id == device)
        .with_for_update()
    )
    text = connection.scalar(query)
    if text is None:
        _purge_unseen_devices(connection, owner_id)
        row = {"owner_id": owner_id, "id": device, "last_seen": _now(), "tokens": "[]"}
        insert_missing(connection, device_table, [row])
        text = connection.execute(query).scalar_one()
    return [_Token(*entry) for entry in json.loads(text)]


def _purge_unseen_devices(connection: Connection, owner_id: int) -> None:
    """Make room for a new device: delete those not seen for long, and the oldest of too many.

    One that returns reads the whole notebook again.
    """
    columns = device_table.c
    limit = (datetime.now(UTC) - DEVICE_RETENTION).isoformat(timespec="seconds")
    mine = columns.owner_id == owner_id
    connection.execute(delete(device_table).where(mine, columns.last_seen < limit))
    latest = select(columns.id).where(mine).order_by(columns.last_seen.desc(), columns.id)
    surplus = connection.scalars(latest.offset(MAX_DEVICES - 1)).all()
    connection.execute(delete(device_table).where(mine, columns.id.in_(surplus)))


def _issued_to_other_device(connection: Connection, owner_id: int, presented: str) -> bool:
    query = select(device_table.c.tokens).where(device_table.c.owner_id == owner_id)
    return any(
        entry[0] == presented for text in connection.scalars(query) for entry in json.loads(text)
    )


def _store_tokens(connection: Connection, owner_id: int, device: str, tokens: list[_Token]) -> None:
    columns = device_table.c
    entries = [[one.token, one.predecessor, one.superseded] for one in tokens]
    connection.execute(
        update(device_table)
        .where(columns.owner_id == owner_id, columns.id == device)
        .values(last_seen=_now(), tokens=json.dumps(entries))
    )


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
