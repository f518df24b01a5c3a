"""Does the second wall stand? PostgreSQL lets some roles see through row-level security."""

from __future__ import annotations

import logging

from flask import Flask
from sqlalchemy import text

from webapp.db.engine import db, reading

_log = logging.getLogger(__name__)


def wall_stands(app: Flask) -> bool:
    """False where the database's role is a superuser's or may pass by row-level security."""
    with app.app_context(), reading() as connection:
        if connection.dialect.name != "postgresql":
            return True
        query = "SELECT NOT (rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname = current_user"
        return bool(connection.scalar(text(query)))


def warn_of_open_wall(app: Flask) -> None:
    """A line in the journal; the first wall, the owner in every query, stands all the same."""
    if not wall_stands(app):
        _log.warning("second_wall_bypassed")
    with app.app_context():
        # Workers that are forked off must not share a connection.
        db.engine.dispose()
