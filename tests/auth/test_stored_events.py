"""Account events as stored: which of them a device has still to show."""

from __future__ import annotations

from sqlalchemy import Connection, update

from tests.auth.conftest import KEY
from tests.memory_database import first_row, rows_of
from webapp.auth import account_events, sessions
from webapp.auth.sessions import Browser
from webapp.db.tables import account_event, sign_in

NOW_S = 1_790_000_400
DAY_S = 24 * 3600


def recorded(connection: Connection, owner_id: int, kind: str, by: str | None = None) -> int:
    return account_events.record_event(connection, owner_id, kind, by, "a name", NOW_S)


def test_event_is_stored_with_its_id(connection: Connection) -> None:
    id_ = recorded(connection, 2, "passkey", "a sign-in")
    assert first_row(connection, account_event) == {
        "id": id_,
        "owner_id": 2,
        "kind": "passkey",
        "sign_in_id": "a sign-in",
        "name": "a name",
        "at_s": NOW_S,
    }
    assert recorded(connection, 2, "passkey") > id_


def test_events_of_an_owner_are_kept_for_180_days(connection: Connection) -> None:
    kept_s = 180 * DAY_S
    for owner_id, at_s in ((1, NOW_S - kept_s - 1), (1, NOW_S - kept_s), (2, 0)):
        account_events.record_event(connection, owner_id, "device", None, "", at_s)
    recorded(connection, 1, "device")
    assert rows_of(connection, account_event, "owner_id", "at_s") == [
        (1, NOW_S - kept_s),
        (1, NOW_S),
        (2, 0),
    ]


def test_later_events_of_the_owner_are_unread(connection: Connection) -> None:
    seen = recorded(connection, 1, "device")
    recorded(connection, 2, "device")
    later = [recorded(connection, 1, "passphrase"), recorded(connection, 1, "passkey", "other")]
    assert account_events.unread_events(connection, 1, "mine", seen) == [
        {
            "id": id_,
            "kind": kind,
            "name": "a name",
            "at_s": NOW_S,
            "device": device,
            "standing": device is not None,
        }
        for id_, kind, device in zip(later, ("passphrase", "passkey"), (None, "other"), strict=True)
    ]


def test_own_passkey_is_no_event_for_its_device(connection: Connection) -> None:
    ids = [
        recorded(connection, 1, kind, by)
        for kind, by in (("passkey", "mine"), ("passkey", "other"), ("device", "mine"))
    ]
    unread = account_events.unread_events(connection, 1, "mine", 0)
    assert [one["id"] for one in unread] == ids[1:]


def test_event_tells_whether_its_sign_in_is_active(connection: Connection) -> None:
    for _ in range(2):
        sessions.start(connection, 1, Browser("", "192.0.2.1", KEY), NOW_S)
    ids = [id_ for (id_,) in rows_of(connection, sign_in, "id")]
    sessions.end(connection, 1, ids[0], "revoked", NOW_S)
    unread = account_events.unread_events(connection, 1, "", 0)
    assert {one["device"]: one["standing"] for one in unread} == {ids[0]: False, ids[1]: True}


def test_events_are_read_on_one_device_and_forward(connection: Connection) -> None:
    for _ in range(2):
        sessions.start(connection, 1, Browser("", "192.0.2.1", KEY), NOW_S)
    ids = [id_ for (id_,) in rows_of(connection, sign_in, "id")]
    connection.execute(update(sign_in).values(events_seen=5))
    for event, seen in ((4, 5), (7, 7)):
        account_events.mark_read(connection, ids[0], event)
        assert dict(rows_of(connection, sign_in, "id", "events_seen")) == {ids[0]: seen, ids[1]: 5}
