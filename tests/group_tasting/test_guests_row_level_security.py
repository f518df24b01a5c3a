"""PostgreSQL lets a guest's transaction see one led tasting, even for a query without a table."""

from __future__ import annotations

import pytest
from flask import Flask, g
from sqlalchemy import func, insert, select, update
from sqlalchemy.exc import ProgrammingError

from tests.auth.conftest import signed_in_client
from tests.auth.test_row_level_security import walled  # noqa: F401
from tests.group_tasting.evening import Guest, Leader, moment, now_ms
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import device, photo_bytes, record, revision
from webapp.group_tasting.access import restrict

pytestmark = pytest.mark.postgres


@pytest.fixture
def tables(walled: Flask) -> tuple[Flask, Leader, Leader]:  # noqa: F811
    """Return a server where Anna leads two tables, each with a guest who has answered."""
    client = signed_in_client(walled, "anna")
    leaders = [Leader(client), Leader(client)]
    for leader in leaders:
        leader.set_table([{"name": "Zephyrhill"}])
        guest = Guest(walled.test_client()).join(secret=leader.invite()["secret"])
        for liking in (3, 4):
            assert guest.put(leader.glasses[0], liking=liking).status_code == 200
    leaders[0].put("person", leaders[0].bottles[0], name="a person")
    leaders[0].put("tasting", leaders[0].bottles[0], words="a note of Anna's own")
    leaders[0].put("tasting", leaders[0].bottles[0], words="overwritten")
    return walled, leaders[0], leaders[1]


def test_guest_reads_the_records_of_one_table(tables: tuple[Flask, Leader, Leader]) -> None:
    app, first, second = tables
    with app.test_request_context():
        restrict(1, first.table)
        with read_transaction() as connection:
            rows = connection.execute(select(record.c.kind, record.c.id, record.c.fields)).all()
            kinds = connection.scalars(select(revision.c.kind).distinct()).all()
            for table in (device, photo_bytes):
                assert connection.scalar(select(func.count()).select_from(table)) == 0
    assert {row.kind for row in rows} == {"group_tasting", "glass", "guest", "sheet", "bottle"}
    assert set(kinds) <= {"guest", "sheet"}
    assert first.glasses[0] in {row.id for row in rows}
    of_second = {row.id for row in rows if second.table in (row.id, *row.fields.split('"'))}
    assert of_second == set()
    # Without a guest, the owner's transaction sees everything.
    with app.test_request_context():
        set_current_owner(1)
        with read_transaction() as connection:
            found = set(connection.scalars(select(record.c.kind)))
    assert {"tasting", "person"} <= found


def test_guest_writes_guests_and_sheets_of_one_table(
    tables: tuple[Flask, Leader, Leader],
) -> None:
    app, first, second = tables
    for kind, fields in (
        ("bottle", "{}"),
        ("glass", f'{{"group_tasting":"{first.table}"}}'),
        ("sheet", f'{{"group_tasting":"{second.table}"}}'),
        ("sheet", "{}"),
    ):
        row = {"owner_id": 1, "kind": kind, "id": "x", "seq": 999, "fields": fields}
        row |= {"clocks": "{}", "deleted": False}
        with app.test_request_context():
            restrict(1, first.table)
            with (
                pytest.raises(ProgrammingError, match="row-level security"),
                write_transaction() as connection,
            ):
                connection.execute(insert(record), row)
    with app.test_request_context():
        restrict(1, first.table)
        with write_transaction() as connection:
            others = update(record).where(record.c.id == second.glasses[0]).values(seq=998)
            assert connection.execute(others).rowcount == 0


def test_guest_of_one_request_is_reset_for_the_next(tables: tuple[Flask, Leader, Leader]) -> None:
    app, first, _ = tables
    with app.test_request_context():
        restrict(1, first.table)
        with read_transaction() as connection:
            limited = connection.scalar(select(func.count()).select_from(record))
    with app.test_request_context():
        assert "group_tasting" not in g
        set_current_owner(1)
        with read_transaction() as connection:
            assert connection.scalar(select(func.count()).select_from(record)) > limited


def test_rls_permits_the_whole_evening(tables: tuple[Flask, Leader, Leader]) -> None:
    app, leader, _ = tables
    guest = Guest(app.test_client(), "Bo")
    secret = leader.invite()["secret"]
    assert guest.look(secret=secret).json["glasses"] == 1
    guest.join(secret=secret).put(leader.glasses[0], words="plum")
    leader.change_glass(0, discussed_at=moment(now_ms()), uncovered_at=moment(now_ms()))
    (glass,) = guest.table()["glasses"]
    assert len(glass["answers"]) == 2
    assert glass["bottle"]["name"] == "Zephyrhill"
    assert guest.ask("POST", "/api/guests/leave", json={"forget": True}).json == {"done": True}
    assert "plum" not in [one.get("words") for one in leader.records("sheet").values()]


def test_guest_id_of_another_table_is_taken(tables: tuple[Flask, Leader, Leader]) -> None:
    app, first, second = tables
    guest = Guest(app.test_client())
    second.put("guest", guest.id, group_tasting=second.table, name="Cy", entry="qr")
    refused = guest.try_join(secret=first.invite()["secret"])
    assert (refused.status_code, refused.json["code"]) == (409, "guest_taken")
    assert second.records("guest")[guest.id]["name"] == "Cy"
