"""Database connections and transactions: `read_transaction()` and `write_transaction()`."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext, suppress
from typing import Any

from flask import Flask, g
from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import Connection, Engine, Table, event, select, text
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import InterfaceError, OperationalError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from webapp.db.tables import metadata, owner

db = SQLAlchemy(metadata=metadata)
# The database is locked, full or unreachable; retrying the transaction later may succeed.
BUSY_ERRORS = (OperationalError, InterfaceError, PoolTimeout)
# SQLSTATEs of a PostgreSQL that is stopping or starting; class 08 is a lost connection.
STOPPED = ("57P01", "57P02", "57P03")
# Writers wait while SQLite empties its log, so this is short.
LOG_WAIT_MS = 500


def is_unreachable(error: Exception) -> bool:
    """Tell whether a BUSY_ERRORS error says that the database server cannot be reached."""
    cause: Any = getattr(error, "orig", None)
    # SQLite's errors have no SQLSTATE; a failed connection has an empty one.
    if not hasattr(cause, "sqlstate"):
        return False
    return cause.sqlstate is None or cause.sqlstate.startswith("08") or cause.sqlstate in STOPPED


class OwnerErased(Exception):
    """The owner of this request was erased meanwhile."""


def connect(app: Flask) -> None:
    """Attach the database engine to the app, and configure SQLite."""
    db.init_app(app)
    with app.app_context():
        if db.engine.dialect.name == "sqlite":
            _prepare_sqlite(db.engine)


def _prepare_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def configure(connection: Any, _record: Any) -> None:
        # Stop the driver from opening transactions: `begin` decides between read and write.
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode=WAL")
        # Phones clear their outbox when we acknowledge, so the commit must survive power loss.
        connection.execute("PRAGMA synchronous=FULL")
        # Overwrite deleted data, so that it cannot be read from the file.
        connection.execute("PRAGMA secure_delete=ON")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def read_transaction() -> Iterator[Connection]:
    """Open a transaction that reads from one snapshot."""
    with db.engine.connect() as connection:
        if connection.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            _set_current_owner(connection)
            yield connection


@contextmanager
def write_transaction(*, waits: bool = True) -> Iterator[Connection]:
    """Open a transaction that writes.

    On SQLite it takes the write lock at the start (BEGIN IMMEDIATE), so that a write after a read
    cannot fail. On PostgreSQL the caller locks the rows that it changes. Without `waits` it raises
    OperationalError if another transaction has the lock. Raises OwnerErased.
    """
    with db.engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with nullcontext() if waits else _waiting(connection, 0), connection.begin():
            if not waits and connection.dialect.name == "postgresql":
                connection.execute(text("SET LOCAL lock_timeout = '1ms'"))
            _set_current_owner(connection)
            _check_owner(connection)
            yield connection


@contextmanager
def _waiting(connection: Connection, limit_ms: int) -> Iterator[None]:
    """Let SQLite fail after this time instead of waiting longer for a lock."""
    if connection.dialect.name != "sqlite":
        yield
        return
    driver: Any = connection.connection.driver_connection
    [limit] = driver.execute("PRAGMA busy_timeout").fetchone()
    driver.execute(f"PRAGMA busy_timeout={limit_ms}")
    try:
        yield
    finally:
        driver.execute(f"PRAGMA busy_timeout={limit}")


def empty_log() -> None:
    """Empty SQLite's log, in which deleted content stays readable until it is written over.

    If others read for so long that it cannot be emptied, the hourly call does it later.
    """
    if db.engine.dialect.name != "sqlite":
        return
    # What was deleted is deleted, so a failure here must not fail the caller.
    with (
        suppress(sqlite3.Error, SQLAlchemyError),
        db.engine.connect() as connection,
        _waiting(connection, LOG_WAIT_MS),
    ):
        driver: Any = connection.connection.driver_connection
        driver.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()


def _check_owner(connection: Connection) -> None:
    """Raise OwnerErased if the owner is gone; foreign keys, off in SQLite, would not prevent it."""
    owner_id = g.get("owner_id")
    query = select(owner.c.id).where(owner.c.id == owner_id)
    if owner_id is not None and connection.scalar(query) is None:
        raise OwnerErased


def _set_current_owner(connection: Connection) -> None:
    """Set the owner for PostgreSQL's row-level security; without one, no rows are visible."""
    owner_id = g.get("owner_id")
    if owner_id is not None and connection.dialect.name == "postgresql":
        connection.execute(
            text("SELECT set_config('secondnose.owner', :owner, true)"), {"owner": str(owner_id)}
        )
        if g.get("group_tasting") is not None:
            # A guest's transaction sees the records of one led tasting only.
            connection.execute(
                text("SELECT set_config('secondnose.group_tasting', :id, true)"),
                {"id": g.group_tasting},
            )


def end_restriction(connection: Connection) -> None:
    """Let the rest of a guest's transaction see all records of the owner, not of one table only."""
    g.pop("group_tasting", None)
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT set_config('secondnose.group_tasting', '', true)"))


def insert_missing(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Insert the rows whose key does not exist yet."""
    if not rows:
        return
    dialect = postgresql if connection.dialect.name == "postgresql" else sqlite
    connection.execute(dialect.insert(table).on_conflict_do_nothing(), rows)
