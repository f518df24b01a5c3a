"""Row-level security holds behind PgBouncer in transaction mode."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import func, select, text

from tests.auth.conftest import signed_in_client
from tests.auth.tenant_probe import BOTTLE, CLOCKS, change, push
from tests.auth.test_row_level_security import walled
from tests.bench.growth.pooler import pooled
from tests.conftest import dispose
from tests.processes import end
from tests.temporary_postgres import Cluster
from webapp import create_app
from webapp.auth.owners import set_current_owner
from webapp.config import engine_options
from webapp.db.engine import db, read_transaction
from webapp.db.tables import record
from webapp.errors import StartupError

__all__ = ["walled"]
ROUNDS = 12


@pytest.fixture
def pooled_app(walled: Flask, cluster: Cluster, tmp_path: Path) -> Iterator[Flask]:
    """Yield the same server behind PgBouncer, which has fewer sessions than there are clients."""
    settings, process = pooled(cluster, walled.config["DATABASE_URL"], tmp_path)
    try:
        app = create_app({**settings, "PHOTO_FOLDER": str(tmp_path / "photos")})
        yield app
        dispose(app)
    finally:
        end(process)


@pytest.mark.postgres
def test_rls_holds_behind_a_transaction_pooler(pooled_app: Flask) -> None:
    seen: dict[str, set[str]] = {"anna": set(), "bruno": set()}
    failures = list[BaseException]()

    def use(name: str) -> None:
        try:
            client = signed_in_client(pooled_app, name)
            for number in range(ROUNDS):
                id_ = f"{BOTTLE[:-2]}{number:02x}"
                push(client, change("bottle", id_, CLOCKS[0], name=f"{name}'s {number}"))
            page = push(client)
            seen[name] |= {one["fields"]["name"].partition("'")[0] for one in page["changes"]}
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=use, args=(name,)) for name in seen for _ in range(3)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert failures == []
    assert seen == {"anna": {"anna"}, "bruno": {"bruno"}}


@pytest.mark.postgres
def test_pooled_session_keeps_no_owner(pooled_app: Flask) -> None:
    push(signed_in_client(pooled_app, "anna"), change("bottle", BOTTLE, CLOCKS[0], name="mine"))
    count = select(func.count()).select_from(record)
    with pooled_app.app_context():
        set_current_owner(1)
        # Often enough for a driver to prepare the statement.
        for _ in range(ROUNDS):
            with read_transaction() as connection:
                assert connection.scalar(count) == 1
    with pooled_app.app_context():
        for _ in range(ROUNDS):
            with read_transaction() as connection:
                assert connection.scalar(count) == 0
        with db.engine.connect() as connection:
            prepared = text("SELECT count(*) FROM pg_prepared_statements")
            assert connection.scalar(prepared) == 0


def test_unknown_pooler_is_rejected() -> None:
    with pytest.raises(StartupError, match="SECONDNOSE_POOLER"):
        engine_options("postgresql+psycopg://host/book", "session")
