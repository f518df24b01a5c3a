"""Pairing: a signed-in device offers, a phone claims by QR code, the owner compares and allows.

An offer holds a secret that stands in the QR code only. The first phone that shows it gets a claim,
and both devices show the same short code; nothing is signed in until the owner says on the first
device that the codes agree, so a code photographed over a shoulder opens nothing. Offers last ten
minutes and are good for one phone.
"""

from __future__ import annotations

import logging
import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select, update

from webapp.accounts import sign_ins
from webapp.accounts.errors import AccessError
from webapp.accounts.names import plain_name
from webapp.accounts.sign_ins import token_hash
from webapp.db.tables import pairing

LASTS_S = 600
MOST_AT_ONCE = 5
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Offer:
    """What the first device shows: the secret goes into the QR code and nowhere else."""

    id: str
    secret: str
    until: int


@dataclass(frozen=True, slots=True)
class Claim:
    """What the phone holds until it is let in: the code to compare, and a token to ask with."""

    code: str
    claim: str
    until: int


def offer(connection: Connection, owner_id: int, now_s: int) -> Offer:
    """A new offer; of the owner's earlier ones only the latest stay open."""
    connection.execute(delete(pairing).where(pairing.c.until <= now_s))
    mine = select(pairing.c.id).where(pairing.c.owner_id == owner_id)
    kept = mine.order_by(pairing.c.until.desc(), pairing.c.id).limit(MOST_AT_ONCE - 1)
    connection.execute(
        delete(pairing).where(
            pairing.c.owner_id == owner_id, pairing.c.id.not_in(connection.scalars(kept).all())
        )
    )
    made = Offer(uuid.uuid4().hex, secrets.token_urlsafe(24), now_s + LASTS_S)
    row = {
        "id": made.id,
        "owner_id": owner_id,
        "secret_hash": token_hash(made.secret),
        "until": made.until,
        "allowed": False,
    }
    connection.execute(insert(pairing), row)
    return made


def claim(connection: Connection, secret: str, name: str, now_s: int) -> Claim:
    """The phone has read the code. Raises AccessError where it was used, is too old or unknown."""
    taken = Claim(f"{secrets.randbelow(10_000):04d}", secrets.token_urlsafe(24), now_s + LASTS_S)
    done = connection.execute(
        update(pairing)
        .where(
            pairing.c.secret_hash == token_hash(secret),
            pairing.c.claim_hash.is_(None),
            pairing.c.until > now_s,
        )
        .values(
            code=taken.code,
            claim_hash=token_hash(taken.claim),
            name=plain_name(name) or "",
            until=taken.until,
        )
    )
    if done.rowcount == 0:
        raise AccessError("no_pairing", "This code was used already or is too old; make a new one.")
    return taken


def look(connection: Connection, owner_id: int, id_: str, now_s: int) -> Row[Any]:
    """The owner's own offer. Raises AccessError where it is over or not theirs."""
    query = select(pairing).where(
        pairing.c.owner_id == owner_id, pairing.c.id == id_, pairing.c.until > now_s
    )
    row = connection.execute(query).one_or_none()
    if row is None:
        raise AccessError("no_pairing", "This offer is over; make a new code.")
    return row


def allow(connection: Connection, owner_id: int, id_: str, code: str, now_s: int) -> None:
    """The owner has seen the same code on both devices. Raises AccessError."""
    row = look(connection, owner_id, id_, now_s)
    if row.code is None or not secrets.compare_digest(row.code.encode(), code.encode()):
        raise AccessError("no_pairing", "No phone with this code is waiting.")
    connection.execute(update(pairing).where(pairing.c.id == row.id).values(allowed=True))
    _log.info("pairing_allowed", extra={"owner": owner_id})


def withdraw(connection: Connection, owner_id: int, id_: str) -> None:
    """The offer is over, whether or not a phone has claimed it."""
    connection.execute(delete(pairing).where(pairing.c.owner_id == owner_id, pairing.c.id == id_))


def finish(
    connection: Connection, claim_token: str, address: str, now_s: int
) -> tuple[int, str] | None:
    """(owner's id, token) for the phone that was let in, None while it waits. Raises AccessError.

    The offer ends here: the same claim asked again finds nothing.
    """
    query = select(pairing).where(
        pairing.c.claim_hash == token_hash(claim_token), pairing.c.until > now_s
    )
    row = connection.execute(query.with_for_update()).one_or_none()
    if row is None:
        raise AccessError("no_pairing", "This offer is over; make a new code.")
    if not row.allowed:
        return None
    connection.execute(delete(pairing).where(pairing.c.id == row.id))
    token = sign_ins.begin(connection, row.owner_id, row.name, address, now_s)
    _log.info("paired", extra={"owner": row.owner_id, "address": address})
    return int(row.owner_id), token
