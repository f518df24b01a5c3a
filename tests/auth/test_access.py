"""Which requests count as local, what other sites may request, and the cookie attributes."""

from __future__ import annotations

import re
import time
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select, update

from tests.auth.conftest import KEY, WORDS, browser, signed_in_client
from tests.conftest import AppMaker
from webapp.auth import owners, passphrase, sessions
from webapp.auth.errors import AccessError, NameTaken, NotebookHidden
from webapp.auth.names import normalize_name
from webapp.auth.request_checks import host_name, is_public, public
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, sign_in

SYNC = {"format": 1, "device": "aaaaaaaa", "cursor": 0}
ELSEWHERE = {"Sec-Fetch-Site": "cross-site"}


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:80", "127.0.0.1", "[::1]:80", "[::1]"])
@pytest.mark.parametrize("address", ["127.0.0.1", "127.9.9.9", "::1"])
def test_local_requests_need_no_sign_in(client: FlaskClient, host: str, address: str) -> None:
    asked = {"REMOTE_ADDR": address, "HTTP_HOST": host}
    assert client.get("/api/me", environ_overrides=asked).status_code == 200


@pytest.mark.parametrize("address", ["", "unix", "192.0.2.1", "::2"])
def test_remote_address_needs_a_sign_in(client: FlaskClient, address: str) -> None:
    answer = client.get("/api/me", environ_overrides={"REMOTE_ADDR": address})
    assert (answer.status_code, answer.json["code"]) == (401, "sign_in")


def test_closed_server_asks_local_requests_to_sign_in(make_app: AppMaker) -> None:
    assert make_app(OPEN_AT_HOME=False).test_client().get("/api/me").status_code == 401


