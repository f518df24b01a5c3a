"""Tells what an owner's records were some days ago, by the server's own clock.

A deletion mark has the clock of a phone, which may be wrong or forged, so it does not tell for how
long a record has been deleted. Each day the owner's last sequence number is stored. A record whose
number is not above the one of some day has not changed on this server since that day.
"""

from __future__ import annotations

import time

from sqlalchemy import Connection, delete, select

from webapp.db.engine import insert_missing
from webapp.db.tables import daily_seq, owner
from webapp.records.repository import lock_owner
from webapp.spec import deleted_kept_days

DAY_S = 24 * 3600


def seq_before(connection: Connection, owner_id: int, days: int, now_s: int) -> int:
    """Store today's last number; return the one of `days` ago, 0 if none is stored.

    A number that is above a later day's was stored while the server's clock was wrong, or before a
    backup was restored, and is dropped.
    """
    lock_owner(connection, owner_id)
    columns = daily_seq.c
    seq = connection.scalar(select(owner.c.seq).where(owner.c.id == owner_id)) or 0
    row = {"owner_id": owner_id, "day": now_s // DAY_S, "seq": seq, "at_s": now_s}
    insert_missing(connection, daily_seq, [row])
    if days == 0:
        return seq
    mine = columns.owner_id == owner_id
    query = select(daily_seq).where(mine, columns.at_s <= now_s).order_by(columns.at_s.desc())
    found, lowest, needless = 0, seq, list[int]()
    # Pictures and values may have different periods; the longer one decides what stays.
    kept_s, is_older = max(days, deleted_kept_days()) * DAY_S, False
    for one in connection.execute(query):
        if is_older or one.seq > lowest:
            needless.append(one.day)
            continue
        lowest = int(one.seq)
        if not found and one.at_s <= now_s - days * DAY_S:
            found = lowest
        is_older = one.at_s <= now_s - kept_s
    if needless:
        connection.execute(delete(daily_seq).where(mine, columns.day.in_(needless)))
    return found


def has_today(connection: Connection, owner_id: int) -> bool:
    """Tell whether a number of today is stored, so that this day's deletion has begun."""
    columns, today = daily_seq.c, int(time.time()) // DAY_S
    query = select(columns.day).where(columns.owner_id == owner_id, columns.day == today)
    return connection.scalar(query) is not None


def owners_without_today(connection: Connection, after: int, limit: int) -> list[int]:
    """Return owners whose number of today is not stored, in ascending order from `after`."""
    columns, today = daily_seq.c, int(time.time()) // DAY_S
    stored = select(columns.day).where(columns.owner_id == owner.c.id, columns.day == today)
    query = select(owner.c.id).where(owner.c.id > after, ~stored.exists())
    return [*connection.scalars(query.order_by(owner.c.id).limit(limit))]
