"""Servers with many owners, deployed as in production, and a session token for each owner."""

from __future__ import annotations

import os
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import insert

from tests.conftest import dispose
from tests.processes import running, wait_for
from tests.temporary_postgres import Cluster, free_port
from webapp import create_app
from webapp.auth import sessions
from webapp.auth.names import owner_uid
from webapp.db import tables
from webapp.db.engine import write_transaction

WORKERS = 4
KEY = "a key that every phone here shares"
BROWSER = sessions.Browser("phone", "127.0.0.1", KEY)


@dataclass(frozen=True)
class Server:
    """A running server; `tokens` has one session for each owner, `log` is its log output."""

    port: int
    tokens: list[str]
    log: Path


@contextmanager
def postgres_server(
    folder: Path, owners: int, cluster: Cluster, workers: int = WORKERS
) -> Iterator[Server]:
    """Run PostgreSQL behind gunicorn workers."""
    url = cluster.url(cluster.new_database())
    port = free_port()
    command = ["-m", "gunicorn", "-w", str(workers), "-b", f"127.0.0.1:{port}"]
    command += ["--timeout", "120", "--no-control-socket", "webapp.wsgi:app"]
    with _serving(folder, url, owners, port, command) as server:
        yield server


@contextmanager
def sqlite_server(folder: Path, owners: int) -> Iterator[Server]:
    """Run SQLite behind the eight threads of `secondnose serve`."""
    port = free_port()
    url = f"sqlite:///{folder / 'book.sqlite'}"
    command = ["-m", "webapp", "serve", "--port", str(port)]
    with _serving(folder, url, owners, port, command) as server:
        yield server


@contextmanager
def _serving(
    folder: Path, url: str, owners: int, port: int, command: list[str]
) -> Iterator[Server]:
    tokens = let_in(url, owners)
    log = folder / "server.log"
    given = {"DATABASE_URL": url, "SECONDNOSE_PHOTOS": str(folder / "photos")}
    unbounded = {"SECONDNOSE_MAX_REQUESTS": "0"}
    with running(command, log, env={**os.environ, **given, **unbounded}) as process:
        wait_for(lambda: is_ready(port), process, log)
        yield Server(port, tokens, log)


def let_in(url: str, owners: int) -> list[str]:
    """Create the owners, each with a session on a phone."""
    app = create_app({"DATABASE_URL": url, "UPGRADE": True})
    now_s = int(time.time())
    with app.app_context(), write_transaction() as connection:
        tokens = []
        for number in range(2, owners + 2):
            name = f"owner {number}"
            row = {"id": number, "uid": owner_uid(name), "name": name, "made_at": "now"}
            connection.execute(insert(tables.owner), {**row, "seq": 0, "max_clock_ms": 0})
            tokens.append(sessions.start(connection, number, BROWSER, now_s))
    dispose(app)
    return tokens


def is_ready(port: int) -> bool | None:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/readyz", timeout=5):
            return True
    except (urllib.error.URLError, OSError):
        return None
