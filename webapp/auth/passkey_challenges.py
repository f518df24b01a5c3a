"""Challenges: random bytes that an authenticator signs, each valid once, for a few minutes.

A challenge is bound to the key of the browser that requested it; one for adding a passkey also to
the sign-in. Only its hash is stored.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select
from webauthn.helpers import generate_challenge

from webapp.auth import counters
from webapp.auth.errors import AccessError
from webapp.auth.sessions import Browser, token_hash
from webapp.db.tables import passkey_challenge

VALID_FOR_S = 300
# Anybody may request challenges, so the oldest ones of an address are deleted.
MAX_OPEN = 50


@dataclass(frozen=True, slots=True)
class Adding:
    """The owner who adds a passkey, and the sign-in that requested it."""

    owner_id: int
    sign_in_id: str
    user_handle: str


def create(connection: Connection, browser: Browser, adding: Adding | None, now_s: int) -> bytes:
    """Create a challenge for adding a passkey, or for signing in if `adding` is None."""
    made, address = generate_challenge(), counters.client_key(browser.address)
    connection.execute(delete(passkey_challenge).where(passkey_challenge.c.until <= now_s))
    open_ = (
        select(passkey_challenge.c.challenge_hash)
        .where(passkey_challenge.c.address == address)
        .order_by(passkey_challenge.c.until.desc(), passkey_challenge.c.challenge_hash)
    )
    oldest = connection.scalars(open_).all()[MAX_OPEN - 1 :]
    connection.execute(
        delete(passkey_challenge).where(passkey_challenge.c.challenge_hash.in_(oldest))
    )
    row = {
        "challenge_hash": _hash(made),
        "owner_id": adding.owner_id if adding else None,
        "sign_in_id": adding.sign_in_id if adding else None,
        "user_handle": adding.user_handle if adding else None,
        "key_hash": token_hash(browser.key),
        "address": address,
        "until": now_s + VALID_FOR_S,
    }
    connection.execute(insert(passkey_challenge), row)
    return made


def consume(
    connection: Connection, challenge: bytes, key: str, sign_in_id: str | None, now_s: int
) -> Row[Any]:
    """Delete a challenge, so that it is used once at most. Raises AccessError.

    `sign_in_id`: the sign-in that adds a passkey, None for signing in.
    """
    taken = connection.execute(
        delete(passkey_challenge)
        .where(
            passkey_challenge.c.challenge_hash == _hash(challenge),
            passkey_challenge.c.key_hash == token_hash(key),
            passkey_challenge.c.sign_in_id.is_not_distinct_from(sign_in_id),
            passkey_challenge.c.until > now_s,
        )
        .returning(passkey_challenge)
    ).one_or_none()
    if taken is None:
        raise AccessError("passkey_expired", "That took too long, or was sent before; begin again.")
    return taken


def _hash(challenge: bytes) -> str:
    return token_hash(challenge.hex())
