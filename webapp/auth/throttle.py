"""Slowing down whoever tries ways in: the counts of one try, and the wait that they ask for."""

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
    """One count: under which key, how many tries are free, and the longest wait after that."""

    key: str
    free: int
    longest_s: int


def address_throttle(address: str) -> Throttle:
    """The count of one address's tries at anybody, with a passphrase or a passkey."""
    return Throttle(f"address/{counters.client_key(address)}", free=20, longest_s=900)


def passphrase_throttles(
    connection: Connection, name: str, owner_id: int | None, address: str, now_s: int
) -> list[Throttle]:
    """The counts of a try with a passphrase; see `webapp.auth.login`."""
    at = counters.client_key(address)
    # Hashed, because people type their passphrase into the wrong line.
    who = hashlib.sha256((normalize_name(name) or "").casefold().encode()).hexdigest()[:20]
    throttles = [
        address_throttle(address),
        Throttle(f"both/{who}/{at}", free=5, longest_s=900),
    ]
    if owner_id is None or not sessions.has_used_address(connection, owner_id, address, now_s):
        throttles.append(Throttle(f"owner/{who}", free=20, longest_s=60))
    else:
        throttles.append(Throttle(f"home/{who}", free=5, longest_s=900))
    return throttles


def check_wait(connection: Connection, throttles: list[Throttle], now_s: int) -> None:
    """Raises AccessError while one of the counts asks for a wait."""
    waits = [
        counters.retry_after_s(connection, throttle.key, throttle.free, throttle.longest_s, now_s)
        for throttle in throttles
    ]
    if any(waits):
        _log.warning("sign_in_braked", extra={"wait_s": max(waits)})
        raise AccessError(
            "too_many_tries",
            "Too many tries; wait a little. Devices that are signed in go on.",
            retry_after_s=max(waits),
        )


def count_attempt(connection: Connection, throttles: list[Throttle], now_s: int) -> None:
    """The try counts before it is judged, so that many at once count as many."""
    check_wait(connection, throttles, now_s)
    for throttle in throttles:
        counters.record_attempt(connection, throttle.key, now_s)
    counters.purge_old(connection, now_s)


def reset_throttles(connection: Connection, throttles: list[Throttle]) -> None:
    """The counts begin anew after a try that was right."""
    for throttle in throttles:
        counters.reset(connection, throttle.key)
