"""Values of a deleted record are purged everywhere after a month; the tombstone remains."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import func, select

from tests.sync.conftest import START_MS, Server
from tests.sync.simulated_phone import Phone
from webapp.auth.owners import set_current_owner
from webapp.db import tables
from webapp.db.engine import read_transaction, write_transaction
from webapp.records.record import Record
from webapp.records.repository import Key
from webapp.retention.daily_seq import DAY_S
from webapp.retention.deleted_values import purge_deleted_values
from webapp.retention.schedule import purge_daily
from webapp.spec import deleted_kept_days
from webapp.sync.merge import merge

OWNER = 1
TASTING = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5")
OTHER = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6")
BOTTLE = ("bottle", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b7")
DAY_MS = DAY_S * 1000
KEPT_DAYS = deleted_kept_days()
MONTH_MS = KEPT_DAYS * DAY_MS
TEXT = "a word about nobody else's business"


@pytest.fixture
def server(any_app: Flask) -> Server:
    return Server(any_app)


def purge(server: Server, kept_days: int = KEPT_DAYS) -> list[Key]:
    with server.app.test_request_context():
        set_current_owner(OWNER)
        return purge_deleted_values(write_transaction, OWNER, kept_days, server.now_ms)


def phone_with_notes(server: Server) -> Phone:
    """Return a phone that has edited a note twice, and a note of another bottle."""
    phone = Phone("aaaaaaaa")
    for field, value in (("words", "first"), ("words", TEXT), ("place", "at home")):
        phone.edit(server.now_ms, TASTING, field, value)
        phone.sync(server.send)
        server.now_ms += 400_000
    phone.edit(server.now_ms, OTHER, "words", "kept")
    phone.sync(server.send)
    return phone


def delete(server: Server, phone: Phone, key: Key) -> None:
    server.now_ms += 1
    phone.edit(server.now_ms, key, "deleted", True)
    phone.sync(server.send)


def record_of(server: Server, key: Key) -> Record:
    found: Record = server.state()["/".join(key)]
    return found


def text_of(server: Server) -> str:
    """Return everything that the tables store of records."""
    return json.dumps([server.rows(tables.record), server.rows(tables.revision)])


def test_deleted_values_are_dropped_after_a_month(server: Server) -> None:
    phone, second = phone_with_notes(server), Phone("bbbbbbbb")
    second.sync(server.send)
    delete(server, phone, TASTING)
    mark = record_of(server, TASTING)["deleted_clock"]
    assert purge(server) == []
    server.now_ms += MONTH_MS - 1_000
    assert purge(server) == []
    assert TEXT in text_of(server)
    server.now_ms += DAY_MS
    assert purge(server) == [TASTING]
    assert TEXT not in text_of(server)
    assert "first" not in text_of(server)
    assert record_of(server, TASTING) == {
        "kind": "tasting",
        "id": TASTING[1],
        "fields": {"words": None, "place": None},
        "clocks": {"words": mark, "place": mark},
        "deleted": True,
        "deleted_clock": mark,
    }
    assert record_of(server, OTHER)["fields"] == {"words": "kept"}
    for one in (phone, second, Phone("cccccccc")):
        one.sync(server.send)
        assert one.state() == server.state()
    assert purge(server) == []


def test_purged_values_are_ordinary_later_values(server: Server) -> None:
    """Check that phones that merge them, in any order, converge to the server's state."""
    phone = phone_with_notes(server)
    delete(server, phone, TASTING)
    before = record_of(server, TASTING)
    purge(server)
    server.now_ms += MONTH_MS + DAY_MS
    purge(server)
    after = record_of(server, TASTING)
    assert after != before
    assert merge(before, after)["record"] == after
    assert merge(after, before)["record"] == after


def test_backdated_deletion_is_kept_for_a_month(server: Server) -> None:
    """The month starts when the server learns of the deletion, whatever the phone's clock says."""
    phone = Phone("aaaaaaaa")
    server.now_ms = START_MS - 3 * MONTH_MS
    phone.edit(server.now_ms, TASTING, "words", TEXT)
    phone.sync(server.send)
    purge(server)
    deleted_ms = server.now_ms + 1
    server.now_ms = START_MS
    phone.edit(deleted_ms, TASTING, "deleted", True)
    phone.sync(server.send)
    assert purge(server) == []
    server.now_ms += MONTH_MS - DAY_MS
    assert purge(server) == []
    assert record_of(server, TASTING)["fields"] == {"words": TEXT}
    server.now_ms += 2 * DAY_MS
    assert purge(server) == [TASTING]


def test_deletion_from_the_future_is_kept_for_a_month(server: Server) -> None:
    """A clock that is far ahead, as after the server's own was, keeps no values for longer."""
    phone = phone_with_notes(server)
    server.now_ms += 365 * DAY_MS
    delete(server, phone, TASTING)
    server.now_ms -= 365 * DAY_MS
    purge(server)
    server.now_ms += MONTH_MS + DAY_MS
    assert purge(server) == [TASTING]
    assert TEXT not in text_of(server)


