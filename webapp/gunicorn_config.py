"""Settings for `gunicorn webapp.wsgi:app --config python:webapp.gunicorn_config`.

Options on the command line (`--workers`, `--threads`, `--bind`) override them.
"""

import os
import shutil
import signal
import sys
import tempfile
from typing import Any

from webapp.db.in_use import InUse
from webapp.errors import CANNOT_START, StartupError, in_one_line
from webapp.metrics import FOLDER
from webapp.start import check_start

worker_class = "webapp.server.worker.BoundedWorker"
bind = "127.0.0.1:8000"
workers = 4
threads = 4
loglevel = "warning"
control_socket_disable = True
# Slightly more than STOP_S of `webapp.config`, in which a worker finishes its responses.
graceful_timeout = 20
# Signals by which the master ends a worker.
ENDS = {signal.SIGTERM, signal.SIGINT, signal.SIGQUIT}


def on_starting(server: Any) -> None:
    """Check that the app can start, block signals while the master forks, and set up metrics.

    A new worker has the master's handlers, which would queue a signal that nobody reads; then the
    worker would serve on until it is killed. So the signal waits until the worker has its own.
    """
    _check(server.cfg.address)
    os.register_at_fork(before=_block, after_in_parent=_unblock)
    if os.environ.get("SECONDNOSE_METRICS") == "1" and not os.environ.get(FOLDER):
        os.environ[FOLDER] = server.metrics_folder = tempfile.mkdtemp(prefix="secondnose-metrics-")


def _check(addresses: list[Any]) -> None:
    """Exit with one line if the app cannot start; otherwise each worker would print its own."""
    # An address is (host, port), or else a socket of this machine.
    hosts = [one[0] for one in addresses if isinstance(one, tuple)]
    try:
        check_start(hosts)
    except (StartupError, InUse, OSError) as error:
        print(f"Error: {in_one_line(error)}", file=sys.stderr, flush=True)
        sys.exit(CANNOT_START)


def post_worker_init(worker: Any) -> None:
    """Deliver the signals that came while the worker started."""
    _unblock()


def _block() -> None:
    signal.pthread_sigmask(signal.SIG_BLOCK, ENDS)


def _unblock() -> None:
    signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDS)


def child_exit(server: Any, worker: Any) -> None:
    """Leave an ended worker out of the number of processes; its counts stay."""
    if os.environ.get(FOLDER):
        from prometheus_client.multiprocess import mark_process_dead

        mark_process_dead(worker.pid)  # type: ignore[no-untyped-call]


def on_exit(server: Any) -> None:
    """Delete the folder of `on_starting`."""
    if folder := getattr(server, "metrics_folder", None):
        shutil.rmtree(folder, ignore_errors=True)
