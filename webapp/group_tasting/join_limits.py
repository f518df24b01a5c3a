"""Limits of joining: wrong codes by address, requests to join by table, and guests of a table."""

from __future__ import annotations

from sqlalchemy import Connection

from webapp.auth import counters
from webapp.auth.throttle import Throttle, count_attempt
from webapp.group_tasting.invitations import Invited

MAX_GUESTS = 60
# With those who were removed; the numbers of guests end here.
MAX_NUMBER = 200
# More than the guests of a table, each of whom may repeat the request.
FREE_JOINS = 200


def code_throttles(address: str) -> list[Throttle]:
    """Return the counters of wrong codes: of this address, and of all addresses together.

    The last one's wait is short, because anybody can cause it; a link needs no code.
    """
    at = counters.client_key(address)
    return [
        Throttle(f"code/{at}", free=20, longest_s=900),
        Throttle("code/all", free=500, longest_s=10),
    ]


def count_join(connection: Connection, invited: Invited, now_s: int) -> None:
    """Count a new guest of a table, who could be a program. Raises AccessError."""
    key = f"join/{invited.owner_id}/{invited.group_tasting}"
    count_attempt(connection, [Throttle(key, FREE_JOINS, longest_s=60)], now_s)


def uncount_code(connection: Connection, throttles: list[Throttle]) -> None:
    """Undo the count of a code that was right: a whole room may share an address."""
    for throttle in throttles:
        counters.take_back(connection, throttle.key)
