"""Signed-in devices: each holds a random token of its own, of which only a hash is kept here.

A device's token says by itself whose book it opens, so a lost phone is signed out alone. Tokens
that have not been shown for VALID_FOR_S are over: a phone in a drawer for a season still opens.

The token travels in a cookie, which browsers also send to other ports of the same host. So a token
holds only beside the key of the browser that signed in, which stays in its storage, and is sent as
a header to the page's own origin alone.
"""

from __future__ import annotations

import hashlib
import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select, update

from webapp.auth import account_events, passkeys
from webapp.auth.names import normalize_name
from webapp.db.tables import device as device_table
from webapp.db.tables import owner, pairing, sign_in

VALID_FOR_S = 180 * 24 * 3600
# The time of the last request is kept this exactly; more would be a write with every read.
TOUCH_EVERY_S = 3600
KNOWN_ADDRESS_S = 90 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Browser:
    """Where a sign-in lives: its name for the list, its address, the key that it keeps."""

    name: str
    address: str
    key: str


def token_hash(token: str) -> str:
    """Tokens are 256 random bits, so a plain hash keeps them as safe as a slow one."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def start(
    connection: Connection,
    owner_id: int,
    browser: Browser,
    now_s: int,
    *,
    confirmed: bool = False,
    passkey: str | None = None,
) -> str:
    """Sign a device in; gives its token, which nobody can read again.

    `confirmed`: the passphrase was shown for it. `passkey`: the id of the one that was shown. The
    owner's other devices are told of it.
    """
    token, id_ = secrets.token_urlsafe(32), uuid.uuid4().hex
    # Nameless ones are called so by the client, in its language.
    name = normalize_name(browser.name) or ""
    event = account_events.record_event(connection, owner_id, "device", id_, name, now_s)
    row = {
        "id": id_,
        "owner_id": owner_id,
        "token_hash": token_hash(token),
        "key_hash": token_hash(browser.key),
        "name": name,
        "address": browser.address,
        "made_at": now_s,
        "last_seen": now_s,
        "confirmed_at": now_s if confirmed else None,
        "events_seen": event,
        "passkey": passkey,
    }
    connection.execute(insert(sign_in), row)
    return token


def find(connection: Connection, token: str) -> Row[Any] | None:
    """The row of a token, also where it has ended; None for one that was never given out."""
    query = select(sign_in).where(sign_in.c.token_hash == token_hash(token))
    return connection.execute(query).one_or_none()


def is_active(row: Row[Any], now_s: int) -> bool:
    """Whether the device is still signed in."""
    return row.ended_at is None and row.last_seen > now_s - VALID_FOR_S


def fits_key(row: Row[Any], key: str) -> bool:
    """Whether it is the browser that signed in which shows the token."""
    return row.key_hash is not None and secrets.compare_digest(row.key_hash, token_hash(key))


def record_confirmation(connection: Connection, id_: str, now_s: int) -> None:
    """The owner has shown the passphrase again on this device."""
    connection.execute(update(sign_in).where(sign_in.c.id == id_).values(confirmed_at=now_s))


def touch(connection: Connection, id_: str, address: str, now_s: int) -> None:
    """It has just been heard."""
    change = update(sign_in).where(sign_in.c.id == id_)
    connection.execute(change.values(last_seen=now_s, address=address))


def remember_device(connection: Connection, id_: str, device: str) -> None:
    """It speaks as this sync device."""
    connection.execute(update(sign_in).where(sign_in.c.id == id_).values(device=device))


def end(connection: Connection, owner_id: int, id_: str, ended_as: str, now_s: int) -> bool:
    """Sign one device of the owner out; False when it is not one of theirs, or is out already.

    Every open offer to pair a phone ends with it: a thief may have made one. A device that is
    revoked loses its passkeys too, or whoever has it would sign in again.
    """
    end_offers(connection, owner_id)
    if ended_as == "revoked":
        passkeys.remove_of_device(connection, owner_id, id_)
    done = connection.execute(
        update(sign_in)
        .where(sign_in.c.owner_id == owner_id, sign_in.c.id == id_, sign_in.c.ended_at.is_(None))
        .values(ended_at=now_s, ended_as=ended_as)
    )
    return done.rowcount > 0


def end_all(connection: Connection, owner_id: int, ended_as: str, now_s: int) -> int:
    """Sign all devices of the owner out; gives how many. Offers to pair and passkeys end too."""
    end_offers(connection, owner_id)
    passkeys.remove_all(connection, owner_id)
    done = connection.execute(
        update(sign_in)
        .where(sign_in.c.owner_id == owner_id, sign_in.c.ended_at.is_(None))
        .values(ended_at=now_s, ended_as=ended_as)
    )
    return done.rowcount


def end_offers(connection: Connection, owner_id: int) -> None:
    """No phone that waits to be paired is let in any more; locks the owner's row."""
    connection.execute(select(owner.c.id).where(owner.c.id == owner_id).with_for_update())
    connection.execute(delete(pairing).where(pairing.c.owner_id == owner_id))


def devices_of(connection: Connection, owner_id: int, now_s: int) -> list[dict[str, Any]]:
    """Devices signed in, the latest first: id, name, made_at and last_seen (s), last_synced."""
    same = (device_table.c.owner_id == sign_in.c.owner_id) & (device_table.c.id == sign_in.c.device)
    query = (
        select(sign_in, device_table.c.last_seen.label("last_synced"))
        .outerjoin(device_table, same)
        .where(
            sign_in.c.owner_id == owner_id,
            sign_in.c.ended_at.is_(None),
            sign_in.c.last_seen > now_s - VALID_FOR_S,
        )
        .order_by(sign_in.c.last_seen.desc(), sign_in.c.id)
    )
    kept = ("id", "name", "made_at", "last_seen", "last_synced")
    return [{name: row[name] for name in kept} for row in connection.execute(query).mappings()]


def has_used_address(connection: Connection, owner_id: int, address: str, now_s: int) -> bool:
    """Whether the owner was signed in from this address lately, and did not revoke that device."""
    query = select(sign_in.c.id).where(
        sign_in.c.owner_id == owner_id,
        sign_in.c.address == address,
        sign_in.c.last_seen > now_s - KNOWN_ADDRESS_S,
        sign_in.c.ended_as.is_distinct_from("revoked"),
    )
    return connection.execute(query.limit(1)).first() is not None
