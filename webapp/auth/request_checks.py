"""Checks made before every request: Host, Origin, owner.

The list of host names stops other sites that resolve their name to this machine (DNS rebinding).
`Origin` and `Sec-Fetch-Site` reveal requests that other sites send with the user's browser
(cross-site request forgery). All of /api/ then requires an owner, see `authenticate`, except views
marked as `public`.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import Flask, current_app, g, request

from webapp.auth.authenticate import authenticate, check_owner_header, denial, require_passphrase
from webapp.auth.counters import client_key
from webapp.auth.errors import AccessError
from webapp.auth.rate_limit import RateLimiter

READ_ONLY = frozenset({"GET", "HEAD", "OPTIONS"})
OWN_SITE = ("none", "same-origin")
_PUBLIC = "__for_anybody__"
_UNCOUNTED = "__counted_elsewhere__"
_PASSPHRASE_REQUIRED = "__with_passphrase__"
View = TypeVar("View", bound=Callable[..., Any])


def register_request_checks(app: Flask) -> None:
    """Register the checks for every request of the app."""
    app.extensions["rate_limiter"] = RateLimiter(app.config["MAX_REQUESTS"])
    app.before_request(_check_host)
    app.before_request(_check_origin)
    app.before_request(_check_owner)


def public(view: View) -> View:
    """Mark a view that needs no owner: it returns no data of a notebook, or signs in."""
    setattr(view, _PUBLIC, True)
    return view


def is_public(view: Callable[..., Any] | None) -> bool:
    """Tell whether a view is marked as public."""
    return bool(getattr(view, _PUBLIC, False))


def uncounted(view: View) -> View:
    """Mark a public view whose own check counts its requests and ignores the owner's cookie."""
    setattr(view, _UNCOUNTED, True)
    return public(view)


def passphrase_required(view: View) -> View:
    """Mark a view that requires the passphrase again, unless it was entered recently."""
    setattr(view, _PASSPHRASE_REQUIRED, True)
    return view


def is_passphrase_required(view: Callable[..., Any] | None) -> bool:
    """Tell whether a view is marked as requiring the passphrase."""
    return bool(getattr(view, _PASSPHRASE_REQUIRED, False))


def host_name(host: str) -> str:
    """Return the host without port: `[::1]:8000` -> `[::1]`, `localhost:8000` -> `localhost`."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].lower()


def _check_host() -> None:
    # Read the raw header, because Flask's request.host validates it itself.
    host = request.environ.get("HTTP_HOST", "")
    if host_name(host) not in current_app.config["HOSTS"].lower().split():
        raise AccessError("unknown_host", "This server does not answer under that name.")


def _check_origin() -> None:
    own_site = request.headers.get("Sec-Fetch-Site", "none") in OWN_SITE
    if request.method in READ_ONLY:
        if not own_site and request.path.startswith("/api/"):
            raise AccessError("cross_origin", "Only the notebook's own pages may read it.")
        return
    origin = request.headers.get("Origin")
    # Accept both schemes: behind a proxy that terminates TLS, the server sees http.
    same_place = origin is None or (
        urlsplit(origin).netloc == request.environ.get("HTTP_HOST", "")
        and urlsplit(origin).scheme in ("http", "https")
    )
    if not same_place or not own_site:
        raise AccessError("cross_origin", "Only the notebook's own pages may change it.")


def _check_owner() -> None:
    if not request.path.startswith("/api/"):
        return
    view = current_app.view_functions.get(request.endpoint or "")
    if getattr(view, _UNCOUNTED, False):
        return
    now_s = int(time.time())
    limiter: RateLimiter = current_app.extensions["rate_limiter"]
    limiter.consume(f"from/{client_key(request.remote_addr or '')}", now_s)
    authenticate(now_s)
    if is_public(view):
        return
    owner_id = g.get("owner_id")
    if owner_id is None:
        raise denial()
    limiter.consume(f"by/{owner_id}", now_s)
    check_owner_header(owner_id)
    if is_passphrase_required(view):
        require_passphrase(now_s)
