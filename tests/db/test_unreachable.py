"""A PostgreSQL that is down is told apart from a busy one; phones try again after both."""

from __future__ import annotations

import logging

import psycopg
import pytest
from flask import Flask
from psycopg import errors
from sqlalchemy.exc import InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from tests.conftest import AppMaker
from webapp.db.engine import db, is_unreachable

REFUSING = "host=127.0.0.1 port=9"


@pytest.mark.parametrize(
    ("cause", "unreachable"),
    [
        (psycopg.OperationalError("connection refused"), True),
        (psycopg.errors.ConnectionTimeout("timeout expired"), True),
        (errors.AdminShutdown("terminating connection"), True),
        (errors.CannotConnectNow("starting up"), True),
        (errors.ConnectionFailure("lost"), True),
        (errors.LockNotAvailable("lock timeout"), False),
        (errors.DeadlockDetected("deadlock"), False),
        (errors.DiskFull("disk full"), False),
    ],
    ids=lambda value: type(value).__name__,
)
def test_server_that_is_down_is_told_apart(cause: Exception, unreachable: bool) -> None:
    assert is_unreachable(OperationalError("SELECT 1", {}, cause)) is unreachable


def test_lost_connection_is_unreachable() -> None:
    lost = psycopg.InterfaceError("the connection is closed")
    assert is_unreachable(InterfaceError("SELECT 1", {}, lost))
    assert not is_unreachable(PoolTimeout("QueuePool limit reached"))


@pytest.mark.postgres
def test_database_that_is_down_has_its_own_event(
    make_app: AppMaker, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    app: Flask = make_app("postgresql")
    client = app.test_client()
    assert client.get("/readyz").status_code == 200
    with app.app_context():
        db.engine.dispose()
        monkeypatch.setattr(
            db.engine.dialect, "connect", lambda *_, **__: psycopg.connect(REFUSING)
        )
        caplog.set_level(logging.INFO, "webapp")
        for path in ("/readyz", "/api/me"):
            answer = client.get(path)
            assert (answer.status_code, answer.json["code"]) == (503, "database_unreachable")
            assert int(answer.headers["Retry-After"]) > 0
    assert {one.msg for one in caplog.records if one.name.startswith("webapp")} == {
        "database_unreachable"
    }
