"""Running servers to attack: `secondnose serve` and gunicorn, each in processes of its own."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.forked_process import ForkedProcess
from tests.processes import wait_for
from tests.temporary_postgres import free_port
from webapp import create_app
from webapp.auth.owners import add_owner
from webapp.db.engine import db, write_transaction

WORDS = {"anna": "four dry autumn barrels", "bruno": "seven wet stone steps"}
SERVERS = ("serve", "gunicorn")
# For what the app decides alone, or several workers together; the other server is extended.
SERVE_FIRST = ("serve", pytest.param("gunicorn", marks=pytest.mark.extended))
GUNICORN_FIRST = (pytest.param("serve", marks=pytest.mark.extended), "gunicorn")
HERE = "127.0.0.1"
# The key of the browser that signs in, without which the cookie is not accepted.
BROWSER_KEY = {"Second-Nose-Key": "a key that both owners here share"}


@dataclass
class Server:
    """A running server with two owners, its folder, and its folder for temporary files."""

    folder: Path
    port: int
    process: ForkedProcess

    @property
    def scratch(self) -> Path:
        return self.folder / "scratch"

    @property
    def book(self) -> Path:
        return self.folder / "book.sqlite"

    def ask(
        self, method: str, path: str, body: bytes | None = None, **headers: str
    ) -> tuple[int, Any, dict[str, str]]:
        """Send one request on a new connection and return (status, JSON or bytes, headers)."""
        line = http.client.HTTPConnection(HERE, self.port, timeout=60)
        with contextlib.closing(line):
            line.request(method, path, body, {"Host": "localhost", **headers})
            answer = line.getresponse()
            content = answer.read()
            is_json = "json" in (answer.getheader("Content-Type") or "")
            return answer.status, json.loads(content) if is_json else content, dict(answer.headers)

    def sign_in(self, name: str) -> dict[str, str]:
        """Sign in on a new device and return the headers that authenticate it."""
        body = {"name": name, "passphrase": WORDS[name], "device_name": "an attacker's"}
        status, answer, headers = self.ask(
            "POST",
            "/api/sign-in",
            json.dumps(body).encode(),
            **{"Content-Type": "application/json", **BROWSER_KEY},
        )
        assert status == 200, answer
        return {"Cookie": headers["Set-Cookie"].split(";")[0], **BROWSER_KEY}

    def signed_in(self, name: str) -> str:
        """Return the header lines that authenticate a new device."""
        headers = self.sign_in(name)
        return "\r\n".join(f"{header}: {value}" for header, value in headers.items())

    def scratch_bytes(self) -> int:
        """Return the size of the temporary files, including deleted ones that are still open."""
        return sum(map(_open_scratch_bytes, self.processes()))

    def processes(self) -> list[int]:
        """Return the ids of the server process and, with gunicorn, its workers."""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text()
        return [self.process.pid, *map(int, children.split())]


def _open_scratch_bytes(process: int) -> int:
    total = 0
    for entry in Path(f"/proc/{process}/fd").iterdir():
        with contextlib.suppress(OSError):
            if "/scratch/" in os.readlink(entry):
                total += entry.stat().st_size
    return total


@contextlib.contextmanager
def running(folder: Path, kind: str, *, workers: int = 2, **settings: object) -> Iterator[Server]:
    """Serve Anna and Bruno with `kind` and these settings."""
    (folder / "scratch").mkdir()
    environment = {
        **os.environ,
        "DATABASE_URL": f"sqlite:///{folder}/book.sqlite",
        "TMPDIR": str(folder / "scratch"),
        **{f"SECONDNOSE_{name}": str(value) for name, value in settings.items()},
    }
    make_book(environment["DATABASE_URL"])
    port = free_port()
    module, arguments = "webapp", ["serve", "--port", str(port)]
    if kind == "gunicorn":
        module, arguments = "gunicorn", gunicorn_arguments(f"{HERE}:{port}", workers)
    process = ForkedProcess(module, arguments, environment, folder / "journal")
    server = Server(folder, port, process)
    try:
        wait_for(lambda: _is_ready(server), process, folder / "journal")
        yield server
    finally:
        process.end()


def gunicorn_arguments(address: str, workers: int) -> list[str]:
    """Return the arguments of gunicorn that an operator uses."""
    given = {"config": "python:webapp.gunicorn_config", "bind": address, "workers": str(workers)}
    words = [word for name, value in given.items() for word in (f"--{name}", value)]
    return ["webapp.wsgi:app", *words, "--threads", "4"]


def make_book(url: str) -> None:
    """Create an upgraded database with Anna and Bruno."""
    app = create_app({"DATABASE_URL": url, "UPGRADE": True})
    with app.app_context():
        with write_transaction() as connection:
            for name, words in WORDS.items():
                add_owner(connection, name, words)
        db.engine.dispose()


def _is_ready(server: Server) -> bool | None:
    with contextlib.suppress(OSError, http.client.HTTPException):
        assert server.ask("GET", "/readyz")[0] == 200
        return True
    return None


def connect(server: Server, source: str = HERE) -> socket.socket:
    """Connect from a local address."""
    return socket.create_connection((HERE, server.port), timeout=60, source_address=(source, 0))


def head(method: str, path: str, *lines: str) -> bytes:
    """Return the head of a request."""
    return "\r\n".join([f"{method} {path} HTTP/1.1", "Host: localhost", *lines, "", ""]).encode()


def read_to_end(line: socket.socket) -> bytes:
    """Read until the server closes the connection."""
    parts = []
    with contextlib.suppress(ConnectionResetError):
        while part := line.recv(65_536):
            parts.append(part)
    return b"".join(parts)
