"""The app's server and the baseline server as processes, and the notes sent to both."""

from __future__ import annotations

import random
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.browser.engines import ROOT
from tests.browser.live_server import LiveServer
from tests.temporary_postgres import free_port

DEVICE = "benchdevice1"
START_S = 60
Record = dict[str, Any]


def notes(count: int, seed: int = 7) -> list[Record]:
    """Make tastings of about 1.2 KB JSON each, including clocks."""
    draw = random.Random(seed)
    letters = "abcdefghijklmnopqrstuvwxyz      "
    made = []
    for number in range(count):
        fields: Record = {
            "place": f"Invented cellar {number % 40}",
            "words": "".join(draw.choices(letters, k=540)),
            "sip_words": ["lemon", f"~own word {number % 90}"],
            "liking": number % 9 + 1,
            "body": draw.randrange(101) / 10,
            "acidity": draw.randrange(101) / 10,
            "tannin": draw.randrange(101) / 10,
        }
        clock = f"{1_690_000_000_000 + number}-0000-{DEVICE}"
        made.append(
            {
                "kind": "tasting",
                "id": f"018a0000-0000-7000-8000-{number:012x}",
                "fields": fields,
                "clocks": dict.fromkeys(fields, clock),
                "deleted": False,
                "deleted_clock": None,
            }
        )
    return made


@dataclass(frozen=True)
class Server:
    """Address and process id of a server."""

    url: str
    pid: int


@contextmanager
def book_server(folder: Path) -> Iterator[Server]:
    """Run the app's server with an empty database."""
    folder.mkdir()
    server = LiveServer(folder).start(SECONDNOSE_MAX_REQUESTS="0")
    assert server.process is not None
    try:
        yield Server(server.url, server.process.pid)
    finally:
        server.kill()


@contextmanager
def floor_server(folder: Path) -> Iterator[Server]:
    """Run the baseline server with an empty database."""
    folder.mkdir()
    port = free_port()
    module = "tests.bench.sync.floor_server"
    command = [sys.executable, "-m", module, str(folder / "floor.sqlite"), str(port)]
    process = subprocess.Popen(command, cwd=ROOT)
    try:
        _wait(f"http://127.0.0.1:{port}/")
        yield Server(f"http://127.0.0.1:{port}", process.pid)
    finally:
        process.kill()
        process.wait()


def _wait(url: str) -> None:
    deadline = time.monotonic() + START_S
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(url, timeout=5):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.05)
    raise RuntimeError("The bare server did not start.")
