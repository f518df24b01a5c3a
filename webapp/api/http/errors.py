"""The exception of the API; `problems` converts it to a response."""

from __future__ import annotations

from typing import Any


class ApiError(Exception):
    """The request failed. `code` is for programs, `detail` says what to do."""

    def __init__(
        self,
        status: int,
        code: str,
        detail: str,
        *,
        errors: Any = None,
        retry_after_s: int | None = None,
    ) -> None:
        super().__init__(detail)
        self.status = status
        self.code = code
        self.detail = detail
        self.errors = errors
        self.retry_after_s = retry_after_s
