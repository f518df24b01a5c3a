"""Limits on the size and duration of a request and on the number of connections.

A body larger than MAX_BODY_BYTES, or of unknown length, is read only after the request checks
have accepted the headers. A client that is not signed in can store at most 16 KB on the server.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from webapp.api.http.common import MAX_ANSWERS_BYTES, MAX_BODY_BYTES, MAX_JOIN_BYTES


def body_limit(config: Mapping[str, Any], method: str, path: str) -> int:
    """Return the maximum size of a body by route, in bytes before decompression."""
    if method == "POST" and path == "/api/sync":
        return int(config["MAX_SYNC_BYTES"])
    if method == "PUT" and path.startswith("/api/photos/"):
        return int(config["MAX_PHOTO_BYTES"])
    if method == "PUT" and path.startswith("/api/guests/sheets/"):
        return MAX_ANSWERS_BYTES
    if method == "POST" and path in ("/api/guests/look", "/api/guests/join"):
        return MAX_JOIN_BYTES
    if method == "POST" and path == "/api/import":
        return int(config["MAX_IMPORT_BYTES"])
    return MAX_BODY_BYTES


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits of one server; `webapp.config` has the defaults.

    `header_s` is from the first byte of a request, or from the connection, to the end of the
    headers. After `grace_s`, a body must have arrived at `bytes_per_s` on average, which allows a
    phone with one kilobyte per second, but not an endless slow body.
    """

    config: Mapping[str, Any]
    connections: int
    header_s: float
    grace_s: float
    bytes_per_s: float
    stop_s: float

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> Limits:
        """Return the limits of an app's configuration."""
        return cls(
            config,
            connections=config["MAX_CONNECTIONS"],
            header_s=config["HEADER_S"],
            grace_s=config["BODY_GRACE_S"],
            bytes_per_s=config["BODY_BYTES_PER_S"],
            stop_s=config["STOP_S"],
        )

    def adjusted(self, adjustments: Any, method: str, path: str) -> Any:
        """Return waitress' settings with the body limit of this route, which it rejects at."""
        settings = copy.copy(adjustments)
        settings.max_request_body_size = body_limit(self.config, method, path) + 1
        return settings

    def is_overdue(self, waited_s: float, headers_finished: bool, body_bytes: int) -> bool:
        """Tell whether an incomplete request has taken too long."""
        if not headers_finished:
            return waited_s > self.header_s
        return body_bytes < (waited_s - self.grace_s) * self.bytes_per_s
