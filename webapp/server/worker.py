"""A gunicorn worker that runs the same server as `secondnose serve`.

gunicorn's own threaded worker blocks a thread for every incomplete body, so as many slow senders as
threads would stop it.
"""

from __future__ import annotations

import os
from typing import Any

from gunicorn.workers.base import Worker

from webapp.server.listener import Listener


class BoundedWorker(Worker):  # type: ignore[misc]
    """The class for `--worker-class`; see `webapp.gunicorn_config`."""

    listening: Listener | None = None

    def run(self) -> None:
        for one in self.sockets:
            one.setblocking(False)
        sockets = [one.sock for one in self.sockets]
        self.listening = Listener(self.wsgi, sockets, self.cfg.threads)
        self.listening.run(self._is_running)

    def _is_running(self) -> bool:
        self.notify()
        return bool(self.alive) and self.ppid == os.getppid()

    def handle_exit(self, sig: int, frame: Any) -> None:
        super().handle_exit(sig, frame)
        if self.listening is not None:
            self.listening.wake()
