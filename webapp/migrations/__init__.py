"""Migrations of the database schema, run from code (there is no alembic.ini).

`state(engine)` compares the database's schema with this program's; `upgrade(engine)` migrates it in
one transaction, safely even if several processes start at once.
"""

from __future__ import annotations

import functools
import uuid
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, func, insert, select, text

from webapp.auth.names import FIRST_OWNER, owner_uid
from webapp.db.tables import owner, safe

State = Literal["current", "empty", "older", "newer"]
_UPGRADE_LOCK = 5_093_217_001


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


@functools.cache
def head() -> str:
    """Return the schema revision of this program.

    Cached, because every check of readiness asks, and finding it parses every migration.
    """
    revision = ScriptDirectory.from_config(_config()).get_current_head()
    assert revision is not None
    return revision


def state(engine: Engine) -> State:
    """Return the state of the schema; a revision unknown to this program counts as newer."""
    with engine.connect() as connection:
        current = MigrationContext.configure(connection).get_current_revision()
    if current is None:
        return "empty"
    if current == head():
        return "current"
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    return "older" if current in known else "newer"


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Run the missing migrations; create the epoch and the first owner if there are none."""
    with engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            _lock_upgrades(connection)
            command.upgrade(_config(connection), revision)
            if revision == "head":
                _create_first_rows(connection)


def downgrade(engine: Engine, revision: str) -> None:
    """Undo migrations down to a revision; "base" removes every table."""
    with engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            _lock_upgrades(connection)
            command.downgrade(_config(connection), revision)


def _lock_upgrades(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _UPGRADE_LOCK})


def _create_first_rows(connection: Connection) -> None:
    now = datetime.now(UTC).isoformat()
    if not connection.scalar(select(func.count()).select_from(safe)):
        connection.execute(insert(safe), {"id": 1, "epoch": uuid.uuid4().hex, "made_at": now})
    if not connection.scalar(select(func.count()).select_from(owner)):
        first = {"uid": owner_uid(FIRST_OWNER), "name": FIRST_OWNER, "made_at": now}
        connection.execute(insert(owner), {**first, "seq": 0, "max_clock_ms": 0})
