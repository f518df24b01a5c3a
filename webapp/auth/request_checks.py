"""Checks made before every request: Host, Origin, owner.

A page elsewhere can point a name of its own at this machine (DNS rebinding), which the list of host
names stops, or post to it with the user's browser (cross-site request forgery), which the browser's
own `Origin` and `Sec-Fetch-Site` headers give away. Everything under /api/ then belongs to an
owner, unless its view says that it is for anybody; see `identity`.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import Flask, current_app, g, request

from webapp.auth.authenticate import check_owner_meant, identify, insist_on_passphrase, refusal
from webapp.auth.counters import address_key
from webapp.auth.errors import AccessError
from webapp.auth.rate_limit import Allowance

READ_ONLY = frozenset({"GET", "HEAD", "OPTIONS"})
OWN_SITE = ("none", "same-origin")
_FOR_ANYBODY = "__for_anybody__"
_WITH_PASSPHRASE = "__with_passphrase__"
View = TypeVar("View", bound=Callable[..., Any])


def guard(app: Flask) -> None:
    """Check every request of the app."""
    app.extensions["allowance"] = Allowance(app.config["MAX_REQUESTS"])
    app.before_request(_check_host)
    app.before_request(_check_origin)
    app.before_request(_check_owner)


def for_anybody(view: View) -> View:
    """This view of the API needs no owner: it tells nothing of a book, or lets people in."""
    setattr(view, _FOR_ANYBODY, True)
    return view


def is_for_anybody(view: Callable[..., Any] | None) -> bool:
    """Whether a view was marked so."""
    return bool(getattr(view, _FOR_ANYBODY, False))


def with_passphrase(view: View) -> View:
    """This view asks for the passphrase again, where it was not shown a moment ago."""
    setattr(view, _WITH_PASSPHRASE, True)
    return view


def is_with_passphrase(view: Callable[..., Any] | None) -> bool:
    """Whether a view was marked so."""
    return bool(getattr(view, _WITH_PASSPHRASE, False))


def host_name(host: str) -> str:
    """`[::1]:8000` -> `[::1]`, `localhost:8000` -> `localhost`."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].lower()


def _check_host() -> None:
    # Read as it came: Flask's own request.host would already have judged it.
    host = request.environ.get("HTTP_HOST", "")
    if host_name(host) not in current_app.config["HOSTS"].lower().split():
        raise AccessError("unknown_host", "This server does not answer under that name.")


def _check_origin() -> None:
    own_site = request.headers.get("Sec-Fetch-Site", "none") in OWN_SITE
    if request.method in READ_ONLY:
        if not own_site and request.path.startswith("/api/"):
            raise AccessError("cross_origin", "Only the book's own pages may read it.")
        return
    origin = request.headers.get("Origin")
    # Behind a proxy that ends TLS the browser says https where this side sees http.
    same_place = origin is None or (
        urlsplit(origin).netloc == request.environ.get("HTTP_HOST", "")
        and urlsplit(origin).scheme in ("http", "https")
    )
    if not same_place or not own_site:
        raise AccessError("cross_origin", "Only the book's own pages may change it.")


def _check_owner() -> None:
    if not request.path.startswith("/api/"):
        return
    now_s = int(time.time())
    allowance: Allowance = current_app.extensions["allowance"]
    allowance.spend(f"from/{address_key(request.remote_addr or '')}", now_s)
    identify(now_s)
    view = current_app.view_functions.get(request.endpoint or "")
    if is_for_anybody(view):
        return
    owner_id = g.get("owner_id")
    if owner_id is None:
        raise refusal()
    allowance.spend(f"by/{owner_id}", now_s)
    check_owner_meant(owner_id)
    if is_with_passphrase(view):
        insist_on_passphrase(now_s)
