"""How much one request may bring, how long it may take, and how many connections there may be.

A body that is larger than SMALL_BODY_BYTES, or of unknown length, is read only after the request's
headers have passed the gate: whoever is not signed in can make the server keep 16 KB and no more.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

SMALL_BODY_BYTES = 16_384


def body_limit(config: Mapping[str, Any], method: str, path: str) -> int:
    """The most bytes that a body may have, by route; as they come, before any unpacking."""
    if method == "POST" and path == "/api/sync":
        return int(config["MAX_SYNC_BYTES"])
    if method == "PUT" and path.startswith("/api/photos/"):
        return int(config["MAX_PHOTO_BYTES"])
    if method == "POST" and path == "/api/import":
        return int(config["MAX_IMPORT_BYTES"])
    return SMALL_BODY_BYTES


@dataclass(frozen=True, slots=True)
class Limits:
    """The numbers of one server; see `webapp.config` for what each is by default and why.

    `header_s` is from the first byte of a request, or from the connection, to the end of the
    headers. A body has `grace_s`, and from then on must have come at `bytes_per_s` on average: a
    phone on a line of one kilobyte a second gets through, a body that trickles does not.
    """

    config: Mapping[str, Any]
    connections: int
    header_s: float
    grace_s: float
    bytes_per_s: float
    stop_s: float

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> Limits:
        """The limits that an app is configured with."""
        return cls(
            config,
            connections=config["MAX_CONNECTIONS"],
            header_s=config["HEADER_S"],
            grace_s=config["BODY_GRACE_S"],
            bytes_per_s=config["BODY_BYTES_PER_S"],
            stop_s=config["STOP_S"],
        )

    def adjusted(self, adjustments: Any, method: str, path: str) -> Any:
        """Waitress' own settings with the body limit of this route; it refuses what reaches it."""
        made = copy.copy(adjustments)
        made.max_request_body_size = body_limit(self.config, method, path) + 1
        return made

    def is_overdue(self, waited_s: float, headers_finished: bool, body_bytes: int) -> bool:
        """Whether a request that is still coming in has taken too long."""
        if not headers_finished:
            return waited_s > self.header_s
        return body_bytes < (waited_s - self.grace_s) * self.bytes_per_s
