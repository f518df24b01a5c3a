"""Listing and revoking devices."""

from __future__ import annotations

from flask import Flask

from tests.auth.conftest import signed_in_client

SYNC = {"format": 1, "device": "annaphone1", "cursor": 0}


def test_device_list_shows_the_last_sync(shared_app: Flask) -> None:
    anna = signed_in_client(shared_app, "anna")
    (before,) = anna.get("/api/devices").json["devices"]
    assert before["current"]
    assert before["last_synced"] is None
    anna.post("/api/sync", json=SYNC)
    (after,) = anna.get("/api/devices").json["devices"]
    assert after["last_synced"] >= after["made_at"]


def test_revoked_device_is_told_the_reason(shared_app: Flask) -> None:
    here, lost = (
        signed_in_client(shared_app, "anna"),
        signed_in_client(shared_app, "anna", device_name="lost in the cellar"),
    )
    found = {one["name"]: one["id"] for one in here.get("/api/devices").json["devices"]}
    assert here.delete(f"/api/devices/{found['lost in the cellar']}").json == {"done": True}
    for answer in (lost.get("/api/me"), lost.post("/api/sync", json=SYNC)):
        assert (answer.status_code, answer.json["code"]) == (401, "revoked")
    assert here.post("/api/sync", json=SYNC).status_code == 200
    again = here.delete(f"/api/devices/{found['lost in the cellar']}")
    assert (again.status_code, again.json["code"]) == (404, "no_device")
    assert [one["name"] for one in here.get("/api/devices").json["devices"]] == ["anna's phone"]


def test_device_names_are_stored_as_one_plain_line(sqlite_app: Flask) -> None:
    shown = []
    for given in ("<b>phone</b>\r\nX: y", "\u202egnp\u0000", "   ", "x" * 199):
        client = signed_in_client(sqlite_app, "anna", device_name=given)
        listed = client.get("/api/devices").json["devices"]
        shown.append(next(one["name"] for one in listed if one["current"]))
    assert shown == ["<b>phone</b> X: y", "gnp", "", "x" * 40]
