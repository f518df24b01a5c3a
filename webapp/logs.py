"""The server's journal: one line of JSON an event, on standard error, without a word of any note.

What a line may say is listed in TELLS; the text of an error is never one of them, because it may
quote what somebody wrote. Newlines cannot break a line: JSON escapes them.
"""

from __future__ import annotations

import json
import logging
import os
import time
import traceback
from datetime import UTC, datetime

from flask import Flask, Response, g, request

TELLS = (
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


class JournalLine(logging.Formatter):
    """A record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        told: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            # What a library says may quote anything; that it spoke, and which one, is told.
            "event": str(record.msg) if record.name.startswith("webapp") else record.name,
        }
        told |= {name: getattr(record, name) for name in TELLS if hasattr(record, name)}
        if record.exc_info and record.exc_info[1] is not None:
            told["error"] = type(record.exc_info[1]).__name__
            told["where"] = _where(record.exc_info[1])
        return json.dumps(told, default=str)


def _where(error: BaseException) -> list[str]:
    """The calls that led there, innermost last, without their values."""
    frames = traceback.extract_tb(error.__traceback__)[-8:]
    return [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]


def start_journal() -> None:
    """Send the program's events there. SECONDNOSE_LOG is errors, events (as it is) or requests."""
    level = LEVELS.get(os.environ.get(VARIABLE, "events"), logging.INFO)
    handler = logging.StreamHandler()
    handler.setFormatter(JournalLine())
    logging.getLogger().handlers = [handler]
    logging.getLogger("webapp").setLevel(level)
    # Otherwise Python writes warnings as plain text.
    logging.captureWarnings(True)


def note_requests(app: Flask) -> None:
    """A line for each request of the API: the route's pattern, never its values or its body."""

    @app.before_request
    def begin() -> None:
        g.began = time.monotonic()

    @app.after_request
    def note(response: Response) -> Response:
        if _log.isEnabledFor(logging.DEBUG) and request.path.startswith("/api/"):
            told = {
                "method": request.method,
                "route": request.url_rule.rule if request.url_rule else None,
                "status": response.status_code,
                "owner": g.get("owner_id"),
                "took_ms": round((time.monotonic() - g.get("began", time.monotonic())) * 1000),
            }
            _log.debug("request", extra=told)
        return response
