"""Pairing: a signed-in device offers, a phone claims by QR code, the owner compares and approves.

An offer has a secret that only the QR code contains. The first phone that sends it gets a claim
token, and both devices show the same short code. The phone is signed in only after the owner has
confirmed on the first device that the codes match, so a photograph of the QR code is not enough.
Offers are valid for ten minutes and for one phone. Either side can cancel.

An offer ends with the sign-in that made it, with any other sign-in of the owner that ends, and with
a new passphrase.
"""

from __future__ import annotations

import logging
import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, delete, insert, select, update

from webapp.auth import sessions
from webapp.auth.errors import AccessError
from webapp.auth.names import normalize_name
from webapp.auth.sessions import Browser, token_hash
from webapp.db.tables import owner, pairing, sign_in

VALID_FOR_S = 600
MAX_OPEN_OFFERS = 5
# Stored as the end of an offer that one side cancelled, so that the other side can say so.
CANCELLED = 0
OVER = "This offer is over; make a new code."
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Offer:
    """An offer for the first device to show; only the QR code contains the secret."""

    id: str
    secret: str
    until: int


@dataclass(frozen=True, slots=True)
class OpenOffer:
    """A valid offer; `code` is None until a phone has claimed it."""

    id: str
    code: str | None
    name: str | None
    allowed: bool
    until: int


@dataclass(frozen=True, slots=True)
class Claim:
    """A phone's claim: the code to compare, and a token for the following requests."""

    code: str
    claim: str
    until: int


def create_offer(
    connection: Connection, owner_id: int, sign_in_id: str | None, now_s: int
) -> Offer:
    """Create an offer; end all but the latest of the owner's earlier ones.

    `sign_in_id` is of the device that makes it, None on the machine itself.
    """
    connection.execute(delete(pairing).where(pairing.c.until <= now_s))
    mine = select(pairing.c.id).where(pairing.c.owner_id == owner_id)
    kept = mine.order_by(pairing.c.until.desc(), pairing.c.id).limit(MAX_OPEN_OFFERS - 1)
    connection.execute(
        delete(pairing).where(
            pairing.c.owner_id == owner_id, pairing.c.id.not_in(connection.scalars(kept).all())
        )
    )
    made = Offer(uuid.uuid4().hex, secrets.token_urlsafe(24), now_s + VALID_FOR_S)
    row = {
        "id": made.id,
        "owner_id": owner_id,
        "secret_hash": token_hash(made.secret),
        "until": made.until,
        "allowed": False,
        "sign_in_id": sign_in_id,
    }
    connection.execute(insert(pairing), row)
    return made


def claim_offer(connection: Connection, secret: str, name: str, now_s: int) -> Claim:
    """Claim an offer by its secret. Raises AccessError if it is used, over or unknown."""
    taken = Claim(
        f"{secrets.randbelow(10_000):04d}", secrets.token_urlsafe(24), now_s + VALID_FOR_S
    )
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
            name=normalize_name(name) or "",
            until=taken.until,
        )
    )
    if done.rowcount == 0:
        used = "This code was used already or is too old; make a new one."
        raise _over(connection, pairing.c.secret_hash == token_hash(secret), used)
    return taken


def get_offer(
    connection: Connection, owner_id: int, sign_in_id: str | None, id_: str, now_s: int
) -> OpenOffer:
    """Return an offer of this sign-in. Raises AccessError if it is over or another's."""
    mine = (
        (pairing.c.owner_id == owner_id)
        & (pairing.c.id == id_)
        & pairing.c.sign_in_id.is_not_distinct_from(sign_in_id)
    )
    query = select(pairing).where(mine, pairing.c.until > now_s)
    row = connection.execute(query).one_or_none()
    if row is None:
        raise _over(connection, mine)
    return OpenOffer(row.id, row.code, row.name, row.allowed, row.until)


def approve(
    connection: Connection, owner_id: int, sign_in_id: str | None, id_: str, code: str, now_s: int
) -> None:
    """Approve the phone whose code the owner has compared. Raises AccessError."""
    row = get_offer(connection, owner_id, sign_in_id, id_, now_s)
    if row.code is None or not secrets.compare_digest(row.code.encode(), code.encode()):
        raise AccessError("no_pairing", "No phone with this code is waiting.")
    connection.execute(update(pairing).where(pairing.c.id == row.id).values(allowed=True))
    _log.info("pairing_allowed", extra={"owner": owner_id})


def cancel(connection: Connection, owner_id: int, id_: str) -> None:
    """End an offer, claimed or not."""
    mine = (pairing.c.owner_id == owner_id) & (pairing.c.id == id_)
    connection.execute(update(pairing).where(mine).values(until=CANCELLED))


def leave(connection: Connection, claim_token: str) -> None:
    """End the offer that a phone has claimed and no longer wants."""
    mine = pairing.c.claim_hash == token_hash(claim_token)
    connection.execute(update(pairing).where(mine).values(until=CANCELLED))


def _over(connection: Connection, mine: ColumnElement[bool], detail: str = OVER) -> AccessError:
    """Return the error for an offer that is not valid: whether the other side cancelled it."""
    if connection.scalar(select(pairing.c.until).where(mine)) == CANCELLED:
        return AccessError("pairing_cancelled", "The other device cancelled this; make a new code.")
    return AccessError("no_pairing", detail)


def complete(
    connection: Connection, claim_token: str, address: str, key: str, now_s: int
) -> tuple[int, str] | None:
    """Return (owner's id, token) for an approved phone, None while it waits. Raises AccessError.

    The offer ends with this, so a claim works once.
    """
    mine = (pairing.c.claim_hash == token_hash(claim_token)) & (pairing.c.until > now_s)
    owner_id = connection.scalar(select(pairing.c.owner_id).where(mine))
    # Ending a sign-in and setting a passphrase lock this row too, so these run one by one.
    locked = select(owner.c.passphrase).where(owner.c.id == owner_id).with_for_update()
    held = connection.execute(locked).one_or_none()
    row = connection.execute(select(pairing).where(mine).with_for_update()).one_or_none()
    if row is None or held is None or not _is_open(connection, row, held.passphrase, now_s):
        raise _over(connection, pairing.c.claim_hash == token_hash(claim_token))
    if not row.allowed:
        return None
    connection.execute(delete(pairing).where(pairing.c.id == row.id))
    browser = Browser(row.name, address, key)
    token = sessions.start(connection, row.owner_id, browser, now_s)
    _log.info("paired", extra={"owner": row.owner_id, "address": address})
    return int(row.owner_id), token


def _is_open(connection: Connection, row: Row[Any], passphrase: str | None, now_s: int) -> bool:
    """Tell whether the sign-in that made the offer is still active.

    The machine itself needs none while the owner has no passphrase.
    """
    if row.sign_in_id is None:
        return passphrase is None
    made = select(sign_in).where(sign_in.c.id == row.sign_in_id, sign_in.c.owner_id == row.owner_id)
    maker = connection.execute(made).one_or_none()
    return maker is not None and sessions.is_active(maker, now_s)
