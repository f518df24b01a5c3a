"""Signing in with a passkey: verification, challenges and throttling."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select, update

from tests.auth.conftest import KEY, WORDS, add_owners, browser, signed_in_client
from tests.auth.passkey_steps import (
    added,
    options,
    passkeys,
    sign_in_options,
    signed_in_by,
    try_to_add,
    try_to_sign_in,
)
from tests.auth.soft_authenticator import PRESENT, VERIFIED, SoftAuthenticator
from tests.auth.test_login_throttle import Clock
from tests.conftest import AppMaker
from webapp.auth import sessions
from webapp.auth.errors import AccessError
from webapp.auth.passkey_challenges import MAX_OPEN, VALID_FOR_S
from webapp.auth.passkey_login import finish_adding, relying_party
from webapp.auth.passkeys import record_use
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import passkey, passkey_challenge

OTHER_KEY = "the key of another browser, in these tests"
FAULTS: dict[str, Callable[[SoftAuthenticator], None]] = {
    "host": lambda one: setattr(one, "host", "wine.example"),
    "origin": lambda one: setattr(one, "origin", "https://wine.example"),
    "plain http": lambda one: setattr(one, "origin", "http://wine.example"),
    "not verified": lambda one: setattr(one, "flags", PRESENT),
    "not present": lambda one: setattr(one, "flags", VERIFIED),
    "key": lambda one: setattr(one, "key", ec.generate_private_key(ec.SECP256R1())),
    "user handle": lambda one: setattr(one, "handle", "AAAA"),
}


@pytest.fixture
def anna(shared_app: Flask) -> FlaskClient:
    return signed_in_client(shared_app, "anna")


@pytest.mark.parametrize("fault", FAULTS)
def test_forged_assertion_is_refused(shared_app: Flask, anna: FlaskClient, fault: str) -> None:
    authenticator = added(anna)
    FAULTS[fault](authenticator)
    answer = try_to_sign_in(browser(shared_app), authenticator)
    assert (answer.status_code, answer.json["code"]) == (401, "passkey_refused")
    assert "Set-Cookie" not in answer.headers


def test_passkey_of_another_owner_opens_their_notebook(
    shared_app: Flask, anna: FlaskClient
) -> None:
    bruno = signed_in_client(shared_app, "bruno")
    mine, theirs = added(anna), added(bruno)
    assert try_to_sign_in(anna, theirs).json["owner"]["name"] == "bruno"
    # A user handle that does not match the key is rejected.
    mine.handle = theirs.handle
    assert try_to_sign_in(browser(shared_app), mine).json["code"] == "passkey_refused"


def test_sign_counter_must_grow(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna)
    for _ in range(2):
        signed_in_by(shared_app, authenticator)
    authenticator.count = 1
    answer = try_to_sign_in(browser(shared_app), authenticator)
    assert (answer.status_code, answer.json["code"]) == (401, "passkey_refused")
    signed_in_by(shared_app, authenticator)


def test_authenticator_without_a_counter_signs_in(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna, step=0)
    for _ in range(2):
        signed_in_by(shared_app, authenticator)


def test_counter_used_by_another_request_is_refused(sqlite_app: Flask) -> None:
    added(signed_in_client(sqlite_app, "anna"))
    with sqlite_app.app_context(), write_transaction() as connection:
        row = connection.execute(select(passkey)).one()
        record_use(connection, row, 5, 1)
        with pytest.raises(AccessError, match="removed"):
            record_use(connection, row, 5, 1)


def test_challenge_works_once(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna)
    client = browser(shared_app)
    shown = authenticator.get(sign_in_options(client))
    assert client.post("/api/passkeys/sign-in", json=shown).status_code == 200
    again = client.post("/api/passkeys/sign-in", json=shown)
    assert (again.status_code, again.json["code"]) == (410, "passkey_expired")
    made = SoftAuthenticator().create(options(anna))
    assert anna.post("/api/passkeys", json=made).status_code == 200
    assert anna.post("/api/passkeys", json=made).json["code"] == "passkey_expired"


def test_refused_answer_uses_the_challenge_up(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna)
    client = browser(shared_app)
    result = sign_in_options(client)
    wrong = {**authenticator.get(result), "signature": "AAAA"}
    assert client.post("/api/passkeys/sign-in", json=wrong).json["code"] == "passkey_refused"
    late = client.post("/api/passkeys/sign-in", json=authenticator.get(result))
    assert late.json["code"] == "passkey_expired"


def test_challenge_expires(
    shared_app: Flask, anna: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock(int(time.time()))
    monkeypatch.setattr(time, "time", clock.time)
    authenticator, client = added(anna), browser(shared_app)
    for waited, status in ((VALID_FOR_S - 1, 200), (VALID_FOR_S, 410)):
        result = sign_in_options(client)
        clock.now_s += waited
        shown = authenticator.get(result)
        assert client.post("/api/passkeys/sign-in", json=shown).status_code == status


def test_challenge_is_bound_to_browser_and_session(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna)
    result = sign_in_options(browser(shared_app))
    other = browser(shared_app, OTHER_KEY)
    shown = authenticator.get(result)
    assert other.post("/api/passkeys/sign-in", json=shown).json["code"] == "passkey_expired"
    made = SoftAuthenticator().create(options(anna))
    for client in (signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "bruno")):
        assert client.post("/api/passkeys", json=made).json["code"] == "passkey_expired"
    # A sign-in challenge cannot register a passkey, nor a registration challenge sign in.
    crossed = SoftAuthenticator().create(
        {"public_key": {**result["public_key"], "user": {"id": ""}}}
    )
    assert anna.post("/api/passkeys", json=crossed).json["code"] == "passkey_expired"
    shown = authenticator.get(options(anna))
    assert browser(shared_app).post("/api/passkeys/sign-in", json=shown).json["code"] == (
        "passkey_expired"
    )


def test_session_ended_meanwhile_adds_no_passkey(shared_app: Flask, anna: FlaskClient) -> None:
    body = {"current": WORDS["anna"], "new": "nine loud copper kettles"}
    thief = signed_in_client(shared_app, "anna")
    made = SoftAuthenticator().create(options(thief))
    assert anna.post("/api/passphrase", json=body).status_code == 200
    assert thief.post("/api/passkeys", json=made).json["code"] == "passphrase_changed"
    assert passkeys(anna) == []


def test_session_ended_during_the_request_adds_none(sqlite_app: Flask) -> None:
    thief = signed_in_client(sqlite_app, "anna")
    made = SoftAuthenticator().create(options(thief))
    (device,) = thief.get("/api/devices").json["devices"]
    now_s = int(time.time())
    # The owner ends the session after the request checks have accepted it.
    with sqlite_app.app_context():
        with write_transaction() as connection:
            sessions.end(connection, 1, device["id"], "revoked", now_s)
        with pytest.raises(AccessError, match="Sign in first"):
            finish_adding(
                1, device["id"], made, relying_party("localhost"), Browser("", "", KEY), now_s
            )


def test_challenges_are_stored_as_hashes_and_bounded(sqlite_app: Flask) -> None:
    client = browser(sqlite_app)
    items = [sign_in_options(client)["public_key"]["challenge"] for _ in range(MAX_OPEN + 5)]
    away = client.post(
        "/api/passkeys/sign-in/options", environ_overrides={"REMOTE_ADDR": "192.0.2.9"}
    )
    assert away.status_code == 200
    with sqlite_app.app_context(), read_transaction() as connection:
        kept = connection.execute(select(passkey_challenge)).all()
    assert len(kept) == MAX_OPEN + 1
    assert not any(one in repr(kept) for one in items)


def test_old_challenges_are_deleted(sqlite_app: Flask) -> None:
    client = browser(sqlite_app)
    sign_in_options(client)
    with sqlite_app.app_context(), write_transaction() as connection:
        connection.execute(update(passkey_challenge).values(until=1, address="192.0.2.9"))
    sign_in_options(client)
    with sqlite_app.app_context(), read_transaction() as connection:
        count = select(func.count()).select_from(passkey_challenge)
        assert connection.scalar(count) == 1


def test_passkey_tries_are_throttled_by_address(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(time, "time", Clock(int(time.time())).time)
    anna = signed_in_client(sqlite_app, "anna")
    right, wrong, client = added(anna), SoftAuthenticator(), browser(sqlite_app)
    wrong.handle = "AAAA"
    items = [sign_in_options(client) for _ in range(22)]
    answers = [client.post("/api/passkeys/sign-in", json=wrong.get(one)) for one in items[:21]]
    assert [one.status_code for one in answers] == [401] * 20 + [429]
    assert int(answers[-1].headers["Retry-After"]) > 0
    late = client.post("/api/passkeys/sign-in", json=right.get(items[21]))
    assert late.status_code == 429
    assert client.post("/api/passkeys/sign-in/options").status_code == 429
    guess = {"name": "anna", "passphrase": WORDS["anna"]}
    assert client.post("/api/sign-in", json=guess).status_code == 429
    away = {"REMOTE_ADDR": "192.0.2.9"}
    assert client.post("/api/passkeys/sign-in/options", environ_overrides=away).status_code == 200


def test_passkey_sign_in_resets_the_throttle(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    right, wrong = added(anna), SoftAuthenticator(handle="AAAA")
    for _ in range(2):
        for _ in range(15):
            assert try_to_sign_in(browser(sqlite_app), wrong).status_code == 401
        signed_in_by(sqlite_app, right)


def test_passkey_sign_in_needs_a_browser_key(sqlite_app: Flask) -> None:
    for path in ("/api/passkeys/sign-in/options", "/api/passkeys/sign-in"):
        body: dict[str, Any] = SoftAuthenticator(handle="AAAA").get(
            {"public_key": {"challenge": "AAAA"}}
        )
        answer = browser(sqlite_app, "short").post(path, json=body)
        assert (answer.status_code, answer.json["code"]) == (426, "update")


@pytest.mark.parametrize(
    ("host", "id_", "origins"),
    [
        ("localhost:8000", "localhost", ["https://localhost:8000", "http://localhost:8000"]),
        ("wine.example", "wine.example", ["https://wine.example"]),
        ("Wine.example:8443", "wine.example", ["https://Wine.example:8443"]),
    ],
)
def test_passkeys_work_over_https_and_on_localhost(host: str, id_: str, origins: list[str]) -> None:
    party = relying_party(host)
    assert (party.id, party.origins) == (id_, origins)


# A proxy that terminates TLS may not send X-Forwarded-Proto.
@pytest.mark.parametrize("scheme", ["https", "http"])
def test_passkey_of_the_https_name_signs_in(
    make_app: AppMaker, monkeypatch: pytest.MonkeyPatch, scheme: str
) -> None:
    app = make_app(ADDRESS="https://wine.example")
    add_owners(app)
    client = browser(app)
    there = partial(client.open, base_url=f"{scheme}://wine.example")
    monkeypatch.setattr(client, "open", there)
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    assert client.post("/api/sign-in", json=body).status_code == 200
    authenticator = SoftAuthenticator(host="wine.example", origin="https://wine.example")
    assert try_to_add(client, authenticator).json["host"] == "wine.example"
    assert try_to_sign_in(client, authenticator).status_code == 200
