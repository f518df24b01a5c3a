"""What a forked server process runs; imports nothing heavy, so that the fork server starts fast."""

from __future__ import annotations

import os
import runpy
import sys
from collections.abc import Mapping, Sequence

# Imported by the fork server once, before the first server process is forked from it.
PRELOADED = ["webapp.cli", "waitress", "tests.browser.warm_server", __name__]


def run_module(
    folder: str, module: str, arguments: Sequence[str], environment: Mapping[str, str], log: str
) -> None:
    """Become `python -m module arguments...` in this folder, with its output in the log."""
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    output = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    os.dup2(output, sys.stdout.fileno())
    os.dup2(output, sys.stderr.fileno())
    sys.argv = [module, *arguments]
    runpy.run_module(module, run_name="__main__", alter_sys=True)
