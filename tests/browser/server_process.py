"""The entry point of forked processes. Imports little, to start the fork server fast."""

from __future__ import annotations

import os
import runpy
import sys
import tempfile
from collections.abc import Mapping, Sequence

# Modules that the fork server imports once, before the first fork.
PRELOADED = [
    "webapp.cli",
    "waitress",
    "gunicorn.app.wsgiapp",
    "tests.browser.warm_server",
    __name__,
]


def run_module(
    folder: str,
    module: str,
    arguments: Sequence[str],
    environment: Mapping[str, str],
    log: str,
    entered: str = os.devnull,
) -> None:
    """Run `python -m module arguments...` in this folder.

    The output goes to the file `log`, and the input comes from the file `entered`.
    """
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    # Chosen anew, because TMPDIR may differ.
    tempfile.tempdir = None
    output = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    os.dup2(output, 1)
    os.dup2(output, 2)
    # The fork server has no open standard input.
    os.dup2(os.open(entered, os.O_RDONLY), 0)
    sys.stdin = open(0, encoding="utf-8")  # noqa: SIM115
    sys.argv = [module, *arguments]
    runpy.run_module(module, run_name="__main__", alter_sys=True)
