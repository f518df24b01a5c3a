"""Slow senders do not block other clients, and their connections are closed on a timeout."""

from __future__ import annotations

import contextlib
import json
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.attacks.servers import BROWSER_KEY, SERVERS, Server, connect, head, read_to_end, running

pytestmark = pytest.mark.waits

JSON = "Content-Type: application/json"
KEY = "\r\n".join(f"{name}: {value}" for name, value in BROWSER_KEY.items())
SLOW = head("POST", "/api/sign-in", JSON, KEY, "Content-Length: 100")


@pytest.fixture(scope="module", params=SERVERS)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def server(kind: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Yield a server with default settings."""
    with running(tmp_path_factory.mktemp("slow"), kind) as running_server:
        yield running_server


@pytest.fixture(scope="module")
def hasty(kind: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Yield a one-process server with short timeouts and few connections."""
    settings = {"HEADER_S": 2, "BODY_GRACE_S": 2, "BODY_BYTES_PER_S": 500, "MAX_CONNECTIONS": 20}
    with running(tmp_path_factory.mktemp("hasty"), kind, workers=1, **settings) as running_server:
        yield running_server


@contextlib.contextmanager
def hanging(server: Server, count: int, asked: bytes, source: str = "127.0.0.1") -> Iterator[list]:
    """Yield this many connections that have sent `asked` and send nothing more."""
    with contextlib.ExitStack() as stack:
        lines = []
        for _ in range(count):
            lines.append(stack.enter_context(connect(server, source)))
            lines[-1].sendall(asked)
        yield lines


@pytest.mark.parametrize(
    "asked",
    [SLOW, SLOW[:-2], b"", SLOW + b'{"name'],
    ids=["body", "headers", "nothing", "half a body"],
)
def test_slow_senders_do_not_block_other_clients(server: Server, asked: bytes) -> None:
    with hanging(server, 250, asked):
        assert server.ask("GET", "/healthz")[0] == 200
        cookie = server.sign_in("anna")
        assert server.ask("GET", "/api/me", **cookie)[0] == 200


@pytest.mark.parametrize("asked", [SLOW[:-2], b"", SLOW], ids=["headers", "nothing", "body"])
def test_stalled_sender_is_disconnected(hasty: Server, asked: bytes) -> None:
    with connect(hasty) as line:
        line.sendall(asked)
        assert read_to_end(line) == b""


@pytest.mark.parametrize("asked", [SLOW[:-2], SLOW], ids=["headers", "body"])
def test_trickling_sender_is_disconnected(hasty: Server, asked: bytes) -> None:
    with connect(hasty) as line:
        line.sendall(asked)
        closed = threading.Event()

        def trickle() -> None:
            while not closed.wait(0.2):
                with contextlib.suppress(OSError):
                    line.sendall(b"x")

        sender = threading.Thread(target=trickle)
        sender.start()
        try:
            assert read_to_end(line) == b""
        finally:
            closed.set()
            sender.join()


def test_slow_but_steady_upload_is_accepted(hasty: Server) -> None:
    request = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": []}
    body = json.dumps(request).encode().ljust(20_000)
    cookie = hasty.signed_in("anna")
    asked = head("POST", "/api/sync", JSON, cookie, f"Content-Length: {len(body)}")
    pause = threading.Event()
    with connect(hasty) as line:
        line.sendall(asked)
        for start in range(0, len(body), 2_000):
            line.sendall(body[start : start + 2_000])
            pause.wait(0.5)
        assert line.recv(65_536).split()[1] == b"200"


def test_slowest_connection_is_closed_at_the_limit(tmp_path: Path, kind: str) -> None:
    with (
        running(tmp_path, kind, workers=1, MAX_CONNECTIONS=20) as server,
        hanging(server, 1, SLOW, "127.0.0.3") as (patient,),
        hanging(server, 60, SLOW, "127.0.0.2") as lines,
    ):
        assert server.ask("GET", "/healthz")[0] == 200
        for line in lines[:30]:
            assert read_to_end(line) == b""
        # It is the oldest connection, but the only one of its address.
        body = {"name": "anna", "passphrase": "not the right words"}
        patient.sendall(json.dumps(body).encode().ljust(100))
        assert patient.recv(100).split()[1] == b"401"
