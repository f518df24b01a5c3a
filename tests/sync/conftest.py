"""Fixtures that sync without HTTP, on a clock that the test sets."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import delete, insert, select, update

from tests.memory_database import connection, memory_engine  # noqa: F401
from webapp.auth.owners import set_current_owner
from webapp.db import tables
from webapp.db.engine import read_transaction, write_transaction
from webapp.records.repository import Key
from webapp.retention.deleted_values import purge_deleted_values
from webapp.sync.schemas import SyncRequestSchema
from webapp.sync.service import handle_sync

START_MS = 1_790_000_000_000
COPIED = [
    tables.owner,
    tables.device,
    tables.record,
    tables.revision,
    tables.tally,
    tables.daily_seq,
]


class Server:
    """An owner's server-side notebook that tests can query, copy and restore."""

    def __init__(self, app: Flask) -> None:
        self.app = app
        self.now_ms = START_MS

    def send(self, request: dict[str, Any]) -> dict[str, Any]:
        """Run one sync request, passing both bodies through JSON text as over HTTP."""
        asked = SyncRequestSchema().load(json.loads(json.dumps(request)))
        with self.app.app_context():
            answer = handle_sync(write_transaction, 1, asked, self.now_ms)
        payload: dict[str, Any] = json.loads(answer.text())
        return payload

    def rows(self, table: Any) -> list[dict[str, Any]]:
        with self.app.app_context(), read_transaction() as opened:
            return [dict(row) for row in opened.execute(select(table)).mappings()]

    def state(self) -> dict[str, Any]:
        """Return the server's records in the form of a phone's state."""
        return {
            f"{row['kind']}/{row['id']}": {
                "kind": row["kind"],
                "id": row["id"],
                "fields": json.loads(row["fields"]),
                "clocks": json.loads(row["clocks"]),
                "deleted": row["deleted"],
                "deleted_clock": row["deleted_clock"],
            }
            for row in sorted(self.rows(tables.record), key=lambda row: (row["kind"], row["id"]))
        }

    def kept_values(self) -> set[tuple[str, str, str]]:
        """Return (record, field, JSON of the value) for the current state and the revision log."""
        kept = {
            (row["record_id"], row["field"], row["value"]) for row in self.rows(tables.revision)
        }
        for record in self.state().values():
            for field, value in record["fields"].items():
                kept.add((record["id"], field, json.dumps(value)))
            if record["deleted_clock"]:
                kept.add((record["id"], "deleted", json.dumps(record["deleted"])))
        return kept

    def backup(self) -> dict[str, list[dict[str, Any]]]:
        return {table.name: self.rows(table) for table in COPIED}

    def restore(self, copy: dict[str, list[dict[str, Any]]]) -> None:
        """Restore the whole database from a copy, including its epoch."""
        with self.app.app_context(), write_transaction() as opened:
            for table in reversed(COPIED):
                opened.execute(delete(table))
            for table in COPIED:
                if copy[table.name]:
                    opened.execute(insert(table), copy[table.name])

    def purge(self) -> list[Key]:
        """Run the daily purge of deleted values and return the keys of the purged records."""
        with self.app.test_request_context():
            set_current_owner(1)
            return purge_deleted_values(write_transaction, 1, 0, self.now_ms)

    def replace(self) -> None:
        """Replace the database by an empty one with a new epoch."""
        with self.app.app_context(), write_transaction() as opened:
            for table in (
                tables.device,
                tables.record,
                tables.revision,
                tables.tally,
                tables.daily_seq,
            ):
                opened.execute(delete(table))
            opened.execute(update(tables.owner).values(seq=0, max_clock_ms=0))
            opened.execute(update(tables.safe).values(epoch=uuid.uuid4().hex))


@pytest.fixture
def server(any_app: Flask) -> Iterator[Server]:
    """Yield an empty server, once on each database."""
    return Server(any_app)
