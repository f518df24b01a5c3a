"""Sensitive actions require the passphrase again."""

from __future__ import annotations

import time

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select, update

from tests.auth.conftest import WORDS, browser, signed_in_client
from tests.auth.test_login_throttle import Clock
from tests.auth.test_pairing import claimed, offered
from webapp.auth import passphrase
from webapp.auth.authenticate import CONFIRMED_S
from webapp.auth.request_checks import is_passphrase_required
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, sign_in

ASKED = [
    ("post", "/api/pairings"),
    ("post", "/api/pairings/00000000000000000000000000000000/allow"),
    ("delete", "/api/devices/00000000000000000000000000000000"),
    ("post", "/api/passkeys/options"),
    ("delete", "/api/passkeys/00000000000000000000000000000000"),
    ("get", "/api/export"),
]


def let_time_pass(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        long_ago = sign_in.c.confirmed_at - CONFIRMED_S
        connection.execute(update(sign_in).values(confirmed_at=long_ago))


@pytest.fixture
def anna(shared_app: Flask) -> FlaskClient:
    """Return a client that signed in too long ago for sensitive actions."""
    client = signed_in_client(shared_app, "anna")
    let_time_pass(shared_app)
    return client


def test_confirming_routes_are_the_listed_ones(shared_app: Flask) -> None:
    marked = {
        (method.lower(), rule.rule.replace("<id_>", "0" * 32))
        for rule in shared_app.url_map.iter_rules()
        for method in rule.methods - {"HEAD", "OPTIONS"}
        if is_passphrase_required(shared_app.view_functions[rule.endpoint])
    }
    assert marked == set(ASKED)


@pytest.mark.parametrize(("method", "path"), ASKED)
def test_old_sign_in_must_confirm_the_passphrase(
    shared_app: Flask, anna: FlaskClient, method: str, path: str
) -> None:
    answer = anna.open(path, method=method, json={"code": "0000"})
    assert (answer.status_code, answer.json["code"]) == (403, "confirm")
    wrong = anna.post("/api/confirm", json={"passphrase": "not the right words"})
    assert (wrong.status_code, wrong.json["code"]) == (401, "wrong")
    assert anna.open(path, method=method, json={"code": "0000"}).status_code == 403
    right = anna.post("/api/confirm", json={"passphrase": WORDS["anna"]})
    assert right.json == {"done": True}
    assert anna.open(path, method=method, json={"code": "0000"}).status_code in (200, 404)
    let_time_pass(shared_app)
    assert anna.open(path, method=method, json={"code": "0000"}).status_code == 403


def test_reading_and_syncing_need_no_confirmation(anna: FlaskClient) -> None:
    sync = {"format": 1, "device": "aaaaaaaa", "cursor": 0}
    assert anna.post("/api/sync", json=sync).status_code == 200
    for path in ("/api/me", "/api/devices", "/api/palate", "/api/news", "/api/passkeys"):
        assert anna.get(path).status_code == 200


def test_paired_phone_must_confirm_the_passphrase(shared_app: Flask) -> None:
    first, phone = signed_in_client(shared_app, "anna"), browser(shared_app)
    offer = offered(first)
    claim = claimed(phone, offer["secret"])
    first.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    assert phone.post("/api/pairings/finish", json={"claim": claim["claim"]}).status_code == 200
    assert phone.post("/api/pairings").json["code"] == "confirm"
    assert phone.get("/api/export").json["code"] == "confirm"


def test_no_confirmation_without_a_passphrase(any_app: Flask) -> None:
    here, phone = browser(any_app), browser(any_app)
    offer = offered(here)
    claim = claimed(phone, offer["secret"])
    here.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    assert phone.post("/api/pairings/finish", json={"claim": claim["claim"]}).status_code == 200
    for client in (here, phone):
        assert client.get("/api/export").status_code == 200


def test_confirmation_is_throttled_like_sign_in(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = signed_in_client(sqlite_app, "anna")
    # Skip hashing, which may take longer than the first delay.
    monkeypatch.setattr(passphrase, "verify", lambda given, kept: False)
    monkeypatch.setattr(time, "time", Clock(int(time.time())).time)
    answers = [
        client.post("/api/confirm", json={"passphrase": "wrong"}).status_code for _ in range(7)
    ]
    assert answers == [401] * 5 + [429] * 2
    assert client.get("/api/me").status_code == 200


def test_thief_of_a_phone_blocks_no_other_device(
    shared_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The thief has used another address, and goes on trying for a day."""
    clock = Clock(int(time.time()))
    monkeypatch.setattr(time, "time", clock.time)
    home, stolen = (signed_in_client(shared_app, "anna") for _ in range(2))
    right = {"passphrase": WORDS["anna"]}
    with monkeypatch.context() as hashing:
        hashing.setattr(passphrase, "verify", lambda given, kept: False)
        stolen.environ_base["REMOTE_ADDR"] = "203.0.113.66"
        for _ in range(96):
            clock.now_s += 900
            stolen.get("/api/me")
            stolen.post("/api/confirm", json={"passphrase": "wrong"})
    assert stolen.post("/api/confirm", json=right).status_code == 429
    assert home.post("/api/confirm", json=right).status_code == 200
    for one in home.get("/api/devices").json["devices"]:
        if not one["current"]:
            assert home.delete(f"/api/devices/{one['id']}").status_code == 200
    assert stolen.get("/api/me").status_code == 401
    signed_in_client(shared_app, "anna")


def test_sign_in_names_ignore_the_case_of_letters(shared_app: Flask) -> None:
    with shared_app.app_context(), write_transaction() as connection:
        connection.execute(
            update(owner)
            .where(owner.c.name == "bruno")
            .values(name="Zoë Straße", folded_name="zoë strasse")
        )
    for name in ("Anna", "ANNA", " aNNa "):
        body = {"name": name, "passphrase": WORDS["anna"]}
        assert browser(shared_app).post("/api/sign-in", json=body).json["owner"]["name"] == "anna"
    body = {"name": "ZOË STRASSE", "passphrase": WORDS["bruno"]}
    assert browser(shared_app).post("/api/sign-in", json=body).status_code == 200
    with shared_app.app_context(), read_transaction() as connection:
        assert len(connection.scalars(select(owner.c.id)).all()) == 2
