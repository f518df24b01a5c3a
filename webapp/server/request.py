"""Parses requests; rejects those that are ambiguous or too large before reading the body."""

from __future__ import annotations

import io
import time
from typing import Any

from waitress.parser import HTTPRequestParser, ParsingError
from waitress.task import WSGITask
from waitress.utilities import RequestEntityTooLarge

from webapp.api.http.common import MAX_BODY_BYTES
from webapp.api.http.headers_first import HEADERS_ONLY, PASSED
from webapp.api.http.problems import problem


class Rejection:
    """A response sent before the body was read, in the form of a waitress error."""

    def __init__(self, status: str, headers: list[tuple[str, str]], body: bytes) -> None:
        self._response = (status, headers, body)

    def to_response(self, _ident: str | None) -> tuple[str, list[tuple[str, str]], bytes]:
        status, headers, body = self._response
        return status, [*headers], body


def too_large(max_bytes: int) -> Rejection:
    """Return 413 as a problem document, like every other error."""
    detail = f"The body of such a request has {max_bytes} bytes at most."
    return _rejection(413, "request_entity_too_large", detail)


def internal_error() -> Rejection:
    """Return 500, for an exception while the app checked the headers."""
    return _rejection(500, "unexpected", "Something went wrong on the server; nothing was changed.")


def _rejection(status: int, code: str, detail: str) -> Rejection:
    response = problem(status, code, detail)
    return Rejection(response.status, response.headers.to_wsgi_list(), response.get_data())


class BoundedParser(HTTPRequestParser):  # type: ignore[misc]
    """A waitress parser that rejects ambiguous lengths and has a body limit for each route.

    It stops after the headers of a request with a large body and sets `needs_check`.
    """

    adj: Any
    error: Any = None
    expect_continue: bool = False

    def __init__(self, adj: Any) -> None:
        super().__init__(adj)
        self.started_s = time.monotonic()
        self.needs_check = False
        self.continue_deferred = False

    def parse_header(self, header_plus: bytes) -> None:
        super().parse_header(header_plus)
        # Waitress removes Transfer-Encoding from the headers only if it supports its value.
        if "TRANSFER_ENCODING" in self.headers or (
            self.chunked and "CONTENT_LENGTH" in self.headers
        ):
            raise ParsingError("Content-Length and Transfer-Encoding do not go together")
        self.adj = self.adj.limits.adjusted(self.adj, self.command, self.path)

    def received(self, data: bytes) -> int:
        in_headers = self.body_rcv is None
        consumed: int = super().received(data)
        if isinstance(self.error, RequestEntityTooLarge):
            self.error = too_large(self.adj.max_request_body_size - 1)
        is_large = self.chunked or self.content_length > MAX_BODY_BYTES
        if in_headers and self.headers_finished and is_large and not self.completed:
            # Delay "100 Continue" until the app has accepted the headers.
            self.needs_check = True
            self.continue_deferred, self.expect_continue = self.expect_continue, False
        return consumed


def check_headers(channel: Any, request: BoundedParser) -> Rejection | None:
    """Pass the headers alone to the app; return its rejection, None if it accepts them."""
    environ = dict(WSGITask(channel, request).get_environment())
    environ["wsgi.input"] = io.BytesIO()
    environ[HEADERS_ONLY] = True
    started: list[Any] = []

    def start_response(status: str, headers: list[tuple[str, str]], _error: Any = None) -> None:
        started[:] = [status, headers]

    answer = channel.server.application(environ, start_response)
    try:
        body = b"".join(answer)
    finally:
        if hasattr(answer, "close"):
            answer.close()
    status, headers = started
    if (PASSED, "1") in headers:
        return None
    return Rejection(status, [one for one in headers if one[0].lower() != "content-length"], body)
