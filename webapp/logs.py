"""Structured logs: one line of JSON per event, on standard error, without text of notes.

LOGGED_FIELDS lists the fields that a line may contain. The message of an error is never logged,
because it may quote user content. JSON escapes newlines, so input cannot forge a log line.
"""

from __future__ import annotations

import json
import logging
import os
import time
import traceback
from datetime import UTC, datetime

from flask import Flask, Response, g, request

LOGGED_FIELDS = (
    "owner",
    "address",
    "known",
    "wait_s",
    "key",
    "method",
    "route",
    "status",
    "took_ms",
    "cause",
)
VARIABLE = "SECONDNOSE_LOG"
LEVELS = {"events": logging.INFO, "requests": logging.DEBUG, "errors": logging.WARNING}
_log = logging.getLogger(__name__)


class JsonFormatter(logging.Formatter):
    """Formats a log record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        fields: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            # A library's message may quote user content, so only the logger's name is written.
            "event": str(record.msg) if record.name.startswith("webapp") else record.name,
        }
        fields |= {name: getattr(record, name) for name in LOGGED_FIELDS if hasattr(record, name)}
        if record.exc_info and record.exc_info[1] is not None:
            fields["error"] = type(record.exc_info[1]).__name__
            fields["where"] = _where(record.exc_info[1])
        return json.dumps(fields, default=str)


def _where(error: BaseException) -> list[str]:
    """Return the last eight stack frames, innermost last, without values."""
    frames = traceback.extract_tb(error.__traceback__)[-8:]
    return [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]


def configure_logging() -> None:
    """Log to standard error. SECONDNOSE_LOG is errors, events (the default) or requests."""
    level = LEVELS.get(os.environ.get(VARIABLE, "events"), logging.INFO)
    handler = logging.StreamHandler()
    handler.setFormatter(JsonFormatter())
    logging.getLogger().handlers = [handler]
    logging.getLogger("webapp").setLevel(level)
    # Otherwise Python writes warnings as plain text.
    logging.captureWarnings(True)


def log_requests(app: Flask) -> None:
    """Log each API request with the route's pattern, never its values or body."""

    @app.before_request
    def start_timer() -> None:
        g.started = time.monotonic()

    @app.after_request
    def log_request(response: Response) -> Response:
        if _log.isEnabledFor(logging.DEBUG) and request.path.startswith("/api/"):
            fields = {
                "method": request.method,
                "route": request.url_rule.rule if request.url_rule else None,
                "status": response.status_code,
                "owner": g.get("owner_id"),
                "took_ms": round((time.monotonic() - g.get("started", time.monotonic())) * 1000),
            }
            _log.debug("request", extra=fields)
        return response
