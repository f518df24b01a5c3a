"""Servers of many owners, each as it is run in earnest, and a key to every owner's book."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import insert

from tests.conftest import dispose
from tests.temporary_postgres import free_port, running_cluster
from webapp import create_app
from webapp.accounts import sign_ins
from webapp.accounts.names import owner_uid
from webapp.db import tables, writing

ROOT = Path(__file__).resolve().parents[2]
START_S = 60
WORKERS = 4


@dataclass(frozen=True)
class House:
    """A running server; `tokens` has one sign-in an owner, `log` is what it wrote."""

    port: int
    tokens: list[str]
    log: Path


@contextmanager
def postgres_house(folder: Path, owners: int) -> Iterator[House]:
    """PostgreSQL behind four gunicorn workers."""
    with running_cluster() as cluster:
        url = cluster.url(cluster.new_database())
        port = free_port()
        workers = ["-m", "gunicorn", "-w", str(WORKERS), "-b", f"127.0.0.1:{port}"]
        command = [*workers, "--timeout", "120", "--no-control-socket", "webapp.wsgi:app"]
        with _running(folder, url, owners, port, command) as house:
            yield house


@contextmanager
def sqlite_house(folder: Path, owners: int) -> Iterator[House]:
    """SQLite behind the eight threads of `secondnose serve`."""
    port = free_port()
    url = f"sqlite:///{folder / 'book.sqlite'}"
    command = ["-m", "webapp", "serve", "--port", str(port)]
    with _running(folder, url, owners, port, command) as house:
        yield house


@contextmanager
def _running(folder: Path, url: str, owners: int, port: int, command: list[str]) -> Iterator[House]:
    tokens = _let_in(url, owners)
    log = folder / "server.log"
    given = {"DATABASE_URL": url, "SECONDNOSE_PHOTOS": str(folder / "photos")}
    unbounded = {"SECONDNOSE_MAX_REQUESTS": "0"}
    with log.open("ab") as out:
        process = subprocess.Popen(
            [sys.executable, *command],
            cwd=ROOT,
            env={**os.environ, **given, **unbounded},
            stdout=out,
            stderr=out,
        )
    try:
        _wait(port, process, log)
        yield House(port, tokens, log)
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(timeout=30)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _let_in(url: str, owners: int) -> list[str]:
    """Make the owners, each signed in on a phone."""
    app = create_app({"DATABASE_URL": url, "UPGRADE": True})
    now_s = int(time.time())
    with app.app_context(), writing() as connection:
        tokens = []
        for number in range(2, owners + 2):
            name = f"owner {number}"
            row = {"id": number, "uid": owner_uid(name), "name": name, "made_at": "now"}
            connection.execute(insert(tables.owner), {**row, "seq": 0, "max_clock_ms": 0})
            tokens.append(sign_ins.begin(connection, number, "phone", "127.0.0.1", now_s))
    dispose(app)
    return tokens


def _wait(port: int, process: subprocess.Popen[bytes], log: Path) -> None:
    deadline = time.monotonic() + START_S
    while time.monotonic() < deadline:
        if process.poll() is not None:
            break
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/readyz", timeout=5):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    raise RuntimeError(f"The server did not start:\n{log.read_text(errors='replace')}")
