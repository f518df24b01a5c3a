"""A pairing offer ends when its owner's sessions end or the passphrase changes."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select, update

from tests.auth.conftest import WORDS, browser, signed_in_client
from tests.auth.test_pairing import claimed, offered
from webapp.auth import sessions
from webapp.auth.owners import set_passphrase
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import pairing, sign_in

NEW = "nine loud copper kettles"
End = Callable[[Flask, FlaskClient, FlaskClient], None]


def sign_out(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    assert thief.post("/api/sign-out").status_code == 200


def sign_another_out(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    assert owner.post("/api/sign-out").status_code == 200


def sign_in_again(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    body = {"name": "bruno", "passphrase": WORDS["bruno"]}
    assert thief.post("/api/sign-in", json=body).status_code == 200


def revoke(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    (id_,) = [one["id"] for one in owner.get("/api/devices").json["devices"] if not one["current"]]
    assert owner.delete(f"/api/devices/{id_}").status_code == 200


def owner_sets_passphrase(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    body = {"current": WORDS["anna"], "new": NEW}
    assert owner.post("/api/passphrase", json=body).status_code == 200


def operator_sets_passphrase(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    """Do what `secondnose user passphrase --keep-devices` does."""
    with shared_app.app_context(), write_transaction() as connection:
        set_passphrase(connection, 1, NEW)


def operator_ends_all(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    with shared_app.app_context(), write_transaction() as connection:
        sessions.end_all(connection, 1, "passphrase", int(time.time()))


def expire(shared_app: Flask, thief: FlaskClient, owner: FlaskClient) -> None:
    with shared_app.app_context(), write_transaction() as connection:
        connection.execute(
            update(sign_in).values(last_seen=sign_in.c.last_seen - sessions.VALID_FOR_S)
        )


WAYS = [
    sign_out,
    sign_another_out,
    sign_in_again,
    revoke,
    owner_sets_passphrase,
    operator_sets_passphrase,
    operator_ends_all,
    expire,
]


@pytest.mark.parametrize("end", WAYS, ids=lambda end: end.__name__)
def test_approved_claim_ends_with_the_session(shared_app: Flask, end: End) -> None:
    thief, owner, phone = (
        signed_in_client(shared_app, "anna"),
        signed_in_client(shared_app, "anna"),
        browser(shared_app),
    )
    offer = offered(thief)
    claim = claimed(phone, offer["secret"])
    allowed = thief.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    assert allowed.status_code == 200
    end(shared_app, thief, owner)
    answer = phone.post("/api/pairings/finish", json={"claim": claim["claim"]})
    assert (answer.status_code, answer.json["code"]) == (404, "no_pairing")
    assert phone.get("/api/me").status_code == 401


@pytest.mark.parametrize("end", WAYS[:-1], ids=lambda end: end.__name__)
def test_pairing_offer_ends_with_its_session(shared_app: Flask, end: End) -> None:
    thief, owner = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "anna")
    offered(thief)
    offered(owner)
    end(shared_app, thief, owner)
    with shared_app.app_context(), read_transaction() as connection:
        mine = select(func.count()).select_from(pairing).where(pairing.c.owner_id == 1)
        assert connection.scalar(mine) == 0


def test_local_pairing_offer_ends_with_a_passphrase(any_app: Flask) -> None:
    here, phone = browser(any_app), browser(any_app, "another key of another browser..")
    offer = offered(here)
    claim = claimed(phone, offer["secret"])
    body = {"code": claim["code"]}
    assert here.post(f"/api/pairings/{offer['id']}/allow", json=body).status_code == 200
    first = {"current": "", "new": NEW}
    assert here.post("/api/passphrase", json=first).status_code == 200
    answer = phone.post("/api/pairings/finish", json={"claim": claim["claim"]})
    assert answer.status_code == 404


def test_pairing_offer_belongs_to_its_session(sqlite_app: Flask) -> None:
    first, second = signed_in_client(sqlite_app, "anna"), signed_in_client(sqlite_app, "anna")
    path = f"/api/pairings/{offered(first)['id']}"
    assert first.get(path).status_code == 200
    assert second.get(path).status_code == 404
    assert second.post(f"{path}/allow", json={"code": "0000"}).status_code == 404
    assert second.delete(path).status_code == 404
