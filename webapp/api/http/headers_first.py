"""A request whose body has not been read yet: the server asks whether anybody wants it.

The server (`webapp.server`) sends the headers of a request with a large body through the app with
HEADERS_ONLY in its environment. Whatever the gate says is then the answer, and the body is never
read; otherwise the request comes again, whole.
"""

from __future__ import annotations

from flask import Flask, Response, request

HEADERS_ONLY = "secondnose.headers_only"
PASSED = "Second-Nose-Passed"


def answer_headers(app: Flask) -> None:
    """Let a request of headers alone pass the gate and reach no view."""

    @app.before_request
    def passed() -> Response | None:
        if HEADERS_ONLY not in request.environ:
            return None
        if request.routing_exception is not None:
            # No such route, or not by this method: there is no use in reading on.
            raise request.routing_exception
        return Response(status=204, headers={PASSED: "1"})
