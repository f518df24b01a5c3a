"""Limits of joining: wrong codes by address, requests by table and address, guests of a table."""

from __future__ import annotations

from sqlalchemy import Connection

from webapp.auth import counters
from webapp.auth.errors import AccessError
from webapp.auth.throttle import Throttle, count_attempt
from webapp.group_tasting.invitations import Invited
from webapp.group_tasting.store import members
from webapp.group_tasting.table import Fields

MAX_GUESTS = 60
# With those who are gone; the numbers of guests end here.
MAX_NUMBER = 200
# With those who are gone and never answered, whose numbers are given out again.
MAX_JOINED = 1_000
# More than the guests of a table, each of whom may repeat the request.
FREE_JOINS = 200
# A whole room may share an address; the rest is for other addresses.
FREE_JOINS_OF_ADDRESS = 90


def code_throttles(address: str) -> list[Throttle]:
    """Return the counters of wrong codes: of this address, and of all addresses together.

    The last one's wait is short, because anybody can cause it; a link needs no code.
    """
    at = counters.client_key(address)
    return [
        Throttle(f"code/{at}", free=20, longest_s=900),
        Throttle("code/all", free=500, longest_s=10),
    ]


def count_join(connection: Connection, invited: Invited, address: str, now_s: int) -> None:
    """Count a new guest of a table, who could be a program. Raises AccessError."""
    key = f"join/{invited.owner_id}/{invited.group_tasting}"
    throttles = [
        Throttle(key, FREE_JOINS, longest_s=60),
        Throttle(f"{key}/{counters.client_key(address)}", FREE_JOINS_OF_ADDRESS, longest_s=900),
    ]
    count_attempt(connection, throttles, now_s)


def check_room(guests: dict[str, Fields]) -> None:
    """Raise AccessError if all seats are taken; who was removed or left takes none."""
    if sum(1 for one in guests.values() if not is_gone(one)) >= MAX_GUESTS:
        raise _full()


def is_gone(guest: Fields) -> bool:
    return bool(guest.get("removed_at") or guest.get("left_at"))


def _full() -> AccessError:
    return AccessError("full", f"A tasting has at most {MAX_GUESTS} guests.")


def free_number(
    connection: Connection, owner_id: int, table: str, guests: dict[str, Fields]
) -> int:
    """Return the number of a new guest; `guests` are all of the table. Raises AccessError: full.

    Once all numbers are given out, those of guests who are gone without an answer are given out
    again, so that nobody uses them up. Not earlier, because who left may come back.
    """
    check_room(guests)
    if len(guests) >= MAX_JOINED:
        raise _full()
    latest = max((int(one.get("number") or 0) for one in guests.values()), default=0)
    if latest < MAX_NUMBER:
        return latest + 1
    sheets = members(connection, owner_id, "sheet", table)
    kept = {str(one.get("guest")) for one in sheets.values()}
    kept |= {id_ for id_, one in guests.items() if not is_gone(one)}
    taken = {int(guests[id_].get("number") or 0) for id_ in kept if id_ in guests}
    free = next((one for one in range(1, MAX_NUMBER + 1) if one not in taken), None)
    if free is None:
        raise _full()
    return free


def uncount_code(connection: Connection, throttles: list[Throttle]) -> None:
    """Undo the count of a code that was right: a whole room may share an address."""
    for throttle in throttles:
        counters.take_back(connection, throttle.key)
