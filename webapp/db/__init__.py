"""Connections and transactions. Everything else asks for `reading()` or `writing()`."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import Flask, g
from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import Connection, Engine, Table, event, text
from sqlalchemy.dialects import postgresql, sqlite

from webapp.config import database_file
from webapp.db.tables import metadata

db = SQLAlchemy(metadata=metadata)


def connect(app: Flask) -> None:
    """Give the app its database engine; an SQLite file gets its folder and its ground rules."""
    file = database_file(app.config["DATABASE_URL"])
    if file is not None:
        # Notes and the hashes of passphrases: for whoever runs the server, not for the machine.
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not file.exists():
            file.touch(mode=0o600)
    db.init_app(app)
    with app.app_context():
        if db.engine.dialect.name == "sqlite":
            _prepare_sqlite(db.engine)


def _prepare_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def set_up(connection: Any, _record: Any) -> None:
        # The driver must not open transactions of its own: ours say whether they will write.
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode=WAL")
        # A phone forgets its outbox on our word, so our word must survive a power cut.
        connection.execute("PRAGMA synchronous=FULL")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def reading() -> Iterator[Connection]:
    """One snapshot of the database for several reads."""
    with db.engine.connect() as connection:
        if connection.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            _say_for_whom(connection)
            yield connection


@contextmanager
def writing() -> Iterator[Connection]:
    """One transaction that writes: all of it or nothing.

    On SQLite the right to write is taken at the start (BEGIN IMMEDIATE), so that a transaction that
    has read can never fail to write. On PostgreSQL the caller locks the rows that it will change.
    """
    with db.engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            _say_for_whom(connection)
            yield connection


def _say_for_whom(connection: Connection) -> None:
    """Tell PostgreSQL whose rows this transaction may see; without an owner it sees nobody's."""
    owner_id = g.get("owner_id")
    if owner_id is not None and connection.dialect.name == "postgresql":
        connection.execute(
            text("SELECT set_config('secondnose.owner', :owner, true)"), {"owner": str(owner_id)}
        )


def insert_new(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Insert the rows whose key is not there yet."""
    if not rows:
        return
    dialect = postgresql if connection.dialect.name == "postgresql" else sqlite
    connection.execute(dialect.insert(table).on_conflict_do_nothing(), rows)
