"""The server of Second Nose, a wine tasting notebook. `create_app` makes the Flask app."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Flask
from flask_compress import Compress
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.middleware.proxy_fix import ProxyFix

from webapp import migrations, spec
from webapp.auth.request_checks import register_request_checks
from webapp.config import settings
from webapp.db.engine import connect, db
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
        raise StartupError(f"The database cannot be used: {in_one_line(error)}") from error
    log_requests(app)
    add_metrics(app)
    register_request_checks(app)
    Compress(app)
    from webapp.api import add_api

    add_api(app)
    return app


def _check_database(app: Flask) -> None:
    with app.app_context():
        state = migrations.state(db.engine)
        if state in ("older", "empty") and app.config["UPGRADE"]:
            migrations.upgrade(db.engine)
            state = "current"
        if state != "current":
            db.engine.dispose()
    if state != "current":
        raise StartupError(DATABASE_STATE_MESSAGES[state])
