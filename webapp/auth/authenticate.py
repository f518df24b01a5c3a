"""Authenticates a request: as a signed-in device, or as the single owner on the machine itself.

A device sends its token in a cookie, which scripts cannot read and other sites cannot send, and its
browser's key in a header. Both are required, because browsers send cookies to every port of a host.
The cookie's name contains a mark of the server, so that two servers on one host do not overwrite
each other's cookie. On the machine itself, a single owner without a passphrase needs no sign-in.

Sign-ins from releases without the key have ended, and such a browser signs in again. Binding an old
cookie to the first key sent with it would admit anybody who had received that cookie before.
"""

from __future__ import annotations

import hashlib
import ipaddress
import logging
from typing import Any

from flask import Response, current_app, g, request
from sqlalchemy import Row, select
from sqlalchemy.exc import DBAPIError

from webapp.auth import erasure, sessions
from webapp.auth.errors import ERASED, AccessError
from webapp.auth.owners import owner_row, set_current_owner, single_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import safe

COOKIE_S = 400 * 24 * 3600
OWNER_HEADER = "Second-Nose-Owner"
KEY = "Second-Nose-Key"
CONFIRMED_S = 600
MIN_KEY_LENGTH = 32
MARK = "server_mark"
# Headers that proxies add. If one is present, the request is not local.
FORWARDING_HEADERS = (
    "Forwarded",
    "Via",
    "X-Forwarded-For",
    "X-Forwarded-Host",
    "X-Forwarded-Proto",
    "X-Real-Ip",
)

_log = logging.getLogger(__name__)


def authenticate(now_s: int) -> None:
    """Determine the owner of this request, if there is one."""
    token = request.cookies.get(cookie_name()) or request.cookies.get(_plain_name())
    if token:
        with read_transaction() as connection:
            row = sessions.find(connection, token)
            g.ended_as = row.ended_as if row else erasure.is_token_erased(connection, token)
        if row is not None and sessions.is_active(row, now_s):
            if sessions.fits_key(row, request.headers.get(KEY, "")):
                _accept(row, now_s)
                return
            _log.warning("key_refused", extra={"owner": row.owner_id})
    if _is_local_request():
        with read_transaction() as connection:
            owner = single_owner(connection)
        if owner is not None and owner.passphrase is None:
            set_current_owner(owner.id)


ENDED = {
    "revoked": ("revoked", "This device was signed out from another one."),
    "passphrase": ("passphrase_changed", "Signed out: a new passphrase was set."),
    "upgrade": ("upgraded", "The server was upgraded; sign in once more."),
    "erased": ("erased", ERASED),
}


def denial() -> AccessError:
    """Return the error of a request without an owner, with the reason if it was signed out."""
    ended_as = g.get("ended_as")
    if ended_as == "upgrade" and KEY not in request.headers:
        return out_of_date()
    return AccessError(*ENDED.get(ended_as or "", ("sign_in", "Sign in first.")))


def out_of_date() -> AccessError:
    """Return the error for a client without the browser key, which could not stay signed in."""
    return AccessError("update", "Update the app, and sign in there.")


def browser_key() -> str:
    """Return the key of the browser that is signing in. Raises AccessError."""
    key = request.headers.get(KEY, "")
    if len(key) < MIN_KEY_LENGTH:
        raise out_of_date()
    return key


def require_passphrase(now_s: int) -> None:
    """Require that the passphrase, if there is one, was entered recently. Raises AccessError."""
    row = current_sign_in()
    if row is None or (row.confirmed_at or 0) > now_s - CONFIRMED_S:
        return
    with read_transaction() as connection:
        owner = owner_row(connection, row.owner_id)
    if owner.passphrase is not None:
        raise AccessError("confirm", "Enter the passphrase again first.")


def check_owner_header(owner_id: int) -> None:
    """Reject a request from a phone with another owner's notebook. Raises AccessError."""
    meant = request.headers.get(OWNER_HEADER)
    if meant is None:
        return
    owner = owner_json(owner_id)
    if meant != owner["uid"]:
        with read_transaction() as connection:
            if erasure.is_owner_erased(connection, meant):
                raise AccessError("erased", ERASED)
        raise AccessError(
            "other_owner", "Somebody else is signed in here.", details={"owner": owner}
        )


def owner_json(owner_id: int) -> dict[str, str]:
    """Return the owner as sent to phones."""
    with read_transaction() as connection:
        row = owner_row(connection, owner_id)
    return {"uid": row.uid, "name": row.name}


def current_sign_in() -> Row[Any] | None:
    """Return the sign-in of this request, None on the machine itself."""
    found: Row[Any] | None = g.get("sign_in")
    return found


def remember_device(device: str) -> None:
    """Store the sync device of this sign-in, for the time of its last sync in the device list."""
    row = current_sign_in()
    if row is not None and row.device != device:
        with write_transaction() as connection:
            sessions.remember_device(connection, row.id, device)


def cookie_name() -> str:
    """Return the cookie's name; with https its prefix restricts it to this host and to https."""
    return f"{_plain_name()}-{_server_mark()}"


def _plain_name() -> str:
    """Return the name used by releases without the key, to report why that cookie has ended."""
    return "__Host-secondnose" if request.is_secure else "secondnose"


def _server_mark() -> str:
    """Return eight hex digits that identify this server on its host; they are not secret."""
    marks: dict[str, str] = current_app.extensions
    if MARK not in marks:
        with read_transaction() as connection:
            epoch = connection.scalar(select(safe.c.epoch)) or ""
        marks[MARK] = hashlib.sha256(f"secondnose cookie {epoch}".encode()).hexdigest()[:8]
    return marks[MARK]


def set_session_cookie(response: Response, token: str) -> Response:
    """Set the token as a cookie that scripts cannot read."""
    response.set_cookie(
        cookie_name(),
        token,
        max_age=COOKIE_S,
        path="/",
        secure=request.is_secure,
        httponly=True,
        samesite="Strict",
    )
    return response


def clear_session_cookie(response: Response) -> Response:
    """Delete the cookie."""
    response.delete_cookie(
        cookie_name(), path="/", secure=request.is_secure, httponly=True, samesite="Strict"
    )
    return response


def _accept(row: Row[Any], now_s: int) -> None:
    g.sign_in = row
    set_current_owner(row.owner_id)
    if row.last_seen > now_s - sessions.TOUCH_EVERY_S:
        return
    try:
        with write_transaction() as connection:
            sessions.touch(connection, row.id, now_s)
    except DBAPIError:
        # The database is busy; the next request will update the time.
        return


def _is_local_request() -> bool:
    config = current_app.config
    # A server with a proxy or an address for phones is used by others.
    if not config["OPEN_AT_HOME"] or config["PROXIES"] or config["ADDRESS"]:
        return False
    return is_from_this_machine()


def is_from_this_machine() -> bool:
    """Tell whether a program on this machine made the request, with no proxy in between."""
    if _is_forwarded():
        return False
    host = request.environ.get("HTTP_HOST", "")
    return _is_loopback(request.remote_addr or "") and _is_local_host(host)


def _is_forwarded() -> bool:
    # A proxy may add no header and replace the host name by ours; such proxies use HTTP/1.0, which
    # browsers do not.
    old = request.environ.get("SERVER_PROTOCOL") == "HTTP/1.0"
    return old or any(name in request.headers for name in FORWARDING_HEADERS)


def _is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def _is_local_host(host: str) -> bool:
    name = host.partition("]")[0][1:] if host.startswith("[") else host.partition(":")[0]
    return name.lower() == "localhost" or _is_loopback(name)
