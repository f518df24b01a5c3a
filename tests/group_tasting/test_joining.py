"""Invitations: codes, links, throttling, the number of guests."""

from __future__ import annotations

import pytest
from flask import Flask
from sqlalchemy import func, select, update

from tests.auth.conftest import add_owners, signed_in_client
from tests.conftest import AppMaker
from tests.group_tasting.evening import Guest, Leader, new_id
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import group_invitation, group_invitation_secret
from webapp.group_tasting.invitations import CODE_SIGNS, MAX_SECRETS, VALID_FOR_S, normal_code

PATH = "/api/group-tastings/"


def test_invitation_is_the_same_until_a_new_one(table_app: Flask, leader: Leader) -> None:
    first = leader.invite()
    assert first == leader.invite()
    assert first["path"] == f"/#/guest/{first['secret']}"
    assert len(first["code"]) == 6
    assert set(first["code"]) <= set(CODE_SIGNS)
    guest = Guest(table_app.test_client())
    assert guest.look(secret=first["secret"]).status_code == 200
    assert leader.client.delete(f"{PATH}{leader.table}/invitation").json == {"done": True}
    second = leader.invite()
    assert (second["code"], second["secret"]) != (first["code"], first["secret"])
    for old in ({"secret": first["secret"]}, {"code": first["code"]}):
        assert guest.look(**old).json["code"] == "no_such_table"
    assert guest.look(secret=second["secret"]).status_code == 200
    assert leader.client.delete(f"{PATH}{leader.table}/invitation").json == {"done": True}
    assert guest.look(secret=second["secret"]).json["code"] == "no_such_table"


def test_two_browsers_of_the_leader_have_valid_links(make_app: AppMaker) -> None:
    app = make_app()
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    secrets = []
    for key in ("a" * 40, "b" * 40, "a" * 40, ""):
        leader.client.environ_base["HTTP_SECOND_NOSE_KEY"] = key
        secrets.append(leader.invite()["secret"])
    assert secrets[0] == secrets[2]
    assert len(set(secrets)) == 3
    for secret in secrets:
        assert Guest(app.test_client()).look(secret=secret).status_code == 200
    for _ in range(20):
        leader.invite()
    with app.app_context(), read_transaction() as connection:
        kept = connection.scalar(select(func.count()).select_from(group_invitation_secret))
    assert kept == MAX_SECRETS
    assert Guest(app.test_client()).look(secret=leader.invite()["secret"]).status_code == 200


def test_new_invitation_deletes_the_expired_ones(app: Flask) -> None:
    add_owners(app)
    anna, bruno = (Leader(signed_in_client(app, name)) for name in ("anna", "bruno"))
    for one in (anna, bruno):
        one.set_table([{"name": "Zephyrhill"}])
        one.invite()
    tables = (group_invitation, group_invitation_secret)
    with app.app_context(), write_transaction() as connection:
        for table in tables:
            expired = update(table).where(table.c.owner_id == 1)
            connection.execute(expired.values(made_at=table.c.made_at - VALID_FOR_S))
    bruno.invite()
    with app.app_context(), read_transaction() as connection:
        for table in tables:
            assert set(connection.scalars(select(table.c.owner_id))) == {2}


def test_invitation_needs_a_synced_table_of_the_owner(table_app: Flask, leader: Leader) -> None:
    refused = leader.client.post(f"{PATH}{new_id()}/invitation")
    assert (refused.status_code, refused.json["code"]) == (404, "no_such_table")
    withdrawn = leader.client.delete(f"{PATH}{new_id()}/invitation")
    assert (withdrawn.status_code, withdrawn.json["code"]) == (404, "no_such_table")
    assert table_app.test_client().post(f"{PATH}{leader.table}/invitation").status_code == 401


@pytest.mark.parametrize(
    ("typed", "stored"), [("k7m 2qx", "K7M2QX"), ("k7-m2qx", "K7M2QX"), ("zsbu99", "258V99")]
)
def test_typed_code_is_normalized(typed: str, stored: str) -> None:
    assert normal_code(typed) == stored
    assert set(stored) <= set(CODE_SIGNS)


def test_wrong_codes_are_throttled_by_address(table_app: Flask, leader: Leader) -> None:
    invitation = leader.invite()
    guest = Guest(table_app.test_client())
    for _ in range(30):
        # Right ones cost nothing, because a whole room may share an address.
        assert guest.look(code=invitation["code"]).status_code == 200
    for _ in range(20):
        assert guest.look(code="AAAAAA").status_code == 404
    for code in ("AAAAAA", invitation["code"]):
        braked = guest.try_join(code=code)
        assert (braked.status_code, braked.json["code"]) == (429, "too_many_tries")
        assert int(braked.headers["Retry-After"]) > 0
    assert guest.look(secret=invitation["secret"]).status_code == 200
    elsewhere = Guest(table_app.test_client())
    elsewhere.client.environ_base["REMOTE_ADDR"] = "192.0.2.7"
    assert elsewhere.look(code=invitation["code"]).status_code == 200


