"""Passkeys: adding, listing, naming and removing them, and what revokes them."""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from webauthn.helpers import base64url_to_bytes, decode_credential_public_key

from tests.auth.conftest import WORDS, browser, signed_in_client
from tests.auth.passkey_steps import (
    added,
    options,
    passkeys,
    signed_in_by,
    try_to_add,
    try_to_sign_in,
)
from tests.auth.soft_authenticator import PRESENT, SoftAuthenticator
from tests.auth.test_account_events import news
from tests.auth.test_confirm import let_time_pass
from tests.auth.test_pairing import claimed, offered
from webapp.auth.passkeys import MAX_PASSKEYS
from webapp.db.engine import read_transaction
from webapp.db.tables import passkey, passkey_challenge

SYNC = {"format": 1, "device": "annaphone1", "cursor": 0}
OTHER_KEY = "the key of another browser, in these tests"


@pytest.fixture
def anna(shared_app: Flask) -> FlaskClient:
    return signed_in_client(shared_app, "anna")


def test_passkey_signs_in_after_signing_out(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna, "  my\nphone ")
    (listed,) = passkeys(anna)
    assert (listed["name"], listed["host"], listed["last_used"]) == ("my phone", "localhost", None)
    anna.post("/api/sign-out")
    assert anna.get("/api/me").status_code == 401
    answer = try_to_sign_in(anna, authenticator)
    assert answer.json["owner"]["name"] == "anna"
    assert anna.post("/api/sync", json=SYNC).status_code == 200
    assert passkeys(anna)[0]["last_used"] >= listed["made_at"]
    names = [one["name"] for one in anna.get("/api/devices").json["devices"]]
    assert names == ["by passkey"]


def test_adding_a_passkey_asks_for_a_verified_resident_key(anna: FlaskClient) -> None:
    first = added(anna)
    value = options(anna)["public_key"]
    assert value["rp"] == {"id": "localhost", "name": "Second Nose"}
    assert value["user"]["name"] == "anna"
    assert value["user"]["id"] == first.handle
    assert value["attestation"] == "none"
    assert value["authenticatorSelection"]["residentKey"] == "required"
    assert value["authenticatorSelection"]["userVerification"] == "required"
    assert len(value["excludeCredentials"]) == 1


def test_user_handle_tells_nothing_of_the_owner(shared_app: Flask, anna: FlaskClient) -> None:
    bruno = signed_in_client(shared_app, "bruno")
    handles = {options(client)["public_key"]["user"]["id"] for client in (anna, anna, bruno)}
    assert len(handles) == 3
    assert all(len(handle) == 86 for handle in handles)


def test_adding_a_passkey_needs_the_passphrase_again(shared_app: Flask, anna: FlaskClient) -> None:
    let_time_pass(shared_app)
    answer = anna.post("/api/passkeys/options")
    assert (answer.status_code, answer.json["code"]) == (403, "confirm")
    authenticator = SoftAuthenticator()
    assert anna.post("/api/confirm", json={"passphrase": WORDS["anna"]}).status_code == 200
    assert try_to_add(anna, authenticator).status_code == 200


def test_passkey_sign_in_is_no_confirmation(shared_app: Flask, anna: FlaskClient) -> None:
    client = signed_in_by(shared_app, added(anna))
    for path in ("/api/passkeys/options", "/api/pairings"):
        assert client.post(path).json["code"] == "confirm"
    path = f"/api/passkeys/{passkeys(client)[0]['id']}"
    assert client.delete(path).json["code"] == "confirm"


def test_owner_without_a_passphrase_adds_no_passkey(any_app: Flask) -> None:
    here = browser(any_app)
    answer = here.post("/api/passkeys/options")
    assert (answer.status_code, answer.json["code"]) == (409, "no_passphrase")
    phone = browser(any_app)
    offer = offered(here)
    claim = claimed(phone, offer["secret"])
    here.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    assert phone.post("/api/pairings/finish", json={"claim": claim["claim"]}).status_code == 200
    assert phone.post("/api/passkeys/options").json["code"] == "no_passphrase"
    made = SoftAuthenticator().create({"public_key": {"challenge": "AAAA", "user": {"id": ""}}})
    assert here.post("/api/passkeys", json=made).json["code"] == "sign_in"


