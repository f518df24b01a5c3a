"""A guest's token opens its own table and nothing else, and ends when it should."""

from __future__ import annotations

import time

import pytest
from flask import Flask
from sqlalchemy import select, update

from tests.auth.conftest import signed_in_client
from tests.auth.tenant_probe import filled_in, routes, rows_of
from tests.group_tasting.evening import Guest, Leader, moment, new_id, now_ms
from webapp.auth.authenticate import cookie_name
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import group_guest_token, group_invitation_secret

DAY_MS = 24 * 3600 * 1000


def test_token_opens_no_route_of_an_owner(table_app: Flask, leader: Leader, guest: Guest) -> None:
    walked, before = 0, rows_of(table_app, 1)
    ids = (leader.table, leader.bottles[0], leader.glasses[0], guest.id)
    with table_app.test_request_context():
        cookie = cookie_name()
    as_cookie = table_app.test_client()
    as_cookie.set_cookie(cookie, guest.token)
    for method, path, entry in routes(table_app):
        if entry.get("security") or (method == "get" and "401" not in entry["responses"]):
            continue
        for id_ in ids if "{" in path else ("",):
            for client in (guest, Guest(as_cookie, token=guest.token)):
                answer = client.ask(method.upper(), filled_in(path, id_), json={})
                walked += 1
                assert "Zephyrhill" not in answer.text, path
                is_public = "401" not in entry["responses"] or path in (
                    "/api/sign-in",
                    "/api/sign-out",
                    "/api/guests/join",
                    "/api/passkeys/sign-in",
                )
                assert is_public or answer.status_code == 401, path
    assert walked > 100
    assert rows_of(table_app, 1) == before


def test_token_opens_no_other_table(table_app: Flask, leader: Leader, guest: Guest) -> None:
    second, foreign = Leader(leader.client), Leader(signed_in_client(table_app, "bruno"))
    for other in (second, foreign):
        other.set_table([{"name": "Elsewhere"}])
        theirs = Guest(table_app.test_client()).join(secret=other.invite()["secret"])
        assert guest.put(other.glasses[0], liking=9).json["code"] == "no_such_glass"
        assert "Elsewhere" not in guest.table()
        assert theirs.table()["table"]["id"] == other.table
    # An id that is taken at one table of the leader cannot be used at another one.
    refused = Guest(guest.client, id=guest.id).try_join(secret=second.invite()["secret"])
    assert (refused.status_code, refused.json["code"]) == (409, "guest_taken")
    assert len(leader.records("sheet")) == 0


def test_cookie_with_a_token_is_ignored(table_app: Flask, leader: Leader, guest: Guest) -> None:
    bruno = signed_in_client(table_app, "bruno")
    both = Guest(bruno, token=guest.token)
    assert both.table()["table"]["id"] == leader.table
    assert both.put(leader.glasses[0], liking=3).status_code == 200
    assert [one["liking"] for one in leader.records("sheet").values()] == [3]
    # The cookie alone opens no route of guests, and the token adds nothing to the cookie.
    assert bruno.get("/api/guests/table").json["code"] == "guest_ended"
    assert both.ask("GET", "/api/me").json["owner"]["name"] == "bruno"
    other_site = both.ask("GET", "/api/guests/table", headers={"Sec-Fetch-Site": "cross-site"})
    assert other_site.json["code"] == "cross_origin"
    posted = both.ask("POST", "/api/guests/leave", headers={"Origin": "https://wine.example"})
    assert posted.json["code"] == "cross_origin"


def test_removed_guest_is_told_why(leader: Leader, guest: Guest) -> None:
    assert guest.put(leader.glasses[0], liking=3).status_code == 200
    path = f"/api/group-tastings/{leader.table}/guests/"
    assert leader.client.delete(path + new_id()).json["code"] == "no_such_guest"
    assert leader.client.delete(path + guest.id).json == {"done": True}
    for answer in (guest.poll(), guest.put(leader.glasses[0], liking=4)):
        assert (answer.status_code, answer.json["code"]) == (401, "guest_ended")
        assert answer.json["errors"] == {"reason": "removed"}
    assert leader.records("guest")[guest.id]["removed_at"]
    assert [one["liking"] for one in leader.records("sheet").values()] == [3]
    assert guest.try_join(secret=leader.invite()["secret"]).json["code"] == "guest_ended"


