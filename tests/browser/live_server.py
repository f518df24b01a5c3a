"""Server processes for browser tests.

Each is forked from one process per test worker that has imported the server already (the standard
library's fork server), so that a start costs a third of what a new interpreter costs. What runs in
the child is the command line itself, `python -m webapp serve`.
"""

from __future__ import annotations

import multiprocessing
import os
import time
import urllib.error
import urllib.request
from multiprocessing.context import ForkServerProcess
from pathlib import Path

import pytest

from tests.browser.engines import ROOT
from tests.browser.server_process import PRELOADED, run_module
from tests.temporary_postgres import free_port

# Only a server that hangs takes as long; one that ends is noticed at once.
START_LIMIT_S = 180
STOP_LIMIT_S = 60

_PROCESSES = multiprocessing.get_context("forkserver")
_PROCESSES.set_forkserver_preload(PRELOADED)


class LiveServer:
    """`secondnose serve` as a process of its own; the port and the data outlive a restart.

    `module` is run in place of the command line where a test alters the server; `environment` is
    what every start of this server adds to its environment.
    """

    def __init__(self, folder: Path, module: str = "webapp", **environment: str) -> None:
        self.folder = folder
        self.file = folder / "book.sqlite"
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.module = module
        self.environment = environment
        self.process: ForkServerProcess | None = None

    def start(self, *arguments: str, **environment: str) -> LiveServer:
        """Start it and wait until it answers; `arguments` go to `serve` (such as "--demo")."""
        self.stop()
        database = {"DATABASE_URL": f"sqlite:///{self.file}"}
        given = {**os.environ, **database, **self.environment, **environment}
        command = ["serve", "--port", str(self.port), *arguments]
        self.process = _PROCESSES.Process(
            target=run_module, args=(str(ROOT), self.module, command, given, str(self._log_file))
        )
        self.process.start()
        try:
            self._wait_for_answer()
        except BaseException:
            self.kill()
            raise
        return self

    def stop(self) -> None:
        """End it in good order."""
        if self.process is not None:
            self.process.terminate()
            self.process.join(STOP_LIMIT_S)
            self.kill()

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        if self.process is not None:
            self.process.kill()
            self.process.join()
            self.process.close()
            self.process = None

    def wait_for_death(self) -> int | None:
        """Wait until it has ended by itself; its exit code, negative for a signal."""
        assert self.process is not None
        self.process.join(START_LIMIT_S)
        return self.process.exitcode

    def is_running(self) -> bool:
        return self.process is not None and self.process.is_alive()

    def log(self) -> str:
        return self._log_file.read_text(errors="replace")

    @property
    def _log_file(self) -> Path:
        return self.folder / "server.log"

    def _wait_for_answer(self) -> None:
        deadline = time.monotonic() + START_LIMIT_S
        while time.monotonic() < deadline:
            if not self.is_running():
                pytest.fail(f"The server did not start:\n{self.log()}", pytrace=False)
            if self._answers():
                return
            time.sleep(0.02)
        told = f"The server did not answer in {START_LIMIT_S} s:\n{self.log()}"
        pytest.fail(told, pytrace=False)

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/readyz", timeout=10):
                return True
        except (urllib.error.URLError, OSError):
            return False
