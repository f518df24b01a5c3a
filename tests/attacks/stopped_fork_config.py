"""gunicorn's configuration with a worker that waits, just forked, until it is told to stop."""

import os
import signal
import time
from pathlib import Path
from typing import Any

from webapp.gunicorn_config import *  # noqa: F403

workers = 1
FOLDER = Path(os.environ["DATABASE_URL"].removeprefix("sqlite:///")).parent


def post_fork(server: Any, worker: Any) -> None:
    (FOLDER / "forked").touch()
    # A signal is queued by the handler that the worker inherited, or waits until it is unblocked.
    while server.SIG_QUEUE.empty() and signal.SIGTERM not in signal.sigpending():
        time.sleep(0.01)


def worker_exit(server: Any, worker: Any) -> None:
    (FOLDER / "ended").touch()
