"""Databases in memory with all tables: a connection that is rolled back, and an app."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Connection, Engine, StaticPool, Table, create_engine, delete, insert, select

from webapp import create_app
from webapp.auth import passphrase
from webapp.auth.rate_limit import RateLimiter
from webapp.db.engine import db, write_transaction
from webapp.db.tables import metadata, owner

WORDS = {"anna": "four dry autumn barrels", "bruno": "seven wet stone steps"}


@pytest.fixture(scope="session")
def memory_engine() -> Engine:
    """Return the engine of an empty database in memory."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    metadata.create_all(engine)
    return engine


@pytest.fixture
def connection(memory_engine: Engine) -> Iterator[Connection]:
    """Return a connection to two owners, 1 and 2; the end of the test rolls all changes back."""
    with memory_engine.connect() as opened:
        for id_ in (1, 2):
            opened.execute(insert(owner).values(owner_values(id_)))
        yield opened
        opened.rollback()


def owner_values(id_: int, **given: Any) -> dict[str, Any]:
    """Return the row of an owner."""
    plain = {"uid": f"uid {id_}", "name": f"owner {id_}", "seq": 0, "guest_seq": 0}
    return {"id": id_, **plain, "max_clock_ms": 0, "made_at": "2026-01-01", **given}


def rows_of(connection: Connection, table: Table, *columns: str) -> list[tuple[Any, ...]]:
    """Return some columns of all rows, sorted."""
    return sorted(tuple(row) for row in connection.execute(select(*(table.c[c] for c in columns))))


def first_row(connection: Connection, table: Table) -> dict[str, Any]:
    """Return the only row of a table."""
    return dict(connection.execute(select(table)).mappings().one())


@pytest.fixture(scope="session")
def shared_memory_app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """Return an app on a database in memory that has all tables."""
    url = f"sqlite:///{tmp_path_factory.mktemp('memory') / 'unused.sqlite'}"
    memory = {"poolclass": StaticPool, "creator": _open_in_memory}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("webapp.config.engine_options", lambda *_: memory)
        app = create_app({"DATABASE_URL": url, "CHECK_DATABASE": False, "TESTING": False})
    with app.app_context():
        metadata.create_all(db.engine)
    return app


def _open_in_memory() -> sqlite3.Connection:
    return sqlite3.connect(":memory:", check_same_thread=False)


@pytest.fixture(scope="session")
def memory_hashes(fast_hashing: None) -> dict[str, str]:
    return {name: passphrase.rehash(words) for name, words in WORDS.items()}


@pytest.fixture
def memory_app(shared_memory_app: Flask, memory_hashes: dict[str, str]) -> Iterator[Flask]:
    """Return an app in its context, with empty notebooks of Anna (1) and Bruno (2)."""
    app = shared_memory_app
    config, extensions = dict(app.config), dict(app.extensions)
    with app.app_context():
        with write_transaction() as opened:
            for table in reversed(metadata.sorted_tables):
                opened.execute(delete(table))
            for id_, (name, hashed) in enumerate(memory_hashes.items(), 1):
                row = owner_values(id_, name=name, passphrase=hashed)
                opened.execute(insert(owner).values(row))
        yield app
    app.config.update(config)
    app.extensions.clear()
    app.extensions.update(extensions)
    app.extensions["rate_limiter"] = RateLimiter(app.config["MAX_REQUESTS"])
