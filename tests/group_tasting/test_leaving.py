"""What stays of a guest who leaves, and what a deleted table says to those who sit at it."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from sqlalchemy.exc import OperationalError

from tests.auth.conftest import signed_in_client
from tests.auth.test_row_level_security import walled  # noqa: F401
from tests.group_tasting.evening import Guest, Leader, moment, new_id, now_ms


def leave(guest: Guest, *, forget: bool = False) -> None:
    left = guest.ask("POST", "/api/guests/leave", json={"forget": forget})
    assert left.json == {"done": True}


def remember(leader: Leader, guest: Guest) -> str:
    """Let a guest agree, and the leader's phone make a person; return the person's id."""
    assert guest.consent(now_ms()).status_code == 200
    person = new_id()
    leader.put("person", person, name=guest.name, agreed_at=moment(now_ms()))
    leader.put("guest", guest.id, person=person)
    return person


def test_record_of_a_guest_says_when_the_guest_left(leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=3)
    leave(guest)
    assert leader.records("guest")[guest.id]["left_at"]
    assert [one["liking"] for one in leader.records("sheet").values()] == [3]


def test_other_guests_views_stay_when_one_leaves(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    other = Guest(table_app.test_client()).join(secret=leader.invite()["secret"])
    other.poll()
    leave(guest)
    assert other.poll().status_code == 304


@pytest.mark.parametrize("change", ["ended", "deleted"])
def test_leaving_after_the_end_writes_nothing(leader: Leader, guest: Guest, change: str) -> None:
    if change == "ended":
        leader.change(ended_at=moment(now_ms()))
    else:
        leader.delete("group_tasting", leader.table)
    before = leader.last_seq()
    leave(guest)
    assert leader.last_seq() == before
    assert "left_at" not in leader.records("guest")[guest.id]


def test_guest_who_left_takes_no_seat(
    table_app: Flask, leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_GUESTS", 1)
    secret = leader.invite()["secret"]
    ben = Guest(table_app.test_client(), name="Ben")
    assert ben.try_join(secret=secret).json["code"] == "full"
    leave(guest)
    assert ben.try_join(secret=secret).status_code == 200


def test_guest_who_left_takes_the_seat_again(
    leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    guest.put(leader.glasses[0], liking=3)
    leave(guest)
    assert guest.poll().json["errors"] == {"reason": "left"}
    guest.join(secret=leader.invite()["secret"])
    assert guest.table()["sheets"] == {leader.glasses[0]: {"liking": 3}}
    [kept] = leader.records("guest").values()
    assert (kept["left_at"], kept["number"]) == (None, 1)
    leader.change_glass(0, discussed_at=moment(now_ms()))
    leader.change(results_at=moment(now_ms()))
    assert [one["count"] for one in guest.table()["results"]["order"]] == [1]
    leave(guest)
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_GUESTS", 0)
    assert guest.try_join(secret=leader.invite()["secret"]).json["code"] == "full"


def test_guest_who_comes_back_gets_a_number_of_their_own(
    table_app: Flask, leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.join_limits.MAX_NUMBER", 2)
    secret = leader.invite()["secret"]
    leave(guest)
    crowd = [Guest(table_app.test_client()).join(secret=secret) for _ in range(2)]
    assert [one.table()["guest"]["number"] for one in crowd] == [2, 1]
    assert guest.try_join(secret=secret).json["code"] == "full"
    leave(crowd[0])
    guest.join(secret=secret)
    assert guest.table()["guest"]["number"] == 2


@pytest.mark.parametrize("how", ["removed", "forgotten"])
def test_guest_removed_or_forgotten_does_not_come_back(
    leader: Leader, guest: Guest, how: str
) -> None:
    leave(guest, forget=how == "forgotten")
    if how == "removed":
        leader.client.delete(f"/api/group-tastings/{leader.table}/guests/{guest.id}")
    refused = guest.try_join(secret=leader.invite()["secret"])
    assert (refused.status_code, refused.json["errors"]) == (401, {"reason": how})
    assert guest.poll().json["code"] == "guest_ended"


def test_guest_of_a_table_over_a_week_joins_again(
    leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.group_tasting.guests.VALID_FOR_S", -60)
    other = Guest(guest.client, name="Ben").join(secret=leader.invite()["secret"])
    assert other.poll().json["errors"] == {"reason": "ended"}
    monkeypatch.undo()
    other.join(secret=leader.invite()["secret"])
    assert other.table()["guest"]["number"] == 2


def test_deleted_answers_delete_the_person(table_app: Flask, leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=3)
    person = remember(leader, guest)
    leave(guest, forget=True)
    assert leader.records("person") == {}
    stored = {one["id"]: one["fields"] for one in leader.all_records()}
    assert set(stored[person].values()) == {None}
    assert b"Ada" not in leader.client.get("/api/export").data


def test_person_is_kept_while_another_guest_is_it(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    again = Guest(table_app.test_client()).join(secret=leader.invite()["secret"])
    person = remember(leader, guest)
    leader.put("guest", again.id, person=person)
    leave(guest, forget=True)
    assert [*leader.records("person")] == [person]


def test_person_of_a_guest_who_only_leaves_is_kept(leader: Leader, guest: Guest) -> None:
    person = remember(leader, guest)
    leave(guest)
    assert [*leader.records("person")] == [person]


@pytest.mark.parametrize("how", ["forgets", "withdraws"])
def test_failed_deletion_of_a_person_is_repeated(
    leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    guest.put(leader.glasses[0], liking=3)
    remember(leader, guest)
    noted_ms = now_ms()

    def ask() -> int:
        if how == "forgets":
            return guest.ask("POST", "/api/guests/leave", json={"forget": True}).status_code
        return guest.consent(noted_ms, agreed=False).status_code

    def fail(*_: Any) -> None:
        raise OperationalError("", {}, Exception("locked"))

    with monkeypatch.context() as failing:
        failing.setattr("webapp.group_tasting.access.delete_person", fail)
        assert ask() == 503
    # Nothing was changed, as the answer says.
    assert leader.records("guest")[guest.id]["person"]
    assert ask() == 200
    assert leader.records("person") == {}


@pytest.mark.postgres
def test_row_level_security_lets_the_person_go(walled: Flask) -> None:  # noqa: F811
    leader = Leader(signed_in_client(walled, "anna"))
    leader.set_table([{"name": "Zephyrhill"}])
    guest = Guest(walled.test_client()).join(secret=leader.invite()["secret"])
    remember(leader, guest)
    leave(guest, forget=True)
    assert leader.records("person") == {}
    again = Guest(walled.test_client()).join(secret=leader.invite()["secret"])
    remember(leader, again)
    assert again.consent(now_ms(), agreed=False).status_code == 200
    assert leader.records("person") == {}


def test_answers_forgotten_days_after_the_end_are_deleted(leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=3)
    leader.change(ended_at=moment(now_ms() - 3 * 24 * 3_600_000))
    assert guest.poll().json["errors"] == {"reason": "ended"}
    leave(guest, forget=True)
    assert leader.records("guest") == leader.records("sheet") == {}


def test_answers_forgotten_at_a_deleted_table_stay_away(leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=3)
    person = remember(leader, guest)
    [sheet] = leader.records("sheet")
    gone = (("sheet", sheet), ("guest", guest.id), ("group_tasting", leader.table))
    for kind, id_ in gone:
        leader.delete(kind, id_)
    leave(guest, forget=True)
    assert person not in leader.records("person")
    for kind, id_ in gone:
        leader.restore(kind, id_)
    assert leader.records("sheet")[sheet].get("liking") is None
    # A guest without a name stands on no list.
    kept = leader.records("guest")[guest.id]
    assert (kept["name"], kept["group_tasting"]) == (None, leader.table)
    assert kept["removed_at"]


def test_deleted_table_comes_back_for_its_guests(leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=3)
    leader.delete("group_tasting", leader.table)
    for answer in (guest.poll(), guest.put(leader.glasses[0], liking=4)):
        assert (answer.status_code, answer.json["code"]) == (401, "guest_ended")
        assert answer.json["errors"] == {"reason": "deleted"}
    leader.change(name="Six glasses")
    assert guest.table()["sheets"] == {leader.glasses[0]: {"liking": 3}}
    assert guest.put(leader.glasses[0], liking=4).json["stored"] == ["liking"]
