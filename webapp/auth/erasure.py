"""Deletes an owner permanently: every row and every photo.

Hashes of the tokens remain, so that the signed-out devices get a specific error, a hash of the uid
for as long, and the owner's id, so that they are not assigned again. Backups must be deleted by the
operator.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from sqlalchemy import Connection, delete, select

from webapp.auth.errors import ERASED, AccessError
from webapp.auth.sessions import VALID_FOR_S, token_hash
from webapp.db.engine import insert_missing
from webapp.db.tables import erased, metadata, owner, sign_in

OWNER = "owner/"
TOKEN = "token/"
UID = "uid/"
USED = "used/"
# Deletes the photos of an owner.
DeletePhotos = Callable[[int], None]


def erase_owner(
    connection: Connection, delete_photos: DeletePhotos, owner_id: int, now_s: int
) -> None:
    """Delete everything of the owner permanently. Raises AccessError if it was deleted already.

    On PostgreSQL the transaction must be this owner's, or row-level security hides the rows. Photos
    are deleted before the commit, so that a failure keeps the owner and can be retried.
    """
    locked = select(owner).where(owner.c.id == owner_id).with_for_update()
    row = connection.execute(locked).one_or_none()
    if row is None:
        raise AccessError("erased", ERASED)
    tokens = connection.scalars(
        select(sign_in.c.token_hash).where(sign_in.c.owner_id == owner_id)
    ).all()
    keys = [
        f"{OWNER}{owner_id}",
        f"{USED}{_uid_hash(row.uid)}",
        *(f"{TOKEN}{one}" for one in tokens),
    ]
    if row.passphrase is None:
        # Other browsers on the machine itself have no token; they are recognized by the uid.
        keys.append(f"{UID}{row.uid}")
    for table in reversed(metadata.sorted_tables):
        if "owner_id" in table.c:
            connection.execute(delete(table).where(table.c.owner_id == owner_id))
    connection.execute(delete(owner).where(owner.c.id == owner_id))
    _forget_old(connection, now_s)
    insert_missing(connection, erased, [{"key": key, "at_s": now_s} for key in keys])
    delete_photos(owner_id)


def is_token_erased(connection: Connection, token: str) -> str | None:
    """Return "erased" if the owner of this token was deleted, else None."""
    return _kept(connection, f"{TOKEN}{token_hash(token)}")


def is_owner_erased(connection: Connection, uid: str) -> bool:
    """Tell whether this owner was deleted."""
    return _kept(connection, f"{UID}{uid}") is not None


def was_used(connection: Connection, uid: str) -> bool:
    """Tell whether a deleted owner had this uid, which phones with their notes still send."""
    return _kept(connection, f"{USED}{_uid_hash(uid)}") is not None


def highest_id(connection: Connection) -> int:
    """Return the highest id of a deleted owner; 0 if there is none."""
    keys = connection.scalars(select(erased.c.key).where(erased.c.key.startswith(OWNER)))
    return max((int(key.removeprefix(OWNER)) for key in keys), default=0)


def _uid_hash(uid: str) -> str:
    return hashlib.sha256(uid.encode()).hexdigest()


def _kept(connection: Connection, key: str) -> str | None:
    found = connection.scalar(select(erased.c.key).where(erased.c.key == key))
    return None if found is None else "erased"


def _forget_old(connection: Connection, now_s: int) -> None:
    """Delete the hashes of tokens that would have expired anyway, and those of uids as old."""
    is_hash = erased.c.key.startswith(TOKEN) | erased.c.key.startswith(USED)
    old = is_hash & (erased.c.at_s < now_s - VALID_FOR_S)
    connection.execute(delete(erased).where(old))
