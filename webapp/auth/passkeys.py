"""Stored passkeys: public keys with which an owner may sign in.

Signing out keeps passkeys. A new passphrase removes all of them, and revoking a device removes
those that were added or used in its browser, because a thief could sign in again with them.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, func, insert, or_, select, update

from webapp.auth.errors import AccessError
from webapp.auth.names import normalize_name
from webapp.db.tables import passkey, sign_in

MAX_PASSKEYS = 20
UNKNOWN = "This passkey was removed, or was made for another book."


@dataclass(frozen=True, slots=True)
class NewPasskey:
    """A verified credential and the host it is valid for; see the columns of `passkey`."""

    credential_id: str
    public_key: str
    sign_count: int
    user_handle: str
    host: str
    name: str
    key_hash: str


def passkeys_of(connection: Connection, owner_id: int) -> list[Row[Any]]:
    """Return the owner's passkeys, newest first."""
    query = select(passkey).where(passkey.c.owner_id == owner_id)
    return list(connection.execute(query.order_by(passkey.c.made_at.desc(), passkey.c.id)))


def find_by_credential(connection: Connection, credential_id: str) -> Row[Any] | None:
    """Return the passkey of a credential, of any owner."""
    query = select(passkey).where(passkey.c.credential_id == credential_id)
    return connection.execute(query).one_or_none()


def check_room(connection: Connection, owner_id: int) -> None:
    """Raise AccessError if the owner has the maximum number of passkeys."""
    count = select(func.count()).select_from(passkey).where(passkey.c.owner_id == owner_id)
    if connection.execute(count).scalar_one() >= MAX_PASSKEYS:
        told = f"There are {MAX_PASSKEYS} passkeys; remove one first."
        raise AccessError("too_many_passkeys", told)


def add(connection: Connection, owner_id: int, new: NewPasskey, now_s: int) -> Row[Any]:
    """Store a verified passkey; the caller has locked the owner's row. Raises AccessError."""
    check_room(connection, owner_id)
    if find_by_credential(connection, new.credential_id) is not None:
        raise AccessError("passkey_added_before", "This passkey was added before.")
    row = {
        "id": uuid.uuid4().hex,
        "owner_id": owner_id,
        "credential_id": new.credential_id,
        "public_key": new.public_key,
        "sign_count": new.sign_count,
        "user_handle": new.user_handle,
        "host": new.host,
        "name": normalize_name(new.name) or "",
        "key_hash": new.key_hash,
        "made_at": now_s,
    }
    return connection.execute(insert(passkey).values(row).returning(passkey)).one()


def record_use(connection: Connection, used: Row[Any], sign_count: int, now_s: int) -> None:
    """Record a use. Raises AccessError if it was removed or used by another request meanwhile."""
    done = connection.execute(
        update(passkey)
        .where(passkey.c.id == used.id, passkey.c.sign_count == used.sign_count)
        .values(sign_count=sign_count, last_used=now_s)
    )
    if done.rowcount == 0:
        raise AccessError("unknown_passkey", UNKNOWN)


def rename(connection: Connection, owner_id: int, id_: str, name: str) -> Row[Any]:
    """Change the name in the list. Raises AccessError."""
    change = update(passkey).where(passkey.c.owner_id == owner_id, passkey.c.id == id_)
    named = change.values(name=normalize_name(name) or "").returning(passkey)
    row = connection.execute(named).one_or_none()
    if row is None:
        raise _missing()
    return row


def remove(connection: Connection, owner_id: int, id_: str) -> None:
    """Remove a passkey of the owner. Raises AccessError."""
    gone = delete(passkey).where(passkey.c.owner_id == owner_id, passkey.c.id == id_)
    if connection.execute(gone).rowcount == 0:
        raise _missing()


def remove_all(connection: Connection, owner_id: int) -> None:
    """Remove all passkeys of the owner."""
    connection.execute(delete(passkey).where(passkey.c.owner_id == owner_id))


def remove_of_device(connection: Connection, owner_id: int, sign_in_id: str) -> None:
    """Remove the passkeys that the browser of this sign-in added or signed in with."""
    own = sign_in.c.owner_id == owner_id
    query = select(sign_in.c.key_hash).where(own, sign_in.c.id == sign_in_id)
    key_hash = connection.scalar(query)
    if key_hash is None:
        return
    used = select(sign_in.c.passkey).where(
        own, sign_in.c.key_hash == key_hash, sign_in.c.passkey.is_not(None)
    )
    theirs = or_(passkey.c.key_hash == key_hash, passkey.c.id.in_(used))
    connection.execute(delete(passkey).where(passkey.c.owner_id == owner_id, theirs))


def _missing() -> AccessError:
    return AccessError("no_passkey", "No passkey of this book has this id.")
