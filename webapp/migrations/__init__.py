"""Steps of the database schema, run from code (there is no alembic.ini).

`state(engine)` says how the database stands to this program; `upgrade(engine)` brings it up in one
transaction, also when several processes start at once.
"""

from __future__ import annotations

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


def head() -> str:
    """The revision that this program was written for."""
    revision = ScriptDirectory.from_config(_config()).get_current_head()
    assert revision is not None
    return revision


def state(engine: Engine) -> State:
    """How the database stands: a revision that this program does not know is a newer one."""
    with engine.connect() as connection:
        current = MigrationContext.configure(connection).get_current_revision()
    if current is None:
        return "empty"
    if current == head():
        return "current"
    known = {step.revision for step in ScriptDirectory.from_config(_config()).walk_revisions()}
    return "older" if current in known else "newer"


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Run the missing steps, then found the book if there is none (its epoch, its first owner)."""
    with engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            _one_at_a_time(connection)
            command.upgrade(_config(connection), revision)
            if revision == "head":
                _found(connection)


def downgrade(engine: Engine, revision: str) -> None:
    """Take steps back; "base" removes every table."""
    with engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            _one_at_a_time(connection)
            command.downgrade(_config(connection), revision)


def _one_at_a_time(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _UPGRADE_LOCK})


def _found(connection: Connection) -> None:
    now = datetime.now(UTC).isoformat()
    if not connection.scalar(select(func.count()).select_from(safe)):
        connection.execute(insert(safe), {"id": 1, "epoch": uuid.uuid4().hex, "made_at": now})
    if not connection.scalar(select(func.count()).select_from(owner)):
        first = {"uid": owner_uid(FIRST_OWNER), "name": FIRST_OWNER, "made_at": now}
        connection.execute(insert(owner), {**first, "seq": 0, "max_clock_ms": 0})
