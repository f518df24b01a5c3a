"""A connection: pauses reading while the app checks headers, and closes without losing data."""

from __future__ import annotations

import logging
import socket
import time
from typing import Any

from waitress.channel import HTTPChannel
from waitress.task import ErrorTask

from webapp.server.request import BoundedParser, Rejection, check_headers, internal_error

LINGER_S = 5.0
_log = logging.getLogger(__name__)


class _HeaderCheck:
    """A task that lets the app check a request's headers, in a thread of the pool."""

    def __init__(self, channel: BoundedChannel, request: BoundedParser) -> None:
        self.channel = channel
        self.request = request

    def service(self) -> None:
        try:
            rejection = check_headers(self.channel, self.request)
        except Exception:
            _log.exception("unexpected")
            rejection = internal_error()
        self.channel.resume(self.request, rejection)

    def cancel(self) -> None:
        self.channel.cancel()


class _RejectionTask(ErrorTask):  # type: ignore[misc]
    def execute(self) -> None:
        self.channel.lingers = True
        super().execute()


class BoundedChannel(HTTPChannel):  # type: ignore[misc]
    """A waitress channel that checks headers first and lingers after a rejection.

    `lingers` is set when a request is rejected while its sender may still be sending: closing a
    socket with unread data would discard the response.
    """

    parser_class = BoundedParser
    error_task_class = _RejectionTask
    checks_headers = False
    continue_due = False
    lingers = False
    linger_until_s = 0.0

    def received(self, data: bytes) -> bool:
        consumed = bool(super().received(data))
        request = self.request
        if request is not None and request.needs_check:
            request.needs_check = False
            self.checks_headers = True
            self.server.add_task(_HeaderCheck(self, request))
        return consumed

    def resume(self, request: BoundedParser, rejection: Rejection | None) -> None:
        """Continue after the app's check: read the body, or send the rejection."""
        with self.requests_lock:
            self.checks_headers = False
            if rejection is not None:
                request.error, request.completed = rejection, True
                self.request = None
                self.requests.append(request)
                if len(self.requests) == 1:
                    self.server.add_task(self)
            elif request.continue_deferred:
                request.expect_continue = True
                # Only the loop sends it: it flushes without a lock, and two would send it twice.
                self.continue_due = True
            self.last_activity = time.time()
        self.server.pull_trigger()

    def readable(self) -> bool:
        if self.linger_until_s:
            return not self.will_close
        return not self.checks_headers and bool(super().readable())

    def writable(self) -> bool:
        if self.linger_until_s:
            return bool(self.will_close)
        return self.continue_due or bool(super().writable())

    def handle_write(self) -> None:
        if self.continue_due:
            self._send_continue_if_due()
        if self.lingers and self.close_when_flushed and not self.will_close:
            self._flush_exception(self._flush_some)
            if not self.total_outbufs_len:
                self._start_lingering()
            return
        super().handle_write()

    def _send_continue_if_due(self) -> None:
        """Send "100 Continue"; after a pending response, waitress sends it itself."""
        self.continue_due = False
        with self.requests_lock:
            request = self.request
            is_due = request is not None and request.expect_continue and not self.sent_continue
            if is_due and not self.requests:
                self.send_continue()

    def _start_lingering(self) -> None:
        self.linger_until_s = time.monotonic() + LINGER_S
        try:
            self.socket.shutdown(socket.SHUT_WR)
        except OSError:
            self.will_close = True

    def is_busy(self) -> bool:
        """Tell whether a request or response is unfinished."""
        if self.will_close or self.linger_until_s:
            return False
        return bool(
            self.requests
            or self.request is not None
            or self.total_outbufs_len
            or self.close_when_flushed
        )

    def waiting_since_s(self) -> float | None:
        """Return since when the server waits for the client; None while it works on a request."""
        if self.will_close or self.requests or self.checks_headers:
            return None
        if self.request is not None:
            return float(self.request.started_s)
        return time.monotonic() - (time.time() - self.last_activity)

    def is_overdue(self, limits: Any, now_s: float) -> bool:
        """Tell whether the client has exceeded a time limit."""
        if self.linger_until_s:
            return now_s > self.linger_until_s
        if self.requests or self.checks_headers or self.close_when_flushed:
            return False
        request = self.request
        if request is None:
            is_unused = self.last_activity == self.creation_time
            return bool(is_unused and time.time() - self.creation_time > limits.header_s)
        return bool(
            limits.is_overdue(
                now_s - request.started_s, request.headers_finished, request.body_bytes_received
            )
        )
