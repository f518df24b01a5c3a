"""Guests' names and answers are deleted 30 days after the end, on the server and on phones."""

from __future__ import annotations

import threading
import time
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import select, update

from tests.auth.conftest import add_owners, signed_in_client
from tests.conftest import AppMaker
from tests.group_tasting.evening import Guest, Leader, moment, new_id, now_ms
from tests.retention.test_erasure import begin_a_new_day
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import group_guest_token, record, revision
from webapp.group_tasting.ids import sheet_id
from webapp.retention.guests import forget_old_guests
from webapp.retention.schedule import keep_purging
from webapp.sync.parse import MAX_FIELDS

DAY_MS = 24 * 3600 * 1000
SECRET = "plums of a guest"


@pytest.fixture
def evening(any_app: Flask) -> tuple[Flask, Leader, Guest]:
    """Return a server, a leader, and a guest who answered at a table that has just ended."""
    add_owners(any_app)
    leader = Leader(signed_in_client(any_app, "anna"))
    leader.set_table([{"name": "Zephyrhill"}])
    guest = Guest(any_app.test_client(), "Guestina").join(secret=leader.invite()["secret"])
    guest.put(leader.glasses[0], now_ms() - 10, words="first " + SECRET)
    guest.put(leader.glasses[0], words=SECRET)
    leader.change(ended_at=moment(now_ms()))
    return any_app, leader, guest


def forget(app: Flask, after_days: float) -> int:
    with app.test_request_context():
        set_current_owner(1)
        return forget_old_guests(write_transaction, 1, now_ms() + int(after_days * DAY_MS))


def stored_text(app: Flask) -> str:
    """Return all text of the records and revisions of the owner."""
    with app.test_request_context():
        set_current_owner(1)
        with read_transaction() as connection:
            rows: list[Any] = [*connection.scalars(select(record.c.fields))]
            rows += connection.scalars(select(revision.c.value)).all()
    return "\n".join(rows)


def test_guests_are_deleted_after_thirty_days(evening: tuple[Flask, Leader, Guest]) -> None:
    app, leader, guest = evening
    before = leader.last_seq()
    assert forget(app, 29.9) == 0
    assert SECRET in stored_text(app)
    assert forget(app, 30.1) == 2
    text = stored_text(app)
    assert SECRET not in text
    assert "Guestina" not in text
    assert "Zephyrhill" in text
    # A phone that had read everything learns of it by the ordinary sync.
    changes = leader.changes_after(before)
    assert {(one["kind"], one["deleted"]) for one in changes} == {("guest", True), ("sheet", True)}
    assert all(SECRET not in str(one) for one in changes)
    assert leader.records("sheet") == leader.records("guest") == {}
    assert guest.poll().json["errors"] == {"reason": "unknown"}
    # The second time there is nothing to do.
    assert forget(app, 31) == 0
    assert leader.last_seq() == before + 2


def test_guest_with_a_full_record_is_deleted(evening: tuple[Flask, Leader, Guest]) -> None:
    app, leader, guest = evening
    room = MAX_FIELDS - len(leader.records("guest")[guest.id])
    leader.put("guest", guest.id, **{f"later_{at}": at for at in range(room)})
    assert forget(app, 30.1) == 2
    assert "Guestina" not in stored_text(app)


@pytest.mark.parametrize("kept", ["keep_guests", "example"])
def test_kept_guests_stay(evening: tuple[Flask, Leader, Guest], kept: str) -> None:
    app, leader, _ = evening
    leader.change(**{kept: True})
    assert forget(app, 400) == 0
    leader.change(**{kept: False})
    assert forget(app, 400) == 2


def test_leader_and_people_stay(evening: tuple[Flask, Leader, Guest]) -> None:
    app, leader, guest = evening
    person, own = new_id(), new_id()
    leader.put("person", person, name="Guestina", agreed_at=moment(now_ms()))
    leader.put("guest", guest.id, person=person)
    leader.put("guest", own, group_tasting=leader.table, name="Anna", entry="leader")
    sheet = sheet_id(own, leader.glasses[0])
    refs = {"group_tasting": leader.table, "glass": leader.glasses[0], "guest": own}
    leader.put("sheet", sheet, **refs, liking=7)
    assert forget(app, 400) == 0
    assert len(leader.records("sheet")) == 2
    leader.delete("person", person)
    assert forget(app, 400) == 2
    assert [*leader.records("sheet")] == [sheet]


@pytest.mark.parametrize("how", ["never ended", "wrong clock", "deleted"])
def test_end_is_told_without_the_leaders_clock(
    evening: tuple[Flask, Leader, Guest], how: str
) -> None:
    app, leader, _ = evening
    if how == "never ended":
        leader.change(ended_at=None)
        # The tokens last for a week.
        assert forget(app, 36.9) == 0
        assert forget(app, 37.1) == 2
    elif how == "wrong clock":
        leader.change(ended_at="2011-01-01T20:00:00+00:00")
        assert forget(app, 29.9) == 0
        assert forget(app, 30.1) == 2
    else:
        leader.delete("group_tasting", leader.table)
        assert forget(app, 29.9) == 0
        assert forget(app, 30.1) == 2


def test_guests_are_deleted_without_any_request(make_app: AppMaker) -> None:
    app = make_app()
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    guest = Guest(app.test_client(), "Guestina").join(secret=leader.invite()["secret"])
    guest.put(leader.glasses[0], words=SECRET)
    with app.app_context(), write_transaction() as connection:
        old = int(time.time()) - 40 * 24 * 3600
        connection.execute(update(group_guest_token).values(made_at=old, until=old))
    begin_a_new_day(app)
    rounds, done = iter([None]), threading.Event()

    def wait() -> None:
        if next(rounds, done) is done:
            done.set()
            threading.Event().wait()

    keep_purging(app, wait)
    assert done.wait(120)
    assert SECRET not in stored_text(app)
