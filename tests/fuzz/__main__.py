"""More than 100,000 hostile cases: `python -m tests.fuzz [share]`; 0.1 runs a tenth of them."""

from __future__ import annotations

import secrets
import sys
import tempfile
import time
from pathlib import Path

from tests.fuzz.running import TARGETS, run
from tests.fuzz.stateful import walk
from webapp import create_app
from webapp.db.engine import db

CASES = {"sync bodies": 60_000, "book archives": 20_000, "pictures": 25_000}
WALKS, STEPS = 300, 12


def main(share: float) -> None:
    tried = 0
    for target in TARGETS:
        start, count = secrets.randbits(32), max(1, int(CASES[target.name] * share))
        print(f"{target.name}: {count} cases from seed {start} ...", flush=True)
        began = time.monotonic()
        server = run(target, count, start)
        print(
            f"  held; {time.monotonic() - began:.0f} s,"
            f" memory grew by {server.grown_kb() / 1000:.0f} MB"
        )
        tried += count
    tried += _walk(max(1, int(WALKS * share)))
    print(f"{tried} cases, no fault found")


def _walk(walks: int) -> int:
    print(f"walks: {walks} of {STEPS} steps ...", flush=True)
    with tempfile.TemporaryDirectory(prefix="snfuzz") as folder:
        url = f"sqlite:///{Path(folder, 'book.sqlite')}"
        app = create_app({"DATABASE_URL": url, "UPGRADE": True, "MAX_REQUESTS": 0})
        walk(app, walks, STEPS)
        with app.app_context():
            db.engine.dispose()
    return walks * STEPS


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
