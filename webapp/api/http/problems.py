"""Converts errors to problem details (RFC 9457)."""

from __future__ import annotations

import errno
import json
import logging
from typing import Any

from flask import Flask, Response, current_app, g, request
from werkzeug.exceptions import HTTPException
from werkzeug.http import HTTP_STATUS_CODES

from webapp.api.http.errors import ApiError
from webapp.auth.errors import ERASED, AccessError
from webapp.db.engine import BUSY_ERRORS, OwnerErased, is_unreachable
from webapp.db.full_disk import is_disk_full

BUSY_RETRY_S = 2
UNREACHABLE_RETRY_S = 10
FULL_RETRY_S = 60
PHOTO_STORE_RETRY_S = 30
# Not logged as "refused": phones without sign-in repeat the first; the others have own log events.
QUIET_CODES = frozenset(
    {
        *("sign_in", "wrong", "too_many_tries", "too_many_requests", "weak_passphrase", "confirm"),
        *("unknown_passkey", "passkey_refused"),
    }
)
_log = logging.getLogger(__name__)


def problem(
    status: int, code: str, detail: str, errors: Any = None, retry_after_s: int | None = None
) -> Response:
    """Return a problem document; programs read `code`."""
    body = {
        "type": f"urn:secondnose:problem:{code}",
        "title": HTTP_STATUS_CODES.get(status, "Problem"),
        "status": status,
        "detail": detail,
        "code": code,
    }
    if errors is not None:
        body["errors"] = errors
    response = Response(json.dumps(body), status, mimetype="application/problem+json")
    if retry_after_s is not None:
        response.headers["Retry-After"] = str(retry_after_s)
    return response


def handle_errors(app: Flask) -> None:
    """Convert every exception of a view to a problem document."""
    app.register_error_handler(ApiError, _api_error)
    app.register_error_handler(AccessError, _access_error)
    app.register_error_handler(OwnerErased, _owner_erased)
    app.register_error_handler(HTTPException, _http_error)
    for busy in BUSY_ERRORS:
        app.register_error_handler(busy, _busy)
    app.register_error_handler(OSError, _disk)
    app.register_error_handler(Exception, _unexpected)


def _api_error(error: ApiError) -> Response:
    return problem(error.status, error.code, error.detail, error.errors, error.retry_after_s)


def _access_error(error: AccessError) -> Response:
    fields = {"cause": error.code, "address": request.remote_addr, "owner": g.get("owner_id")}
    route = request.url_rule.rule if request.url_rule else None
    level = logging.DEBUG if error.code in QUIET_CODES else logging.INFO
    _log.log(level, "refused", extra={**fields, "method": request.method, "route": route})
    return problem(error.status, error.code, error.detail, error.details, error.retry_after_s)


def _owner_erased(_: OwnerErased) -> Response:
    return _access_error(AccessError("erased", ERASED))


def _http_error(error: HTTPException) -> Response:
    status = error.code or 500
    code = (error.name or "error").lower().replace(" ", "_")
    response = problem(status, code, error.description or error.name)
    for name, value in error.get_headers():
        if name not in ("Content-Type", "Content-Length"):
            response.headers[name] = value
    return response


def _busy(error: Exception) -> Response:
    # The database is locked, full or unreachable; the transaction was rolled back: retry later.
    cause = type(getattr(error, "orig", error)).__name__
    if is_unreachable(error):
        _log.error("database_unreachable", extra={"cause": cause})
        code, detail = "database_unreachable", "The database cannot be reached. Try again."
        return problem(503, code, detail, retry_after_s=UNREACHABLE_RETRY_S)
    if is_disk_full(error, current_app.config["DATABASE_URL"]):
        # Not 507, because phones of all releases wait and try again after a 503.
        _log.error("disk_full")
        code, detail = "no_room", "The server's disk is full; nothing was changed."
        return problem(503, code, detail, retry_after_s=FULL_RETRY_S)
    _log.warning("database_busy", extra={"cause": cause})
    code, detail = "database_busy", "The database is busy; nothing was changed. Try again."
    return problem(503, code, detail, retry_after_s=BUSY_RETRY_S)


def _disk(error: OSError) -> Response:
    if error.errno == errno.EHOSTDOWN:
        # `webapp.photos.files.StoreUnavailable`
        _log.warning("photo_store_unavailable")
        return problem(
            503,
            "photo_store_unavailable",
            "The photo store cannot be reached; nothing was changed. Try again.",
            retry_after_s=PHOTO_STORE_RETRY_S,
        )
    if error.errno not in (errno.ENOSPC, errno.EDQUOT):
        return _unexpected(error)
    _log.warning("disk_full")
    return problem(507, "no_room", "The server's disk is full.", retry_after_s=300)


def _unexpected(error: Exception) -> Response:
    _log.exception("unexpected")
    return problem(500, "unexpected", "Something went wrong on the server; nothing was changed.")
