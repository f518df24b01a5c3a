"""Work that the fork server does once for all server processes. Only the fork server imports it.

A server compresses each client file on its first request, which takes seconds at the best quality;
forked processes inherit the files, compressed at a lower one, because tests that count bytes
compress them anew. They also inherit the cheapest passphrase hashing, because only `tests/auth`
tests the real one.
"""

from __future__ import annotations

import gc
import json
import re
import tempfile

import argon2

from tests.route_builders import compile_routes_once
from webapp import create_app
from webapp.auth import passphrase
from webapp.client import files
from webapp.db.engine import db


def compress_client_files() -> None:
    """Request every file that the service worker caches, like a browser."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app({"DATABASE_URL": f"sqlite:///{folder}/empty.sqlite", "UPGRADE": True})
        client = app.test_client()
        worker = client.get("/sw.js").get_data(as_text=True)
        listed = re.search(r"^self\.__PRECACHE = (\[.*?\]);$", worker, re.MULTILINE)
        assert listed is not None
        for file in json.loads(listed[1]):
            client.get(file["url"], headers={"Accept-Encoding": "gzip, deflate, br"})
        # Forked processes must not share a connection.
        with app.app_context():
            db.engine.dispose()


files.BEST_QUALITY = 4
compile_routes_once()
compress_client_files()
passphrase._hasher = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
# Else the garbage collection of each forked process would copy the memory of all objects.
gc.collect()
gc.freeze()
