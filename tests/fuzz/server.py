"""A server with a hostile owner and a witness, and the checks of every response."""

from __future__ import annotations

import faulthandler
import json
import resource
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.memory_folder import memory_folder
from webapp import create_app
from webapp.auth import sessions
from webapp.auth.owners import add_owner
from webapp.db.engine import db, write_transaction
from webapp.db.tables import sign_in as sign_in_table

# Far above the time of any case on a busy machine, so that exceeding it means a hang.
HANGS_S = 300
KEY = "a key that both owners here share"
MOST_GROWTH_KB = 700_000
EXPECTED = frozenset({200, 202, 304, 400, 401, 403, 404, 405, 409, 413, 415, 421, 422, 426, 429})


@dataclass
class Server:
    """The app, the hostile owner's client, and a witness whose notebook must not change."""

    app: Flask
    folder: Path
    hostile: FlaskClient
    witness: FlaskClient
    started_kb: int = field(default_factory=lambda: peak_kb())

    def judge(self, answer: TestResponse) -> Any:
        """Assert that a response is acceptable and return its JSON."""
        assert answer.status_code in EXPECTED, (answer.status_code, answer.text[:400])
        assert self.grown_kb() < MOST_GROWTH_KB
        if answer.mimetype in ("application/json", "application/problem+json"):
            return strict_json(answer.data)
        return None

    def grown_kb(self) -> int:
        return peak_kb() - self.started_kb

    def files(self) -> set[Path]:
        """Return every file next to the database, wherever hostile names may have put it."""
        return {path for path in self.folder.rglob("*") if "book.sqlite" not in path.name}


def peak_kb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def strict_json(data: bytes) -> Any:
    return json.loads(data.decode("utf-8"), parse_constant=_refuse)


def _refuse(name: str) -> NoReturn:
    raise AssertionError(f"{name} is no JSON")


@contextmanager
def watched() -> Iterator[None]:
    """End the run with a traceback if the block hangs."""
    faulthandler.dump_traceback_later(HANGS_S, exit=True)
    try:
        yield
    finally:
        faulthandler.cancel_dump_traceback_later()


@contextmanager
def opened_server() -> Iterator[Server]:
    """Open a server for the duration of the block."""
    with tempfile.TemporaryDirectory(prefix="snfuzz", dir=memory_folder()) as name:
        folder = Path(name)
        config = {
            "DATABASE_URL": f"sqlite:///{folder / 'server' / 'book.sqlite'}",
            "PHOTO_FOLDER": str(folder / "server" / "photos"),
            "UPGRADE": True,
            "MAX_REQUESTS": 0,
            "MAX_IMPORT_BYTES": 60_000_000,
        }
        app = create_app(config)
        hostile, witness = (_client(app, who) for who in ("hostile", "witness"))
        yield Server(app, folder, hostile, witness)
        with app.app_context():
            db.engine.dispose()


def _client(app: Flask, name: str) -> FlaskClient:
    with app.app_context(), write_transaction() as connection:
        owner_id = add_owner(connection, name, "seven wet stone steps")
        browser = sessions.Browser(name, "127.0.0.1", KEY)
        token = sessions.start(connection, owner_id, browser, 4_000_000_000)
        # Mark the passphrase as just confirmed, so that export and import are allowed.
        connection.execute(sign_in_table.update().values(confirmed_at=4_000_000_000))
    client = app.test_client()
    client.set_cookie("secondnose", token)
    client.environ_base["HTTP_SECOND_NOSE_KEY"] = KEY
    return client
