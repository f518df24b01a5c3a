"""The entry point of forked server processes. Imports little, to start the fork server fast."""

from __future__ import annotations

import os
import runpy
import sys
from collections.abc import Mapping, Sequence

# Modules that the fork server imports once, before the first fork.
PRELOADED = ["webapp.cli", "waitress", "tests.browser.warm_server", __name__]


def run_module(
    folder: str, module: str, arguments: Sequence[str], environment: Mapping[str, str], log: str
) -> None:
    """Run `python -m module arguments...` in this folder, with its output in the log."""
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    output = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    os.dup2(output, sys.stdout.fileno())
    os.dup2(output, sys.stderr.fileno())
    sys.argv = [module, *arguments]
    runpy.run_module(module, run_name="__main__", alter_sys=True)
