"""Checks before a server starts, the same for `secondnose serve` and for gunicorn."""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable

from flask import Flask

from webapp import checked_app
from webapp.auth.owners import has_passphrase
from webapp.config import database_file
from webapp.db.engine import db, read_transaction
from webapp.db.in_use import in_use
from webapp.errors import StartupError
from webapp.photos.files import photo_files


def check_start(hosts: Iterable[str]) -> None:
    """Check settings, database and passphrase for a server that listens on these hosts.

    Raises StartupError, InUse, OSError.
    """
    app = checked_app()
    try:
        with in_use(database_file(app.config["DATABASE_URL"])):
            require_passphrase(app, hosts)
    finally:
        with app.app_context():
            db.engine.dispose()
        # A client of a bucket must not be shared by the processes that are forked next.
        photo_files.cache_clear()


def require_passphrase(app: Flask, hosts: Iterable[str]) -> None:
    """Raise StartupError if others can reach the server and no owner has a passphrase."""
    address = app.config["ADDRESS"]
    public = [*([address] if address else []), *(one for one in hosts if not is_loopback(one))]
    if not public and not app.config["PROXIES"]:
        return
    with app.app_context(), read_transaction() as connection:
        if has_passphrase(connection):
            return
    place = f"on {public[0]}" if public else "behind a proxy"
    raise StartupError(
        f"Not serving {place}: no owner has a passphrase yet. Set one first: 'secondnose user "
        "add NAME', or 'secondnose user passphrase me' for the notebook you have."
    )


def is_loopback(host: str) -> bool:
    """Tell whether only this machine can reach a server on this address."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
