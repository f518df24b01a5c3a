"""The server of Second Nose, a wine tasting notebook. `create_app` makes the Flask app."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from flask import Flask
from flask_compress import Compress
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.middleware.proxy_fix import ProxyFix

from webapp import migrations, spec
from webapp.auth.request_checks import register_request_checks
from webapp.config import database_file, settings
from webapp.db.engine import connect, db
from webapp.db.full_disk import database_problem
from webapp.db.in_use import InUse, in_use
from webapp.errors import StartupError, in_one_line
from webapp.logs import log_requests
from webapp.metrics import add_metrics
from webapp.photos.files import photo_files

DATABASE_STATE_MESSAGES = {
    "newer": "The database was made by a newer version of Second Nose; install that version.",
    "older": "The database is of an older version; run 'secondnose db upgrade'.",
    "empty": "The database has no tables yet; run 'secondnose db upgrade'.",
}


def create_app(config: Mapping[str, Any] | None = None) -> Flask:
    """Make the app. `config` overrides the environment, see `webapp.config`.

    Raises StartupError.
    """
    app = checked_app(config)
    log_requests(app)
    add_metrics(app)
    register_request_checks(app)
    Compress(app)
    from webapp.api import add_api

    add_api(app)
    return app


def checked_app(config: Mapping[str, Any] | None = None) -> Flask:
    """Make an app with valid settings and a usable database, but no pages. Raises StartupError."""
    app = Flask(__name__, static_folder=None)
    app.config.from_mapping(settings(config))
    try:
        spec.check()
    except spec.SpecError as error:
        raise StartupError(str(error)) from error
    if app.config["PROXIES"]:
        count = app.config["PROXIES"]
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=count, x_proto=count)  # type: ignore[method-assign]
    try:
        photo_files(app.config["PHOTO_FOLDER"])
    except OSError as error:
        raise StartupError(in_one_line(error)) from None
    try:
        connect(app)
        if app.config["CHECK_DATABASE"]:
            _check_database(app)
    except (SQLAlchemyError, OSError) as error:
        raise StartupError(database_problem(error, app.config["DATABASE_URL"])) from error
    return app


def require_database(url: str) -> None:
    """Raise StartupError if there is no SQLite file; opening it would make an empty one."""
    file = database_file(url)
    if file is not None and not file.exists():
        raise StartupError(
            f"There is no database in {file}. Set DATABASE_URL, or go to the folder of the "
            "server. For a new one, run 'secondnose db upgrade'."
        )


def _check_database(app: Flask) -> None:
    file = database_file(app.config["DATABASE_URL"])
    creates = app.config["CREATE"] or app.config["UPGRADE"]
    if file is not None and creates and not file.exists():
        # Other users of the machine must not read the notes and passphrase hashes.
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with _alone(file):
            file.touch(mode=0o600)
    require_database(app.config["DATABASE_URL"])
    with app.app_context():
        state = migrations.state(db.engine)
        if (state == "empty" and creates) or (state == "older" and app.config["UPGRADE"]):
            with _alone(file):
                migrations.upgrade(db.engine)
            state = "current"
        if state != "current":
            db.engine.dispose()
    if state != "current":
        raise StartupError(DATABASE_STATE_MESSAGES[state])


@contextmanager
def _alone(file: Path | None) -> Iterator[None]:
    """Keep servers, commands and restores out: an older server cannot use a migrated database."""
    try:
        with in_use(file, exclusive=True):
            yield
    except InUse:
        raise StartupError(
            f"A server or a command is using {file}, so it cannot be upgraded: stop it first."
        ) from None
