"""How long ago the phones of guests last asked, for the leader only.

A poll writes that only now and then, so that an unchanged table still costs one read.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, select, update

from webapp.db.tables import group_guest_token

# Longer than the slowest polling of a phone (`pollIdle` in static/domain/guest/guest_link.js).
NOTED_EVERY_S = 20


def is_due(row: Row[Any], now_s: int) -> bool:
    """Tell whether the moment of a guest's request is to be stored."""
    return now_s - int(row.seen_at or row.made_at) >= NOTED_EVERY_S


def note_seen(connection: Connection, row: Row[Any], now_s: int) -> None:
    """Store that a guest's phone has asked now."""
    mine = group_guest_token.c.token_hash == row.token_hash
    connection.execute(update(group_guest_token).where(mine).values(seen_at=now_s))


def silent_phones(
    connection: Connection, owner_id: int, table: str, now_s: int
) -> list[dict[str, Any]]:
    """Return for each phone at a table how many seconds ago it last asked."""
    columns = group_guest_token.c
    query = select(group_guest_token).where(
        columns.owner_id == owner_id,
        columns.group_tasting == table,
        columns.ended_as.is_(None),
        columns.until > now_s,
    )
    rows = connection.execute(query.order_by(columns.guest)).all()
    return [
        {"guest": row.guest, "silent_s": max(0, now_s - (row.seen_at or row.made_at))}
        for row in rows
    ]
