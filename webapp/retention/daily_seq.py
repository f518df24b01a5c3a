"""Tells what an owner's records were some days ago, by the server's own clock.

A deletion mark has the clock of a phone, which may be wrong or forged, so it does not tell for how
long a record has been deleted. Each day the owner's last sequence number is stored in `tally`. A
record whose number is not above the one of some day has not changed on this server since that day.
"""

from __future__ import annotations

from sqlalchemy import Connection, delete, insert, select

from webapp.db.tables import owner, tally
from webapp.records.repository import lock_owner
from webapp.spec import deleted_kept_days

DAY_S = 24 * 3600


def seq_before(connection: Connection, owner_id: int, days: int, now_s: int) -> int:
    """Store today's last number; return the one of `days` ago, 0 if none is stored.

    A number that is above a later day's was stored while the server's clock was wrong, or before a
    backup was restored, and is dropped.
    """
    lock_owner(connection, owner_id)
    columns, prefix = tally.c, f"seq/{owner_id}/"
    seq = connection.scalar(select(owner.c.seq).where(owner.c.id == owner_id)) or 0
    key = f"{prefix}{now_s // DAY_S}"
    if connection.scalar(select(columns.key).where(columns.key == key)) is None:
        connection.execute(insert(tally), {"key": key, "used": seq, "at_s": now_s})
    if days == 0:
        return seq
    mine = columns.key.startswith(prefix, autoescape=True)
    query = select(tally).where(mine, columns.at_s <= now_s).order_by(columns.at_s.desc())
    found, lowest, needless = 0, seq, list[str]()
    # Pictures and values may have different periods; the longer one decides what stays.
    kept_s, is_older = max(days, deleted_kept_days()) * DAY_S, False
    for row in connection.execute(query):
        if is_older or row.used > lowest:
            needless.append(row.key)
            continue
        lowest = int(row.used)
        if not found and row.at_s <= now_s - days * DAY_S:
            found = lowest
        is_older = row.at_s <= now_s - kept_s
    connection.execute(delete(tally).where(columns.key.in_(needless)))
    return found
