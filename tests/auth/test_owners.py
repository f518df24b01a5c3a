"""Owners as stored: names, ids, passphrases, and the default owner of a new server."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import Connection, delete, event, insert, select, update

from tests.auth.conftest import KEY
from tests.memory_database import owner_values, rows_of
from webapp.auth import owners, passphrase, sessions
from webapp.auth.errors import NameTaken, NotebookHidden, WeakPassphrase
from webapp.auth.names import owner_uid
from webapp.auth.pairing import create_offer
from webapp.auth.sessions import Browser
from webapp.db.tables import account_event, erased, owner, pairing

NOW_S = 1_790_000_400
WORDS = "four dry autumn barrels"


def row_of(connection: Connection, owner_id: int) -> dict[str, Any]:
    return dict(connection.execute(select(owner).where(owner.c.id == owner_id)).mappings().one())


def leave_one(connection: Connection, **given: Any) -> None:
    connection.execute(delete(owner).where(owner.c.id == 2))
    connection.execute(update(owner).values(**given or {"seq": 0}))


@pytest.mark.parametrize(
    ("name", "id_"), [(" OWNER\n2 ", 2), ("owner 1", 1), ("owner", None), ("", None)]
)
def test_owner_is_found_by_name_in_any_case(
    connection: Connection, name: str, id_: int | None
) -> None:
    found = owners.find_owner(connection, name)
    assert (found and found.id) == id_


def test_name_of_two_older_owners_finds_neither(connection: Connection) -> None:
    connection.execute(insert(owner).values(owner_values(3, name="OWNER 1")))
    assert owners.find_owner(connection, "owner 1") is None


@pytest.mark.parametrize("name", ["XX", "None", "-"])
def test_blank_name_finds_no_owner(connection: Connection, name: str) -> None:
    connection.execute(insert(owner).values(owner_values(3, name=name)))
    assert owners.find_owner(connection, " \n") is None


def test_single_owner_is_found_while_alone(connection: Connection) -> None:
    assert owners.single_owner(connection) is None
    leave_one(connection)
    alone = owners.single_owner(connection)
    assert alone is not None
    assert alone.id == 1
    connection.execute(delete(owner))
    assert owners.single_owner(connection) is None


def test_passphrase_of_any_owner_is_noticed(connection: Connection) -> None:
    assert owners.has_passphrase(connection) is False
    connection.execute(update(owner).where(owner.c.id == 2).values(passphrase="a hash"))
    assert owners.has_passphrase(connection) is True


def test_added_owner_has_a_new_notebook(connection: Connection) -> None:
    before = datetime.now(UTC).isoformat()
    id_ = owners.add_owner(connection, " anna\n", WORDS)
    row = row_of(connection, id_)
    assert passphrase.verify(WORDS, row.pop("passphrase"))
    assert before <= row.pop("made_at") <= datetime.now(UTC).isoformat()
    assert row == {
        "id": 3,
        "uid": owner_uid("anna"),
        "name": "anna",
        "folded_name": "anna",
        "seq": 0,
        "guest_seq": 0,
        "max_clock_ms": 0,
    }


def test_id_of_an_erased_owner_is_not_given_again(connection: Connection) -> None:
    connection.execute(insert(erased).values(key="owner/8", at_s=NOW_S))
    assert owners.add_owner(connection, "anna", WORDS) == 9
    connection.execute(delete(erased))
    assert owners.add_owner(connection, "bruno", WORDS) == 10
    connection.execute(delete(owner))
    assert owners.insert_owner(connection, {"name": "carla", "uid": "c"}) == 1


def test_unused_default_owner_gets_the_name(connection: Connection) -> None:
    leave_one(connection)
    assert owners.add_owner(connection, "anna", WORDS) == 1
    row = row_of(connection, 1)
    assert (row["name"], row["uid"]) == ("anna", owner_uid("anna"))
    assert passphrase.verify(WORDS, row["passphrase"])
    assert owners.add_owner(connection, "bruno", WORDS) == 2


@pytest.mark.parametrize("seq", [1, 2])
def test_used_notebook_is_not_hidden_by_another(connection: Connection, seq: int) -> None:
    leave_one(connection, seq=seq)
    with pytest.raises(NotebookHidden, match=r"The notebook of owner 1 .* passphrase owner 1'"):
        owners.add_owner(connection, "anna", WORDS)
    assert row_of(connection, 1)["name"] == "owner 1"


def test_first_owner_with_a_passphrase_keeps_it(connection: Connection) -> None:
    leave_one(connection, passphrase="a hash", seq=5)
    assert owners.add_owner(connection, "anna", WORDS) == 2
    assert row_of(connection, 1)["passphrase"] == "a hash"


@pytest.mark.parametrize("name", ["Owner 2", " owner\n1", " \n", "carla"])
def test_taken_or_empty_name_is_refused(connection: Connection, name: str) -> None:
    connection.execute(insert(owner).values(owner_values(3, name="Carla")))
    for change in (
        lambda: owners.add_owner(connection, name, WORDS),
        lambda: owners.rename_owner(connection, 1, name),
    ):
        with pytest.raises(NameTaken):
            change()


def test_weak_passphrase_is_refused(connection: Connection) -> None:
    for change in (
        lambda: owners.add_owner(connection, "wonderful barrels", "wonderful barrels"),
        lambda: owners.set_passphrase(connection, 1, "owner 1owner 1owner 1"),
    ):
        with pytest.raises(WeakPassphrase):
            change()


def test_renaming_changes_one_name_and_no_id(connection: Connection) -> None:
    owners.rename_owner(connection, 1, "  anna ")
    assert rows_of(connection, owner, "id", "name", "uid") == [
        (1, "anna", "uid 1"),
        (2, "owner 2", "uid 2"),
    ]


def test_new_passphrase_ends_offers_and_is_an_event(connection: Connection) -> None:
    sessions.start(connection, 1, Browser("", "192.0.2.1", KEY), NOW_S)
    for owner_id in (1, 2):
        create_offer(connection, owner_id, None, NOW_S)
    connection.execute(delete(account_event))
    owners.change_hash(connection, 1, "a hash", NOW_S)
    assert rows_of(connection, owner, "id", "passphrase") == [(1, "a hash"), (2, None)]
    assert rows_of(connection, pairing, "owner_id") == [(2,)]
    columns = ("owner_id", "kind", "sign_in_id", "name", "at_s")
    events = rows_of(connection, account_event, *columns)
    assert events == [(1, "passphrase", None, "", NOW_S)]


def test_operator_sets_a_passphrase_now(
    connection: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.auth.owners.time.time", lambda: NOW_S + 0.9)
    owners.set_passphrase(connection, 1, WORDS)
    assert passphrase.verify(WORDS, row_of(connection, 1)["passphrase"])
    assert rows_of(connection, account_event, "owner_id", "at_s") == [(1, NOW_S)]


def test_stored_hash_is_compared_for_its_owner(connection: Connection) -> None:
    owners.store_hash(connection, 1, "a hash")
    asked = [(1, "a hash"), (1, "another"), (1, None), (2, "a hash"), (2, None)]
    items = [owners.is_unchanged(connection, owner_id, hash_) for owner_id, hash_ in asked]
    assert items == [True, False, False, False, True]


def test_server_without_an_owner_gets_a_default_one(connection: Connection) -> None:
    owners.require_an_owner(connection)
    assert len(rows_of(connection, owner, "id")) == 2
    uids = set()
    for _ in range(2):
        connection.execute(delete(owner))
        owners.require_an_owner(connection)
        ((name, uid),) = rows_of(connection, owner, "name", "uid")
        assert (name, len(uid)) == ("me", 20)
        uids.add(uid)
    assert len(uids) == 2


def test_owner_is_found_by_an_index(connection: Connection) -> None:
    plans = list[str]()

    def explain(opened: Connection, _cursor: Any, statement: str, values: Any, *_: Any) -> None:
        if statement.startswith("SELECT"):
            rows = opened.connection.execute(f"EXPLAIN QUERY PLAN {statement}", values).fetchall()
            plans.extend(row[3] for row in rows)

    event.listen(connection, "before_cursor_execute", explain)
    owners.find_owner(connection, "OWNER 1")
    assert plans
    assert [plan for plan in plans if not plan.startswith("SEARCH")] == []
