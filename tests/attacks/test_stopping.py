"""A stopping server answers the requests that it has begun and closes the others."""

from __future__ import annotations

import json
import os
import signal
import threading
from pathlib import Path

import pytest

from tests.attacks.servers import SERVERS, connect, head, make_book, read_to_end, running
from tests.forked_process import ForkedProcess
from tests.processes import wait_for

JSON = "Content-Type: application/json"


@pytest.mark.parametrize("kind", SERVERS)
def test_a_request_in_flight_is_answered_after_sigterm(tmp_path: Path, kind: str) -> None:
    request = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": []}
    body = json.dumps(request).encode().ljust(30_000)
    with running(tmp_path, kind, workers=1, STOP_S=60) as server:
        cookie = server.signed_in("anna")
        with connect(server) as line, connect(server) as idle:
            line.sendall(head("POST", "/api/sync", JSON, cookie, f"Content-Length: {len(body)}"))
            line.sendall(body[:20_000])
            assert server.ask("GET", "/healthz")[0] == 200
            server.process.send_signal(signal.SIGTERM)
            # The idle connection is closed, so the server is stopping by now.
            assert read_to_end(idle) == b""
            line.sendall(body[20_000:])
            assert line.recv(65_536).split()[1] == b"200"
        assert server.process.wait(timeout=60) == 0


@pytest.mark.parametrize("kind", SERVERS)
def test_endless_sender_does_not_delay_shutdown(tmp_path: Path, kind: str) -> None:
    with running(tmp_path, kind, workers=1, STOP_S=1) as server, connect(server) as line:
        line.sendall(head("POST", "/api/sign-in", JSON, "Content-Length: 100"))
        assert server.ask("GET", "/healthz")[0] == 200
        server.process.send_signal(signal.SIGTERM)
        ended = threading.Thread(target=server.process.wait)
        ended.start()
        assert read_to_end(line) == b""
        ended.join(timeout=60)
        assert server.process.returncode == 0


def test_unsupported_worker_class_logs_a_warning(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/book.sqlite"
    make_book(url)
    environment = {**os.environ, "DATABASE_URL": url}
    # Else gunicorn finds the project's settings, which name the worker class.
    empty = tmp_path / "settings.py"
    empty.touch()
    command = ["webapp.wsgi:app", "--threads", "2", "--bind", "127.0.0.1:0", "--no-control-socket"]
    log = tmp_path / "log"
    process = ForkedProcess("gunicorn", [*command, "--config", str(empty)], environment, log)
    try:
        wait_for(lambda: "slow_bodies_unbounded" in log.read_text() or None, process, log, 60)
    finally:
        process.end()


def test_worker_stopped_while_it_starts_ends_by_itself(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/book.sqlite"
    make_book(url)
    environment = {**os.environ, "DATABASE_URL": url}
    command = ["webapp.wsgi:app", "--config", "python:tests.attacks.stopped_fork_config"]
    log = tmp_path / "log"
    process = ForkedProcess("gunicorn", [*command, "--bind", "127.0.0.1:0"], environment, log)
    try:
        wait_for(lambda: (tmp_path / "forked").exists() or None, process, log)
        process.send_signal(signal.SIGTERM)
        assert process.wait(timeout=60) == 0
    finally:
        process.end()
    assert (tmp_path / "ended").exists(), log.read_text()
