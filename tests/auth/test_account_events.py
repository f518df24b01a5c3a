"""Every signed-in device is notified of new devices and passphrases until it confirms them."""

from __future__ import annotations

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from tests.auth.conftest import browser, signed_in_client
from tests.auth.test_pairing import claimed, offered
from webapp.auth.owners import set_passphrase
from webapp.db.engine import write_transaction


def news(client: FlaskClient) -> list[dict[str, Any]]:
    answer = client.get("/api/news")
    assert answer.status_code == 200, answer.text
    found: list[dict[str, Any]] = answer.json["news"]
    return found


def test_device_is_notified_of_each_later_sign_in(shared_app: Flask) -> None:
    first = signed_in_client(shared_app, "anna")
    assert news(first) == []
    second = signed_in_client(shared_app, "anna", device_name="in the cellar")
    assert news(second) == []
    (result,) = news(first)
    assert (result["kind"], result["name"], result["standing"]) == ("device", "in the cellar", True)
    assert first.delete(f"/api/devices/{result['device']}").status_code == 200
    assert [one["standing"] for one in news(first)] == [False]
    assert first.post("/api/news/seen", json={"event": result["id"]}).json == {"done": True}
    assert news(first) == []


def test_reading_events_leaves_them_unread_on_other_devices(shared_app: Flask) -> None:
    first, second = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "anna")
    third = signed_in_client(shared_app, "anna", device_name="third")
    (result,) = news(second)
    assert second.post("/api/news/seen", json={"event": result["id"]}).status_code == 200
    assert news(second) == []
    assert [one["name"] for one in news(first)] == ["anna's phone", "third"]
    assert news(third) == []
    # Confirming an event older than the last confirmed one changes nothing.
    assert second.post("/api/news/seen", json={"event": 0}).status_code == 200
    assert news(second) == []


def test_paired_phone_is_an_event_for_other_devices(shared_app: Flask) -> None:
    first, phone = signed_in_client(shared_app, "anna"), browser(shared_app)
    offer = offered(first)
    claim = claimed(phone, offer["secret"])
    first.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    phone.post("/api/pairings/finish", json={"claim": claim["claim"]})
    assert [one["name"] for one in news(first)] == ["the new"]


def test_operator_passphrase_reset_is_an_event(shared_app: Flask) -> None:
    anna, bruno = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "bruno")
    with shared_app.app_context(), write_transaction() as connection:
        set_passphrase(connection, 1, "nine loud copper kettles")
    assert [one["kind"] for one in news(anna)] == ["passphrase"]
    assert news(bruno) == []


def test_passphrase_change_is_reported_as_sign_out_reason(shared_app: Flask) -> None:
    here, there = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "anna")
    body = {"current": "four dry autumn barrels", "new": "nine loud copper kettles"}
    assert here.post("/api/passphrase", json=body).status_code == 200
    answer = there.get("/api/me")
    assert (answer.status_code, answer.json["code"]) == (401, "passphrase_changed")
    assert news(here) == []


def test_no_events_without_sign_in(client: FlaskClient) -> None:
    assert news(client) == []
    assert client.post("/api/news/seen", json={"event": 5}).json == {"done": True}
