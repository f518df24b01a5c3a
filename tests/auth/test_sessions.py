"""Sign-ins as stored: each function changes the rows of one owner, or of one device."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from sqlalchemy import Connection, insert, update

from tests.auth.conftest import KEY
from tests.memory_database import first_row, rows_of
from webapp.auth import passkeys, sessions
from webapp.auth.pairing import create_offer
from webapp.auth.passkeys import NewPasskey
from webapp.auth.sessions import Browser
from webapp.db.tables import account_event, device, pairing, passkey, sign_in

NOW_S = 1_790_000_400
DAY_S = 24 * 3600
HERE = "192.0.2.1"
PHONE = Browser("  my\nphone ", HERE, KEY)


def started(connection: Connection, owner_id: int, **given: Any) -> str:
    """Sign a browser in and return the id of its sign-in."""
    token = sessions.start(connection, owner_id, given.pop("browser", PHONE), NOW_S, **given)
    row = sessions.find(connection, token)
    assert row is not None
    return str(row.id)


def ended(connection: Connection) -> dict[str, tuple[Any, ...]]:
    rows = rows_of(connection, sign_in, "id", "ended_at", "ended_as")
    return {id_: (at, how) for id_, at, how in rows if at or how}


def new_passkey(name: str, key: str) -> NewPasskey:
    return NewPasskey(name, "public", 0, "handle", "localhost", name, sessions.token_hash(key))


def test_token_hash_is_sha_256_of_any_text() -> None:
    assert sessions.token_hash("a\u00e9") == hashlib.sha256("a\u00e9".encode()).hexdigest()
    assert len(sessions.token_hash("\ud800")) == 64


@pytest.mark.parametrize("confirmed", [True, False])
def test_sign_in_is_stored_with_its_event(connection: Connection, confirmed: bool) -> None:
    token = sessions.start(connection, 2, PHONE, NOW_S, confirmed=confirmed, passkey="p")
    row, event = first_row(connection, sign_in), first_row(connection, account_event)
    assert event["id"] > 0
    assert row.pop("id") == event["sign_in_id"]
    assert row == {
        "owner_id": 2,
        "token_hash": sessions.token_hash(token),
        "name": "my phone",
        "address": HERE,
        "device": None,
        "made_at": NOW_S,
        "last_seen": NOW_S,
        "ended_at": None,
        "ended_as": None,
        "key_hash": sessions.token_hash(KEY),
        "confirmed_at": NOW_S if confirmed else None,
        "events_seen": event["id"],
        "passkey": "p",
    }
    assert (event["kind"], event["owner_id"], event["name"], event["at_s"]) == (
        "device",
        2,
        "my phone",
        NOW_S,
    )


def test_sign_in_is_unconfirmed_and_unnamed_by_default(connection: Connection) -> None:
    sessions.start(connection, 1, Browser(" \n", HERE, KEY), NOW_S)
    row = first_row(connection, sign_in)
    assert (row["confirmed_at"], row["passkey"], row["name"]) == (None, None, "")


def test_tokens_and_ids_of_sign_ins_are_random(connection: Connection) -> None:
    tokens = {sessions.start(connection, 1, PHONE, NOW_S) for _ in range(3)}
    ids = rows_of(connection, sign_in, "id")
    assert (len(tokens), len(set(ids))) == (3, 3)
    assert {len(token) for token in tokens} == {43}
    assert {len(id_) for (id_,) in ids} == {32}


def test_sign_in_is_found_by_its_token(connection: Connection) -> None:
    tokens = [sessions.start(connection, owner_id, PHONE, NOW_S) for owner_id in (1, 2)]
    found = [sessions.find(connection, token) for token in (*tokens, "another")]
    assert [row and row.owner_id for row in found] == [1, 2, None]


def test_key_must_be_that_of_the_sign_in(connection: Connection) -> None:
    token = sessions.start(connection, 1, PHONE, NOW_S)
    row = sessions.find(connection, token)
    assert row is not None
    assert sessions.fits_key(row, KEY)
    assert not sessions.fits_key(row, KEY + "x")
    connection.execute(update(sign_in).values(key_hash=None))
    older = sessions.find(connection, token)
    assert older is not None
    assert not sessions.fits_key(older, KEY)


def test_confirmation_and_use_are_stored_for_one_device(connection: Connection) -> None:
    first, second = started(connection, 1), started(connection, 1)
    sessions.record_confirmation(connection, first, "192.0.2.9", NOW_S + 1)
    sessions.touch(connection, first, NOW_S + 2)
    sessions.remember_device(connection, first, "sync id")
    columns = ("id", "confirmed_at", "last_seen", "address", "device")
    assert rows_of(connection, sign_in, *columns) == sorted(
        [
            (first, NOW_S + 1, NOW_S + 2, "192.0.2.9", "sync id"),
            (second, None, NOW_S, HERE, None),
        ],
        key=lambda row: row[0],
    )


def test_device_is_signed_out_alone_and_once(connection: Connection) -> None:
    first, *_ = [started(connection, owner_id) for owner_id in (1, 1, 2)]
    assert not sessions.end(connection, 2, first, "revoked", NOW_S)
    assert ended(connection) == {}
    assert sessions.end(connection, 1, first, "signed_out", NOW_S + 1)
    assert not sessions.end(connection, 1, first, "revoked", NOW_S + 2)
    assert ended(connection) == {first: (NOW_S + 1, "signed_out")}


def test_all_devices_of_one_owner_are_signed_out(connection: Connection) -> None:
    first, second, third, _ = [started(connection, owner_id) for owner_id in (1, 1, 1, 2)]
    sessions.end(connection, 1, first, "signed_out", NOW_S)
    assert sessions.end_all(connection, 1, "passphrase", NOW_S + 1) == 2
    assert ended(connection) == {
        first: (NOW_S, "signed_out"),
        second: (NOW_S + 1, "passphrase"),
        third: (NOW_S + 1, "passphrase"),
    }


@pytest.mark.parametrize("ended_as", ["revoked", "signed_out"])
def test_sign_out_ends_the_offers_of_its_owner(connection: Connection, ended_as: str) -> None:
    id_ = started(connection, 1)
    for owner_id in (1, 2):
        create_offer(connection, owner_id, None, NOW_S)
    sessions.end(connection, 1, id_, ended_as, NOW_S)
    assert rows_of(connection, pairing, "owner_id") == [(2,)]
    sessions.end_all(connection, 2, ended_as, NOW_S)
    assert rows_of(connection, pairing, "owner_id") == []


@pytest.mark.parametrize(
    ("ended_as", "left"), [("revoked", ["b", "c"]), ("signed_out", ["a", "b", "c"])]
)
def test_revoked_device_alone_loses_its_passkeys(
    connection: Connection, ended_as: str, left: list[str]
) -> None:
    id_ = started(connection, 1)
    for name, key, owner_id in (("a", KEY, 1), ("b", "another key", 1), ("c", KEY, 2)):
        passkeys.add(connection, owner_id, new_passkey(name, key), NOW_S)
    sessions.end(connection, 1, id_, ended_as, NOW_S)
    assert [name for (name,) in rows_of(connection, passkey, "name")] == left


def test_signing_all_out_removes_the_owners_passkeys(connection: Connection) -> None:
    for name, owner_id in (("a", 1), ("b", 2)):
        passkeys.add(connection, owner_id, new_passkey(name, KEY), NOW_S)
    sessions.end_all(connection, 1, "passphrase", NOW_S)
    assert rows_of(connection, passkey, "name") == [("b",)]


def test_device_list_has_the_active_devices_of_an_owner(connection: Connection) -> None:
    ids = [started(connection, owner_id) for owner_id in (1, 1, 1, 1, 2)]
    sessions.end(connection, 1, ids[0], "revoked", NOW_S)
    sessions.touch(connection, ids[1], NOW_S + 1 - 180 * DAY_S)
    sessions.touch(connection, ids[2], NOW_S - 1)
    sessions.touch(connection, ids[3], NOW_S - 180 * DAY_S)
    rows = [(1, "here"), (2, "there")]
    connection.execute(
        insert(device),
        [{"owner_id": of, "id": id_, "last_seen": f"{of}", "tokens": "[]"} for of, id_ in rows],
    )
    sessions.remember_device(connection, ids[1], "here")
    sessions.remember_device(connection, ids[2], "there")
    assert sessions.devices_of(connection, 1, NOW_S) == [
        {
            "id": id_,
            "name": "my phone",
            "made_at": NOW_S,
            "last_seen": last_seen,
            "last_synced": last_synced,
        }
        for id_, last_seen, last_synced in [
            (ids[2], NOW_S - 1, None),
            (ids[1], NOW_S + 1 - 180 * DAY_S, "1"),
        ]
    ]


def test_devices_seen_together_are_listed_by_id(connection: Connection) -> None:
    ids = [started(connection, 1) for _ in range(5)]
    listed = [one["id"] for one in sessions.devices_of(connection, 1, NOW_S)]
    assert listed == sorted(ids)


def test_events_seen_are_those_before_the_sign_in(connection: Connection) -> None:
    ids = [started(connection, 1) for _ in range(2)]
    seen = dict(rows_of(connection, sign_in, "id", "events_seen"))
    assert seen[ids[0]] < seen[ids[1]]


def test_known_address_of_ipv6_is_its_network(connection: Connection) -> None:
    sessions.record_confirmation(connection, started(connection, 1), "2001:db8::1", NOW_S)
    assert sessions.has_used_address(connection, 1, "2001:db8::ffff", NOW_S)
    assert not sessions.has_used_address(connection, 1, "2001:db8:0:1::1", NOW_S)


@pytest.mark.parametrize(("ended_as", "known"), [("signed_out", True), ("revoked", False)])
def test_address_of_a_revoked_device_is_unknown(
    connection: Connection, ended_as: str, known: bool
) -> None:
    id_ = started(connection, 1)
    assert not sessions.has_used_address(connection, 1, HERE, NOW_S)
    sessions.record_confirmation(connection, id_, HERE, NOW_S)
    assert sessions.has_used_address(connection, 1, HERE, NOW_S + 90 * DAY_S - 1)
    assert not sessions.has_used_address(connection, 1, HERE, NOW_S + 90 * DAY_S)
    sessions.end(connection, 1, id_, ended_as, NOW_S)
    assert sessions.has_used_address(connection, 1, HERE, NOW_S) is known
