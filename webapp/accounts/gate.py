"""Requests that another site made a browser send are turned away here, before anything is read.

A page elsewhere can point a name of its own at this machine (DNS rebinding), which the list of host
names stops, or post to it with the user's browser (cross-site request forgery), which the browser's
own `Origin` and `Sec-Fetch-Site` headers give away.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Flask, current_app, request

from webapp.accounts.errors import AccessError

READ_ONLY = frozenset({"GET", "HEAD", "OPTIONS"})


def guard(app: Flask) -> None:
    """Check every request of the app."""
    app.before_request(_check_host)
    app.before_request(_check_origin)


def host_name(host: str) -> str:
    """`[::1]:8000` -> `[::1]`, `localhost:8000` -> `localhost`."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].lower()


def _check_host() -> None:
    # Read as it came: Flask's own request.host would already have judged it.
    host = request.environ.get("HTTP_HOST", "")
    if host_name(host) not in current_app.config["HOSTS"].split():
        raise AccessError("unknown_host", "This server does not answer under that name.")


def _check_origin() -> None:
    if request.method in READ_ONLY:
        return
    origin = request.headers.get("Origin")
    if origin is not None:
        allowed = urlsplit(origin).netloc == request.environ.get("HTTP_HOST", "")
    else:
        allowed = request.headers.get("Sec-Fetch-Site", "none") in ("none", "same-origin")
    if not allowed:
        raise AccessError("cross_origin", "Only the book's own pages may change it.")
