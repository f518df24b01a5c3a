"""Account events, which every signed-in device of the owner shows.

A device shows each later sign-in, each new passphrase and each passkey that another device added,
until its owner has read it.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from webapp.db.tables import account_event, owner, sign_in

KEPT_S = 180 * 24 * 3600


def record_event(
    connection: Connection, owner_id: int, kind: str, sign_in_id: str | None, name: str, now_s: int
) -> int:
    """Record an event and return its id. Ids of one owner ascend in commit order."""
    connection.execute(select(owner.c.id).where(owner.c.id == owner_id).with_for_update())
    row = {"owner_id": owner_id, "kind": kind, "sign_in_id": sign_in_id, "name": name}
    done = connection.execute(
        insert(account_event).values({**row, "at_s": now_s}).returning(account_event.c.id)
    )
    found = int(done.scalar_one())
    old = (account_event.c.owner_id == owner_id) & (account_event.c.at_s < now_s - KEPT_S)
    connection.execute(delete(account_event).where(old))
    return found


def unread_events(
    connection: Connection, owner_id: int, sign_in_id: str, seen: int
) -> list[dict[str, Any]]:
    """Return events after `seen`, oldest first; `standing`: that sign-in is still active.

    Passkeys that the asking device `sign_in_id` added itself are left out.
    """
    own = (account_event.c.kind == "passkey") & (account_event.c.sign_in_id == sign_in_id)
    query = (
        select(account_event, sign_in.c.ended_at)
        .outerjoin(sign_in, sign_in.c.id == account_event.c.sign_in_id)
        .where(account_event.c.owner_id == owner_id, account_event.c.id > seen, ~own)
        .order_by(account_event.c.id)
    )
    return [
        {
            "id": row["id"],
            "kind": row["kind"],
            "name": row["name"],
            "at_s": row["at_s"],
            "device": row["sign_in_id"],
            "standing": row["sign_in_id"] is not None and row["ended_at"] is None,
        }
        for row in connection.execute(query).mappings()
    ]


def mark_read(connection: Connection, sign_in_id: str, event: int) -> None:
    """Mark the events up to this one as read on this device."""
    later = (sign_in.c.id == sign_in_id) & (sign_in.c.events_seen < event)
    connection.execute(update(sign_in).where(later).values(events_seen=event))
