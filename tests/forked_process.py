"""Commands of the server in processes forked from one that has imported it already.

A new interpreter imports the server in two seconds of processor time, gunicorn once for each
worker; a fork takes a tenth of that. `ForkedProcess` has the methods of `subprocess.Popen` that
the tests use.
"""

from __future__ import annotations

import multiprocessing
import os
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.browser.server_process import PRELOADED, run_module
from tests.processes import ROOT

# Only a process that hangs takes this long.
END_S = 60

PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(PRELOADED)


def hash_at_full_cost() -> None:
    """Let the servers hash passphrases as in use, which a bench measures; call it before the first.

    The tests' warm server inherits cheap hashing to its forks.
    """
    PROCESSES.set_forkserver_preload([one for one in PRELOADED if "warm_server" not in one])


class ForkedProcess:
    """`python -m module arguments...` in a forked process, with its output in the file `log`."""

    def __init__(
        self,
        module: str,
        arguments: Sequence[str],
        environment: Mapping[str, str],
        log: Path,
    ) -> None:
        given = (str(ROOT), module, list(arguments), dict(environment), str(log))
        self.arguments = [module, *arguments]
        # Created here, because the process opens it only after a while.
        log.touch()
        self.process = PROCESSES.Process(target=run_module, args=given)
        self.process.start()

    @property
    def pid(self) -> int:
        assert self.process.pid is not None
        return self.process.pid

    @property
    def returncode(self) -> int | None:
        return self.process.exitcode

    def poll(self) -> int | None:
        return self.process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        self.process.join(timeout)
        if self.process.exitcode is None:
            raise subprocess.TimeoutExpired(self.arguments, timeout or 0)
        return self.process.exitcode

    def send_signal(self, number: int) -> None:
        os.kill(self.pid, number)

    def end(self) -> None:
        """Terminate the process, and kill it if it does not end."""
        self.process.terminate()
        self.process.join(END_S)
        self.process.kill()
        self.process.join()


def run_to_end(
    module: str, arguments: Sequence[str], environment: Mapping[str, str], log: Path, limit_s: float
) -> tuple[int, str]:
    """Run `python -m module arguments...` to its end and return (exit code, output)."""
    process = ForkedProcess(module, arguments, environment, log)
    try:
        code = process.wait(limit_s)
    finally:
        process.end()
    return code, log.read_text(encoding="utf-8", errors="replace")
