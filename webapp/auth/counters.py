"""Counts that outlive a restart and are shared by all workers: tries to sign in, and requests.

Every function wants the time, in whole seconds of the epoch.
"""

from __future__ import annotations

import ipaddress
from typing import Any

from sqlalchemy import Connection, Row, delete, select, update

from webapp.db.engine import insert_missing
from webapp.db.tables import tally

KEPT_FOR_S = 24 * 3600


def client_key(address: str) -> str:
    """An address as it is counted: whoever has one IPv6 address has the whole /64 around it."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return "unknown"
    if found.version == 6 and found.ipv4_mapped:
        found = found.ipv4_mapped
    if found.version == 6:
        return str(ipaddress.ip_network(f"{found}/64", strict=False))
    return str(found)


def backoff_s(used: int, free: int, longest_s: int) -> int:
    """How long after the last try the next may come: nothing at first, then twice as long a try."""
    return 0 if used < free else min(longest_s, 2 ** min(used - free + 1, 30))


def retry_after_s(connection: Connection, key: str, free: int, longest_s: int, now_s: int) -> int:
    """Seconds until the next try under this key is heard; 0 when it may come now."""
    row = _locked_row(connection, key, now_s)
    if row.at_s < now_s - KEPT_FOR_S:
        return 0
    return int(max(0, row.at_s + backoff_s(row.used, free, longest_s) - now_s))


def record_attempt(connection: Connection, key: str, now_s: int) -> None:
    """One more try; a count that was left alone for a day begins anew."""
    row = _locked_row(connection, key, now_s)
    used = 1 if row.at_s < now_s - KEPT_FOR_S else row.used + 1
    _set(connection, key, used, now_s)


def reset(connection: Connection, key: str) -> None:
    """The count begins anew."""
    connection.execute(delete(tally).where(tally.c.key == key))


def reserve(
    connection: Connection, key: str, share: int, most: int, window_s: int, now_s: int
) -> bool:
    """Take `share` of the `most` that this window allows; False when not so much is left of it."""
    start = now_s - now_s % window_s
    row = _locked_row(connection, key, start)
    used = (row.used if row.at_s == start else 0) + share
    if used > most:
        return False
    _set(connection, key, used, start)
    return True


def purge_old(connection: Connection, now_s: int) -> None:
    """Drop the counts that no longer say anything; addresses are not kept for longer."""
    # `webapp.retention.deleted_values` keeps its own.
    is_count = ~tally.c.key.startswith("seq/")
    connection.execute(delete(tally).where(is_count, tally.c.at_s < now_s - KEPT_FOR_S))


def _locked_row(connection: Connection, key: str, at_s: int) -> Row[Any]:
    """The row, made if need be and locked, so that two workers never read the same count."""
    insert_missing(connection, tally, [{"key": key, "used": 0, "at_s": at_s}])
    return connection.execute(select(tally).where(tally.c.key == key).with_for_update()).one()


def _set(connection: Connection, key: str, used: int, at_s: int) -> None:
    connection.execute(update(tally).where(tally.c.key == key).values(used=used, at_s=at_s))
