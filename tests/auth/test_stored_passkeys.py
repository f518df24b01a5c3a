"""Passkeys as stored: each function changes those of one owner only."""

from __future__ import annotations

import pytest
from sqlalchemy import Connection, Row, update

from tests.auth.conftest import KEY
from tests.memory_database import first_row, rows_of
from webapp.auth import passkeys, sessions
from webapp.auth.errors import AccessError
from webapp.auth.passkeys import NewPasskey
from webapp.auth.sessions import Browser
from webapp.db.tables import passkey, sign_in

NOW_S = 1_790_000_400


def added(
    connection: Connection, owner_id: int, credential: str, now_s: int = NOW_S, key: str = "a key"
) -> Row[object]:
    hashed = sessions.token_hash(key)
    new = NewPasskey(credential, "public", 7, "handle", "localhost", f" my\n{credential}", hashed)
    return passkeys.add(connection, owner_id, new, now_s)


def names(connection: Connection) -> list[str]:
    return [name for (name,) in rows_of(connection, passkey, "name")]


def test_added_passkey_is_stored_as_verified(connection: Connection) -> None:
    row = added(connection, 2, "c")
    assert len(row.id) == 32
    stored = first_row(connection, passkey)
    assert stored == dict(row._mapping)
    assert {name: value for name, value in stored.items() if name != "id"} == {
        "owner_id": 2,
        "credential_id": "c",
        "public_key": "public",
        "sign_count": 7,
        "user_handle": "handle",
        "host": "localhost",
        "name": "my c",
        "key_hash": sessions.token_hash("a key"),
        "made_at": NOW_S,
        "last_used": None,
    }


def test_unnamed_passkey_has_an_empty_name(connection: Connection) -> None:
    new = NewPasskey("c", "public", 0, "handle", "localhost", "\n", "hash")
    row = passkeys.add(connection, 1, new, NOW_S)
    assert row.name == ""
    assert passkeys.rename(connection, 1, row.id, " ").name == ""


def test_passkeys_are_listed_newest_first(connection: Connection) -> None:
    added(connection, 2, "other")
    rows = [added(connection, 1, f"c{second}", NOW_S + second // 3) for second in range(9)]
    listed = [row.id for row in passkeys.passkeys_of(connection, 1)]
    assert listed == [row.id for row in sorted(rows, key=lambda row: (-row.made_at, row.id))]


def test_passkey_is_found_by_its_credential(connection: Connection) -> None:
    for owner_id in (1, 2):
        added(connection, owner_id, f"c{owner_id}")
    found = [passkeys.find_by_credential(connection, one) for one in ("c1", "c2", "c3")]
    assert [row and row.owner_id for row in found] == [1, 2, None]


def test_twentieth_passkey_is_the_last(connection: Connection) -> None:
    for count in range(20):
        added(connection, 1, f"c{count}")
    for refuse in (lambda: added(connection, 1, "c20"), lambda: passkeys.check_room(connection, 1)):
        with pytest.raises(
            AccessError, match=r"^There are 20 passkeys; remove one first.$"
        ) as refused:
            refuse()
        assert refused.value.code == "too_many_passkeys"
    added(connection, 2, "of another owner")
    assert len(names(connection)) == 21


def test_credential_of_another_owner_is_not_added(connection: Connection) -> None:
    added(connection, 1, "c")
    with pytest.raises(AccessError) as refused:
        added(connection, 2, "c")
    assert refused.value.code == "passkey_added_before"


def test_use_is_stored_for_the_passkey_alone(connection: Connection) -> None:
    used, other = added(connection, 1, "c1"), added(connection, 1, "c2")
    passkeys.record_use(connection, used, 9, NOW_S + 1)
    assert rows_of(connection, passkey, "credential_id", "sign_count", "last_used") == [
        ("c1", 9, NOW_S + 1),
        ("c2", 7, None),
    ]
    for gone in (used, other):
        passkeys.remove(connection, 1, other.id) if gone is other else None
        with pytest.raises(AccessError) as refused:
            passkeys.record_use(connection, gone, 10, NOW_S)
        assert (refused.value.code, refused.value.detail) == ("unknown_passkey", passkeys.UNKNOWN)


def test_passkey_is_renamed_by_its_owner_alone(connection: Connection) -> None:
    row = added(connection, 1, "c1")
    added(connection, 1, "c2")
    assert passkeys.rename(connection, 1, row.id, "  the\nnew ").name == "the new"
    assert names(connection) == ["my c2", "the new"]
    for owner_id, id_ in ((2, row.id), (1, "another")):
        with pytest.raises(AccessError) as refused:
            passkeys.rename(connection, owner_id, id_, "a name")
        assert refused.value.code == "no_passkey"
    assert names(connection) == ["my c2", "the new"]


def test_passkey_is_removed_by_its_owner_alone(connection: Connection) -> None:
    row = added(connection, 1, "c1")
    added(connection, 1, "c2")
    for owner_id, id_ in ((2, row.id), (1, "another")):
        with pytest.raises(AccessError) as refused:
            passkeys.remove(connection, owner_id, id_)
        assert refused.value.code == "no_passkey"
    passkeys.remove(connection, 1, row.id)
    assert names(connection) == ["my c2"]


def test_all_passkeys_of_one_owner_are_removed(connection: Connection) -> None:
    for owner_id in (1, 1, 2):
        added(connection, owner_id, f"c{len(names(connection))}")
    passkeys.remove_all(connection, 1)
    assert names(connection) == ["my c2"]


def test_passkeys_added_or_used_in_a_browser_are_removed(connection: Connection) -> None:
    used = added(connection, 1, "used")
    for owner_id, credential, key in (
        (1, "added", KEY),
        (1, "other", "another key"),
        (2, "theirs", KEY),
    ):
        added(connection, owner_id, credential, key=key)
    browser = Browser("", "192.0.2.1", KEY)
    token = sessions.start(connection, 1, browser, NOW_S)
    sessions.start(connection, 1, browser, NOW_S, passkey=used.id)
    other = Browser("", "192.0.2.1", "another browser")
    elsewhere = added(connection, 1, "elsewhere", key="a third key")
    sessions.start(connection, 1, other, NOW_S, passkey=elsewhere.id)
    connection.execute(
        update(sign_in).where(sign_in.c.passkey == elsewhere.id).values(key_hash=None)
    )
    row = sessions.find(connection, token)
    assert row is not None
    for owner_id, id_ in ((2, row.id), (1, "another")):
        passkeys.remove_of_device(connection, owner_id, id_)
    assert len(names(connection)) == 5
    passkeys.remove_of_device(connection, 1, row.id)
    assert names(connection) == ["my elsewhere", "my other", "my theirs"]
