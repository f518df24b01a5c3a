"""Limits the requests of an owner and of an address; counted in the database for all workers.

A worker reserves requests in batches, so that most requests need no write.
"""

from __future__ import annotations

import logging
from threading import Lock

from sqlalchemy.exc import DBAPIError

from webapp.auth import counters
from webapp.auth.errors import AccessError
from webapp.db.engine import write_transaction

WINDOW_S = 600
BATCHES_PER_WINDOW = 50
# Of owners and addresses, in one window. A key that was dropped loses the rest of its batch.
MAX_KEYS = 50_000
_log = logging.getLogger(__name__)


class RateLimiter:
    """The batches reserved by this process; one instance for each app."""

    def __init__(self, limit: int) -> None:
        """Allow `limit` requests in ten minutes for each key; 0: no limit."""
        self._limit = limit
        self._batch = max(1, limit // BATCHES_PER_WINDOW)
        self._left: dict[str, tuple[int, int]] = {}
        self._window_s = 0
        self._swept_s = 0
        self._lock = Lock()

    def consume(self, key: str, now_s: int, logged_key: str | None = None) -> None:
        """Count a request. Raises AccessError if the limit is reached.

        `logged_key` replaces a key that the log must not have.
        """
        if not self._limit or self._from_batch(key, now_s):
            return
        if not self._fetch(key, now_s):
            wait_s = WINDOW_S - now_s % WINDOW_S
            _log.warning("too_many_requests", extra={"key": logged_key or key})
            raise AccessError(
                "too_many_requests", "Too many requests; wait a little.", retry_after_s=wait_s
            )

    def _from_batch(self, key: str, now_s: int) -> bool:
        start = now_s - now_s % WINDOW_S
        with self._lock:
            at, left = self._left.get(key, (start, 0))
            if at != start or left == 0:
                return False
            self._left[key] = (start, left - 1)
            return True

    def _fetch(self, key: str, now_s: int) -> bool:
        start = now_s - now_s % WINDOW_S
        try:
            with write_transaction() as connection:
                taken = counters.reserve(connection, key, self._batch, self._limit, WINDOW_S, now_s)
                if self._swept_s != start:
                    counters.purge_old(connection, now_s)
                    self._swept_s = start
        except DBAPIError:
            # A busy database must not reject requests; the next one tries again.
            return True
        with self._lock:
            if start != self._window_s:
                self._window_s, self._left = start, {}
            if taken:
                before = self._left.pop(key, (start, 0))[1]
                self._left[key] = (start, before + self._batch - 1)
                if len(self._left) > MAX_KEYS:
                    self._left.pop(next(iter(self._left)))
        return taken
