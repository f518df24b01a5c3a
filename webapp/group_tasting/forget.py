"""Deletes guests' names and answers, as deletion marks that every phone accepts.

Each value becomes null with the clock of the mark, as in `webapp.retention.deleted_values`; the
revisions are deleted. Records that are deleted already lose their values too, because the leader
may restore a deleted table. A guest counts as removed, so that one who is restored without a name
stands on no list.
"""

from __future__ import annotations

from sqlalchemy import Connection

from webapp.group_tasting.guests import moment_of
from webapp.group_tasting.store import SERVER_DEVICE, members, server_clock, write
from webapp.records.record import Record, emptied
from webapp.records.repository import delete_revisions, load_records
from webapp.sync.parse import MAX_FIELDS

# These stay: they say nothing of a guest, and a guest's transaction may write records of its own
# table only.
REFS = {"guest": ("group_tasting",), "sheet": ("group_tasting", "glass", "guest")}


def forget_guests(
    connection: Connection, owner_id: int, table: str, guests: set[str], now_ms: int
) -> int:
    """Delete these guests of a table and their sheets; return how many records.

    The caller has locked the owner's row.
    """
    clock = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
    sheets = members(connection, owner_id, "sheet", table, with_deleted=True)
    known = members(connection, owner_id, "guest", table, with_deleted=True)
    keys = [("guest", id_) for id_ in known if id_ in guests]
    keys += [("sheet", id_) for id_, one in sheets.items() if one.get("guest") in guests]
    stored = load_records(connection, owner_id, keys)
    records = [_forgotten(one.record, clock) for one in stored.values()]
    for before, one in zip(stored.values(), records, strict=True):
        # A record with room for no more fields is deleted all the same.
        names = before.record["fields"].keys() | {"removed_at"}
        if one["kind"] == "guest" and len(names) <= MAX_FIELDS:
            one["fields"]["removed_at"] = moment_of(now_ms)
            one["clocks"]["removed_at"] = clock
    write(connection, owner_id, records)
    # The merge has stored the values as revisions.
    for key in keys:
        delete_revisions(connection, owner_id, key)
    return len(keys)


def _forgotten(record: Record, clock: str) -> Record:
    kept = REFS[record["kind"]]
    names = [one for one, value in record["fields"].items() if value is not None]
    return emptied(record, (one for one in names if one not in kept), clock)
