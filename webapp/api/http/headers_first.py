"""Checks a request with a large body before the body is read.

The server (`webapp.server`) passes the headers alone to the app, with HEADERS_ONLY in the
environment. If the request checks reject them, that is the response and the body is never read;
otherwise the server passes the request again with its body.
"""

from __future__ import annotations

from flask import Flask, Response, request

HEADERS_ONLY = "secondnose.headers_only"
PASSED = "Second-Nose-Passed"


def answer_headers(app: Flask) -> None:
    """Respond 204 to a headers-only request that passed the request checks; call no view."""

    @app.before_request
    def passed() -> Response | None:
        if HEADERS_ONLY not in request.environ:
            return None
        if request.routing_exception is not None:
            # The route or method does not exist, so the body is not needed.
            raise request.routing_exception
        return Response(status=204, headers={PASSED: "1"})
