"""Baseline server: a minimal Flask + sqlite3 endpoint that stores JSON texts without checks.

`python -m tests.bench.sync.floor_server FILE PORT`. It has the same web server, threads,
compression and durability as the app's server.
"""

from __future__ import annotations

import gzip
import json
import sqlite3
import sys
import threading
from pathlib import Path

import waitress  # type: ignore[import-untyped]
from flask import Flask, Response, request, send_from_directory

VENDOR = Path(__file__).resolve().parents[3] / "static" / "vendor"
THREADS = 8


def floor(file: str) -> Flask:
    app = Flask(__name__, static_folder=None)
    own = threading.local()

    def connection() -> sqlite3.Connection:
        if not hasattr(own, "connection"):
            own.connection = sqlite3.connect(file, isolation_level=None)
            own.connection.execute("PRAGMA journal_mode=WAL")
            own.connection.execute("PRAGMA synchronous=FULL")
        value: sqlite3.Connection = own.connection
        return value

    table = "CREATE TABLE IF NOT EXISTS note (seq INTEGER PRIMARY KEY, id TEXT UNIQUE, text TEXT)"
    connection().execute(table)

    @app.post("/push")
    def push() -> Response:
        changes = json.loads(gzip.decompress(request.get_data()))["changes"]
        rows = [(change["id"], json.dumps(change)) for change in changes]
        book = connection()
        book.execute("BEGIN IMMEDIATE")
        book.executemany("INSERT OR REPLACE INTO note (id, text) VALUES (?, ?)", rows)
        book.execute("COMMIT")
        return _packed(json.dumps({"outcomes": ["applied"] * len(rows)}))

    @app.get("/pull")
    def pull() -> Response:
        after, limit = int(request.args["after"]), int(request.args["limit"])
        query = "SELECT seq, text FROM note WHERE seq > ? ORDER BY seq LIMIT ?"
        rows = connection().execute(query, (after, limit)).fetchall()
        cursor = rows[-1][0] if rows else after
        texts = ",".join(text for _, text in rows)
        return _packed(f'{{"cursor":{cursor},"changes":[{texts}]}}')

    @app.get("/vendor/<path:name>")
    def vendor(name: str) -> Response:
        return send_from_directory(VENDOR, name)

    @app.get("/")
    def page() -> str:
        return "<!doctype html><title>floor</title>"

    return app


def _packed(text: str) -> Response:
    answer = Response(gzip.compress(text.encode(), 1), mimetype="application/json")
    answer.headers["Content-Encoding"] = "gzip"
    return answer


if __name__ == "__main__":
    waitress.serve(
        floor(sys.argv[1]), host="127.0.0.1", port=int(sys.argv[2]), threads=THREADS, _quiet=True
    )
