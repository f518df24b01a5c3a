"""Who is asking: a signed-in device, or the one owner at the machine itself.

A device shows its token in a cookie that scripts cannot read and other sites cannot send. At the
machine itself, the only owner needs no sign-in while no passphrase has been set.
"""

from __future__ import annotations

import ipaddress
from typing import Any

from flask import Response, current_app, g, request
from sqlalchemy import Row
from sqlalchemy.exc import DBAPIError

from webapp.accounts import sign_ins
from webapp.accounts.errors import AccessError
from webapp.accounts.owners import acting_for, only_owner, owner_row
from webapp.db import reading, writing

COOKIE_S = 400 * 24 * 3600
MEANT = "Second-Nose-Owner"
# Whoever passes on what others ask says so in one of these; then the asker is not this machine.
PASSED_ON = (
    "Forwarded",
    "Via",
    "X-Forwarded-For",
    "X-Forwarded-Host",
    "X-Forwarded-Proto",
    "X-Real-Ip",
)


def identify(now_s: int) -> None:
    """Find out whose request this is. Raises AccessError where the device has been signed out."""
    token = request.cookies.get(cookie_name())
    if token:
        with reading() as connection:
            row = sign_ins.find(connection, token)
        if row is not None and sign_ins.holds(row, now_s):
            _let_in(row, now_s)
            return
        g.ended_as = row.ended_as if row is not None else None
    if _at_this_machine():
        with reading() as connection:
            owner = only_owner(connection)
        if owner is not None and owner.passphrase is None:
            acting_for(owner.id)


def refusal() -> AccessError:
    """Why nobody is known: a revoked device is told that it was, so that it can say so."""
    if g.get("ended_as") == "revoked":
        return AccessError("revoked", "This device was signed out from another one.")
    return AccessError("sign_in", "Sign in first.")


def check_owner_meant(owner_id: int) -> None:
    """A phone says whose book it holds; what is of one owner never reaches another."""
    meant = request.headers.get(MEANT)
    if meant is None:
        return
    told = owner_told(owner_id)
    if meant != told["uid"]:
        raise AccessError("other_owner", "Somebody else is signed in here.", told={"owner": told})


def owner_told(owner_id: int) -> dict[str, str]:
    """What a phone may know of its owner."""
    with reading() as connection:
        row = owner_row(connection, owner_id)
    return {"uid": row.uid, "name": row.name}


def signed_in_as() -> Row[Any] | None:
    """The sign-in that this request came with, None at the machine itself."""
    found: Row[Any] | None = g.get("sign_in")
    return found


def note_device(device: str) -> None:
    """The signed-in device speaks as this sync device: so the list can say when it last synced."""
    row = signed_in_as()
    if row is not None and row.device != device:
        with writing() as connection:
            sign_ins.note_device(connection, row.id, device)


def cookie_name() -> str:
    """With https the browser itself holds the cookie to this host, this path and to https."""
    return "__Host-secondnose" if request.is_secure else "secondnose"


def hand_token(response: Response, token: str) -> Response:
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


def take_token(response: Response) -> Response:
    """Ask the browser to forget it."""
    response.delete_cookie(
        cookie_name(), path="/", secure=request.is_secure, httponly=True, samesite="Strict"
    )
    return response


def _let_in(row: Row[Any], now_s: int) -> None:
    g.sign_in = row
    acting_for(row.owner_id)
    if row.last_seen > now_s - sign_ins.SEEN_EVERY_S:
        return
    try:
        with writing() as connection:
            sign_ins.note_seen(connection, row.id, request.remote_addr or "", now_s)
    except DBAPIError:
        # Busy: the next request will be noted instead.
        return


def _at_this_machine() -> bool:
    config = current_app.config
    # A server that was told of a proxy, or of an address for phones, is there for others.
    if not config["OPEN_AT_HOME"] or config["PROXIES"] or config["ADDRESS"] or _is_passed_on():
        return False
    host = request.environ.get("HTTP_HOST", "")
    return _is_here(request.remote_addr or "") and _names_here(host)


def _is_passed_on() -> bool:
    # A proxy may say nothing of itself and put our own name in place of the one that was asked
    # for; those that do speak HTTP/1.0 to us, which no browser does.
    old = request.environ.get("SERVER_PROTOCOL") == "HTTP/1.0"
    return old or any(name in request.headers for name in PASSED_ON)


def _is_here(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def _names_here(host: str) -> bool:
    name = host.partition("]")[0][1:] if host.startswith("[") else host.partition(":")[0]
    return name.lower() == "localhost" or _is_here(name)
