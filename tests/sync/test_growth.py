"""Data that the server stores besides the records stays within bounds."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import update

from tests.sync.conftest import START_MS, Server
from tests.sync.simulated_phone import Phone
from webapp.db import tables
from webapp.db.engine import write_transaction
from webapp.records.revision_limit import MAX_REVISION_CHARACTERS, MAX_REVISIONS
from webapp.sync import session

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


def test_number_of_devices_is_limited(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(session, "MAX_DEVICES", 3)
    phone = Phone("aaaaaaaa")
    typed(server, phone, "plums", 1_000)
    for number in range(4):
        Phone(f"bbbbbbb{number}").sync(server.send)
    assert len(server.rows(tables.device)) == 3
    typed(server, phone, "cedar", 1_000)
    reader = Phone("cccccccc")
    reader.sync(server.send)
    assert phone.state() == reader.state() == server.state()


def losing(field: str, clocks: range, value: str) -> list[dict[str, Any]]:
    """Return changes that lose the merge against a later value of the field."""
    return [
        {
            "kind": "tasting",
            "id": TASTING[1],
            "fields": {field: f"{clock:05d}{value}"},
            "clocks": {field: f"{START_MS + clock:013d}-0000-aaaaaaaa"},
        }
        for clock in clocks
    ]


@pytest.mark.parametrize(
    ("field", "value", "kept"),
    [("words", "", MAX_REVISIONS), ("moon", "x" * 15_000, MAX_REVISION_CHARACTERS // 15_007)],
)
def test_revisions_of_a_record_are_limited(
    server: Server, field: str, value: str, kept: int
) -> None:
    """A device that sends ever more values that lose cannot fill the disk; the latest stay."""
    values = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "limit": 1}
    last = kept + 250
    server.send({**values, "changes": losing(field, range(last, last + 1), "")})
    for start in range(0, last, 50 if value else 500):
        some = losing(field, range(start, min(last, start + (50 if value else 500))), value)
        answer = server.send({**values, "changes": some})
        assert {one["outcome"] for one in answer["outcomes"]} == {"applied"}
    clocks = sorted(row["clock"] for row in server.rows(tables.revision))
    assert len(clocks) == kept
    assert [clocks[0], clocks[-1]] == [
        f"{START_MS + clock:013d}-0000-aaaaaaaa" for clock in (last - kept, last - 1)
    ]


def test_devices_unused_for_a_year_are_deleted(server: Server) -> None:
    old, recent = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    typed(server, old, "plums", 1_000)
    year_ago = (datetime.now(UTC) - timedelta(days=365, minutes=1)).isoformat(timespec="seconds")
    with server.app.app_context(), write_transaction() as connection:
        connection.execute(update(tables.device).values(last_seen=year_ago))
    recent.sync(server.send)
    assert [row["id"] for row in server.rows(tables.device)] == ["bbbbbbbb"]
    typed(server, old, "cedar", 1_000)
    recent.sync(server.send)
    assert old.state() == recent.state() == server.state()
