"""Data that the server stores besides the records stays within bounds."""

from __future__ import annotations

import json

import pytest
from sqlalchemy import update

from tests.sync.conftest import Server
from tests.sync.simulated_phone import Phone
from webapp.db import tables
from webapp.db.engine import write_transaction

TASTING = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5")
NOTE = "blackcurrant, cedar and a long evening; " * 9


def typed(server: Server, phone: Phone, text: str, after_ms: int) -> None:
    server.now_ms += after_ms
    phone.edit(server.now_ms, TASTING, "words", text)
    phone.sync(server.send)


def log(server: Server) -> list[str]:
    rows = sorted(server.rows(tables.revision), key=lambda row: row["clock"])
    return [json.loads(row["value"]) for row in rows]


def test_note_typed_online_leaves_no_revisions(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    for end in range(14, len(NOTE), 14):
        typed(server, phone, NOTE[:end], 2_000)
    assert log(server) == []


@pytest.mark.parametrize(
    ("text", "after_ms"), [("plums and cedar", 60_000), ("pl", 1_000), ("cedar", 1_000)]
)
def test_values_not_typed_in_sequence_leave_revisions(
    server: Server, text: str, after_ms: int
) -> None:
    phone = Phone("aaaaaaaa")
    typed(server, phone, "plums", 1_000)
    typed(server, phone, text, after_ms)
    assert log(server) == ["plums"]


def test_revision_of_another_phone_is_retained(server: Server) -> None:
    one, other = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    typed(server, one, "plums", 1_000)
    other.sync(server.send)
    typed(server, other, "plums and cedar", 1_000)
    assert log(server) == ["plums"]


def test_devices_unused_for_a_year_are_deleted(server: Server) -> None:
    old, recent = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    typed(server, old, "plums", 1_000)
    with server.app.app_context(), write_transaction() as connection:
        connection.execute(update(tables.device).values(last_seen="2020-01-01T00:00:00+00:00"))
    recent.sync(server.send)
    assert [row["id"] for row in server.rows(tables.device)] == ["bbbbbbbb"]
    typed(server, old, "cedar", 1_000)
    recent.sync(server.send)
    assert old.state() == recent.state() == server.state()
