"""Owners, and the current owner of a request.

Every query of the API takes its owner from `current_owner()`. Only `set_current_owner` sets it;
`webapp.db.engine` passes it to PostgreSQL for row-level security.
"""

from __future__ import annotations

import time
import uuid
from datetime import UTC, datetime
from typing import Any

from flask import g
from sqlalchemy import Connection, Row, func, insert, select, update

from webapp.auth import account_events, erasure, sessions
from webapp.auth.errors import AccessError, NameTaken, NotebookHidden
from webapp.auth.names import FIRST_OWNER, normalize_name, owner_uid
from webapp.auth.passphrase import hash_passphrase
from webapp.db.engine import read_transaction
from webapp.db.tables import fold_name, owner


def current_owner() -> int:
    """Return the id of the owner of this request. Raises AccessError if there is none."""
    found: int | None = g.get("owner_id")
    if found is None:
        raise AccessError("sign_in", "Sign in first.")
    return found


def set_current_owner(owner_id: int) -> None:
    """Set the owner for the rest of this request or command."""
    g.owner_id = owner_id


def owner_row(connection: Connection, owner_id: int) -> Row[Any]:
    """Return the row of an owner that exists."""
    return connection.execute(select(owner).where(owner.c.id == owner_id)).one()


def find_owner(connection: Connection, name: str) -> Row[Any] | None:
    """Return the owner of this name, regardless of case, or None."""
    wanted = fold_name(normalize_name(name) or "")
    rows = connection.execute(select(owner).where(owner.c.folded_name == wanted).limit(2)).all()
    return rows[0] if len(rows) == 1 else None


def single_owner(connection: Connection) -> Row[Any] | None:
    """Return the only owner; None if there are several or none."""
    rows = connection.execute(select(owner).order_by(owner.c.id).limit(2)).all()
    return rows[0] if len(rows) == 1 else None


def has_passphrase(connection: Connection) -> bool:
    """Tell whether any owner has a passphrase."""
    query = select(owner.c.id).where(owner.c.passphrase.is_not(None)).limit(1)
    return connection.scalar(query) is not None


def owners() -> list[tuple[int, str, int]]:
    """Return (id, name, last sequence number) of every owner."""
    with read_transaction() as connection:
        rows = connection.execute(
            select(owner.c.id, owner.c.name, owner.c.seq).order_by(owner.c.id)
        )
        return [(row.id, row.name, row.seq) for row in rows]


def add_owner(connection: Connection, name: str, passphrase: str) -> int:
    """Add an owner and return the id. Raises NameTaken, WeakPassphrase or NotebookHidden.

    On an unused server, the default owner gets the name and the passphrase instead.
    """
    wanted = _free_name(connection, name)
    row: dict[str, Any] = {
        "name": wanted,
        "folded_name": fold_name(wanted),
        "uid": _uid_of(connection, wanted),
        "passphrase": hash_passphrase(passphrase, wanted),
    }
    first = single_owner(connection)
    if first is not None and first.passphrase is None:
        if first.seq > 0:
            # An owner without a passphrase has access only while it is the single one.
            raise NotebookHidden(first.name, wanted)
        connection.execute(update(owner).where(owner.c.id == first.id).values(row))
        return int(first.id)
    return insert_owner(connection, row)


def insert_owner(connection: Connection, row: dict[str, Any]) -> int:
    """Insert an owner's row and return its id, which no deleted owner has had."""
    made_at = datetime.now(UTC).isoformat()
    row = {**row, "seq": 0, "max_clock_ms": 0, "made_at": made_at}
    if connection.dialect.name == "sqlite":
        # PostgreSQL never reuses an id; SQLite reuses the highest one after its row is deleted.
        highest = connection.scalar(select(func.max(owner.c.id))) or 0
        row["id"] = 1 + max(highest, erasure.highest_id(connection))
    done = connection.execute(insert(owner).values(row).returning(owner.c.id))
    return int(done.scalar_one())


def rename_owner(connection: Connection, owner_id: int, name: str) -> None:
    """Rename an owner; phones identify the owner by the uid, which does not change."""
    wanted = _free_name(connection, name)
    names = {"name": wanted, "folded_name": fold_name(wanted)}
    connection.execute(update(owner).where(owner.c.id == owner_id).values(names))


def set_passphrase(connection: Connection, owner_id: int, passphrase: str) -> None:
    """Set a passphrase as the operator; the owner's devices show it. Raises WeakPassphrase."""
    name = owner_row(connection, owner_id).name
    change_hash(connection, owner_id, hash_passphrase(passphrase, name), int(time.time()))


def change_hash(connection: Connection, owner_id: int, hash_: str, now_s: int) -> None:
    """Store the hash of a new passphrase, end open pairing offers and record the event."""
    store_hash(connection, owner_id, hash_)
    sessions.end_offers(connection, owner_id)
    account_events.record_event(connection, owner_id, "passphrase", None, "", now_s)


def store_hash(connection: Connection, owner_id: int, hash_: str) -> None:
    """Store the hash of a passphrase."""
    connection.execute(update(owner).where(owner.c.id == owner_id).values(passphrase=hash_))


def is_unchanged(connection: Connection, owner_id: int, hash_: str | None) -> bool:
    """Tell whether this is still the owner's stored hash; lock the row."""
    locked = select(owner.c.passphrase).where(owner.c.id == owner_id).with_for_update()
    return connection.scalar(locked) == hash_


def require_an_owner(connection: Connection) -> None:
    """Add a default owner if there is none left.

    Its uid is random, so that no phone takes it for the deleted owner.
    """
    if connection.scalar(select(owner.c.id).limit(1)) is None:
        insert_owner(connection, {"name": FIRST_OWNER, "uid": _random_uid()})


def _uid_of(connection: Connection, name: str) -> str:
    """Return the uid of a new owner.

    It is random after a deleted owner of this name, whose notes a phone would send again.
    """
    uid = owner_uid(name)
    return _random_uid() if erasure.was_used(connection, uid) else uid


def _random_uid() -> str:
    return uuid.uuid4().hex[:20]


def _free_name(connection: Connection, name: str) -> str:
    wanted = normalize_name(name)
    if wanted is None:
        raise NameTaken("Give a name of one letter or more.")
    # Names that differ only in case would be confused.
    same = select(owner.c.id).where(owner.c.folded_name == fold_name(wanted)).limit(1)
    if connection.scalar(same) is not None:
        raise NameTaken(f"There is an owner named {wanted} already.")
    return wanted
