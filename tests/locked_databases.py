"""Helper for tests that lock a database."""

from __future__ import annotations

from typing import Any

from flask import Flask
from sqlalchemy import event

from webapp.db.engine import db


def wait_briefly(app: Flask) -> None:
    """Let the app wait 50 ms for a locked SQLite database instead of 20 s."""
    with app.app_context():

        @event.listens_for(db.engine, "connect")
        def set_timeout(connection: Any, _record: Any) -> None:
            connection.execute("PRAGMA busy_timeout=50")

        db.engine.dispose()
