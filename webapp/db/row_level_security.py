"""Checks row-level security, which some PostgreSQL roles bypass."""

from __future__ import annotations

import logging

from flask import Flask
from sqlalchemy import text

from webapp.db.engine import db, read_transaction

_log = logging.getLogger(__name__)


def is_enforced(app: Flask) -> bool:
    """Tell whether row-level security applies: not for a superuser or a role with BYPASSRLS."""
    with app.app_context(), read_transaction() as connection:
        if connection.dialect.name != "postgresql":
            return True
        query = "SELECT NOT (rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname = current_user"
        return bool(connection.scalar(text(query)))


def warn_if_bypassed(app: Flask) -> None:
    """Log a warning if row-level security is bypassed; queries filter by owner in any case."""
    if not is_enforced(app):
        _log.warning("row_level_security_bypassed")
    with app.app_context():
        # Forked workers must not share a connection.
        db.engine.dispose()
