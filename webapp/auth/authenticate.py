"""Who is asking: a signed-in device, or the one owner at the machine itself.

A device shows its token in a cookie that scripts cannot read and other sites cannot send, and
beside it the key of its browser in a header: cookies go to every port of a host, so a cookie alone
opens nothing. The cookie's name is the server's own, so that two servers on one host do not take
each other's away. At the machine itself, the only owner needs no sign-in while there is no
passphrase.

Sign-ins of editions before the key have ended; such a browser signs in again. To bind its old
cookie to the first key that comes with it would let in whoever had been sent that cookie before.
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
    """Find out whose request this is."""
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
    """Why nobody is known: a device that was signed out is told why, so that it can say so."""
    ended_as = g.get("ended_as")
    if ended_as == "upgrade" and KEY not in request.headers:
        return out_of_date()
    return AccessError(*ENDED.get(ended_as or "", ("sign_in", "Sign in first.")))


def out_of_date() -> AccessError:
    """A client of an edition before the key: it would sign in again and again."""
    return AccessError("update", "Take the newer edition of the app, and sign in there.")


def browser_key() -> str:
    """The key of the browser that wants to be signed in. Raises AccessError."""
    key = request.headers.get(KEY, "")
    if len(key) < MIN_KEY_LENGTH:
        raise out_of_date()
    return key


def require_passphrase(now_s: int) -> None:
    """The passphrase was shown a moment ago, where there is one. Raises AccessError."""
    row = current_sign_in()
    if row is None or (row.confirmed_at or 0) > now_s - CONFIRMED_S:
        return
    with read_transaction() as connection:
        owner = owner_row(connection, row.owner_id)
    if owner.passphrase is not None:
        raise AccessError("confirm", "Show the passphrase again first.")


def check_owner_header(owner_id: int) -> None:
    """A phone says whose book it holds; what is of one owner never reaches another."""
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
    """What a phone may know of its owner."""
    with read_transaction() as connection:
        row = owner_row(connection, owner_id)
    return {"uid": row.uid, "name": row.name}


def current_sign_in() -> Row[Any] | None:
    """The sign-in that this request came with, None at the machine itself."""
    found: Row[Any] | None = g.get("sign_in")
    return found


def remember_device(device: str) -> None:
    """The signed-in device speaks as this sync device: so the list can say when it last synced."""
    row = current_sign_in()
    if row is not None and row.device != device:
        with write_transaction() as connection:
            sessions.remember_device(connection, row.id, device)


def cookie_name() -> str:
    """With https the browser itself holds the cookie to this host, this path and to https."""
    return f"{_plain_name()}-{_server_mark()}"


def _plain_name() -> str:
    """The name in editions before the key; its cookie only tells why it holds no more."""
    return "__Host-secondnose" if request.is_secure else "secondnose"


def _server_mark() -> str:
    """Eight hex digits that tell this server from others on the same host; no secret."""
    marks: dict[str, str] = current_app.extensions
    if MARK not in marks:
        with read_transaction() as connection:
            epoch = connection.scalar(select(safe.c.epoch)) or ""
        marks[MARK] = hashlib.sha256(f"secondnose cookie {epoch}".encode()).hexdigest()[:8]
    return marks[MARK]


def set_session_cookie(response: Response, token: str) -> Response:
    """Give the browser its token, out of the reach of scripts."""
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
    """Ask the browser to forget it."""
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
            sessions.touch(connection, row.id, request.remote_addr or "", now_s)
    except DBAPIError:
        # Busy: the next request will be noted instead.
        return


def _is_local_request() -> bool:
    config = current_app.config
    # A server that was told of a proxy, or of an address for phones, is there for others.
    if not config["OPEN_AT_HOME"] or config["PROXIES"] or config["ADDRESS"] or _is_forwarded():
        return False
    host = request.environ.get("HTTP_HOST", "")
    return _is_loopback(request.remote_addr or "") and _is_local_host(host)


def _is_forwarded() -> bool:
    # A proxy may say nothing of itself and put our own name in place of the one that was asked
    # for; those that do speak HTTP/1.0 to us, which no browser does.
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
