"""Owners of books, and whose book a request is about.

Every query of the API takes its owner from `current_owner()`; `acting_for` is the one place that
sets it, and `webapp.db` hands it on to PostgreSQL as the second wall.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from flask import g
from sqlalchemy import Connection, Row, func, insert, select, update

from webapp.accounts.errors import AccessError, NameTaken
from webapp.accounts.names import owner_uid, plain_name
from webapp.accounts.passphrase import hashed
from webapp.db import reading
from webapp.db.tables import owner


def current_owner() -> int:
    """The id of the owner whom this request may read and write. Raises AccessError without one."""
    found: int | None = g.get("owner_id")
    if found is None:
        raise AccessError("sign_in", "Sign in first.")
    return found


def acting_for(owner_id: int) -> None:
    """From here on this request, or this command, is about one owner's book and no other."""
    g.owner_id = owner_id


def owner_row(connection: Connection, owner_id: int) -> Row[Any]:
    """The row of an owner who is known to be there."""
    return connection.execute(select(owner).where(owner.c.id == owner_id)).one()


def find_owner(connection: Connection, name: str) -> Row[Any] | None:
    """The owner of this name, None when there is none."""
    query = select(owner).where(owner.c.name == plain_name(name))
    return connection.execute(query).one_or_none()


def only_owner(connection: Connection) -> Row[Any] | None:
    """The owner of the one book here; None where there are several, or none."""
    rows = connection.execute(select(owner).order_by(owner.c.id).limit(2)).all()
    return rows[0] if len(rows) == 1 else None


def has_passphrase(connection: Connection) -> bool:
    """Whether anybody here could sign in with a passphrase."""
    query = select(func.count()).select_from(owner).where(owner.c.passphrase.is_not(None))
    return bool(connection.scalar(query))


def owners() -> list[tuple[int, str, int]]:
    """(id, name, last sequence number) of every owner."""
    with reading() as connection:
        rows = connection.execute(
            select(owner.c.id, owner.c.name, owner.c.seq).order_by(owner.c.id)
        )
        return [(row.id, row.name, row.seq) for row in rows]


def add_owner(connection: Connection, name: str, passphrase: str) -> int:
    """A new owner with an empty book; gives the id. Raises NameTaken or WeakPassphrase.

    The nameless first owner of a server that nobody has used yet takes the name instead.
    """
    wanted = _free_name(connection, name)
    row: dict[str, Any] = {
        "name": wanted,
        "uid": owner_uid(wanted),
        "passphrase": hashed(passphrase, wanted),
    }
    unused = only_owner(connection)
    if unused is not None and unused.seq == 0 and unused.passphrase is None:
        connection.execute(update(owner).where(owner.c.id == unused.id).values(row))
        return int(unused.id)
    made_at = datetime.now(UTC).isoformat()
    row |= {"seq": 0, "max_clock_ms": 0, "made_at": made_at}
    done = connection.execute(insert(owner).values(row).returning(owner.c.id))
    return int(done.scalar_one())


def rename_owner(connection: Connection, owner_id: int, name: str) -> None:
    """Another name for the same book; phones know the owner by the uid, which stays."""
    wanted = _free_name(connection, name)
    connection.execute(update(owner).where(owner.c.id == owner_id).values(name=wanted))


def set_passphrase(connection: Connection, owner_id: int, passphrase: str) -> None:
    """Raises WeakPassphrase."""
    name = owner_row(connection, owner_id).name
    keep_hash(connection, owner_id, hashed(passphrase, name))


def keep_hash(connection: Connection, owner_id: int, hash_: str) -> None:
    """The hash of a passphrase that has been checked."""
    connection.execute(update(owner).where(owner.c.id == owner_id).values(passphrase=hash_))


def still_set(connection: Connection, owner_id: int, hash_: str | None) -> bool:
    """Whether the owner's passphrase is the one of this hash yet; locks the row."""
    locked = select(owner.c.passphrase).where(owner.c.id == owner_id).with_for_update()
    return connection.scalar(locked) == hash_


def _free_name(connection: Connection, name: str) -> str:
    wanted = plain_name(name)
    if wanted is None:
        raise NameTaken("Give a name of one letter or more.")
    # Two books that people could take for each other would invite mistakes.
    names = connection.scalars(select(owner.c.name)).all()
    if wanted.casefold() in {one.casefold() for one in names}:
        raise NameTaken(f"There is an owner named {wanted} already.")
    return wanted
