"""The one error type of `accounts`."""

from __future__ import annotations


class AccessError(Exception):
    """A request is turned away. `code` is unknown_host, cross_origin or no_owner."""

    def __init__(self, code: str, detail: str) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