@pytest.mark.parametrize(
    "fault",
    [
        {"host": "wine.example"},
        {"origin": "https://wine.example"},
        {"origin": "http://localhost:81"},
        {"flags": PRESENT},
    ],
)
def test_forged_registration_is_refused(anna: FlaskClient, fault: dict[str, object]) -> None:
    answer = try_to_add(anna, SoftAuthenticator(**fault))  # type: ignore[arg-type]
    assert (answer.status_code, answer.json["code"]) == (401, "passkey_refused")
    assert passkeys(anna) == []


@pytest.mark.parametrize("name", ["client_data", "attestation"])
def test_malformed_registration_is_refused(anna: FlaskClient, name: str) -> None:
    made = SoftAuthenticator().create(options(anna))
    for text, status in (("AAAA", 401), ("e30", 401), ("", 400), ("=", 400), ("A" * 8001, 400)):
        answer = anna.post("/api/passkeys", json={**made, name: text})
        # An earlier try may have used up the challenge.
        assert answer.status_code in (status, 410), (text, answer.text)
    assert passkeys(anna) == []


# The options do not offer ES256K and RS1.
@pytest.mark.parametrize("algorithm", [-47, -65535])
def test_weak_signature_algorithm_is_refused(sqlite_app: Flask, algorithm: int) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    offered = {one["alg"] for one in options(anna)["public_key"]["pubKeyCredParams"]}
    assert offered == {-8, -7, -257}
    answer = try_to_add(anna, SoftAuthenticator(algorithm=algorithm))
    assert (answer.status_code, answer.json["code"]) == (401, "passkey_refused")


def test_database_holds_public_keys_only(sqlite_app: Flask) -> None:
    authenticator = added(signed_in_client(sqlite_app, "anna"))
    with sqlite_app.app_context(), read_transaction() as connection:
        row = connection.execute(select(passkey)).one()
    result = decode_credential_public_key(base64url_to_bytes(row.public_key))
    numbers = authenticator.key.public_key().public_numbers()
    assert (result.x, result.y) == (numbers.x.to_bytes(32, "big"), numbers.y.to_bytes(32, "big"))
    private = authenticator.key.private_numbers().private_value.to_bytes(32, "big")
    columns = [base64url_to_bytes(text) for text in (row.public_key, row.credential_id)]
    assert not any(private in column for column in columns)


