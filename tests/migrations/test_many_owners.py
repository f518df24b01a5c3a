"""Migration 0006 folds the names of owners and moves the numbers of days to a table."""

from __future__ import annotations

from flask import Flask
from sqlalchemy import select, text

from tests.migrations.test_migrations import blank_app
from webapp import migrations
from webapp.auth.owners import find_owner
from webapp.db.engine import db
from webapp.db.tables import daily_seq, tally

__all__ = ["blank_app"]
OWNERS = "INSERT INTO owner (id, uid, name, seq, max_clock_ms, made_at) VALUES "
COUNTS = "INSERT INTO tally (key, used, at_s) VALUES "


def fill() -> None:
    with db.engine.execution_options(writes=True).begin() as connection:
        connection.execute(
            text(OWNERS + "(1, 'a', 'Élise', 0, 0, ''), (2, 'b', 'Straße', 0, 0, '')")
        )
        # Owner 9 was erased.
        connection.execute(
            text(COUNTS + "('seq/1/20000', 5, 7), ('seq/9/20000', 6, 7), ('from/::', 3, 8)")
        )


def counters_of() -> list[tuple[str, int, int]]:
    with db.engine.connect() as connection:
        return [tuple(row) for row in connection.execute(select(tally).order_by(tally.c.key))]


def test_names_and_days_survive_the_upgrade(blank_app: Flask) -> None:
    migrations.upgrade(db.engine, "0005")
    fill()
    migrations.upgrade(db.engine)
    assert counters_of() == [("from/::", 3, 8)]
    with db.engine.connect() as connection:
        assert connection.execute(select(daily_seq)).all() == [(1, 20000, 5, 7)]
        names = ("éLISE", "STRASSE", "elise")
        found = [find_owner(connection, name) for name in names]
        assert [row and row.id for row in found] == [1, 2, None]


def test_days_survive_the_downgrade(blank_app: Flask) -> None:
    migrations.upgrade(db.engine, "0005")
    fill()
    migrations.upgrade(db.engine)
    migrations.downgrade(db.engine, "0005")
    assert counters_of() == [("from/::", 3, 8), ("seq/1/20000", 5, 7)]
