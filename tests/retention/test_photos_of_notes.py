"""The photos of a deleted note are purged with it, because no screen shows them without it."""

from __future__ import annotations

import pytest
from flask import Flask
from sqlalchemy import insert

from tests.retention.test_deleted_values import (
    BOTTLE,
    DAY_MS,
    MONTH_MS,
    OWNER,
    TASTING,
    delete,
    phone_with_notes,
    purge,
    record_of,
)
from tests.sync.conftest import Server
from tests.sync.simulated_phone import Phone
from webapp.db import tables
from webapp.db.engine import write_transaction

PHOTO = ("photo", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b8")


@pytest.fixture
def server(any_app: Flask) -> Server:
    return Server(any_app)


def phone_with_a_photo(server: Server) -> Phone:
    phone = phone_with_notes(server)
    for field, value in (("tasting", TASTING[1]), ("media_type", "image/jpeg")):
        phone.edit(server.now_ms, PHOTO, field, value)
    phone.sync(server.send)
    row = {"owner_id": OWNER, "id": PHOTO[1], "sha256": "0" * 64, "media_type": "image/jpeg"}
    sizes = {"width_px": 1, "height_px": 1, "bytes": 1, "kept_at": "2026-11-28T10:00:00"}
    with server.app.app_context(), write_transaction() as connection:
        connection.execute(insert(tables.photo_bytes), row | sizes)
    return phone


def test_photo_of_a_purged_note_goes_with_it(server: Server) -> None:
    phone = phone_with_a_photo(server)
    delete(server, phone, TASTING)
    mark = record_of(server, TASTING)["deleted_clock"]
    purge(server)
    assert record_of(server, PHOTO)["fields"]["tasting"] == TASTING[1]
    server.now_ms += MONTH_MS + DAY_MS
    assert purge(server) == [TASTING]
    photo = record_of(server, PHOTO)
    assert (photo["fields"], photo["deleted"]) == ({"tasting": None, "media_type": None}, True)
    assert {*photo["clocks"].values(), photo["deleted_clock"]} == {mark}
    assert server.rows(tables.photo_bytes) == []
    for one in (phone, Phone("cccccccc")):
        one.sync(server.send)
        assert one.state() == server.state()
    assert purge(server) == []


@pytest.mark.parametrize("field", ["bottle", "media_type"])
def test_photo_of_a_bottle_or_edited_later_is_retained(server: Server, field: str) -> None:
    """A photo of the bottle too stays as it is, and so does a photo edited after the deletion."""
    phone = phone_with_a_photo(server)
    if field == "bottle":
        phone.edit(server.now_ms, PHOTO, "bottle", BOTTLE[1])
    delete(server, phone, TASTING)
    server.now_ms += 1_000
    if field == "media_type":
        phone.edit(server.now_ms, PHOTO, "media_type", "image/webp")
    phone.sync(server.send)
    purge(server)
    server.now_ms += MONTH_MS + DAY_MS
    purge(server)
    assert record_of(server, PHOTO)["fields"]["tasting"] == TASTING[1]
    assert len(server.rows(tables.photo_bytes)) == 1
