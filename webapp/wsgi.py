"""The WSGI app for servers with several workers: `gunicorn webapp.wsgi:app`."""

import gc
import logging
import os
import sys

from flask import Flask

from webapp import create_app
from webapp.db.in_use import InUse, hold_database
from webapp.db.row_level_security import warn_if_bypassed
from webapp.errors import CANNOT_START, StartupError, in_one_line
from webapp.logs import configure_logging
from webapp.metrics import FOLDER
from webapp.retention.schedule import keep_purging
from webapp.start import require_passphrase

_log = logging.getLogger("webapp.wsgi")


def _start() -> Flask:
    try:
        flask_app = create_app()
        hold_database(flask_app)
        require_passphrase(flask_app, [])
    except (StartupError, InUse, OSError) as error:
        print(f"Error: {in_one_line(error)}", file=sys.stderr, flush=True)
        sys.exit(CANNOT_START)
    if "gunicorn.arbiter" in sys.modules and "webapp.server.worker" not in sys.modules:
        _log.warning("slow_bodies_unbounded")
    if flask_app.config["METRICS"] and not os.environ.get(FOLDER):
        _log.warning("metrics_of_one_process")
    warn_if_bypassed(flask_app)
    keep_purging(flask_app)
    return flask_app


configure_logging()
app = _start()
# Objects made at the start live as long as the process, so exclude them from garbage collection.
gc.collect()
gc.freeze()
