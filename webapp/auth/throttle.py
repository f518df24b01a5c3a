"""Throttles of sign-in: which counters an attempt adds to, and the wait they require."""

from __future__ import annotations

import hashlib
import logging
from dataclasses import dataclass

from sqlalchemy import Connection

from webapp.auth import counters, sessions
from webapp.auth.errors import AccessError
from webapp.auth.names import normalize_name

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Throttle:
    """A counter: its key, the number of free attempts, and the longest wait after them."""

    key: str
    free: int
    longest_s: int


def address_throttle(address: str) -> Throttle:
    """Return the counter of one address, for passphrases and passkeys of any owner."""
    return Throttle(f"address/{counters.client_key(address)}", free=20, longest_s=900)


def passphrase_throttles(
    connection: Connection, name: str, owner_id: int | None, address: str, now_s: int
) -> list[Throttle]:
    """Return the counters of a sign-in with a passphrase; see `webapp.auth.login`.

    An address from which the owner has shown the passphrase is counted by itself, so that neither
    strangers nor a thief elsewhere slow the owner there; all others share a counter.
    """
    at = counters.client_key(address)
    # Hash the name, because people may type their passphrase into the name field.
    who = hashlib.sha256((normalize_name(name) or "").casefold().encode()).hexdigest()[:20]
    throttles = [
        address_throttle(address),
        Throttle(f"both/{who}/{at}", free=5, longest_s=900),
    ]
    if owner_id is None or not sessions.has_used_address(connection, owner_id, address, now_s):
        throttles.append(Throttle(f"owner/{who}", free=20, longest_s=60))
    return throttles


def device_throttle(connection: Connection, owner_id: int, sign_in_id: str | None) -> Throttle:
    """Return the counter of a signed-in device, which slows no other one of its owner.

    Those that never had the passphrase share one, because pairing and passkeys add such devices.
    """
    had_it = sign_in_id is not None and sessions.was_confirmed(connection, sign_in_id)
    key = f"device/{sign_in_id}" if had_it else f"devices/{owner_id}"
    return Throttle(key, free=5, longest_s=900)


def check_wait(connection: Connection, throttles: list[Throttle], now_s: int) -> None:
    """Raise AccessError while one of the counters requires a wait."""
    waits = [
        counters.retry_after_s(connection, throttle.key, throttle.free, throttle.longest_s, now_s)
        for throttle in throttles
    ]
    if any(waits):
        _log.warning("sign_in_throttled", extra={"wait_s": max(waits)})
        raise AccessError(
            "too_many_tries",
            "Too many tries; wait a little. Devices that are signed in go on.",
            retry_after_s=max(waits),
        )


def count_attempt(connection: Connection, throttles: list[Throttle], now_s: int) -> None:
    """Count the attempt before it is checked, so that parallel attempts all count."""
    check_wait(connection, throttles, now_s)
    for throttle in throttles:
        counters.record_attempt(connection, throttle.key, now_s)
    counters.purge_old(connection, now_s)


def reset_throttles(connection: Connection, throttles: list[Throttle]) -> None:
    """Reset the counters after a successful attempt."""
    for throttle in throttles:
        counters.reset(connection, throttle.key)
