"""A database that cannot write answers 503 and stores nothing partially."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import event

from tests.conftest import AppMaker
from tests.locked_databases import wait_briefly
from webapp.config import database_file
from webapp.db.engine import db
from webapp.sync import apply

CLOCK = "1790000000000-0000-aaaaaaaa"


def request(count: int = 3, words: str = "plums") -> dict[str, Any]:
    changes = [
        {
            "kind": "tasting",
            "id": f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}",
            "fields": {"words": words},
            "clocks": {"words": CLOCK},
        }
        for number in range(count)
    ]
    return {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}


def file_of(app: Flask) -> Path:
    file = database_file(app.config["DATABASE_URL"])
    assert file is not None
    return file


def whole_book(app: Flask) -> list[str]:
    with sqlite3.connect(file_of(app)) as connection:
        dumped = [*connection.iterdump()]
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
    return dumped


@pytest.fixture
def hasty_app(make_app: AppMaker) -> Flask:
    """Return an app with a short timeout for a locked database."""
    app = make_app()
    wait_briefly(app)
    return app


def test_locked_database_returns_503_and_succeeds_on_retry(
    hasty_app: Flask,
) -> None:
    client, before = hasty_app.test_client(), whole_book(hasty_app)
    other = sqlite3.connect(file_of(hasty_app), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer = client.post("/api/sync", json=request())
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) > 0
    assert answer.json["code"] == "database_busy"
    other.execute("ROLLBACK")
    other.close()
    assert whole_book(hasty_app) == before
    assert client.post("/api/sync", json=request()).json["cursor"] == 3


def test_full_disk_returns_503_and_stores_nothing(
    app: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    client = app.test_client()
    client.post("/api/sync", json=request())
    before = whole_book(app)
    with app.app_context():

        @event.listens_for(db.engine, "connect")
        def full(connection: Any, _record: Any) -> None:
            pages = connection.execute("PRAGMA page_count").fetchone()[0]
            connection.execute(f"PRAGMA max_page_count={pages}")

        db.engine.dispose()
        answer = client.post("/api/sync", json=request(400, "x" * 3000))
        assert (answer.status_code, answer.json["code"]) == (503, "no_room")
        assert "Retry-After" in answer.headers
        assert "disk_full" in caplog.messages
        assert whole_book(app) == before
        event.remove(db.engine, "connect", full)
        db.engine.dispose()
    assert client.post("/api/sync", json=request(400, "x" * 3000)).status_code == 200


def test_failure_within_a_batch_stores_nothing(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    client = app.test_client()
    client.post("/api/sync", json=request(1))
    before = whole_book(app)

    def breaks(*_: Any) -> int:
        raise RuntimeError("in the middle")

    with monkeypatch.context() as patch:
        # The records are written at this point, their revisions are not.
        patch.setattr(apply, "write_revisions", breaks)
        answer = client.post("/api/sync", json=request(3, "figs"))
    assert answer.status_code == 500
    assert answer.json["code"] == "unexpected"
    assert "middle" not in answer.text
    assert whole_book(app) == before
    assert client.post("/api/sync", json=request(3)).status_code == 200
