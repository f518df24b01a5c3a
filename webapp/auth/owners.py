"""Owners of books, and whose book a request is about.

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
from webapp.auth.errors import AccessError, BookHidden, NameTaken
from webapp.auth.names import FIRST_OWNER, normalize_name, owner_uid
from webapp.auth.passphrase import hash_passphrase
from webapp.db.engine import read_transaction
from webapp.db.tables import owner


def current_owner() -> int:
    """The id of the owner whom this request may read and write. Raises AccessError without one."""
    found: int | None = g.get("owner_id")
    if found is None:
        raise AccessError("sign_in", "Sign in first.")
    return found


def set_current_owner(owner_id: int) -> None:
    """From here on this request, or this command, is about one owner's book and no other."""
    g.owner_id = owner_id


def owner_row(connection: Connection, owner_id: int) -> Row[Any]:
    """The row of an owner who is known to be there."""
    return connection.execute(select(owner).where(owner.c.id == owner_id)).one()


def find_owner(connection: Connection, name: str) -> Row[Any] | None:
    """The owner of this name, None when there is none; large and small letters are the same."""
    wanted = (normalize_name(name) or "").casefold()
    names = connection.execute(select(owner.c.id, owner.c.name))
    # By the program, not by the database: SQLite folds the letters of English only.
    ids = [row.id for row in names if row.name.casefold() == wanted]
    return owner_row(connection, ids[0]) if len(ids) == 1 else None


def single_owner(connection: Connection) -> Row[Any] | None:
    """The owner of the one book here; None where there are several, or none."""
    rows = connection.execute(select(owner).order_by(owner.c.id).limit(2)).all()
    return rows[0] if len(rows) == 1 else None


def has_passphrase(connection: Connection) -> bool:
    """Whether anybody here could sign in with a passphrase."""
    query = select(func.count()).select_from(owner).where(owner.c.passphrase.is_not(None))
    return bool(connection.scalar(query))


def owners() -> list[tuple[int, str, int]]:
    """(id, name, last sequence number) of every owner."""
    with read_transaction() as connection:
        rows = connection.execute(
            select(owner.c.id, owner.c.name, owner.c.seq).order_by(owner.c.id)
        )
        return [(row.id, row.name, row.seq) for row in rows]


def add_owner(connection: Connection, name: str, passphrase: str) -> int:
    """A new owner with an empty book; gives the id. Raises NameTaken, WeakPassphrase or BookHidden.

    The nameless first owner of a server that nobody has used yet takes the name instead.
    """
    wanted = _free_name(connection, name)
    row: dict[str, Any] = {
        "name": wanted,
        "uid": owner_uid(wanted),
        "passphrase": hash_passphrase(passphrase, wanted),
    }
    first = single_owner(connection)
    if first is not None and first.passphrase is None:
        if first.seq > 0:
            # It opens without sign-in only while it is alone.
            raise BookHidden(first.name, wanted)
        connection.execute(update(owner).where(owner.c.id == first.id).values(row))
        return int(first.id)
    return insert_owner(connection, row)


def insert_owner(connection: Connection, row: dict[str, Any]) -> int:
    """A new row with an empty book; gives the id, which no erased owner has had."""
    made_at = datetime.now(UTC).isoformat()
    row = {**row, "seq": 0, "max_clock_ms": 0, "made_at": made_at}
    if connection.dialect.name == "sqlite":
        # PostgreSQL gives no number twice; SQLite gives the last one again once its row is gone.
        highest = connection.scalar(select(func.max(owner.c.id))) or 0
        row["id"] = 1 + max(highest, erasure.highest_id(connection))
    done = connection.execute(insert(owner).values(row).returning(owner.c.id))
    return int(done.scalar_one())


def rename_owner(connection: Connection, owner_id: int, name: str) -> None:
    """Another name for the same book; phones know the owner by the uid, which stays."""
    wanted = _free_name(connection, name)
    connection.execute(update(owner).where(owner.c.id == owner_id).values(name=wanted))


def set_passphrase(connection: Connection, owner_id: int, passphrase: str) -> None:
    """The operator sets it; the owner's devices are told. Raises WeakPassphrase."""
    name = owner_row(connection, owner_id).name
    change_hash(connection, owner_id, hash_passphrase(passphrase, name), int(time.time()))


def change_hash(connection: Connection, owner_id: int, hash_: str, now_s: int) -> None:
    """The hash of a new passphrase that has been checked; open offers to pair end with it."""
    store_hash(connection, owner_id, hash_)
    sessions.end_offers(connection, owner_id)
    account_events.record_event(connection, owner_id, "passphrase", None, "", now_s)


def store_hash(connection: Connection, owner_id: int, hash_: str) -> None:
    """The hash of a passphrase that has been checked."""
    connection.execute(update(owner).where(owner.c.id == owner_id).values(passphrase=hash_))


def is_unchanged(connection: Connection, owner_id: int, hash_: str | None) -> bool:
    """Whether the owner's passphrase is the one of this hash yet; locks the row."""
    locked = select(owner.c.passphrase).where(owner.c.id == owner_id).with_for_update()
    return connection.scalar(locked) == hash_


def require_an_owner(connection: Connection) -> None:
    """Where the last owner was erased, a nameless one begins anew.

    No phone may take the new book for the erased one, so it has a number of its own.
    """
    if not connection.scalar(select(func.count()).select_from(owner)):
        insert_owner(connection, {"name": FIRST_OWNER, "uid": uuid.uuid4().hex[:20]})


def _free_name(connection: Connection, name: str) -> str:
    wanted = normalize_name(name)
    if wanted is None:
        raise NameTaken("Give a name of one letter or more.")
    # Two books that people could take for each other would invite mistakes.
    names = connection.scalars(select(owner.c.name)).all()
    if wanted.casefold() in {one.casefold() for one in names}:
        raise NameTaken(f"There is an owner named {wanted} already.")
    return wanted