def test_day_noted_by_a_clock_behind_is_dropped(server: Server) -> None:
    """A server that starts with a clock decades behind deletes nothing once its clock is right."""
    phone = phone_with_notes(server)
    purge(server)
    delete(server, phone, TASTING)
    right_ms = server.now_ms
    server.now_ms -= 10_000 * DAY_MS
    assert purge(server) == []
    server.now_ms = right_ms + 2 * DAY_MS
    phone.edit(server.now_ms, OTHER, "words", "later")
    phone.sync(server.send)
    for day in range(2, KEPT_DAYS + 2):
        server.now_ms = right_ms + day * DAY_MS
        assert purge(server) == []
    server.now_ms += 2 * DAY_MS
    assert purge(server) == [TASTING]


def test_restored_record_keeps_its_values(server: Server) -> None:
    phone = phone_with_notes(server)
    delete(server, phone, TASTING)
    purge(server)
    server.now_ms += MONTH_MS - DAY_MS
    phone.edit(server.now_ms, TASTING, "deleted", False)
    phone.sync(server.send)
    server.now_ms += MONTH_MS
    assert purge(server) == []
    assert record_of(server, TASTING)["fields"]["words"] == TEXT


def test_deleted_record_that_is_still_named_keeps_values(server: Server) -> None:
    phone = phone_with_notes(server)
    phone.edit(server.now_ms, BOTTLE, "name", "Invented")
    phone.edit(server.now_ms, OTHER, "bottle", BOTTLE[1])
    delete(server, phone, BOTTLE)
    purge(server)
    server.now_ms += MONTH_MS + DAY_MS
    assert purge(server) == []
    delete(server, phone, OTHER)
    server.now_ms += DAY_MS
    # The note may still be restored, and it refers to this bottle.
    assert purge(server) == []
    server.now_ms += MONTH_MS + DAY_MS
    assert sorted(purge(server)) == sorted([BOTTLE, OTHER])


@pytest.mark.parametrize("is_edit_late", [False, True])
def test_phone_that_was_away_converges_after_the_purge(server: Server, is_edit_late: bool) -> None:
    phone, away = phone_with_notes(server), Phone("bbbbbbbb")
    away.sync(server.send)
    if not is_edit_late:
        away.edit(server.now_ms, TASTING, "words", "before the deletion")
    server.now_ms += 1_000
    delete(server, phone, TASTING)
    purge(server)
    server.now_ms += MONTH_MS + DAY_MS
    assert purge(server) == [TASTING]
    if is_edit_late:
        away.edit(server.now_ms, TASTING, "words", "after the purge")
    for one in (away, phone, away):
        one.sync(server.send)
    assert phone.state() == away.state() == server.state()
    values = {"words": None, "place": None}
    if is_edit_late:
        # The phone still has the note, which it brings back whole.
        values = {"words": "after the purge", "place": "at home"}
    assert record_of(server, TASTING)["fields"] == values
    if not is_edit_late:
        # The late value is in the revision log and is removed by the next purge.
        assert "before the deletion" in text_of(server)
        server.now_ms += DAY_MS
        purge(server)
        server.now_ms += MONTH_MS + DAY_MS
        purge(server)
        assert "before the deletion" not in text_of(server)


def test_a_longer_grace_of_photos_holds_for_values(server: Server) -> None:
    phone = phone_with_notes(server)
    delete(server, phone, TASTING)
    purge(server, 90)
    server.now_ms += 89 * DAY_MS
    assert purge(server, 90) == []
    server.now_ms += 2 * DAY_MS
    assert purge(server, 90) == [TASTING]


def test_sequence_notes_of_days_do_not_pile_up(server: Server) -> None:
    phone_with_notes(server)
    for _ in range(100):
        purge(server)
        purge(server)
        server.now_ms += DAY_MS
    with server.app.app_context(), read_transaction() as connection:
        count = connection.scalar(select(func.count()).select_from(tables.daily_seq))
    assert count == KEPT_DAYS + 1


def test_daily_purge_includes_deleted_values(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = phone_with_notes(server)
    delete(server, phone, TASTING)
    now: dict[str, Any] = {"ms": server.now_ms}
    monkeypatch.setattr("time.time", lambda: now["ms"] / 1000)
    monkeypatch.setattr("time.time_ns", lambda: now["ms"] * 1_000_000)
    for days in (0, KEPT_DAYS + 1):
        now["ms"] = server.now_ms + days * DAY_MS
        with server.app.test_request_context():
            set_current_owner(OWNER)
            purge_daily(OWNER)
    assert record_of(server, TASTING)["fields"] == {"words": None, "place": None}
