"""A cookie leaked to another port of the host does not authenticate without the browser key."""

from __future__ import annotations

import pytest
from flask import Flask
from sqlalchemy import select, update

from tests.auth.conftest import KEY, WORDS, browser, signed_in_client
from tests.auth.tenant_probe import routes
from tests.auth.test_sign_in import cookie_of
from tests.conftest import AppMaker
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import safe, sign_in

OTHER_KEY = "the key of a browser somewhere else"


@pytest.mark.parametrize("key", ["", OTHER_KEY, KEY[:-1], "\u00e9" * 40])
def test_token_without_its_browser_key_is_rejected(shared_app: Flask, key: str) -> None:
    anna = signed_in_client(shared_app, "anna")
    thief = browser(shared_app, key.encode().decode("latin-1"))
    thief.set_cookie(cookie_of(anna).key, cookie_of(anna).value)
    # The metrics are off; tests/test_metrics.py checks whom they answer.
    open_to_all = {"/api/openapi.json", "/api/example", "/healthz", "/readyz", "/metrics"}
    for method, path, _ in routes(shared_app):
        if method == "get" and path not in open_to_all:
            asked = path.replace("{kind}", "bottle").replace("{id_}", "x")
            assert thief.get(asked).status_code == 401, path
    assert thief.post("/api/sync", json={"format": 1, "device": "aaaaaaaa", "cursor": 0}).json[
        "code"
    ] == ("sign_in")
    assert anna.get("/api/me").status_code == 200


def test_stolen_token_cannot_sign_out(shared_app: Flask) -> None:
    anna, thief = signed_in_client(shared_app, "anna"), browser(shared_app, OTHER_KEY)
    thief.set_cookie(cookie_of(anna).key, cookie_of(anna).value)
    assert thief.post("/api/sign-out").status_code == 200
    assert anna.get("/api/me").status_code == 200


def test_database_stores_no_browser_key(sqlite_app: Flask) -> None:
    signed_in_client(sqlite_app, "anna")
    with sqlite_app.app_context(), read_transaction() as connection:
        kept = repr([tuple(row) for row in connection.execute(select(sign_in))])
    assert KEY not in kept


def test_two_servers_on_one_host_use_distinct_cookies(make_app: AppMaker) -> None:
    names = set()
    for number in range(2):
        app = make_app()
        with app.app_context(), write_transaction() as connection:
            connection.execute(update(safe).values(epoch=f"{number}" * 32))
        body = {"current": "", "new": WORDS["anna"]}
        client = browser(app)
        assert client.post("/api/passphrase", json=body).status_code == 200
        names.add(cookie_of(client).key)
    assert len(names) == 2


@pytest.mark.parametrize("path", ["/api/sign-in", "/api/passphrase", "/api/pairings/finish"])
def test_older_client_is_asked_to_update(app: Flask, path: str) -> None:
    bodies = {
        "/api/sign-in": {"name": "anna", "passphrase": WORDS["anna"]},
        "/api/passphrase": {"current": "", "new": WORDS["anna"]},
        "/api/pairings/finish": {"claim": "x"},
    }
    answer = app.test_client().post(path, json=bodies[path])
    assert (answer.status_code, answer.json["code"]) == (426, "update")


def test_sign_in_without_a_browser_key_must_be_renewed(sqlite_app: Flask) -> None:
    """The session is not bound to the first key sent with it, which may be a thief's."""
    anna = signed_in_client(sqlite_app, "anna")
    token = cookie_of(anna).value
    with sqlite_app.app_context(), write_transaction() as connection:
        old = {"key_hash": None, "ended_at": sign_in.c.last_seen, "ended_as": "upgrade"}
        connection.execute(update(sign_in).values(old))
    new, old_client = browser(sqlite_app), sqlite_app.test_client()
    for client in (new, old_client):
        client.set_cookie("secondnose", token)
    answer = new.get("/api/me")
    assert (answer.status_code, answer.json["code"]) == (401, "upgraded")
    answer = old_client.post("/api/sync", json={})
    assert (answer.status_code, answer.json["code"]) == (426, "update")
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    assert new.post("/api/sign-in", json=body).status_code == 200
    assert new.get("/api/me").status_code == 200