@pytest.mark.parametrize(
    "header",
    ["Forwarded", "Via", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip"],
)
def test_any_proxy_header_requires_a_sign_in(client: FlaskClient, header: str) -> None:
    assert client.get("/api/me", headers={header: "localhost"}).status_code == 401


@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_other_sites_may_link_but_not_read(client: FlaskClient, method: str) -> None:
    foreign = {**ELSEWHERE, "Origin": "http://wine.example"}
    assert client.open("/", method=method, headers=foreign).status_code == 200
    answer = client.open("/api/me", method=method, headers=foreign)
    assert answer.status_code == 403
    assert client.open("/api/me", method=method).status_code == 200


def test_options_request_is_answered(client: FlaskClient) -> None:
    foreign = {"Origin": "http://wine.example"}
    assert client.open("/api/me", method="OPTIONS", headers=foreign).status_code == 200


@pytest.mark.parametrize("origin", ["ftp://localhost", "app://localhost", "//localhost"])
def test_request_from_an_unknown_scheme_is_rejected(client: FlaskClient, origin: str) -> None:
    answer = client.post("/api/sync", json=SYNC, headers={"Origin": origin})
    assert (answer.status_code, answer.json["code"]) == (403, "cross_origin")


@pytest.mark.parametrize("origin", ["http://localhost", "https://localhost"])
def test_request_from_the_own_origin_is_accepted(client: FlaskClient, origin: str) -> None:
    assert client.post("/api/sync", json=SYNC, headers={"Origin": origin}).status_code == 200


def test_host_names_are_compared_case_insensitively(make_app: AppMaker) -> None:
    client = make_app(HOSTS="Wine.Example").test_client()
    assert client.get("/healthz", headers={"Host": "WINE.example:80"}).status_code == 200
    assert host_name("[FE80::1]:80") == "[FE80::1]"


def test_client_files_have_no_owner(sqlite_app: Flask) -> None:
    stranger = sqlite_app.test_client()
    assert stranger.get("/").status_code == 200
    assert stranger.get("/api/nowhere").status_code == 401


def test_view_is_public_only_when_declared() -> None:
    assert not is_public(None)
    assert not is_public(lambda: None)
    assert is_public(public(lambda: None))


def test_session_cookie_lasts_400_days(sqlite_app: Flask) -> None:
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    answer = browser(sqlite_app).post("/api/sign-in", json=body)
    assert "Max-Age=34560000" in answer.headers["Set-Cookie"].split("; ")


@pytest.mark.parametrize(("base", "name"), [("http", "secondnose"), ("https", "__Host-secondnose")])
def test_sign_out_clears_the_cookie_with_the_same_attributes(
    sqlite_app: Flask, base: str, name: str
) -> None:
    client = browser(sqlite_app)
    given = client.post(
        "/api/sign-in",
        json={"name": "anna", "passphrase": WORDS["anna"]},
        base_url=f"{base}://localhost",
    ).headers["Set-Cookie"]
    taken = client.post("/api/sign-out", base_url=f"{base}://localhost").headers["Set-Cookie"]
    given_name = given.partition("=")[0]
    assert re.fullmatch(rf"{name}-[0-9a-f]{{8}}", given_name)
    assert taken.startswith(f"{given_name}=;")
    marks = {"HttpOnly", "SameSite=Strict", "Path=/"} | ({"Secure"} if base == "https" else set())
    assert marks <= set(given.split("; "))
    assert marks <= set(taken.split("; "))
    assert "Max-Age=0" in taken


@pytest.mark.parametrize(("ago_s", "noted"), [(3599, False), (3600, True)])
def test_device_last_seen_is_updated_once_an_hour(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch, ago_s: int, noted: bool
) -> None:
    client = signed_in_client(sqlite_app, "anna")
    now_s = int(time.time())
    monkeypatch.setattr("webapp.auth.request_checks.time.time", lambda: now_s)
    with sqlite_app.app_context():
        with write_transaction() as connection:
            connection.execute(update(sign_in).values(last_seen=now_s - ago_s, address="was"))
        client.get("/api/me")
        with read_transaction() as connection:
            row = connection.execute(select(sign_in)).one()
    # The address stays that of the passphrase.
    assert (row.last_seen, row.address) == (now_s if noted else now_s - ago_s, "was")


def test_device_stores_its_first_and_later_sync_ids(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    for device in ("aaaaaaaa", "bbbbbbbb"):
        assert client.post("/api/sync", json={**SYNC, "device": device}).status_code == 200
        with sqlite_app.app_context(), read_transaction() as connection:
            assert connection.scalar(select(sign_in.c.device)) == device


def test_devices_are_listed_latest_first(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        for name, seen in (("old", 1000), ("new", 3000), ("middle", 2000)):
            sessions.start(connection, 1, Browser(name, "", KEY), seen)
        listed = sessions.devices_of(connection, 1, 3000)
    assert [one["name"] for one in listed] == ["new", "middle", "old"]
    assert [*listed[0]] == ["id", "name", "made_at", "last_seen", "last_synced"]


def test_device_is_signed_out_once_and_by_its_owner(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        ids = []
        for _ in range(2):
            sessions.start(connection, 1, Browser("a phone", "", KEY), 1000)
        ids = [one["id"] for one in sessions.devices_of(connection, 1, 1000)]
        assert sessions.end(connection, 2, ids[0], "revoked", 1000) is False
        assert sessions.end(connection, 1, ids[0], "revoked", 1000) is True
        assert sessions.end(connection, 1, ids[0], "revoked", 1000) is False
        assert sessions.end_all(connection, 1, "passphrase", 1000) == 1
        assert sessions.end_all(connection, 1, "passphrase", 1000) == 0


def add(app: Flask, name: str) -> int:
    with app.app_context(), write_transaction() as connection:
        return owners.add_owner(connection, name, "four dry autumn barrels")


def rows(app: Flask) -> list[dict[str, Any]]:
    with app.app_context(), read_transaction() as connection:
        return [dict(row) for row in connection.execute(select(owner).order_by("id")).mappings()]


def test_used_notebook_without_a_passphrase_is_not_replaced(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        connection.execute(update(owner).values(seq=1))
    with pytest.raises(NotebookHidden):
        add(app, "anna")
    assert [one["name"] for one in rows(app)] == ["me"]


@pytest.mark.parametrize("seq", [0, 1])
def test_notebook_with_a_passphrase_keeps_its_owner(app: Flask, seq: int) -> None:
    with app.app_context(), write_transaction() as connection:
        connection.execute(update(owner).values(seq=seq, passphrase="$argon2id$set"))
    assert add(app, "anna") == 2
    found = rows(app)
    assert [one["name"] for one in found] == ["me", "anna"]
    assert (found[1]["seq"], found[1]["max_clock_ms"]) == (0, 0)


def test_unused_notebook_takes_the_first_name_only(app: Flask) -> None:
    assert [add(app, "anna"), add(app, "bruno")] == [1, 2]
    assert [one["name"] for one in rows(app)] == ["anna", "bruno"]


@pytest.mark.parametrize("name", ["ANNA", " anna ", "", "\u0000"])
def test_duplicate_or_empty_owner_name_is_rejected(sqlite_app: Flask, name: str) -> None:
    with pytest.raises(NameTaken):
        add(sqlite_app, name)
    with pytest.raises(NameTaken), sqlite_app.app_context(), write_transaction() as connection:
        owners.rename_owner(connection, 2, name)


def test_renaming_an_owner_keeps_the_notebook(sqlite_app: Flask) -> None:
    before = rows(sqlite_app)
    with sqlite_app.app_context(), write_transaction() as connection:
        owners.rename_owner(connection, 2, "  Carla  ")
    after = rows(sqlite_app)
    assert after == [before[0], {**before[1], "name": "Carla", "folded_name": "carla"}]


def test_any_passphrase_set_is_detected(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        assert owners.has_passphrase(connection) is False
        owners.set_passphrase(connection, 1, "four dry autumn barrels")
        assert owners.has_passphrase(connection) is True


def test_owners_are_listed_with_their_last_sequence(sqlite_app: Flask) -> None:
    with sqlite_app.app_context():
        with write_transaction() as connection:
            connection.execute(update(owner).where(owner.c.id == 2).values(seq=7))
        assert owners.owners() == [(1, "anna", 0), (2, "bruno", 7)]


def test_reading_without_an_owner_fails(app: Flask) -> None:
    with app.app_context():
        with pytest.raises(AccessError) as refused:
            owners.current_owner()
        assert refused.value.code == "sign_in"
        owners.set_current_owner(7)
        assert owners.current_owner() == 7


def test_device_name_is_trimmed_to_40_characters() -> None:
    assert normalize_name("x" * 41) == "x" * 40
    assert normalize_name("x" * 39 + " y") == "x" * 39
    assert normalize_name("e\u0301\u2028b\u0007c") == "\u00e9 b c"


def test_outdated_hash_is_renewed_at_sign_in(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = rows(sqlite_app)[0]["passphrase"]
    signed_in_client(sqlite_app, "anna")
    assert rows(sqlite_app)[0]["passphrase"] == before
    monkeypatch.setattr(passphrase, "needs_rehash", lambda kept: True)
    signed_in_client(sqlite_app, "anna")
    assert rows(sqlite_app)[0]["passphrase"] != before
    signed_in_client(sqlite_app, "anna")
