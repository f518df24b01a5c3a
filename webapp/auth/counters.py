"""Counters of sign-in attempts and requests, stored in the database for all workers.

Times are whole seconds of the epoch.
"""

from __future__ import annotations

import ipaddress
from typing import Any

from sqlalchemy import Connection, Row, delete, select, update

from webapp.db.engine import insert_missing
from webapp.db.tables import tally

KEPT_FOR_S = 24 * 3600


def client_key(address: str) -> str:
    """Return the key of an address; an IPv6 address counts as its /64 network."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if found.version == 6 and found.ipv4_mapped:
        found = found.ipv4_mapped
    if found.version == 6:
        return str(ipaddress.ip_network(f"{found}/64", strict=False))
    return str(found)


def backoff_s(used: int, free: int, longest_s: int) -> int:
    """Return the seconds to wait after the last attempt: 0 while free, then doubling each time."""
    return 0 if used < free else min(longest_s, 2 ** min(used - free + 1, 30))


def retry_after_s(connection: Connection, key: str, free: int, longest_s: int, now_s: int) -> int:
    """Return the seconds until the next attempt under this key is allowed; 0: now."""
    row = _locked_row(connection, key, now_s)
    if row.at_s < now_s - KEPT_FOR_S:
        return 0
    wait_s = backoff_s(row.used, free, longest_s)
    # After a clock that was set back, the last attempt is in the future.
    return int(max(0, min(wait_s, row.at_s + wait_s - now_s)))


def record_attempt(connection: Connection, key: str, now_s: int) -> None:
    """Count an attempt; a counter not used for a day starts again."""
    row = _locked_row(connection, key, now_s)
    used = 1 if row.at_s < now_s - KEPT_FOR_S else row.used + 1
    _set(connection, key, used, now_s)


def take_back(connection: Connection, key: str) -> None:
    """Undo the count of one attempt, which turned out to be no guess."""
    mine = (tally.c.key == key) & (tally.c.used > 0)
    connection.execute(update(tally).where(mine).values(used=tally.c.used - 1))


def reset(connection: Connection, key: str) -> None:
    """Set the counter to zero."""
    connection.execute(delete(tally).where(tally.c.key == key))


def reserve(
    connection: Connection, key: str, share: int, most: int, window_s: int, now_s: int
) -> bool:
    """Take `share` of the `most` requests allowed in this window; False if fewer are left."""
    start = now_s - now_s % window_s
    row = _locked_row(connection, key, start)
    used = (row.used if row.at_s == start else 0) + share
    if used > most:
        return False
    _set(connection, key, used, start)
    return True


def purge_old(connection: Connection, now_s: int) -> None:
    """Delete expired counters, and with them the addresses."""
    connection.execute(delete(tally).where(tally.c.at_s < now_s - KEPT_FOR_S))


def _locked_row(connection: Connection, key: str, at_s: int) -> Row[Any]:
    """Return the row, created if necessary, and locked so that workers count one by one."""
    query = select(tally).where(tally.c.key == key).with_for_update()
    while True:
        insert_missing(connection, tally, [{"key": key, "used": 0, "at_s": at_s}])
        row = connection.execute(query).one_or_none()
        # Another transaction may have reset the counter between the two statements.
        if row is not None:
            return row


def _set(connection: Connection, key: str, used: int, at_s: int) -> None:
    connection.execute(update(tally).where(tally.c.key == key).values(used=used, at_s=at_s))
