"""A server process of the book's own, run through a module of the tests that alters it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.browser.conftest import ROOT, LiveServer


class AlteredServer(LiveServer):
    """`serve` through `module`, which reads what it is to do from the environment."""

    def __init__(self, folder: Path, module: str, **environment: str) -> None:
        super().__init__(folder)
        self.module = module
        self.environment = environment

    def start(self, *arguments: str, **environment: str) -> AlteredServer:
        self.kill()
        command = [sys.executable, "-m", f"tests.browser.book.{self.module}", "serve", *arguments]
        given = {**os.environ, "DATABASE_URL": f"sqlite:///{self.file}", **self.environment}
        with (self.folder / "server.log").open("ab") as log:
            self.process = subprocess.Popen(
                [*command, "--port", str(self.port)],
                cwd=ROOT,
                env={**given, **environment},
                stdout=log,
                stderr=log,
            )
        self._wait()
        return self
