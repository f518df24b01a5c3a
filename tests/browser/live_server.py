"""Server processes for browser tests.

Each test worker has a fork server (multiprocessing) that has already imported the server, because
forking takes a third of the time of a new interpreter. The child runs `python -m webapp serve`.
"""

from __future__ import annotations

import os
import time
import urllib.error
import urllib.request
from multiprocessing.context import ForkServerProcess
from pathlib import Path

import pytest

from tests.browser.engines import ROOT
from tests.browser.server_process import run_module
from tests.empty_sqlite import copy_empty_sqlite
from tests.forked_process import PROCESSES
from tests.temporary_postgres import free_port

# Reached only by a server that hangs; an exit is detected immediately.
START_LIMIT_S = 180
STOP_LIMIT_S = 60
NOTHING = Path(os.devnull)


class LiveServer:
    """`secondnose serve` as a separate process; port and data survive a restart.

    `module` replaces the `webapp` module, for tests with a modified server. Every start adds
    `environment` to the environment of the process.
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
        """Start `serve` with these arguments (such as "--demo") and wait for a response."""
        self.stop()
        if not self.file.exists():
            copy_empty_sqlite(self.file)
        command = ["serve", "--port", str(self.port), *arguments]
        self.process = self._process(command, {**self._environment(), **environment})
        self.process.start()
        try:
            self._wait_for_answer()
        except BaseException:
            self.kill()
            raise
        return self

    def add_owner(self, name: str, passphrase: str) -> None:
        """Add an owner on the command line."""
        entered = self.folder / "entered"
        entered.write_text(f"{passphrase}\n", encoding="utf-8")
        command = ["user", "add", name]
        process = self._process(command, self._environment(), entered)
        process.start()
        process.join(START_LIMIT_S)
        code = process.exitcode
        if code is None:
            process.kill()
            process.join()
        process.close()
        if code != 0:
            pytest.fail(f"{command} ended with {code}:\n{self.log()}", pytrace=False)

    def stop(self) -> None:
        """Stop the server gracefully."""
        if self.process is not None:
            self.process.terminate()
            self.process.join(STOP_LIMIT_S)
            self.kill()

    def kill(self) -> None:
        """Kill the server, like a power failure."""
        if self.process is not None:
            self.process.kill()
            self.process.join()
            self.process.close()
            self.process = None

    def wait_for_death(self) -> int | None:
        """Wait until the server exits; return its exit code, negative for a signal."""
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

    def _environment(self) -> dict[str, str]:
        fixed = {"DATABASE_URL": f"sqlite:///{self.file}", "LC_ALL": "C.UTF-8"}
        return {**os.environ, **fixed, **self.environment}

    def _process(
        self, command: list[str], environment: dict[str, str], entered: Path = NOTHING
    ) -> ForkServerProcess:
        files = (str(self._log_file), str(entered))
        return PROCESSES.Process(
            target=run_module, args=(str(ROOT), self.module, command, environment, *files)
        )

    def _wait_for_answer(self) -> None:
        deadline = time.monotonic() + START_LIMIT_S
        while time.monotonic() < deadline:
            if not self.is_running():
                pytest.fail(f"The server did not start:\n{self.log()}", pytrace=False)
            if self._answers():
                return
            time.sleep(0.02)
        text = f"The server did not answer in {START_LIMIT_S} s:\n{self.log()}"
        pytest.fail(text, pytrace=False)

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/readyz", timeout=10):
                return True
        except (urllib.error.URLError, OSError):
            return False