def test_joining_one_table_is_throttled(
    table_app: Flask, leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.FREE_JOINS", 3)
    secret = leader.invite()["secret"]
    answers = [guest.try_join(secret=secret).status_code for _ in range(4)]
    assert answers == [200, 200, 429, 429]


def test_joining_is_throttled_by_address_sooner(
    table_app: Flask, leader: Leader, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.FREE_JOINS_OF_ADDRESS", 2)
    secret = leader.invite()["secret"]
    crowd = [Guest(table_app.test_client()) for _ in range(4)]
    crowd[3].client.environ_base["REMOTE_ADDR"] = "192.0.2.7"
    answers = [one.try_join(secret=secret).status_code for one in crowd]
    assert answers == [200, 200, 429, 200]


@pytest.mark.parametrize("how", ["removed", "left"])
def test_numbers_of_guests_who_are_gone_are_used_again(
    table_app: Flask, leader: Leader, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_NUMBER", 3)
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_JOINED", 7)
    secret = leader.invite()["secret"]

    def come_and_go(*, answers: bool = False) -> int:
        guest = Guest(table_app.test_client()).join(secret=secret)
        number = guest.table()["guest"]["number"]
        if answers:
            assert guest.put(leader.glasses[0], liking=4).status_code == 200
        if how == "left":
            guest.ask("POST", "/api/guests/leave", json={"forget": False})
        else:
            leader.client.delete(f"{PATH}{leader.table}/guests/{guest.id}")
        return int(number)

    assert [come_and_go() for _ in range(4)] == [1, 2, 3, 1]
    assert [come_and_go(answers=True), come_and_go()] == [1, 2]
    assert Guest(table_app.test_client()).try_join(secret=secret).json["guest"]["number"] == 2
    assert Guest(table_app.test_client()).try_join(secret=secret).json["code"] == "full"


def test_number_below_the_last_is_given_out_when_needed(
    table_app: Flask, leader: Leader, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_NUMBER", 3)
    for number in (1, 3):
        entry = {"group_tasting": leader.table, "name": "?", "entry": "passed"}
        leader.put("guest", new_id(), number=number, **entry)
    secret = leader.invite()["secret"]
    assert Guest(table_app.test_client()).try_join(secret=secret).json["guest"]["number"] == 2
    assert Guest(table_app.test_client()).try_join(secret=secret).json["code"] == "full"


def test_table_has_sixty_guests(
    table_app: Flask, leader: Leader, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_GUESTS", 3)
    secret = leader.invite()["secret"]
    guests = [Guest(table_app.test_client()).join(secret=secret) for _ in range(3)]
    refused = Guest(table_app.test_client()).try_join(secret=secret)
    assert (refused.status_code, refused.json["code"]) == (409, "full")
    # Who joined before comes back, and a removed guest makes room.
    assert guests[0].try_join(secret=secret).status_code == 200
    leader.client.delete(f"{PATH}{leader.table}/guests/{guests[1].id}")
    assert Guest(table_app.test_client()).try_join(secret=secret).json["guest"]["number"] == 4


def test_full_notebook_refuses_guests_and_answers(make_app: AppMaker) -> None:
    app = make_app(MAX_RECORDS=4)
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    guest = Guest(app.test_client()).join(secret=leader.invite()["secret"])
    for refused in (
        guest.put(leader.glasses[0], liking=4),
        Guest(app.test_client()).try_join(secret=leader.invite()["secret"]),
    ):
        assert (refused.status_code, refused.json["code"]) == (409, "full")


@pytest.mark.parametrize(
    "wrong",
    [{"name": ""}, {"name": " \u200b "}, {"name": "x" * 61}, {"key": "short"}, {"guest": "1"}],
)
def test_invalid_join_is_refused(leader: Leader, guest: Guest, wrong: dict[str, str]) -> None:
    given = {"name": "Bo", "guest": new_id(), "key": "k" * 40, **wrong}
    answer = guest.ask(
        "POST", "/api/guests/join", json={**given, "secret": leader.invite()["secret"]}
    )
    assert (answer.status_code, answer.json["code"]) == (400, "invalid")
    assert len(leader.records("guest")) == 1


def test_guest_that_came_by_qr_code_joins_with_a_phone(leader: Leader, guest: Guest) -> None:
    by_qr, passed = Guest(guest.client, "Bo"), Guest(guest.client, "Cy")
    for one, entry in ((by_qr, "qr"), (passed, "passed")):
        leader.put("guest", one.id, group_tasting=leader.table, name="?", number=7, entry=entry)
    secret = leader.invite()["secret"]
    found = by_qr.join(secret=secret).table()["guest"]
    assert found == {"id": by_qr.id, "name": "Bo", "number": 7, "agreed_at": None}
    assert passed.try_join(secret=secret).json["code"] == "guest_taken"