def test_guest_removed_by_sync_is_out(leader: Leader, guest: Guest) -> None:
    guest.poll()
    leader.put("guest", guest.id, removed_at=moment(now_ms()))
    assert guest.poll().json["errors"] == {"reason": "removed"}


@pytest.mark.parametrize("forget", [False, True])
def test_guest_who_leaves_may_take_the_answers_away(
    leader: Leader, guest: Guest, forget: bool
) -> None:
    guest.put(leader.glasses[0], words="a note", liking=2)
    guest.put(leader.glasses[0], words="another note")
    left = guest.ask("POST", "/api/guests/leave", json={"forget": forget})
    assert left.json == {"done": True}
    reason = "forgotten" if forget else "left"
    assert guest.poll().json["errors"] == {"reason": reason}
    assert len(leader.records("sheet")) == len(leader.records("guest")) == int(not forget)
    text = leader.client.get("/api/export").data if forget else b""
    assert b"note" not in text
    if forget:
        stored = [one for one in leader.all_records() if one["kind"] in ("sheet", "guest")]
        assert len(stored) == 2
        assert not {"a note", "another note", "Ada"} & {*map(str, values(stored))}


def values(records: list[dict[str, object]]) -> list[object]:
    return [value for one in records for value in dict(one["fields"]).values()]  # type: ignore[call-overload]


def test_ended_table_can_be_read_for_a_day(leader: Leader, guest: Guest) -> None:
    invitation = leader.invite()
    guest.put(leader.glasses[0], liking=3)
    noted = now_ms()
    leader.change(ended_at=moment(noted + 1))
    late = guest.put(leader.glasses[1], noted, liking=6)
    assert late.json["stored"] == ["liking"]
    after = guest.put(leader.glasses[1], noted + 5_000, acidity=6)
    assert [*after.json["closed"]] == ["acidity"]
    assert guest.table()["sheets"][leader.glasses[1]] == {"liking": 6}
    assert guest.poll().status_code == 200
    assert guest.poll().status_code == 304
    joining = Guest(guest.client)
    for answer in (joining.look(code=invitation["code"]), joining.try_join(**secret(invitation))):
        assert (answer.status_code, answer.json["code"]) == (404, "no_such_table")
    refused = leader.client.post(f"/api/group-tastings/{leader.table}/invitation")
    assert (refused.status_code, refused.json["code"]) == (409, "table_ended")
    leader.change(ended_at=moment(noted - DAY_MS - 1000))
    assert guest.poll().json["errors"] == {"reason": "ended"}


def secret(invitation: dict[str, str]) -> dict[str, str]:
    return {"secret": invitation["secret"]}


def test_unchanged_view_ends_a_day_after_the_table(
    leader: Leader, guest: Guest, monkeypatch: pytest.MonkeyPatch
) -> None:
    leader.change(ended_at=moment(now_ms()))
    guest.poll()
    assert guest.poll().status_code == 304
    later = time.time_ns() + (DAY_MS + 1000) * 1_000_000
    monkeypatch.setattr("time.time_ns", lambda: later)
    assert guest.poll().json["errors"] == {"reason": "ended"}


def test_tokens_and_secrets_are_stored_as_hashes(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    secrets = [leader.invite()["secret"], guest.token, guest.key]
    with table_app.app_context(), read_transaction() as connection:
        rows = connection.execute(select(group_guest_token)).all()
        rows += connection.execute(select(group_invitation_secret)).all()
        stored = str([*map(tuple, rows)])
    assert len(rows) == 2
    assert [one for one in secrets if one in stored] == []
    assert len(secrets[0]) == len(secrets[1]) == 43


def test_token_ends_after_a_week(table_app: Flask, guest: Guest) -> None:
    with table_app.app_context(), write_transaction() as connection:
        connection.execute(update(group_guest_token).values(until=int(time.time())))
    assert guest.poll().json["errors"] == {"reason": "ended"}
    guest.token = "no token at all"
    assert guest.poll().json["errors"] == {"reason": "unknown"}
