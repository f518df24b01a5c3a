"""secondnose serve: which clients and host names it serves, and its notice about HTTPS."""

from __future__ import annotations

import json
import os
import socket
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import dispose
from tests.processes import running, wait_for
from tests.temporary_postgres import free_port
from webapp import create_app
from webapp.auth.owners import add_owner
from webapp.commands.serve import host_names
from webapp.db.engine import write_transaction
from webapp.start import is_loopback

WORDS = "four dry autumn barrels"
# Far above a normal response time, so that a hanging server fails the test.
ANSWER_S = 120


@dataclass(frozen=True)
class Serving:
    """A running server: its port, what it printed, and the path of its log file."""

    port: int
    output_lines: list[str]
    journal: Path


@contextmanager
def serving(folder: Path, *arguments: str) -> Iterator[Serving]:
    """Run a server with an owner who has a passphrase.

    The server prints a second line if it listens on the network.
    """
    url = f"sqlite:///{folder}/book.sqlite"
    app = create_app({"DATABASE_URL": url, "UPGRADE": True})
    with app.app_context(), write_transaction() as connection:
        add_owner(connection, "anna", WORDS)
    dispose(app)
    port = free_port()
    command = ["-m", "webapp", "serve", "--port", str(port), *arguments]
    journal, output = folder / "journal", folder / "output"

    def output_lines() -> list[str] | None:
        lines = output.read_text().splitlines()
        return lines if len(lines) > len(arguments) else None

    environment = {**os.environ, "DATABASE_URL": url}
    with running(command, journal, output=output, env=environment) as process:
        yield Serving(port, wait_for(output_lines, process, journal), journal)


@pytest.fixture(scope="module")
def answering(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Serving]:
    """Yield one running server that several tests share."""
    with serving(tmp_path_factory.mktemp("answering")) as server:
        yield server


def ask(address: str, port: int, path: str, host: str, **headers: str) -> tuple[int, dict]:
    request = urllib.request.Request(
        f"http://{address}:{port}{path}", headers={"Host": host, **headers}
    )
    try:
        with urllib.request.urlopen(request, timeout=ANSWER_S) as answer:
            return answer.status, json.load(answer)
    except urllib.error.HTTPError as error:
        with error:
            return error.code, json.load(error)


def test_serving_the_network_recommends_https(tmp_path: Path) -> None:
    with serving(tmp_path, "--lan") as server:
        port, value = server.port, server.output_lines
        assert value[0].startswith("Second Nose serves http://")
        assert "only over https" in value[1]
        named = value[0].split("http://")[1].split(":")[0]
        assert ask("127.0.0.1", port, "/healthz", named) == (200, {"status": "ok"})
        assert ask("127.0.0.1", port, "/api/me", named)[0] == 401
        assert ask("127.0.0.1", port, "/healthz", "wine.example")[0] == 421
        assert ask("127.0.0.1", port, "/api/me", "localhost")[1]["code"] == "sign_in"


def raw(port: int, *lines: str) -> str:
    """Send these request lines unchanged and return the status line of the response."""
    asked = "\r\n".join([*lines, "Connection: close", "", ""]).encode()
    with socket.create_connection(("127.0.0.1", port), timeout=ANSWER_S) as line:
        line.sendall(asked)
        return line.makefile("rb").readline().decode()


@pytest.mark.parametrize(
    ("lines", "status"),
    [
        (["GET /api/example HTTP/1.1", "Host: localhost"], "200"),
        (["GET /api/example HTTP/1.1"], "421"),
        (["GET /api/example HTTP/1.1", "Host: localhost", "Host: wine.example"], "421"),
        (["GET /api/example HTTP/1.1", "Host: localhost", "Cookie: a\0b"], "400"),
        (["POST /api/sync HTTP/1.1", "Host: localhost", *["Content-Length: 2"] * 2], "400"),
        (["POST /api/sync HTTP/1.1", "Host: localhost", "Content-Length: -2"], "400"),
        (["POST /api/import HTTP/1.1", "Host: localhost", "Content-Length: 9999999999"], "413"),
        (["GET /api/example HTTP/1.1", "Host: localhost", "X: " + "a" * 300_000], "431"),
        (["plums"], "400"),
    ],
    ids=lambda value: value if isinstance(value, str) else value[-1][:40],
)
def test_ambiguous_or_oversized_request_is_rejected(
    answering: Serving, lines: list[str], status: str
) -> None:
    assert raw(answering.port, *lines).split()[1] == status


def test_failed_sign_in_is_logged_without_its_text(answering: Serving) -> None:
    body = {"name": 'anna"\n{"event": "forged"}', "passphrase": "not the words\n"}
    request = urllib.request.Request(
        f"http://127.0.0.1:{answering.port}/api/sign-in",
        data=json.dumps(body).encode(),
        headers={"Content-Type": "application/json", "Second-Nose-Key": "k" * 40},
    )
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request, timeout=ANSWER_S)
    refused.value.close()
    lines = [json.loads(line) for line in answering.journal.read_text().splitlines()]
    (line,) = [line for line in lines if line["event"] == "sign_in_failed"]
    assert set(line) == {"at", "level", "event", "address", "known"}
    assert "forged" not in str(lines)
    assert "not the words" not in str(lines)


def test_many_workers_serve_one_database(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/book.sqlite"
    dispose(create_app({"DATABASE_URL": url, "UPGRADE": True}))
    environment = {**os.environ, "DATABASE_URL": url}
    port = free_port()
    command = [
        *("-m", "gunicorn", "webapp.wsgi:app", "--workers", "2", "--threads", "2"),
        *("--bind", f"127.0.0.1:{port}", "--log-level", "warning"),
    ]

    def ready() -> tuple[int, dict] | None:
        try:
            return ask("127.0.0.1", port, "/readyz", "localhost")
        except urllib.error.URLError:
            return None

    journal = tmp_path / "journal"
    with running(command, journal, env=environment) as process:
        assert wait_for(ready, process, journal) == (200, {"status": "ok"})
        assert ask("127.0.0.1", port, "/api/me", "localhost")[1]["owner"]["name"] == "me"
        forwarded = {"X-Forwarded-For": "192.0.2.1"}
        assert ask("127.0.0.1", port, "/api/me", "localhost", **forwarded)[0] == 401


@pytest.mark.parametrize(
    ("host", "here"),
    [
        ("127.0.0.1", True),
        ("127.8.8.8", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.0.2.1", False),
        ("localhost.wine.example", False),
    ],
)
def test_local_only_addresses_are_recognized(host: str, here: bool) -> None:
    assert is_loopback(host) is here


def test_host_names_of_an_address_are_listed() -> None:
    assert host_names("192.0.2.1") == ["192.0.2.1"]
    assert host_names("2001:db8::1") == ["[2001:db8::1]"]
    assert socket.gethostname().lower() in host_names("0.0.0.0")
