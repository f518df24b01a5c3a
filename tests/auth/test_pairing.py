"""Pairing admits one phone within ten minutes, after the owner has compared the codes."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select

from tests.auth.conftest import KEY, browser, signed_in_client
from webapp.auth import pairing, sessions
from webapp.auth.errors import AccessError
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import pairing as pairing_table

NOW_S = 1_790_000_000


def offered(client: FlaskClient, **headers: str) -> dict[str, Any]:
    answer = client.post("/api/pairings", headers=headers)
    assert answer.status_code == 200, answer.text
    payload: dict[str, Any] = answer.json
    return payload | {"secret": payload["url"].rpartition("/")[2]}


def claimed(phone: FlaskClient, secret: str) -> dict[str, Any]:
    answer = phone.post("/api/pairings/claim", json={"secret": secret, "device_name": "the new"})
    assert answer.status_code == 200, answer.text
    payload: dict[str, Any] = answer.json
    return payload


def test_pairing_succeeds_when_the_codes_agree(shared_app: Flask) -> None:
    anna, phone = signed_in_client(shared_app, "anna"), browser(shared_app)
    offer = offered(anna)
    assert anna.get(f"/api/pairings/{offer['id']}").json["state"] == "open"
    claim = claimed(phone, offer["secret"])
    assert re.fullmatch(r"[0-9]{4}", claim["code"])
    seen = anna.get(f"/api/pairings/{offer['id']}").json
    assert (seen["state"], seen["code"], seen["name"]) == ("claimed", claim["code"], "the new")
    asked = {"claim": claim["claim"]}
    waiting = phone.post("/api/pairings/finish", json=asked)
    assert (waiting.status_code, waiting.json) == (202, {"waiting": True})
    assert phone.get("/api/me").status_code == 401
    agreed = anna.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    assert agreed.json == {"done": True}
    assert phone.post("/api/pairings/finish", json=asked).json["owner"]["name"] == "anna"
    assert phone.get("/api/palate").status_code == 200
    names = [one["name"] for one in anna.get("/api/devices").json["devices"]]
    assert sorted(names) == ["anna's phone", "the new"]


def test_pairing_code_is_valid_for_one_phone(sqlite_app: Flask) -> None:
    offer = offered(signed_in_client(sqlite_app, "anna"))
    claimed(browser(sqlite_app), offer["secret"])
    body = {"secret": offer["secret"]}
    late = browser(sqlite_app).post("/api/pairings/claim", json=body)
    assert (late.status_code, late.json["code"]) == (404, "no_pairing")


def test_pairing_claim_signs_in_once(sqlite_app: Flask) -> None:
    anna, phone = signed_in_client(sqlite_app, "anna"), browser(sqlite_app)
    offer = offered(anna)
    claim = claimed(phone, offer["secret"])
    anna.post(f"/api/pairings/{offer['id']}/allow", json={"code": claim["code"]})
    asked = {"claim": claim["claim"]}
    assert phone.post("/api/pairings/finish", json=asked).status_code == 200
    again = browser(sqlite_app).post("/api/pairings/finish", json=asked)
    assert again.status_code == 404


@pytest.mark.parametrize("code", ["", "00000", "x", "\u0661\u0662\u0663\u0664"])
def test_wrong_pairing_code_is_rejected(sqlite_app: Flask, code: str) -> None:
    anna, phone = signed_in_client(sqlite_app, "anna"), browser(sqlite_app)
    offer = offered(anna)
    early = anna.post(f"/api/pairings/{offer['id']}/allow", json={"code": code})
    assert early.status_code == 404
    claim = claimed(phone, offer["secret"])
    wrong = anna.post(f"/api/pairings/{offer['id']}/allow", json={"code": code})
    assert wrong.status_code == 404
    assert phone.post("/api/pairings/finish", json={"claim": claim["claim"]}).status_code == 202


def test_withdrawn_pairing_offer_is_rejected(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    offer = offered(anna)
    assert anna.delete(f"/api/pairings/{offer['id']}").json == {"done": True}
    body = {"secret": offer["secret"]}
    late = browser(sqlite_app).post("/api/pairings/claim", json=body)
    assert (late.status_code, late.json["code"]) == (404, "pairing_cancelled")


def test_first_device_sees_that_the_phone_left(sqlite_app: Flask) -> None:
    anna, phone = signed_in_client(sqlite_app, "anna"), browser(sqlite_app)
    offer = offered(anna)
    asked = {"claim": claimed(phone, offer["secret"])["claim"]}
    assert phone.post("/api/pairings/leave", json=asked).json == {"done": True}
    assert anna.get(f"/api/pairings/{offer['id']}").json["code"] == "pairing_cancelled"


def test_pairing_offers_and_claims_expire_after_ten_minutes(shared_app: Flask) -> None:
    with shared_app.app_context(), write_transaction() as connection:
        token = sessions.start(connection, 1, sessions.Browser("", "", KEY), NOW_S)
        maker = sessions.find(connection, token).id
        made = pairing.create_offer(connection, 1, maker, NOW_S)
        with pytest.raises(AccessError):
            pairing.claim_offer(connection, made.secret, "late", NOW_S + 600)
        taken = pairing.claim_offer(connection, made.secret, "in time", NOW_S + 599)
        pairing.approve(connection, 1, maker, made.id, taken.code, NOW_S + 700)
        with pytest.raises(AccessError):
            pairing.complete(connection, taken.claim, "", KEY, NOW_S + 599 + 600)
        assert pairing.complete(connection, taken.claim, "", KEY, NOW_S + 599 + 599) is not None


def test_only_the_latest_pairing_offers_are_valid(shared_app: Flask) -> None:
    with shared_app.app_context(), write_transaction() as connection:
        for second in range(12):
            pairing.create_offer(connection, 1, None, NOW_S + second)
        other = pairing.create_offer(connection, 2, None, NOW_S)
        untils = connection.scalars(
            select(pairing_table.c.until).where(pairing_table.c.owner_id == 1)
        ).all()
        assert sorted(untils) == [NOW_S + 600 + second for second in range(7, 12)]
        assert pairing.get_offer(connection, 2, None, other.id, NOW_S).allowed is False


def test_pairing_code_holds_the_reachable_address(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    here = offered(anna)
    assert here["url"].startswith("http://localhost/#/settings/join/")
    assert not here["reachable"]
    sqlite_app.config["ADDRESS"] = "https://book.example/"
    there = offered(anna)
    assert there["url"].startswith("https://book.example/#/settings/join/")
    assert there["reachable"]
    for local in ("http://localhost:8000", "http://127.0.0.1:8000", "http://[::1]:8000"):
        sqlite_app.config["ADDRESS"] = local
        assert not offered(anna)["reachable"]


def test_qr_code_is_svg_without_script_or_style(sqlite_app: Flask) -> None:
    svg = offered(signed_in_client(sqlite_app, "anna"))["svg"]
    assert svg.startswith("<svg ")
    assert set(re.findall(r"<(\w+)", svg)) == {"svg", "g", "path"}
    assert "style" not in svg
    assert "href" not in svg


def test_pairing_stores_no_secret_in_clear(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    offer = offered(anna)
    claim = claimed(browser(sqlite_app), offer["secret"])
    with sqlite_app.app_context(), read_transaction() as connection:
        kept = repr([tuple(row) for row in connection.execute(select(pairing_table))])
    assert offer["secret"] not in kept
    assert claim["claim"] not in kept
