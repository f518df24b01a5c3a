"""A guest agrees on the own phone to be remembered as a person, or withdraws that.

The moment is in the guest's record (`agreed_at`); only then the leader's phone makes a person of
the guest. After a withdrawal the guest is no person any more, so nothing is learned from the
answers, and a person whom no other guest is, is deleted.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row

from webapp.group_tasting.answers import clock_at
from webapp.group_tasting.guests import check_guest, count_write, existing, moment_of
from webapp.group_tasting.ids import guest_device
from webapp.group_tasting.store import (
    SERVER_DEVICE,
    add_guest,
    load_table,
    record_of,
    server_clock,
    stored_record,
    write,
)
from webapp.records.record import Record, emptied, is_deleted
from webapp.records.repository import active_records, delete_revisions, lock_owner
from webapp.sync.hlc import clock_device, clock_ms


def put_consent(
    connection: Connection, row: Row[Any], noted_ms: int, now_ms: int, *, agreed: bool
) -> str | None:
    """Store what a guest decided; return the person that the guest was and is not any more.

    An older decision of the guest that arrives later changes nothing. Raises AccessError.
    """
    owner_id, guest = row.owner_id, row.guest
    lock_owner(connection, owner_id)
    table = add_guest(connection, owner_id, existing(load_table, connection, row), guest)
    check_guest(table, guest, now_ms)
    at_ms = min(noted_ms, now_ms)
    stored = stored_record(connection, owner_id, ("guest", guest))
    if stored is None or _is_decided(stored, at_ms, now_ms, agreed=agreed):
        return None
    fields: dict[str, Any] = {"agreed_at": moment_of(at_ms) if agreed else None}
    clocks = {"agreed_at": clock_at(guest, at_ms)}
    if stored["clocks"].get("agreed_at", "") >= clocks["agreed_at"]:
        clocks["agreed_at"] = server_clock(connection, owner_id, now_ms, guest_device(guest))
    person = None if agreed else stored["fields"].get("person")
    if person:
        fields["person"] = None
        clocks["person"] = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
    write(connection, owner_id, [record_of("guest", guest, fields, clocks)], is_quiet=True)
    count_write(connection, row)
    return str(person) if person else None


def _is_decided(stored: Record, at_ms: int, now_ms: int, *, agreed: bool) -> bool:
    """Tell whether the guest's record has this decision, or a later one of the guest.

    The leader's phone may have written it too, and its clock may be ahead: such a clock says
    nothing of the order, so the decision that arrives last counts. A withdrawal counts in any
    case, and one that the leader noted until the server's time has passed its clock.
    """
    had, guest = stored["clocks"].get("agreed_at", ""), stored["id"]
    if had < clock_at(guest, at_ms):
        return False
    is_own = clock_device(had) == guest_device(guest)
    if clock_ms(had) <= now_ms:
        return agreed or is_own
    if agreed and not is_own and stored["fields"]["agreed_at"] is None:
        return True
    person = None if agreed else stored["fields"].get("person")
    return not person and stored["fields"]["agreed_at"] == (moment_of(at_ms) if agreed else None)


def delete_person(connection: Connection, owner_id: int, person: str, now_ms: int) -> None:
    """Delete a person whom no guest of any table is; the caller's transaction is the owner's."""
    lock_owner(connection, owner_id)
    stored = stored_record(connection, owner_id, ("person", person))
    others = active_records(connection, owner_id, "guest")
    if stored is None or is_deleted(stored) or any(one.get("person") == person for one in others):
        return
    clock = server_clock(connection, owner_id, now_ms, SERVER_DEVICE)
    names = [name for name, value in stored["fields"].items() if value is not None]
    write(connection, owner_id, [emptied(stored, names, clock)])
    delete_revisions(connection, owner_id, ("person", person))
