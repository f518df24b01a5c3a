"""Signing in and out, and which requests require a session."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select, update
from werkzeug.test import Cookie

from tests.auth.conftest import WORDS, browser, signed_in_client
from tests.conftest import AppMaker
from webapp.auth import passphrase, sessions
from webapp.auth.owners import add_owner, set_passphrase
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, sign_in

COOKIE = "secondnose-[0-9a-f]{8}"
SYNC = {"format": 1, "device": "aaaaaaaa", "cursor": 0}


def cookie_of(client: FlaskClient) -> Cookie | None:
    """Return the session cookie."""
    found = [one for one in client._cookies.values() if re.fullmatch(COOKIE, one.key)]
    return found[0] if found else None


def test_single_owner_needs_no_local_sign_in(client: FlaskClient) -> None:
    me = client.get("/api/me").json
    assert me["owner"]["name"] == "me"
    assert me["device"] is None
    assert client.post("/api/sync", json=SYNC).status_code == 200


@pytest.mark.parametrize(
    "header", ["X-Forwarded-For", "Forwarded", "Via", "X-Real-IP", "X-Forwarded-Proto"]
)
def test_proxied_request_is_not_local(client: FlaskClient, header: str) -> None:
    assert client.get("/api/me", headers={header: "127.0.0.1"}).status_code == 401


def test_http_1_0_request_is_treated_as_proxied(client: FlaskClient) -> None:
    old = {"SERVER_PROTOCOL": "HTTP/1.0", "HTTP_HOST": "127.0.0.1:8000"}
    assert client.get("/api/export", environ_overrides=old).status_code == 401


@pytest.mark.parametrize("values", [{"PROXIES": 1}, {"ADDRESS": "https://wine.example"}])
def test_public_server_asks_local_requests_to_sign_in(
    make_app: AppMaker, values: dict[str, Any]
) -> None:
    assert make_app(**values).test_client().get("/api/me").status_code == 401


def test_remote_client_is_asked_to_sign_in(make_app: AppMaker) -> None:
    client = make_app(HOSTS="localhost 192.0.2.7").test_client()
    away = {"REMOTE_ADDR": "192.0.2.9"}
    assert client.get("/api/me", environ_overrides=away).status_code == 401
    assert client.get("/api/me", headers={"Host": "192.0.2.7"}).status_code == 401


def test_local_client_must_sign_in_with_a_passphrase(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        add_owner(connection, "anna", WORDS["anna"])
    answer = app.test_client().get("/api/palate")
    assert (answer.status_code, answer.json["code"]) == (401, "sign_in")


def test_signed_in_browser_reads_its_own_notebook(shared_app: Flask) -> None:
    client = signed_in_client(shared_app, "anna")
    assert client.get("/api/me").json["owner"]["name"] == "anna"
    assert client.post("/api/sync", json=SYNC).status_code == 200


@pytest.mark.parametrize(
    "body",
    [
        {"name": "anna", "passphrase": "seven wet stone steps"},
        {"name": "anna", "passphrase": ""},
        {"name": "anna", "passphrase": "x" * 400},
        {"name": "nobody", "passphrase": WORDS["anna"]},
        {"name": "", "passphrase": WORDS["anna"]},
    ],
)
def test_wrong_name_and_wrong_passphrase_answer_alike(
    sqlite_app: Flask, body: dict[str, str]
) -> None:
    answer = browser(sqlite_app).post("/api/sign-in", json=body)
    assert (answer.status_code, answer.json["code"]) == (401, "wrong")
    assert answer.json["detail"] == "No owner here has this name and this passphrase."
    assert "Set-Cookie" not in answer.headers


def test_session_cookie_is_http_only_and_same_site(sqlite_app: Flask) -> None:
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    plain = browser(sqlite_app).post("/api/sign-in", json=body)
    cookie = plain.headers["Set-Cookie"]
    assert re.match(r"secondnose-[0-9a-f]{8}=", cookie)
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert "Secure" not in cookie.split("; ")
    secure = browser(sqlite_app).post("/api/sign-in", json=body, base_url="https://localhost")
    cookie = secure.headers["Set-Cookie"]
    assert re.match(r"__Host-secondnose-[0-9a-f]{8}=", cookie)
    assert {"HttpOnly", "SameSite=Strict", "Path=/", "Secure"} <= set(cookie.split("; "))
    assert "Domain" not in cookie


def test_trusted_proxy_can_declare_https(make_app: AppMaker) -> None:
    app = make_app(PROXIES=1)
    with app.app_context(), write_transaction() as connection:
        add_owner(connection, "anna", WORDS["anna"])
    answer = browser(app).post(
        "/api/sign-in",
        json={"name": "anna", "passphrase": WORDS["anna"]},
        headers={
            "X-Forwarded-Proto": "https",
            "X-Forwarded-For": "192.0.2.1",
            "Origin": "https://localhost",
        },
    )
    assert answer.headers["Set-Cookie"].startswith("__Host-secondnose-")
    with app.app_context(), read_transaction() as connection:
        assert connection.scalars(select(sign_in.c.address)).all() == ["192.0.2.1"]


@pytest.mark.usefixtures("full_hashing")
def test_database_holds_no_usable_credential(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    token = cookie_of(client).value
    with sqlite_app.app_context(), read_transaction() as connection:
        rows = [*connection.execute(select(sign_in)), *connection.execute(select(owner))]
    kept = repr([tuple(row) for row in rows])
    assert token not in kept
    assert WORDS["anna"] not in kept
    assert kept.count("$argon2id$v=19$m=65536,t=3,p=4$") == 2


def test_sign_out_ends_this_device_only(sqlite_app: Flask) -> None:
    here, there = signed_in_client(sqlite_app, "anna"), signed_in_client(sqlite_app, "anna")
    token = cookie_of(here).value
    assert here.post("/api/sign-out").json == {"done": True}
    assert cookie_of(here) is None
    here.set_cookie(cookie_of(there).key, token)
    assert here.get("/api/me").json["code"] == "sign_in"
    assert there.get("/api/me").status_code == 200


def test_sign_out_for_another_owner_is_refused(sqlite_app: Flask) -> None:
    anna, bruno = (signed_in_client(sqlite_app, name) for name in ("anna", "bruno"))
    uid = bruno.get("/api/me").json["owner"]["uid"]
    answer = anna.post("/api/sign-out", headers={"Second-Nose-Owner": uid})
    assert (answer.status_code, answer.json["code"]) == (409, "other_owner")
    assert anna.get("/api/me").status_code == 200
    own = anna.get("/api/me").json["owner"]["uid"]
    assert anna.post("/api/sign-out", headers={"Second-Nose-Owner": own}).status_code == 200
    assert anna.get("/api/me").status_code == 401
    assert anna.post("/api/sign-out", headers={"Second-Nose-Owner": own}).status_code == 200


def test_signing_in_again_ends_the_previous_session(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    token = cookie_of(client).value
    body = {"name": "bruno", "passphrase": WORDS["bruno"]}
    assert client.post("/api/sign-in", json=body).json["owner"]["name"] == "bruno"
    assert cookie_of(client).value != token
    client.set_cookie(cookie_of(client).key, token)
    assert client.get("/api/me").status_code == 401


def test_session_expires_after_half_a_year(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    with sqlite_app.app_context(), write_transaction() as connection:
        last = connection.scalar(select(sign_in.c.last_seen))
        connection.execute(update(sign_in).values(last_seen=last - sessions.VALID_FOR_S))
    assert client.get("/api/me").json["code"] == "sign_in"


@pytest.mark.parametrize("token", ["", "x", "\u00e9" * 9, "a" * 3000, "%00", '";'])
def test_invented_token_is_rejected(sqlite_app: Flask, token: str) -> None:
    client = browser(sqlite_app)
    client.set_cookie(cookie_of(signed_in_client(sqlite_app, "anna")).key, token)
    assert client.get("/api/palate").status_code == 401


def test_owner_data_never_reaches_another_owner(sqlite_app: Flask) -> None:
    anna, bruno = signed_in_client(sqlite_app, "anna"), signed_in_client(sqlite_app, "bruno")
    meant = {"Second-Nose-Owner": anna.get("/api/me").json["owner"]["uid"]}
    assert anna.post("/api/sync", json=SYNC, headers=meant).status_code == 200
    answer = bruno.post("/api/sync", json=SYNC, headers=meant)
    assert (answer.status_code, answer.json["code"]) == (409, "other_owner")
    assert answer.json["errors"]["owner"] == bruno.get("/api/me").json["owner"]


def test_rebuilt_server_recognizes_its_owner(make_app: AppMaker) -> None:
    items: list[Any] = []
    for _ in range(2):
        app = make_app()
        with app.app_context(), write_transaction() as connection:
            add_owner(connection, "anna", WORDS["anna"])
        items.append(signed_in_client(app, "anna").get("/api/me").json["owner"])
    assert items[0] == items[1]


def test_passphrase_change_signs_out_other_devices(shared_app: Flask) -> None:
    here, there = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "anna")
    body = {"current": WORDS["anna"], "new": "nine loud copper kettles"}
    assert here.post("/api/passphrase", json=body).json["owner"]["name"] == "anna"
    assert here.get("/api/me").status_code == 200
    assert [one["name"] for one in here.get("/api/devices").json["devices"]] == ["anna's phone"]
    assert there.get("/api/me").status_code == 401
    old = {"name": "anna", "passphrase": WORDS["anna"]}
    assert there.post("/api/sign-in", json=old).status_code == 401
    new = {"name": "anna", "passphrase": body["new"]}
    assert there.post("/api/sign-in", json=new).status_code == 200


@pytest.mark.parametrize(
    ("current", "new", "status", "code"),
    [
        ("not it", "nine loud copper kettles", 401, "wrong"),
        ("", "nine loud copper kettles", 401, "wrong"),
        (WORDS["anna"], "short", 422, "weak_passphrase"),
        (WORDS["anna"], "annaannaannaanna", 422, "weak_passphrase"),
    ],
)
def test_passphrase_change_needs_the_old_and_a_strong_new(
    sqlite_app: Flask, current: str, new: str, status: int, code: str
) -> None:
    here, there = signed_in_client(sqlite_app, "anna"), signed_in_client(sqlite_app, "anna")
    answer = here.post("/api/passphrase", json={"current": current, "new": new})
    assert (answer.status_code, answer.json["code"]) == (status, code)
    assert there.get("/api/me").status_code == 200


def test_concurrent_passphrase_change_rejects_both_requests(
    shared_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = signed_in_client(shared_app, "anna")
    fits = passphrase.verify

    def fits_slowly(given: str, kept: str | None) -> bool:
        with shared_app.app_context(), write_transaction() as connection:
            set_passphrase(connection, 1, "nine loud copper kettles")
        return fits(given, kept)

    monkeypatch.setattr(passphrase, "verify", fits_slowly)
    body = {"current": WORDS["anna"], "new": "six late paper moons"}
    assert here.post("/api/passphrase", json=body).json["code"] == "wrong"
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    assert browser(shared_app).post("/api/sign-in", json=body).json["code"] == "wrong"


def test_weak_new_passphrases_do_not_count_as_attempts(sqlite_app: Flask) -> None:
    here = signed_in_client(sqlite_app, "anna")
    weak = {"current": WORDS["anna"], "new": "short"}
    assert {here.post("/api/passphrase", json=weak).status_code for _ in range(12)} == {422}
    wrong = {"current": "not it", "new": "nine loud copper kettles"}
    answers = [here.post("/api/passphrase", json=wrong).status_code for _ in range(7)]
    assert answers == [401] * 5 + [429] * 2
    assert here.get("/api/me").status_code == 200


def test_first_passphrase_is_set_on_the_local_machine(app: Flask) -> None:
    client = browser(app)
    body = {"current": "", "new": "nine loud copper kettles"}
    assert client.post("/api/passphrase", json=body).status_code == 200
    assert client.get("/api/me").json["device"] is not None
    stranger = client.application.test_client()
    assert stranger.get("/api/me").status_code == 401


def test_hsts_is_sent_after_an_https_sign_in(client: FlaskClient) -> None:
    secure = client.get("/", base_url="https://localhost")
    assert secure.headers["Strict-Transport-Security"].startswith("max-age=")
    assert "Strict-Transport-Security" not in client.get("/").headers
