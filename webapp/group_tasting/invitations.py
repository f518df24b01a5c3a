"""Invitations to a table: a short code, and a secret for the link and the QR code.

The database has only hashes of the secrets. A browser of the leader can show its link again all the
same, because it derives the secret from its own key, which the server never stores, and the nonce
of the invitation; each browser of the leader thus has a secret of its own. Without a key the secret
is random. An invitation is valid while the table is open, for a week at most.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from dataclasses import dataclass

from sqlalchemy import Connection, delete, insert, select

from webapp.auth.errors import AccessError
from webapp.auth.sessions import token_hash
from webapp.db.engine import insert_missing
from webapp.db.tables import group_invitation, group_invitation_secret
from webapp.group_tasting.store import load_table, no_such_table
from webapp.group_tasting.table import Table
from webapp.records.repository import lock_owner

VALID_FOR_S = 7 * 24 * 3600
CODE_LENGTH = 6
# Without signs that look alike: 0 O, 1 I L, 2 Z, 5 S, 8 B, U V.
CODE_SIGNS = "23456789ACDEFGHJKMNPQRTVWXY"
_LOOK_ALIKE = str.maketrans({"Z": "2", "S": "5", "B": "8", "U": "V"})
MAX_SECRETS = 10


@dataclass(frozen=True, slots=True)
class Invitation:
    """What the leader shows; only the link and the QR code contain the secret."""

    code: str
    secret: str
    keeps_days: int | None


@dataclass(frozen=True, slots=True)
class Invited:
    """The table that an invitation is for."""

    owner_id: int
    group_tasting: str


def invite(connection: Connection, owner_id: int, table: str, key: str, now_s: int) -> Invitation:
    """Return the table's invitation, made if there is none.

    Raises AccessError: no_such_table, table_ended.
    """
    lock_owner(connection, owner_id)
    loaded = load_table(connection, owner_id, table)
    if loaded.ended_ms is not None:
        raise AccessError("table_ended", "This tasting has ended.")
    _delete_expired(connection, now_s)
    return _made(connection, owner_id, loaded, key, now_s)


def _made(connection: Connection, owner_id: int, loaded: Table, key: str, now_s: int) -> Invitation:
    table, columns = loaded.head["id"], group_invitation.c
    mine = (columns.owner_id == owner_id) & (columns.group_tasting == table)
    row = connection.execute(select(group_invitation).where(mine)).one_or_none()
    code, nonce = (row.code, row.nonce) if row else (_free_code(connection), _random())
    told = {"owner_id": owner_id, "group_tasting": table, "made_at": now_s}
    if row is None:
        connection.execute(insert(group_invitation), {**told, "code": code, "nonce": nonce})
    secret = derive(key, f"invitation {nonce}") if key else _random()
    _keep_latest(connection, owner_id, table)
    entry = {**told, "secret_hash": token_hash(secret)}
    insert_missing(connection, group_invitation_secret, [entry])
    return Invitation(code, secret, loaded.keeps_days)


def withdraw(connection: Connection, owner_id: int, table: str) -> None:
    """End the table's invitation; guests who joined stay. Raises AccessError: no_such_table."""
    lock_owner(connection, owner_id)
    load_table(connection, owner_id, table)
    for one in (group_invitation, group_invitation_secret):
        mine = (one.c.owner_id == owner_id) & (one.c.group_tasting == table)
        connection.execute(delete(one).where(mine))


def find_by_secret(connection: Connection, secret: str, now_s: int) -> Invited:
    """Return the table of a secret. Raises AccessError."""
    columns, wanted = group_invitation_secret.c, token_hash(secret)
    query = select(group_invitation_secret).where(columns.secret_hash == wanted)
    row = connection.execute(query).one_or_none()
    # The index finds the row by its hash; equal hashes are compared in constant time besides.
    if row is None or not secrets.compare_digest(row.secret_hash, wanted):
        raise no_such_table()
    if row.made_at <= now_s - VALID_FOR_S:
        raise no_such_table()
    return Invited(row.owner_id, row.group_tasting)


def find_by_code(connection: Connection, code: str, now_s: int) -> Invited | None:
    """Return the table of a code as somebody typed it, None if there is none."""
    columns = group_invitation.c
    query = select(group_invitation).where(columns.code == normal_code(code))
    row = connection.execute(query).one_or_none()
    if row is None or row.made_at <= now_s - VALID_FOR_S:
        return None
    return Invited(row.owner_id, row.group_tasting)


def normal_code(typed: str) -> str:
    """Return a typed code as it is stored: capitals, no spaces, no signs that look alike."""
    return "".join(sign for sign in typed.upper() if sign.isalnum()).translate(_LOOK_ALIKE)


def derive(key: str, purpose: str) -> str:
    """Return a secret of 256 bits (base64url) from a key that is not stored, by HMAC-SHA-256."""
    digest = hmac.digest(key.encode("utf-8", "surrogatepass"), purpose.encode(), hashlib.sha256)
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


def _random() -> str:
    return secrets.token_urlsafe(32)


def _free_code(connection: Connection) -> str:
    while True:
        code = "".join(secrets.choice(CODE_SIGNS) for _ in range(CODE_LENGTH))
        query = select(group_invitation.c.code).where(group_invitation.c.code == code)
        if connection.scalar(query) is None:
            return code


def _keep_latest(connection: Connection, owner_id: int, table: str) -> None:
    """Delete the oldest secrets, so that a client without a key cannot fill the table."""
    columns = group_invitation_secret.c
    query = (
        select(columns.secret_hash)
        .where(columns.owner_id == owner_id, columns.group_tasting == table)
        .order_by(columns.made_at.desc(), columns.secret_hash)
    )
    old = connection.scalars(query).all()[MAX_SECRETS - 1 :]
    connection.execute(delete(group_invitation_secret).where(columns.secret_hash.in_(old)))


def _delete_expired(connection: Connection, now_s: int) -> None:
    for one in (group_invitation, group_invitation_secret):
        connection.execute(delete(one).where(one.c.made_at <= now_s - VALID_FOR_S))