def test_one_credential_is_added_once(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator = added(anna)
    bruno = signed_in_client(shared_app, "bruno")
    for client in (anna, bruno):
        answer = try_to_add(client, authenticator)
        assert (answer.status_code, answer.json["code"]) == (409, "passkey_added_before")
    assert len(passkeys(anna)) == 1
    assert passkeys(bruno) == []


def test_number_of_passkeys_is_limited(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    began = [options(anna) for _ in range(2)]
    for _ in range(MAX_PASSKEYS - 1):
        added(anna)
    outcomes = [
        anna.post("/api/passkeys", json=SoftAuthenticator().create(one)).status_code
        for one in began
    ]
    assert outcomes == [200, 409]
    assert anna.post("/api/passkeys/options").json["code"] == "too_many_passkeys"


def test_passkey_is_renamed(shared_app: Flask, anna: FlaskClient) -> None:
    added(anna, "phone")
    path = f"/api/passkeys/{passkeys(anna)[0]['id']}/name"
    assert anna.post(path, json={"name": " blue\u202ekey "}).json["name"] == "blue key"
    assert [one["name"] for one in passkeys(anna)] == ["blue key"]
    bruno = signed_in_client(shared_app, "bruno")
    answer = bruno.post(path, json={"name": "mine"})
    assert (answer.status_code, answer.json["code"]) == (404, "no_passkey")


def test_removed_passkey_signs_nobody_in(shared_app: Flask, anna: FlaskClient) -> None:
    gone, kept = added(anna, "gone"), added(anna, "kept")
    ids = {one["name"]: one["id"] for one in passkeys(anna)}
    bruno = signed_in_client(shared_app, "bruno")
    assert bruno.delete(f"/api/passkeys/{ids['gone']}").status_code == 404
    assert anna.delete(f"/api/passkeys/{ids['gone']}").json == {"done": True}
    assert anna.delete(f"/api/passkeys/{ids['gone']}").json["code"] == "no_passkey"
    answer = try_to_sign_in(browser(shared_app), gone)
    assert (answer.status_code, answer.json["code"]) == (401, "unknown_passkey")
    signed_in_by(shared_app, kept)


def test_new_passphrase_removes_all_passkeys(shared_app: Flask, anna: FlaskClient) -> None:
    theirs, others = added(anna), added(signed_in_client(shared_app, "bruno"))
    body = {"current": WORDS["anna"], "new": "nine loud copper kettles"}
    assert anna.post("/api/passphrase", json=body).status_code == 200
    assert passkeys(anna) == []
    assert try_to_sign_in(browser(shared_app), theirs).json["code"] == "unknown_passkey"
    signed_in_by(shared_app, others)


def test_revoked_device_loses_the_passkeys_added_on_it(
    shared_app: Flask, anna: FlaskClient
) -> None:
    lost = browser(shared_app, OTHER_KEY)
    for _ in range(2):
        # Sign in twice: the passkey belongs to the browser, not to one session.
        body = {"name": "anna", "passphrase": WORDS["anna"], "device_name": "lost"}
        assert lost.post("/api/sign-in", json=body).status_code == 200
        if not passkeys(anna):
            theirs = added(lost)
    kept = added(anna)
    ids = {one["name"]: one["id"] for one in anna.get("/api/devices").json["devices"]}
    assert anna.delete(f"/api/devices/{ids['lost']}").status_code == 200
    assert try_to_sign_in(browser(shared_app, OTHER_KEY), theirs).json["code"] == "unknown_passkey"
    signed_in_by(shared_app, kept)


def test_revoked_device_loses_the_passkey_it_used(shared_app: Flask, anna: FlaskClient) -> None:
    theirs, kept = added(anna), added(anna)
    signed_in_by(shared_app, theirs, OTHER_KEY)
    ids = {one["name"]: one["id"] for one in anna.get("/api/devices").json["devices"]}
    assert anna.delete(f"/api/devices/{ids['by passkey']}").status_code == 200
    assert try_to_sign_in(browser(shared_app), theirs).json["code"] == "unknown_passkey"
    signed_in_by(shared_app, kept)


def test_new_passkey_is_an_event_for_other_devices(shared_app: Flask, anna: FlaskClient) -> None:
    other = signed_in_client(shared_app, "anna")
    before = len(news(anna))
    added(anna, "blue key")
    assert len(news(anna)) == before
    assert [(one["kind"], one["name"]) for one in news(other)] == [("passkey", "blue key")]
    signed_in_by(shared_app, added(anna))
    assert [one["kind"] for one in news(other)] == ["passkey", "passkey", "device"]


def test_erasing_an_owner_removes_passkeys(shared_app: Flask, anna: FlaskClient) -> None:
    authenticator, other = added(anna), added(signed_in_client(shared_app, "bruno"))
    options(anna)
    body = {"owner": anna.get("/api/me").json["owner"]["uid"], "passphrase": WORDS["anna"]}
    assert anna.post("/api/erase", json=body).status_code == 200
    with shared_app.app_context(), read_transaction() as connection:
        assert connection.scalars(select(passkey.c.owner_id)).all() == [2]
        assert connection.scalars(select(passkey_challenge.c.owner_id)).all() == []
    assert try_to_sign_in(browser(shared_app), authenticator).json["code"] == "unknown_passkey"
    signed_in_by(shared_app, other)
