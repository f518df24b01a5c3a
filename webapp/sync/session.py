"""Sync sessions: how the server notices that it, or a phone, has been set back to an earlier day.

Each answer carries a new random token, which the phone shows the next time. The server keeps the
last MAX_TOKENS per device. A token that it does not know was given out by a later state of this
database, so the database was restored; a token whose successor has already been used is shown by a
copy of the phone, or by a phone that was itself restored. Such a phone goes on under a new name
with the token that it was given under the old one.
"""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, delete, select, update

from webapp.db.engine import insert_missing
from webapp.db.tables import device as device_table

# A request that a browser or a proxy repeats by itself uses one up each time, and the phone may
# have heard the first answer only: so many repetitions cost no rewind. None is given out twice,
# because a database set back to the first time would know it and not what came with the second.
MAX_TOKENS = 20
KEPT_UNSEEN = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Session:
    """One exchange: its token, and what the shown one told."""

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
    """Judge the shown token (None: this phone has none yet) and give out the next one."""
    stored = _stored_tokens(connection, owner_id, device)
    current = next((one for one in stored if one.token == presented), None)
    unknown = presented is not None and current is None
    if unknown and not stored:
        unknown = not _given_to_another(connection, owner_id, str(presented))
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
        _forget_unseen(connection, owner_id)
        first = {"owner_id": owner_id, "id": device, "last_seen": _now(), "tokens": "[]"}
        insert_missing(connection, device_table, [first])
        text = connection.execute(query).scalar_one()
    return [_Token(*entry) for entry in json.loads(text)]


def _forget_unseen(connection: Connection, owner_id: int) -> None:
    """Remove devices that were not seen for long; one that comes back reads the book again."""
    columns = device_table.c
    limit = (datetime.now(UTC) - KEPT_UNSEEN).isoformat(timespec="seconds")
    connection.execute(
        delete(device_table).where(columns.owner_id == owner_id, columns.last_seen < limit)
    )


def _given_to_another(connection: Connection, owner_id: int, presented: str) -> bool:
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
