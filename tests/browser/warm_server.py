"""Imported by the fork server alone: what every server process would do anew is done once here.

A server compresses each file of the client when it is first asked for, which takes a second; the
processes that are forked from this one have them compressed already.
"""

from __future__ import annotations

import json
import re
import tempfile

from webapp import create_app
from webapp.db.engine import db


def compress_client_files() -> None:
    """Ask for every file that a phone keeps, as a browser does."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app({"DATABASE_URL": f"sqlite:///{folder}/empty.sqlite", "UPGRADE": True})
        client = app.test_client()
        worker = client.get("/sw.js").get_data(as_text=True)
        listed = re.search(r"^self\.__PRECACHE = (\[.*?\]);$", worker, re.MULTILINE)
        assert listed is not None
        for file in json.loads(listed[1]):
            client.get(file["url"], headers={"Accept-Encoding": "gzip, deflate, br"})
        # No process that is forked from here may share a connection with another.
        with app.app_context():
            db.engine.dispose()


compress_client_files()
