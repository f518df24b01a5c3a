"""Polling an unchanged table costs one indexed read, and other guests' answers change nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import event, text

from tests.conftest import AppMaker
from tests.group_tasting.evening import Guest, Leader, moment, now_ms
from webapp.db.engine import db


@contextmanager
def statements(app: Flask) -> Iterator[list[tuple[str, Any]]]:
    """Collect the SQL statements that the app runs, without the beginnings of transactions."""
    found: list[tuple[str, Any]] = []

    def note(*items: Any) -> None:
        if not items[2].startswith("BEGIN"):
            found.append((items[2], items[3]))

    with app.app_context():
        event.listen(db.engine, "before_cursor_execute", note)
        try:
            yield found
        finally:
            event.remove(db.engine, "before_cursor_execute", note)


def test_unchanged_table_costs_one_read(table_app: Flask, leader: Leader, guest: Guest) -> None:
    guest.poll()
    with statements(table_app) as found:
        assert guest.poll().status_code == 304
    assert len(found) == 1
    assert found[0][0].startswith("SELECT")
    with statements(table_app) as found:
        guest.etag = ""
        assert guest.poll().status_code == 200
    assert len(found) > 1


def test_unchanged_table_is_found_by_indexes(make_app: AppMaker) -> None:
    app = make_app()
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    guest = Guest(app.test_client()).join(secret=leader.invite()["secret"])
    guest.poll()
    with statements(app) as found:
        assert guest.poll().status_code == 304
    (statement, values) = found[0]
    with app.app_context(), db.engine.connect() as connection:
        plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", values).all()
        # Another query, without an index, is told apart.
        scan = connection.execute(text("EXPLAIN QUERY PLAN SELECT name FROM sign_in")).all()
    assert {row[3].partition(" ")[0] for row in plan} == {"SEARCH"}
    assert scan[0][3].startswith("SCAN")


def test_answers_of_others_leave_a_view_unchanged(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    guest.poll()
    secret, glass = leader.invite()["secret"], leader.glasses[0]
    other = Guest(table_app.test_client()).join(secret=secret)
    other.put(leader.glasses[0], liking=7)
    assert guest.poll().status_code == 304
    # Every change that the guest may see is seen.
    guest.put(leader.glasses[0], liking=6)
    assert guest.poll().status_code == 200
    for change in (
        lambda: leader.change(open_step="look"),
        lambda: leader.change_glass(0, closed_look_at=moment(now_ms())),
        lambda: leader.change_glass(0, discussed_at=moment(now_ms() + 60_000)),
        lambda: other.put(leader.glasses[0], liking=8),
        lambda: Guest(table_app.test_client(), "Late").join(secret=secret).put(glass, liking=1),
        lambda: leader.put("guest", guest.id, name="Adele"),
        lambda: leader.put("bottle", leader.bottles[0], name="Renamed"),
    ):
        assert guest.poll().status_code == 304
        change()
        assert guest.poll().status_code == 200


def test_each_guest_has_own_sheets_and_shared_parts(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    other = Guest(table_app.test_client(), "Bo").join(secret=leader.invite()["secret"])
    for one, liking in ((guest, 3), (other, 8)):
        one.put(leader.glasses[0], liking=liking)
    leader.change_glass(0, discussed_at=moment(now_ms() + 60_000))
    for one, liking in ((guest, 3), (other, 8), (guest, 3)):
        view = one.table()
        assert view["sheets"] == {leader.glasses[0]: {"liking": liking}}
        assert view["guest"]["id"] == one.id
        found = [answer["fields"]["liking"] for answer in view["glasses"][0]["answers"]]
        assert found == [3, 8]
    leader.client.delete(f"/api/group-tastings/{leader.table}/guests/{guest.id}")
    (answer,) = other.table()["glasses"][0]["answers"]
    assert answer["fields"] == {"liking": 8}


@pytest.mark.parametrize("given", ['"1.abc"', "*", '"1.aaaaaaaa.1.1.99"', 'W/"x", "y', ""])
def test_foreign_etag_gives_the_table(guest: Guest, given: str) -> None:
    guest.etag = given
    assert guest.poll().status_code == 200


def test_weak_etag_of_a_proxy_is_recognized(guest: Guest) -> None:
    guest.poll()
    guest.etag = f'"other", W/{guest.etag}'
    assert guest.poll().status_code == 304


def test_guests_of_one_address_are_counted_apart(
    make_app: AppMaker, caplog: pytest.LogCaptureFixture
) -> None:
    app = make_app(MAX_REQUESTS=50)
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    secret = leader.invite()["secret"]
    guests = [Guest(app.test_client()).join(secret=secret) for _ in range(3)]
    for _ in range(40):
        assert {guest.poll().status_code for guest in guests} <= {200, 304}
    for _ in range(20):
        last = guests[0].poll()
    assert (last.status_code, last.json["code"]) == (429, "too_many_requests")
    assert guests[1].poll().status_code == 304
    logged = [vars(one)["key"] for one in caplog.records if one.msg == "too_many_requests"]
    # The log has no id of a guest.
    assert set(logged) == {"guest/1"}
