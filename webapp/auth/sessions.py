"""Signed-in devices: each has a random token, of which the server stores only a hash.

Each device has a token of its own, so that a lost phone can be signed out alone. A token expires
when it was not used for VALID_FOR_S, long enough for a phone that is unused for a season.

The token is a cookie, which browsers also send to other ports of the same host. Therefore a token
is valid only together with the browser's key, which is in the browser's storage and sent as a
header to the page's own origin only.
"""

from __future__ import annotations

import hashlib
import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select, update

from webapp.auth import account_events, passkeys
from webapp.auth.counters import client_key
from webapp.auth.names import normalize_name
from webapp.db.tables import device as device_table
from webapp.db.tables import owner, pairing, sign_in

VALID_FOR_S = 180 * 24 * 3600
# Precision of the time of the last request; a smaller one would cost more writes.
TOUCH_EVERY_S = 3600
KNOWN_ADDRESS_S = 90 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Browser:
    """The browser of a sign-in: its name for the list of devices, its address and its key."""

    name: str
    address: str
    key: str


def token_hash(token: str) -> str:
    """Hash a token; a fast hash is enough for 256 random bits."""
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
    """Sign a device in and return its token, which is not stored.

    `confirmed`: the passphrase was entered. `passkey`: id of the passkey that was used. The owner's
    other devices show the event.
    """
    token, id_ = secrets.token_urlsafe(32), uuid.uuid4().hex
    # For an empty name, the client shows a default in its language.
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
    """Return the row of a token, even if it has ended; None for an unknown one."""
    query = select(sign_in).where(sign_in.c.token_hash == token_hash(token))
    return connection.execute(query).one_or_none()


def is_active(row: Row[Any], now_s: int) -> bool:
    """Tell whether the device is still signed in."""
    return row.ended_at is None and row.last_seen > now_s - VALID_FOR_S


def fits_key(row: Row[Any], key: str) -> bool:
    """Tell whether the key is that of the browser that signed in."""
    return row.key_hash is not None and secrets.compare_digest(row.key_hash, token_hash(key))


def record_confirmation(connection: Connection, id_: str, address: str, now_s: int) -> None:
    """Store when and from which address the passphrase was entered again on this device."""
    change = update(sign_in).where(sign_in.c.id == id_)
    connection.execute(change.values(confirmed_at=now_s, address=address))


def was_confirmed(connection: Connection, id_: str) -> bool:
    """Tell whether the passphrase was ever entered on this device."""
    query = select(sign_in.c.confirmed_at).where(sign_in.c.id == id_)
    return connection.scalar(query) is not None


def touch(connection: Connection, id_: str, now_s: int) -> None:
    """Store the time of the last request of a sign-in."""
    connection.execute(update(sign_in).where(sign_in.c.id == id_).values(last_seen=now_s))


def remember_device(connection: Connection, id_: str, device: str) -> None:
    """Store the sync device of a sign-in."""
    connection.execute(update(sign_in).where(sign_in.c.id == id_).values(device=device))


def end(connection: Connection, owner_id: int, id_: str, ended_as: str, now_s: int) -> bool:
    """Sign one device of the owner out; return False if there is no such signed-in device.

    All open pairing offers end too, because a thief may have made one. A revoked device loses its
    passkeys too, because whoever has it could sign in again.
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
    """Sign all devices of the owner out, end offers and passkeys; return how many devices."""
    end_offers(connection, owner_id)
    passkeys.remove_all(connection, owner_id)
    done = connection.execute(
        update(sign_in)
        .where(sign_in.c.owner_id == owner_id, sign_in.c.ended_at.is_(None))
        .values(ended_at=now_s, ended_as=ended_as)
    )
    return done.rowcount


def end_offers(connection: Connection, owner_id: int) -> None:
    """Delete all pairing offers of the owner, under the lock of the owner's row."""
    connection.execute(select(owner.c.id).where(owner.c.id == owner_id).with_for_update())
    connection.execute(delete(pairing).where(pairing.c.owner_id == owner_id))


def devices_of(connection: Connection, owner_id: int, now_s: int) -> list[dict[str, Any]]:
    """Return signed-in devices, latest first: id, name, made_at, last_seen (s), last_synced."""
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
    """Tell whether the passphrase was entered here on a device in use and not revoked since.

    A request or a passkey makes no address known, because a thief of a phone has those too.
    """
    query = select(sign_in.c.address).where(
        sign_in.c.owner_id == owner_id,
        sign_in.c.confirmed_at.is_not(None),
        sign_in.c.last_seen > now_s - KNOWN_ADDRESS_S,
        sign_in.c.ended_as.is_distinct_from("revoked"),
    )
    # Phones change their address within a network of IPv6 every day.
    used = {client_key(one) for one in connection.scalars(query) if one}
    return client_key(address) in used
