"""Check row-level security: PostgreSQL lets some roles bypass it."""

from __future__ import annotations

import logging

from flask import Flask
from sqlalchemy import text

from webapp.db.engine import db, read_transaction

_log = logging.getLogger(__name__)


def is_enforced(app: Flask) -> bool:
    """False where the database's role is a superuser's or may pass by row-level security."""
    with app.app_context(), read_transaction() as connection:
        if connection.dialect.name != "postgresql":
            return True
        query = "SELECT NOT (rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname = current_user"
        return bool(connection.scalar(text(query)))


def warn_if_bypassed(app: Flask) -> None:
    """Log a warning. Every query still names its owner."""
    if not is_enforced(app):
        _log.warning("second_wall_bypassed")
    with app.app_context():
        # Workers that are forked off must not share a connection.
        db.engine.dispose()
